//! What holds the numbers of a chapter.

use std::collections::{BTreeMap, BTreeSet};

use risewater::references;

use super::super::{blocks, files, read};
use super::assertions::{Assertion, assertions};
use super::known;
use super::words::{Word, plain};

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
        let mut phrases: BTreeMap<String, Vec<Known>> = BTreeMap::new();
        let mut put = |chapter, kind, words: Vec<String>| {
            let known = Known {
                chapter,
                kind,
                words,
            };
            if let [first, _, ..] = &known.words[..] {
                phrases.entry(first.clone()).or_default().push(known);
            }
        };
        for (chapter, phrase) in known::phrases() {
            put(Some(chapter), Kind::Library, phrase);
        }
        for source in references::ALL {
            put(None, Kind::Source, plain(source.key));
            let written_out = source.key.replace(" et al.", " and others");
            put(None, Kind::Source, plain(&written_out.replace('&', "and")));
        }
        let texts = references::ALL
            .iter()
            .flat_map(|source| [source.key.to_owned(), source.text.to_owned()]);
        // Files of data start with their citation.
        let data: Vec<String> = files("tests/data", &["csv"])
            .into_iter()
            .map(|path| read(path).lines().take(2).collect::<Vec<_>>().join(" "))
            .collect();
        for text in &data {
            let author = text.trim_start_matches("# ").split(',').next();
            let year = text.split('(').nth(1).and_then(|it| it.split(')').next());
            if let (Some(author), Some(year)) = (author, year) {
                put(
                    None,
                    Kind::Source,
                    plain(&format!("{author} and others {year}")),
                );
            }
        }
        Self {
            names: known::names(),
            phrases,
            sources: texts.chain(data).flat_map(|text| runs(&text)).collect(),
            list: list(),
        }
    }
}

/// What a chapter checks by itself: runs of three words of its blocks, and whole phrases of the file beside it.
pub struct Checked {
    runs: BTreeMap<Vec<String>, Kind>,
    /// By their first word.
    phrases: BTreeMap<String, Vec<Vec<String>>>,
}

impl Checked {
    pub fn of(name: &str, page: &str) -> Self {
        let (mut found, mut phrases) = (BTreeMap::new(), BTreeMap::<_, Vec<_>>::new());
        for block in blocks(name, page) {
            let (texts, kind) = match block.language() {
                "rust" => {
                    let (said, all): (Vec<_>, Vec<_>) = assertions(&block.text)
                        .into_iter()
                        .partition(|one| one.says);
                    for phrase in said.iter().filter_map(Assertion::phrase) {
                        let words = plain(&phrase);
                        if let Some(first) = words.first() {
                            phrases.entry(first.clone()).or_default().push(words);
                        }
                    }
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
        Self {
            runs: found,
            phrases,
        }
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
            self.runs.get(&run).copied().or(source)
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
        for (start, word) in all.iter().enumerate() {
            let said = self.phrases.get(&word.text).into_iter().flatten();
            for phrase in said.filter(|phrase| stands(phrase, start)) {
                held[start..start + phrase.len()].fill(Some(Kind::Assertion));
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
