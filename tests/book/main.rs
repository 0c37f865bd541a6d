//! What keeps the book in step with the library.
//!
//! Its Rust runs as doctests of the crate, its console blocks in `tests/cli.rs`.

#[path = "../../book/figures/mod.rs"]
mod figures;
mod numbers;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use risewater::design::{Design, EXAMPLE, SUPPLY_EXAMPLE};
use risewater::error::Range;
use risewater::report::{
    ComparisonReport, CurveReport, FlowReport, PlanReport, SizeReport, SupplyReport, TrialReport,
    TrialTerms,
};
use risewater::trial::{self, DEMO, DEMO_RIG, Matching, ReducedRun, parse_sheet, reduce};
use risewater::{
    DEVELOPING_LENGTH, Evidence, air, references, riser, sizing, supply, two_phase, water,
};
use serde_json::Value;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn read(path: impl AsRef<Path>) -> String {
    let path = root().join(path);
    fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// Every file below a folder with one of these endings.
fn files(folder: &str, endings: &[&str]) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![root().join(folder)];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path
                .extension()
                .is_some_and(|ending| endings.iter().any(|known| ending == *known))
            {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

/// The chapters, as named in SUMMARY.md.
fn chapters() -> Vec<String> {
    let links = read("book/src/SUMMARY.md");
    links
        .split("](")
        .skip(1)
        .filter_map(|rest| rest.split_once(')'))
        .map(|(file, _)| file.to_owned())
        .collect()
}

/// Chapters and README, by path and text.
fn pages() -> Vec<(String, String)> {
    let mut pages: Vec<_> = chapters()
        .iter()
        .map(|file| (file.clone(), read(format!("book/src/{file}"))))
        .collect();
    pages.push(("README.md".to_owned(), read("README.md")));
    pages
}

/// A fenced block: its info string, its first line's number, its text.
struct Block {
    info: String,
    line: usize,
    text: String,
}

impl Block {
    fn language(&self) -> &str {
        self.info.split(',').next().unwrap_or_default()
    }
}

/// The text outside fences, and the fenced blocks.
fn split(page: &str) -> (String, Vec<Block>) {
    let (mut prose, mut blocks, mut open) = (String::new(), Vec::new(), None::<Block>);
    for (n, line) in page.lines().enumerate() {
        match (line.trim_start().strip_prefix("```"), open.take()) {
            (Some(_), Some(block)) => blocks.push(block),
            (Some(info), None) => {
                open = Some(Block {
                    info: info.to_owned(),
                    line: n + 1,
                    text: String::new(),
                });
            }
            (None, Some(mut block)) => {
                block.text += line;
                block.text.push('\n');
                open = Some(block);
            }
            (None, None) => {
                prose += line;
                prose.push('\n');
            }
        }
    }
    assert!(open.is_none(), "a fence is not closed");
    (prose, blocks)
}

fn none(faults: &[String]) {
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_chapter_is_attached_and_every_page_is_a_chapter() {
    let library = read("src/lib.rs");
    let chapters = chapters();
    let mut faults: Vec<String> = chapters
        .iter()
        .filter(|file| !library.contains(&format!("include_str!(\"../book/src/{file}\")")))
        .map(|file| format!("{file} is not attached in src/lib.rs: its Rust is not run"))
        .collect();
    for path in files("book/src", &["md"]) {
        let file = path
            .strip_prefix(root().join("book/src"))
            .unwrap()
            .display()
            .to_string();
        if file != "SUMMARY.md" && !chapters.contains(&file) {
            faults.push(format!("{file} is not in SUMMARY.md"));
        }
    }
    none(&faults);
}

#[test]
fn fences_are_tagged_and_nothing_is_passed_over() {
    let known = ["rust", "console", "sh", "toml", "text", "json", "csv"];
    let mut faults = Vec::new();
    for (page, text) in pages() {
        for block in split(&text).1 {
            if !known.contains(&block.language()) {
                faults.push(format!(
                    "{page}, line {}: the fence has no known language",
                    block.line
                ));
            }
            if block.info.contains("ignore") {
                faults.push(format!(
                    "{page}, line {}: this block is never run",
                    block.line
                ));
            }
        }
        if text.contains("{{#") {
            faults.push(format!("{page}: doctests do not expand includes"));
        }
    }
    none(&faults);
}

/// A block that starts with another name would be passed over in silence.
#[test]
fn console_lines_run_the_tool() {
    let mut faults = Vec::new();
    for (page, text) in pages() {
        for block in split(&text)
            .1
            .iter()
            .filter(|block| block.language() == "console")
        {
            if !block.text.starts_with("$ ") {
                faults.push(format!("{page}, line {}: no command", block.line));
            }
            for line in block
                .text
                .lines()
                .filter(|line| line.starts_with("$ ") && !line.starts_with("$ risewater "))
            {
                faults.push(format!("{page}, line {}: {line}", block.line));
            }
        }
    }
    none(&faults);
}

/// A number set in bold is a result: it must stand in a block of its page, where it is checked.
#[test]
fn bold_numbers_are_checked() {
    let mut faults = Vec::new();
    for (page, text) in pages() {
        let (prose, blocks) = split(&text);
        let checked: Vec<&Block> = blocks
            .iter()
            .filter(|block| matches!(block.language(), "rust" | "console"))
            .collect();
        for bold in prose
            .split("**")
            .skip(1)
            .step_by(2)
            .filter(|bold| bold.starts_with(|c: char| c.is_ascii_digit()))
        {
            if !checked.iter().any(|block| block.text.contains(bold)) {
                faults.push(format!("{page}: {bold} is in no block"));
            }
        }
    }
    none(&faults);
}

#[test]
fn every_source_is_cited() {
    let mut code = String::new();
    for path in files("src", &["rs"])
        .iter()
        .filter(|path| !path.ends_with("src/references.rs"))
    {
        code += &read(path);
    }
    let words: BTreeSet<&str> = code
        .split(|c: char| !c.is_ascii_alphanumeric() && c != '_')
        .collect();
    let book: String = pages().into_iter().map(|(_, text)| text).collect();
    let list = read("src/references.rs");
    let mut faults = Vec::new();
    let mut found = 0;
    for line in list.lines() {
        let Some((name, rest)) = line.trim().split_once(" = \"") else {
            continue;
        };
        let Some((key, _)) = rest.split_once('"') else {
            continue;
        };
        found += 1;
        if !words.contains(name) && !book.contains(key) {
            faults.push(format!("{name} ({key}) is cited nowhere"));
        }
    }
    assert_eq!(found, references::ALL.len(), "the list could not be read");
    none(&faults);
}

#[test]
fn figures_are_fresh() {
    let mut faults = Vec::new();
    let mut names = BTreeSet::new();
    for (name, svg) in figures::all().unwrap() {
        names.insert(name.to_owned());
        if fs::read_to_string(root().join("book/src/figures").join(name)).ok() != Some(svg) {
            faults.push(format!(
                "{name}: draw it again by cargo run -p risewater-book -- --figures"
            ));
        }
    }
    for path in files("book/src/figures", &["svg"]) {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if !names.contains(&name) {
            faults.push(format!("{name} is drawn by nothing"));
        }
    }
    none(&faults);
}

#[test]
fn pictures_are_there_and_described() {
    let mut faults = Vec::new();
    for chapter in chapters() {
        let text = read(format!("book/src/{chapter}"));
        for image in split(&text).0.split("![").skip(1) {
            let (words, rest) = image.split_once("](").unwrap();
            let file = rest.split_once(')').unwrap().0;
            if words.len() < 40 || !root().join("book/src").join(file).is_file() {
                faults.push(format!(
                    "{chapter}: {file} is missing, or has no description"
                ));
            }
        }
    }
    none(&faults);
}

/// The built book reads without a network.
#[test]
fn nothing_comes_from_another_host() {
    let mut faults = Vec::new();
    let mut paths = files("book/src", &["md", "svg", "css", "js", "html"]);
    paths.push(root().join("book/style.css"));
    if root().join("book/theme").exists() {
        paths.extend(files("book/theme", &["hbs", "css", "js", "html"]));
    }
    for path in paths {
        let text = read(&path).to_lowercase();
        for start in ["](", "src=\"", "href=\"", "url(", "url(\"", "@import \""] {
            for scheme in ["http:", "https:", "//"] {
                if text.contains(&format!("{start}{scheme}")) {
                    faults.push(format!("{}: {start}{scheme}", path.display()));
                }
            }
        }
    }
    none(&faults);
}

/// Rows of the tables in the reference chapter, by section and first cell.
fn key_rows() -> Vec<(String, String, String)> {
    let (mut section, mut rows) = (String::new(), Vec::new());
    for line in split(&read("book/src/design-file.md")).0.lines() {
        if let Some(heading) = line.strip_prefix("### ") {
            section = heading
                .trim_matches(['[', ']'])
                .to_lowercase()
                .replace("outlets", "riser");
        }
        let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
        if let [key, value, ..] = cells[..]
            && let Some(key) = key.strip_prefix('`').and_then(|key| key.strip_suffix('`'))
            && !section.is_empty()
        {
            rows.push((section.clone(), key.to_owned(), value.to_owned()));
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
            if !rows.iter().any(|(_, known, _)| known == key) {
                faults.push(format!("{key} is not in the book"));
            }
        }
    }
    // Keys of the book, as files take them: an unknown one is refused by name.
    let outlets = riser::Outlet::NAMES;
    let injectors = ["open_tube", "drilled_ring", "diffuser"];
    for (section, key, _) in rows.iter().filter(|(_, key, _)| {
        !outlets.contains(&key.as_str()) && !injectors.contains(&key.as_str())
    }) {
        let state = matches!(
            (section.as_str(), key.as_str()),
            ("air", "temperature" | "pressure" | "humidity")
        );
        let text = if state {
            format!("air.reference = {{ {key} = \"?\" }}")
        } else {
            let (open, close) = if section == "lift" {
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

#[test]
#[allow(clippy::too_many_lines, reason = "a list of keys")]
fn ranges_in_the_book_are_those_of_the_library() {
    let from_zero = |range: Range| Range::new(0.0, range.max, range.unit);
    let ranges: &[(&str, &str, Range)] = &[
        ("water", "temperature", water::TEMPERATURE),
        ("water", "salinity", water::SALINITY),
        ("water", "density", water::GIVEN_DENSITY),
        ("water", "viscosity", water::GIVEN_VISCOSITY),
        ("water", "surface_tension", water::GIVEN_SURFACE_TENSION),
        ("water", "vapour_pressure", water::GIVEN_VAPOUR_PRESSURE),
        ("site", "altitude", air::ALTITUDE),
        ("site", "pressure", riser::ATMOSPHERE),
        ("duty", "water_flow", riser::WATER_FLOW),
        ("duty", "lift", riser::LIFT),
        ("limits", "max_submergence", riser::SUBMERGENCE),
        ("limits", "min_submergence", riser::SUBMERGENCE),
        ("limits", "submergence_step", sizing::SUBMERGENCE_STEP),
        ("limits", "peak_reserve", sizing::PEAK_RESERVE),
        ("limits", "fouling", sizing::FOULING),
        ("tank", "level_fall", sizing::LEVEL_CHANGE),
        ("tank", "level_rise", sizing::LEVEL_CHANGE),
        ("riser", "bore", two_phase::BORE),
        ("riser", "submergence", riser::SUBMERGENCE),
        ("riser", "lift", riser::LIFT),
        ("riser", "roughness", two_phase::ROUGHNESS),
        ("riser", "lost_bore", from_zero(two_phase::BORE)),
        ("riser", "suction_length", riser::SUCTION_LENGTH),
        ("riser", "entrance_loss", riser::LOSS_COEFFICIENT),
        ("riser", "air_line", two_phase::BORE),
        ("riser", "outlet_loss", riser::LOSS_COEFFICIENT),
        ("riser", "outlet_bore", riser::OUTLET_BORE),
        ("riser", "outlet_depth", riser::OUTLET_HEIGHT),
        ("riser", "outlet_head", riser::OUTLET_HEIGHT),
        ("trial", "submergences", riser::SUBMERGENCE),
        ("trial", "lifts", riser::LIFT),
        ("trial", "container", trial::WATER_VOLUME),
        ("trial", "bottle", trial::BOTTLE_VOLUME),
        ("trial", "tank_area", trial::TANK_AREA),
        ("trial", "wanted", trial::WANTED),
        ("trial", "pulsation", trial::PULSATION),
        ("trial", "bottle_calibration", trial::RELATIVE_INSTRUMENT),
        ("trial", "shared_timing", trial::INSTRUMENT_SHARE),
        ("blower", "shaft_efficiency", supply::EFFICIENCY),
        ("blower", "motor_efficiency", supply::EFFICIENCY),
        ("blower", "wire_efficiency", supply::EFFICIENCY),
        ("blower", "running", supply::blower::BLOWERS),
        ("blower", "rise_margin", supply::blower::RISE_MARGIN),
        ("blower", "intake_temperature", supply::INTAKE_TEMPERATURE),
        ("blower", "intake_humidity", air::HUMIDITY),
        ("blower", "intake_loss", supply::INTAKE_LOSS),
        ("blower", "arrival_temperature", air::AIR_TEMPERATURE),
        ("blower", "height", supply::BLOWER_HEIGHT),
        ("main_line", "bore", supply::LINE_BORE),
        ("main_line", "length", supply::LINE_LENGTH),
        ("main_line", "roughness", supply::LINE_ROUGHNESS),
        ("main_line", "loss", riser::LOSS_COEFFICIENT),
        ("header", "bore", supply::LINE_BORE),
        ("header", "feed", supply::DISTANCE),
        ("header", "tee_run_loss", riser::LOSS_COEFFICIENT),
        ("header", "first", supply::DISTANCE),
        ("branch", "bore", supply::LINE_BORE),
        ("branch", "length", supply::LINE_LENGTH),
        ("branch", "valve_loss", riser::LOSS_COEFFICIENT),
        ("branch", "check_valve", supply::OPENING_PRESSURE),
        ("branch", "hole_diameter", supply::HOLE_DIAMETER),
        (
            "branch",
            "discharge_coefficient",
            supply::DISCHARGE_COEFFICIENT,
        ),
        ("balance", "least_loss", supply::ORIFICE_LOSS),
        ("balance", "tolerance", supply::AIR_TOLERANCE),
        ("lift", "at", supply::DISTANCE),
        ("lift", "bore", two_phase::BORE),
        ("lift", "submergence", riser::SUBMERGENCE),
        ("lift", "lift", riser::LIFT),
        ("lift", "water_flow", riser::WATER_FLOW),
        ("lift", "line_bore", supply::LINE_BORE),
        ("tariff", "price", supply::PRICE),
        ("stock", "density", supply::STOCKING),
        ("stock", "oxygen_use", supply::OXYGEN_USE),
        ("stock", "oxygen", supply::DISSOLVED_OXYGEN),
        ("stock", "oxygen_limit", supply::DISSOLVED_OXYGEN),
        ("air", "mass_flow", air::AIR_FLOW),
        ("air", "temperature", air::AIR_TEMPERATURE),
        ("air", "pressure", air::AIR_PRESSURE),
        ("air", "humidity", air::HUMIDITY),
        (
            "limits",
            "max_air_pressure",
            Range {
                unit: "kPa",
                ..sizing::AIR_PRESSURE
            },
        ),
        (
            "limits",
            "max_lifts",
            Range {
                unit: "",
                ..sizing::LIFTS
            },
        ),
        (
            "model",
            "developing_length",
            Range {
                unit: "",
                ..DEVELOPING_LENGTH
            },
        ),
    ];
    let rows = key_rows();
    let mut faults = Vec::new();
    for (section, key, range) in ranges {
        let row = rows
            .iter()
            .find(|(known, name, _)| known == section && name == key);
        if !row.is_some_and(|(_, _, value)| value.ends_with(&format!(", {range}"))) {
            faults.push(format!("{section}.{key} should say {range}: {row:?}"));
        }
    }
    none(&faults);
}

/// Keys of a JSON value at any depth.
fn keys(value: &Value, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) => map.iter().for_each(|(key, value)| {
            found.insert(key.clone());
            keys(value, found);
        }),
        Value::Array(all) => all.iter().for_each(|value| keys(value, found)),
        _ => {}
    }
}

#[test]
fn every_json_key_is_in_the_book() {
    let design = Design::parse_with(
        EXAMPLE,
        &[
            "limits.max_lifts=2".to_owned(),
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
        .json(&problem);
    let mut found = BTreeSet::new();
    let runs = parse_sheet(DEMO).unwrap();
    let bench = Design::parse(DEMO_RIG).unwrap().bench().unwrap();
    let trial = TrialReport::of(&runs, &bench.instruments, TrialTerms::default())
        .unwrap()
        .json();
    let plan = PlanReport::of(&bench).unwrap().json();
    let reduced = reduce(&runs, &bench.instruments).unwrap();
    let names = Some(["ring of 16 holes", "open tube"]);
    let spec = |_: &ReducedRun| bench.spec;
    let compared =
        ComparisonReport::of(&reduced, bench.model, spec, names, Matching::default()).unwrap();
    let plant = Design::parse(SUPPLY_EXAMPLE)
        .unwrap()
        .with_blower_table(supply::blower::DEMO);
    let asked = plant.supply().unwrap();
    let assumed = vec![("key".to_owned(), "value".to_owned())];
    let supplied = SupplyReport::of(asked, Some(&problem), assumed)
        .unwrap()
        .json(Some(&problem));
    for value in [flow, curve, size, trial, plan, compared.json(), supplied] {
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
