//! One cell of a table, and how the types of a record become cells.

use serde::{Serialize, Serializer};

use crate::filter::{Family, Rule, Slope};
use crate::meter::Verdict;
use crate::quantity::{Decibels, Hertz, Millimetres, Ohms, Percent, Volts, Watts};
use crate::record::FamilyFrom;
use crate::session::{EntryMode, Moment};

/// What the cells of a column hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Text.
    Text,
    /// A number with a fraction.
    Number,
    /// A whole number.
    Whole,
    /// Yes or no.
    YesNo,
    /// A moment.
    Moment,
}

impl Kind {
    /// Its name in the data dictionary.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Text => "text",
            Self::Number => "number",
            Self::Whole => "whole number",
            Self::YesNo => "yes/no",
            Self::Moment => "moment",
        }
    }
}

/// One cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cell<'a> {
    /// Nothing is known, or nothing applies.
    Null,
    /// See [`Kind::Text`].
    Text(&'a str),
    /// See [`Kind::Number`].
    Number(f64),
    /// See [`Kind::Whole`].
    Whole(u64),
    /// See [`Kind::YesNo`].
    YesNo(bool),
    /// See [`Kind::Moment`].
    Moment(Moment),
}

impl Serialize for Cell<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Null => serializer.serialize_none(),
            Self::Text(text) => serializer.serialize_str(text),
            Self::Number(number) => serializer.serialize_f64(*number),
            Self::Whole(number) => serializer.serialize_u64(*number),
            Self::YesNo(yes) => serializer.serialize_bool(*yes),
            Self::Moment(moment) => moment.serialize(serializer),
        }
    }
}

/// A length of time in seconds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Seconds(pub(super) f64);

/// A type of a record that fills a column. What the column holds, in which unit, and whether it may be null, all follow
/// from the type, so that none of them can be told wrong.
pub(super) trait Value {
    /// What the cells hold.
    const KIND: Kind;
    /// The unit; empty where there is none.
    const UNIT: &'static str = "";
    /// Whether cells may be null.
    const NULLABLE: bool = false;

    /// The cell.
    fn cell<'a>(self) -> Cell<'a>
    where
        Self: 'a;
}

macro_rules! values {
    ($($type:ty: $kind:ident, $unit:literal, |$value:ident| $cell:expr;)*) => {$(
        impl Value for $type {
            const KIND: Kind = Kind::$kind;
            const UNIT: &'static str = $unit;

            fn cell<'a>(self) -> Cell<'a>
            where
                Self: 'a,
            {
                let $value = self;
                Cell::$kind($cell)
            }
        }
    )*};
}

values! {
    &str: Text, "", |text| text;
    bool: YesNo, "", |yes| yes;
    Moment: Moment, "", |moment| moment;
    f64: Number, "", |number| number;
    u32: Whole, "", |number| number.into();
    u64: Whole, "", |number| number;
    usize: Whole, "", |number| number as u64;
    Hertz: Number, "Hz", |frequency| frequency.hz();
    Volts: Number, "V", |voltage| voltage.volts();
    Decibels: Number, "dB", |level| level.db();
    Percent: Number, "%", |share| share.percent();
    Watts: Number, "W", |power| power.watts();
    Ohms: Number, "ohm", |load| load.ohms();
    Millimetres: Number, "mm", |length| length.mm();
    Seconds: Number, "s", |time| time.0;
    Slope: Whole, "dB/octave", |slope| slope.db_per_octave().into();
    Family: Text, "", |family| family.word();
    Rule: Text, "", |rule| rule.word();
    Verdict: Text, "", |verdict| verdict.word();
    EntryMode: Text, "", |mode| match mode {
        EntryMode::Keyboard => "keyboard",
        EntryMode::Script => "script",
    };
    FamilyFrom: Text, "", |from| match from {
        FamilyFrom::Answer => "answer",
        FamilyFrom::Fit => "fit",
        FamilyFrom::Guess => "guess",
    };
}

impl<T: Value> Value for Option<T> {
    const KIND: Kind = T::KIND;
    const UNIT: &'static str = T::UNIT;
    const NULLABLE: bool = true;

    fn cell<'a>(self) -> Cell<'a>
    where
        Self: 'a,
    {
        self.map_or(Cell::Null, T::cell)
    }
}
