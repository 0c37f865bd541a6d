//! Keys of design files and of the JSON answers.

use std::collections::{BTreeMap, BTreeSet};

use risewater::answer::{Answer, AssumptionFacts, SupplyAnswer, SupplyTerms, Worded};
use risewater::design::{
    AERATION_EXAMPLE, Design, EXAMPLE, FileError, NEED_EXAMPLE, Problem, SECTIONS, SUPPLY_EXAMPLE,
};
use risewater::gas::aeration::DEMO_READINGS;
use risewater::need;
use risewater::report::{
    AerationReport, ComparisonReport, CurveReport, FitReport, FlowReport, NeedReport, PlanReport,
    SizeReport, TrialReport, TrialTerms,
};
use risewater::riser;
use risewater::supply::{self, Injector};
use risewater::trial::{DEMO, DEMO_RIG, Matching, ReducedRun, parse_sheet, reduce};
use risewater::{Calibration, ErrorLaw};
use serde_json::Value;
use strum::VariantNames;

use super::{none, read, split};

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

/// The words in code of a table's cell.
fn words(cell: &str) -> impl Iterator<Item = &str> {
    cell.split('`').skip(1).step_by(2)
}

/// The keys of each section, as the tables of the reference chapter have them.
fn keys_of_the_book() -> BTreeMap<String, BTreeSet<String>> {
    let page = split(&read("book/src/design-file.md")).0;
    let mut all: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    // Tables of names, not of keys: their keys stand in a table of their own.
    let names = [riser::Outlet::NAMES, Injector::VARIANTS].concat();
    for row in key_rows() {
        if !names.contains(&row.key.as_str()) {
            all.entry(row.section).or_default().insert(row.key);
        }
    }
    // A lift may have of `[branch]` what one row lists, with the keys of its injector.
    let shared = page
        .lines()
        .find(|line| line.contains("`injector` and its keys"));
    let shared = shared.and_then(|line| line.split('|').nth(1)).unwrap();
    let injectors = page.lines().filter(|line| {
        let cell = line.split('|').nth(1).unwrap_or_default();
        Injector::VARIANTS.contains(&cell.trim().trim_matches('`'))
    });
    let of_injectors = injectors.flat_map(|line| words(line.split('|').nth(3).unwrap()));
    let lift = words(shared).chain(of_injectors).map(str::to_owned);
    all.get_mut("lift").unwrap().extend(lift);
    // A rearing tank takes every key of `[need]` but two.
    let rule = page.split("It takes every key of ").nth(1).unwrap();
    let rule: Vec<&str> = words(rule.split(',').next().unwrap()).collect();
    let ["[need]", but @ ..] = &rule[..] else {
        panic!("{rule:?}")
    };
    assert!(!but.is_empty());
    let need = all["need"].clone().into_iter();
    let tank = need.filter(|key| !but.contains(&key.as_str()));
    all.get_mut("rearing_tank").unwrap().extend(tank);
    all
}

/// The keys that the readers of a section know, as they say when asked for one that none has.
fn known(text: &str) -> Vec<&'static str> {
    let Err(FileError::Faults { faults }) = Design::parse(text) else {
        panic!("{text} is taken")
    };
    let known = faults.into_iter().find_map(|fault| match fault.problem {
        Problem::UnknownKey { known, .. } => Some(known),
        _ => None,
    });
    known.unwrap_or_else(|| panic!("{text} has no unknown key"))
}

#[test]
fn keys_of_a_design_file_are_those_of_the_book() {
    let book = keys_of_the_book();
    let mut faults = Vec::new();
    let mut found = 0;
    for section in SECTIONS {
        let title = match section {
            "pipe" | "lift" | "rearing_tank" => format!("[[{section}]]"),
            _ => format!("[{section}]"),
        };
        let mut known = known(&format!("{title}\nno_such_key = 1\n"));
        if section == "air" {
            known.extend(self::known("air.reference = { no_such_key = 1 }"));
        }
        let known: BTreeSet<String> = known.into_iter().map(str::to_owned).collect();
        assert!(!known.is_empty(), "{title}");
        found += known.len();
        let nothing = BTreeSet::new();
        let told = book.get(section).unwrap_or(&nothing);
        let missing = known.difference(told);
        faults.extend(missing.map(|key| format!("{key} of {title} is not in the book")));
        let gone = told.difference(&known);
        faults.extend(gone.map(|key| format!("{title} has no {key}, which the book has")));
    }
    for section in book
        .keys()
        .filter(|name| !SECTIONS.contains(&name.as_str()))
    {
        faults.push(format!("there is no section [{section}]"));
    }
    println!("{found} keys of {} sections", SECTIONS.len());
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
    let law = ErrorLaw::default();
    let flow = FlowReport::of(&riser, design.air().unwrap(), &law)
        .unwrap()
        .json(&riser);
    let curve = CurveReport::of(&riser, 4, &law).unwrap().json(&riser);
    let size = SizeReport::of(&problem, 1)
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
    // One reading so wrong that it stands out.
    let measured = Calibration::of_runs(&reduced[..9], &bench.spec).unwrap();
    let mut points = measured.points().to_vec();
    points[4].water_flow *= 2.0;
    let measured = Calibration::new(bench.spec, points).unwrap();
    let fit = FitReport::of(measured, bench.model, &law).unwrap();
    assert!(fit.without.is_some());
    let fit = fit.with_bench(&bench).unwrap().json();
    let plant = Design::parse(SUPPLY_EXAMPLE)
        .unwrap()
        .with_blower_table(supply::blower::DEMO);
    let asked = plant.supply().unwrap();
    let room = Design::parse(NEED_EXAMPLE)
        .unwrap()
        .with_crop_table("crop.csv", need::DEMO)
        .room_need()
        .unwrap();
    let terms = SupplyTerms {
        problem: Some(&problem),
        need: Some(&room),
        gas: design.gas().unwrap(),
        assumptions: Worded::of(|units| {
            let (key, value) = ("key".to_owned(), format!("{units:?}"));
            vec![AssumptionFacts { key, value }]
        }),
        ..SupplyTerms::default()
    };
    let supplied = SupplyAnswer::of(&asked, &asked.solve().unwrap(), &terms)
        .unwrap()
        .json();
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
        fit,
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
