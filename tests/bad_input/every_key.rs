//! Every kind of wrong value at every key of four good files.
//!
//! Each combination is judged by the library; every 13th is also put through the tool, where every
//! command must refuse it, whether it reads the key or not.

use std::panic::{AssertUnwindSafe, catch_unwind};

use risewater::design::DesignFile;

use crate::good::{Good, Key, all};
use crate::kinds::{Case, cases};
use crate::tool::{file, refusal, run};

/// What the library makes of a file: status, and all that is wrong.
fn verdict(text: &str) -> (i32, String) {
    let refused = |error: risewater::design::FileError| (2, error.to_string());
    let design = match DesignFile::parse(text) {
        Ok(design) => design,
        Err(error) => return refused(error),
    };
    if let Err(error) = design.check() {
        return refused(error);
    }
    let flow = || -> Result<(), Box<dyn std::error::Error>> {
        let outcome = design.riser()?.operate(design.air()?)?;
        assert!(outcome.water_flow().value.is_finite());
        design.problem()?;
        Ok(())
    };
    flow().map_or_else(|error| (1, error.to_string()), |()| (0, String::new()))
}

/// What is wrong with how a case is judged; none when it is judged as it should be.
fn misjudged(good: &Good, key: &Key, case: &Case, text: &str) -> Option<String> {
    let found = catch_unwind(AssertUnwindSafe(|| verdict(text)));
    let (status, message) = found.unwrap_or_else(|_| (101, "a panic".to_owned()));
    let id = format!(
        "{}, {}.{}, {}: {}",
        good.name, key.section, key.name, case.kind, case.line
    );
    let Some(words) = &case.words else {
        return (status != 0).then(|| format!("{id}: legal, but status {status}: {message}"));
    };
    // A second line of the case is to blame where the first is as good as ever.
    let blamed = good.line(key) + usize::from(case.kind == "duplicate key");
    let place = if case.names_key {
        format!("line {blamed}, {}.{}: ", key.section, key.name)
    } else {
        format!("line {blamed}")
    };
    let said = message.lines().find(|line| line.starts_with(&place));
    let complete = said.is_some_and(|line| words.iter().all(|word| line.contains(word)));
    (status != 2 || !complete)
        .then(|| format!("{id}: status {status}, {place:?} and {words:?} wanted: {message}"))
}

#[test]
fn every_kind_at_every_key() {
    let mut failures = Vec::new();
    let (mut judged, mut run_count) = (0, 0);
    for good in all() {
        assert_eq!(verdict(&good.text()), (0, String::new()), "{}", good.name);
        for key in &good.keys {
            for case in cases(key) {
                let same = |other: &Key| (other.section, other.name) == (key.section, key.name);
                let text = good.with(|other| {
                    Some(if same(other) {
                        case.line.clone()
                    } else {
                        format!("{} = {}", other.name, other.value)
                    })
                });
                failures.extend(misjudged(&good, key, &case, &text));
                judged += 1;
                if judged % 13 == 0 && case.words.is_some() {
                    let path = file("every_key", "broken.toml", &text);
                    let command = ["check", "flow", "curve", "size"][run_count % 4];
                    run_count += 1;
                    match refusal(&[command, &path], 2) {
                        Err(failure) => failures.push(format!("{}: {failure}", case.line)),
                        Ok((said, json))
                            if !said.contains("line ") || json["code"] != "design_file" =>
                        {
                            failures.push(said);
                        }
                        Ok(_) => {}
                    }
                }
            }
        }
    }
    println!("{judged} combinations judged by the library, {run_count} of them twice by the tool");
    assert!(
        failures.is_empty(),
        "{} of {judged}:\n{}",
        failures.len(),
        failures.join("\n")
    );
}

/// A key left out takes its default, or is missed by name by those who need it.
#[test]
fn every_key_left_out() {
    const NEEDED: [(&str, &[&str]); 11] = [
        ("water.temperature", &["check", "flow", "curve", "size"]),
        ("riser.bore", &["check", "flow", "curve"]),
        ("riser.pipe", &["check", "flow", "curve"]),
        ("riser.submergence", &["check", "flow", "curve"]),
        ("riser.lift", &["check", "flow", "curve"]),
        ("air.flow", &["check", "flow"]),
        ("air.mass_flow", &["check", "flow"]),
        ("air.reference", &["check", "flow"]),
        ("duty.water_flow", &["check", "size"]),
        ("duty.lift", &["check", "size"]),
        ("limits.max_submergence", &["check", "size"]),
    ];
    // Missed whatever the file is for: four properties come together, and a submerged mouth is somewhere.
    let always = [
        "water.density",
        "water.viscosity",
        "water.surface_tension",
        "water.vapour_pressure",
        "riser.outlet_depth",
    ];
    let mut failures = Vec::new();
    for good in all() {
        // Without its outlet a file has the keys of another: a contradiction, tried elsewhere.
        for key in good.keys.iter().filter(|key| key.name != "outlet") {
            let path = format!("{}.{}", key.section, key.name);
            let left_out = |other: &Key| (other.section, other.name) == (key.section, key.name);
            let text = good.with(|other| {
                (!left_out(other)).then(|| format!("{} = {}", other.name, other.value))
            });
            let file = file("left_out", "less.toml", text);
            let needed = NEEDED
                .iter()
                .find(|(needed, _)| *needed == path)
                .map_or(&[][..], |(_, commands)| commands);
            for command in ["check", "flow", "curve", "size"] {
                if needed.contains(&command) || always.contains(&path.as_str()) {
                    match refusal(&[command, &file], 2) {
                        Ok((text, _)) if text.contains("missing: give") => {}
                        Ok((text, _)) => failures.push(format!("{path}, {command}: {text}")),
                        Err(failure) => failures.push(failure),
                    }
                } else {
                    let ending = run(&[command, &file]);
                    if ending.status != Some(0) {
                        failures.push(format!("{}, {path}, {command}: {ending:?}", good.name));
                    }
                }
            }
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}
