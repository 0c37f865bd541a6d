//! Words of a page, and which of them hold a number.

use super::draw;

/// A word and the line that it stands on.
#[derive(Clone)]
pub struct Word {
    pub text: String,
    pub line: usize,
    /// Whether it stands in the chapter's list of sources.
    pub cited: bool,
    /// Whether it stands in a displayed equation.
    pub equation: bool,
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

    pub fn is_claim(&self) -> bool {
        !self.digits().is_empty() && !self.is_complement()
    }

    /// Whether it is the one of 1-\alpha, from which a symbol is taken.
    fn is_complement(&self) -> bool {
        let rest = self.text.strip_prefix("1-");
        rest.is_some_and(|rest| !rest.starts_with(|c: char| c.is_ascii_digit()))
    }

    fn with_digit(&self, at: usize, digit: usize) -> Self {
        Self {
            text: format!("{}{digit}{}", &self.text[..at], &self.text[at + 1..]),
            ..self.clone()
        }
    }

    /// Each word that differs from this one in one digit.
    pub fn one_digit_changed(&self) -> Vec<Self> {
        let places = self.digits().into_iter();
        let changes = places.flat_map(|at| (0..10).map(move |digit| (at, digit)));
        changes
            .map(|(at, digit)| self.with_digit(at, digit))
            .filter(|word| word.text != self.text)
            .collect()
    }

    /// This word with all its digits drawn anew, other than it was.
    pub fn drawn_anew(&self, state: &mut u64) -> Self {
        loop {
            let mut word = self.clone();
            for at in self.digits() {
                word = word.with_digit(at, draw(state, 10));
            }
            if word.text != self.text {
                return word;
            }
        }
    }
}

/// The words of a text, without marks of Markdown, brackets and the stops that end them.
fn words(text: &str, line: usize) -> impl Iterator<Item = Word> {
    let marks = "*|`\"()[]{}<>;:=#$\\!?—…“”";
    // The dash of a range of pages, as citations in code have it.
    let text = text.replace('–', "-");
    text.split(move |c: char| c.is_whitespace() || marks.contains(c))
        .map(|word| word.trim_end_matches(['.', ',']).trim_start_matches(','))
        .filter(|word| word.contains(char::is_alphanumeric) || ["%", "°"].contains(word))
        .map(move |word| Word {
            text: word.to_owned(),
            line,
            cited: false,
            equation: false,
        })
        .collect::<Vec<_>>()
        .into_iter()
}

/// The words of a text, as they are compared.
pub fn plain(text: &str) -> Vec<String> {
    words(text, 0).map(|word| word.text).collect()
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

/// A line without the number of its step or exercise.
fn without_ordinal(line: &str) -> &str {
    let bold = line.strip_prefix("**").unwrap_or(line);
    let digits = bold.len() - bold.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let rest = bold[digits..]
        .strip_prefix('.')
        .filter(|rest| digits > 0 && rest.starts_with([' ', '*']));
    rest.unwrap_or(line)
}

/// Words outside fences, by line.
pub fn prose(page: &str) -> Vec<Word> {
    let (mut fenced, mut cited, mut equation) = (false, false, false);
    let mut found = Vec::new();
    for (n, line) in page.lines().enumerate() {
        if line.trim_start().starts_with("```") {
            fenced = !fenced;
        } else if !fenced {
            if line.starts_with("## ") {
                cited = line == "## Sources";
            }
            if line.trim() == "$$" {
                equation = !equation;
            }
            let line = without_targets(without_ordinal(line));
            found.extend(words(&line, n + 1).map(|word| Word {
                cited,
                equation,
                ..word
            }));
        }
    }
    found
}
