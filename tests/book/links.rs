//! Links from page to page and to a heading, and the index of terms.

use std::collections::BTreeSet;
use std::path::Path;

use super::{chapters, none, read, split};

/// A heading's address, as mdBook makes it.
fn anchor(heading: &str) -> String {
    heading
        .trim()
        .chars()
        .filter_map(|c| match c {
            c if c.is_alphanumeric() || c == '_' || c == '-' => Some(c.to_lowercase().to_string()),
            c if c.is_whitespace() => Some("-".to_owned()),
            _ => None,
        })
        .collect()
}

/// The addresses of a page's headings.
fn anchors(page: &str) -> BTreeSet<String> {
    let prose = split(page).0;
    let headings = prose.lines().filter_map(|line| {
        line.trim_start_matches('#')
            .strip_prefix(' ')
            .filter(|_| line.starts_with('#'))
    });
    headings.map(anchor).collect()
}

/// Links to other pages or to headings: the page, empty for the same, and the heading.
fn links(page: &str) -> Vec<(String, Option<String>)> {
    let prose = split(page).0;
    let targets = prose
        .split("](")
        .skip(1)
        .filter_map(|rest| rest.split_once(')'));
    targets
        .map(|(target, _)| {
            target
                .split_once('#')
                .map_or((target, None), |(page, heading)| {
                    (page, Some(heading.to_owned()))
                })
        })
        .filter(|(page, _)| {
            page.is_empty() || Path::new(page).extension().is_some_and(|kind| kind == "md")
        })
        .map(|(page, heading)| (page.to_owned(), heading))
        .collect()
}

#[test]
fn links_lead_somewhere() {
    let pages = chapters();
    let mut faults = Vec::new();
    for name in &pages {
        let text = read(format!("book/src/{name}"));
        for (page, heading) in links(&text) {
            let page = if page.is_empty() { name.clone() } else { page };
            if !pages.contains(&page) {
                faults.push(format!("{name}: {page} is no page"));
            } else if heading
                .as_ref()
                .is_some_and(|it| !anchors(&read(format!("book/src/{page}"))).contains(it))
            {
                faults.push(format!(
                    "{name}: {page} has no heading #{}",
                    heading.unwrap_or_default()
                ));
            }
        }
    }
    none(&faults);
}

/// Terms in bold at the start of a line, up to their full stop.
fn glossary() -> Vec<String> {
    read("book/src/glossary.md")
        .lines()
        .filter_map(|line| line.strip_prefix("**")?.split_once(".**"))
        .map(|(term, _)| term.to_owned())
        .collect()
}

#[test]
fn terms_are_in_order_and_in_the_index() {
    let index = read("book/src/index-of-terms.md");
    let terms: Vec<String> = index
        .lines()
        .filter_map(|line| line.strip_prefix("- ")?.split_once(": ["))
        .map(|(term, _)| term.to_lowercase())
        .collect();
    assert!(terms.len() > 80, "the index could not be read");
    let mut faults = Vec::new();
    let lower: Vec<String> = glossary().iter().map(|term| term.to_lowercase()).collect();
    for (what, list) in [("index", &terms), ("glossary", &lower)] {
        for pair in list.windows(2).filter(|pair| pair[0] >= pair[1]) {
            faults.push(format!("{what}: {} stands before {}", pair[0], pair[1]));
        }
    }
    faults.extend(
        lower
            .iter()
            .filter(|term| !terms.contains(term))
            .map(|term| format!("{term} is not in the index")),
    );
    none(&faults);
}

#[test]
fn anchors_are_those_of_mdbook() {
    assert_eq!(anchor("At rest: a light column"), "at-rest-a-light-column");
    assert_eq!(
        anchor("Below a submergence ratio of 0.4"),
        "below-a-submergence-ratio-of-04"
    );
}
