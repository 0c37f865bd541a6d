//! What holds the numbers of pages that show no test of their own: a file a page, named after it.
//!
//! A phrase of the page is asserted with the value of each number in it, computed by the library or by the
//! formula that the page gives: `assert_says!("lifts 58.3 L/min", flow)`.

#![allow(
    clippy::too_many_lines,
    clippy::unreadable_literal,
    clippy::struct_field_names,
    reason = "a page's numbers in its order, as it prints them"
)]

mod air_side;
mod bench;
mod cases;
mod column;
mod depth_ratio;
mod duty;
mod evidence_rigs;
mod flow_patterns;
mod hand_method;
mod how_well;
mod lesson;
mod lesson_sheet;
mod r#loop;
mod many_cases;
mod need;
mod one_riser;
mod short_risers;
mod void_and_slip;
mod wall_friction;
mod why_it_lifts;
mod working_range;

use std::fs;

use super::{Block, none, pages, root};

/// A phrase of a page, and the value of each of its numbers in order, which must round to the printed digits.
macro_rules! assert_says {
    ($phrase:expr, $($value:expr),+ $(,)?) => {
        $crate::held::says($phrase, &[$($value),+])
    };
}
use assert_says;

/// The digits of each number in a phrase. A word that starts with a letter holds none (`p_0`, `j_l^2/2`), nor does the
/// one from which a symbol is taken (`1-\alpha`).
fn numbers(phrase: &str) -> Vec<String> {
    let marks = "*|`\"()[]{}<>;:=#$\\!?—…“”";
    let words = phrase.split(|c: char| c.is_whitespace() || marks.contains(c));
    let mut found = Vec::new();
    for word in words {
        let complement = word
            .strip_prefix("1-")
            .is_some_and(|rest| !rest.starts_with(|c: char| c.is_ascii_digit()));
        if word.starts_with(char::is_alphabetic) || complement {
            continue;
        }
        let minus = word.starts_with(['-', '−']);
        let mut first = true;
        let mut rest = word;
        while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
            let power = rest[..start].ends_with('^');
            let tail = &rest[start..];
            let point = |at: usize| {
                tail[at..].starts_with('.')
                    && tail[at + 1..].starts_with(|c: char| c.is_ascii_digit())
            };
            let end = tail
                .char_indices()
                .find(|&(at, c)| !c.is_ascii_digit() && !point(at))
                .map_or(tail.len(), |(at, _)| at);
            if !power {
                let sign = if minus && first { "-" } else { "" };
                found.push(format!("{sign}{}", &tail[..end]));
            }
            (first, rest) = (false, &tail[end..]);
        }
    }
    found
}

pub fn says(phrase: &str, values: &[f64]) {
    let said = numbers(phrase);
    let computed: Vec<String> = said
        .iter()
        .zip(values)
        .map(|(text, value)| {
            let decimals = text.split_once('.').map_or(0, |(_, digits)| digits.len());
            format!("{value:.decimals$}")
        })
        .collect();
    assert_eq!(said.len(), values.len(), "numbers of \"{phrase}\"");
    assert_eq!(said, computed, "in \"{phrase}\", computed {values:?}");
}

/// The tests of a page's file, as blocks of Rust.
pub fn blocks(page: &str) -> Vec<Block> {
    let name = page.replace(".md", ".rs").replace('-', "_");
    let held = root().join("tests/book/held");
    let text = fs::read_to_string(held.join(&name));
    let Ok(text) = text.or_else(|_| fs::read_to_string(held.join("cases").join(name))) else {
        return Vec::new();
    };
    let mut line = 1;
    let mut found = Vec::new();
    for part in text.split("#[test]\n") {
        found.push(Block {
            info: "rust".to_owned(),
            line,
            text: part.to_owned(),
        });
        line += part.lines().count() + 1;
    }
    found
}

#[test]
fn every_phrase_stands_on_its_page() {
    let mut faults = Vec::new();
    for (page, text) in pages() {
        let words = super::numbers::words_of(&text);
        for block in blocks(&page) {
            for phrase in super::numbers::phrases_said(&block.text) {
                let run = super::numbers::plain(&phrase);
                if run.len() < 3 {
                    faults.push(format!(
                        "{page}: too short to be told from others: {phrase}"
                    ));
                }
                if !words.windows(run.len()).any(|here| here == run) {
                    faults.push(format!("{page} does not say: {phrase}"));
                }
            }
        }
    }
    none(&faults);
}

#[test]
fn numbers_of_a_phrase_are_found() {
    let phrase = r"at $p_0 = 1.25 - 0.200$, $j_l^2/2g$ and −1.5 in 3 of ASTM D1785; $x = -2 \times 10^6$, $1-\alpha$.";
    assert_eq!(numbers(phrase), ["1.25", "0.200", "-1.5", "3", "-2", "10"]);
}
