//! Several tanks together: sums by hand, and days outside a cycle.

use risewater::need::{Cycle, CycleRow, Date, Gases, Limits, Line, Room, RoomNeed, RoomTank, Tank};
use risewater::units::{
    Frequency, Volume, cubic_meter, kilogram, kilogram_per_day, liter_per_minute, per_hour,
};

use crate::gases::gases;
use crate::{celsius, kg, share, tank};

/// A tank that needs its turnover alone: a tenth of its volume an hour for every row.
fn by_volume(name: &str, rows: &[(Date, f64)]) -> RoomTank {
    let mut tank = tank(Limits {
        turnover: Some(Frequency::new::<per_hour>(0.1)),
        ..Limits::NONE
    });
    let rows: Vec<CycleRow> = rows
        .iter()
        .map(|(date, m3)| {
            let mut row = CycleRow::new(*date, kg(10.0), share(0.02), celsius(25.0));
            row.volume = Some(Volume::new::<cubic_meter>(*m3));
            row
        })
        .collect();
    tank.volume = Some(Volume::new::<cubic_meter>(6.0));
    let cycle = (!rows.is_empty()).then(|| Cycle::new(tank, &rows).unwrap());
    let name = name.to_owned();
    RoomTank { name, tank, cycle }
}

const fn march(day: i8) -> Date {
    Date::constant(2026, 3, day)
}

fn needed(tanks: Vec<RoomTank>) -> RoomNeed {
    Room { tanks }.need(gases).unwrap()
}

/// 1 m³ × 0.1/h is 1/0.6 L/min. One tank goes from 6 to 18 m³ over days 1 to 3, one is at 12 m³ from day 3 to day 4,
/// the last is at 6 m³ throughout.
#[test]
fn two_cycles_and_a_steady_tank_by_hand() {
    let need = needed(vec![
        by_volume("first", &[(march(1), 6.0), (march(3), 18.0)]),
        by_volume("second", &[(march(3), 12.0), (march(4), 12.0)]),
        by_volume("steady", &[]),
    ]);
    let flows: Vec<(Date, f64)> = need
        .days
        .iter()
        .map(|day| (day.date, day.flow.get::<liter_per_minute>()))
        .collect();
    // Day by day: 6 + 6, 12 + 6, 18 + 12 + 6, 12 + 6 m³.
    let by_hand = [(1, 20.0), (2, 30.0), (3, 60.0), (4, 30.0)];
    assert_eq!(flows.len(), by_hand.len());
    for ((date, flow), (day, expected)) in flows.iter().zip(by_hand) {
        assert_eq!(*date, march(day));
        assert!((flow / expected - 1.0).abs() < 1e-12, "{date}: {flow}");
    }
    assert_eq!(need.peak().map(|day| day.date), Some(march(3)));
    assert!((need.flow().get::<liter_per_minute>() / 60.0 - 1.0).abs() < 1e-12);
    // The tanks' own largest needs: 18, 12 and 6 m³, which come on one day here.
    let own: Vec<f64> = need
        .tanks
        .iter()
        .map(|tank| tank.need.flow().get::<liter_per_minute>())
        .collect();
    assert_eq!(own.len(), 3);
    for (flow, expected) in own.iter().zip([30.0, 20.0, 10.0]) {
        assert!((flow / expected - 1.0).abs() < 1e-12, "{flow}");
    }
    assert_eq!(need.tanks[0].date, Some(march(3)));
    assert_eq!(need.tanks[2].date, None);
}

/// Animals and loads are those of the day of the largest flow: what is stocked on another day does not count.
#[test]
fn animals_that_are_there_that_day() {
    let need = needed(vec![
        by_volume("spring", &[(march(1), 6.0), (march(2), 6.0)]),
        by_volume("summer", &[(march(5), 18.0), (march(6), 18.0)]),
    ]);
    assert_eq!(need.peak().map(|day| day.date), Some(march(5)));
    assert_eq!(need.running_tanks().collect::<Vec<_>>(), ["summer"]);
    // 10 kg in each tank, at 2 % a day.
    assert!((need.biomass().get::<kilogram>() - 10.0).abs() < 1e-12);
    let feed = need.load(|load| load.feed).get::<kilogram_per_day>();
    assert!((feed - 0.2).abs() < 1e-12);
}

/// Between two crops nothing is needed but by the steady tank, and the days are there all the same.
#[test]
fn days_between_two_cycles() {
    let crops = || {
        vec![
            by_volume("spring", &[(march(1), 6.0), (march(2), 6.0)]),
            by_volume("summer", &[(march(5), 6.0), (march(6), 6.0)]),
        ]
    };
    let alone = needed(crops());
    let dates: Vec<Date> = alone.days.iter().map(|day| day.date).collect();
    assert_eq!(dates, (1..=6).map(march).collect::<Vec<_>>());
    for day in &alone.days {
        let empty = [march(3), march(4)].contains(&day.date);
        assert_eq!(day.flow.value == 0.0, empty, "{}", day.date);
        let line = (!empty).then_some(Line::Turnover);
        assert_eq!(day.governing, line, "{}", day.date);
    }
    let mut all = crops();
    all.push(by_volume("steady", &[]));
    let between = needed(all).days[2];
    assert!((between.flow.get::<liter_per_minute>() / 10.0 - 1.0).abs() < 1e-12);
}

/// Days on which the peaks of two tanks do not meet need less than the two peaks.
#[test]
fn peaks_on_two_days_do_not_add_up() {
    let need = needed(vec![
        by_volume("falls", &[(march(1), 18.0), (march(5), 6.0)]),
        by_volume("rises", &[(march(1), 6.0), (march(5), 18.0)]),
    ]);
    // 18 + 6 m³ on every day, by the straight lines between the rows; the peaks are 18 m³ each.
    assert_eq!(need.days.len(), 5);
    for day in &need.days {
        assert!((day.flow.get::<liter_per_minute>() / 40.0 - 1.0).abs() < 1e-12);
    }
    let peaks = need.tanks.iter().map(|tank| tank.need.flow());
    let sum: f64 = peaks.map(|flow| flow.get::<liter_per_minute>()).sum();
    assert!((sum / 60.0 - 1.0).abs() < 1e-12);
}

#[test]
fn no_tank_needs_nothing() {
    let none = needed(Vec::new());
    assert_eq!(none.flow().value, 0.0);
    assert!(none.days.is_empty() && none.peak().is_none());
}

/// The gases are those of each tank's own water.
#[test]
fn each_tank_has_its_own_water() {
    let steady = |celsius_value: f64| {
        let mut tank: Tank = tank(Limits::WARM_WATER);
        tank.water.temperature = celsius(celsius_value);
        RoomTank {
            name: format!("{celsius_value}"),
            tank,
            cycle: None,
        }
    };
    let need = Room {
        tanks: vec![steady(18.0), steady(28.0)],
    }
    .need(Gases::of)
    .unwrap();
    // Warm water holds less oxygen: more of it must flow.
    assert!(need.tanks[1].need.flow() > need.tanks[0].need.flow());
}

/// Of tanks that stand empty on some days, the weeks are the room's: nothing before their first day and after their last. At
/// 1/0.6 L/min a cubic metre, 6 m³ take 10 L/min.
#[test]
fn weeks_by_tank_are_the_weeks_of_the_room() {
    let need = needed(vec![
        by_volume("long", &[(march(1), 6.0), (march(16), 6.0)]),
        by_volume("late", &[(march(9), 12.0), (march(10), 12.0)]),
        by_volume("steady", &[]),
    ]);
    let weeks = need.weeks();
    let by_tank = need.weeks_by_tank();
    let peaks = |tank: usize| -> Vec<String> {
        let weeks = by_tank[tank].iter();
        weeks
            .map(|week| format!("{:.3}", week.peak.get::<liter_per_minute>()))
            .collect()
    };
    assert_eq!(peaks(0), ["10.000", "10.000", "10.000"]);
    assert_eq!(peaks(1), ["0.000", "20.000", "0.000"]);
    assert_eq!(peaks(2), ["10.000", "10.000", "10.000"]);
    // Two days of seven at 20 L/min.
    let mean = by_tank[1][1].mean.get::<liter_per_minute>();
    assert!((mean - 40.0 / 7.0).abs() < 1e-9);
    assert_eq!(by_tank[1][0].governing, None);
    for (n, week) in weeks.iter().enumerate() {
        let sum: f64 = by_tank.iter().map(|tank| tank[n].mean.value).sum();
        assert!((sum / week.mean.value - 1.0).abs() < 1e-12);
        assert!(by_tank.iter().all(|tank| tank[n].first == week.first));
    }
}
