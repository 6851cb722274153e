//! Parquet: typed columns, in groups of rows.

use std::io::Write;
use std::sync::Arc;

use parquet::basic::{LogicalType, Repetition, TimeUnit, Type as Physical};
use parquet::data_type::{BoolType, ByteArray, ByteArrayType, DataType, DoubleType, Int64Type};
use parquet::errors::ParquetError;
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedColumnWriter, SerializedFileWriter};
use parquet::schema::types::Type;

use super::cell::{Cell, Kind};
use super::column::Column;
use super::error::ExportError;
use super::table::{FORMAT, Rows, VERSION};

/// A group is written once it has so many rows.
const GROUP_ROWS: usize = 16_384;
/// Or once its text is so long, in bytes: a hostile record has room for a lot of it.
const GROUP_BYTES: usize = 64 * 1024 * 1024;

/// Rows as groups of Parquet columns.
pub(super) struct ParquetRows<W: Write + Send> {
    file: SerializedFileWriter<W>,
    group: Vec<Gathered>,
    rows: usize,
    bytes: usize,
}

/// One column of the group that is being gathered: the values that are not null, and where they stand.
struct Gathered {
    values: Values,
    /// For a column that may be null: 1 where there is a value, 0 where there is none.
    levels: Option<Vec<i16>>,
}

enum Values {
    Text(Vec<ByteArray>),
    Number(Vec<f64>),
    /// Whole numbers and moments.
    Whole(Vec<i64>),
    YesNo(Vec<bool>),
}

impl<W: Write + Send> ParquetRows<W> {
    /// Writes the head of the file.
    pub(super) fn new(rows: Rows, columns: &[&'static Column], file: W) -> Result<Self, ExportError> {
        let tool = concat!(env!("CARGO_PKG_NAME"), " ", env!("CARGO_PKG_VERSION"));
        let said = |key: &str, value: String| KeyValue::new(format!("cornerset.{key}"), value);
        let properties = WriterProperties::builder()
            .set_created_by(tool.to_owned())
            .set_max_row_group_row_count(Some(GROUP_ROWS))
            .set_key_value_metadata(Some(vec![
                said("tool", tool.to_owned()),
                said("format", FORMAT.to_owned()),
                said("version", VERSION.to_string()),
                said("rows", rows.word().to_owned()),
            ]))
            .build();
        let fields = columns.iter().map(|column| field(column)).collect::<Result<_, _>>()?;
        let schema = Type::group_type_builder(rows.word()).with_fields(fields).build()?;
        Ok(Self {
            file: SerializedFileWriter::new(file, Arc::new(schema), Arc::new(properties))?,
            group: columns.iter().map(|column| Gathered::new(column)).collect(),
            rows: 0,
            bytes: 0,
        })
    }

    pub(super) fn row(&mut self, columns: &[&'static Column], cells: &[Cell<'_>]) -> Result<(), ExportError> {
        for (cell, column) in cells.iter().zip(columns) {
            if let Cell::Whole(number) = *cell {
                i64::try_from(number).map_err(|_| ExportError::TooLarge { column: column.name, number })?;
            }
        }
        for (gathered, cell) in self.group.iter_mut().zip(cells) {
            gathered.push(cell);
            if let Cell::Text(text) = cell {
                self.bytes += text.len();
            }
        }
        self.rows += 1;
        if self.rows >= GROUP_ROWS || self.bytes >= GROUP_BYTES { self.write_group() } else { Ok(()) }
    }

    fn write_group(&mut self) -> Result<(), ExportError> {
        let mut group = self.file.next_row_group()?;
        for gathered in &mut self.group {
            let mut column =
                group.next_column()?.ok_or_else(|| ExportError::Parquet("a column is missing".to_owned()))?;
            gathered.write(&mut column)?;
            column.close()?;
        }
        group.close()?;
        (self.rows, self.bytes) = (0, 0);
        Ok(())
    }

    /// Writes what is left, and the foot of the file.
    pub(super) fn finish(mut self) -> Result<(), ExportError> {
        if self.rows > 0 {
            self.write_group()?;
        }
        self.file.close()?;
        Ok(())
    }
}

impl Gathered {
    const fn new(column: &Column) -> Self {
        let values = match column.kind {
            Kind::Text => Values::Text(vec![]),
            Kind::Number => Values::Number(vec![]),
            Kind::Whole | Kind::Moment => Values::Whole(vec![]),
            Kind::YesNo => Values::YesNo(vec![]),
        };
        Self { values, levels: if column.nullable { Some(vec![]) } else { None } }
    }

    /// Adds a cell of the column's kind, as its definition says that all its cells are.
    fn push(&mut self, cell: &Cell<'_>) {
        if let Some(levels) = &mut self.levels {
            levels.push(i16::from(*cell != Cell::Null));
        }
        match (&mut self.values, *cell) {
            (Values::Text(values), Cell::Text(text)) => values.push(text.as_bytes().to_vec().into()),
            (Values::Number(values), Cell::Number(number)) => values.push(number),
            (Values::Whole(values), Cell::Whole(number)) => values.push(number as i64),
            (Values::Whole(values), Cell::Moment(moment)) => values.push(moment.time().timestamp_millis()),
            (Values::YesNo(values), Cell::YesNo(yes)) => values.push(yes),
            _ => {}
        }
    }

    fn write(&mut self, column: &mut SerializedColumnWriter<'_>) -> Result<(), ExportError> {
        let levels = self.levels.as_deref();
        match &mut self.values {
            Values::Text(values) => batch::<ByteArrayType>(column, values, levels),
            Values::Number(values) => batch::<DoubleType>(column, values, levels),
            Values::Whole(values) => batch::<Int64Type>(column, values, levels),
            Values::YesNo(values) => batch::<BoolType>(column, values, levels),
        }?;
        if let Some(levels) = &mut self.levels {
            levels.clear();
        }
        Ok(())
    }
}

fn batch<T: DataType>(
    column: &mut SerializedColumnWriter<'_>,
    values: &mut Vec<T::T>,
    levels: Option<&[i16]>,
) -> Result<(), ParquetError> {
    column.typed::<T>().write_batch(values, levels, None)?;
    values.clear();
    Ok(())
}

fn field(column: &Column) -> Result<Arc<Type>, ParquetError> {
    let (physical, logical) = match column.kind {
        Kind::Text => (Physical::BYTE_ARRAY, Some(LogicalType::String)),
        Kind::Number => (Physical::DOUBLE, None),
        Kind::Whole => (Physical::INT64, None),
        Kind::YesNo => (Physical::BOOLEAN, None),
        Kind::Moment => (Physical::INT64, Some(LogicalType::timestamp(true, TimeUnit::MILLIS))),
    };
    let repetition = if column.nullable { Repetition::OPTIONAL } else { Repetition::REQUIRED };
    let builder = Type::primitive_type_builder(column.name, physical);
    builder.with_repetition(repetition).with_logical_type(logical).build().map(Arc::new)
}

impl From<ParquetError> for ExportError {
    fn from(error: ParquetError) -> Self {
        match error {
            ParquetError::External(source) => match source.downcast::<std::io::Error>() {
                Ok(io) => Self::Io(*io),
                Err(other) => Self::Parquet(other.to_string()),
            },
            other => Self::Parquet(other.to_string()),
        }
    }
}
