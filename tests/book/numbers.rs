//! Every number of the book's prose and tables is held by something that is run, or listed with a reason.
//!
//! A claim is a word that holds a digit: in running text, tables, headings, descriptions of figures,
//! inline code and equations. It must stand, with its neighbours, in what the chapter checks, or be a
//! name, a limit, a default or a citation of the library.

mod assertions;
mod evidence;
mod known;
mod words;

use std::collections::BTreeMap;
use std::sync::LazyLock;

use self::evidence::{Checked, Kind, Library};
pub use self::words::plain;
use self::words::{Word, prose};
use super::{chapters, none, read};

/// Rounds of changes, each from its own seed, and changes that must all be seen in each.
const ROUNDS: u64 = 5;
const CHANGES: usize = 200;
/// Words before and after a changed one that are looked at: more than any phrase has.
const REACH: usize = 120;

static LIBRARY: LazyLock<Library> = LazyLock::new(Library::new);

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
            checked: Checked::of(&name, &page),
            name,
        }
    };
    chapters().into_iter().map(read).collect()
}

/// The words of a page, as they are compared.
pub fn words_of(page: &str) -> Vec<String> {
    prose(page).into_iter().map(|word| word.text).collect()
}

/// The phrases that the `assert_says!` of a block of code hold.
pub fn phrases_said(code: &str) -> Vec<String> {
    let all = assertions::assertions(code);
    all.iter()
        .filter_map(assertions::Assertion::phrase)
        .collect()
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
            if word.equation {
                let line = all.iter().filter(|other| other.line == word.line);
                let line: Vec<&str> = line.map(|other| other.text.as_str()).collect();
                faults.push(format!(
                    "for numbers.txt, if it is structure alone: {name} :: {} :: equation: structural numbers",
                    line.join(" ")
                ));
                continue;
            }
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
    let library = &*LIBRARY;
    let mut all = Vec::new();
    let mut counts: BTreeMap<Kind, usize> = BTreeMap::new();
    for chapter in all_chapters() {
        all.extend(faults(&chapter, &chapter.words, library));
        let (held, _) = chapter.checked.hold(&chapter.name, &chapter.words, library);
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

/// The claims of all chapters that something holds, as chapter and place.
fn places<'a>(pages: &'a [Chapter], library: &Library) -> Vec<(&'a Chapter, usize)> {
    let mut places = Vec::new();
    for page in pages {
        let (held, _) = page.checked.hold(&page.name, &page.words, library);
        let claims = page.words.iter().zip(held).enumerate();
        let claims = claims.filter(|(_, (word, kind))| word.is_claim() && kind.is_some());
        places.extend(claims.map(|(at, _)| (page, at)));
    }
    places
}

/// What is to be said of a change that adds no fault; what holds a word stands near it.
fn missed(chapter: &Chapter, at: usize, changed: &Word, library: &Library) -> Option<String> {
    let near = at.saturating_sub(REACH)..(at + REACH).min(chapter.words.len());
    let mut all = chapter.words[near.clone()].to_vec();
    let old = std::mem::replace(&mut all[at - near.start], changed.clone());
    let before = faults(chapter, &chapter.words[near], library).len();
    (faults(chapter, &all, library).len() <= before).then(|| {
        format!(
            "{}, line {}: {} changed to {} is not seen",
            chapter.name, old.line, old.text, changed.text
        )
    })
}

#[test]
fn every_number_changed_at_random_is_seen() {
    let (library, pages) = (&*LIBRARY, all_chapters());
    let places = places(&pages, library);
    let mut all = Vec::new();
    for mut state in 1..=ROUNDS {
        for _ in 0..CHANGES {
            let (chapter, at) = places[draw(&mut state, places.len())];
            let changed = chapter.words[at].drawn_anew(&mut state);
            all.extend(missed(chapter, at, &changed, library));
        }
    }
    none(&all);
}

/// Each digit of each number, changed to each other digit.
#[test]
fn every_changed_digit_is_seen() {
    let (library, pages) = (&*LIBRARY, all_chapters());
    let mut all = Vec::new();
    for (chapter, at) in places(&pages, library) {
        for changed in chapter.words[at].one_digit_changed() {
            all.extend(missed(chapter, at, &changed, library));
        }
    }
    none(&all);
}
