//! A cell of a trial sheet: a number in its column's unit, or a text with a unit of its own.

use std::fmt;

use crate::design::quantity::{Dimension, Unit};
use crate::name::nearest;

/// What a column measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Measure {
    /// Depth, height.
    Length,
    /// Time.
    Time,
    /// Volume.
    Volume,
    /// Mass.
    Mass,
    /// Temperature.
    Temperature,
    /// Pressure counted from vacuum.
    AbsolutePressure,
    /// Volume per time.
    VolumeRate,
    /// Mass of salt over mass of water and salt.
    MassFraction,
}

impl Measure {
    /// All of them, in the order by which a unit is told.
    pub const ALL: &[Measure] = &[
        Self::Length,
        Self::Time,
        Self::Volume,
        Self::Mass,
        Self::Temperature,
        Self::AbsolutePressure,
        Self::VolumeRate,
        Self::MassFraction,
    ];

    /// The units taken for it, the usual ones first.
    pub fn units(self) -> impl Iterator<Item = &'static Unit> {
        self.dimension().units()
    }

    fn dimension(self) -> Dimension {
        match self {
            Self::Length => Dimension::Length,
            Self::Time => Dimension::Time,
            Self::Volume => Dimension::Volume,
            Self::Mass => Dimension::Mass,
            Self::Temperature => Dimension::Temperature,
            Self::AbsolutePressure => Dimension::AbsolutePressure,
            Self::VolumeRate => Dimension::VolumeRate,
            Self::MassFraction => Dimension::MassFraction,
        }
    }

    /// The unit of a spelling; `_per_` stands for a slash, as headers have it.
    pub(super) fn unit_spelled(self, text: &str) -> Option<&'static Unit> {
        let text = text.replace("_per_", "/");
        self.units().find(|unit| unit.is_spelled(&text))
    }

    /// The unit, or why there is none.
    pub(super) fn unit(self, text: &str) -> Result<&'static Unit, CellError> {
        if let Some(unit) = self.unit_spelled(text) {
            return Ok(unit);
        }
        let other = Self::ALL
            .iter()
            .find(|other| other.unit_spelled(text).is_some());
        let spellings = self.units().flat_map(|unit| unit.spellings);
        Err(match other {
            Some(found) => CellError::WrongMeasure {
                unit: text.to_owned(),
                found: *found,
                expected: self,
            },
            None => CellError::UnknownUnit {
                unit: text.to_owned(),
                nearest: nearest(text, spellings),
                expected: self,
            },
        })
    }

    /// Some units that would do.
    fn advice(self) -> String {
        let names: Vec<&str> = self.units().map(Unit::name).take(4).collect();
        match names.split_last() {
            Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
            _ => names.concat(),
        }
    }
}

impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Length => "length",
            Self::Time => "time",
            Self::Volume => "volume",
            Self::Mass => "mass",
            Self::Temperature => "temperature",
            Self::AbsolutePressure => "absolute pressure",
            Self::VolumeRate => "volume flow",
            Self::MassFraction => "mass fraction",
        })
    }
}

/// Why a cell is not the quantity that its column holds.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CellError {
    /// Nothing in it.
    #[error("the cell is empty; give the {expected}, in the column's unit or with its own")]
    Empty {
        /// What is due.
        expected: Measure,
    },
    /// It does not start with a number.
    #[error("this is not a number; give the {expected}, in the column's unit or with its own such as {}", expected.advice())]
    NotANumber {
        /// What is due.
        expected: Measure,
    },
    /// NaN, an infinity, or too large for a number.
    #[error("this is not a finite number")]
    NotFinite,
    /// A comma in the number.
    #[error(
        "a decimal comma; write a decimal point, and nothing between thousands (in a spreadsheet: set its language to English before saving as CSV)"
    )]
    DecimalComma,
    /// A number in a column whose header has no unit.
    #[error("a number without a unit; put the unit in the header or in the cell: {}", expected.advice())]
    MissingUnit {
        /// What is due.
        expected: Measure,
    },
    /// A unit of something else.
    #[error("{unit} is a unit of {found}, not of {expected}; use {}", expected.advice())]
    WrongMeasure {
        /// The unit.
        unit: String,
        /// What it measures.
        found: Measure,
        /// What is due.
        expected: Measure,
    },
    /// A unit in no table.
    #[error("{unit:?} is no known unit of {expected}{}; use {}",
        match nearest { Some(n) => format!(", did you mean {n}"), None => String::new() }, expected.advice())]
    UnknownUnit {
        /// The unit.
        unit: String,
        /// The nearest spelling that would do, if one is near.
        nearest: Option<String>,
        /// What is due.
        expected: Measure,
    },
}

/// The value of a cell in SI base units; `column` is the unit of its header.
pub(super) fn si_value(
    text: &str,
    measure: Measure,
    column: Option<&'static Unit>,
) -> Result<f64, CellError> {
    // A minus sign as word processors set it is a sign too.
    let text = text.trim().replacen('\u{2212}', "-", 1);
    if text.is_empty() {
        return Err(CellError::Empty { expected: measure });
    }
    let (number, rest) = split(&text).ok_or(CellError::NotANumber { expected: measure })?;
    let mut next = rest.chars();
    match next.next() {
        Some(',') if next.next().is_some_and(|c| c.is_ascii_digit()) => {
            return Err(CellError::DecimalComma);
        }
        Some(c) if c.is_ascii_digit() || "/.,:+-".contains(c) => {
            return Err(CellError::NotANumber { expected: measure });
        }
        _ => {}
    }
    let unit = match rest.trim() {
        "" => column.ok_or(CellError::MissingUnit { expected: measure })?,
        own => measure.unit(own)?,
    };
    let value = (number + unit.offset) * unit.factor;
    if value.is_finite() {
        Ok(value)
    } else {
        Err(CellError::NotFinite)
    }
}

/// The longest number that a text starts with, and what follows it.
fn split(text: &str) -> Option<(f64, &str)> {
    /// No number that means anything is longer, and a cell may be.
    const LONGEST: usize = 64;
    let ends = text
        .char_indices()
        .map(|(at, c)| at + c.len_utf8())
        .take(LONGEST);
    ends.filter_map(|end| {
        text[..end]
            .parse()
            .ok()
            .map(|number| (number, &text[end..]))
    })
    .last()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn time(text: &str) -> Result<f64, CellError> {
        si_value(text, Measure::Time, Measure::Time.unit_spelled("s"))
    }

    #[test]
    fn the_cell_s_own_unit_goes_before_the_column_s() {
        assert_eq!(time("12.5"), Ok(12.5));
        assert_eq!(time(" 12.5 s "), Ok(12.5));
        assert_eq!(time("2min"), Ok(120.0));
        assert_eq!(time("1e1 s"), Ok(10.0));
        assert_eq!(time("\u{2212}3"), Ok(-3.0));
        let volume = |text| si_value(text, Measure::Volume, Measure::Volume.unit_spelled("L"));
        assert_eq!(volume("1500 mL"), Ok(1500.0 * 1e-6));
        assert_eq!(volume("1 gal"), Ok(231.0 * 0.0254 * 0.0254 * 0.0254));
        assert!(matches!(volume("1 ML"), Err(CellError::UnknownUnit { .. })));
        let temperature = |text| si_value(text, Measure::Temperature, None);
        assert_eq!(temperature("20 degC"), Ok(293.15));
        assert_eq!(
            temperature("20"),
            Err(CellError::MissingUnit {
                expected: Measure::Temperature
            })
        );
    }

    #[test]
    fn what_is_no_time() {
        let empty = CellError::Empty {
            expected: Measure::Time,
        };
        let no_number = CellError::NotANumber {
            expected: Measure::Time,
        };
        assert_eq!(time("  "), Err(empty));
        for text in ["abc", "s", "12:30", "1.2.3", "#DIV/0!", "1/2", "12,", "--3"] {
            assert_eq!(time(text), Err(no_number.clone()), "{text}");
        }
        for text in ["12,5", "12,5 s", "1,200"] {
            assert_eq!(time(text), Err(CellError::DecimalComma), "{text}");
        }
        for text in ["NaN", "inf", "-infinity", "1e400"] {
            assert_eq!(time(text), Err(CellError::NotFinite), "{text}");
        }
        assert!(
            time("12 m")
                .unwrap_err()
                .to_string()
                .starts_with("m is a unit of length, not of time")
        );
        assert!(
            time("12 secs")
                .unwrap_err()
                .to_string()
                .contains("did you mean sec")
        );
    }

    #[test]
    fn headers_spell_slashes_out() {
        let unit = Measure::VolumeRate.unit_spelled("L_per_min").unwrap();
        assert_eq!(unit.name(), "L/min");
        assert_eq!(
            Measure::MassFraction
                .unit_spelled("g_per_kg")
                .unwrap()
                .name(),
            "g/kg"
        );
    }
}
