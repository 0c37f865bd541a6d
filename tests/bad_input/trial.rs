//! `risewater trial`: good and bad sheets and rigs through the tool.

use serde_json::Value;

use crate::tool::{answered, file, refused, refuses, run};

pub const SHEET: &str = "\
run,configuration,submergence_m,lift_m,water_volume_L,water_time_1_s,water_time_2_s,air_volume_L,air_time_1_s,air_time_2_s,bottle_level_mm,air_temperature_degC,water_temperature_degC,barometer_kPa
A,ring,0.8,0.1,15,14.2,14.6,4,11.9,12.2,-5,17,16,98.6
B,tube,0.8,0.1,15,16.2,16.7,4,11.8,12.1,0,17,16,98.6
";
pub const RIG: &str = "\
[water]
temperature = \"16 degC\"

[riser]
bore = \"52 mm\"

[air]
reference = \"dry_20_c\"

[trial]
submergences = [\"0.8 m\"]
lifts = { from = \"5 cm\", to = \"0.1 m\", count = 2 }
air_flows = [\"20 L/min\"]
container = \"15 L\"
bottle = \"4 L\"
";

#[test]
fn a_watch_that_goes_back() {
    let sheet = SHEET
        .replace("water_time", "water_clock")
        .replace("14.2,14.6", "14.2,13.9")
        .replace("16.2,16.7", "16.2,33");
    let path = file("trial_clock", "clock.csv", sheet);
    let words = [
        "line 2, water_clock_2_s \"13.9\"",
        "a running watch must go on",
    ];
    refused(&["trial", "reduce", &path], 2, "trial_sheet", &words);
}

#[test]
fn faults_are_objects_with_line_column_and_value() {
    let path = file("trial_json", "zero.csv", SHEET.replacen("14.2", "0", 1));
    let ending = run(&["trial", "reduce", &path, "--json"]);
    let value: Value = serde_json::from_str(&ending.stderr).unwrap();
    let fault = &value["details"][0];
    assert_eq!(
        (fault["line"].as_u64(), &fault["column"]),
        (Some(2), &"water_time_1_s".into())
    );
    assert_eq!(fault["value"], "0");
    assert!(fault["message"].as_str().unwrap().contains("must lie in"));
}

/// What spreadsheets do to a file changes nothing.
#[test]
fn good_in_other_clothes() {
    let plain = answered(&[
        "trial",
        "reduce",
        &file("trial_good", "plain.csv", SHEET),
        "--json",
    ]);
    let clothes = [
        ("bom", format!("\u{feff}{SHEET}")),
        (
            "blank",
            format!("\n# a remark\n{}\n,,,,\n\n", SHEET.replace("\nB", "\n\nB")),
        ),
        ("dos", SHEET.replace('\n', "\r\n")),
        ("semicolons", SHEET.replace(',', ";")),
        (
            "own units",
            SHEET
                .replacen("14.2", "14.2 s", 1)
                .replacen("0.1", "10 cm", 1),
        ),
        (
            "clock",
            SHEET
                .replace("water_time", "water_clock")
                .replace("14.2,14.6", "14.2,28.8")
                .replace("16.2,16.7", "16.2,32.9"),
        ),
    ];
    let flows = |text: &str| -> Vec<f64> {
        let value: Value = serde_json::from_str(text).unwrap();
        let runs = value["runs"].as_array().unwrap();
        runs.iter()
            .map(|run| run["flow"]["water_flow_m3_per_s"].as_f64().unwrap())
            .collect()
    };
    for (name, sheet) in clothes {
        let path = file("trial_good", &format!("{name}.csv"), sheet);
        let found = flows(&answered(&["trial", "reduce", &path, "--json"]));
        let same = found
            .iter()
            .zip(flows(&plain))
            .all(|(a, b)| (a / b - 1.0).abs() < 1e-12);
        assert!(found.len() == 2 && same, "{name}: {found:?}");
    }
}

/// Every kind of output of each command, from files.
#[test]
fn every_output() {
    let sheet = file("trial_out", "bench.csv", SHEET);
    let rig = file("trial_out", "rig.toml", RIG);
    let svg = file("trial_out", "residuals.svg", "");
    let commands: [(&[&str], &str); 3] = [
        (
            &["trial", "reduce", &sheet, "--rig", &rig],
            "risewater.trial/2",
        ),
        (&["trial", "plan", &rig], "risewater.plan/4"),
        (
            &["trial", "compare", &sheet, "--rig", &rig, "--svg", &svg],
            "risewater.comparison/3",
        ),
    ];
    for (arguments, schema) in commands {
        let with = |more: &str| answered(&[arguments, &[more]].concat());
        assert!(answered(arguments).contains("run"));
        let json: Value = serde_json::from_str(&with("--json")).unwrap();
        assert_eq!(json["schema"], schema);
        assert!(!json.to_string().contains("NaN"));
        assert!(with("--csv").contains(','));
        assert!(with("--units=us").contains("gal/min"));
    }
    assert!(std::fs::read_to_string(svg).unwrap().starts_with("<svg"));
    let pairs = file("trial_out", "pairs.csv", "");
    answered(&[
        "trial", "compare", "--csv", "--pairs", &pairs, "--units", "us",
    ]);
    let table = std::fs::read_to_string(pairs).unwrap();
    let lines: Vec<&str> = table.lines().collect();
    assert!(
        lines[0].starts_with("first_run,first_configuration,second_run,"),
        "{table}"
    );
    assert!(
        lines.len() == 4 && lines[1].starts_with("R04,ring,R10,diffuser,3.116"),
        "{table}"
    );
    let demo = answered(&["trial", "demo"]);
    let demo = file("trial_out", "demo.csv", demo);
    let demo_rig = file(
        "trial_out",
        "demo.toml",
        answered(&["trial", "demo", "--rig"]),
    );
    assert_eq!(
        answered(&["trial", "compare", &demo, "--rig", &demo_rig]),
        answered(&["trial", "compare"])
    );
    answered(&["check", &demo_rig]);
}

/// Two bores: the second configuration is predicted with its own riser.
#[test]
fn a_second_riser() {
    let sheet = file("trial_bores", "bench.csv", SHEET);
    let rig = file("trial_bores", "rig.toml", RIG);
    let other = file("trial_bores", "other.toml", RIG.replace("52 mm", "40 mm"));
    let predicted = |rig: &str, more: &[&str]| -> Vec<f64> {
        let compare = [
            "trial", "compare", &sheet, "--rig", rig, "--json", "--first", "ring", "--second",
            "tube",
        ];
        let json: Value = serde_json::from_str(&answered(&[&compare[..], more].concat())).unwrap();
        let runs = json["runs"].as_array().unwrap();
        let flow = |run: &Value| run["predicted_water_flow_m3_per_s"].as_f64().unwrap();
        runs.iter().map(flow).collect()
    };
    let (wide, narrow) = (predicted(&rig, &[]), predicted(&other, &[]));
    let both = predicted(&rig, &["--second-rig", &other]);
    assert_ne!(wide[1], narrow[1]);
    assert_eq!(both, [wide[0], narrow[1]]);
}

#[test]
fn bad_rigs_and_options() {
    let sheet = file("trial_rigs", "bench.csv", SHEET);
    let rig = file("trial_rigs", "rig.toml", RIG);
    let set = |value: &str| -> Vec<String> {
        ["trial", "plan", &rig, "--set", value]
            .map(str::to_owned)
            .to_vec()
    };
    let design = [
        ("trial.container=15", "has no unit"),
        ("trial.container=0 L", "must lie in"),
        ("trial.bottle=4 s", "is a unit of time, not of volume"),
        ("trial.tank_area=0 m2", "must lie in"),
        ("trial.wanted=0", "must lie in"),
        ("trial.air_flows=[]", "air.flow: missing"),
        ("trial.lifts=[1, 2]", "a list such as"),
        (
            "trial.lifts={ from = \"0 m\", to = \"1 m\", count = 1 }",
            "must lie in",
        ),
        (
            "trial.lifts={ from = \"0 m\", to = \"1 m\" }",
            "a list such as",
        ),
        (
            "trial.submergences=[\"1 kg\"]",
            "is a unit of mass, not of length",
        ),
        ("trial.start_reaction=-1 s", "must lie in"),
        ("trial.temperature=0.5 L", "is a unit of volume"),
        ("trial.contaner=15 L", "did you mean \"container\""),
        ("trial.shared_timing=2", "must lie in"),
    ];
    let mut failures = Vec::new();
    for (value, words) in design {
        let arguments = set(value);
        let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
        failures.extend(refuses(&arguments, 2, "design_file", &[words]).err());
    }
    let options: [(&[&str], &str); 5] = [
        (&["trial", "compare", &sheet], "--rig"),
        (
            &[
                "trial", "compare", &sheet, "--rig", &rig, "--first", "ring", "--second", "disc",
            ],
            "is no configuration",
        ),
        (
            &[
                "trial", "compare", &sheet, "--rig", &rig, "--first", "ring", "--second", "ring",
            ],
            "name another",
        ),
        (&["trial", "reduce", "--level", "high"], "--level"),
        (
            &["trial", "compare", "--air-tolerance", "1 m"],
            "--air-tolerance",
        ),
    ];
    for (arguments, words) in options {
        failures.extend(refuses(arguments, 2, "option", &[words]).err());
    }
    let lifts: [(&[&str], &str, &str); 6] = [
        (
            &["--design", "9999"],
            "option",
            "there is no design 9999: `risewater size` finds",
        ),
        (&["--design", "0"], "usage", "--design"),
        (&["--design", "best"], "usage", "--design"),
        (
            &["--lift", "pond 1"],
            "option",
            "there is no lift \"pond 1\"; there are tank 1",
        ),
        (&["--lift", "tank 1", "--design", "1"], "usage", "--lift"),
        // The rig has neither a duty nor lifts.
        (
            &[&rig, "--design", "1"],
            "design_file",
            "duty.water_flow: missing",
        ),
    ];
    for (more, code, words) in lifts {
        let arguments = [&["trial", "plan"], more].concat();
        failures.extend(refuses(&arguments, 2, code, &[words]).err());
    }
    let none = refuses(
        &["trial", "plan", &rig, "--lift", "tank 1"],
        2,
        "design_file",
        &["[[lift]]"],
    );
    failures.extend(none.err());
    failures.extend(
        refuses(
            &["trial", "reduce", "/nowhere.csv"],
            2,
            "unreadable",
            &["no such file"],
        )
        .err(),
    );
    failures.extend(
        refuses(
            &["trial", "reduce", "--level", "100 %"],
            2,
            "out_of_range",
            &["coverage"],
        )
        .err(),
    );
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

#[test]
fn help_of_each_has_an_example() {
    for command in ["reduce", "plan", "compare", "demo"] {
        let text = answered(&["trial", command, "--help"]);
        assert!(
            text.contains(&format!("Example: risewater trial {command}")),
            "{text}"
        );
    }
}
