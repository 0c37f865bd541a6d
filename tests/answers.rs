//! Answers as data: each answer of the tool is valid against its JSON Schema and a changed one is not, and every number's
//! key ends in its SI unit.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;

use jsonschema::Validator;
use risewater::answer::SHAPES;
use risewater::design::{EXAMPLE, LOOP_EXAMPLE, NEED_EXAMPLE, TANKS_EXAMPLE};
use risewater::need;
use serde_json::Value;

/// SI base units, and what is made of them, as keys have them.
const UNITS: &[&str] = &[
    "m",
    "m2",
    "m3",
    "s",
    "k",
    "pa",
    "w",
    "j",
    "kg",
    "per_s",
    "m_per_s",
    "m3_per_s",
    "kg_per_s",
    "kg_per_m3",
    "kg_per_j",
    "j_per_m3",
    "pa_s",
    "n_per_m",
];

/// Words of units that are not SI base units, and of what stands for a power of ten.
const REFUSED: &[&str] = &[
    "mm", "cm", "km", "um", "in", "ft", "l", "ml", "gal", "g", "mg", "ug", "lb", "t", "min", "h",
    "hour", "d", "day", "week", "month", "year", "ms", "c", "degc", "f", "degf", "kpa", "hpa",
    "mpa", "bar", "mbar", "psi", "kw", "hp", "kj", "mj", "wh", "kwh", "mwh", "cfm", "rpm",
    "percent", "ppm", "ppt", "permille",
];

/// Questions of which the answers are told with `--json`; `FOLDER` stands for one with the files of [`folder`].
const QUESTIONS: &[&[&str]] = &[
    &["flow"],
    &["flow", "--profile"],
    &[
        "flow",
        "--profile",
        "--set",
        "riser.outlet=submerged",
        "--set",
        "riser.outlet_depth=5 cm",
    ],
    &["flow", "--set", "gas.transfer_coefficient=0.02 1/s"],
    // Too little air, and a lift that no air reaches.
    &["flow", "--set", "air.flow=1 L/min"],
    &["flow", "--set", "riser.lift=9 m"],
    // So short of submergence that no interval is known.
    &[
        "flow",
        "--set",
        "riser.submergence=0.3 m",
        "--set",
        "riser.lift=0.6 m",
    ],
    &["flow", "FOLDER/plain.toml", "--want", "100 L/min"],
    &["curve", "--points", "4"],
    &["curve", "--points", "4", "--want", "150 L/min"],
    &["curve", "--points", "4", "--want", "5000 L/min"],
    &["size", "FOLDER/few.toml"],
    &[
        "size",
        "FOLDER/few.toml",
        "--set",
        "gas.transfer_coefficient=0.02 1/s",
        "--set",
        "duty.at_low_water=true",
    ],
    &[
        "size",
        "FOLDER/farm.toml",
        "--set",
        "limits.max_submergence=0.8 m",
    ],
    &["size", "FOLDER/tanks.toml"],
    // Too little depth for the second tank.
    &[
        "size",
        "FOLDER/tanks.toml",
        "--set",
        "duty.2.max_submergence=0.1 m",
    ],
    &[
        "sweep",
        "--vary",
        "air.flow=1 L/min, 20 L/min, 120 L/min",
        "--out",
        "FOLDER/cases.csv",
    ],
    &["need"],
    &["need", "FOLDER/steady.toml"],
    &["loop"],
    &["loop", "FOLDER/loop.toml"],
    // More animals than any lifts serve.
    &[
        "loop",
        "FOLDER/loop.toml",
        "--set",
        "rearing_tank.1.biomass=2 t",
    ],
    // Its oxygen runs out.
    &["loop", "--set", "gas.transfer_coefficient=0.001 1/s"],
    &["supply"],
    &["supply", "--set", "gas.transfer_coefficient=0.02 1/s"],
    &["existing"],
    // No lift starts.
    &[
        "existing",
        "--set",
        "lift.1.submergence=3 m",
        "--set",
        "lift.2.submergence=3 m",
        "--set",
        "lift.3.submergence=3 m",
    ],
    &[
        "existing",
        "--set",
        "branch.orifice=4 mm",
        "--set",
        "blower.bleed_share=10 %",
    ],
    &["trial", "plan"],
    &["trial", "reduce"],
    &["trial", "compare"],
    &["trial", "fit", "--configuration", "ring"],
    &["trial", "aeration"],
    &["check"],
    &["list", "keys", "riser"],
    &["list", "keys", "air"],
    // Errors are answers too.
    &["flow", "--want", "5000 L/min"],
    &["flow", "--level", "2"],
];

/// Files for the questions.
fn folder() -> String {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("answers");
    std::fs::create_dir_all(&folder).unwrap();
    let few = EXAMPLE
        .replace(
            "standards = [\"ASTM D1785\"]",
            "pipes = [\"ASTM D1785 Sch 40 2-1/2 in\", \"ASTM D1785 Sch 40 3 in\"]",
        )
        .replace(
            "max_submergence = \"1.4 m\"",
            "min_submergence = \"1.2 m\"\nmax_submergence = \"1.4 m\"",
        );
    let (steady, rest) = NEED_EXAMPLE
        .split_once("[[rearing_tank]]\nname = \"grow-out\"")
        .unwrap();
    let steady = steady.replace("lifts = 12", "");
    let (_, rest) = rest.split_once("[duty]").unwrap();
    for (name, text) in [
        ("plain.toml", EXAMPLE.replace("\noutlet", "\n# outlet")),
        ("few.toml", few),
        ("tanks.toml", TANKS_EXAMPLE.to_owned()),
        ("farm.toml", NEED_EXAMPLE.to_owned()),
        ("loop.toml", LOOP_EXAMPLE.replace("\nlifts = 12", "")),
        ("crop.csv", need::DEMO.to_owned()),
        ("steady.toml", format!("{steady}[duty]{rest}")),
    ] {
        std::fs::write(folder.join(name), text).unwrap();
    }
    folder.to_str().unwrap().to_owned()
}

/// Each answer with its shape's name: that of `risewater.flow/4` is `flow`.
fn answers() -> Vec<(String, Value)> {
    let folder = folder();
    let answered = |question: &&[&str]| {
        let words = question.iter().map(|word| word.replace("FOLDER", &folder));
        let mut tool = Command::new(env!("CARGO_BIN_EXE_risewater"));
        let output = tool.args(words).arg("--json").output().unwrap();
        let told = if output.status.success() {
            &output.stdout
        } else {
            &output.stderr
        };
        let answer: Value = serde_json::from_slice(told)
            .unwrap_or_else(|_| panic!("{question:?}: {}", String::from_utf8_lossy(told)));
        let name = answer["schema"]
            .as_str()
            .and_then(|name| name.strip_prefix("risewater."));
        let name = name.and_then(|name| name.split_once('/')).unwrap().0;
        (name.to_owned(), answer)
    };
    QUESTIONS.iter().map(answered).collect()
}

fn shape(name: &str) -> Value {
    let found = SHAPES.iter().find(|(known, _)| *known == name);
    found.unwrap_or_else(|| panic!("{name}")).1().to_value()
}

/// Changes to an answer, each with where and what: a key less, a key more, a text for a number, a number for a text.
fn changes(value: &Value) -> Vec<(String, Value)> {
    let mut found = Vec::new();
    match value {
        Value::Object(map) => {
            let mut more = map.clone();
            more.insert("no_such_key".to_owned(), Value::Null);
            found.push((": a key more".to_owned(), more.into()));
            for (key, part) in map {
                let mut less = map.clone();
                less.remove(key);
                found.push((format!(".{key}: none"), less.into()));
                for (place, changed) in changes(part) {
                    let mut whole = map.clone();
                    whole.insert(key.clone(), changed);
                    found.push((format!(".{key}{place}"), whole.into()));
                }
            }
        }
        Value::Array(parts) => {
            for (n, part) in parts.iter().enumerate() {
                for (place, changed) in changes(part) {
                    let mut whole = parts.clone();
                    whole[n] = changed;
                    found.push((format!("[]{place}"), whole.into()));
                }
            }
        }
        Value::Number(_) => found.push((": a text".to_owned(), "1".into())),
        Value::String(_) => found.push((": a number".to_owned(), 1.into())),
        Value::Bool(_) | Value::Null => {}
    }
    found
}

/// The same with no more than two parts in each list.
fn short(value: &mut Value) {
    match value {
        Value::Object(map) => map.values_mut().for_each(short),
        Value::Array(parts) => {
            parts.truncate(2);
            parts.iter_mut().for_each(short);
        }
        _ => {}
    }
}

#[test]
fn answers_have_their_shapes_and_changed_ones_have_not() {
    let (mut faults, mut seen) = (Vec::new(), BTreeSet::new());
    let mut tried = BTreeSet::new();
    for (name, mut answer) in answers() {
        let shape: Validator = jsonschema::draft202012::new(&shape(&name)).unwrap();
        for error in shape.iter_errors(&answer) {
            faults.push(format!("{name}{}: {error}", error.instance_path()));
        }
        short(&mut answer);
        for (place, changed) in changes(&answer) {
            // Details of an error are of its code. Each kind of change to a key once.
            let free = name == "error"
                && place.starts_with(".details")
                && !place.starts_with(".details: none");
            if !free && tried.insert(format!("{name}{place}")) && shape.is_valid(&changed) {
                faults.push(format!("{name}{place} is taken"));
            }
        }
        seen.insert(name);
    }
    for (name, _) in SHAPES {
        if !seen.contains(*name) {
            faults.push(format!("no answer of {name} was asked for"));
        }
    }
    println!("{} changes", tried.len());
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// What is wrong with the key of a number.
fn fault_of(key: &str) -> Option<String> {
    let words: Vec<&str> = key.split('_').collect();
    // The longest ending that is a unit; what is before it names the quantity.
    let name = (1..=words.len()).find(|&n| UNITS.contains(&words[n..].join("_").as_str()));
    let name = &words[..name.unwrap_or(words.len())];
    let unit = |word: &&&str| REFUSED.contains(word) || UNITS.contains(word);
    let wrong = name.iter().find(unit)?;
    Some(format!("{key} has {wrong} where no unit may be"))
}

/// Every key of an object in a schema, with what it is.
fn keys<'a>(schema: &'a Value, found: &mut Vec<(&'a Value, &'a str, &'a Value)>) {
    match schema {
        Value::Object(map) => {
            for (word, part) in map {
                if let ("properties", Some(all)) = (word.as_str(), part.as_object()) {
                    found.extend(all.iter().map(|(key, value)| (part, key.as_str(), value)));
                }
                keys(part, found);
            }
        }
        Value::Array(parts) => parts.iter().for_each(|part| keys(part, found)),
        _ => {}
    }
}

/// Whether a key holds a number, a list of them, or none.
fn is_number(schema: &Value) -> bool {
    let number = |kind: &Value| *kind == "number";
    let kind = &schema["type"];
    number(kind)
        || kind
            .as_array()
            .is_some_and(|kinds| kinds.iter().any(number))
        || schema.get("items").is_some_and(is_number)
}

#[test]
fn keys_of_numbers_end_in_si_units() {
    let (mut faults, mut numbers) = (Vec::new(), 0);
    for (name, shape) in SHAPES {
        let shape = shape().to_value();
        let mut found = Vec::new();
        keys(&shape, &mut found);
        for (object, key, _) in found.iter().filter(|(_, _, schema)| is_number(schema)) {
            numbers += 1;
            let fault = match *key {
                // A default is in the unit that stands beside it.
                "value" | "low" | "high" => {
                    let alone = object.get("unit").is_none();
                    alone.then(|| format!("{key} has no unit beside it"))
                }
                // Money is not SI, and what it is paid for is counted as it is sold.
                _ if key.contains("price") || key.contains("currency") => None,
                _ => fault_of(key),
            };
            faults.extend(fault.map(|fault| format!("{name}: {fault}")));
        }
    }
    assert!(numbers > 100, "{numbers}");
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_rule_of_units_tells_right_from_wrong() {
    for key in [
        "bore_m",
        "air_mass_flow_kg_per_s",
        "oxygen_per_air_energy_kg_per_j",
        "coefficient_per_s",
        "efficiency",
        "air_to_water",
        "after_three_readings",
        "water_viscosity_pa_s",
    ] {
        assert_eq!(fault_of(key), None);
    }
    for key in [
        "bore_mm",
        "water_flow_l_per_min",
        "limit_percent",
        "energy_kwh",
        "pressure_kpa",
        "oxygen_mg_per_l",
        "coefficient_per_h",
        "feed_kg_per_h",
        "volume_l",
        "time_min",
        "water_flow_m3_per_s_total",
        "oxygen_kg_per_kwh_of_air_power",
        "flow_m3_per_h",
    ] {
        assert!(fault_of(key).is_some(), "{key}");
    }
}

/// Keys of every answer, as they were when its shape got its number: `risewater.flow/4 IntervalFacts level number`. A
/// program that reads an answer by its number relies on them. With `RECORD=overwrite` they are written anew.
#[test]
fn a_key_keeps_its_name_and_kind_while_its_shape_keeps_its_number() {
    let path = "tests/data/answer_keys.txt";
    let recorded: BTreeSet<String> = fs::read_to_string(path)
        .unwrap()
        .lines()
        .map(str::to_owned)
        .collect();
    let mut now = BTreeSet::new();
    let mut numbers = BTreeSet::new();
    for (_, shape) in SHAPES {
        let shape = shape().to_value();
        let number = shape["properties"]["schema"]["const"].as_str().unwrap();
        numbers.insert(number.to_owned());
        let parts = shape["$defs"].as_object();
        let parts = parts
            .into_iter()
            .flatten()
            .map(|(name, part)| (&**name, part));
        for (part, shape) in parts.chain([("-", &shape)]) {
            for (key, value) in shape["properties"].as_object().into_iter().flatten() {
                now.insert(format!("{number} {part} {key} {}", kind(value)));
            }
        }
    }
    if std::env::var("RECORD").as_deref() == Ok("overwrite") {
        let lines: Vec<&str> = now.iter().map(String::as_str).collect();
        fs::write(path, lines.join("\n") + "\n").unwrap();
    }
    let of_today = |line: &&String| numbers.contains(line.split(' ').next().unwrap());
    let gone = recorded.difference(&now).filter(of_today);
    let gone: Vec<String> = gone
        .map(|line| format!("gone or changed, so its shape needs a new number: {line}"))
        .collect();
    assert!(gone.is_empty(), "{}", gone.join("\n"));
    let new: Vec<String> = now
        .difference(&recorded)
        .map(|line| format!("new, so record it (RECORD=overwrite): {line}"))
        .collect();
    assert!(new.is_empty(), "{}", new.join("\n"));
}

/// What a value of a schema may be, on one line.
fn kind(schema: &Value) -> String {
    let list = |all: &Vec<Value>| all.iter().map(kind).collect::<Vec<_>>().join("|");
    if let Some(name) = schema["$ref"].as_str() {
        return name.replace("#/$defs/", "");
    }
    if let Some(all) = schema["anyOf"].as_array().or(schema["oneOf"].as_array()) {
        return list(all);
    }
    if !schema["const"].is_null() {
        return schema["const"].to_string();
    }
    let of = &schema["items"];
    let of = if of.is_null() {
        String::new()
    } else {
        format!("[{}]", kind(of))
    };
    match &schema["type"] {
        Value::String(one) => format!("{one}{of}"),
        Value::Array(all) => {
            let names: Vec<&str> = all.iter().filter_map(Value::as_str).collect();
            names.join("|") + &of
        }
        _ => "any".to_owned(),
    }
}
