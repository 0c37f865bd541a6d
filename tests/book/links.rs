//! Links from page to page and to a heading, and the index of terms.

use std::collections::BTreeSet;
use std::path::Path;

use risewater::design::{DesignFile, EXAMPLE};
use risewater::units::liter_per_minute;

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

/// Links to other pages or to headings: the page, empty for the same, and the heading or the state of the desk.
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
            } else if heading.as_ref().is_some_and(|it| {
                !it.contains('=') && !anchors(&read(format!("book/src/{page}"))).contains(it)
            }) {
                faults.push(format!(
                    "{name}: {page} has no heading #{}",
                    heading.unwrap_or_default()
                ));
            }
        }
    }
    none(&faults);
}

/// What a state of the desk asks, what it sets and the runs that it has.
fn state(address: &str) -> (String, Vec<String>, Vec<[f64; 2]>) {
    let (mut ask, mut set, mut runs) = ("flow".to_owned(), Vec::new(), Vec::new());
    for pair in address.split('&') {
        let (key, value) = pair.split_once('=').expect("a key and its value");
        let escapes = [
            ("+", " "),
            ("%2F", "/"),
            ("%7C", "|"),
            ("%5B", "["),
            ("%5D", "]"),
            ("%22", "\""),
        ];
        let value = escapes.iter().fold(value.to_owned(), |value, (from, to)| {
            value.replace(from, to)
        });
        assert!(!value.contains('%'), "{value}");
        match key {
            "ask" => ask = value,
            "run" => {
                let ends = value.split(" | ").map(|flow| {
                    let flow = flow.strip_suffix(" L/min").expect("litres a minute");
                    flow.parse::<f64>().unwrap()
                });
                runs.push(ends.collect::<Vec<_>>().try_into().unwrap());
            }
            _ => set.push(format!("{key}={value}")),
        }
    }
    (ask, set, runs)
}

#[test]
fn cases_on_the_desk_are_those_of_their_pages() {
    let mut opened = Vec::new();
    for name in chapters() {
        let text = read(format!("book/src/{name}"));
        for (page, heading) in links(&text) {
            let Some(address) = heading.filter(|it| page == "desk.md" && it.contains('=')) else {
                continue;
            };
            let (ask, set, runs) = state(&address);
            let folder = name.replace(".md", ".in");
            let own = |file: &str| read(format!("book/src/{folder}/{file}.toml"));
            let desk = DesignFile::parse_with(EXAMPLE, &set).unwrap();
            let flow = |design: &DesignFile| {
                let (riser, air) = design.riser_and_air().unwrap();
                let flow = riser.operate(air).unwrap().water_flow();
                // The example counts its air at the same state by other words.
                format!("{:.9e}", flow.get::<liter_per_minute>())
            };
            let file = match name.as_str() {
                "case-tall-lift.md" => "tower",
                "case-larval-tank.md" => "larval-tank",
                "case-biofilter-return.md" => "biofilter-return",
                "case-sea-water.md" => "broodstock",
                "case-retrofit-fails.md" => "retrofit",
                "case-fry-raceway.md" => "fry-raceway",
                "case-bench-trial.md" => "rig",
                _ => "",
            };
            match ask.as_str() {
                _ if !name.starts_with("case-") => {}
                "flow" => assert_eq!(
                    flow(&desk),
                    flow(&DesignFile::parse(&own(file)).unwrap()),
                    "{name}"
                ),
                "size" if !set.is_empty() => {
                    let best = |design: &DesignFile| {
                        let found = risewater::sizing::size(&design.problem().unwrap()).unwrap();
                        let best = &found.designs[0];
                        let air = best.air_flow_total_at_20_c().get::<liter_per_minute>();
                        (best.lifts, best.pipe.name.clone(), air)
                    };
                    let (lifts, pipe, air) = best(&desk);
                    if file.is_empty() {
                        // One tank of several: as the page's set has it.
                        assert!(text.contains(&format!("quarantine   {lifts} x {pipe} ")));
                        assert!(text.contains(&format!("| quarantine | {air:.2} |")));
                    } else {
                        let its = best(&DesignFile::parse(&own(file)).unwrap());
                        assert_eq!((lifts, pipe), (its.0, its.1), "{name}");
                        assert!((air / its.2 - 1.0).abs() < 1e-9, "{name}");
                    }
                }
                "trial" => {
                    let place: Vec<String> = set
                        .iter()
                        .filter(|one| !one.starts_with("water") && !one.starts_with("site"))
                        .cloned()
                        .collect();
                    let bench = DesignFile::parse_with(&own(file), &place).unwrap();
                    assert_eq!(flow(&desk), flow(&bench), "{name}");
                    for [air, water] in &runs {
                        assert!(
                            text.contains(&format!("| {air:.2} | {water:.2} |")),
                            "{name}: {air}"
                        );
                    }
                    assert_eq!(runs.len(), 3);
                }
                // The tool's own example, or a file that the reader opens.
                "loop" | "supply" | "size" => assert!(set.is_empty(), "{name}"),
                _ => panic!("{name} asks the desk for {ask}"),
            }
            opened.push(name.clone());
        }
    }
    let cases: Vec<String> = chapters()
        .into_iter()
        .filter(|name| name.starts_with("case-"))
        .collect();
    assert!(cases.iter().all(|case| opened.contains(case)), "{opened:?}");
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
