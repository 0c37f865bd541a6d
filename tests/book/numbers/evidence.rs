//! What holds the numbers of a chapter.

use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

use risewater::air::NAMED;
use risewater::design::quantity::Dimension;
use risewater::friction::Friction;
use risewater::pipe::Pipe;
use risewater::pipe::fittings::Fitting;
use risewater::references;
use risewater::slip::Slip;
use serde_json::Value;

use super::super::keys::{answers, key_rows, keys};
use super::super::limits::{default_holds, limits, said_default, said_limits};
use super::super::{files, read, split};
use super::assertions::assertions;
use super::words::{Word, words};

/// What holds a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// An assertion of the chapter.
    Assertion,
    /// A command of the chapter and what it prints.
    Console,
    /// A citation in the list of sources.
    Source,
    /// A name that the library knows: key, unit, closure, pipe, state.
    Name,
    /// Limits and default of a key, unit of a number in JSON, exit status: as the library has them.
    Library,
    /// The list with reasons.
    Listed,
}

/// A phrase of a chapter: numbers that no assertion can hold, and why.
pub struct Listed {
    pub chapter: String,
    pub phrase: Vec<String>,
}

/// A phrase that the library knows to be so, in one chapter or in all.
struct Known {
    chapter: Option<&'static str>,
    kind: Kind,
    words: Vec<String>,
}

/// Evidence that every chapter shares.
pub struct Library {
    names: BTreeSet<String>,
    /// By their first word.
    phrases: BTreeMap<String, Vec<Known>>,
    sources: BTreeSet<Vec<String>>,
    pub list: Vec<Listed>,
}

/// The words of a text, as they are compared.
fn plain(text: &str) -> Vec<String> {
    words(text, 0).map(|word| word.text).collect()
}

/// Runs of three words.
///
/// With one neighbour alone, about one changed digit in a hundred met another number of the chapter.
fn runs(text: &str) -> Vec<Vec<String>> {
    plain(text).windows(3).map(<[String]>::to_vec).collect()
}

/// A text with a word of no page for each placeholder of a format.
fn without_places(text: &str) -> String {
    let mut parts = text.split('{');
    let mut kept = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        match part.split_once('}') {
            Some((place, rest)) if !place.contains(' ') => {
                kept += " placeholder ";
                kept += rest;
            }
            _ => kept += part,
        }
    }
    kept
}

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
fn names(json: &[Value]) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    json.iter().for_each(|value| keys(value, &mut found));
    let mut all: Vec<String> = found.into_iter().collect();
    json.iter().for_each(|value| texts(value, &mut all));
    all.push("risewater.error/1".to_owned());
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
        .filter(|name| name.starts_with(char::is_alphabetic))
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

/// Keys of JSON that hold a bare number: their unit is 1.
fn bare_numbers(value: &Value, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) => {
            for (key, value) in map {
                let unit = key.rsplit('_').next().unwrap_or_default();
                let units = [
                    "m", "mm", "m2", "m3", "pa", "gauge", "w", "k", "s", "kwh", "kg", "each",
                    "total", "l",
                ];
                // What there is none of is null, and has its unit all the same.
                let bare = value.is_number() || value.is_null();
                if bare && !units.contains(&unit) && !key.contains("_per_") {
                    found.insert(key.clone());
                }
                bare_numbers(value, found);
            }
        }
        Value::Array(all) => all.iter().for_each(|value| bare_numbers(value, found)),
        _ => {}
    }
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
    let mut found = Vec::new();
    for row in key_rows() {
        let said = said_limits(&row);
        let limits_hold =
            said.is_none_or(|said| limits(&row).is_some_and(|it| it.starts_with(said)));
        if !limits_hold {
            continue;
        }
        let default = said_default(&row).filter(|said| default_holds(&row, said));
        let default = default.unwrap_or_default();
        found.push(plain(&format!("{} {} {default}", row.key, row.value)));
    }
    found
}

/// Numbers with a reason, in place of an assertion.
fn list() -> Vec<Listed> {
    read("tests/book/numbers.txt")
        .lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| {
            let parts: Vec<&str> = line.split(" :: ").collect();
            let [chapter, phrase, reason] = parts[..] else {
                panic!("not chapter :: phrase :: reason: {line}");
            };
            assert!(!reason.trim().is_empty(), "no reason: {line}");
            Listed {
                chapter: chapter.to_owned(),
                phrase: plain(phrase),
            }
        })
        .collect()
}

impl Library {
    pub fn new() -> Self {
        let json = answers();
        let mut bare = BTreeSet::new();
        json.iter().for_each(|value| bare_numbers(value, &mut bare));
        let mut phrases: BTreeMap<String, Vec<Known>> = BTreeMap::new();
        let mut put = |chapter, kind, words: Vec<String>| {
            if words.len() > 1 {
                let first = words[0].clone();
                let known = Known {
                    chapter,
                    kind,
                    words,
                };
                phrases.entry(first).or_default().push(known);
            }
        };
        for row in rows() {
            put(Some("design-file.md"), Kind::Library, row);
        }
        for key in bare {
            put(
                Some("answers.md"),
                Kind::Library,
                plain(&format!("{key} 1")),
            );
        }
        for status in statuses() {
            put(Some("answers.md"), Kind::Library, status);
        }
        // The heading of the changes.
        let version = concat!(env!("CARGO_PKG_VERSION"), " not released yet");
        put(Some("changes.md"), Kind::Library, plain(version));
        for source in references::ALL {
            put(None, Kind::Source, plain(source.key));
        }
        let texts = references::ALL
            .iter()
            .flat_map(|source| [source.key.to_owned(), source.text.to_owned()]);
        // Files of data start with their citation.
        let data = files("tests/data", &["csv"]).into_iter().map(|path| {
            let text = read(path);
            text.lines().take(2).collect::<Vec<_>>().join(" ")
        });
        Self {
            names: names(&json),
            phrases,
            sources: texts.chain(data).flat_map(|text| runs(&text)).collect(),
            list: list(),
        }
    }
}

/// What a chapter checks by itself: runs of three words.
pub struct Checked(BTreeMap<Vec<String>, Kind>);

impl Checked {
    pub fn of(page: &str) -> Self {
        let mut found = BTreeMap::new();
        for block in split(page).1 {
            let (texts, kind) = match block.language() {
                "rust" => {
                    let all = assertions(&block.text);
                    let texts = all
                        .iter()
                        .map(|one| without_places(&one.compared.join(" ")));
                    (texts.collect(), Kind::Assertion)
                }
                "console" => (vec![block.text], Kind::Console),
                _ => continue,
            };
            for run in texts.iter().flat_map(|text| runs(text)) {
                found.entry(run).or_insert(kind);
            }
        }
        Self(found)
    }

    /// What holds the words at a place, by three in a row.
    fn at(&self, all: &[Word], at: usize, library: &Library) -> Option<Kind> {
        (0..3).find_map(|before| {
            let start = at.checked_sub(before)?;
            let run: Vec<String> = all
                .get(start..start + 3)?
                .iter()
                .map(|word| word.text.clone())
                .collect();
            let cited = all[at].cited && library.sources.contains(&run);
            let source = cited.then_some(Kind::Source);
            self.0.get(&run).copied().or(source)
        })
    }

    /// What holds each word of a chapter; and listed phrases that are not there.
    pub fn hold(
        &self,
        chapter: &str,
        all: &[Word],
        library: &Library,
    ) -> (Vec<Option<Kind>>, Vec<String>) {
        let mut held = vec![None; all.len()];
        let stands = |phrase: &[String], start: usize| {
            let run = all.get(start..start + phrase.len());
            run.is_some_and(|run| run.iter().map(|word| &word.text).eq(phrase))
        };
        let mut gone = Vec::new();
        for listed in library.list.iter().filter(|one| one.chapter == chapter) {
            let mut found = false;
            for start in (0..all.len()).filter(|&start| stands(&listed.phrase, start)) {
                held[start..start + listed.phrase.len()].fill(Some(Kind::Listed));
                found = true;
            }
            if !found {
                gone.push(listed.phrase.join(" "));
            }
        }
        for (start, word) in all.iter().enumerate() {
            let known = library.phrases.get(&word.text).into_iter().flatten();
            let here = |one: &&Known| one.chapter.is_none_or(|it| it == chapter);
            for one in known.filter(here).filter(|one| stands(&one.words, start)) {
                held[start..start + one.words.len()].fill(Some(one.kind));
            }
        }
        for (at, word) in all.iter().enumerate().filter(|(_, word)| word.is_claim()) {
            let name = library.names.contains(&word.text).then_some(Kind::Name);
            let better = self.at(all, at, library).or(name);
            held[at] = better.or(held[at]);
        }
        (held, gone)
    }
}
