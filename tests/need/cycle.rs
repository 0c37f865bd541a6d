//! Cycles against sums by hand.

use risewater::Error;
use risewater::need::{
    Cycle, CycleNeed, CycleRow, Date, Entering, Feed, Gases, Installed, Limits, Line, Tank,
    TankWater,
};
use risewater::units::{MassRate, kilogram, kilogram_per_day, liter_per_minute};

use crate::gases::gases;
use crate::{celsius, flow, kg, liters, mg_l, part, share, tank};

fn date(month: i8, day: i8) -> Date {
    Date::constant(2026, month, day)
}

fn row(month: i8, day: i8, biomass: f64, feed: f64, temperature: f64) -> CycleRow {
    CycleRow::new(
        date(month, day),
        kg(biomass),
        share(feed),
        celsius(temperature),
    )
}

/// A tank whose only limit is total ammonia, 2 mg/L with half of it removed a pass: 0.092 × 0.42 × 1e6/1440
/// or 26.8333 L/min for each kilogram of feed a day.
fn ammonia_alone() -> Tank {
    let mut tank = tank(Limits {
        tan: Some(mg_l(2.0)),
        ..Limits::NONE
    });
    tank.inlet.tan = Entering::Treated(part(0.5));
    tank
}

const FOR_A_KILOGRAM: f64 = 0.092 * 0.42 * 1e6 / 1440.0;

fn needs(rows: &[CycleRow]) -> CycleNeed {
    Cycle::new(ammonia_alone(), rows)
        .unwrap()
        .needs(gases)
        .unwrap()
}

#[test]
fn between_rows_by_day() {
    // 100 kg at 3 % is 3 kg/d, 200 kg at 2 % is 4 kg/d; ten days apart, over the end of February.
    let needs = needs(&[row(2, 24, 100.0, 0.03, 20.0), row(3, 6, 200.0, 0.02, 24.0)]);
    assert_eq!(needs.days.len(), 11);
    for (n, day) in (0..).zip(&needs.days) {
        let part = f64::from(n) / 10.0;
        assert!((day.biomass.get::<kilogram>() - (100.0 + 100.0 * part)).abs() < 1e-9);
        // Mass and share each in a straight line: (100 + 100 p)(3 % − 1 % p).
        let feed = 3.0 + 2.0 * part - part * part;
        assert!((day.feed.get::<kilogram_per_day>() - feed).abs() < 1e-9);
        let flow = day.need.flow().get::<liter_per_minute>();
        assert!((flow - FOR_A_KILOGRAM * feed).abs() < 1e-9);
    }
    assert_eq!(needs.days[5].date, date(3, 1));
    assert_eq!(needs.peak().unwrap().date, date(3, 6));
    assert_eq!(needs.flows().count(), 11);
}

#[test]
fn a_mass_of_feed_goes_by_mass() {
    // 3 kg/d given as a mass, and 200 kg at 2 %, which is 4 kg/d.
    let mut first = row(2, 24, 100.0, 0.03, 20.0);
    first.feed = Feed::Mass(MassRate::new::<kilogram_per_day>(3.0));
    let needs = needs(&[first, row(3, 6, 200.0, 0.02, 24.0)]);
    assert_eq!(needs.days.len(), 11);
    for (n, day) in (0..).zip(&needs.days) {
        let feed = 3.0 + f64::from(n) / 10.0;
        assert!((day.feed.get::<kilogram_per_day>() - feed).abs() < 1e-9);
    }
}

#[test]
fn a_row_by_itself_is_a_tank() {
    let one = row(5, 1, 100.0, 0.02, 25.0);
    let needs = needs(&[one]);
    assert_eq!(needs.days.len(), 1);
    let by_itself = flow(&one.tank(&ammonia_alone()));
    let day = needs.days[0].need.flow().get::<liter_per_minute>();
    assert!((day / by_itself - 1.0).abs() < 1e-12);
}

#[test]
fn other_columns_go_between_rows_too() {
    let mut first = row(5, 1, 100.0, 0.02, 25.0);
    let mut last = row(5, 5, 100.0, 0.02, 25.0);
    first.protein = Some(part(0.5));
    last.protein = Some(part(0.3));
    let needs = needs(&[first, last]);
    assert_eq!(needs.days.len(), 5);
    for (day, protein) in needs.days.iter().zip([0.5, 0.45, 0.4, 0.35, 0.3]) {
        let tan = day.need.load.tan.get::<kilogram_per_day>();
        assert!((tan - 0.092 * 2.0 * protein).abs() < 1e-12);
    }
}

#[test]
fn weeks_and_lifts() {
    // 1 kg/d more each day: days 1 to 10 need 1 to 10 times the flow for a kilogram.
    let needs = needs(&[row(6, 1, 100.0, 0.01, 20.0), row(6, 10, 1000.0, 0.01, 20.0)]);
    let weeks = needs.weeks();
    let peaks: Vec<f64> = weeks
        .iter()
        .map(|week| week.peak.get::<liter_per_minute>() / FOR_A_KILOGRAM)
        .collect();
    assert!((peaks[0] - 7.0).abs() < 1e-9 && (peaks[1] - 10.0).abs() < 1e-9);
    let mean = weeks[0].mean.get::<liter_per_minute>() / FOR_A_KILOGRAM;
    assert!((mean - 4.0).abs() < 1e-9);
    assert_eq!((weeks[0].first, weeks[0].last), (date(6, 1), date(6, 7)));
    assert_eq!((weeks[1].first, weeks[1].last), (date(6, 8), date(6, 10)));
    assert_eq!(weeks[1].governing, Some(Line::Ammonia));

    // A lift for 2 kg/d: four for 7, five for 10, and not six.
    let one = liters(2.0 * FOR_A_KILOGRAM);
    let alike = Installed::Alike {
        flow: one,
        count: None,
    };
    let lifts = |installed: &Installed| -> Vec<usize> {
        let weeks = needs.lifts(installed).unwrap();
        weeks.iter().map(|week| week.running.lifts).collect()
    };
    assert_eq!(lifts(&alike), [4, 5]);
    // Three are installed: they run all, and 4 kg/d worth is missing.
    let three = Installed::Each(vec![one; 3]);
    assert_eq!(lifts(&three), [3, 3]);
    let short = needs.lifts(&three).unwrap()[1].running.missing;
    assert!((short.get::<liter_per_minute>() / FOR_A_KILOGRAM - 4.0).abs() < 1e-9);
}

#[test]
fn a_harvest_on_the_next_day() {
    let needs = needs(&[
        row(7, 1, 100.0, 0.02, 25.0),
        row(7, 14, 500.0, 0.02, 25.0),
        row(7, 15, 0.0, 0.0, 25.0),
        row(7, 20, 0.0, 0.0, 25.0),
    ]);
    assert_eq!(needs.peak().unwrap().date, date(7, 14));
    let after = needs.days.iter().filter(|day| day.date > date(7, 14));
    assert_eq!(after.clone().count(), 6);
    assert!(after.into_iter().all(|day| day.need.governing().is_none()));
}

fn refusal(rows: &[CycleRow]) -> String {
    Cycle::new(tank(Limits::WARM_WATER), rows)
        .unwrap_err()
        .to_string()
}

#[test]
fn dates_out_of_order() {
    let rows = [
        row(5, 1, 1.0, 0.02, 25.0),
        row(5, 9, 1.0, 0.02, 25.0),
        row(5, 8, 1.0, 0.02, 25.0),
    ];
    assert_eq!(
        refusal(&rows),
        "row 3: 2026-05-08 comes after 2026-05-09; each row must be later than the one before it"
    );
    assert_eq!(
        refusal(&[rows[0], rows[0]]),
        "row 2: 2026-05-01 is there already; each row must be later than the one before it"
    );
}

#[test]
fn a_row_at_fault_is_named() {
    let rows = [row(5, 1, 1.0, 0.02, 25.0), row(5, 9, -1.0, 0.02, 25.0)];
    assert!(refusal(&rows).starts_with("row 2: mass of the animals is -1 kg"));
    let far = CycleRow {
        date: Date::constant(9999, 12, 31),
        ..rows[0]
    };
    assert!(refusal(&[rows[0], far]).starts_with("length of the cycle is 2912"));
}

/// The last day that there is.
#[test]
fn the_end_of_dates() {
    let last = CycleRow {
        date: Date::MAX,
        ..row(5, 1, 1.0, 0.02, 25.0)
    };
    let before = CycleRow {
        date: Date::MAX.yesterday().unwrap(),
        ..last
    };
    assert_eq!(needs(&[before, last]).days.len(), 2);
}

/// What only the gases show is told by the row, or by the day between two rows.
#[test]
fn gases_at_fault() {
    let needs = |rows: &[CycleRow], gases: fn(&TankWater) -> Result<Gases, Error>| {
        let cycle = Cycle::new(tank(Limits::SALMONIDS), rows).unwrap();
        cycle.needs(gases).unwrap_err().to_string()
    };
    let rows = [row(5, 1, 1.0, 0.02, 8.0), row(5, 9, 1.0, 0.02, 36.0)];
    // 7 mg/L in water of 36 °C, which holds 6.8; on the way there 0.9 of saturation is below 7 already.
    let on_the_way = needs(&rows, gases);
    assert!(
        on_the_way.starts_with("2026-05-07, between two rows: no flow holds the least dissolved"),
        "{on_the_way}"
    );
    let at_last = needs(&rows[1..], gases);
    assert!(
        at_last.starts_with("row 1: the limit of dissolved oxygen (7 mg/L) must be less than"),
        "{at_last}"
    );
    let what = risewater::error::Input::Ph;
    let refused = needs(&rows, |_| {
        Err(Error::NotFinite {
            what: risewater::error::Input::Ph,
        })
    });
    assert_eq!(refused, format!("row 1: {}", Error::NotFinite { what }));
}
