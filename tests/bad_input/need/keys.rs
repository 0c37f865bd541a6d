//! Every key of a need with every kind of wrong value.

use std::panic::{AssertUnwindSafe, catch_unwind};

use risewater::design::DesignFile;

use crate::good::{Key, Takes};
use crate::kinds::cases;

const POSITIVE: (bool, bool) = (false, false);
const ZERO: (bool, bool) = (false, true);
use Takes::{Number, Text, Unit};

/// Key, a good value, what it takes, and whether it may be negative and zero.
const KEYS: [(&str, &str, Takes, (bool, bool)); 30] = [
    ("biomass", "\"40 kg\"", Unit("kg"), ZERO),
    ("feed", "\"1 kg/d\"", Unit("kg/s"), ZERO),
    ("feed_rate", "\"2 %/d\"", Unit("%/d"), ZERO),
    ("protein", "0.4", Number, ZERO),
    ("temperature", "\"25 degC\"", Unit("degC"), ZERO),
    ("salinity", "\"5 g/kg\"", Unit("g/kg"), ZERO),
    ("volume", "\"4 m3\"", Unit("L"), POSITIVE),
    ("limits", "\"warm_water\"", Text, POSITIVE),
    ("least_oxygen", "\"5 mg/L\"", Unit("mg/L"), POSITIVE),
    ("tan_limit", "\"2 mg/L\"", Unit("mg/L"), POSITIVE),
    ("ammonia_limit", "\"0.02 mg/L\"", Unit("mg/L"), POSITIVE),
    ("carbon_dioxide_limit", "\"9 mg/L\"", Unit("mg/L"), POSITIVE),
    ("turnover", "\"1 volumes/h\"", Unit("volumes/h"), ZERO),
    ("entering_oxygen", "\"8 mg/L\"", Unit("mg/L"), ZERO),
    ("entering_saturation", "0.9", Number, POSITIVE),
    ("reaeration", "0.5", Number, POSITIVE),
    ("entering_tan", "\"1 mg/L\"", Unit("mg/L"), ZERO),
    ("tan_removal", "0.5", Number, POSITIVE),
    ("entering_carbon_dioxide", "\"1 mg/L\"", Unit("mg/L"), ZERO),
    ("carbon_dioxide_removal", "0.5", Number, POSITIVE),
    ("makeup_flow", "\"5 L/min\"", Unit("L/min"), ZERO),
    ("makeup_oxygen", "\"8 mg/L\"", Unit("mg/L"), ZERO),
    ("makeup_tan", "\"1 mg/L\"", Unit("mg/L"), ZERO),
    ("makeup_carbon_dioxide", "\"1 mg/L\"", Unit("mg/L"), ZERO),
    ("oxygen_per_feed", "0.5", Number, ZERO),
    ("tan_per_protein", "0.09", Number, ZERO),
    ("carbon_dioxide_per_oxygen", "1.3", Number, ZERO),
    ("solids_per_feed", "0.3", Number, ZERO),
    (
        "least_oxygen_use",
        "\"100 mg/(kg h)\"",
        Unit("mg/(kg h)"),
        POSITIVE,
    ),
    ("lift_flow", "\"60 L/min\"", Unit("L/min"), POSITIVE),
];

/// In `[need]` and in `[[rearing_tank]]`, read by the library: the line and the key are named.
#[test]
fn every_kind_at_every_key() {
    let (mut failures, mut judged) = (Vec::new(), 0);
    for (name, value, takes, (negative, zero)) in KEYS {
        for (section, brackets, label) in [
            ("need", "[need]", "need"),
            ("rearing_tank", "[[rearing_tank]]", "rearing_tank 1"),
        ] {
            if section == "rearing_tank" && name.starts_with("lift") {
                continue;
            }
            let key = Key {
                section,
                name,
                value,
                takes,
                negative,
                zero,
            };
            for case in cases(&key) {
                let text = format!("{brackets}\n{}\n", case.line);
                judged += 1;
                let read = catch_unwind(AssertUnwindSafe(|| DesignFile::parse(&text)));
                let said = match read {
                    Ok(Ok(_)) => String::new(),
                    Ok(Err(error)) => error.to_string(),
                    Err(_) => "a panic".to_owned(),
                };
                let blamed = 2 + usize::from(case.kind == "duplicate key");
                let start = if case.names_key {
                    format!("line {blamed}, {label}.{name}: ")
                } else {
                    format!("line {blamed}")
                };
                let line = said.lines().find(|line| line.starts_with(&start));
                let fine = match &case.words {
                    None => line.is_none(),
                    Some(_) if case.kind == "unknown section" => said.contains("no section [zoo]"),
                    Some(words) => {
                        line.is_some_and(|line| words.iter().all(|word| line.contains(word)))
                    }
                };
                if !fine {
                    failures.push(format!(
                        "{label}.{name}, {}: {:?} of {start:?} wanted: {said}",
                        case.line, case.words
                    ));
                }
            }
        }
    }
    println!("{judged} combinations");
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}
