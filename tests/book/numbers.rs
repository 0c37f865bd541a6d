//! Every number of the book's prose and tables is asserted in its chapter, or listed with a reason.
//!
//! A claim is a word that holds a digit: in running text, tables, headings, descriptions of figures,
//! inline code and equations. It must stand, with its neighbours, in what the chapter checks.

use std::collections::BTreeSet;

use super::{chapters, none, read, split};

/// Changes that must all be seen.
const CHANGES: usize = 200;

/// A word and the line that it stands on.
#[derive(Clone)]
struct Word {
    text: String,
    line: usize,
}

impl Word {
    /// Places of its digits; an index or a power of a symbol (`p_0`, `j^2`) is no number.
    fn digits(&self) -> Vec<usize> {
        let symbol = self.text.starts_with(|c: char| c.is_alphabetic());
        let bytes = self.text.as_bytes();
        (0..bytes.len())
            .filter(|&at| bytes[at].is_ascii_digit())
            .filter(|&at| !(symbol && at > 0 && matches!(bytes[at - 1], b'_' | b'^')))
            .collect()
    }

    fn is_claim(&self) -> bool {
        !self.digits().is_empty()
    }

    /// This word with one of its digits changed.
    fn changed(&self, state: &mut u64) -> Self {
        let places = self.digits();
        let at = places[draw(state, places.len())];
        let old = usize::from(self.text.as_bytes()[at] - b'0');
        let new = (old + 1 + draw(state, 9)) % 10;
        Self {
            text: format!("{}{new}{}", &self.text[..at], &self.text[at + 1..]),
            line: self.line,
        }
    }
}

/// The words of a text, without marks of Markdown, brackets and the stops that end them.
fn words(text: &str, line: usize) -> impl Iterator<Item = Word> {
    let marks = "*|`\"()[]{}<>;:=#$\\!?—–…“”";
    text.split(move |c: char| c.is_whitespace() || marks.contains(c))
        .map(|word| word.trim_end_matches(['.', ',']).trim_start_matches(','))
        .filter(|word| word.contains(char::is_alphanumeric) || ["%", "°"].contains(word))
        .map(move |word| Word {
            text: word.to_owned(),
            line,
        })
        .collect::<Vec<_>>()
        .into_iter()
}

/// A line without the targets of its links.
fn without_targets(line: &str) -> String {
    let mut parts = line.split("](");
    let mut kept = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        kept.push(' ');
        kept += part.split_once(')').map_or(part, |(_, rest)| rest);
    }
    kept
}

/// Words outside fences, by line.
fn prose(page: &str) -> Vec<Word> {
    let (mut fenced, mut found) = (false, Vec::new());
    for (n, line) in page.lines().enumerate() {
        if line.trim_start().starts_with("```") {
            fenced = !fenced;
        } else if !fenced {
            found.extend(words(&without_targets(line), n + 1));
        }
    }
    found
}

/// The text of each `assert..!(..)` of a Rust block.
fn assertions(code: &str) -> String {
    let mut found = String::new();
    for start in code.match_indices("assert").map(|(at, _)| at) {
        let (mut depth, mut quoted, mut escaped) = (0, false, false);
        for c in code[start..].chars() {
            found.push(c);
            match c {
                _ if escaped => escaped = false,
                '\\' => escaped = true,
                '"' => quoted = !quoted,
                '(' if !quoted => depth += 1,
                ')' if !quoted => depth -= 1,
                _ => continue,
            }
            if c == ')' && !quoted && depth == 0 {
                break;
            }
        }
        found.push('\n');
    }
    found
}

/// Runs of three words of what a chapter checks.
fn checked(page: &str) -> BTreeSet<Vec<String>> {
    let mut found = BTreeSet::new();
    for block in split(page).1 {
        let text = match block.language() {
            "rust" => assertions(&block.text),
            "console" => block.text,
            _ => continue,
        };
        let all: Vec<String> = words(&text, 0).map(|word| word.text).collect();
        found.extend(all.windows(3).map(<[String]>::to_vec));
    }
    found
}

/// A listed phrase of a chapter: numbers that no assertion can hold, and why.
struct Listed {
    chapter: String,
    phrase: Vec<String>,
}

/// Both lists: numbers with a reason, and those of older pages that wait for their assertion.
fn list() -> Vec<Listed> {
    let open = read("tests/book/open.txt");
    let open = open
        .lines()
        .map(|line| format!("{line} :: not yet asserted"));
    let reasoned = read("tests/book/numbers.txt");
    reasoned
        .lines()
        .map(str::to_owned)
        .chain(open)
        .filter(|line| !line.starts_with('#'))
        .map(|line| {
            let parts: Vec<&str> = line.split(" :: ").collect();
            let [chapter, phrase, reason] = parts[..] else {
                panic!("not chapter :: phrase :: reason: {line}");
            };
            assert!(!reason.trim().is_empty(), "no reason: {line}");
            Listed {
                chapter: chapter.to_owned(),
                phrase: words(phrase, 0).map(|word| word.text).collect(),
            }
        })
        .collect()
}

fn is(words: &[Word], phrase: &[String]) -> bool {
    words.iter().map(|word| &word.text).eq(phrase)
}

/// Whether the claim at a place stands with its neighbours in what the chapter checks.
///
/// Three words in a row, the claim among them: with one neighbour alone, about one changed digit in a
/// hundred met another number of the chapter.
fn is_checked(all: &[Word], at: usize, checked: &BTreeSet<Vec<String>>) -> bool {
    let length = 3;
    (0..length).any(|before| {
        at.checked_sub(before)
            .and_then(|start| all.get(start..start + length))
            .is_some_and(|run| {
                checked.contains(&run.iter().map(|word| word.text.clone()).collect::<Vec<_>>())
            })
    })
}

/// Claims of a chapter that nothing holds.
fn faults(
    chapter: &str,
    all: &[Word],
    checked: &BTreeSet<Vec<String>>,
    list: &[Listed],
) -> Vec<String> {
    let mut held = vec![false; all.len()];
    let mut faults = Vec::new();
    for listed in list.iter().filter(|listed| listed.chapter == chapter) {
        let length = listed.phrase.len();
        let mut found = false;
        for (start, run) in all.windows(length).enumerate() {
            if is(run, &listed.phrase) {
                held[start..start + length].fill(true);
                found = true;
            }
        }
        if !found {
            let phrase = listed.phrase.join(" ");
            faults.push(format!(
                "{chapter}: \"{phrase}\" is listed in tests/book, but is not there"
            ));
        }
    }
    for (at, word) in all.iter().enumerate() {
        if word.is_claim() && !held[at] && !is_checked(all, at, checked) {
            let around: Vec<&str> = all[at.saturating_sub(2)..(at + 3).min(all.len())]
                .iter()
                .map(|word| word.text.as_str())
                .collect();
            faults.push(format!(
                "book/src/{chapter}, line {}: {} is not asserted in this chapter: {}",
                word.line,
                word.text,
                around.join(" ")
            ));
        }
    }
    faults
}

#[test]
fn every_number_is_asserted() {
    let list = list();
    let mut all = Vec::new();
    for chapter in chapters() {
        let page = read(format!("book/src/{chapter}"));
        all.extend(faults(&chapter, &prose(&page), &checked(&page), &list));
    }
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
    let list = list();
    let pages: Vec<_> = chapters()
        .into_iter()
        .map(|chapter| {
            let page = read(format!("book/src/{chapter}"));
            let (all, checked) = (prose(&page), checked(&page));
            // Faults that are there without a change do not count.
            let before = faults(&chapter, &all, &checked, &list).len();
            (chapter, all, checked, before)
        })
        .collect();
    let places: Vec<(usize, usize)> = pages
        .iter()
        .enumerate()
        .flat_map(|(page, (_, all, ..))| {
            let claims = all.iter().enumerate().filter(|(_, word)| word.is_claim());
            claims.map(move |(at, _)| (page, at))
        })
        .collect();
    let mut state = 1;
    let mut missed = Vec::new();
    for _ in 0..CHANGES {
        let (page, at) = places[draw(&mut state, places.len())];
        let (chapter, all, checked, before) = &pages[page];
        let mut all = all.clone();
        let old = all[at].clone();
        all[at] = old.changed(&mut state);
        if faults(chapter, &all, checked, &list).len() <= *before {
            missed.push(format!(
                "{chapter}, line {}: {} changed to {} is not seen",
                old.line, old.text, all[at].text
            ));
        }
    }
    none(&missed);
}
