//! The tables of JSON keys in the chapter on answers, from the answers' own shapes.

use std::collections::{BTreeMap, BTreeSet};

use risewater::answer::SHAPES;
use serde_json::Value;

use super::{none, read, root};

const PAGE: &str = "book/src/answers.md";
const END: &str = "<!-- end -->";

/// Units at the end of a key, the longer first.
const UNITS: [(&str, &str); 20] = [
    ("_kg_per_m3", "kg/m³"),
    ("_j_per_m3", "J/m³"),
    ("_m3_per_s", "m³/s"),
    ("_kg_per_s", "kg/s"),
    ("_kg_per_j", "kg/J"),
    ("_m_per_s", "m/s"),
    ("_n_per_m", "N/m"),
    ("_pa_s", "Pa s"),
    ("_per_s", "1/s"),
    ("_m3", "m³"),
    ("_m2", "m²"),
    ("_kg", "kg"),
    ("_pa", "Pa"),
    ("_m", "m"),
    ("_s", "s"),
    ("_k", "K"),
    ("_w", "W"),
    ("_j", "J"),
    ("_per_kwh", "currency/kWh"),
    ("_cost", "currency"),
];

/// A table: what it is called, and its object in a schema.
type Tables = BTreeMap<String, Value>;

/// `IntervalFacts` as people call it.
fn called(name: &str) -> String {
    let name = ["Facts", "Shape"]
        .iter()
        .fold(name, |name, end| name.trim_end_matches(end));
    let mut words = String::new();
    for letter in name.chars() {
        if letter.is_uppercase() && !words.is_empty() {
            words.push(' ');
        }
        words.extend(letter.to_lowercase());
    }
    words
}

/// The definitions that a value of a schema names, itself not resolved.
fn named(value: &Value) -> Option<&str> {
    let own = value["$ref"].as_str();
    let own = own.or_else(|| value["anyOf"].as_array()?.iter().find_map(named));
    own.or_else(|| value.get("items").and_then(named))
        .map(|path| path.trim_start_matches("#/$defs/"))
}

fn is_number(value: &Value) -> bool {
    let kind = &value["type"];
    let one = |kind: &Value| matches!(kind.as_str(), Some("number" | "integer"));
    one(kind)
        || kind.as_array().is_some_and(|kinds| kinds.iter().any(one))
        || value.get("items").is_some_and(is_number)
}

fn may_be_null(value: &Value) -> bool {
    let null = |one: &Value| one == "null" || one["type"] == "null";
    let any = |key: &str| {
        value[key]
            .as_array()
            .is_some_and(|all| all.iter().any(null))
    };
    any("type") || any("anyOf")
}

/// The unit of a key's numbers; a key in `unit` has that of its object.
fn unit(key: &str, value: &Value) -> &'static str {
    let words = value["description"].as_str().unwrap_or_default();
    let unit = UNITS.iter().find(|(end, _)| key.ends_with(end));
    match unit {
        _ if !is_number(value) || words.ends_with("in `unit`") => "",
        Some((_, unit)) => unit,
        None => "1",
    }
}

fn row(key: &str, value: &Value, shared: &BTreeSet<String>) -> String {
    let unit = unit(key, value);
    let words = value["description"].as_str().unwrap_or_default();
    let mut words = words.replace('\n', " ");
    if may_be_null(value) && !words.contains("`null`") {
        words += "; or `null`";
    }
    if let Some(name) = named(value) {
        let called = called(name);
        words += &if shared.contains(name) {
            format!(" ([*{called}*](#{}))", called.replace(' ', "-"))
        } else {
            format!(" (*{called}*)")
        };
    }
    format!("| `{key}` | {unit} | {words} |\n")
}

fn table(object: &Value, shared: &BTreeSet<String>) -> String {
    let properties = object["properties"].as_object();
    let rows = properties.into_iter().flatten();
    let rows = rows.filter(|(key, _)| *key != "schema");
    let rows: String = rows.map(|(key, value)| row(key, value, shared)).collect();
    format!("\n| key | unit | meaning |\n|---|---|---|\n{rows}")
}

/// The definitions that a shape comes to, in the order in which it names them.
fn below(object: &Value, all: &Tables, found: &mut Vec<String>) {
    let properties = object["properties"].as_object();
    let names = properties
        .into_iter()
        .flatten()
        .filter_map(|(_, value)| named(value));
    for name in names {
        if !found.iter().any(|known| known == name) {
            found.push(name.to_owned());
            below(&all[name], all, found);
        }
    }
}

/// Keys of numbers without a unit, in any answer.
pub fn bare_numbers() -> BTreeSet<String> {
    let mut bare = BTreeSet::new();
    for (_, shape) in SHAPES {
        let shape = shape().to_value();
        let parts = shape["$defs"].as_object().into_iter().flatten();
        for object in parts.map(|(_, part)| part).chain([&shape]) {
            let keys = object["properties"].as_object().into_iter().flatten();
            let keys = keys.filter(|(key, value)| unit(key, value) == "1");
            bare.extend(keys.map(|(key, _)| key.clone()));
        }
    }
    bare
}

/// Each block of the page by its name.
fn blocks() -> Vec<(String, String)> {
    let shapes = SHAPES
        .iter()
        .map(|(name, shape)| (*name, shape().to_value()));
    let shapes: Vec<(&str, Value)> = shapes.collect();
    let (mut users, mut all): (BTreeMap<String, BTreeSet<&str>>, Tables) = Default::default();
    let mut parts: Vec<Vec<String>> = Vec::new();
    for (name, shape) in &shapes {
        let own: Tables = shape["$defs"]
            .as_object()
            .into_iter()
            .flatten()
            .map(|(name, object)| (name.clone(), object.clone()))
            .collect();
        let mut found = Vec::new();
        below(shape, &own, &mut found);
        for part in &found {
            users.entry(part.clone()).or_default().insert(name);
        }
        all.extend(own);
        parts.push(found);
    }
    let shared = users.into_iter().filter(|(_, by)| by.len() > 1);
    let shared: BTreeSet<String> = shared.map(|(part, _)| part).collect();
    let part = |head: String, part: &String| {
        let words = all[part]["description"].as_str().unwrap_or_default();
        format!(
            "\n{head}{}\n{}",
            words.replace('\n', " "),
            table(&all[part], &shared)
        )
    };
    let of_part = |name: &String| part(format!("*{}*. ", called(name)), name);
    let headed = |name: &String| part(format!("#### {}\n\n", called(name)), name);
    let mut blocks = vec![(
        "several".to_owned(),
        shared.iter().map(headed).collect::<String>(),
    )];
    for ((name, shape), parts) in shapes.iter().zip(parts) {
        let own = parts.iter().filter(|part| !shared.contains(*part));
        let text = format!(
            "\n`{}`. {}\n{}{}",
            shape["title"].as_str().unwrap(),
            shape["description"].as_str().unwrap().replace('\n', " "),
            table(shape, &shared),
            own.map(of_part).collect::<String>()
        );
        blocks.push(((*name).to_owned(), text));
    }
    blocks
}

/// With `ANSWERS=overwrite` the tables are written anew; read the difference like code.
#[test]
fn tables_of_answers_are_those_of_their_shapes() {
    let mut page = read(PAGE);
    let mut faults = Vec::new();
    for (name, text) in blocks() {
        let start = format!("<!-- keys of {name} -->\n");
        let Some((before, rest)) = page.split_once(&start) else {
            faults.push(format!("{PAGE} has no {start:?}"));
            continue;
        };
        let (old, after) = rest.split_once(END).expect("a block has an end");
        let fresh = format!("{text}\n");
        if old != fresh {
            faults.push(format!(
                "{PAGE}: the keys of {name} are others; ANSWERS=overwrite writes them"
            ));
        }
        page = format!("{before}{start}{fresh}{END}{after}");
    }
    if std::env::var("ANSWERS").as_deref() == Ok("overwrite") {
        std::fs::write(root().join(PAGE), page).unwrap();
    } else {
        none(&faults);
    }
}
