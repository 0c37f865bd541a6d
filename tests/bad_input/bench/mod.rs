//! Bad sheets of a trial: what is said of each, with its line, its column and what to change.

mod cells;
mod shapes;

use crate::tool::{answered, file, place, refuses, run};
use crate::trial::{RIG, SHEET};

/// The commands that read a sheet.
const COMMANDS: [&[&str]; 3] = [
    &["trial", "reduce"],
    &["trial", "compare"],
    &["trial", "fit", "--configuration", "ring"],
];

/// The sheet with its first run changed.
fn with(from: &str, to: &str) -> Vec<u8> {
    assert!(SHEET.contains(from), "{from}");
    SHEET.replacen(from, to, 1).into_bytes()
}

fn all(from: &str, to: &str) -> Vec<u8> {
    SHEET.replace(from, to).into_bytes()
}

/// Name, sheet, and what must be said of it.
type Case = (&'static str, Vec<u8>, &'static [&'static str]);

/// Every bad sheet, with every command that reads one; the file stays as it was.
#[test]
fn bad_sheets() {
    let rig = file("bench", "rig.toml", RIG);
    let mut failures = Vec::new();
    for (n, (name, sheet, words)) in cells::cells().iter().chain(&shapes::shapes()).enumerate() {
        let path = file("bench", &format!("{n}.csv"), sheet);
        let code = if words[0].starts_with("not a text") {
            "unreadable"
        } else {
            "trial_sheet"
        };
        for command in COMMANDS {
            let arguments = [command, &[&path, "--rig", &rig]].concat();
            if let Err(failure) = refuses(&arguments, 2, code, words) {
                failures.push(format!("{name}: {failure}"));
            }
        }
        if std::fs::read(&path).unwrap() != *sheet {
            failures.push(format!("{name}: the file was changed"));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

#[test]
fn no_sheet_at_all() {
    let rig = file("bench_none", "rig.toml", RIG);
    let directory = place("bench_none");
    let directory = directory.to_str().unwrap();
    let mut failures = Vec::new();
    for command in COMMANDS {
        for (path, words) in [
            ("/nowhere.csv", "/nowhere.csv: there is no such file"),
            (directory, "this is a directory, not a file"),
        ] {
            let arguments = [command, &[path, "--rig", &rig]].concat();
            failures.extend(refuses(&arguments, 2, "unreadable", &[words]).err());
        }
    }
    for (arguments, words) in [
        (
            &["trial", "plan", "/nowhere.toml"][..],
            "there is no such file",
        ),
        (&["trial", "plan", directory], "this is a directory"),
        (
            &["trial", "reduce", "--rig", directory],
            "this is a directory",
        ),
    ] {
        failures.extend(refuses(arguments, 2, "unreadable", &[words]).err());
    }
    // A sheet in the place of the rig, and the other way round above.
    let sheet = file("bench_none", "sheet.csv", SHEET);
    let swapped = ["trial", "plan", &sheet];
    failures.extend(refuses(&swapped, 2, "design_file", &["line 1: this is not TOML"]).err());
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// What a spreadsheet or a bench may well do, and nothing is wrong with.
#[test]
fn odd_but_good() {
    let plain = answered(&["trial", "reduce", &file("bench_odd", "plain.csv", SHEET)]);
    let odd: [(&str, Vec<u8>); 9] = [
        ("mixed units in a column", with("14.2,", "14200 ms,")),
        ("byte order mark", format!("\u{feff}{SHEET}").into()),
        (
            "byte order mark and separator line",
            format!("\u{feff}sep=;\r\n{}", SHEET.replace(',', ";")).into(),
        ),
        ("blank lines", SHEET.replace('\n', "\n\n,,,\n").into()),
        ("line ends of old", all("\n", "\r")),
        ("tabs", all(",", "\t")),
        ("minutes and seconds", with("14.2", "0:14.2")),
        (
            "decimal commas between semicolons",
            String::from_utf8(all(",", ";"))
                .unwrap()
                .replace('.', ",")
                .into_bytes(),
        ),
        (
            "a note of two lines",
            SHEET
                .replace("kPa\n", "kPa,note\n")
                .replacen("98.6\n", "98.6,\"rain,\nthen sun\"\n", 1)
                .into(),
        ),
    ];
    let mut failures = Vec::new();
    for (n, (name, sheet)) in odd.iter().enumerate() {
        let path = file("bench_odd", &format!("{n}.csv"), sheet);
        let ending = run(&["trial", "reduce", &path]);
        if ending.status != Some(0) || ending.stdout != plain {
            failures.push(format!("{name}: {ending:?}"));
        }
    }
    // Fills are timed each by itself: a shorter one after a longer is no fault.
    let falling = file("bench_odd", "falling.csv", with("14.2,14.6", "14.6,14.2"));
    assert_eq!(answered(&["trial", "reduce", &falling]), plain);
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

#[test]
fn options() {
    let rig = file("bench_options", "rig.toml", RIG);
    let demo = file("bench_options", "demo.csv", answered(&["trial", "demo"]));
    let single = file("bench_options", "single.csv", SHEET.replace("tube", "ring"));
    let sheet = ["trial", "fit", &demo, "--rig", &rig];
    let fit = |more: &[&'static str]| [&sheet[..], more].concat();
    let cases = [
        (
            fit(&[]),
            "option",
            "--configuration: name one configuration of the sheet; it has \"ring\", \"diffuser\"",
        ),
        (
            fit(&["--configuration", "disc"]),
            "option",
            "it has \"ring\"",
        ),
        (
            vec!["trial", "fit", &demo],
            "option",
            "--rig: name the design file",
        ),
        (
            fit(&["--configuration", "ring", "--level", "40 %"]),
            "out_of_range",
            "must lie in 0.5 to 0.9999",
        ),
        (
            vec!["flow", "--level", "often"],
            "option",
            "--level: \"often\"",
        ),
        (
            vec!["flow", "--level", "100 %"],
            "option",
            "must lie in 0.5 to 0.9999",
        ),
        (
            fit(&["--configuration", "ring", "--save", "/nowhere/at/all.toml"]),
            "write",
            "/nowhere/at/all.toml: cannot be written",
        ),
        (
            vec!["trial", "compare", "--svg", "/nowhere/at/all.svg"],
            "write",
            "/nowhere/at/all.svg: cannot be written",
        ),
        (
            vec!["trial", "compare", "--pairs", "/nowhere/at/all.csv"],
            "write",
            "/nowhere/at/all.csv: cannot be written",
        ),
        (
            vec![
                "trial",
                "compare",
                &single,
                "--rig",
                &rig,
                "--pairs",
                "/nowhere/pairs.csv",
            ],
            "option",
            "--pairs: name --first and --second; the sheet has \"ring\"",
        ),
        (
            vec!["trial", "reduce", "--level", "0 %"],
            "out_of_range",
            "coverage",
        ),
        (
            vec!["trial", "compare", "--air-tolerance", "200 %"],
            "out_of_range",
            "must lie in",
        ),
        (vec!["trial", "demo", "more"], "usage", "more"),
        (
            vec!["trial", "plan", "--set", "trial.bottle=0 L"],
            "design_file",
            "must lie in",
        ),
    ];
    let failures: Vec<String> = cases
        .iter()
        .filter_map(|(arguments, code, words)| refuses(arguments, 2, code, &[words]).err())
        .collect();
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}
