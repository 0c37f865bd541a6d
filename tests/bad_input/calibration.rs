//! Bad calibrations: `--calibration` of the commands that predict.

use std::sync::OnceLock;

use crate::tool::{answered, file, place, refuses, run};

/// A calibration as the tool saves it.
fn saved() -> &'static str {
    static SAVED: OnceLock<String> = OnceLock::new();
    SAVED.get_or_init(|| {
        let path = place("calibration").join("saved.toml");
        let path = path.to_str().unwrap();
        let names = ["--configuration", "ring", "--parameter", "drift_factor"];
        answered(&[&["trial", "fit", "--save", path], &names[..]].concat());
        std::fs::read_to_string(path).unwrap()
    })
}

fn design(test: &str) -> String {
    file(test, "design.toml", answered(&["example"]))
}

/// The commands that take a calibration must all refuse a text, for these words.
fn check(test: &str, text: impl AsRef<[u8]>, words: &[&str]) -> Vec<String> {
    let (design, path) = (design(test), file(test, "bad.toml", &text));
    let refused = |command| {
        let code = if words[0].starts_with("not a text") {
            "unreadable"
        } else {
            "design_file"
        };
        refuses(&[command, &design, "--calibration", &path], 2, code, words).err()
    };
    let mut failures: Vec<String> = ["flow", "curve", "size"]
        .into_iter()
        .filter_map(refused)
        .collect();
    if std::fs::read(&path).unwrap() != text.as_ref() {
        failures.push(format!("{words:?}: the file was changed"));
    }
    failures
}

/// The line of a key of a section, counted from one.
fn line_of(text: &str, section: &str, key: &str) -> usize {
    let header = format!("[{section}]");
    let start = text.lines().position(|line| line == header).unwrap();
    let key = format!("{key} =");
    let within = text
        .lines()
        .skip(start)
        .position(|line| line.starts_with(&key));
    1 + start + within.unwrap()
}

/// Another value for a key of a section.
fn with(text: &str, section: &str, key: &str, value: &str) -> String {
    let changed = line_of(text, section, key);
    let line = |(n, line): (usize, &str)| {
        if n + 1 == changed {
            format!("{key} = {value}\n")
        } else {
            format!("{line}\n")
        }
    };
    text.lines().enumerate().map(line).collect()
}

#[test]
fn values() {
    let good = saved();
    let mut failures = Vec::new();
    for (key, value, section, words) in [
        ("value", "1e9", "drift_factor", "must lie in"),
        ("value", "-1.0", "drift_factor", "must lie in"),
        ("value", "nan", "drift_factor", "finite"),
        ("standard", "inf", "drift_factor", "finite"),
        ("value", "\"half\"", "drift_factor", "number"),
        ("points", "0", "calibration", "must lie in"),
        ("points", "2.5", "calibration", ""),
        ("chi_squared", "-1.0", "calibration", "must lie in"),
        ("covariance", "[]", "calibration", "covariance"),
        ("covariance", "[\"x\"]", "calibration", "not a number"),
        ("slip", "\"slippery\"", "model", "slippery"),
        ("slip", "7", "model", "text"),
        ("bore", "[\"52 mm\"]", "rig", "two texts"),
        ("bore", "[\"52 mm\", \"5 s\"]", "rig", "not of length"),
    ] {
        let at = format!("line {}", line_of(good, section, key));
        let place = format!("{section}.{key}");
        failures.extend(check(
            "calibration_values",
            with(good, section, key, value),
            &[&at, &place, words],
        ));
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

#[test]
fn other_files() {
    let good = saved();
    let example = answered(&["example"]);
    let words: [(&[u8], &[&str]); 6] = [
        (
            b"",
            &[
                "nothing is given here; `risewater trial fit --save` writes a calibration",
                "calibration.points: missing",
                "as a calibration writes it",
            ],
        ),
        (b"# nothing\n", &["calibration.points: missing"]),
        (
            example.as_bytes(),
            &["there is no section [duty]", "calibration.points: missing"],
        ),
        (b"run,lift_m\nA,1\n", &["line 1: this is not TOML"]),
        (b"\x7fELF\xff\xfe\0", &["not a text file in UTF-8"]),
        (
            b"calibration = 5\n",
            &["line 1, calibration: ", "a section"],
        ),
    ];
    let mut failures = Vec::new();
    for (text, words) in words {
        failures.extend(check("calibration_files", text, words));
    }
    let twice = format!("{good}{good}");
    failures.extend(check("calibration_files", twice, &["this is not TOML"]));
    let unknown = good.replacen("points =", "pionts =", 1);
    failures.extend(check(
        "calibration_files",
        unknown,
        &["calibration.pionts", "calibration.points: missing"],
    ));
    let (design, directory) = (design("calibration_files"), place("calibration_files"));
    for command in ["flow", "curve", "size"] {
        for (path, words) in [
            ("/nowhere.toml", "there is no such file"),
            (directory.to_str().unwrap(), "this is a directory"),
        ] {
            let arguments = [command, &design, "--calibration", path];
            failures.extend(refuses(&arguments, 2, "unreadable", &[words]).err());
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// A copy that broke off is refused wherever it did.
#[test]
fn truncated() {
    let good = saved();
    let design = design("calibration_cut");
    let starts = good.match_indices('\n').map(|(at, _)| at + 1);
    let ends = good
        .match_indices(['=', '"', '.'])
        .map(|(at, _)| at)
        .step_by(7);
    let mut failures = Vec::new();
    for end in std::iter::once(0).chain(starts).chain(ends) {
        let cut = &good[..end];
        if cut.trim_end() == good.trim_end() {
            continue;
        }
        let path = file("calibration_cut", "cut.toml", cut);
        let arguments = ["flow", &design, "--calibration", &path];
        failures.extend(refuses(&arguments, 2, "design_file", &[&path]).err());
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
    let whole = file(
        "calibration_cut",
        "whole.toml",
        format!("\u{feff}{}", good.trim_end()),
    );
    answered(&["flow", &design, "--calibration", &whole]);
}

/// A calibration says nothing of other closures: that is understood, and has no answer.
#[test]
fn other_closures() {
    let path = file("calibration_closures", "good.toml", saved());
    let design = design("calibration_closures");
    for command in ["flow", "curve", "size"] {
        let ending = run(&[
            command,
            &design,
            "--calibration",
            &path,
            "--set",
            "model.slip=nicklin_1962",
        ]);
        let words = ["the calibration belongs to", "not to nicklin_1962"];
        assert!(
            ending.status == Some(1)
                && ending.stdout.is_empty()
                && words.iter().all(|words| ending.stderr.contains(words)),
            "{ending:?}"
        );
    }
}
