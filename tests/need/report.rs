//! The answer of a room against the library's numbers.

use risewater::answer::{Answer as _, NeedAnswer};
use risewater::caution::Caution;
use risewater::need::{
    Cycle, CycleRow, DEMO, Date, EnteringOxygen, Gases, Installed, Limits, Room, RoomTank, Tank,
    defaults::{self, NeedDefault},
    parse_cycle,
};
use risewater::report::UnitSystem;

use super::{celsius, kg, liters, mg_l, part, share, tank};

fn room_of(tank: &Tank, cycle: Option<Cycle>) -> Room {
    let name = "north".to_owned();
    Room {
        tanks: vec![RoomTank {
            name,
            tank: *tank,
            cycle,
        }],
    }
}

fn room() -> Room {
    let tank = tank(Limits::WARM_WATER);
    room_of(&tank, Some(parse_cycle(DEMO, &tank, Gases::of).unwrap()))
}

/// From 1 March 2026 on, so many days, growing from 10 kg to 100 kg.
fn long(days: i64) -> Room {
    let tank = tank(Limits::WARM_WATER);
    let row = |date, mass| CycleRow::new(date, kg(mass), share(0.02), celsius(25.0));
    let first = Date::constant(2026, 3, 1);
    let last = first.checked_add(jiff::Span::new().days(days - 1)).unwrap();
    let rows = [row(first, 10.0), row(last, 100.0)];
    let rows = if days == 1 { &rows[..1] } else { &rows[..] };
    room_of(&tank, Some(Cycle::new(tank, rows).unwrap()))
}

fn alike(flow: f64, count: u32) -> Installed {
    Installed::Alike {
        flow: liters(flow),
        count: Some(count),
    }
}

fn answered(
    room: &Room,
    lifts: Option<&Installed>,
    defaults: &[&'static NeedDefault<f64>],
) -> NeedAnswer {
    NeedAnswer::of(room, &room.need(Gases::of).unwrap(), lifts, defaults).unwrap()
}

/// First and last week of every row of the table.
fn weeks_of(text: &str) -> Vec<(usize, usize)> {
    let rows = text.lines().skip_while(|line| !line.starts_with("weeks "));
    let rows = rows.skip(1).take_while(|line| !line.is_empty());
    rows.map(|row| {
        let words: Vec<&str> = row.split_whitespace().collect();
        let first = words[0].parse().unwrap();
        let last = match words[1] {
            "to" => words[2].parse().unwrap(),
            _ => first,
        };
        (first, last)
    })
    .collect()
}

/// Rows that cover so many weeks, each once.
fn cover(text: &str, weeks: usize) {
    let rows = weeks_of(text);
    let mut next = 1;
    for (first, last) in rows {
        assert_eq!(first, next, "{text}");
        next = last + 1;
    }
    assert_eq!(next, weeks + 1, "{text}");
}

#[test]
fn json_and_text_agree_with_the_library() {
    let room = room();
    let need = room.need(Gases::of).unwrap();
    let few = alike(1.0, 1);
    let answer = answered(&room, Some(&few), &[&defaults::ALL[0]]);
    let json = answer.json();
    assert_eq!(json["water_flow_m3_per_s"], need.flow().value);
    let lifts = need.lifts(&few).unwrap();
    let weeks = json["weeks"].as_array().unwrap();
    assert_eq!(weeks.len(), lifts.len());
    for (written, lifts) in weeks.iter().zip(lifts) {
        assert_eq!(
            written["running"]["missing_flow_m3_per_s"],
            lifts.running.missing.value
        );
        assert_eq!(written["first"], lifts.week.first.to_string());
    }
    // The day of the largest need: the demo's row of 14 July, 520 kg at 28 degC.
    let tank = &json["tanks"][0];
    assert_eq!(json["peak_date"], "2026-07-14");
    assert_eq!(tank["biomass_kg"], 520.0);
    assert!((tank["water_temperature_k"].as_f64().unwrap() - 301.15).abs() < 1e-9);
    let text = answer.full_text(UnitSystem::Metric);
    assert!(text.contains("NOT ENOUGH"), "{text}");
    assert!(text.contains("1 lift gives 1.000 L/min"), "{text}");
    assert!(text.contains(defaults::ALL[0].note), "{text}");
    cover(&text, need.weeks().len());
}

#[test]
fn long_cycles_are_merged_whether_lifts_are_given_or_not() {
    let room = long(1826);
    let alone = answered(&room, None, &[]);
    let text = alone.full_text(UnitSystem::Metric);
    cover(&text, 261);
    // 1826 days from 1 March 2026 end on 28 February 2031: 60 months.
    assert_eq!(weeks_of(&text).len(), 60);
    let lifts = alike(100.0, 3);
    let answer = answered(&room, Some(&lifts), &[]);
    let text = answer.full_text(UnitSystem::Us);
    cover(&text, 261);
    // A need that only grows, up to 285 L/min: one row for each number of lifts.
    assert_eq!(weeks_of(&text).len(), 3, "{text}");
}

#[test]
fn a_mean_of_merged_weeks_is_that_of_their_days() {
    let answer = answered(&long(10), Some(&alike(500.0, 1)), &[]);
    let text = answer.full_text(UnitSystem::Metric);
    assert_eq!(weeks_of(&text), [(1, 2)]);
    // In proportion to the animals: the mean of 10 to 100 kg is 55 kg, that of the peak 100 kg.
    let row = text
        .lines()
        .find(|line| line.starts_with("1 to 2"))
        .unwrap();
    let numbers: Vec<f64> = row
        .split_whitespace()
        .filter_map(|w| w.parse().ok())
        .collect();
    let (peak, mean) = (numbers[2], numbers[3]);
    // Each is rounded to four digits.
    assert!((mean / peak - 0.55).abs() < 5e-4, "{row}");
}

#[test]
fn a_room_without_a_cycle_runs_its_lifts_all_the_same() {
    let room = room_of(&tank(Limits::WARM_WATER), None);
    let answer = answered(&room, Some(&alike(100.0, 2)), &[]);
    let json = answer.json();
    let running = &json["running"];
    assert_eq!(running["lifts"], 2);
    assert_eq!(
        json["installed_flow_m3_per_s"],
        running["lifts_flow_m3_per_s"]
    );
    assert!(json["peak_date"].is_null());
    let missing = running["missing_flow_m3_per_s"].as_f64().unwrap();
    let need = json["water_flow_m3_per_s"].as_f64().unwrap();
    assert!((need - missing - 0.2 / 60.0).abs() < 1e-12);
    assert!(answer.weeks.is_empty());
    assert!(
        answer
            .cautions
            .iter()
            .any(|one| matches!(one, Caution::LiftsNotEnough { weeks, .. } if weeks.is_empty()))
    );
}

#[test]
fn cautions_name_the_weeks_and_the_defaults() {
    // 285 L/min for 100 kg, growing evenly: 142.5 L/min is passed half-way, at 50 kg on day 1 + 40/90 of 139.
    let recalled = [&defaults::ALL[1], &defaults::ALL[2]];
    let answer = answered(&long(140), Some(&alike(142.4, 1)), &recalled);
    let cautions = &answer.cautions;
    let codes: Vec<&str> = cautions.iter().map(Caution::code).collect();
    assert_eq!(
        codes,
        [
            "loss_of_air",
            "means_of_the_day",
            "default_from_memory",
            "lifts_not_enough"
        ]
    );
    // Day 62.8 of 140 is in week 9; the cycle has 20.
    assert!(
        matches!(&cautions[3], Caution::LiftsNotEnough { weeks, .. } if weeks[..] == [(9, 20)])
    );
    // Oxygen governs: the default for ammonia is not what the need rests on.
    let words = cautions[2].to_string();
    assert!(words.contains(defaults::ALL[1].name), "{words}");
    assert!(!words.contains(defaults::ALL[2].name), "{words}");
    let enough = answered(&long(140), Some(&alike(300.0, 1)), &[]);
    assert_eq!(enough.cautions.len(), 2);
}

/// An oxygen cone: a limit above saturation with air (8.263 mg/L) is held by what enters.
#[test]
fn water_that_enters_above_saturation() {
    let mut cone = tank(Limits {
        oxygen: Some(mg_l(9.5)),
        ..Limits::NONE
    });
    cone.inlet.oxygen = EnteringOxygen::Known(mg_l(20.0));
    let answer = answered(&room_of(&cone, None), None, &[]);
    // 2 kg/d of feed, half of it oxygen, over 20 − 9.5 mg/L.
    let expected = 1e3 / (10.5 * 24.0 * 3600.0);
    let got = answer.water_flow_m3_per_s;
    assert!((got / expected - 1.0).abs() < 1e-12, "{got} {expected}");
    let told = |answer: &NeedAnswer| {
        answer.cautions.iter().any(|one| matches!(one, Caution::OxygenAboveSaturation { entering_mg_per_l, saturation_mg_per_l }
            if (entering_mg_per_l - 20.0).abs() < 1e-12 && (saturation_mg_per_l - 8.263).abs() < 5e-4))
    };
    assert!(told(&answer));
    cone.limits.oxygen = Some(mg_l(5.0));
    cone.inlet.oxygen = EnteringOxygen::Saturated(part(1.0));
    let plain = answered(&room_of(&cone, None), None, &[]);
    assert_eq!(plain.cautions.len(), 2);
}

#[cfg(feature = "report")]
#[test]
fn a_figure_of_any_cycle_is_drawn() {
    use risewater::chart::NeedFigure;

    let figure = |room: &Room, lifts: Option<&Installed>| {
        let need = room.need(Gases::of).unwrap();
        NeedFigure::of(&need, lifts, UnitSystem::Metric).unwrap()
    };
    let steady = room_of(&tank(Limits::WARM_WATER), None);
    assert!(figure(&steady, Some(&alike(10.0, 1))).days.is_empty());
    let mut none = tank(Limits::WARM_WATER);
    none.animals.biomass = kg(0.0);
    let rows = [1, 20].map(|day| {
        CycleRow::new(
            Date::constant(2026, 3, day),
            kg(0.0),
            risewater::need::Feed::Mass(risewater::units::MassRate::default()),
            celsius(25.0),
        )
    });
    let empty = room_of(&none, Some(Cycle::new(none, &rows).unwrap()));
    for (name, room, lifts, shown) in [
        ("demo", room(), Some(alike(400.0, 5)), "2026-07-14"),
        ("small", room(), Some(alike(300.0, 3)), "missing"),
        ("years", long(1826), Some(alike(100.0, 2)), "\n2029\n"),
        ("century", long(36_525), None, "\n2060\n"),
        ("month", long(30), Some(alike(100.0, 4)), "\n1 Mar 2026\n"),
        ("day", long(1), Some(alike(100.0, 1)), "2026-03-01"),
        ("zero", empty, Some(alike(100.0, 1)), "No water is needed"),
    ] {
        let chart = figure(&room, lifts.as_ref()).chart();
        let svg = chart.svg().unwrap();
        assert!(svg.contains(shown), "{name}");
        assert!(chart.narrow_svg().unwrap().contains("</svg>"), "{name}");
    }
}

/// The need's range: files with the values at the ends of the sources' spread written out, and without bacteria.
#[test]
fn the_range_is_that_of_files_with_the_ends_written_out() {
    use risewater::design::DesignFile;
    let text = r#"
[water]
temperature = "26 degC"
[need]
limits = "warm_water"
biomass = "100 kg"
feed_rate = "2 %/d"
protein = "42 %"
ph = 7.3
tan_removal = "50 %"
"#;
    let read = |set: &[&str]| {
        let set: Vec<String> = set.iter().map(|one| (*one).to_owned()).collect();
        DesignFile::parse_with(text, &set)
            .unwrap()
            .rearing()
            .unwrap()
    };
    let flow = |set: &[&str]| read(set).need.flow();
    let found = read(&[]);
    let range = &found.range;
    // As `defaults` has them: oxygen 0.5 to 1 kg/kg, 4.7 to 5 mg/L.
    let most = [
        "need.oxygen_per_feed=1",
        "need.least_oxygen=5 mg/L",
        "need.tan_per_protein=0.144",
    ];
    let least = [
        "need.oxygen_per_feed=0.5",
        "need.least_oxygen=4.7 mg/L",
        "need.tan_limit=3 mg/L",
        "need.ammonia_limit=0.05 mg/L",
        "need.carbon_dioxide_limit=40 mg/L",
    ];
    let carbon_dioxide = ["need.carbon_dioxide_limit=15 mg/L"];
    let most = [&most[..], &carbon_dioxide].concat();
    assert_eq!(range.most, Some(flow(&most)));
    assert_eq!(range.least, Some(flow(&least)));
    assert_eq!(range.without_bacteria, Some(flow(&["need.bacteria=false"])));
    let widest = &range.factors[0];
    assert_eq!(widest.default.name, defaults::ALL[1].name);
    assert_eq!(
        (widest.least, widest.most),
        (
            Some(flow(&["need.oxygen_per_feed=0.5"])),
            Some(flow(&["need.oxygen_per_feed=1"]))
        )
    );
    assert!(
        range
            .without_spread
            .iter()
            .all(|one| one.reference.is_none())
    );
    assert!(
        range
            .without_spread
            .iter()
            .any(|one| one.name.contains("water that enters"))
    );
    // What the file gives has no spread.
    let given = read(&[
        "need.oxygen_per_feed=0.4",
        "need.least_oxygen=5 mg/L",
        "need.tan_limit=none",
        "need.ammonia_limit=none",
        "need.carbon_dioxide_limit=none",
    ]);
    assert!(given.range.factors.is_empty());
    assert_eq!(given.range.most, Some(given.need.flow()));
    let answer = NeedAnswer::of(&given.room, &given.need, None, &given.defaults)
        .unwrap()
        .with_range(&given.range);
    assert!(
        answer
            .text(UnitSystem::Metric)
            .contains("Range   not known: no source gives a spread")
    );
    let answer = NeedAnswer::of(&found.room, &found.need, None, &found.defaults)
        .unwrap()
        .with_range(range);
    let said = answer.text(UnitSystem::Metric);
    assert!(said.contains("Range ") && said.contains("Bare "), "{said}");
}
