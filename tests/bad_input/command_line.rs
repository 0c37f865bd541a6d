//! The command line: options that are none, values that are none.

use serde_json::Value;

use crate::good::all;
use crate::tool::{answered, file, place, refused, run};

fn good() -> String {
    file("command_line", "good.toml", all()[0].text())
}

#[test]
fn unknown_words() {
    let good = good();
    for (arguments, words) in [
        (&["flow", &good, "--zebra"][..], "--zebra"),
        (&["flow", &good, "second.toml"], "second.toml"),
        (&["pump", &good], "pump"),
        (&["fow", &good], "flow"),
        (&["list", "zebras"], "zebras"),
        (&["list"], "required"),
        (&["flow", &good, "--units", "imperial"], "imperial"),
        (&["size", &good, "--top", "many"], "many"),
        (&["size", &good, "--top", "-1"], "-1"),
        (&["curve", &good, "--points", "0"], "0"),
        (&["curve", &good, "--points", "1e3"], "1e3"),
        (&["curve", &good, "--points", "1000000"], "1000000"),
        (&["completions", "zsh5"], "zsh5"),
        (&["flow", &good, "--set"], "--set"),
        (&["flow", &good, "--want"], "--want"),
        (&["flow", ""], "FILE"),
        (&["curve", &good, "--svg", ""], "--svg"),
    ] {
        refused(arguments, 2, "usage", &[words]);
    }
    let both = run(&["size", &good, "--csv", "--json"]);
    assert!(
        both.status == Some(2) && both.stdout.is_empty() && both.stderr.contains("--csv"),
        "{both:?}"
    );
    assert_eq!(run::<&str>(&[]).status, Some(2));
    assert_eq!(run(&["--json"]).status, Some(2));
    assert!(answered(&["--help"]).contains("Exit status"));
    assert!(answered(&["--version"]).starts_with("risewater "));
}

#[test]
fn replacements() {
    let good = good();
    let set = |value: &str, words: &[&str]| {
        for command in ["check", "flow", "curve", "size"] {
            refused(&[command, &good, "--set", value], 2, "design_file", words);
        }
    };
    for value in [
        "",
        "=",
        "0.2 m",
        "lift=0.2 m",
        "riser=5",
        "riser.=5",
        ".lift=5",
        "riser.a.b=5",
        "riser lift=0.2 m",
        "air.reference.pressure=1 bar",
    ] {
        set(
            value,
            &[
                "does not name a key; write section.key=value",
                &format!("{value:?}"),
            ],
        );
    }
    set(
        "pump.lift=0.2 m",
        &["replaced value: there is no section [pump]"],
    );
    set(
        "risers.lift=0.2 m",
        &["replaced value: there is no section [risers]; did you mean \"riser\"?"],
    );
    set(
        "riser.lft=0.2 m",
        &["replaced value, riser.lft: there is no key \"lft\" in [riser]; did you mean \"lift\"?"],
    );
    set(
        "riser.lift=0.2",
        &["replaced value, riser.lift: \"0.2\" has no unit"],
    );
    set(
        "riser.lift=",
        &["replaced value, riser.lift: the text is empty"],
    );
    set(
        "riser.lift=0.2 kPa",
        &[
            "replaced value, riser.lift: ",
            "kPa is a unit of pressure, not of length",
        ],
    );
    set(
        "riser.lift=\"0.2 m\nzebra = 1",
        &["replaced value, riser.lift"],
    );
    set(
        "riser.lift=\"0.2 m\"\nzebra = 1",
        &["replaced value: \"zebra\" stands outside any section"],
    );
    set(
        "riser.bore=-3 in",
        &["replaced value, riser.bore: bore is -76.2 mm"],
    );
    set(
        "riser.pipe=ASTM D1785 Sch 40 2.5 in",
        &[
            "replaced value, riser.pipe: ",
            "did you mean \"ASTM D1785 Sch 40 2 in\"?",
        ],
    );
    set(
        "model.slip=bhagwat",
        &["replaced value, model.slip: there is no slip closure named \"bhagwat\""],
    );
    set(
        "model.slip=bhagwat_gajar_2014",
        &["did you mean \"bhagwat_ghajar_2014\"?"],
    );
    set(
        "model.friction=friedel1979",
        &["did you mean \"friedel_1979\"?"],
    );
    set(
        "limits.standards=[\"ASTM D1784\"]",
        &["did you mean \"ASTM D1785\"?"],
    );
    set("riser.outlet=elbw", &["did you mean \"elbow\"?"]);
    set(
        "air.reference=normal_din1343",
        &["did you mean \"normal_din_1343\"?"],
    );
    set(
        "site.pressure=0 Pa",
        &["atmospheric pressure is 0 kPa; it must lie in 30 to 120 kPa"],
    );
    set(
        "water.temperature=120 degC",
        &["water temperature is 120 degC; it must lie in 0 to 40 degC"],
    );
    set(
        "water.temperature=-5 degC",
        &["water temperature is -5 degC; it must lie in 0 to 40 degC"],
    );
    set(
        "water.salinity=50 g/kg",
        &["salinity is 50 g/kg; it must lie in 0 to 42 g/kg"],
    );
    set(
        "limits.submergence_step=1e-9 m",
        &["step of submergence is 1e-9 m; it must lie in 0.001 to 1000 m"],
    );
    // The last replacement wins, and a good one is as good as the file.
    let one = answered(&["flow", &good, "--set", "riser.lift=0.2 m"]);
    assert_eq!(
        one,
        answered(&[
            "flow",
            &good,
            "--set",
            "riser.lift=900 m",
            "--set",
            "riser.lift=\"20 cm\""
        ])
    );
    answered(&[
        "flow",
        &good,
        "--set",
        "riser.outlet=open_top",
        "--set",
        "riser.outlet_head=1 in",
    ]);
}

#[test]
fn wanted_flows() {
    let good = good();
    for (want, words) in [
        ("150", "has no unit; give the volume flow in L/min"),
        ("150 mm", "mm is a unit of length"),
        ("much", "not a number with a unit"),
        ("", "empty"),
        ("inf L/min", "finite"),
        ("0 L/min", "must lie in"),
        ("1e30 L/min", "must lie in"),
    ] {
        refused(
            &["flow", &good, "--want", want],
            2,
            "option",
            &["--want: ", words],
        );
        refused(
            &["curve", &good, "--want", want],
            2,
            "option",
            &["--want: ", words],
        );
    }
    refused(
        &["flow", &good, "--want=-5 L/min"],
        2,
        "option",
        &["--want: water flow is -5 L/min"],
    );
    refused(
        &["flow", &good, "--want", "1e5 L/min"],
        1,
        "above_peak",
        &["above the peak of this riser"],
    );
    refused(
        &[
            "flow",
            &good,
            "--set",
            "riser.lift=-0.8 m",
            "--want",
            "1 L/min",
        ],
        1,
        "runs_without_air",
        &["without air"],
    );
    refused(
        &[
            "flow",
            &good,
            "--set",
            "riser.lift=900 m",
            "--want",
            "1 L/min",
        ],
        1,
        "lift_out_of_reach",
        &["no amount of air lifts the water"],
    );
    answered(&["flow", &good, "--want", "40 gpm"]);
    let by = ["--by", "submergence"];
    refused(
        &[&["flow", &good, "--want", "mm"], &by[..]].concat(),
        2,
        "option",
        &["--want: "],
    );
    refused(
        &[&["flow", &good, "--want", "1e6 L/min"], &by[..]].concat(),
        1,
        "submergence_out_of_reach",
        &["no submergence from"],
    );
    refused(
        &[&["flow", &good], &by[..]].concat(),
        2,
        "usage",
        &["--want"],
    );
}

/// `[]` takes a key away, or a section.
#[test]
fn what_is_taken_away() {
    let good = good();
    refused(
        &["check", &good, "--set", "duty.lift=[]"],
        2,
        "design_file",
        &["duty.lift: missing: give the lift wanted"],
    );
    refused(
        &["flow", &good, "--set", "riser = [ ]"],
        2,
        "design_file",
        &["riser.bore: missing"],
    );
    let lifts = risewater::design::EXISTING_EXAMPLE;
    let several = file("command_line", "shop.toml", lifts);
    answered(&["existing", &several]);
    refused(
        &["existing", &several, "--set", "lift=[]"],
        2,
        "design_file",
        &["riser.bore: missing"],
    );
    refused(
        &["existing", &several, "--set", "lists=[]"],
        2,
        "design_file",
        &["does not name a key"],
    );
}

/// A flow of air whose state is not said is a fault, with several levels too.
#[test]
fn levels_with_air_of_no_state() {
    let good = good();
    let levels = ["--levels=-20 cm", "--set", "air.reference=[]"];
    refused(
        &[&["curve", &good], &levels[..]].concat(),
        2,
        "design_file",
        &["air.reference: missing"],
    );
    answered(&["curve", &good, "--levels=-20 cm", "--set", "air=[]"]);
}

/// Sections that a command does not read are named with one that does; of a file that is all read, nothing is said.
#[test]
fn what_is_left_unread() {
    let said = |arguments: &[&str]| run(arguments).stderr;
    let lines = format!(
        "{}\n[header]\nbore = \"40 mm\"\n[tariff]\nprice = 0.25\ncurrency = \"EUR\"\n",
        risewater::design::TANKS_EXAMPLE
    );
    let lines = file("command_line", "lines.toml", lines);
    assert!(
        said(&["size", &lines])
            .contains("note: not read here: [header], [tariff] (risewater supply)\n")
    );
    assert!(!said(&["size"]).contains("not read here"));
    let shop = risewater::design::EXISTING_EXAMPLE;
    let shop = file(
        "command_line",
        "unread.toml",
        format!("{shop}\n[need]\nph = 7.5\n[duty]\nlift = \"0.1 m\"\n"),
    );
    let note = "note: not read here: [duty] (risewater size); [need] (risewater need)\n";
    assert!(said(&["existing", &shop]).contains(note));
}

/// What one reading and three would leave is the same number wherever it is told.
#[test]
fn a_search_and_a_plan_count_readings_alike() {
    let told =
        |arguments: &[&str]| -> Value { serde_json::from_str(&answered(arguments)).unwrap() };
    let size = told(&["size", "--json"]);
    let plan = told(&["trial", "plan", "--design", "1", "--json"]);
    for (key, run) in [("after_one_reading", 0), ("after_three_readings", 2)] {
        let of_size = size["designs"][0]["detail"][key].as_f64().unwrap();
        let of_plan = plan["order"]["runs"][run]["half_width"].as_f64().unwrap();
        assert!(
            (of_size / of_plan - 1.0).abs() < 1e-6,
            "{key}: {of_size} {of_plan}"
        );
    }
}

#[test]
fn a_sweep_has_one_system_of_units() {
    let out = place("command_line").join("rows.csv");
    let out = out.to_str().unwrap();
    let vary = ["--vary", "riser.bore=50 mm, 60 mm", "--out", out];
    refused(
        &[&["sweep", "--units", "us"], &vary[..]].concat(),
        2,
        "option",
        &["--units: rows are written in SI units"],
    );
    answered(&[&["sweep"], &vary[..]].concat());
}

#[cfg(unix)]
#[test]
fn words_that_are_no_text() {
    use std::os::unix::ffi::OsStrExt;
    let odd = std::ffi::OsStr::from_bytes(b"no\xffsuch.toml");
    let flow = std::ffi::OsStr::new("flow");
    assert_eq!(run(&[flow, odd]).status, Some(2));
    assert_eq!(
        run(&[flow, std::ffi::OsStr::new("--set"), odd]).status,
        Some(2)
    );
}

#[test]
fn whatever_is_listed() {
    for what in [
        "pipes", "models", "sources", "units", "states", "losses", "needs", "evidence", "closures",
        "memory",
    ] {
        let metric = answered(&["list", what]);
        assert!(metric.lines().count() > 2, "{what}: {metric}");
        let us = answered(&["list", what, "--units", "us"]);
        let differs = ["pipes", "models", "states"].contains(&what);
        assert_eq!(metric != us, differs, "{what}: {us}");
    }
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        assert!(
            answered(&["completions", shell]).contains("risewater"),
            "{shell}"
        );
    }
    let example = file("command_line", "example.toml", answered(&["example"]));
    assert!(answered(&["check", &example]).contains("nothing wrong found"));
    let verdict = answered(&["check", &example, "--json"]);
    let verdict: serde_json::Value = serde_json::from_str(&verdict).unwrap();
    assert_eq!(verdict["schema"], "risewater.check/1");
    assert_eq!(verdict["faults"], serde_json::json!([]));
    for command in [
        &["flow"][..],
        &["curve"],
        &["size", "--top", "1"],
        &["size", "--top", "0"],
    ] {
        let arguments = [command, &[&example, "--units", "us"]].concat();
        let text = answered(&arguments);
        assert!(
            text.contains("gpm") || text.contains("gal/min"),
            "{arguments:?}: {text}"
        );
    }
}

/// What the examples give in US units has no number in a metric one, in results and cautions.
#[test]
fn us_texts_have_no_metric_units() {
    const METRIC: &[&str] = &[
        "m", "mm", "cm", "um", "L", "L/min", "m3", "m3/h", "Nm3/h", "kg", "kg/d", "kg/h", "kg/m3",
        "kg/kWh", "g/h", "kPa", "Pa", "bar", "W", "degC", "m/s",
    ];
    let farm = file("us", "farm.toml", answered(&["example", "need"]));
    file("us", "crop.csv", answered(&["example", "crop"]));
    for command in [
        &["flow"][..],
        &["curve"],
        &["size"],
        &["size", "-v"],
        &["size", &farm],
        &["size", &farm, "-v"],
        &["need"],
        &["need", "-v"],
        &["supply"],
        &["existing"],
        &["supply", "-v"],
        &["trial", "reduce"],
        &["trial", "plan"],
        &["trial", "compare"],
        &["trial", "fit", "--configuration", "ring"],
        &["trial", "aeration"],
        &["list", "models"],
        &["list", "states"],
    ] {
        let ending = run(&[command, &["--units", "us"]].concat());
        assert_eq!(ending.status, Some(0), "{command:?}: {}", ending.stderr);
        // Sources and defaults are cited as they are, and refusals have the units of their limits.
        let results = ending.stdout.split("\nSources\n").next().unwrap();
        let results = results.split("\nDefaults, ").next().unwrap();
        let results = results.split("\nRejected, ").next().unwrap();
        for line in results.lines().chain(ending.stderr.lines()) {
            let mut words = line.split([' ', '(', ')', ',', ';', ':']);
            let left = words.find(|word| METRIC.contains(word));
            assert!(left.is_none(), "{command:?}: {left:?} in {line}");
        }
    }
}

/// A plant that stands is told on one screen, whatever its state.
#[test]
fn a_plant_that_stands_fits_a_screen() {
    let plant = file("screen", "plant.toml", answered(&["example", "supply"]));
    file("screen", "blower.csv", answered(&["example", "blower"]));
    let deep = [1, 2, 3].map(|n| format!("lift.{n}.submergence=2.5 m"));
    let deep: Vec<&str> = deep.iter().flat_map(|set| ["--set", set]).collect();
    for question in [
        vec!["existing"],
        [&["existing"], &deep[..]].concat(),
        vec!["existing", &plant],
        vec!["existing", &plant, "--set", "blower.bleed_hole=8 mm"],
        vec!["existing", &plant, "--set", "branch.orifice=4 mm"],
    ] {
        for units in ["metric", "us"] {
            let text = answered(&[&question[..], &["--units", units]].concat());
            assert!(text.lines().count() <= 40, "{question:?}:\n{text}");
            let wide = text.lines().find(|line| line.chars().count() > 92);
            assert!(wide.is_none(), "{question:?}: {wide:?}");
        }
    }
}

/// Drills go with the units, unless the file names them.
#[test]
fn drills_of_either_units() {
    let drilled = |more: &[&str]| {
        let text = answered(&[&["supply", "-v"], more].concat());
        let line = text.lines().find(|line| line.contains("orifice plate"));
        line.unwrap().to_owned()
    };
    let us = ["--units", "us"];
    let named = [&us[..], &["--set", "balance.drills=metric"]].concat();
    assert!(drilled(&[]).contains(" mm ("), "{}", drilled(&[]));
    assert!(drilled(&us).contains("hole #"), "{}", drilled(&us));
    assert!(drilled(&named).contains(" mm ("), "{}", drilled(&named));
}

/// Each by its name; without one, the names.
#[test]
fn shapes_of_answers() {
    let names = answered(&["schema"]);
    assert!(names.lines().any(|name| name == "flow"), "{names}");
    for name in names.lines() {
        let shape = answered(&["schema", name]);
        let shape: Value = serde_json::from_str(&shape).unwrap();
        let title = shape["title"].as_str().unwrap();
        if name == "design" {
            assert!(shape["properties"]["riser"]["properties"]["bore"].is_object());
            continue;
        }
        let numbered = title.strip_prefix(&format!("risewater.{name}/"));
        assert!(
            numbered.is_some_and(|n| n.parse::<u32>().is_ok()),
            "{title}"
        );
        assert_eq!(shape["properties"]["schema"]["const"], title);
    }
    let ending = run(&["schema", "flaw"]);
    assert_eq!((ending.status, ending.stdout.as_str()), (Some(2), ""));
    assert!(ending.stderr.contains("'flow'"), "{ending:?}");
}

/// A page for the tool and for each command, on stdout or as files.
#[test]
fn manual_pages() {
    assert!(answered(&["man"]).contains(".TH risewater 1"));
    let fit = answered(&["man", "trial", "fit"]);
    assert!(
        fit.contains(".TH risewater-trial-fit 1") && fit.contains("\\-\\-calibration"),
        "{fit}"
    );
    let directory = place("manual");
    let saved = answered(&["man", "--dir", directory.to_str().unwrap()]);
    assert!(saved.lines().count() > 14, "{saved}");
    for path in saved.lines() {
        assert!(
            std::fs::read_to_string(path)
                .unwrap()
                .contains(".TH risewater"),
            "{path}"
        );
    }
    assert_eq!(
        std::fs::read_to_string(directory.join("risewater-trial-fit.1")).unwrap(),
        fit
    );
    for (arguments, words) in [
        (
            &["man", "trail"][..],
            "\"trail\" is no command; risewater has size, flow",
        ),
        (
            &["man", "trial", "fits"],
            "risewater-trial has reduce, plan",
        ),
        (&["man", "flow", "fast"], "has none below it"),
        (&["man", "--dir", "/nowhere/at/all"], "cannot be written"),
    ] {
        let ending = run(arguments);
        assert!(
            ending.status == Some(2) && ending.stdout.is_empty() && ending.stderr.contains(words),
            "{arguments:?}: {ending:?}"
        );
    }
}
