//! The keys of a design file: as a list, and as a JSON Schema for editors.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::Value;

use crate::error::Range;
use crate::keys::{Holds, Row, SECTIONS, STATE, Section, plain, rows};
use crate::units::quantity::Dimension;

/// The keys of a section, or of all.
#[must_use]
pub fn keys(section: Option<&str>) -> String {
    let of_key = |(section, row): (&Section, &Row)| {
        let [holds, words, default] =
            [&row.value_words(), row.words, &row.usual_words()].map(plain);
        let example = Row::literal(row.example);
        let default = match default.as_str() {
            "" => default,
            words => format!("default: {words}; "),
        };
        let names = match row.holds {
            Holds::Name(_, names) => format!(", one of {}", names().join(", ")),
            _ => String::new(),
        };
        format!(
            "{}.{}: {holds}{names}\n    {words}; {default}such as {example}\n",
            section.name, row.name
        )
    };
    rows(section).map(of_key).collect()
}

/// A JSON Schema, as far as design files need one.
#[derive(Debug, Default, Serialize)]
#[serde(rename_all = "camelCase")]
struct Schema {
    #[serde(rename = "$schema", skip_serializing_if = "Option::is_none")]
    dialect: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    title: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    description: Option<String>,
    #[serde(rename = "type", skip_serializing_if = "Option::is_none")]
    kind: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pattern: Option<&'static str>,
    #[serde(rename = "enum", skip_serializing_if = "Vec::is_empty")]
    names: Vec<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    minimum: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    maximum: Option<f64>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    any_of: Vec<Schema>,
    #[serde(skip_serializing_if = "Option::is_none")]
    items: Option<Box<Schema>>,
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    properties: BTreeMap<&'static str, Schema>,
    #[serde(skip_serializing_if = "Option::is_none")]
    additional_properties: Option<Others>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    examples: Vec<Value>,
}

/// What other properties may be.
#[derive(Debug, Serialize)]
#[serde(untagged)]
enum Others {
    None(bool),
    Each(Box<Schema>),
}

/// A number and a unit.
const QUANTITY: &str = r"^\s*[-+−]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?\s*\S.*$";

impl Schema {
    fn of(kind: &'static str) -> Self {
        Self {
            kind: Some(kind),
            ..Self::default()
        }
    }

    fn quantity() -> Self {
        Self {
            pattern: Some(QUANTITY),
            ..Self::of("string")
        }
    }

    fn one_of(names: Vec<&'static str>) -> Self {
        Self {
            names,
            ..Self::of("string")
        }
    }

    fn within(kind: &'static str, range: Range) -> Self {
        Self {
            minimum: Some(range.min),
            maximum: Some(range.max),
            ..Self::of(kind)
        }
    }

    fn any(any_of: impl Into<Vec<Self>>) -> Self {
        Self {
            any_of: any_of.into(),
            ..Self::default()
        }
    }

    fn list(items: Self) -> Self {
        Self {
            items: Some(Box::new(items)),
            ..Self::of("array")
        }
    }

    fn table(properties: impl IntoIterator<Item = (&'static str, Self)>) -> Self {
        Self {
            properties: properties.into_iter().collect(),
            additional_properties: Some(Others::None(false)),
            ..Self::of("object")
        }
    }

    fn section(section: &Section) -> Self {
        Self::table(section.keys.iter().map(|row| (row.name, Self::key(row))))
    }

    fn key(row: &Row) -> Self {
        let share = |range| Self::any([Self::within("number", range), Self::of("string")]);
        let value = match row.holds {
            Holds::Quantity(Dimension::Ratio, range) => share(range),
            Holds::Quantities(Dimension::Ratio, range) => Self::list(share(range)),
            Holds::Quantity(..) => Self::quantity(),
            Holds::QuantityOrNone(..) => Self::any([Self::one_of(vec!["none"]), Self::quantity()]),
            Holds::Quantities(..) => {
                let count = ("count", Self::of("integer"));
                let ends = ["from", "to"].map(|end| (end, Self::quantity()));
                let range = Self::table(ends.into_iter().chain([count]));
                Self::any([Self::list(Self::quantity()), range])
            }
            Holds::BoresOrLength(bores, _) => {
                Self::any([Self::within("number", bores), Self::of("string")])
            }
            Holds::Number(range) => Self::within("number", range),
            Holds::Whole(range) => Self::within("integer", range),
            Holds::Truth => Self::of("boolean"),
            Holds::Text | Holds::File | Holds::Pipe => Self::of("string"),
            Holds::Name(..) => Self::one_of(row.names()),
            Holds::Pipes | Holds::Standards => Self::list(Self::of("string")),
            Holds::Fittings(range) => Self {
                additional_properties: Some(Others::Each(Self::within("integer", range).into())),
                ..Self::of("object")
            },
            Holds::Pairs(_) => Self::list(Self::list(Self::quantity())),
            Holds::State => Self::any([Self::of("string"), Self::section(&STATE)]),
        };
        let example = format!("example = {}", Row::literal(row.example));
        let example = toml_edit::de::from_str::<BTreeMap<String, Value>>(&example);
        let words = [row.words, &row.value_words(), &row.usual_words()].map(plain);
        Self {
            description: Some(format!(
                "{} ({}; default: {})",
                words[0], words[1], words[2]
            )),
            examples: example.unwrap_or_default().into_values().collect(),
            ..value
        }
    }
}

/// A JSON Schema of design files, for editors.
#[must_use]
pub fn design_schema() -> Value {
    let sections = SECTIONS.iter().map(|section| {
        let one = Schema::section(section);
        let whole = match (section.repeated, section.single) {
            (false, _) => one,
            (true, false) => Schema::list(one),
            (true, true) => Schema::any([one, Schema::list(Schema::section(section))]),
        };
        (section.name, whole)
    });
    // riser.bore = "…" is a table in a table, "riser.bore" = "…" is not.
    let each = |one: Schema| Schema {
        additional_properties: Some(Others::Each(one.into())),
        ..Schema::of("object")
    };
    let text = || Schema::of("string");
    let swept = Schema {
        description: Some("values of keys that vary, for `risewater sweep`".to_owned()),
        ..each(Schema::any([text(), each(text())]))
    };
    let sections = sections.chain([("sweep", swept)]);
    let schema = Schema {
        dialect: Some("https://json-schema.org/draft/2020-12/schema"),
        title: Some("Design file of risewater"),
        ..Schema::table(sections)
    };
    serde_json::to_value(schema).unwrap_or_default()
}
