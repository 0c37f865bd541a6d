//! Assertions of a Rust block, and what they compare.

use super::super::{Block, blocks, chapters, none, read};

/// A macro call that asserts: the arguments that it compares.
pub struct Assertion {
    pub compared: Vec<String>,
    /// Whether the first is a phrase of the page, and each other the value of a number in it.
    pub says: bool,
}

impl Assertion {
    /// The phrase of the page in an `assert_says!`.
    pub fn phrase(&self) -> Option<String> {
        let text = self.compared.first().filter(|_| self.says)?.trim();
        let raw = text.strip_prefix("r\"");
        Some(raw.map_or_else(
            || quoted(text).0.concat(),
            |text| text.trim_end_matches('"').to_owned(),
        ))
    }
}

/// Code without its `//` comments and the `# ` of hidden lines.
fn bare(code: &str) -> String {
    let mut bare = String::new();
    for line in code.lines() {
        let line = line.trim_start();
        let line = line.strip_prefix("# ").unwrap_or(line);
        let mut quoted = false;
        let mut end = line.len();
        for (at, c) in line.char_indices() {
            match c {
                '"' if !line[..at].ends_with('\\') => quoted = !quoted,
                '/' if !quoted && line[at..].starts_with("//") => {
                    end = at;
                    break;
                }
                _ => {}
            }
        }
        bare += &line[..end];
        bare.push('\n');
    }
    bare
}

/// The arguments of a call whose bracket is open, up to the one that closes it.
fn arguments(code: &str) -> Vec<String> {
    let (mut depth, mut quoted, mut escaped) = (0, false, false);
    let mut all = vec![String::new()];
    for c in code.chars() {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '"' => quoted = !quoted,
            '(' | '[' | '{' if !quoted => depth += 1,
            ')' | ']' | '}' if !quoted && depth == 0 => break,
            ')' | ']' | '}' if !quoted => depth -= 1,
            ',' if !quoted && depth == 0 => {
                all.push(String::new());
                continue;
            }
            _ => {}
        }
        if let Some(last) = all.last_mut() {
            last.push(c);
        }
    }
    all.retain(|argument| !argument.trim().is_empty());
    all
}

/// Every `assert..!(..)`; what it says when it fails is no part of it.
pub fn assertions(code: &str) -> Vec<Assertion> {
    let code = bare(code);
    code.match_indices("assert")
        .filter_map(|(at, _)| {
            let (name, _) = code[at..].split_once("!(")?;
            let word = |c: char| c.is_ascii_lowercase() || c == '_';
            name.chars().all(word).then_some(())?;
            let mut compared = arguments(&code[at + name.len() + 2..]);
            let says = name == "assert_says";
            if !says {
                compared.truncate(if name == "assert" { 1 } else { 2 });
            }
            Some(Assertion { compared, says })
        })
        .collect()
}

/// Texts in quotes, and the code without them.
fn quoted(code: &str) -> (Vec<String>, String) {
    let (mut texts, mut rest) = (Vec::new(), String::new());
    let (mut open, mut escaped) = (false, false);
    for c in code.chars() {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '"' => {
                open = !open;
                if open {
                    texts.push(String::new());
                }
                continue;
            }
            _ => {}
        }
        match texts.last_mut() {
            Some(text) if open => text.push(c),
            _ => rest.push(c),
        }
    }
    (texts, rest)
}

/// A format's text without its placeholders.
fn fixed(text: &str) -> String {
    let text = text.replace("{{", "").replace("}}", "");
    let mut parts = text.split('{');
    let mut fixed = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        fixed.push(' ');
        fixed += part.split_once('}').map_or(part, |(_, rest)| rest);
    }
    fixed
}

/// Numbers of a text: its words that hold a digit and start with no letter.
fn numbers(text: &str) -> Vec<String> {
    text.split([' ', ',', '(', ')', ';', ':', '"'])
        .filter(|word| word.contains(|c: char| c.is_ascii_digit()))
        .filter(|word| !word.starts_with(char::is_alphabetic))
        .map(str::to_owned)
        .collect()
}

/// What is wrong with an assertion: it would hold whatever the library gives.
fn empty(assertion: &Assertion) -> Option<String> {
    let whole = assertion.compared.join(", ");
    let known = [
        "format",
        "into",
        "to_string",
        "to_owned",
        "as_str",
        "Some",
        "Ok",
        "String",
        "from",
        "vec",
        "f64",
        "u32",
        "usize",
    ];
    let named = |code: &str| {
        code.split(|c: char| !c.is_alphanumeric() && c != '_')
            .any(|word| word.starts_with(char::is_alphabetic) && !known.contains(&word))
    };
    if assertion.says {
        let given = assertion.compared[1..].iter().find(|value| !named(value));
        return given.map(|value| format!("gives the value {} itself", value.trim()));
    }
    let (texts, rest) = quoted(&whole);
    let names = named(&rest);
    let placeholders = texts
        .iter()
        .flat_map(|text| text.split('{').skip(1))
        .any(|place| place.starts_with(char::is_alphabetic));
    if !names && !placeholders {
        return Some("compares nothing that is computed".to_owned());
    }
    if let [left, right] = &assertion.compared[..] {
        let right = quoted(right).0;
        if let Some(text) = quoted(left)
            .0
            .iter()
            .find(|text| right.contains(text) && !numbers(text).is_empty())
        {
            return Some(format!("has \"{text}\" on both sides"));
        }
    }
    None
}

/// Numbers that a format writes of itself: they would be asserted against themselves.
fn self_written(code: &str) -> Vec<String> {
    let code = bare(code);
    code.match_indices("format!(")
        .filter_map(|(at, call)| {
            let text = arguments(&code[at + call.len()..]).into_iter().next()?;
            let text = quoted(&text).0.into_iter().next()?;
            (!numbers(&fixed(&text)).is_empty()).then_some(text)
        })
        .collect()
}

/// Values that a block gives for its assertions alone: they would be asserted against themselves.
fn given_to_assert(code: &str) -> Vec<String> {
    let code = bare(code);
    let count = |text: &str, name: &str| {
        let words = text.split(|c: char| !c.is_alphanumeric() && c != '_');
        words.filter(|word| *word == name).count()
    };
    let compared: Vec<String> = assertions(&code)
        .into_iter()
        .map(|one| one.compared.join(" "))
        .collect();
    let compared = compared.join(" ");
    code.split("let ")
        .skip(1)
        .filter_map(|rest| {
            let (name, value) = rest.split_once(';')?.0.split_once(" = ")?;
            let name = name.split(':').next()?.trim();
            let literal = value.starts_with(|c: char| c.is_ascii_digit() || c == '"')
                && !value.contains(['(', '*', '/', '+', ' ']);
            let alone = count(&code, name) == 1 + count(&compared, name);
            (literal && alone && count(&compared, name) > 0).then(|| name.to_owned())
        })
        .collect()
}

#[test]
fn nothing_is_asserted_against_itself() {
    let mut faults = Vec::new();
    for chapter in chapters() {
        let page = read(format!("book/src/{chapter}"));
        let rust = |block: &Block| block.language() == "rust";
        for block in blocks(&chapter, &page).into_iter().filter(rust) {
            let place = format!("{chapter}, block at line {}", block.line);
            for assertion in assertions(&block.text) {
                if let Some(fault) = empty(&assertion) {
                    let text = assertion.compared.join(", ");
                    faults.push(format!("{place}: an assertion {fault}: {text}"));
                }
            }
            for name in given_to_assert(&block.text) {
                faults.push(format!("{place}: {name} is given only to be asserted"));
            }
            for text in self_written(&block.text) {
                faults.push(format!(
                    "{place}: the format \"{text}\" writes a number that is not computed"
                ));
            }
        }
    }
    none(&faults);
}

#[test]
fn empty_assertions_are_found() {
    let find = |code: &str| assertions(code).iter().filter_map(empty).count();
    assert_eq!(find(r#"assert_eq!("8 m", "8 m");"#), 1);
    assert_eq!(find(r#"assert_eq!(format!("8 m"), "8 m".to_owned());"#), 1);
    assert_eq!(find(r#"assert_eq!((x, "8 m"), ("3 m", "8 m"));"#), 1);
    assert_eq!(find("assert!(3 > 2, \"{x}\");"), 1);
    assert_eq!(find(r#"assert_says!("8 to 9 m", depth, 9.0);"#), 1);
    assert_eq!(find(r#"assert_says!("8 to 9 m", depth, other);"#), 0);
    assert_eq!(find(r#"assert_eq!(format!("{depth:.1} m"), "1.4 m");"#), 0);
    assert_eq!(find("assert_eq!(plan.runs.len(), 9);"), 0);
    let given = r#"let depth = 1.4; let half = depth / 2.0; let n = 8; assert_eq!(format!("{n} at {depth}"), "8 at 1.4");"#;
    assert_eq!(given_to_assert(given), ["n"]);
    assert_eq!(self_written(r#"format!("at 8 m: {x:.1} L/min")"#).len(), 1);
    assert_eq!(self_written(r#"format!("of {x:.1} m3/h")"#).len(), 0);
}
