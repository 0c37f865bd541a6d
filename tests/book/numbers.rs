//! Every number of the book's prose and tables is held by something that is run, or listed with a reason.
//!
//! A claim is a word that holds a digit: in running text, tables, headings, descriptions of figures,
//! inline code and equations. It must stand, with its neighbours, in what the chapter checks, or be a
//! name, a limit, a default or a citation of the library.

mod assertions;
mod evidence;
mod words;

use std::collections::BTreeMap;

use self::evidence::{Checked, Kind, Library};
use self::words::{Word, prose};
use super::{chapters, none, read};

/// Rounds of changes, each from its own seed, and changes that must all be seen in each.
const ROUNDS: u64 = 5;
const CHANGES: usize = 200;
/// Words before and after a changed one that are looked at: more than any listed phrase has.
const REACH: usize = 60;

/// A chapter, its words, and what it checks.
struct Chapter {
    name: String,
    words: Vec<Word>,
    checked: Checked,
}

fn all_chapters() -> Vec<Chapter> {
    let read = |name: String| {
        let page = read(format!("book/src/{name}"));
        Chapter {
            words: prose(&page),
            checked: Checked::of(&page),
            name,
        }
    };
    chapters().into_iter().map(read).collect()
}

/// Claims that nothing holds, and listed phrases that are gone.
fn faults(chapter: &Chapter, all: &[Word], library: &Library) -> Vec<String> {
    let name = &chapter.name;
    let (held, gone) = chapter.checked.hold(name, all, library);
    let mut faults: Vec<String> = gone
        .iter()
        .map(|phrase| format!("{name}: \"{phrase}\" is listed in numbers.txt, but is not there"))
        .collect();
    for (at, word) in all.iter().enumerate() {
        if word.is_claim() && held[at].is_none() {
            let around: Vec<&str> = all[at.saturating_sub(2)..(at + 3).min(all.len())]
                .iter()
                .map(|word| word.text.as_str())
                .collect();
            faults.push(format!(
                "book/src/{name}, line {}: {} is not asserted in this chapter: {}",
                word.line,
                word.text,
                around.join(" ")
            ));
        }
    }
    faults
}

#[test]
fn every_number_is_held() {
    let library = Library::new();
    let mut all = Vec::new();
    let mut counts: BTreeMap<Kind, usize> = BTreeMap::new();
    for chapter in all_chapters() {
        all.extend(faults(&chapter, &chapter.words, &library));
        let (held, _) = chapter
            .checked
            .hold(&chapter.name, &chapter.words, &library);
        for (word, kind) in chapter.words.iter().zip(held) {
            if let Some(kind) = kind.filter(|_| word.is_claim()) {
                *counts.entry(kind).or_default() += 1;
            }
        }
    }
    println!("held by: {counts:?}");
    none(&all);
}

/// The next number of a linear congruence (Knuth's MMIX constants), below a limit.
fn draw(state: &mut u64, limit: usize) -> usize {
    *state = state
        .wrapping_mul(6_364_136_223_846_793_005)
        .wrapping_add(1_442_695_040_888_963_407);
    usize::try_from(*state >> 33).unwrap() % limit
}

#[test]
fn every_changed_number_is_seen() {
    let library = Library::new();
    let pages = all_chapters();
    let places: Vec<(usize, usize)> = pages
        .iter()
        .enumerate()
        .flat_map(|(page, Chapter { words, .. })| {
            let claims = words.iter().enumerate().filter(|(_, word)| word.is_claim());
            claims.map(move |(at, _)| (page, at))
        })
        .collect();
    let mut missed = Vec::new();
    for round in 1..=ROUNDS {
        let mut state = round;
        for _ in 0..CHANGES {
            let (page, at) = places[draw(&mut state, places.len())];
            let chapter = &pages[page];
            let mut all = chapter.words.clone();
            let old = all[at].clone();
            all[at] = old.changed(&mut state);
            // What holds a word stands near it.
            let near = at.saturating_sub(REACH)..(at + REACH).min(all.len());
            let before = faults(chapter, &chapter.words[near.clone()], &library).len();
            if faults(chapter, &all[near], &library).len() <= before {
                missed.push(format!(
                    "{}, line {}: {} changed to {} is not seen",
                    chapter.name, old.line, old.text, all[at].text
                ));
            }
        }
    }
    none(&missed);
}
