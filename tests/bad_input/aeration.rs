//! `risewater trial aeration`: broken readings, broken sections, and a riser that costs only its line.

use risewater::design::{AERATION_EXAMPLE, DesignFile};
use risewater::gas::aeration::{DEMO_READINGS, parse_readings};
use serde_json::Value;

use crate::tool::{answered, file, flat, place, refuses, run};

/// The example with its readings beside it, one piece of each for another.
fn test_of(name: &str, design: (&str, &str), readings: &str) -> String {
    assert!(AERATION_EXAMPLE.contains(design.0), "{}", design.0);
    let folder = format!("aeration/{name}");
    file(&folder, "aeration.csv", readings);
    let text = AERATION_EXAMPLE.replacen(design.0, design.1, 1);
    file(&folder, "test.toml", text)
}

const AS_IT_IS: (&str, &str) = ("", "");
const HEADER: &str = "time_min,oxygen_mg_per_l\n";

/// Name, readings, and what must be said of them, by library and tool.
#[test]
fn bad_readings() {
    let rows = |oxygen: [f64; 7]| {
        let rows = oxygen.iter().enumerate();
        let rows: Vec<String> = rows.map(|(n, c)| format!("{},{c}\n", 5 * n)).collect();
        format!("{HEADER}{}", rows.concat())
    };
    let demo = |from: &str, to: &str| {
        assert!(DEMO_READINGS.contains(from), "{from}");
        DEMO_READINGS.replacen(from, to, 1)
    };
    let cases: [(&str, String, &str); 19] = [
        (
            "out_of_order",
            demo("\n5.0,", "\n1.0,"),
            "line 8, time_min \"1.0\": 1.00 min is not later than 2.50 min",
        ),
        (
            "repeated",
            demo("\n5.0,", "\n2.5,"),
            "line 8, time_min \"2.5\": 2.50 min is not later than 2.50 min",
        ),
        (
            "text",
            demo("1.22,", "lots,"),
            "line 7, probe_north_mg_per_l \"lots\": this is not a number",
        ),
        (
            "text_as_time",
            demo("\n5.0,", "\nnoon,"),
            "line 8, time_min \"noon\"",
        ),
        ("no_time", demo("\n5.0,", "\n,"), "line 8, time_min"),
        (
            "not_a_number",
            demo("1.22,", "NaN,"),
            "line 7, probe_north_mg_per_l \"NaN\": this is not a finite number",
        ),
        (
            "other_unit",
            demo("1.22,", "1.22 kPa,"),
            "line 7, probe_north_mg_per_l \"1.22 kPa\": kPa is a unit of pressure",
        ),
        (
            "too_much",
            demo("1.22,", "200,"),
            "line 7, probe_north_mg_per_l \"200\": dissolved oxygen is 200 mg/L; it must lie in -1 to",
        ),
        (
            "before_the_start",
            demo("\n0.0,", "\n-1,"),
            "line 6, time_min \"-1\": time of a reading is -60 s; it must lie in 0 to",
        ),
        (
            "long_row",
            demo("1.22,1.39", "1,22,1,39"),
            "line 7: 5 cells under 3 columns",
        ),
        (
            "unknown_column",
            demo("probe_south_mg_per_l", "temperature_degC"),
            "line 5, temperature_degC: there is no such column; known are time_min",
        ),
        (
            "unknown_unit",
            demo("time_min", "time_furlong"),
            "\"furlong\" is no known unit of time",
        ),
        (
            "same_probe",
            demo("probe_south", "probe_north"),
            "line 5, probe_north_mg_per_l: column 3 says what column 2 (probe_north_mg_per_l) says already",
        ),
        (
            "no_probe",
            "time_min\n0\n5\n".to_owned(),
            "oxygen_mg_per_l: this column is missing",
        ),
        (
            "no_times",
            "oxygen_mg_per_l\n1\n".to_owned(),
            "time_min: this column is missing",
        ),
        ("empty", String::new(), "there is no header"),
        (
            "one_reading",
            format!("{HEADER}0,1\n"),
            "1 reading(s) at different times cannot determine three parameters",
        ),
        ("flat", rows([5.0; 7]), "no transfer can be found from it"),
        (
            "falling",
            rows([9.0, 7.0, 5.0, 4.0, 3.2, 2.8, 2.5]),
            "no transfer can be found from it",
        ),
    ];
    let mut failures = Vec::new();
    for (name, readings, word) in cases {
        let said = parse_readings(&readings).unwrap_err().to_string();
        let design = DesignFile::parse(AERATION_EXAMPLE).unwrap();
        let whole = design.with_readings(readings.as_str()).aeration();
        let whole = whole.unwrap_err().to_string();
        if !said.contains(word) || !whole.contains(word) || !whole.contains("aeration.readings") {
            failures.push(format!("{name}: {said}, {whole}"));
        }
        let path = test_of(name, AS_IT_IS, &readings);
        for command in [&["trial", "aeration"][..], &["check"]] {
            let arguments = [command, &[path.as_str()]].concat();
            if command == ["check"] {
                let ending = run(&arguments);
                if ending.status != Some(2) || !flat(&ending.stderr).contains(word) {
                    failures.push(format!("{arguments:?}: {ending:?}"));
                }
            } else {
                failures.extend(refuses(&arguments, 2, "design_file", &[word]).err());
            }
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// Name, a piece of the example and what stands in its place, and what must be said.
#[test]
fn bad_sections() {
    let cases = [
        (
            "volume",
            ("volume = ", "# "),
            "aeration.volume: missing: give the water in the tank",
        ),
        (
            "no_water",
            ("\"0.7 m3\"", "\"0 m3\""),
            "volume of aerated water is 0 m3; it must lie in",
        ),
        (
            "readings",
            ("readings = ", "# "),
            "aeration.readings: missing: give the file",
        ),
        (
            "no_file",
            ("\"aeration.csv\"", "\"other.csv\""),
            "other.csv: there is no such file",
        ),
        (
            "power_kind",
            ("\"wire\"", "\"watts\""),
            "aeration.power_kind: there is no kind of power named \"watts\"; there are wire, shaft, air",
        ),
        (
            "near_power_kind",
            ("\"wire\"", "\"shafft\""),
            "did you mean \"shaft\"?",
        ),
        (
            "no_power",
            ("power = ", "# "),
            "aeration.power: missing: give the power of that kind",
        ),
        (
            "negative_power",
            ("\"65 W\"", "\"-65 W\""),
            "power of the aerator is -65 W; it must lie in",
        ),
        (
            "no_field",
            ("field_oxygen = ", "# "),
            "aeration.field_oxygen: missing",
        ),
        (
            "alpha",
            ("alpha = 0.9", "alpha = 9"),
            "over clean water is 9; it must lie in 0.05 to 2",
        ),
        (
            "key",
            ("beta = 1.0", "bta = 1.0"),
            "there is no key \"bta\" in [aeration]; did you mean \"beta\"?",
        ),
        (
            "no_unit",
            ("\"24 degC\"", "24"),
            "aeration.field_temperature: \"24\" has no unit",
        ),
    ];
    let mut failures = Vec::new();
    for (name, change, word) in cases {
        let path = test_of(name, change, DEMO_READINGS);
        failures.extend(refuses(&["trial", "aeration", &path], 2, "design_file", &[word]).err());
        let checked = run(&["check", &path]);
        if checked.status != Some(2) || !flat(&checked.stderr).contains(word) {
            failures.push(format!("check of {name}: {checked:?}"));
        }
    }
    let folder = place("aeration");
    let nowhere = folder.join("nowhere/x.svg").to_str().unwrap().to_owned();
    let missing = folder.join("nothing.toml").to_str().unwrap().to_owned();
    failures.extend(refuses(&["trial", "aeration", "--svg", &nowhere], 2, "write", &[]).err());
    failures.extend(refuses(&["trial", "aeration", &missing], 2, "unreadable", &[]).err());
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// What the riser cannot tell leaves the test's own numbers as they are.
#[test]
fn a_riser_without_a_coefficient_costs_its_line() {
    let cases = [
        ("as_it_is", AS_IT_IS, None),
        (
            "too_much_oxygen",
            ("\"0.7 m3\"", "\"7 m3\""),
            Some("with water and air in equilibrium"),
        ),
        (
            "too_little_air",
            ("\"100 L/min\"", "\"2 L/min\""),
            Some("the riser does not pump"),
        ),
        (
            "no_air",
            ("flow = \"100 L/min\"", ""),
            Some("the air of the test is not given"),
        ),
    ];
    for (name, change, why) in cases {
        let path = test_of(name, change, DEMO_READINGS);
        let text = answered(&["trial", "aeration", &path]);
        assert!(text.contains("SOTR"), "{name}: {text}");
        let json: Value =
            serde_json::from_str(&answered(&["trial", "aeration", &path, "--json"])).unwrap();
        let number = |key: &str| json[key].as_f64();
        assert!(number("sotr_kg_per_s").is_some(), "{name}");
        if let Some(why) = why {
            assert!(text.contains(why), "{name}: {text}");
            assert!(json["riser_no_answer"].as_str().unwrap().contains(why));
            assert!(json["riser"].is_null());
        } else {
            let k = ["", "_low", "_high"];
            let k = k.map(|end| {
                json["riser"][format!("coefficient{end}_per_s")]
                    .as_f64()
                    .unwrap()
            });
            assert!(k[1] < k[0] && k[0] < k[2], "{k:?}");
            assert!(json["riser_no_answer"].is_null());
            answered(&["check", &path]);
        }
        let codes = json["cautions"].as_array().unwrap();
        for code in ["oxygen_taken_out", "loss_of_air", "mains_near_water"] {
            assert!(codes.iter().any(|caution| caution["code"] == code));
        }
    }
}
