//! The tables of keys say what is so: each example is taken, the ends of each range are, and what lies beyond is not.

use risewater::design::{DesignFile, FileError, Problem};
use risewater::error::Range;
use risewater::keys::{Holds, Row, SECTIONS, Section};

/// What is wrong at a key with a value; what else its section lacks is not.
fn faults(section: &Section, row: &Row, value: &str) -> Vec<String> {
    let owner = match (section.name, row.of) {
        (_, "") => String::new(),
        ("riser", outlet) => format!("outlet = \"{outlet}\"\n"),
        (_, injector) => format!("injector = \"{injector}\"\n"),
    };
    let text = format!("{}\n{owner}{} = {value}\n", section.title(), row.name);
    let number = if section.single { "" } else { " 1" };
    let path = format!("{}{number}.{}", section.name, row.name);
    let Err(FileError::Faults { faults }) = DesignFile::parse(&text) else {
        return Vec::new();
    };
    let at_key = faults
        .into_iter()
        .filter(|fault| fault.key == path && !matches!(fault.problem, Problem::Missing { .. }));
    at_key.map(|fault| fault.to_string()).collect()
}

#[test]
fn every_example_is_taken() {
    let (mut wrong, mut count) = (Vec::new(), 0);
    for section in SECTIONS {
        for row in section.keys {
            assert!(
                !row.words.is_empty() && !row.example.is_empty(),
                "{}",
                row.path
            );
            wrong.extend(faults(&section, row, &Row::literal(row.example)));
            count += 1;
        }
    }
    println!("{count} examples");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Values at a range's ends, and beyond them.
fn ends(row: &Row) -> Option<(Range, [String; 2], [String; 2])> {
    let (range, whole) = match row.holds {
        Holds::Quantity(_, range)
        | Holds::QuantityOrNone(_, range)
        | Holds::Quantities(_, range)
        | Holds::Number(range) => (range, false),
        Holds::Whole(range) => (range, true),
        _ => return None,
    };
    let unit = range.unit.trim_end_matches(" gauge");
    let written = |number: f64| match row.holds {
        Holds::Number(_) | Holds::Whole(_) => format!("{number}"),
        Holds::Quantities(..) if unit.is_empty() => format!("[{number}]"),
        _ if unit.is_empty() => format!("{number}"),
        Holds::Quantities(..) => format!("[\"{number} {unit}\"]"),
        _ => format!("\"{number} {unit}\""),
    };
    let step = |end: f64| if whole { 1.0 } else { 1e-3 * end.abs() + 1e-6 };
    let beyond = [range.min - step(range.min), range.max + step(range.max)];
    Some((
        range,
        [range.min, range.max].map(written),
        beyond.map(written),
    ))
}

#[test]
fn every_range_is_the_one_checked() {
    let (mut wrong, mut count) = (Vec::new(), 0);
    for section in SECTIONS {
        for row in section.keys {
            let Some((range, within, beyond)) = ends(row) else {
                continue;
            };
            let refused = format!("it must lie in {range}");
            let is_refused = |value: &String| {
                faults(&section, row, value)
                    .iter()
                    .any(|fault| fault.contains(&refused))
            };
            let taken = within.iter().filter(|value| is_refused(value));
            wrong.extend(taken.map(|value| format!("{}: {value} is refused", row.path)));
            let left = beyond.iter().filter(|value| !is_refused(value));
            wrong.extend(left.map(|value| format!("{}: {value} is not refused", row.path)));
            count += 1;
        }
    }
    println!("{count} ranges");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
