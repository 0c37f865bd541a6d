//! Bad files of measured points: `--calibration` of the commands that predict.

use std::sync::OnceLock;

use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use risewater::Calibration;
use risewater::design::FileError;

use crate::arbitrary::{config, damage, damaged};
use crate::tool::{answered, file, place, refuses};

/// The demo's points as the tool saves them.
fn saved() -> &'static str {
    static SAVED: OnceLock<String> = OnceLock::new();
    SAVED.get_or_init(|| {
        let path = place("calibration").join("saved.toml");
        let path = path.to_str().unwrap();
        answered(&["trial", "fit", "--configuration", "ring", "--save", path]);
        std::fs::read_to_string(path).unwrap()
    })
}

/// The commands that take measured points must all refuse a text, for these words.
fn check(test: &str, text: impl AsRef<[u8]>, words: &[&str]) -> Vec<String> {
    let path = file(test, "bad.toml", &text);
    file(test, "blower.csv", answered(&["example", "blower"]));
    let refused = |command: &str| {
        let name = if command == "supply" {
            "supply"
        } else {
            "size"
        };
        let design = file(test, name, answered(&["example", name]));
        let code = if words[0].starts_with("not a text") {
            "unreadable"
        } else {
            "design_file"
        };
        refuses(&[command, &design, "--calibration", &path], 2, code, words).err()
    };
    ["flow", "curve", "size", "supply"]
        .into_iter()
        .filter_map(refused)
        .collect()
}

/// The line of the nth key of a name, both counted from one.
fn line_of(text: &str, key: &str, nth: usize) -> usize {
    let starts = |line: &str| line.starts_with(&format!("{key} ="));
    let mut lines = text.lines().enumerate().filter(|(_, line)| starts(line));
    1 + lines.nth(nth - 1).unwrap().0
}

/// The line of the header of the nth point, both counted from one.
fn point(text: &str, nth: usize) -> usize {
    let mut lines = text
        .lines()
        .enumerate()
        .filter(|(_, line)| *line == "[[point]]");
    1 + lines.nth(nth - 1).unwrap().0
}

/// Another text in a line, counted from one.
fn with(text: &str, number: usize, line: &str) -> String {
    let mut lines: Vec<&str> = text.lines().collect();
    lines[number - 1] = line;
    lines.join("\n")
}

/// A value of a wrong type is named by its own line, one out of its range by the line of its table.
#[test]
fn values() {
    let good = saved();
    let mut failures = Vec::new();
    let (second, own) = (Some(point(good, 2)), None);
    for (key, nth, value, at, words) in [
        (
            "schema",
            1,
            "\"risewater.calibration/1\"",
            own,
            "did you mean",
        ),
        ("schema", 1, "2", own, "expected a string"),
        ("bore_m", 1, "\"57 mm\"", own, "expected f64"),
        (
            "bore_m",
            1,
            "5700.0",
            Some(4),
            "bore is 5700000 mm; it must lie in",
        ),
        ("bore_m", 1, "nan", Some(4), "bore is not a finite number"),
        (
            "entrance_loss",
            1,
            "-1.0",
            Some(4),
            "it must lie in 0 to 100",
        ),
        ("kind", 1, "\"bent\"", own, "unknown variant"),
        (
            "water_m3_per_s",
            2,
            "-0.001",
            second,
            "water flow is -60 L/min; it must lie in",
        ),
        (
            "water_m3_per_s",
            2,
            "nan",
            second,
            "water flow is not a finite number",
        ),
        (
            "air_kg_per_s",
            2,
            "inf",
            second,
            "air flow is not a finite number",
        ),
        ("air_kg_per_s", 2, "true", own, "expected f64"),
        (
            "water_relative_standard",
            2,
            "1.5",
            second,
            "it must lie in 0 to 1",
        ),
        ("submergence_m", 2, "0.0", second, "submergence is 0 m"),
        ("lift_m", 2, "-5.0", second, "must be more than lift"),
        ("repeats", 2, "-1", own, "expected u32"),
        ("repeats", 2, "2.5", own, "expected u32"),
        (
            "water_temperature_k",
            2,
            "20.0",
            second,
            "water temperature",
        ),
        ("salinity_g_per_kg", 2, "-1.0", second, "salinity"),
        ("atmosphere_pa", 2, "0.0", second, "atmospheric pressure"),
    ] {
        let place = line_of(good, key, nth);
        let at = format!("line {}", at.unwrap_or(place));
        let bad = with(good, place, &format!("{key} = {value}"));
        failures.extend(check("calibration_values", bad, &[&at, words]));
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

#[test]
fn keys_and_points() {
    let good = saved();
    let (head, points) = good.split_at(good.find("[[point]]").unwrap());
    let one = &points[..points[1..].find("[[point]]").unwrap()];
    let flow = line_of(good, "water_m3_per_s", 3);
    let last = good.lines().count();
    let mut failures = Vec::new();
    for (text, words) in [
        (String::new(), ["line 1", "missing field `schema`"]),
        (head.to_owned(), ["line 1", "missing field `point`"]),
        (
            format!("point = []\n{head}"),
            ["line 1", "number of measured points is 0 points"],
        ),
        (
            format!("{head}{}", one.repeat(1001)),
            ["line 4", "number of measured points is 1001 points"],
        ),
        (
            format!("pump = 1\n{good}"),
            ["line 1", "unknown field `pump`"],
        ),
        (
            with(good, flow, "water_m3_per_h = 5.0"),
            [&format!("line {flow}"), "unknown field `water_m3_per_h`"],
        ),
        (
            with(good, flow, ""),
            [
                &format!("line {}", point(good, 3)),
                "missing field `water_m3_per_s`",
            ],
        ),
        (
            format!("{good}of = \"twice\"\n"),
            [&format!("line {}", last + 1), "duplicate"],
        ),
        (
            good.replacen("[[point]]", "[point]", 1),
            [&format!("line {}", point(good, 2)), "duplicate"],
        ),
        (
            good.replacen("[rig]", "[rig", 1),
            ["line 4", "unclosed table"],
        ),
        (
            answered(&["example"]),
            ["these are no measured points", "unknown field `water`"],
        ),
        (
            "run,lift_m\nA,1\n".to_owned(),
            ["line 1", "these are no measured points"],
        ),
    ] {
        failures.extend(check("calibration_keys", text, &words));
    }
    failures.extend(check(
        "calibration_keys",
        b"\x7fELF\xff\xfe\0",
        &["not a text file in UTF-8"],
    ));
    let design = file("calibration_keys", "size", answered(&["example"]));
    let folder = place("calibration_keys");
    for (path, words) in [
        ("/nowhere.toml", "there is no such file"),
        (folder.to_str().unwrap(), "this is a directory"),
    ] {
        let arguments = ["flow", &design, "--calibration", path];
        failures.extend(refuses(&arguments, 2, "unreadable", &[words]).err());
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// What spreadsheets and editors do to line ends changes nothing.
#[test]
fn other_line_ends_and_marks() {
    let good = Calibration::parse(saved()).unwrap();
    for text in [
        format!("\u{feff}{}", saved()),
        saved().replace('\n', "\r\n"),
        saved().trim_end().to_owned(),
    ] {
        assert_eq!(Calibration::parse(&text), Ok(good.clone()));
    }
}

/// A file damaged in any way is read or refused with one fault, and what is read is used: never a panic.
#[test]
fn damaged_files() {
    let design = risewater::design::DesignFile::parse(risewater::design::EXAMPLE).unwrap();
    let air = design.air().unwrap();
    let read = std::cell::Cell::new(0);
    TestRunner::new(config(1500))
        .run(&prop::collection::vec(damage(), 1..6), |damages| {
            match Calibration::parse(&damaged(saved(), &damages)) {
                Ok(trial) => {
                    read.set(read.get() + 1);
                    let stood = trial.riser_of(&trial.points()[0], design.model());
                    let law = risewater::ErrorLaw::default().with_calibration(trial);
                    if let Ok(riser) = stood {
                        let found = law.on(&riser).and_then(|one| one.predict(air));
                        prop_assert!(found.is_ok(), "{found:?}");
                    }
                }
                Err(FileError::Faults { faults }) => prop_assert_eq!(faults.len(), 1),
                Err(other) => prop_assert!(false, "{other:?}"),
            }
            Ok(())
        })
        .unwrap();
    assert!(read.get() > 20, "{read:?} of 1500 could be read");
}
