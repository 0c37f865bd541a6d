//! Every symbol in the maths of a page stands in `symbols.md`: in its first table, or in its second with a link to the page.

use std::collections::{BTreeMap, BTreeSet};

use super::{chapters, none, read, split};

/// Commands of LaTeX that are no symbols: operators, spaces, brackets, functions.
const NO_SYMBOLS: &[&str] = &[
    "approx",
    "big",
    "Big",
    "bigg",
    "Bigg",
    "begin",
    "cdot",
    "cos",
    "end",
    "exp",
    "frac",
    "ge",
    "geq",
    "int",
    "le",
    "left",
    "leq",
    "ln",
    "log",
    "max",
    "min",
    "ne",
    "pm",
    "qquad",
    "quad",
    "right",
    "Rightarrow",
    "sin",
    "sqrt",
    "sum",
    "tfrac",
    "times",
    "underbrace",
];
/// Letters over which a mark makes another symbol.
const MARKS: &[&str] = &["bar", "dot", "hat"];

/// The maths of a page: what stands between dollar signs outside code.
fn maths(page: &str) -> Vec<String> {
    let prose = split(page).0;
    let mut code = false;
    let mut bare = String::new();
    for part in prose.split('`') {
        bare += if code { " " } else { part };
        code = !code;
    }
    // Displayed equations first: they hold no single dollar sign.
    let mut found = Vec::new();
    for (n, part) in bare.split("$$").enumerate() {
        if n % 2 == 1 {
            found.push(part.to_owned());
        } else {
            found.extend(part.split('$').skip(1).step_by(2).map(str::to_owned));
        }
    }
    found
}

/// A reader of LaTeX, as far as the book's goes.
struct Reader<'a>(&'a str);

impl<'a> Reader<'a> {
    fn take(&mut self, length: usize) -> &'a str {
        let (taken, rest) = self.0.split_at(length);
        self.0 = rest;
        taken
    }

    /// A command without its backslash, or a single character.
    fn token(&mut self) -> Option<&'a str> {
        let first = self.0.chars().next()?;
        if first != '\\' {
            return Some(self.take(first.len_utf8()));
        }
        self.take(1);
        let letters = self
            .0
            .find(|c: char| !c.is_ascii_alphabetic())
            .unwrap_or(self.0.len());
        let other = self.0.chars().next().map_or(0, char::len_utf8);
        Some(self.take(if letters == 0 { other } else { letters }))
    }

    /// What stands in braces next, or the next token.
    fn argument(&mut self) -> &'a str {
        self.0 = self.0.trim_start();
        if !self.0.starts_with('{') {
            let before = self.0;
            let name = self.token().unwrap_or_default();
            if ["mathrm", "text"].contains(&name) {
                return self.argument();
            }
            return &before[..before.len() - self.0.len()];
        }
        let mut depth = 0;
        let end = self.0.find(|c| {
            depth += i32::from(c == '{') - i32::from(c == '}');
            depth == 0
        });
        let inside = self.take(end.map_or(self.0.len(), |end| end + 1));
        inside
            .trim_start_matches('{')
            .strip_suffix('}')
            .unwrap_or(inside)
    }
}

/// The symbols of an equation, with their indices, in one spelling.
fn symbols(latex: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let mut rest = Reader(latex);
    while !rest.0.is_empty() {
        let command = rest.0.starts_with('\\');
        let token = rest.token().unwrap_or_default();
        let mut symbol = token.to_owned();
        if command && ["begin", "end", "mathrm", "text"].contains(&token) {
            rest.argument();
            continue;
        } else if command && MARKS.contains(&token) {
            symbol = format!("{token} {}", rest.argument());
        } else if command
            && (NO_SYMBOLS.contains(&token) || !token.starts_with(char::is_alphabetic))
        {
            // The words under a brace are no index.
            if token == "underbrace" {
                found.extend(symbols(rest.argument()));
                rest.0 = rest.0.trim_start().strip_prefix('_').unwrap_or(rest.0);
                rest.argument();
            }
            continue;
        } else if !token.starts_with(char::is_alphabetic) {
            if token == "_" || token == "^" {
                found.extend(symbols(rest.argument()));
            }
            continue;
        }
        let mut index = String::new();
        loop {
            let ahead = rest.0.trim_start();
            if let Some(behind) = rest.0.strip_prefix('\'') {
                symbol.push('\'');
                rest.0 = behind;
            } else if let Some(behind) = ahead.strip_prefix('_') {
                rest.0 = behind;
                let text = rest.argument();
                index = text
                    .replace("\\mathrm", "")
                    .replace("\\text", "")
                    .chars()
                    .filter(|c| c.is_alphanumeric())
                    .collect();
            } else if let Some(behind) = ahead.strip_prefix('^') {
                rest.0 = behind;
                match rest.argument() {
                    "*" => symbol.push('*'),
                    power => found.extend(symbols(power)),
                }
            } else {
                break;
            }
        }
        found.insert(if index.is_empty() {
            symbol
        } else {
            format!("{symbol}_{index}")
        });
    }
    found
}

/// The rows of the list: symbols, and the pages that a row is for (none: all).
fn rows() -> Vec<(BTreeSet<String>, Vec<String>)> {
    read("book/src/symbols.md")
        .lines()
        .filter(|line| line.starts_with("| $"))
        .map(|line| {
            let first = line.split('|').nth(1).unwrap();
            let listed = first
                .split('$')
                .skip(1)
                .step_by(2)
                .flat_map(symbols)
                .collect();
            let last = line
                .trim_end_matches(" |")
                .rsplit(" | ")
                .next()
                .unwrap_or_default();
            let pages = last
                .split("](")
                .skip(1)
                .filter_map(|rest| rest.split_once(".md"));
            (
                listed,
                pages.map(|(name, _)| format!("{name}.md")).collect(),
            )
        })
        .collect()
}

#[test]
fn every_symbol_is_listed() {
    let mut known: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let mut faults = Vec::new();
    for (listed, pages) in rows() {
        for symbol in listed {
            let places = known.entry(symbol.clone()).or_default();
            let pages = if pages.is_empty() {
                vec![String::new()]
            } else {
                pages.clone()
            };
            for page in pages {
                if !places.insert(page.clone()) {
                    faults.push(format!(
                        "{symbol} is listed twice for the same pages ({page})"
                    ));
                }
            }
        }
    }
    assert!(known.len() > 50, "the list could not be read");
    for page in chapters().iter().filter(|page| *page != "symbols.md") {
        let found: BTreeSet<String> = maths(&read(format!("book/src/{page}")))
            .iter()
            .flat_map(|one| symbols(one))
            .collect();
        for symbol in found {
            let places = known.get(&symbol);
            if !places.is_some_and(|places| places.contains("") || places.contains(page)) {
                faults.push(format!("{page}: {symbol} is not in symbols.md"));
            }
        }
    }
    none(&faults);
}

#[test]
fn symbols_are_told_from_what_stands_about_them() {
    let of = |latex: &str| symbols(latex).into_iter().collect::<Vec<_>>().join(" ");
    assert_eq!(of(r"\frac{\rho j_l^2}{2g}"), "g j_l rho");
    assert_eq!(
        of(r"K_\mathrm{in} + K_{in} + C^*_s + S'_A"),
        "C*_s K_in S'_A"
    );
    assert_eq!(
        of(r"\underbrace{F L}_{\text{wall}} + \dot m\,e^{-L/\ell}"),
        "F L dot m e ell"
    );
    assert_eq!(
        of(r"\frac{\mathrm dp}{\mathrm dz} \text{ of the pipe}"),
        "p z"
    );
}
