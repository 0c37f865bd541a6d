//! The sheet of a closed loop: whole, its numbers those of the answer, in the example and in loops that are otherwise.

use risewater::answer::LoopAnswer;
use risewater::chart::DayFigure;
use risewater::design::{DesignFile, LOOP_EXAMPLE};
use risewater::report::{LoopSheet, UnitSystem};
use roxmltree::Node;

use super::{asks_for_nothing, inside, keep, parsed, signs, text};

/// The example with some lines changed: its answer and its page, kept under a name.
fn sheet(changes: &[(&str, &str)], units: UnitSystem, name: &str) -> (LoopAnswer, String) {
    let mut file = LOOP_EXAMPLE.to_owned();
    for (from, to) in changes {
        assert!(file.contains(from), "{from}");
        file = file.replace(from, to);
    }
    let design = DesignFile::parse(&file).unwrap().water_loop().unwrap();
    let design = design.sized().unwrap();
    let answer = LoopAnswer::of(&design.water, &design.day, &design.terms()).unwrap();
    let outcome = design.water.day(&design.day).unwrap();
    let figure = outcome
        .day()
        .map(|day| DayFigure::of(&design.water, day, &design.day, units).unwrap());
    let mut sheet = LoopSheet::of("Spring <Creek>", &answer, figure.as_ref());
    sheet.units = units;
    let page = sheet.html().unwrap();
    assert_eq!(page, sheet.html().unwrap());
    keep(name, &page);
    asks_for_nothing(&page);
    inside(&page);
    let shown = text(&page);
    for caution in &answer.cautions {
        let words = signs(&caution.worded(units));
        assert!(shown.contains(&words), "{words}");
    }
    for one in &answer.defaults {
        let taken = signs(&format!("{}: {}", one.name, one.value));
        assert!(shown.contains(&taken), "{taken}");
        assert!(shown.contains(&signs(&one.note)), "{}", one.note);
        if let Some(source) = one.source {
            assert!(shown.contains(source.text), "{}", source.text);
        }
    }
    let drawn = parsed(&page);
    let drawn = drawn.descendants().filter(|node| node.has_tag_name("svg"));
    // One for wide screens and paper, one for narrow ones.
    assert_eq!(drawn.count(), if answer.shortage.is_none() { 2 } else { 0 });
    (answer, page)
}

/// Cells of the table under a caption, row by row.
fn rows(page: &str, caption: &str) -> Vec<Vec<String>> {
    let document = parsed(page);
    let of = |node: Node| node.text().unwrap_or_default().to_owned();
    let head = document
        .descendants()
        .find(|node| node.has_tag_name("h3") && node.text() == Some(caption))
        .unwrap_or_else(|| panic!("{caption}"));
    let body = head.parent().unwrap().descendants();
    let mut body = body.filter(|node| node.has_tag_name("tbody"));
    let rows = body.next().unwrap().children();
    rows.map(|row| row.children().map(of).collect()).collect()
}

/// Names of the sections, in order.
fn sections(page: &str) -> Vec<String> {
    let document = parsed(page);
    let all = document.descendants();
    let all = all.filter(|node| node.has_tag_name("section"));
    all.map(|node| node.attribute("id").unwrap().to_owned())
        .collect()
}

/// Four digits, as tables have them.
fn close(cell: &str, value: f64) {
    let read: f64 = cell.replace('\u{2212}', "-").parse().unwrap();
    assert!(
        (read - value).abs() <= 5.001e-4 * value.abs(),
        "{cell}: {value}"
    );
}

#[test]
fn the_example() {
    let (answer, page) = sheet(&[], UnitSystem::Metric, "loop");
    let shown = text(&page);
    let order = [
        "verdict", "day", "tanks", "changes", "balance", "cautions", "defaults", "sources",
    ];
    assert_eq!(sections(&page), order);
    let first = answer
        .tanks
        .iter()
        .min_by(|a, b| a.time_to_limit_s.partial_cmp(&b.time_to_limit_s).unwrap())
        .unwrap();
    let minutes = first.time_to_limit_s.unwrap() / 60.0;
    for words in [
        "Spring <Creek>".to_owned(),
        "every limit holds, through the worst hour too".to_owned(),
        format!(
            "oxygen in {} falls to its limit in {minutes:.0} min.",
            first.name
        ),
        format!("{} cautions apply to this loop", answer.cautions.len()),
        "Without the filter the ammonia rises by".to_owned(),
    ] {
        assert!(shown.contains(&words), "{words}: {shown}");
    }
    // Dangers of any lift that animals depend on.
    for danger in [
        "loss of air is loss of flow and of oxygen",
        "supersaturate the water with nitrogen",
        "compressed air in plastic pipe can burst",
        "mains power near water",
    ] {
        assert!(shown.contains(danger), "{danger}");
    }
    let rows_of = |caption| rows(&page, caption);
    let tanks = rows_of("Each tank through the day");
    assert_eq!(tanks.len(), answer.tanks.len());
    for (row, tank) in tanks.iter().zip(&answer.tanks) {
        assert_eq!(row[0], tank.name);
        // L/min, then mg/L.
        close(&row[2], tank.water_flow_m3_per_s * 6e4);
        close(&row[3], 1e3 * tank.least_oxygen_kg_per_m3);
        close(&row[5], 1e3 * tank.mean_oxygen_kg_per_m3);
        close(&row[6], 1e3 * tank.most_carbon_dioxide_kg_per_m3);
        close(&row[7], 1e3 * tank.most_tan_kg_per_m3);
    }
    let left = rows_of("What is left of each limit at its worst moment");
    for (row, tank) in left.iter().zip(&answer.tanks) {
        assert_eq!(row.len(), 1 + tank.limits.len());
        for (cell, limit) in row[1..].iter().zip(&tank.limits) {
            assert_eq!(*cell, format!("{:.0} %", 100.0 * limit.slack));
        }
    }
    let changes = rows_of("One thing at a time, a whole day of it");
    assert_eq!(changes.len(), answer.changes.len());
    for (row, change) in changes.iter().zip(&answer.changes) {
        assert_eq!(row[1], if change.holds { "yes" } else { "no" });
        match &change.least_oxygen {
            Some(least) => close(&row[2], 1e3 * least.oxygen_kg_per_m3),
            None => assert_eq!(row[2], ""),
        }
    }
    // g/h.
    let balance = rows_of("Balance, mean of the day, g/h");
    for (row, of) in balance.iter().zip(&answer.budget) {
        let cell: f64 = row[3].replace('\u{2212}', "-").parse().unwrap();
        assert!((cell - of.lifts_kg_per_s * 3.6e6).abs() <= 0.005 + 1e-9);
    }
}

#[test]
fn us_units() {
    let (_, page) = sheet(&[], UnitSystem::Us, "loop_us");
    let shown = text(&page);
    // Origins of defaults keep the words of their sources.
    let (before, _) = shown.split_once("Taken where nothing was given").unwrap();
    for unit in ["L/min", " g/h", "kPa", "m³", " kg", " m ", "°C", " K "] {
        assert!(!before.contains(unit), "{unit}: {before}");
    }
    assert!(before.contains("lb/d") && before.contains("gal/min"));
}

/// What is short, the stock that could live, and no day.
#[test]
fn a_loop_that_cannot_balance() {
    let (answer, page) = sheet(
        &[
            ("lifts = 12", "lifts = 1"),
            ("lifts_off = 2", "lifts_off = 1"),
        ],
        UnitSystem::Metric,
        "loop_short",
    );
    assert_eq!(answer.shortage.as_ref().unwrap().what, "oxygen_runs_out");
    let order = ["verdict", "changes", "cautions", "defaults", "sources"];
    assert_eq!(sections(&page), order);
    let shown = text(&page);
    let stock = answer.worst_hour_stock.as_ref().unwrap();
    for words in [
        "it cannot balance: oxygen runs out after the filter",
        "If the air stops, the water stops",
        &format!("{:.2} times what is there", stock.factor),
    ] {
        assert!(shown.contains(words), "{words}: {shown}");
    }
}

/// The numbers of lifts that were found, and what fails with fewer.
#[test]
fn with_a_search() {
    let (answer, page) = sheet(&[("lifts = 12", "")], UnitSystem::Metric, "loop_sized");
    let size = answer.size.as_ref().unwrap();
    assert!(!size.choices.is_empty());
    let choices = rows(&page, "Every limit holds with any of these");
    assert_eq!(choices.len(), size.choices.len());
    for (row, choice) in choices.iter().zip(&size.choices) {
        assert_eq!(row[0], choice.lifts.to_string());
        close(&row[1], choice.water_flow_m3_per_s * 6e4);
    }
    if let Some(fewer) = size.choices[0].fewer {
        let words = format!("{fewer} do not hold");
        assert!(text(&page).contains(&words), "{words}");
    }
}

/// Lifts better than they can be are called so beside the verdict; oxygen below its limit is no time to wait for.
#[test]
fn a_ceiling_and_a_broken_limit() {
    let coefficient = LOOP_EXAMPLE
        .lines()
        .find(|line| line.starts_with("transfer_coefficient"))
        .unwrap();
    let (answer, page) = sheet(&[(coefficient, "")], UnitSystem::Metric, "loop_ceiling");
    assert!(answer.is_ceiling);
    let shown = text(&page);
    assert!(
        shown.contains("with these lifts at their ceiling"),
        "{shown}"
    );
    let (answer, page) = sheet(&[("lifts = 12", "lifts = 8")], UnitSystem::Metric, "loop_8");
    assert!(!answer.holds && answer.shortage.is_none());
    let shown = text(&page);
    assert!(shown.contains("it does not hold"), "{shown}");
    let below = answer.tanks.iter();
    let below = below.filter(|tank| tank.time_to_limit_s == Some(0.0));
    let below: Vec<_> = below.map(|tank| tank.name.as_str()).collect();
    let words = format!("worst hour, with the air on: {}.", below.join(", "));
    assert!(!below.is_empty() && shown.contains(&words), "{shown}");
    assert!(!shown.contains("If the air stops"), "{shown}");
}

/// Names stay words, whatever is in them.
#[test]
fn names_stay_words() {
    let name = "</title><script>alert('1')</script> & x";
    let named = format!("name = \"{name}\"");
    let (_, page) = sheet(
        &[("name = \"C\"", &named)],
        UnitSystem::Metric,
        "loop_names",
    );
    assert!(!page.contains("<script"));
    assert!(text(&page).contains(name));
}
