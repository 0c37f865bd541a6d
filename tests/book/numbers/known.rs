//! Names and phrases that the library knows to be so.

use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

use risewater::air::NAMED;
use risewater::answer::SHAPES;
use risewater::friction::Friction;
use risewater::pipe::Pipe;
use risewater::pipe::fittings::Fitting;
use risewater::sizing::{FEWER_LIFTS, FEWER_LIFTS_POWER};
use risewater::slip::Slip;
use risewater::units::quantity::Dimension;
use serde_json::Value;

use super::super::keys::{answers, key_rows, keys};
use super::super::limits::{default_holds, limits, limits_hold, said_default};
use super::super::shapes::bare_numbers;
use super::words::plain;

/// Texts of the JSON answers that name something: schemas, closures, states.
fn texts(value: &Value, found: &mut Vec<String>) {
    match value {
        Value::Object(map) => map.values().for_each(|value| texts(value, found)),
        Value::Array(all) => all.iter().for_each(|value| texts(value, found)),
        Value::String(text) if !text.contains(' ') => found.push(text.clone()),
        _ => {}
    }
}

/// Words that are names; one that a changed digit would make into another is none.
pub fn names() -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let mut all = Vec::new();
    for value in answers() {
        keys(&value, &mut found);
        texts(&value, &mut all);
    }
    all.extend(found);
    for (_, shape) in SHAPES {
        let name = shape()
            .get("title")
            .and_then(Value::as_str)
            .map(str::to_owned);
        all.extend(name);
    }
    all.extend(key_rows().into_iter().map(|row| row.key));
    all.extend(Slip::ALL.iter().map(ToString::to_string));
    all.extend(Friction::ALL.iter().map(ToString::to_string));
    all.extend(Fitting::ALL.iter().map(|one| one.name().to_owned()));
    all.extend(NAMED.iter().map(|state| state.name.to_owned()));
    for dimension in Dimension::ALL {
        all.extend(
            dimension
                .units()
                .flat_map(|unit| unit.spellings)
                .map(ToString::to_string),
        );
    }
    all.extend(Pipe::catalogue().iter().flat_map(|pipe| plain(&pipe.name)));
    let names: BTreeSet<String> = all
        .into_iter()
        // "1/h" is a name, "2-1/2" is none.
        .filter(|name| name.starts_with(char::is_alphabetic) || name.starts_with("1/"))
        .collect();
    let masked = |name: &str| -> String {
        name.chars()
            .map(|c| if c.is_ascii_digit() { '0' } else { c })
            .collect()
    };
    let mut alike: BTreeMap<String, usize> = BTreeMap::new();
    for name in &names {
        *alike.entry(masked(name)).or_default() += 1;
    }
    names
        .into_iter()
        .filter(|name| alike[&masked(name)] == 1)
        .collect()
}

/// Exit statuses of the tool, as runs of it end.
fn statuses() -> Vec<Vec<String>> {
    [
        (&["flow"][..], "done"),
        (&["flow", "--want", "400 L/min"], "understood"),
        (&["flow", "--want", "400"], "bad input"),
    ]
    .map(|(arguments, meaning)| {
        let run = Command::new(env!("CARGO_BIN_EXE_risewater"))
            .args(arguments)
            .output()
            .unwrap();
        let status = run.status.code().unwrap();
        plain(&format!("{status} {meaning}"))
    })
    .to_vec()
}

/// Rows of the reference chapter, where limits and default are those of the library.
fn rows() -> Vec<Vec<String>> {
    key_rows()
        .iter()
        .filter(|row| limits_hold(row, limits(row).as_deref()))
        .map(|row| {
            let default = said_default(row).filter(|said| default_holds(row, said));
            let default = default.unwrap_or_default();
            plain(&format!("{} {} {default}", row.key, row.value))
        })
        .collect()
}

/// Each phrase, with the chapter that it stands for.
pub fn phrases() -> Vec<(&'static str, Vec<String>)> {
    let units = bare_numbers().into_iter();
    let units = units.map(|key| plain(&format!("{key} 1")));
    let mut all: Vec<_> = rows()
        .into_iter()
        .map(|row| ("design-file.md", row))
        .collect();
    all.extend(units.chain(statuses()).map(|phrase| ("answers.md", phrase)));
    let fewer = format!(
        "at most {FEWER_LIFTS} of the best design's, for at most {:.0} % more",
        100.0 * (FEWER_LIFTS_POWER - 1.0)
    );
    let of_set = fewer.replace("design's", "set's");
    all.extend([fewer, of_set].map(|words| ("answers.md", plain(&words))));
    // The heading of the changes.
    let version = concat!(env!("CARGO_PKG_VERSION"), " not released yet");
    all.push(("changes.md", plain(version)));
    all
}
