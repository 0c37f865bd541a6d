//! Rows: each combination once and in order, and each as `flow` has it.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

use parquet::file::reader::{FileReader, SerializedFileReader};
use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use risewater::design::EXAMPLE;
use risewater::sweep::COLUMNS;
use serde_json::Value;

use crate::{done, folder, names, refused};

/// Names and rows of a file of CSV.
fn table(path: &Path) -> (Vec<String>, Vec<csv::StringRecord>) {
    let mut reader = csv::Reader::from_path(path).unwrap();
    let names = reader
        .headers()
        .unwrap()
        .iter()
        .map(str::to_owned)
        .collect();
    (names, reader.records().map(Result::unwrap).collect())
}

/// Cells of parts of Parquet, as CSV writes them.
fn parts(folder: &Path) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    for name in names(folder) {
        if name.ends_with(".parquet") {
            let file = std::fs::File::open(folder.join(name)).unwrap();
            for row in SerializedFileReader::new(file)
                .unwrap()
                .get_row_iter(None)
                .unwrap()
            {
                let cell = |field: &parquet::record::Field| match field {
                    parquet::record::Field::Double(number) => number.to_string(),
                    parquet::record::Field::Str(text) => text.clone(),
                    parquet::record::Field::Null => String::new(),
                    other => panic!("{other}"),
                };
                let row = row.unwrap();
                rows.push(
                    row.get_column_iter()
                        .map(|(_, field)| cell(field))
                        .collect(),
                );
            }
        }
    }
    rows
}

#[test]
fn every_combination_is_there_once_and_in_order() {
    let folder = folder("order");
    // The air is named first and turns fastest all the same.
    let words = [
        "--vary",
        "air.flow=20 L/min, 40 L/min",
        "--vary",
        "riser.pipe=ASTM D1785 Sch 40 3 in, ASTM D1785 Sch 40 2 in",
        "--vary",
        "riser.lift=0 m..0.2 m:3",
        "--out",
        "cases.csv",
    ];
    let told = done(&folder, &words);
    assert!(told.starts_with("12 rows in cases.csv\n"), "{told}");
    assert!(told.lines().count() <= 10, "{told}");
    assert_eq!(names(&folder), ["cases.csv"]);
    let (head, rows) = table(&folder.join("cases.csv"));
    assert_eq!(
        head[..4],
        ["riser_pipe", "riser_lift_m", "air_flow_m3_per_s", "outcome"]
    );
    let results = COLUMNS.iter().filter(|column| !column.of_interval);
    let results: Vec<_> = results.map(|column| column.name).collect();
    assert_eq!(head[3..], results);
    let mut due = Vec::new();
    for pipe in ["ASTM D1785 Sch 40 3 in", "ASTM D1785 Sch 40 2 in"] {
        for lift in [0.0, 0.1, 0.2] {
            for air in [20.0, 40.0] {
                due.push((pipe.to_owned(), lift, air * 1e-3 / 60.0));
            }
        }
    }
    let number = |cell: &str| cell.parse::<f64>().unwrap();
    for (row, (pipe, lift, air)) in rows.iter().zip(&due) {
        assert_eq!(row[0], **pipe);
        assert_eq!(number(&row[1]), *lift);
        assert!((number(&row[2]) / air - 1.0).abs() < 1e-15);
    }
    assert_eq!(rows.len(), due.len());
}

/// Long enough for several chunks of a part and for several parts, with combinations that cannot be, do not pump or are choked.
const MANY: [&str; 6] = [
    "--vary",
    "riser.lost_bore=0 mm, 30 mm, 76.8 mm",
    "--vary",
    "riser.lift=0.1 m, 4 m",
    "--vary",
    "air.flow=0.1 L/min..12000 L/min:12000",
];

#[test]
fn bytes_are_the_same_whatever_the_number_of_threads() {
    let folder = folder("threads");
    let run = |threads: &str, out: &str| {
        done(
            &folder,
            &[&MANY[..], &["--threads", threads, "--out", out]].concat(),
        )
    };
    let told = ["1", "4"].map(|threads| {
        let csv = run(threads, &format!("{threads}.csv"));
        let parquet = run(threads, &format!("{threads}.parquet"));
        // All but the file's name.
        let rest = |told: String| told.split_once('\n').unwrap().1.to_owned();
        assert_eq!(rest(csv.clone()), rest(parquet));
        rest(csv)
    });
    assert_eq!(told[0], told[1]);
    for outcome in ["pumping", "below_threshold", "blown_dry", "inconsistent"] {
        assert!(told[0].contains(outcome), "{}", told[0]);
    }
    let bytes = |name: &str| std::fs::read(folder.join(name)).unwrap();
    assert_eq!(bytes("1.csv"), bytes("4.csv"));
    let all = names(&folder.join("1.parquet"));
    assert_eq!(all, names(&folder.join("4.parquet")));
    assert_eq!(
        all,
        ["_sweep.json", "part-00000.parquet", "part-00001.parquet"]
    );
    for name in &all {
        assert_eq!(
            bytes(&format!("1.parquet/{name}")),
            bytes(&format!("4.parquet/{name}"))
        );
    }
    // Both formats say the same.
    let (_, csv) = table(&folder.join("1.csv"));
    let parquet = parts(&folder.join("1.parquet"));
    assert_eq!((csv.len(), parquet.len()), (72_000, 72_000));
    for (one, other) in csv.iter().zip(&parquet) {
        assert!(
            one.iter().eq(other.iter().map(String::as_str)),
            "{one:?} {other:?}"
        );
    }
}

/// The answer of `flow` to a case.
fn flow(set: &[String]) -> Value {
    let mut tool = Command::new(env!("CARGO_BIN_EXE_risewater"));
    tool.args(["flow", "--json"]);
    for one in set {
        tool.args(["--set", one]);
    }
    let output = tool.output().unwrap();
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{set:?}: {told}");
    serde_json::from_slice(&output.stdout).unwrap()
}

/// Of random rows every cell is what `flow` says, to what the solver leaves open: it ends at 1e-11 of the water's velocity, and
/// here sets out from the row before.
#[test]
fn rows_are_what_flow_says() {
    let folder = folder("flow");
    let values = [
        ("water.temperature", vec!["5 degC", "20 degC"]),
        ("site.altitude", vec!["0 m", "1500 m"]),
        ("riser.bore", vec!["25 mm", "60 mm", "120 mm"]),
        ("riser.submergence", vec!["0.6 m", "1.4 m"]),
        ("riser.lift", vec!["0.1 m", "0.7 m"]),
        ("riser.outlet", vec!["plain", "elbow"]),
        ("model.slip", vec!["bhagwat_ghajar_2014", "smith_drift"]),
        (
            "air.flow",
            vec!["2 L/min", "30 L/min", "45 L/min", "300 L/min"],
        ),
    ];
    let vary: Vec<_> = values
        .iter()
        .map(|(key, all)| format!("{key}={}", all.join(", ")))
        .collect();
    let mut words: Vec<&str> = vary.iter().flat_map(|one| ["--vary", one]).collect();
    words.extend(["--interval", "--out", "cases.csv"]);
    done(&folder, &words);
    let (head, rows) = table(&folder.join("cases.csv"));
    assert_eq!(rows.len(), 768);
    let mut random = StdRng::seed_from_u64(20);
    let mut outcomes = BTreeSet::new();
    for _ in 0..24 {
        let number = random.random_range(0..rows.len());
        // The last key turns fastest.
        let mut rest = number;
        let mut set: Vec<String> = Vec::new();
        for (key, all) in values.iter().rev() {
            set.push(format!("{key}={}", all[rest % all.len()]));
            rest /= all.len();
        }
        let answer = flow(&set);
        let cell = |name: &str| &rows[number][head.iter().position(|own| own == name).unwrap()];
        let same = |name: &str, due: &Value| match due.as_f64() {
            None => assert!(due.is_null() && cell(name).is_empty(), "{set:?}: {name}"),
            Some(due) => {
                let found: f64 = cell(name).parse().unwrap();
                let near = (found - due).abs() <= 1e-9 * due.abs();
                assert!(near, "{set:?}: {name} is {found}, and {due} by flow");
            }
        };
        assert_eq!(*cell("outcome"), *answer["outcome"].as_str().unwrap());
        outcomes.insert(cell("outcome").to_owned());
        same("water_flow_m3_per_s", &answer["water_flow_m3_per_s"]);
        same("air_mass_flow_kg_per_s", &answer["air_mass_flow_kg_per_s"]);
        same("interval_low_m3_per_s", &answer["interval"]["low_m3_per_s"]);
        same(
            "interval_high_m3_per_s",
            &answer["interval"]["high_m3_per_s"],
        );
        let point = &answer["point"];
        for name in ["injection_pressure_pa", "efficiency", "injection_power_w"] {
            same(name, &point[name]);
        }
        same("void_fraction_foot", &point["foot"]["void_fraction"]);
        same("void_fraction_top", &point["top"]["void_fraction"]);
        let pattern = point["top"]["pattern"].as_str().unwrap_or_default();
        assert_eq!(cell("pattern_top"), pattern);
        let density = answer["site"]["water_density_kg_per_m3"].as_f64().unwrap();
        let depth = answer["riser"]["submergence_m"].as_f64().unwrap();
        same(
            "startup_gauge_pressure_pa",
            &(density * 9.806_65 * depth).into(),
        );
        let cautions = answer["cautions"].as_array().unwrap().iter();
        let codes: BTreeSet<_> = cautions
            .map(|caution| caution["code"].as_str().unwrap())
            .collect();
        let own: BTreeSet<_> = cell("cautions")
            .split(' ')
            .filter(|code| !code.is_empty())
            .collect();
        assert_eq!(own, codes, "{set:?}");
    }
    assert!(outcomes.len() > 1, "{outcomes:?}");
}

/// Without intervals the rows are the same, but for what the law of error says.
#[test]
fn intervals_change_nothing_else() {
    let folder = folder("intervals");
    let words = ["--vary", "air.flow=1 L/min..200 L/min:20"];
    done(&folder, &[&words[..], &["--out", "plain.csv"]].concat());
    done(
        &folder,
        &[&words[..], &["--interval", "--out", "interval.csv"]].concat(),
    );
    let (head, plain) = table(&folder.join("plain.csv"));
    let (other, interval) = table(&folder.join("interval.csv"));
    for (one, two) in plain.iter().zip(&interval) {
        for (name, cell) in head.iter().zip(one).filter(|(name, _)| *name != "cautions") {
            let place = other.iter().position(|own| own == name).unwrap();
            assert_eq!(cell, &two[place], "{name}");
        }
    }
    assert_eq!(plain.len(), interval.len());
}

/// `[sweep]` says what varies and `--set` replaces a value; `--vary` takes the place of `[sweep]`.
#[test]
fn a_file_and_values_of_its_own() {
    let folder = folder("own");
    let text = EXAMPLE.replace(
        "[model]",
        "[sweep]\nriser.lift = \"0.1 m, 0.3 m\"\n\n[model]",
    );
    std::fs::write(folder.join("own.toml"), text).unwrap();
    let words = [
        "own.toml",
        "--set",
        "riser.submergence=1 m",
        "--json",
        "--out",
        "cases.csv",
    ];
    let answer: Value = serde_json::from_str(&done(&folder, &words)).unwrap();
    assert_eq!(
        (&answer["schema"], &answer["rows"]),
        (&"risewater.sweep/1".into(), &2.into())
    );
    assert_eq!(answer["most"]["row"], 0);
    assert_eq!(answer["most"]["values"][0]["value"], "0.1 m");
    // A file that is there gives way to the new one.
    done(
        &folder,
        &["own.toml", "--vary", "riser.lift=0 m", "--out", "cases.csv"],
    );
    assert_eq!(table(&folder.join("cases.csv")).1.len(), 1);
    assert_eq!(names(&folder), ["cases.csv", "own.toml"]);
}

#[test]
fn refusals_leave_nothing() {
    let folder = folder("refused");
    std::fs::create_dir(folder.join("full")).unwrap();
    std::fs::write(folder.join("full/mine.txt"), "mine").unwrap();
    std::fs::write(folder.join("file.parquet"), "mine").unwrap();
    let good = ["--vary", "riser.bore=40 mm, 50 mm"];
    for (words, status, told) in [
        (
            vec!["--vary", "riser.bore=40 mm..50 mm/3 mm", "--out", "a.csv"],
            2,
            "come to 49 mm and 52 mm",
        ),
        (
            vec!["--vary", "riser.bore", "--out", "a.csv"],
            2,
            "names no key",
        ),
        (vec!["--out", "a.csv"], 2, "nothing varies"),
        (
            [&good[..], &["--out", "a.xlsx"]].concat(),
            2,
            "say which by --format",
        ),
        (
            [&good[..], &["--out", "none/a.csv"]].concat(),
            2,
            "none/a.csv: cannot be written",
        ),
        (
            [&good[..], &["--out", "none/a.parquet"]].concat(),
            2,
            "none/a.parquet: cannot be written",
        ),
        (
            [&good[..], &["--out", "full", "--format", "csv"]].concat(),
            2,
            "this is not a file",
        ),
        (
            [&good[..], &["--out", "full", "--format", "parquet"]].concat(),
            2,
            "this folder is not empty",
        ),
        (
            [
                &good[..],
                &["--out", "full", "--format", "parquet", "--resume"],
            ]
            .concat(),
            2,
            "of another sweep",
        ),
        (
            [&good[..], &["--out", "file.parquet"]].concat(),
            2,
            "this is a file",
        ),
        (
            [&good[..], &["--out", "a.csv", "--resume"]].concat(),
            2,
            "a file of CSV is written whole",
        ),
        (
            [&good[..], &["--out", "a.csv", "--threads", "0"]].concat(),
            2,
            "--threads",
        ),
        (
            [&good[..], &["--out", "a.csv", "--level", "2"]].concat(),
            2,
            "--level",
        ),
    ] {
        let (found, text) = refused(&folder, &words);
        assert_eq!(found, status, "{words:?}");
        assert!(text.contains(told), "{words:?}: {text}");
        assert_eq!(names(&folder), ["file.parquet", "full"], "{words:?}");
    }
    assert_eq!(names(&folder.join("full")), ["mine.txt"]);
}
