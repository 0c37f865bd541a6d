//! Design sheet, build page and the sheet of a closed loop: well-formed, escaped, whole, and asking for nothing from outside.
//!
//! The pages are left in the target's `tmp` folder to be looked at.

mod build;
mod curves;
mod hatchery;
mod loops;

use hatchery::{hatchery, m, site};
use risewater::Caution;
use risewater::answer::{AssumptionFacts, SizeAnswer, SupplyAnswer, SupplyTerms, Terms, Worded};
use risewater::need::{Animals, Feed, Gases, Limits, Room, RoomNeed, RoomTank, Tank, TankWater};
use risewater::pipe::Pipe;
use risewater::report::{BuildPage, DesignSheet, UnitSystem};
use risewater::riser::{BrinkHead, Dimensions, Outlet, RiserSpec};
use risewater::sizing::{Duty, Task, depths, size};
use risewater::supply::Supply;
use risewater::supply::blower::Efficiency;
use risewater::units::*;
use roxmltree::{Document, Node, ParsingOptions};

fn problem() -> Task {
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
    let mut problem = Task::new(duty, site(), shared, pipes.to_vec(), depths);
    problem.max_lifts = 16;
    problem.level_fall = m(0.1);
    problem.level_rise = m(0.05);
    problem.fouling = Length::new::<millimeter>(4.0);
    problem
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

/// The answer of a supply, and its page.
fn page(
    title: &str,
    supply: &Supply,
    terms: &SupplyTerms,
    size: Option<&SizeAnswer>,
    units: UnitSystem,
) -> (SupplyAnswer, String) {
    let solved = supply.solve().unwrap();
    let answer = SupplyAnswer::of(supply, &solved, terms).unwrap();
    let mut sheet = DesignSheet::of(title, supply, &solved, &answer).unwrap();
    sheet.size = size;
    sheet.units = units;
    let page = sheet.html().unwrap();
    assert_eq!(page, sheet.html().unwrap());
    check(&answer, &page, units);
    (answer, page)
}

/// The same with nothing beside the supply.
fn sheet(title: &str, supply: &Supply) -> (SupplyAnswer, String) {
    let terms = SupplyTerms::default();
    page(title, supply, &terms, None, UnitSystem::Metric)
}

fn assumed(words: [&str; 2]) -> Worded<Vec<AssumptionFacts>> {
    let [key, value] = words.map(str::to_owned);
    Worded::of(|_| {
        let (key, value) = (key.clone(), value.clone());
        vec![AssumptionFacts { key, value }]
    })
}

/// Nothing on a page is a script, or comes from outside it.
fn asks_for_nothing(page: &str) {
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
}

/// Links lead to a place on the page, each place is there once, and no number is none.
fn inside(page: &str) {
    let document = parsed(page);
    let ids: Vec<_> = document
        .descendants()
        .filter_map(|node| node.attribute("id"))
        .collect();
    for id in &ids {
        assert_eq!(ids.iter().filter(|other| *other == id).count(), 1, "{id}");
    }
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
}

/// What holds for any sheet.
fn check(answer: &SupplyAnswer, page: &str, units: UnitSystem) {
    asks_for_nothing(page);
    inside(page);
    let text = text(page);
    let mut missing = Vec::new();
    for caution in &answer.cautions {
        let words = signs(&caution.worded(units));
        if !text.contains(&words) {
            missing.push(words);
        }
    }
    for source in &answer.sources {
        if !text.contains(source.text) {
            missing.push(source.text.to_owned());
        }
    }
    for part in answer.parts.said(units) {
        if !text.contains(&signs(&part.part)) {
            missing.push(part.part.clone());
        }
    }
    assert!(missing.is_empty(), "{}", missing.join("\n"));
    for lift in &answer.lifts {
        assert!(text.contains(&lift.lift), "{}", lift.lift);
    }
}

#[test]
fn twelve_lifts_with_everything() {
    let supply = hatchery(12, 2);
    let problem = problem();
    let found = size(&problem).unwrap();
    let searched = SizeAnswer::of(&problem, &found, 0, &Terms::default(), None).unwrap();
    let terms = SupplyTerms {
        problem: Some(&problem),
        assumptions: assumed(["tank.level", "the same in all tanks, at 14 degC"]),
        ..SupplyTerms::default()
    };
    let page = |units| {
        self::page(
            "Spring Creek nursery",
            &supply,
            &terms,
            Some(&searched),
            units,
        )
    };
    let (answer, metric) = page(UnitSystem::Metric);
    keep("sheet_12", &metric);
    let shown = text(&metric);
    for words in [
        "Spring Creek nursery",
        "Depth of least power",
        "tank.level = the same in all tanks, at 14 °C",
        "If the air stops, oxygen falls to the animals' limit in 13 min.",
        "EUR",
        "one blower less",
    ] {
        assert!(shown.contains(words), "{words}: {shown}");
    }
    let low = searched.cautions.iter();
    let low: Vec<_> = low
        .filter(|one| one.code() == "short_at_low_water")
        .collect();
    assert!(shown.contains(&signs(&low[0].to_string())), "{low:?}");
    let cautions = format!("{} cautions apply", answer.cautions.len() + 1);
    assert!(shown.contains(&cautions), "{cautions}");
    let (_, page) = page(UnitSystem::Us);
    keep("sheet_12_us", &page);
    // Drills keep the name that they are sold by, and what was assumed its words.
    let shown = text(&page);
    let (before, after) = shown.split_once("in all tanks, at 14 °C").unwrap();
    let (after, _) = after.split_once("Read: in the source").unwrap();
    for unit in [
        "L/min", "kPa", "m³", " kg", " m ", " m,", " cm", "°C", "m/s", " W ",
    ] {
        assert!(!before.contains(unit) && !after.contains(unit), "{unit}");
    }
}

/// A caution that the need brings is on the page, and counted.
#[test]
fn cautions_of_a_need() {
    let supply = hatchery(2, 1);
    let need = need("north", 1.0);
    let terms = SupplyTerms {
        need: Some(&need),
        ..SupplyTerms::default()
    };
    let (answer, page) = page("Hatchery", &supply, &terms, None, UnitSystem::Metric);
    let codes: Vec<_> = answer.cautions.iter().map(Caution::code).collect();
    assert!(codes.contains(&"means_of_the_day"), "{codes:?}");
    let all = format!("{} cautions apply", answer.cautions.len());
    assert!(text(&page).contains(&all), "{all}");
}

#[test]
fn one_lift_and_sixty() {
    for (lifts, blowers) in [(1, 1), (60, 11)] {
        let (answer, page) = sheet("Hatchery", &hatchery(lifts, blowers));
        keep(&format!("sheet_{lifts}"), &page);
        assert_eq!(answer.lifts.len(), usize::try_from(lifts).unwrap());
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

/// Levels that are known stand in the drawings of sheet and build page; none is drawn that is not.
#[test]
fn drawings_have_the_levels_that_are_known() {
    let supply = hatchery(4, 2);
    let solved = supply.solve().unwrap();
    for (fall, rise) in [
        (None, None),
        (Some(m(0.12)), None),
        (Some(m(0.12)), Some(m(0.07))),
    ] {
        let terms = SupplyTerms {
            level_fall: fall,
            level_rise: rise,
            ..SupplyTerms::default()
        };
        let answer = SupplyAnswer::of(&supply, &solved, &terms).unwrap();
        let sheet = DesignSheet::of("Levels", &supply, &solved, &answer).unwrap();
        let build = BuildPage::of("Levels", &answer);
        for page in [sheet.html().unwrap(), build.html().unwrap()] {
            let shown = text(&page);
            let low = shown.contains("low water \u{2212}0.12 m");
            let high = shown.contains("high water +0.07 m");
            assert_eq!((low, high), (fall.is_some(), rise.is_some()), "{shown}");
        }
    }
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
    let terms = SupplyTerms {
        assumptions: assumed(["key", words]),
        ..SupplyTerms::default()
    };
    let solved = supply.solve().unwrap();
    let answer = SupplyAnswer::of(&supply, &solved, &terms).unwrap();
    let sheet = DesignSheet::of(words, &supply, &solved, &answer).unwrap();
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
    for (kg, enough) in [(1.0, true), (100_000.0, false)] {
        let need = need("north <1>", kg);
        let terms = SupplyTerms {
            need: Some(&need),
            ..SupplyTerms::default()
        };
        let (_, page) = page("Chain", &supply, &terms, None, UnitSystem::Metric);
        keep("chain", &page);
        let words = text(&page);
        let first = words.find("From the animals to the power").unwrap();
        assert!(first < words.find("Duty and lifts").unwrap());
        assert!(words.contains("in north <1>"), "{words}");
        assert_eq!(!words.contains("less than the animals need"), enough);
    }
    let (_, page) = sheet("Chain", &supply);
    assert!(!page.contains("From the animals"));
}
