//! The page for who builds it: whole, its numbers those of the answer, and short enough for one page.

use risewater::answer::{SupplyAnswer, SupplyTerms};
use risewater::report::{BuildPage, UnitSystem};
use risewater::supply::Supply;
use risewater::trial::{COMMON_VESSELS_GAL, COMMON_VESSELS_L, SHORT_FILL_S};
use roxmltree::Node;

use super::hatchery::hatchery;
use super::{asks_for_nothing, keep, parsed, signs, text};

/// Rows of the table that one page has room for, looked at on A4 and on Letter.
const MOST_ROWS: usize = 20;

fn built(supply: &Supply, units: UnitSystem, name: &str) -> (SupplyAnswer, String) {
    let answer =
        SupplyAnswer::of(supply, &supply.solve().unwrap(), &SupplyTerms::default()).unwrap();
    let mut page = BuildPage::of("Spring Creek <nursery>", &answer);
    page.units = units;
    let page = page.html().unwrap();
    asks_for_nothing(&page);
    keep(name, &page);
    (answer, page)
}

/// Cells of the table, row by row.
fn rows(page: &str) -> Vec<Vec<String>> {
    let document = parsed(page);
    let of = |node: Node| node.text().unwrap_or_default().to_owned();
    let body = document
        .descendants()
        .find(|node| node.has_tag_name("tbody"));
    let rows = body.unwrap().children();
    rows.map(|row| row.children().map(of).collect()).collect()
}

#[test]
fn each_lift_once_with_its_numbers() {
    let (answer, page) = built(&hatchery(12, 2), UnitSystem::Metric, "build_12");
    let rows = rows(&page);
    assert_eq!(rows.len(), answer.lifts.len());
    for (row, lift) in rows.iter().zip(&answer.lifts) {
        let caught = lift.catch.said(UnitSystem::Metric).unwrap();
        let (low, high) = (
            caught.shortest_time_s.unwrap(),
            caught.longest_time_s.unwrap(),
        );
        let holes = match (lift.injector_holes, lift.injector_hole_m) {
            (Some(24), Some(hole)) if (hole - 0.002).abs() < 1e-12 => "24 × 2 mm",
            (None, None) => "diffuser or open end",
            other => panic!("{other:?}"),
        };
        assert_eq!(row[0], lift.lift);
        assert_eq!(row[2], format!("bore {:.2} mm", 1e3 * lift.riser.bore_m));
        assert_eq!(row[3], lift.riser.submergence_m.to_string());
        assert_eq!(row[4], lift.riser.lift_m.to_string());
        assert!(row[5] == holes || lift.injector_holes.is_none(), "{row:?}");
        assert_eq!(Some(&row[6]), lift.drill.as_ref());
        assert_eq!(row[9], format!("{:.0} L", 1e3 * caught.vessel_m3));
        assert_eq!(row[10], format!("{:.1}", caught.time_s));
        assert_eq!(row[11], format!("{low:.0} and {high:.0}"));
        // A vessel fills in volume over flow; the ends of the interval are the other way round.
        let interval = lift.interval.unwrap();
        for (time, flow) in [
            (caught.time_s, lift.water_flow_m3_per_s),
            (low, interval.high_m3_per_s),
            (high, interval.low_m3_per_s),
        ] {
            assert!((time * flow / caught.vessel_m3 - 1.0).abs() < 1e-12);
        }
    }
    let shown = text(&page);
    let kpa = |pa: f64| format!("{:.2} kPa", (pa - answer.outside.pressure_pa) / 1e3);
    for words in [
        format!("reads {}", kpa(answer.header_pressure_pa)),
        format!(
            "The blower's gauge then reads {}",
            kpa(answer.outlet_pressure_pa)
        ),
        "well within 13 min".to_owned(),
        "Loss of air is loss of life support".to_owned(),
        "Compressed air bursts plastic pipe".to_owned(),
        "siphons back".to_owned(),
        "Mains power near water".to_owned(),
        "supersaturate".to_owned(),
        "Local codes and licensed practice".to_owned(),
    ] {
        assert!(shown.contains(&words), "{words}: {shown}");
    }
    for part in answer.parts.said(UnitSystem::Metric) {
        assert!(shown.contains(&signs(&part.part)), "{}", part.part);
    }
}

/// The smallest vessel that fills slowly enough to be timed.
#[test]
fn vessels_of_either_system() {
    let (answer, page) = built(&hatchery(12, 2), UnitSystem::Us, "build_12_us");
    // 3.785 411 784 L to the gallon.
    for (units, vessels, size) in [
        (UnitSystem::Metric, COMMON_VESSELS_L, 1e-3),
        (UnitSystem::Us, COMMON_VESSELS_GAL, 3.785_411_784e-3),
    ] {
        for lift in &answer.lifts {
            let caught = lift.catch.said(units).unwrap();
            let fills = |vessel: &&f64| **vessel * size / lift.water_flow_m3_per_s >= SHORT_FILL_S;
            let smallest = vessels.iter().find(fills).unwrap();
            assert!((caught.vessel_m3 / (smallest * size) - 1.0).abs() < 1e-12);
        }
    }
    let shown = text(&page);
    for unit in ["L/min", "kPa", "m³", " kg", " m ", " cm", "°C", " W "] {
        assert!(!shown.contains(unit), "{unit}: {shown}");
    }
}

#[test]
fn one_page_for_one_lift_and_for_sixty() {
    for (lifts, blowers) in [(1, 1), (6, 1), (20, 4), (21, 4), (60, 11)] {
        let (answer, page) = built(
            &hatchery(lifts, blowers),
            UnitSystem::Metric,
            &format!("build_{lifts}"),
        );
        let rows = rows(&page);
        assert!(rows.len() <= MOST_ROWS, "{lifts}: {}", rows.len());
        // Names of those that share a row: "tank 1 to 3, 7".
        let mut named = Vec::new();
        for row in &rows {
            for run in row[0].strip_prefix("tank ").unwrap().split(", ") {
                let number = |name: &str| name.parse::<u32>().unwrap();
                let (first, last) = run.split_once(" to ").unwrap_or((run, run));
                named.extend(number(first)..=number(last));
            }
        }
        named.sort_unstable();
        assert_eq!(named, (1..=lifts).collect::<Vec<_>>());
        let drawn = parsed(&page);
        let drawn = drawn.descendants().filter(|node| node.has_tag_name("svg"));
        let room = if rows.len() > 12 { 1 } else { 2 };
        assert_eq!(drawn.count(), answer.kinds.len().min(room), "{lifts}");
    }
}

/// Without blower, orifices and animals, and with a lift that is shut.
#[test]
fn what_is_not_known_is_not_told() {
    let mut supply = hatchery(4, 0);
    supply.stock = None;
    supply.plant.balancing = None;
    let mut header = supply.plant.manifold.header().clone();
    header.branches[1].open = false;
    supply.plant.manifold = supply.plant.manifold.with_header(header).unwrap();
    let (_, page) = built(&supply, UnitSystem::Metric, "build_bare");
    let shown = text(&page);
    assert!(shown.contains("but for tank 2"), "{shown}");
    assert!(!shown.contains("Air: a water tube"), "{shown}");
    for word in ["NaN", "inf ", "null"] {
        assert!(!shown.contains(word), "{word}: {shown}");
    }
    let rows = rows(&page);
    assert_eq!(rows[1][6], "shut");
    assert_eq!(rows[0][6], "none");
}
