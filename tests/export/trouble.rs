//! What cannot be written, and how much is held back while writing.

use std::io::{self, Write};
use std::sync::atomic::{AtomicUsize, Ordering::Relaxed};

use cornerset::export::{ExportError, Exporter, Format, Rows};
use cornerset::quantity::{Percent, Volts};

use crate::records::{record, samples};

/// The formats that this build writes.
fn formats() -> Vec<Format> {
    Format::ALL.into_iter().filter(|format| cfg!(feature = "parquet") || *format != Format::Parquet).collect()
}

/// Takes so many bytes and no more.
struct Full(usize);

impl Write for Full {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.0 == 0 {
            return Err(io::Error::from(io::ErrorKind::StorageFull));
        }
        let taken = bytes.len().min(self.0);
        self.0 -= taken;
        Ok(taken)
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// However much room there was, a file that is not whole is told of: by the exporter, and as what it is.
#[test]
fn a_full_disk_is_told_of() {
    let records: Vec<_> = samples().iter().map(record).collect();
    for format in formats() {
        for room in [0, 3, 100, 1000, 4000] {
            let all = || -> Result<u64, ExportError> {
                let mut exporter = Exporter::new(format, Rows::Sessions, Full(room))?;
                records.iter().try_for_each(|record| exporter.add(record))?;
                exporter.finish()
            };
            let error = all().expect_err("no room");
            let said = error.to_string();
            assert!(matches!(error, ExportError::Io(_)), "{format:?}, {room}: {error:?}");
            assert!(said.starts_with("the rows cannot be written: ") && !said.contains('\n'), "{said}");
        }
    }
}

#[test]
fn a_number_that_is_not_finite_is_refused_and_no_part_of_its_row_written() {
    for format in formats() {
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            let mut record = record(&samples()[0]);
            record.sign_off.name = "never written".to_owned();
            record.meter.accuracy_percent = Percent::new(bad);
            let mut bytes = vec![];
            let mut exporter = Exporter::new(format, Rows::Sessions, &mut bytes).unwrap();
            let said = exporter.add(&record).unwrap_err().to_string();
            assert_eq!(said, "the rows cannot be written: `meter_accuracy_percent` is not a finite number");
            assert_eq!(exporter.finish().unwrap(), 0);
            assert!(!String::from_utf8_lossy(&bytes).contains("never written"));
        }
    }
    let mut record = record(&samples()[0]);
    record.plan.setting.accept_low_v = Some(Volts::new(f64::NAN));
    let mut exporter = Exporter::new(Format::Csv, Rows::Readings, vec![]).unwrap();
    let said = exporter.add(&record).unwrap_err().to_string();
    assert!(said.contains("`plan_setting_accept_low_v` is not a finite number"), "{said}");
}

#[cfg(feature = "parquet")]
#[test]
fn a_whole_number_that_parquet_does_not_hold_is_refused() {
    let mut record = record(&samples()[0]);
    record.sequence = u64::MAX;
    let mut exporter = Exporter::new(Format::Parquet, Rows::Sessions, vec![]).unwrap();
    let said = exporter.add(&record).unwrap_err().to_string();
    assert_eq!(said, "the rows cannot be written: `sequence` is 18446744073709551615, more than Parquet holds");
}

#[cfg(not(feature = "parquet"))]
#[test]
fn without_parquet_the_program_says_so() {
    let said = Exporter::new(Format::Parquet, Rows::Sessions, vec![]).err().expect("no Parquet").to_string();
    assert!(said.starts_with("this program was built without Parquet"), "{said}");
}

/// Counts what arrives.
struct Counted<'a>(&'a AtomicUsize);

impl Write for Counted<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.fetch_add(bytes.len(), Relaxed);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// What is held back stays below a bound that does not grow with the number of records: 16 KiB of lines; a group of
/// rows, or 64 MiB of text, in Parquet.
#[test]
fn rows_are_written_as_they_come() {
    let arrived = AtomicUsize::new(0);
    let here = || arrived.load(Relaxed);
    let mut record = record(&samples()[0]);
    // Less than any row has: digests, ids and times alone are as long.
    let row = 400;
    for format in [Format::Ndjson, Format::Csv] {
        arrived.store(0, Relaxed);
        let mut exporter = Exporter::new(format, Rows::Sessions, Counted(&arrived)).unwrap();
        let held_back: Vec<usize> = (1..=200)
            .map(|count| {
                exporter.add(&record).unwrap();
                count * row - here().min(count * row)
            })
            .collect();
        assert!(held_back.iter().all(|bytes| *bytes <= 16 * 1024), "{format:?}: {held_back:?}");
        exporter.finish().unwrap();
        assert!(here() >= 200 * row);
    }
    if cfg!(feature = "parquet") {
        // A megabyte a row: a group ends long before 16,384 rows.
        record.job = "j".repeat(1 << 20);
        arrived.store(0, Relaxed);
        let mut exporter = Exporter::new(Format::Parquet, Rows::Sessions, Counted(&arrived)).unwrap();
        let mut seen = vec![];
        for count in 0..130 {
            // Another text each time, so that no dictionary makes it short.
            record.job.replace_range(..3, &format!("{count:03}"));
            exporter.add(&record).unwrap();
            seen.push(here() >> 20);
        }
        assert_eq!((seen[62], seen[129] >= 126), (0, true), "{seen:?}");
        assert!(seen[64] >= 63, "{seen:?}");
        exporter.finish().unwrap();
    }
}
