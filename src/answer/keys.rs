//! The keys of a design file.

use crate::keys::{Row, Section, Usual, plain, rows};
use crate::units::UnitSystem;

facts! {
    /// The keys of a design file, or of one of its sections.
    pub struct KeysAnswer {
        /// every key, by section
        pub keys: Vec<KeyFacts> = rows(section).map(Into::into).collect(),
    }

    /// The keys of a section, or of all.
    #[must_use]
    pub fn of(section: Option<&str>) -> Self {
    }

    /// A key of a design file.
    pub struct KeyFacts from (section, row): (&Section, &Row) {
        /// its section
        pub section: String = section.name.to_owned(),
        /// its name in the section
        pub key: String = row.name.to_owned(),
        /// whether a file may have several sections of this name
        pub several: bool = section.repeated,
        /// what it holds, with the range
        pub holds: String = plain(&row.value_words()),
        /// the quantity that it holds; `null` where it is a number, a text or several
        pub dimension: Option<String> = row.dimension().map(|one| one.to_string()),
        /// its unit; `null` where it holds no such quantity
        pub unit: Option<String> = row.unit(UnitSystem::Metric).map(|unit| unit.name().to_owned()),
        /// smallest value, as a file writes it; `null` where it has no range
        pub smallest: Option<String> = ends.as_ref().map(|ends| ends[0].clone()),
        /// largest value, as a file writes it; `null` where it has no range
        pub largest: Option<String> = ends.map(|ends| ends[1].clone()),
        /// the names that it may hold; empty where it holds something else
        pub names: Vec<String> = row.names().iter().map(ToString::to_string).collect(),
        /// what it is
        pub meaning: String = plain(row.words),
        /// what the tool takes where it is left out; `null` where it must be given
        pub default: Option<String> = match row.usual {
            Usual::Needed(_) => None,
            _ => Some(plain(&row.usual_words())),
        },
        /// a value, as a file writes it
        pub example: String = Row::literal(row.example),
        /// keys of its section that say the same
        pub instead: Vec<String> = row.instead.iter().map(ToString::to_string).collect(),
        /// the outlet or injector that it belongs to, or `null`
        pub belongs_to: Option<String> = (!row.of.is_empty()).then(|| row.of.to_owned()),
    } where {
        let ends = row.ends(UnitSystem::Metric);
    }
}
