//! Keys of design files and of the JSON answers.

use std::collections::{BTreeMap, BTreeSet};

use risewater::answer::{
    AerationAnswer, Answer as _, AssumptionFacts, ComparisonAnswer, CurveAnswer, CurveTerms,
    ExistingAnswer, ExistingTerms, FitAnswer, FlowAnswer, LoopAnswer, NeedAnswer, PlanAnswer,
    SizeAnswer, SupplyAnswer, SupplyTerms, TanksAnswer, TrialAnswer, TrialTerms, Worded,
};
use risewater::design::{
    AERATION_EXAMPLE, DesignFile, EXAMPLE, EXISTING_EXAMPLE, FileError, LOOP_EXAMPLE, NEED_EXAMPLE,
    Problem, SUPPLY_EXAMPLE, TANKS_EXAMPLE,
};
use risewater::gas::aeration::DEMO_READINGS;
use risewater::keys::{SECTIONS, STATE};
use risewater::need;
use risewater::riser::{self, InjectorKind};
use risewater::sizing::size;
use risewater::supply;
use risewater::transfer::Aeration;
use risewater::trial::{DEMO, DEMO_RIG, Fit, Matching, parse_runs, reduce};
use risewater::{Calibration, ErrorLaw};
use serde_json::Value;

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
    let injectors: Vec<&str> = InjectorKind::ALL.iter().map(|kind| kind.name()).collect();
    let names = [riser::Outlet::NAMES, &injectors].concat();
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
    let of_kinds = page.lines().filter(|line| {
        let cell = line.split('|').nth(1).unwrap_or_default();
        injectors.contains(&cell.trim().trim_matches('`'))
    });
    let of_injectors = of_kinds.flat_map(|line| words(line.split('|').nth(3).unwrap()));
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
    let Err(FileError::Faults { faults }) = DesignFile::parse(text) else {
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
    for section in SECTIONS.map(|section| section.name) {
        let title = match section {
            "pipe" | "lift" | "rearing_tank" | "timer" => format!("[[{section}]]"),
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
        .filter(|name| SECTIONS.iter().all(|section| section.name != name.as_str()))
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
#[allow(clippy::too_many_lines, reason = "one question after another")]
pub fn answers() -> Vec<Value> {
    let design = DesignFile::parse_with(
        EXAMPLE,
        &[
            "limits.max_lifts=2".to_owned(),
            "gas.transfer_coefficient=0.02 1/s".to_owned(),
            "limits.standards=[\"ASTM D1785 Sch 40\"]".to_owned(),
        ],
    )
    .unwrap();
    let (riser, air) = design.riser_and_air().unwrap();
    let (problem, law) = (design.problem().unwrap(), ErrorLaw::default());
    let terms = design.terms(law.clone()).unwrap();
    let flow = FlowAnswer::of(&riser, air, &terms).unwrap().json();
    let curve = CurveAnswer::of(
        &riser,
        &CurveTerms {
            points: 4,
            levels: &[risewater::units::Length::new::<risewater::units::meter>(
                -0.1,
            )],
            air: Some(air),
            ..CurveTerms::default()
        },
        &terms,
    )
    .unwrap()
    .json();
    let found = size(&problem).unwrap();
    let size = SizeAnswer::of(&problem, &found, 1, &terms, None);
    let size = size.unwrap().json();
    let runs = parse_runs(DEMO).unwrap();
    let bench = DesignFile::parse(DEMO_RIG).unwrap().bench().unwrap();
    let trial = TrialAnswer::of(
        &runs,
        Some(&bench),
        &bench.instruments,
        TrialTerms::default(),
    )
    .unwrap()
    .json();
    let plan = PlanAnswer::of(&bench.plan().unwrap()).json();
    let reduced = reduce(&runs, &bench.instruments).unwrap();
    let names = Some(["ring", "diffuser"]);
    let spec = |_: &str| bench.spec;
    let read = (&reduced[..], &[][..]);
    let compared =
        ComparisonAnswer::of(read, bench.model, spec, names, Matching::default()).unwrap();
    // One reading so wrong that it stands out.
    let measured = Calibration::of_runs(&reduced[..9], &bench.spec).unwrap();
    let mut points = measured.points().to_vec();
    points[4].water_flow *= 2.0;
    let measured = Calibration::new(bench.spec, points).unwrap();
    let fit = Fit::of(measured, bench.model, &law, Some(&bench)).unwrap();
    assert!(fit.without.is_some());
    let fit = FitAnswer::of(&fit).json();
    let plant = DesignFile::parse(SUPPLY_EXAMPLE)
        .unwrap()
        .with_blower_table(supply::blower::DEMO);
    let asked = plant.supply().unwrap();
    let room = DesignFile::parse(NEED_EXAMPLE)
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
    let existing = DesignFile::parse_with(EXISTING_EXAMPLE, &["tank.level_fall=0.1 m".to_owned()])
        .unwrap()
        .existing()
        .unwrap();
    let steady = existing.steady().unwrap();
    let existing = ExistingAnswer::of(&existing, &steady, &ExistingTerms::default());
    let existing = existing.unwrap().json();
    let rearing = DesignFile::parse(NEED_EXAMPLE)
        .unwrap()
        .with_crop_table("crop.csv", need::DEMO)
        .rearing()
        .unwrap();
    let installed = rearing.installed.as_ref();
    let need = NeedAnswer::of(&rearing.room, &rearing.need, installed, &rearing.defaults);
    let need = need.unwrap().with_range(&rearing.range).json();
    let tested = DesignFile::parse(AERATION_EXAMPLE)
        .unwrap()
        .with_readings(DEMO_READINGS);
    let tested = Aeration::of(tested.aeration().unwrap()).unwrap();
    let shared = DesignFile::parse(TANKS_EXAMPLE).unwrap();
    let asked_together = shared.tanks_on_header().unwrap();
    let together = asked_together.search().unwrap();
    let terms = shared.terms(law.clone()).unwrap();
    let tanks = TanksAnswer::of(&together, together.best().unwrap(), &terms);
    let looped = |coefficient: &str| {
        let set = [format!("gas.transfer_coefficient={coefficient}")];
        let asked = DesignFile::parse_with(LOOP_EXAMPLE, &set).unwrap();
        let asked = asked.water_loop().unwrap();
        LoopAnswer::of(&asked.water, &asked.day, &asked.terms()).unwrap()
    };
    // One that holds, one whose oxygen runs out.
    let (holds, short) = (looped("0.2 1/s"), looped("0.001 1/s"));
    assert!(holds.holds && short.shortage.is_some());
    vec![
        holds.json(),
        short.json(),
        tanks.unwrap().json(),
        AerationAnswer::of(&tested).unwrap().json(),
        flow,
        curve,
        size,
        trial,
        plan,
        fit,
        compared.json(),
        supplied,
        existing,
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

/// A line of a table of keys as the library has it; any other line as it is.
fn as_the_library_has_it(section: &str, line: &str) -> String {
    let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
    let key = cells[0].trim_matches('`');
    let of_section = risewater::keys::section(section).and_then(|one| one.row(key));
    let of_state = || STATE.row(key).filter(|_| section == "air");
    let Some(row) = of_section.or_else(of_state).filter(|_| cells.len() > 2) else {
        return line.to_owned();
    };
    let words = [&row.value_words(), &row.usual_words(), row.words].map(str::to_owned);
    let cells: Vec<String> = words.into_iter().take(cells.len() - 1).collect();
    format!("| `{key}` | {} |", cells.join(" | ")).replace("|  |", "| |")
}

/// With `KEYS=overwrite` the page is written anew.
#[test]
fn tables_of_keys_are_those_of_the_library() {
    let path = "book/src/design-file.md";
    let (mut section, mut now) = (String::new(), String::new());
    let page = read(path);
    let next = page.lines().skip(1).chain([""]);
    for (line, next) in page.lines().zip(next) {
        if let Some(heading) = line.strip_prefix("### ") {
            section = heading
                .trim_matches(['[', ']'])
                .to_lowercase()
                .replace("outlets", "riser");
        }
        let line = if line.starts_with("| `") && !next.starts_with("|---") {
            as_the_library_has_it(&section, line)
        } else {
            line.to_owned()
        };
        now += &format!("{line}\n");
    }
    if std::env::var("KEYS").as_deref() == Ok("overwrite") {
        std::fs::write(path, &now).unwrap();
    }
    let lines = page
        .lines()
        .zip(now.lines())
        .filter(|(old, new)| old != new);
    none(
        &lines
            .map(|(old, new)| format!("{old}\n  should be {new}"))
            .collect::<Vec<_>>(),
    );
}
