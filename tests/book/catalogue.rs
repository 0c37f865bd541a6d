//! Codes of errors and cautions in the catalogue.

use std::collections::BTreeSet;

use risewater::Caution;

use super::{none, read};

/// Words in quotes of a text that may be a code.
fn codes(text: &str) -> BTreeSet<&str> {
    text.split('"')
        .skip(1)
        .step_by(2)
        .filter(|word| word.contains(|c: char| c.is_ascii_lowercase()))
        .filter(|word| word.chars().all(|c| c.is_ascii_lowercase() || c == '_'))
        .collect()
}

#[test]
fn every_code_is_in_the_catalogue() {
    let errors = read("src/report/error.rs");
    // The code stands first in its pair, before the details.
    let errors: String = errors
        .split_once("pub fn error_json")
        .and_then(|(_, rest)| rest.split_once("json!({ \"schema\""))
        .map(|(arms, _)| arms)
        .unwrap()
        .split("json!")
        .filter_map(|arm| arm.rfind("=> (").map(|at| &arm[at..]))
        .collect();
    let cautions = Caution::CODES.iter().copied().collect();
    let page = read("book/src/errors.md");
    let (of_errors, of_cautions) = page.split_once("## Cautions").unwrap();
    let mut faults = Vec::new();
    for (codes, table) in [(codes(&errors), of_errors), (cautions, of_cautions)] {
        assert!(codes.len() > 15, "{codes:?}");
        for code in codes {
            if !table.contains(&format!("`{code}`")) {
                faults.push(format!("{code} is not in errors.md"));
            }
        }
    }
    none(&faults);
}
