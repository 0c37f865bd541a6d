//! Every key of an air supply with every kind of wrong value.

use std::panic::{AssertUnwindSafe, catch_unwind};

use risewater::design::DesignFile;

use crate::good::{Key, Takes};
use crate::kinds::cases;

const fn key(
    section: &'static str,
    name: &'static str,
    value: &'static str,
    takes: Takes,
    (negative, zero): (bool, bool),
) -> Key {
    Key {
        section,
        name,
        value,
        takes,
        negative,
        zero,
    }
}

const POSITIVE: (bool, bool) = (false, false);
const ZERO: (bool, bool) = (false, true);
const ANY: (bool, bool) = (true, true);
use Takes::{Number, Text, Unit};

/// Every key that takes a quantity, a number or a name of a list.
const KEYS: [Key; 54] = [
    key("pipe", "bore", "\"57 mm\"", Unit("mm"), POSITIVE),
    key(
        "pipe",
        "outside_diameter",
        "\"63 mm\"",
        Unit("mm"),
        POSITIVE,
    ),
    key("blower", "shaft_efficiency", "0.5", Number, POSITIVE),
    key("blower", "motor_efficiency", "0.8", Number, POSITIVE),
    key("blower", "wire_efficiency", "0.4", Number, POSITIVE),
    key("blower", "rise_margin", "0.1", Number, ZERO),
    key(
        "blower",
        "intake_temperature",
        "\"20 degC\"",
        Unit("degC"),
        ANY,
    ),
    key("blower", "intake_humidity", "0.5", Number, ZERO),
    key("blower", "intake_loss", "\"0.3 kPa\"", Unit("kPa"), ZERO),
    key(
        "blower",
        "arrival_temperature",
        "\"30 degC\"",
        Unit("degC"),
        ANY,
    ),
    key("blower", "height", "\"1 m\"", Unit("m"), ANY),
    key(
        "main_line",
        "pipe",
        "\"ASTM D1785 Sch 40 2 in\"",
        Text,
        POSITIVE,
    ),
    key("main_line", "bore", "\"50 mm\"", Unit("mm"), POSITIVE),
    key("main_line", "length", "\"10 m\"", Unit("m"), ZERO),
    key("main_line", "roughness", "\"0.0015 mm\"", Unit("mm"), ZERO),
    key("main_line", "loss", "1.5", Number, ZERO),
    key(
        "main_line",
        "wanted_loss",
        "\"1 kPa\"",
        Unit("kPa"),
        POSITIVE,
    ),
    key(
        "header",
        "pipe",
        "\"ASTM D1785 Sch 40 2 in\"",
        Text,
        POSITIVE,
    ),
    key("header", "bore", "\"50 mm\"", Unit("mm"), POSITIVE),
    key("header", "roughness", "\"0.0015 mm\"", Unit("mm"), ZERO),
    key("header", "feed", "\"3 m\"", Unit("m"), ZERO),
    key("header", "tee_run_loss", "0.2", Number, ZERO),
    key("header", "first", "\"2 m\"", Unit("m"), ZERO),
    key("header", "spacing", "\"1 m\"", Unit("m"), ZERO),
    key(
        "branch",
        "pipe",
        "\"ASTM D1785 Sch 40 1/2 in\"",
        Text,
        POSITIVE,
    ),
    key("branch", "bore", "\"16 mm\"", Unit("mm"), POSITIVE),
    key("branch", "length", "\"2.5 m\"", Unit("m"), ZERO),
    key("branch", "roughness", "\"0.0015 mm\"", Unit("mm"), ZERO),
    key("branch", "loss", "1.5", Number, ZERO),
    key("branch", "valve_loss", "0.2", Number, ZERO),
    key("branch", "check_valve", "\"1 kPa\"", Unit("kPa"), ZERO),
    key("branch", "injector", "\"drilled_ring\"", Text, POSITIVE),
    key("branch", "hole_diameter", "\"2 mm\"", Unit("mm"), POSITIVE),
    key("branch", "discharge_coefficient", "0.62", Number, POSITIVE),
    key("balance", "least_loss", "\"2 kPa\"", Unit("kPa"), POSITIVE),
    key("balance", "drills", "\"metric\"", Text, POSITIVE),
    key("balance", "tolerance", "0.05", Number, POSITIVE),
    key("balance", "discharge_coefficient", "0.62", Number, POSITIVE),
    key("lift", "at", "\"4 m\"", Unit("m"), ZERO),
    key("lift", "pipe", "\"ASTM D1785 Sch 40 2 in\"", Text, POSITIVE),
    key("lift", "bore", "\"52 mm\"", Unit("mm"), POSITIVE),
    key("lift", "submergence", "\"1 m\"", Unit("m"), POSITIVE),
    key("lift", "lift", "\"0.15 m\"", Unit("m"), ANY),
    key(
        "lift",
        "water_flow",
        "\"50 L/min\"",
        Unit("L/min"),
        POSITIVE,
    ),
    key("lift", "air_flow", "\"30 L/min\"", Unit("L/min"), ZERO),
    key("lift", "line_bore", "\"16 mm\"", Unit("mm"), POSITIVE),
    key("lift", "length", "\"2.5 m\"", Unit("m"), ZERO),
    key("lift", "valve_loss", "0.2", Number, ZERO),
    key("lift", "check_valve", "\"1 kPa\"", Unit("kPa"), ZERO),
    key("lift", "injector", "\"drilled_ring\"", Text, POSITIVE),
    key("stock", "density", "\"40 kg/m3\"", Unit("kg/m3"), POSITIVE),
    key(
        "stock",
        "oxygen_use",
        "\"300 mg/(kg h)\"",
        Unit("mg/(kg h)"),
        POSITIVE,
    ),
    key("stock", "oxygen", "\"7 mg/L\"", Unit("mg/L"), ZERO),
    key("stock", "oxygen_limit", "\"3 mg/L\"", Unit("mg/L"), ZERO),
];

/// Every kind of wrong value at every key, read by the library: the line and the key are named.
#[test]
fn every_kind_at_every_key() {
    let (mut failures, mut judged) = (Vec::new(), 0);
    for key in KEYS {
        let section = key.section;
        let (brackets, label) = if ["lift", "pipe"].contains(&section) {
            (format!("[[{section}]]"), format!("{section} 1"))
        } else {
            (format!("[{section}]"), section.to_owned())
        };
        for case in cases(&key) {
            // The injector whose keys these are stands below, where it moves no line.
            let below = match key.name {
                "hole_diameter" => "injector = \"drilled_ring\"\n",
                "discharge_coefficient" if key.section == "branch" => {
                    "injector = \"drilled_ring\"\n"
                }
                _ => "",
            };
            let text = format!("{brackets}\n{}\n{below}", case.line);
            judged += 1;
            let read = catch_unwind(AssertUnwindSafe(|| DesignFile::parse(&text)));
            let said = match read {
                Ok(Ok(_)) => String::new(),
                Ok(Err(error)) => error.to_string(),
                Err(_) => "a panic".to_owned(),
            };
            let blamed = 2 + usize::from(case.kind == "duplicate key");
            let start = if case.names_key {
                format!("line {blamed}, {label}.{}: ", key.name)
            } else {
                format!("line {blamed}")
            };
            let line = said.lines().find(|line| line.starts_with(&start));
            let fine = match &case.words {
                None => line.is_none_or(|line| line.contains("missing: give")),
                Some(_) if case.kind == "unknown section" => said.contains("no section [zoo]"),
                Some(words) => {
                    line.is_some_and(|line| words.iter().all(|word| line.contains(word)))
                }
            };
            if !fine {
                failures.push(format!(
                    "{label}.{}, {}: {:?} of {start:?} wanted: {said}",
                    key.name, case.line, case.words
                ));
            }
        }
    }
    println!("{judged} combinations");
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}
