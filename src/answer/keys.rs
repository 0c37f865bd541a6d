//! The keys of a design file.

use schemars::JsonSchema;
use serde::Serialize;

use super::Answer;
use crate::keys::{Row, Usual, plain, rows};

/// The keys of a design file, or of one of its sections.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct KeysAnswer {
    /// every key, by section
    pub keys: Vec<KeyFacts>,
}

/// A key of a design file.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct KeyFacts {
    /// its section
    pub section: String,
    /// its name in the section
    pub key: String,
    /// whether a file may have several sections of this name
    pub several: bool,
    /// what it holds, with the range
    pub holds: String,
    /// what it is
    pub meaning: String,
    /// what is taken where it is left out; `null` where it must be given
    pub default: Option<String>,
    /// a value, as a file writes it
    pub example: String,
    /// keys of its section that say the same
    pub instead: Vec<String>,
    /// the outlet or injector that it belongs to, or `null`
    pub belongs_to: Option<String>,
}

impl Answer for KeysAnswer {
    const SCHEMA: &'static str = "risewater.keys/1";
}

impl KeysAnswer {
    /// The keys of a section, or of all.
    #[must_use]
    pub fn of(section: Option<&str>) -> Self {
        let keys = rows(section).map(|(section, row)| KeyFacts {
            section: section.name.to_owned(),
            key: row.name.to_owned(),
            several: section.repeated,
            holds: plain(&row.value_words()),
            meaning: plain(row.words),
            default: match row.usual {
                Usual::Needed(_) => None,
                _ => Some(plain(&row.usual_words())),
            },
            example: Row::literal(row.example),
            instead: row.instead.iter().map(ToString::to_string).collect(),
            belongs_to: (!row.of.is_empty()).then(|| row.of.to_owned()),
        });
        Self {
            keys: keys.collect(),
        }
    }
}
