//! Bad sheets of a trial: what is said of each, with its line, its column and what to change.

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

fn numbers() -> Vec<Case> {
    vec![
        (
            "zero time",
            with("14.2", "0"),
            &["line 2, water_time_1_s \"0\": time of the water is 0 s; it must lie in 0.1 to"],
        ),
        (
            "negative time",
            with("14.2", "-14.2"),
            &["line 2, water_time_1_s \"-14.2\"", "must lie in 0.1 to"],
        ),
        (
            "zero time of air",
            with("11.9", "0"),
            &["line 2, air_time_1_s \"0\"", "must lie in 0.1 to"],
        ),
        (
            "one repeat",
            with("14.2,14.6", "14.2,"),
            &["line 2, water_time_1_s", "repeat it", "water_repeatability"],
        ),
        (
            "no repeat",
            with("14.2,14.6", ","),
            &[
                "line 2, water_time_1_s",
                "fill one of: water_time_1, water_clock_1",
            ],
        ),
        (
            "no bottle",
            with(",4,11.9", ",0,11.9"),
            &["line 2, air_volume_L \"0\"", "must lie in 0.01 to"],
        ),
        (
            "no container",
            with(",15,14.2", ",0,14.2"),
            &["line 2, water_volume_L \"0\"", "must lie in 0.01 to"],
        ),
        (
            "not a number",
            with("14.2", "NaN"),
            &["line 2, water_time_1_s \"NaN\": this is not a finite number"],
        ),
        (
            "infinite",
            with("14.2", "-inf"),
            &["line 2, water_time_1_s \"-inf\": this is not a finite number"],
        ),
        (
            "too large for a number",
            with("14.2", "1e400"),
            &["line 2, water_time_1_s \"1e400\": this is not a finite number"],
        ),
        (
            "huge",
            with("14.2", "1e300"),
            &["line 2, water_time_1_s \"1e300\"", "must lie in"],
        ),
        (
            "digits without end",
            with("14.2", &"9".repeat(200_000)),
            &["line 2, water_time_1_s"],
        ),
        (
            "text",
            with("14.2", "abc"),
            &["line 2, water_time_1_s \"abc\": this is not a number"],
        ),
        (
            "minutes and seconds",
            with("14.2", "0:14.2"),
            &["line 2, water_time_1_s \"0:14.2\": this is not a number"],
        ),
        (
            "a formula",
            with("14.2", "=B2"),
            &["line 2, water_time_1_s \"=B2\": this is not a number"],
        ),
        (
            "a failed formula",
            with("14.2", "#DIV/0!"),
            &["line 2, water_time_1_s \"#DIV/0!\": this is not a number"],
        ),
        (
            "decimal comma in quotes",
            with("14.2", "\"14,2\""),
            &["line 2, water_time_1_s \"14,2\": a decimal comma; write a decimal point"],
        ),
        (
            "decimal comma",
            with("14.2", "14,2"),
            &["line 2: 15 cells under 14 columns", "write a decimal point"],
        ),
        (
            "decimal comma, semicolons",
            all(",", ";")
                .iter()
                .map(|b| if *b == b'.' { b',' } else { *b })
                .collect(),
            &["line 2, submergence_m \"0,8\": a decimal comma", "line 3, "],
        ),
        (
            "thousands",
            with("15,14.2", "\"1,500\",14.2"),
            &[
                "line 2, water_volume_L \"1,500\"",
                "nothing between thousands",
            ],
        ),
        (
            "unit of something else",
            with("14.2", "14.2 L"),
            &["line 2, water_time_1_s \"14.2 L\": L is a unit of volume, not of time; use s, min"],
        ),
        (
            "unknown unit",
            with("14.2", "14.2 sek"),
            &[
                "line 2, water_time_1_s \"14.2 sek\"",
                "no known unit of time, did you mean sec",
            ],
        ),
        (
            "out of range",
            with("98.6", "986"),
            &["line 2, barometer_kPa \"986\"", "must lie in 30 to 120 kPa"],
        ),
    ]
}

fn shapes() -> Vec<Case> {
    let renamed = |to: &str| SHEET.replacen("water_time_2_s", to, 1).into_bytes();
    let utf16 = |text: &str| -> Vec<u8> {
        let units = std::iter::once(0xFEFF).chain(text.encode_utf16());
        units.flat_map(u16::to_le_bytes).collect()
    };
    let header = SHEET.lines().next().unwrap();
    vec![
        ("empty", Vec::new(), &["line 1: there is no header"]),
        ("blank lines", b"\n\n\r\n".to_vec(), &["there is no header"]),
        (
            "byte order mark alone",
            "\u{feff}".into(),
            &["there is no header"],
        ),
        (
            "remarks alone",
            b"# one\n# two\n".to_vec(),
            &["line 3: there is no header"],
        ),
        (
            "header alone",
            header.into(),
            &["line 1: there is no run below the header"],
        ),
        (
            "header and empty rows",
            format!("{header}\n,,,,\n\n").into(),
            &["line 1: there is no run below the header"],
        ),
        (
            "no header",
            SHEET.lines().nth(1).unwrap().into(),
            &["line 1: there is no header"],
        ),
        (
            "other separators",
            all(",", "|"),
            &["line 1: there is no header", "commas, semicolons or tabs"],
        ),
        (
            "no separators",
            all(",", " "),
            &["line 1: there is no header"],
        ),
        (
            "binary",
            b"\x7fELF\x02\x01\x01\0\0\xff\xfe\n,,\"".to_vec(),
            &["not a text file in UTF-8", "save as CSV UTF-8"],
        ),
        ("zeros", vec![0; 4096], &["line 1: there is no header"]),
        (
            "two bytes a letter",
            utf16(SHEET),
            &["not a text file in UTF-8", "save as CSV UTF-8"],
        ),
        ("another file", RIG.into(), &["line 1: there is no header"]),
        (
            "more cells than columns",
            with("14.2", "14.2,7"),
            &["line 2: 15 cells under 14 columns", "put texts in quotes"],
        ),
        (
            "fewer cells than columns",
            with(",16,98.6", ",16"),
            &["line 2, barometer_kPa: the cell is empty; give the absolute pressure"],
        ),
        (
            "column without a name",
            format!("{header},\nx{}", ",1".repeat(14)).into(),
            &["line 2 \"1\": column 15 has no name in the header"],
        ),
        (
            "line break in a cell",
            with("14.2", "\"14.2\n14.3\""),
            &["line 2, water_time_1_s \"14.2\\n14.3\": a quote opens this cell"],
        ),
        (
            "open quote",
            with("14.2", "\"14.2"),
            &[
                "line 2, water_time_1_s",
                "a quote opens this cell and does not close it",
            ],
        ),
        (
            "open quote in a text",
            with("A,ring", "A,\"ring"),
            &["line 2, configuration", "a quote opens this cell"],
        ),
        (
            "open quote in the header",
            with("run,", "\"run,"),
            &["line 1: a quote opens this cell"],
        ),
        (
            "column renamed",
            with("submergence_m", "depth_m"),
            &[
                "line 1, depth_m: there is no such column",
                "line 1, submergence_m: this column is missing; it holds",
            ],
        ),
        (
            "column misspelt",
            with("lift_m", "lfit_m"),
            &["line 1, lfit_m: there is no such column; did you mean \"lift_m\"?"],
        ),
        (
            "column of another unit",
            with("lift_m", "lift_kPa"),
            &["line 1, lift_kPa: kPa is a unit of pressure, not of length"],
        ),
        (
            "column with a state in its unit",
            with("air_volume_L", "air_flow_scfm"),
            &["line 1, air_flow_scfm", "\"air_reference\""],
        ),
        (
            "column twice",
            renamed("water_time_1_s"),
            &[
                "line 1, water_time_1_s: column 7 says what column 6 says already; keep one of the two",
            ],
        ),
        (
            "column twice, other unit",
            renamed("water_time_1_min"),
            &["line 1, water_time_1_min: column 7"],
        ),
        (
            "column of numbers past counting",
            renamed("water_time_99999999999_s"),
            &["line 1, water_time_99999999999_s: there is no such column"],
        ),
        (
            "run twice",
            with("\nB,", "\nA,"),
            &["line 3, run \"A\": the run of line 2 has this name; give each run its own"],
        ),
        (
            "sheet twice",
            format!("{SHEET}{SHEET}").into(),
            &[
                "line 4: this is the header again; delete the line",
                "line 5, run \"A\"",
            ],
        ),
        (
            "a line of means",
            format!("{SHEET}Mean,,,,,15.2,15.6\n").into(),
            &["line 4, submergence_m: the cell is empty"],
        ),
    ]
}

/// Every bad sheet, with every command that reads one; the file stays as it was.
#[test]
fn bad_sheets() {
    let rig = file("bench", "rig.toml", RIG);
    let mut failures = Vec::new();
    for (n, (name, sheet, words)) in numbers().iter().chain(&shapes()).enumerate() {
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
    let odd: [(&str, Vec<u8>); 7] = [
        ("mixed units in a column", with("14.2,", "14200 ms,")),
        ("byte order mark", format!("\u{feff}{SHEET}").into()),
        (
            "byte order mark and separator line",
            format!("\u{feff}sep=;\r\n{}", SHEET.replace(',', ";")).into(),
        ),
        ("blank lines", SHEET.replace('\n', "\n\n,,,\n").into()),
        ("line ends of old", all("\n", "\r")),
        ("tabs", all(",", "\t")),
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
    let sheet = ["trial", "fit", &demo, "--rig", &rig];
    let fit = |more: &[&'static str]| [&sheet[..], more].concat();
    let cases = [
        (
            fit(&[]),
            "option",
            "--configuration: name one configuration of the sheet; it has \"ring of 16 holes\", \"open tube\"",
        ),
        (
            fit(&["--configuration", "disc"]),
            "option",
            "it has \"ring of 16 holes\"",
        ),
        (
            vec!["trial", "fit", &demo],
            "option",
            "--rig: name the design file",
        ),
        (fit(&["--parameter", "drift"]), "usage", "drift"),
        (
            fit(&[
                "--configuration",
                "ring of 16 holes",
                "--save",
                "/nowhere/at/all.toml",
            ]),
            "write",
            "/nowhere/at/all.toml: cannot be written",
        ),
        (
            vec!["trial", "compare", "--svg", "/nowhere/at/all.svg"],
            "write",
            "/nowhere/at/all.svg: cannot be written",
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
