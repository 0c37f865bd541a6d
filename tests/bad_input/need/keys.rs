//! Every key of a need and of a loop with every kind of wrong value.

use std::panic::{AssertUnwindSafe, catch_unwind};

use risewater::design::DesignFile;

use crate::good::{Key, Takes};
use crate::kinds::cases;

const POSITIVE: (bool, bool) = (false, false);
const ZERO: (bool, bool) = (false, true);
use Takes::{Count, Number, Text, Unit};

/// Key, a good value, what it takes, and whether it may be negative and zero.
type Told = (&'static str, &'static str, Takes, (bool, bool));

const NEED: [Told; 32] = [
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
    ("surface_coefficient", "\"0.02 1/h\"", Unit("1/s"), ZERO),
    ("aerator", "\"0.2 kg/h\"", Unit("kg/h"), ZERO),
];

const LOOP: [Told; 14] = [
    ("light_from", "\"6 h\"", Unit("h"), ZERO),
    ("light_to", "\"20 h\"", Unit("h"), ZERO),
    ("dark_use", "0.8", Number, POSITIVE),
    ("lifts", "12", Count, POSITIVE),
    ("most_lifts", "30", Count, POSITIVE),
    ("lift_flow", "\"60 L/min\"", Unit("L/min"), POSITIVE),
    ("part", "0.3", Number, ZERO),
    ("passage", "\"series\"", Text, POSITIVE),
    ("order", "\"lifts_first\"", Text, POSITIVE),
    ("oxygen_peak", "1.3", Number, POSITIVE),
    ("ammonia_peak", "1.6", Number, POSITIVE),
    ("meal_length", "\"3 h\"", Unit("h"), POSITIVE),
    ("lifts_off", "3", Count, POSITIVE),
    ("survival_oxygen", "\"2 mg/L\"", Unit("mg/L"), ZERO),
];

const FILTER: [Told; 12] = [
    ("efficiency", "0.4", Number, POSITIVE),
    ("area", "\"700 m2\"", Unit("m2"), ZERO),
    ("rate", "\"0.5 g/(m2 d)\"", Unit("g/(m2 d)"), POSITIVE),
    ("half_saturation", "\"2 mg/L\"", Unit("mg/L"), POSITIVE),
    (
        "rate_at_1_mg_l",
        "\"0.3 g/(m2 d)\"",
        Unit("g/(m2 d)"),
        POSITIVE,
    ),
    ("through", "\"plug\"", Text, POSITIVE),
    ("rate_temperature", "\"20 degC\"", Unit("degC"), ZERO),
    ("theta", "1.1", Number, POSITIVE),
    ("water", "\"2 m3\"", Unit("m3"), ZERO),
    ("base", "\"carbonate\"", Text, POSITIVE),
    ("cells", "0.02", Number, ZERO),
    ("other_bacteria", "0.2", Number, ZERO),
];

const TIMER: [Told; 3] = [
    ("lifts", "2", Count, POSITIVE),
    ("from", "\"9 h\"", Unit("h"), ZERO),
    ("to", "\"11 h\"", Unit("h"), ZERO),
];

/// Keys of a section, read by the library: the line and the key are named.
fn judged(section: &'static str, repeated: bool, keys: &[Told]) -> (usize, Vec<String>) {
    let (mut failures, mut judged) = (Vec::new(), 0);
    let (brackets, label) = if repeated {
        (format!("[[{section}]]"), format!("{section} 1"))
    } else {
        (format!("[{section}]"), section.to_owned())
    };
    for &(name, value, takes, (negative, zero)) in keys {
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
    (judged, failures)
}

#[test]
fn every_kind_at_every_key() {
    let of_tank: Vec<Told> = NEED
        .iter()
        .filter(|key| !key.0.starts_with("lift"))
        .copied()
        .collect();
    let all = [
        judged("need", false, &NEED),
        judged("rearing_tank", true, &of_tank),
        judged("loop", false, &LOOP),
        judged("filter", false, &FILTER),
        judged("timer", true, &TIMER),
    ];
    let count: usize = all.iter().map(|one| one.0).sum();
    println!("{count} combinations");
    let failures: Vec<String> = all.into_iter().flat_map(|one| one.1).collect();
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}
