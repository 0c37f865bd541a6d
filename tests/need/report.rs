//! The report of a room against the library's numbers.

use risewater::need::{
    Cycle, CycleRow, Gases, Installed, Limits, Room, RoomTank, defaults, parse_cycle,
};
use risewater::report::{NeedReport, UnitSystem};

use super::{liters, tank};

fn room() -> Room {
    let tank = tank(Limits::WARM_WATER);
    let rows: Vec<CycleRow> = parse_cycle(risewater::need::DEMO).unwrap();
    let cycle = Some(Cycle::new(tank, &rows).unwrap());
    let name = "north".to_owned();
    Room {
        tanks: vec![RoomTank { name, tank, cycle }],
    }
}

#[test]
fn json_and_text_agree_with_the_library() {
    let room = room();
    let need = room.need(Gases::of).unwrap();
    let few = Installed::Alike {
        flow: liters(1.0),
        count: Some(1),
    };
    let report = NeedReport::of(&room, Some(&few), &[&defaults::ALL[0]]).unwrap();
    let json = report.json();
    assert_eq!(json["water_flow_m3_per_s"], need.flow().value);
    assert_eq!(json["weeks"].as_array().unwrap().len(), need.weeks().len());
    for (week, lifts) in (0..).zip(need.lifts(&few).unwrap()) {
        let written: &serde_json::Value = &json["weeks"][week as usize];
        assert_eq!(
            written["missing_flow_m3_per_s"],
            lifts.running.missing.value
        );
        assert_eq!(written["first"], lifts.week.first.to_string());
    }
    let text = report.text(UnitSystem::Metric);
    assert!(text.contains("NOT ENOUGH"), "{text}");
    assert!(text.contains(defaults::ALL[0].note), "{text}");
    // Merged rows cover every week once.
    let mut next = 1;
    for row in text.lines().filter_map(|l| l.strip_prefix("week")) {
        let numbers = row.trim_start_matches('s').split(',').next().unwrap();
        let mut ends = numbers
            .split(" to ")
            .map(|n| n.trim().parse::<usize>().unwrap());
        let first = ends.next().unwrap();
        assert_eq!(first, next);
        next = ends.next().unwrap_or(first) + 1;
    }
    assert_eq!(next, need.weeks().len() + 1);
    println!("{text}");
}
