//! What a page asks.

use std::collections::BTreeMap;

use risewater::units::UnitSystem;
use serde::Deserialize;
use serde_json::Value;

use crate::reply::Faults;

/// One question.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Request {
    /// Its name.
    pub ask: String,
    /// The text of a design file; without one, the tool's example of that question.
    #[serde(default)]
    pub file: Option<String>,
    /// Values in the place of those of the file, by path.
    #[serde(default)]
    pub set: serde_json::Map<String, Value>,
    /// Tables that the file names, by name.
    #[serde(default)]
    pub tables: BTreeMap<String, String>,
    /// `metric` or `us`.
    #[serde(default)]
    pub units: Units,
    /// What else is wanted.
    #[serde(default)]
    pub options: Options,
}

/// Units of words and pictures.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Units {
    /// Metric.
    #[default]
    Metric,
    /// US customary.
    Us,
}

impl From<Units> for UnitSystem {
    fn from(units: Units) -> Self {
        match units {
            Units::Metric => Self::Metric,
            Units::Us => Self::Us,
        }
    }
}

/// What is wanted besides the answer, and what a question needs besides a file.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is a key of JSON by itself"
)]
pub struct Options {
    /// The name of the picture that is wanted, such as `curve`; `true` for the usual one of the question.
    pub picture: Option<Value>,
    /// Whether the picture alone is wanted, with neither answer nor words: that is quicker.
    pub bare: bool,
    /// Whether it is for a narrow screen.
    pub narrow: bool,
    /// Whether the tool's text is wanted.
    pub text: bool,
    /// Whether the first lines are not wanted either, which saves the time to write them.
    pub wordless: bool,
    /// Values of the answer in words, each by its path.
    pub fields: Vec<String>,
    /// Whether a search details every design, as the tool's `--json` does, and not the best alone: that takes ten times as long.
    pub detailed: bool,
    /// Whether the profile up the riser is wanted.
    pub profile: bool,
    /// About so many points of a curve.
    pub points: Option<usize>,
    /// How far a drawn curve goes, as an air flow at 20 °C; further where the riser itself runs beyond.
    pub most_air: Option<String>,
    /// A water flow to find: on a curve, or the air for it.
    pub want: Option<String>,
    /// Changes of the source's level, for a curve.
    pub levels: Vec<String>,
    /// How often the true flow shall lie in its interval, as a share or in per cent.
    pub level: Option<String>,
    /// Points measured of this riser.
    pub readings: Vec<Reading>,
    /// Whether the readings are those of the sheet among the tables.
    pub measured: bool,
    /// A file of measured points.
    pub calibration: Option<String>,
    /// A section of keys.
    pub section: Option<String>,
    /// A key, for `format` and `value`.
    pub key: Option<String>,
    /// Keys, for `values`.
    pub keys: Vec<String>,
    /// A value in SI base units, for `format`.
    pub si: Option<f64>,
    /// A text, for `value`; an answer as JSON, for `say`.
    pub value: Option<String>,
}

/// A point that was measured of the riser of the file.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// Air flow, at `air.reference`.
    pub air: String,
    /// Water flow.
    pub water: String,
    /// Depth of the injection point; that of the file unless given.
    #[serde(default)]
    pub submergence: Option<String>,
    /// Lift likewise.
    #[serde(default)]
    pub lift: Option<String>,
}

impl Request {
    /// Reads a request, or says why it is none.
    pub(crate) fn read(bytes: &[u8]) -> Result<Self, Faults> {
        serde_json::from_slice(bytes)
            .map_err(|error| Faults::plain(format!("this is no request: {error}")))
    }

    /// Units of words and pictures.
    pub(crate) fn units(&self) -> UnitSystem {
        self.units.into()
    }

    /// The values to set, as the tool's `--set` has them.
    pub(crate) fn replacements(&self) -> Vec<String> {
        let one = |(key, value): (&String, &Value)| match value {
            Value::String(text) => format!("{key}={text}"),
            other => format!("{key}={other}"),
        };
        self.set.iter().map(one).collect()
    }

    /// The name of the picture that is wanted, where one is.
    pub(crate) fn picture<'a>(&'a self, usual: &'a str) -> Option<&'a str> {
        match self.options.picture.as_ref()? {
            Value::String(name) => Some(name),
            Value::Bool(true) => Some(usual),
            _ => None,
        }
    }
}
