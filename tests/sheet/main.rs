//! The design sheet: well-formed, escaped, whole, and asking for nothing from outside.
//!
//! The pages are left in the target's `tmp` folder to be looked at.

mod curves;
mod hatchery;

use hatchery::{hatchery, m, site};
use risewater::Caution;
use risewater::air::AirState;
use risewater::answer::{SizeAnswer, Terms};
use risewater::need::{Animals, Feed, Gases, Limits, Room, RoomNeed, RoomTank, Tank, TankWater};
use risewater::pipe::Pipe;
use risewater::report::{DesignSheet, UnitSystem, supply_sources};
use risewater::riser::{BrinkHead, Dimensions, Outlet, RiserSpec};
use risewater::sizing::{Duty, Problem, depths, size};
use risewater::supply::blower::Efficiency;
use risewater::supply::{AirSide, BestDepth, SolvedSupply, Supply, best_depths};
use risewater::units::*;
use roxmltree::{Document, Node, ParsingOptions};

fn problem() -> Problem {
    let duty = Duty {
        water_flow: VolumeRate::new::<liter_per_minute>(1450.0),
        lift: m(0.15),
    };
    let dimensions = Dimensions {
        bore: m(0.05),
        submergence: m(1.0),
        lift: m(0.15),
    };
    let shared = RiserSpec::new(dimensions).with_outlet(Outlet::Elbow {
        loss: Ratio::new::<ratio>(0.94),
        bore: None,
        head: BrinkHead::Mixture,
    });
    let pipes = ["2", "2-1/2", "3"]
        .map(|size| Pipe::named(&format!("ASTM D1785 Sch 40 {size} in")).unwrap());
    let depths = depths(None, m(1.4), Some(m(0.2))).unwrap();
    let mut problem = Problem::new(duty, site(), shared, pipes.to_vec(), depths);
    problem.max_lifts = 16;
    problem.level_fall = m(0.1);
    problem.level_rise = m(0.05);
    problem.fouling = Length::new::<millimeter>(4.0);
    problem
}

fn optimum() -> Vec<BestDepth> {
    let air_side = AirSide {
        intake: AirState::DRY_20_C,
        loss: hatchery::kpa(4.0),
        efficiency: Efficiency::WireToAir(Ratio::new::<percent>(38.0)),
    };
    best_depths(&problem(), &air_side).unwrap()
}

fn parsed(page: &str) -> Document<'_> {
    let options = ParsingOptions {
        allow_dtd: true,
        ..ParsingOptions::default()
    };
    Document::parse_with_options(page, options).unwrap_or_else(|error| panic!("{error}"))
}

/// All text of a page that a reader sees, white space folded.
fn text(page: &str) -> String {
    let document = parsed(page);
    let shown = |node: &Node| {
        node.is_text()
            && !node
                .parent()
                .is_some_and(|parent| parent.has_tag_name("style"))
    };
    let texts: Vec<_> = document
        .descendants()
        .filter(shown)
        .filter_map(|node| node.text())
        .collect();
    texts
        .join(" ")
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

/// As the sheet prints it.
fn signs(text: &str) -> String {
    text.replace("degC", "°C")
        .replace("degF", "°F")
        .replace("m3", "m³")
}

fn keep(name: &str, page: &str) {
    std::fs::write(format!("{}/{name}.html", env!("CARGO_TARGET_TMPDIR")), page).unwrap();
}

fn sheet(title: &str, supply: &Supply) -> (SolvedSupply, String) {
    let solved = supply.solve().unwrap();
    let page = DesignSheet::new(title, supply, &solved).html().unwrap();
    check(supply, &solved, &page, UnitSystem::Metric);
    (solved, page)
}

/// What holds for any sheet.
fn check(supply: &Supply, solved: &SolvedSupply, page: &str, units: UnitSystem) {
    let document = parsed(page);
    for node in document.descendants() {
        let tag = node.tag_name().name();
        assert!(
            !["script", "link", "img", "iframe", "object", "image", "use"].contains(&tag),
            "{tag}"
        );
        for attribute in node.attributes() {
            let (name, value) = (attribute.name(), attribute.value());
            assert!(!name.starts_with("on"), "{name}");
            match name {
                "href" => assert!(value.starts_with('#'), "{value}"),
                "src" | "srcset" | "action" | "data" | "background" => panic!("{name}"),
                "style" => assert!(!value.contains("url("), "{value}"),
                _ => {}
            }
        }
        if tag == "style" {
            let style = node.text().unwrap();
            assert!(
                !style.contains("url(") && !style.contains("@import"),
                "{style}"
            );
        }
    }
    let ids: Vec<_> = document
        .descendants()
        .filter_map(|node| node.attribute("id"))
        .collect();
    for node in document.descendants() {
        if let Some(target) = node.attribute("href") {
            assert!(ids.contains(&&target[1..]), "{target}");
        }
    }
    let text = text(page);
    for word in text.split(|c: char| !c.is_alphanumeric()) {
        assert!(
            !["NaN", "inf", "infinity", "null", "None"].contains(&word),
            "{word}"
        );
    }
    let mut missing = Vec::new();
    for caution in &solved.cautions {
        let words = signs(&caution.worded(units));
        if !text.contains(&words) {
            missing.push(words);
        }
    }
    for source in supply_sources(supply) {
        if !text.contains(source.text) {
            missing.push(source.text.to_owned());
        }
    }
    for part in supply.parts(solved, units) {
        if !text.contains(&signs(&part.what)) {
            missing.push(part.what.clone());
        }
    }
    assert!(missing.is_empty(), "{}", missing.join("\n"));
    for branch in &solved.manifold.header().branches {
        assert!(text.contains(&branch.name), "{}", branch.name);
    }
}

#[test]
fn twelve_lifts_with_everything() {
    let supply = hatchery(12, 2);
    let solved = supply.solve().unwrap();
    let problem = problem();
    let found = size(&problem).unwrap();
    let answer = SizeAnswer::of(&problem, &found, 1, &Terms::default(), None).unwrap();
    let (optimum, assumptions) = (
        optimum(),
        [
            "The water stands at the same level in all tanks, at 14 degC.".to_owned(),
            "Two of three blowers run; the third stands by.".to_owned(),
        ],
    );
    let mut sheet = DesignSheet::new("Spring Creek nursery", &supply, &solved);
    sheet.size = Some(&answer);
    sheet.optimum = &optimum;
    sheet.assumptions = &assumptions;
    let page = sheet.html().unwrap();
    keep("sheet_12", &page);
    check(&supply, &solved, &page, UnitSystem::Metric);
    let shown = text(&page);
    for words in [
        "Spring Creek nursery",
        "Depth of least power",
        "Margins of the best design",
        "Two of three blowers run",
        "If the air stops, oxygen falls to the animals' limit in 13 min.",
        "EUR",
        "one blower less",
    ] {
        assert!(shown.contains(words), "{words}: {shown}");
    }
    let mut cautions = answer.cautions.iter();
    let low = cautions.find(|one| matches!(one, Caution::ShortAtLowWater { .. }));
    let low = low.unwrap();
    assert!(shown.contains(&signs(&low.to_string())), "{low}");
    let cautions = format!("{} cautions apply", solved.cautions.len() + 1);
    assert!(shown.contains(&cautions), "{cautions}");
    sheet.units = UnitSystem::Us;
    let page = sheet.html().unwrap();
    keep("sheet_12_us", &page);
    check(&supply, &solved, &page, UnitSystem::Us);
    assert_eq!(page, sheet.html().unwrap());
    // Drills keep the name that they are sold by, and what was assumed its words.
    let shown = text(&page);
    let (before, after) = shown.split_once("Two of three blowers run").unwrap();
    let before = before.replace("in all tanks, at 14 °C", "");
    let (after, _) = after.split_once("Read: in the source").unwrap();
    for unit in [
        "L/min", "kPa", "m³", " kg", " m ", " m,", " cm", "°C", "m/s", " W ",
    ] {
        assert!(!before.contains(unit) && !after.contains(unit), "{unit}");
    }
}

/// Cautions beside those of the solution are on the page, and counted.
#[test]
fn cautions_of_a_need() {
    let supply = hatchery(2, 1);
    let solved = supply.solve().unwrap();
    let cautions = [Caution::MeansOfTheDay];
    let mut sheet = DesignSheet::new("Hatchery", &supply, &solved);
    sheet.cautions = &cautions;
    let shown = text(&sheet.html().unwrap());
    assert!(shown.contains(&cautions[0].to_string()), "{shown}");
    let all = format!("{} cautions apply", solved.cautions.len() + 1);
    assert!(shown.contains(&all), "{shown}");
}

#[test]
fn one_lift_and_sixty() {
    for (lifts, blowers) in [(1, 1), (60, 11)] {
        let (solved, page) = sheet("Hatchery", &hatchery(lifts, blowers));
        keep(&format!("sheet_{lifts}"), &page);
        assert_eq!(solved.running.lifts.len(), usize::try_from(lifts).unwrap());
    }
}

#[test]
fn without_blower_tariff_and_animals() {
    let mut supply = hatchery(4, 0);
    supply.tariff = None;
    supply.stock = None;
    supply.plant.balancing = None;
    supply.plant.efficiency = Efficiency::Unknown;
    let (_, page) = sheet("Bare", &supply);
    keep("sheet_bare", &page);
    assert!(text(&page).contains("If the air stops, the water stops"));
}

#[test]
fn words_of_the_user_stay_words() {
    let words = "</title><script>alert(\"1\")</script> & 'x' \u{0}\u{1b}";
    let mut supply = hatchery(5, 1);
    let mut header = supply.plant.manifold.header().clone();
    header.branches[0].name = words.to_owned();
    supply.plant.manifold = supply.plant.manifold.with_header(header).unwrap();
    if let Some(tariff) = &mut supply.tariff {
        words.clone_into(&mut tariff.currency);
    }
    let solved = supply.solve().unwrap();
    let assumptions = [words.to_owned()];
    let mut sheet = DesignSheet::new(words, &supply, &solved);
    sheet.assumptions = &assumptions;
    let page = sheet.html().unwrap();
    assert!(!page.contains("<script"));
    let document = parsed(&page);
    let shown = words.replace(['\u{0}', '\u{1b}'], "\u{fffd}");
    let title = document
        .descendants()
        .find(|node| node.has_tag_name("title"))
        .unwrap();
    assert_eq!(title.text(), Some(shown.as_str()));
    // Title, headline, tables, assumption, cost.
    let times = text(&page).matches(shown.as_str()).count();
    assert!(times >= 6, "{times}");
}

/// Animals of one tank of warm fresh water, half a per cent of their mass a day as feed.
fn need(name: &str, kg: f64) -> RoomNeed {
    let tank = Tank::new(
        Animals {
            biomass: Mass::new::<kilogram>(kg),
            feed: Feed::Share(Frequency::new::<per_day>(0.005)),
            protein: Ratio::new::<percent>(42.0),
        },
        TankWater {
            temperature: site().water.temperature(),
            salinity: Ratio::new::<per_mille>(0.0),
            atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
            ph: Ratio::new::<ratio>(7.3),
        },
        Limits::WARM_WATER,
    );
    let tanks = vec![RoomTank {
        name: name.to_owned(),
        tank,
        cycle: None,
    }];
    Room { tanks }.need(Gases::of).unwrap()
}

#[test]
fn from_the_animals_to_the_power() {
    let supply = hatchery(4, 2);
    let solved = supply.solve().unwrap();
    for (kg, enough) in [(1.0, true), (100_000.0, false)] {
        let need = need("north <1>", kg);
        let mut sheet = DesignSheet::new("Chain", &supply, &solved);
        sheet.need = Some(&need);
        let page = sheet.html().unwrap();
        check(&supply, &solved, &page, UnitSystem::Metric);
        keep("chain", &page);
        let words = text(&page);
        let first = words.find("From the animals to the power").unwrap();
        assert!(first < words.find("Duty and lifts").unwrap());
        assert!(words.contains("in north <1>"), "{words}");
        assert_eq!(!words.contains("less than the animals need"), enough);
    }
    let page = DesignSheet::new("Chain", &supply, &solved).html().unwrap();
    assert!(!page.contains("From the animals"));
}
