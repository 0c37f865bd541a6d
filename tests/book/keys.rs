//! Keys of design files and of the JSON answers.

use std::collections::BTreeSet;

use risewater::Evidence;
use risewater::design::{AERATION_EXAMPLE, Design, EXAMPLE, NEED_EXAMPLE, SUPPLY_EXAMPLE};
use risewater::gas::aeration::DEMO_READINGS;
use risewater::need;
use risewater::report::{
    AerationReport, ComparisonReport, CurveReport, FlowReport, NeedReport, PlanReport, SizeReport,
    SupplyReport, TrialReport, TrialTerms,
};
use risewater::riser;
use risewater::supply;
use risewater::trial::{DEMO, DEMO_RIG, Matching, ReducedRun, parse_sheet, reduce};
use risewater::units::Length;
use serde_json::Value;

use super::{files, none, read, split};

/// A row of a table of keys in the reference chapter.
pub struct KeyRow {
    pub section: String,
    pub key: String,
    pub value: String,
    pub default: String,
}

/// Rows of the tables in the reference chapter whose first cell is one key.
pub fn key_rows() -> Vec<KeyRow> {
    let (mut section, mut rows) = (String::new(), Vec::new());
    for line in split(&read("book/src/design-file.md")).0.lines() {
        if let Some(heading) = line.strip_prefix("### ") {
            section = heading
                .trim_matches(['[', ']'])
                .to_lowercase()
                .replace("outlets", "riser");
        }
        let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
        if let [key, value, ref rest @ ..] = cells[..]
            && let Some(key) = key.strip_prefix('`').and_then(|key| key.strip_suffix('`'))
            && !section.is_empty()
        {
            rows.push(KeyRow {
                section: section.clone(),
                key: key.to_owned(),
                value: value.to_owned(),
                default: rest.first().copied().unwrap_or_default().to_owned(),
            });
        }
    }
    rows
}

#[test]
fn every_key_of_a_design_file_is_in_the_book() {
    let rows = key_rows();
    let mut faults = Vec::new();
    // Keys as the reader of files asks for them, section by section.
    let mut sections = read("src/design/sections.rs");
    for path in files("src/design/sections", &["rs"]) {
        sections += &read(path);
    }
    for call in [
        ".quantity(\"",
        ".quantities(\"",
        ".quantity_or_none(\"",
        ".number(\"",
        "put(\"",
        ".count(\"",
        ".text(\"",
        ".texts(\"",
        ".text_or_table(\"",
        ".yes_no(\"",
        ".plain_number(\"",
        ".counts(\"",
        ".pairs(\"",
    ] {
        for key in sections
            .split(call)
            .skip(1)
            .filter_map(|rest| rest.split_once('"'))
            .map(|(key, _)| key)
        {
            if !rows.iter().any(|row| row.key == key) {
                faults.push(format!("{key} is not in the book"));
            }
        }
    }
    // Keys of the book, as files take them: an unknown one is refused by name.
    let outlets = riser::Outlet::NAMES;
    let injectors = ["open_tube", "drilled_ring", "diffuser"];
    for KeyRow { section, key, .. } in rows.iter().filter(|row| {
        !outlets.contains(&row.key.as_str()) && !injectors.contains(&row.key.as_str())
    }) {
        let state = matches!(
            (section.as_str(), key.as_str()),
            ("air", "temperature" | "pressure" | "humidity")
        );
        let text = if state {
            format!("air.reference = {{ {key} = \"?\" }}")
        } else {
            let (open, close) = if ["lift", "rearing_tank"].contains(&section.as_str()) {
                ("[[", "]]")
            } else {
                ("[", "]")
            };
            format!("{open}{section}{close}\n{key} = \"?\"\n")
        };
        if let Err(error) = Design::parse(&text)
            && error.to_string().contains("there is no ")
            && error.to_string().contains(&format!("\"{key}\""))
        {
            faults.push(error.to_string());
        }
    }
    none(&faults);
}

/// Keys of a JSON value at any depth.
pub fn keys(value: &Value, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) => map.iter().for_each(|(key, value)| {
            found.insert(key.clone());
            keys(value, found);
        }),
        Value::Array(all) => all.iter().for_each(|value| keys(value, found)),
        _ => {}
    }
}

/// An answer of each command, as JSON.
pub fn answers() -> Vec<Value> {
    let design = Design::parse_with(
        EXAMPLE,
        &[
            "limits.max_lifts=2".to_owned(),
            "gas.transfer_coefficient=0.02 1/s".to_owned(),
            "limits.standards=[\"ASTM D1785 Sch 40\"]".to_owned(),
        ],
    )
    .unwrap();
    let (riser, problem) = (design.riser().unwrap(), design.problem().unwrap());
    let evidence = Evidence::on(riser.model());
    let flow = FlowReport::of(&riser, design.air().unwrap(), &evidence)
        .unwrap()
        .json(&riser);
    let curve = CurveReport::of(&riser, 4, &evidence).unwrap().json(&riser);
    let size = SizeReport::of(&problem, 1, &evidence)
        .unwrap()
        .with_gas(&problem, &design.gas().unwrap())
        .unwrap()
        .json(&problem);
    let runs = parse_sheet(DEMO).unwrap();
    let bench = Design::parse(DEMO_RIG).unwrap().bench().unwrap();
    let trial = TrialReport::of(
        &runs,
        Some(&bench),
        &bench.instruments,
        TrialTerms::default(),
    )
    .unwrap()
    .json();
    let plan = PlanReport::of(&bench).unwrap().json();
    let reduced = reduce(&runs, &bench.instruments).unwrap();
    let names = Some(["ring", "diffuser"]);
    let spec = |_: &ReducedRun| bench.spec;
    let compared =
        ComparisonReport::of(&reduced, bench.model, spec, names, Matching::default()).unwrap();
    let plant = Design::parse(SUPPLY_EXAMPLE)
        .unwrap()
        .with_blower_table(supply::blower::DEMO);
    let asked = plant.supply().unwrap();
    let assumed = vec![("key".to_owned(), "value".to_owned())];
    let room = Design::parse(NEED_EXAMPLE)
        .unwrap()
        .with_crop_table("crop.csv", need::DEMO)
        .room_need()
        .unwrap();
    let supplied = SupplyReport::of(asked, Some(&problem), assumed)
        .unwrap()
        .with_need(Some(room))
        .with_gas(&design.gas().unwrap(), Length::default())
        .unwrap()
        .json(Some(&problem));
    let rearing = Design::parse(NEED_EXAMPLE)
        .unwrap()
        .with_crop_table("crop.csv", need::DEMO)
        .rearing()
        .unwrap();
    let need = NeedReport::of(&rearing.room, rearing.installed.as_ref(), &rearing.defaults)
        .unwrap()
        .json();
    let tested = Design::parse(AERATION_EXAMPLE)
        .unwrap()
        .with_readings(DEMO_READINGS);
    let tested = AerationReport::of(tested.aeration().unwrap()).unwrap();
    vec![
        tested.json().unwrap(),
        flow,
        curve,
        size,
        trial,
        plan,
        compared.json(),
        supplied,
        need,
    ]
}

#[test]
fn every_json_key_is_in_the_book() {
    let mut found = BTreeSet::new();
    for value in answers() {
        keys(&value, &mut found);
    }
    let page = read("book/src/answers.md");
    let missing: Vec<String> = found
        .iter()
        .filter(|key| !page.contains(&format!("`{key}`")))
        .map(|key| format!("{key} is not in the book"))
        .collect();
    none(&missing);
}
