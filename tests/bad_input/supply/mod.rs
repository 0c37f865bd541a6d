//! `risewater supply`: broken sections, tables and plants that have no answer.

mod keys;

use risewater::design::{EXISTING_EXAMPLE, SUPPLY_EXAMPLE};
use risewater::supply::blower::DEMO;
use serde_json::Value;

use crate::tool::{answered, file, place, refused, refuses};

/// The example with one piece of text for another, and its line.
fn changed(from: &str, to: &str) -> (String, usize) {
    assert!(SUPPLY_EXAMPLE.contains(from), "{from}");
    let before = SUPPLY_EXAMPLE.split(from).next().unwrap();
    (
        SUPPLY_EXAMPLE.replacen(from, to, 1),
        1 + before.matches('\n').count(),
    )
}

/// A file of the tool, with the blower's table beside it.
fn plant(name: &str, text: &str) -> String {
    let folder = format!("supply/{name}");
    file(&folder, "blower.csv", DEMO);
    file(&folder, "plant.toml", text)
}

/// What is wrong in one place, through the tool: status 2, the line and the key.
#[test]
fn bad_sections() {
    let cases: [(&str, &str, &str, &str, &str); 28] = [
        (
            "fitting",
            "elbow_90_threaded = 4",
            "elbow_90_treaded = 4",
            "main_line.fittings",
            "did you mean \"elbow_90_threaded\"",
        ),
        (
            "half a fitting",
            "elbow_90_threaded = 4",
            "elbow_90_threaded = 1.5",
            "main_line.fittings",
            "whole numbers",
        ),
        (
            "minus a fitting",
            "elbow_90_threaded = 4",
            "elbow_90_threaded = -1",
            "main_line.fittings",
            "must lie in 0 to 1000",
        ),
        (
            "negative loss",
            "length = \"18 m\"",
            "length = \"18 m\"\nloss = -0.5",
            "main_line.loss",
            "must lie in 0 to 100",
        ),
        (
            "standby",
            "standby = 1",
            "standby = 101",
            "blower.standby",
            "must lie in 0 to 100",
        ),
        (
            "no blower",
            "running = 1",
            "running = 0",
            "blower.running",
            "must lie in 1 to 100",
        ),
        (
            "holes",
            "holes = 24",
            "holes = 0",
            "branch.holes",
            "must lie in",
        ),
        (
            "foreign key",
            "injector = \"drilled_ring\"",
            "injector = \"open_tube\"",
            "branch.holes",
            "belongs to injector = \"drilled_ring\"",
        ),
        (
            "two injectors",
            "\n[riser] ",
            "\n[riser]\ninjector = \"diffuser\"\n",
            "branch.injector",
            "given beside another riser.injector: give one of the two",
        ),
        (
            "no curve",
            "injector = \"drilled_ring\"\nholes = 24\nhole_diameter = \"1.5 mm\"",
            "injector = \"diffuser\"",
            "branch.diffuser_loss",
            "missing: give its loss",
        ),
        (
            "falling curve",
            "injector = \"drilled_ring\"\nholes = 24\nhole_diameter = \"1.5 mm\"",
            "injector = \"diffuser\"\ndiffuser_loss = [[\"20 L/min\", \"2 kPa\"], [\"40 L/min\", \"1 kPa\"]]\n[air]\nreference = \"dry_20_c\"",
            "branch.diffuser_loss",
            "point 2 of the loss curve",
        ),
        (
            "curve in L",
            "injector = \"drilled_ring\"\nholes = 24\nhole_diameter = \"1.5 mm\"",
            "injector = \"diffuser\"\ndiffuser_loss = [[\"20 L\", \"2 kPa\"]]",
            "branch.diffuser_loss",
            "not of volume flow",
        ),
        (
            "no pairs",
            "injector = \"drilled_ring\"\nholes = 24\nhole_diameter = \"1.5 mm\"",
            "injector = \"diffuser\"\ndiffuser_loss = [\"20 L/min\", \"2 kPa\"]",
            "branch.diffuser_loss",
            "a list of pairs",
        ),
        (
            "no number of a ring",
            "holes = 24\n",
            "",
            "branch.holes",
            "missing: give the number of holes",
        ),
        (
            "orifices",
            "least_loss = \"2 kPa\"",
            "orifices = \"yes\"",
            "balance.orifices",
            "true or false",
        ),
        (
            "price",
            "price = 0.25",
            "price = \"0.25 EUR\"",
            "tariff.price",
            "a text where a number is due",
        ),
        (
            "no price",
            "price = 0.25",
            "# price",
            "tariff.price",
            "missing: give the price",
        ),
        (
            "negative price",
            "price = 0.25",
            "price = -1",
            "tariff.price",
            "must lie in",
        ),
        (
            "no limit",
            "oxygen_limit = \"5 mg/L\"",
            "",
            "stock.oxygen_limit",
            "missing: give all of",
        ),
        (
            "oxygen in kPa",
            "oxygen = \"8 mg/L\"",
            "oxygen = \"8 kPa\"",
            "stock.oxygen",
            "not of concentration",
        ),
        (
            "no bore",
            "bore = \"16 mm\"",
            "",
            "branch.bore",
            "missing: give the bore",
        ),
        (
            "two bores",
            "bore = \"16 mm\"",
            "bore = \"16 mm\"\npipe = \"ASTM D1785 Sch 40 1/2 in\"",
            "branch.pipe",
            "given beside branch.bore",
        ),
        (
            "no place",
            "at = \"6 m\"\n",
            "",
            "lift 3.at",
            "missing: give where it leaves",
        ),
        (
            "no depth",
            "at = \"6 m\"\npipe = \"ASTM D1785 Sch 40 3 in\"\nsubmergence = \"1.2 m\"",
            "at = \"6 m\"\npipe = \"ASTM D1785 Sch 40 3 in\"",
            "lift 3.submergence",
            "missing: give the depth",
        ),
        (
            "two flows",
            "at = \"6 m\"",
            "at = \"6 m\"\nair_flow = \"20 L/min\"",
            "lift 3.air_flow",
            "given beside its water_flow",
        ),
        (
            "a key of a lift",
            "name = \"tank 3\"",
            "nmae = \"tank 3\"",
            "lift 3.nmae",
            "there is no key \"nmae\" in [[lift]]; did you mean \"name\"?",
        ),
        (
            "one name twice",
            "name = \"tank 3\"",
            "name = \"tank 2\"",
            "lift 3.name",
            "is the name of lift 2 already",
        ),
        (
            "its depth",
            "at = \"6 m\"\npipe = \"ASTM D1785 Sch 40 3 in\"\nsubmergence = \"1.2 m\"",
            "at = \"6 m\"\npipe = \"ASTM D1785 Sch 40 3 in\"\nsubmergence = \"0.1 kg\"",
            "lift 3.submergence",
            "not of length",
        ),
    ];
    let mut failures = Vec::new();
    for (name, from, to, key, words) in cases {
        let (text, _) = changed(from, to);
        let path = plant("sections", &text);
        for command in ["supply", "check"] {
            if let Err(failure) = refuses(&[command, &path], 2, "design_file", &[key, words]) {
                failures.push(format!("{name}: {failure}"));
            }
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// Lines of lifts are those of the file.
#[test]
fn a_fault_of_a_lift_has_its_line() {
    let (text, line) = changed("name = \"tank 3\"", "name = 3");
    let path = plant("lines", &text);
    let words = format!("line {line}, lift 3.name: a number where a text is due");
    refused(&["supply", &path], 2, "design_file", &[&words]);
    // What is missing stands where its lift begins.
    let (text, line) = changed("at = \"6 m\"\n", "");
    let path = plant("lines", &text);
    let words = format!("line {}, lift 3.at: missing", line - 2);
    refused(&["supply", &path], 2, "design_file", &[&words]);
}

#[test]
fn one_bracket_is_no_lift() {
    let text = "[water]\ntemperature = \"14 degC\"\n[lift]\nat = \"1 m\"\n";
    let path = plant("bracket", text);
    let words = ["line 3, lift: a table where [[lift]]"];
    refused(&["supply", &path], 2, "design_file", &words);
}

#[test]
fn replaced_values_of_lifts() {
    let path = plant("replaced", SUPPLY_EXAMPLE);
    let json = |set: &str| -> Value {
        serde_json::from_str(&answered(&["supply", &path, "--json", "--set", set])).unwrap()
    };
    let found = json("lift.3.submergence=1.1 m");
    assert_eq!(found["lifts"][2]["riser"]["submergence_m"], 1.1);
    assert_eq!(found["lifts"][1]["riser"]["submergence_m"], 1.2);
    let found = json("lift.2.bore=60 mm");
    assert_eq!(found["lifts"][1]["riser"]["bore_m"], 0.06);
    for (set, words) in [
        (
            "lift.13.submergence=1 m",
            "there is no lift 13: the file has 12",
        ),
        ("lift.x.submergence=1 m", "there is no lift x"),
        ("lift.submergence=1 m", "lift.3.key=value"),
        ("lift.3.submergense=1 m", "did you mean \"submergence\""),
        (
            "lift.3.submergence=1 kg",
            "replaced value, lift 3.submergence",
        ),
    ] {
        refused(&["supply", &path, "--set", set], 2, "design_file", &[words]);
    }
}

/// The blower's table: not there, not a table, without what it must say.
#[test]
fn bad_tables() {
    let cases: [(&str, String, &[&str]); 6] = [
        (
            "monotone",
            DEMO.replace("15.0,60", "19.0,60"),
            &["line 9", "the pressure rise must fall as the flow rises"],
        ),
        (
            "conditions",
            DEMO.replace("intake_state,dry_20_c\n", ""),
            &["intake_state: missing: give"],
        ),
        (
            "machine",
            DEMO.replace("machine,dynamic\n", ""),
            &["machine: missing: give machine,dynamic"],
        ),
        (
            "kind",
            DEMO.replace("power_kind,wire\n", ""),
            &["power_kind: missing: give"],
        ),
        (
            "unit",
            DEMO.replace("15.0,60", "15 L,60"),
            &["line 9", "pressure_rise_kPa"],
        ),
        (
            "column",
            DEMO.replace("inlet_flow_m3_per_h", "flow"),
            &["line 6", "inlet_flow"],
        ),
    ];
    let mut failures = Vec::new();
    for (name, table, words) in cases {
        let path = plant("tables", SUPPLY_EXAMPLE);
        file("supply/tables", "blower.csv", table);
        let mut all = vec!["line 13, blower.table: blower.csv: "];
        all.extend(words);
        for command in ["supply", "check"] {
            if let Err(failure) = refuses(&[command, &path], 2, "design_file", &all) {
                failures.push(format!("{name}: {failure}"));
            }
        }
    }
    let path = plant("tables", SUPPLY_EXAMPLE);
    std::fs::remove_file(place("supply/tables").join("blower.csv")).unwrap();
    let words = ["blower.table: blower.csv: there is no such file"];
    failures.extend(refuses(&["supply", &path], 2, "design_file", &words).err());
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// A file of lifts as they stand names no flow: `supply` points at the question that needs none, which answers.
#[test]
fn lifts_without_a_flow_are_led_to_existing() {
    let text: String = EXISTING_EXAMPLE
        .lines()
        .filter(|line| !line.starts_with("water_flow"))
        .map(|line| format!("{line}\n"))
        .collect();
    let path = file("existing", "no_flow.toml", text);
    let words = ["lift 1.water_flow", "`risewater existing` needs neither"];
    refused(&["supply", &path], 2, "design_file", &words);
    answered(&["existing", &path]);
}

/// Understood, and without an answer: status 1, by how much.
#[test]
fn plants_without_an_answer() {
    let path = plant("no_answer", SUPPLY_EXAMPLE);
    let deep: Vec<String> = (1..=12)
        .flat_map(|n| ["--set".to_owned(), format!("lift.{n}.submergence=2.6 m")])
        .collect();
    let mut weak = vec!["supply", &path];
    weak.extend(deep.iter().map(String::as_str));
    refused(
        &weak,
        1,
        "blower_too_weak",
        &["the blower gives", "kPa are missing"],
    );
    // So thin a branch takes more pressure than its air can be warmed by, where nothing cools it.
    let cooled = SUPPLY_EXAMPLE.lines();
    let hot: Vec<&str> = cooled
        .filter(|line| !line.starts_with("arrival_temperature"))
        .collect();
    let hot = plant("no_answer_hot", &hot.join("\n"));
    let narrow = ["supply", &hot, "--set", "branch.bore=4 mm"];
    refused(
        &narrow,
        1,
        "outlet_too_hot",
        &["the air would leave the blower at", "use wider lines"],
    );
    let peak = ["supply", &path, "--set", "lift.5.water_flow=2000 L/min"];
    let words = ["lift 5.water_flow", "above the peak of this riser"];
    refused(&peak, 1, "design_file", &words);
    // Thirty lines of [[lift]] left out: the best design of the duty stands there, and there is none.
    let text = SUPPLY_EXAMPLE.split("\n[[lift]]").next().unwrap();
    let text = text.replace("feed = \"0 m\"", "first = \"2 m\"\nspacing = \"1 m\"");
    // It is one wide lift, whose ring has the air of all.
    let text = text.replace("holes = 24", "holes = 240");
    let path = plant("sized", &text);
    answered(&["supply", &path]);
    let none = ["supply", &path, "--set", "duty.lift=100 m"];
    refused(
        &none,
        1,
        "design_file",
        &["no pipe, depth and number of lifts"],
    );
    // Neither lifts nor a duty.
    let text = text.split("\n[duty]").next().unwrap();
    let path = plant("neither", text);
    refused(
        &["supply", &path],
        2,
        "design_file",
        &["lift: missing: give each lift"],
    );
}
