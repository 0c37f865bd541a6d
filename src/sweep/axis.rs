//! One key that varies.

use super::VARIED;
use crate::error::Error;
use crate::keys::{Row, Value};
use crate::units::quantity::{Dimension, Unit};

/// A key and its values.
#[derive(Debug, Clone)]
pub struct Axis {
    row: &'static Row,
    /// Place of its section among those that vary.
    section: Option<usize>,
    /// Where its values go among those of all keys.
    place: usize,
    values: Values,
    labels: Labels,
    /// As the question has them; empty of rows side by side.
    text: String,
}

/// The values of a key, by digit.
#[derive(Debug, Clone)]
pub(crate) enum Values {
    /// Each once.
    Listed(Vec<Value>),
    /// Those of rows side by side, in SI; not all need be within the key's range, nor be numbers.
    Numbers(Vec<f64>, [f64; 2]),
    /// Those of rows side by side, each by its place among the values there are.
    Named(Vec<Value>, Vec<u32>),
}

/// What the values of a key are called in a file.
#[derive(Debug, Clone)]
pub(crate) enum Labels {
    /// Numbers of a dimension in SI, and the unit that the question has them in.
    Numbers(Dimension, Option<&'static Unit>),
    /// Names.
    Names(Vec<String>),
}

impl Axis {
    pub(crate) fn new(
        row: &'static Row,
        place: usize,
        values: Values,
        labels: Labels,
        text: String,
    ) -> Self {
        let section = row.path.split('.').next().unwrap_or_default();
        Self {
            row,
            section: VARIED.iter().position(|name| *name == section),
            place,
            values,
            labels,
            text,
        }
    }

    /// The key, as `riser.bore`.
    #[must_use]
    pub fn key(&self) -> &'static str {
        self.row.path
    }

    /// Its values, as the question has them.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// How many values it has.
    #[must_use]
    #[allow(clippy::len_without_is_empty, reason = "it has one at least")]
    pub fn len(&self) -> usize {
        match &self.values {
            Values::Listed(all) => all.len(),
            Values::Numbers(all, _) => all.len(),
            Values::Named(_, digits) => digits.len(),
        }
    }

    /// Its column: section and key, and the SI unit of a number.
    #[must_use]
    pub fn column(&self) -> String {
        self.row.column_of(match &self.labels {
            Labels::Numbers(dimension, _) => Some(*dimension),
            Labels::Names(_) => None,
        })
    }

    /// Whether it is a key of the air, of which those turn fastest.
    pub(super) fn is_of_air(&self) -> bool {
        self.section == Some(VARIED.len() - 1)
    }

    pub(super) fn section(&self) -> Option<usize> {
        self.section
    }

    pub(super) fn place(&self) -> usize {
        self.place
    }

    pub(super) fn value(&self, digit: usize) -> Option<Value> {
        match &self.values {
            Values::Listed(all) => all.get(digit).cloned(),
            Values::Numbers(all, _) => all.get(digit).copied().map(Value::Number),
            Values::Named(all, digits) => all.get(*digits.get(digit)? as usize).cloned(),
        }
    }

    /// Why a value of rows side by side is refused, if it is; those of a question were read before.
    pub(super) fn check(&self, digit: usize) -> Result<(), Error> {
        match &self.values {
            Values::Numbers(all, [least, most]) => {
                let si = all.get(digit).copied().unwrap_or(f64::NAN);
                // The ends themselves are compared in the unit of the range.
                if si > *least && si < *most {
                    return Ok(());
                }
                self.row.check(si)
            }
            Values::Listed(_) | Values::Named(..) => Ok(()),
        }
    }

    /// Whether two digits have the same value.
    pub(super) fn is_same(&self, one: usize, other: usize) -> bool {
        match &self.values {
            Values::Listed(_) => one == other,
            Values::Numbers(all, _) => {
                let bits = |digit: usize| all.get(digit).map(|si| si.to_bits());
                bits(one) == bits(other)
            }
            Values::Named(_, digits) => digits.get(one) == digits.get(other),
        }
    }

    /// The names of its values; none where they are numbers.
    pub(super) fn names(&self) -> Option<&[String]> {
        match &self.labels {
            Labels::Numbers(..) => None,
            Labels::Names(names) => Some(names),
        }
    }

    /// A value that is a number, in SI.
    pub(super) fn number(&self, digit: usize) -> f64 {
        match self.value(digit) {
            Some(Value::Number(number) | Value::Bores(number)) => number,
            _ => f64::NAN,
        }
    }

    /// The last digit of what is left of a row's number, which is taken from it.
    pub(super) fn digit(&self, rest: &mut u64) -> usize {
        let length = self.len() as u64;
        let digit = *rest % length;
        *rest /= length;
        // Less than the length, which is a usize.
        usize::try_from(digit).unwrap_or_default()
    }

    /// A value in words: in the unit of the question.
    pub(super) fn said(&self, digit: usize) -> String {
        match &self.labels {
            Labels::Names(names) => names.get(digit).cloned().unwrap_or_default(),
            Labels::Numbers(dimension, unit) => shown(*dimension, *unit, self.number(digit)),
        }
    }
}

/// A number in a unit, in words.
pub(crate) fn shown(dimension: Dimension, unit: Option<&'static Unit>, si: f64) -> String {
    let unit = unit.map_or("", Unit::name);
    let text = format!("{} {unit}", written(dimension.number(si, unit)));
    text.trim_end().to_owned()
}

/// A number as people write it: without the noise of its last digits.
pub(crate) fn written(number: f64) -> f64 {
    format!("{number:.11e}").parse().unwrap_or(number)
}
