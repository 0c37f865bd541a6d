//! Reference rows, at the eight digits that they are written with (trailing zeros dropped).

use risewater::need::{
    Coefficients, Entering, EnteringOxygen, Limits, Line, Load, NeededFlow, Tank,
};
use risewater::units::{
    Frequency, MassConcentration, MassRate, Volume, VolumeRate, cubic_meter, gram_per_day,
    kilogram_per_day, liter_per_minute, milligram_per_liter, per_hour, ratio,
};

use crate::{liters, mg_l, need, part, table, tank};

/// One limit alone.
fn requirement(tank: &Tank, line: Line) -> NeededFlow {
    *need(tank).unwrap().line(line).unwrap()
}

fn oxygen(coefficients: Coefficients) -> f64 {
    let mut tank = tank(Limits {
        oxygen: Some(mg_l(5.0)),
        ..Limits::NONE
    });
    tank.coefficients = coefficients;
    tank.inlet.oxygen = EnteringOxygen::Saturated(part(1.0));
    requirement(&tank, Line::Oxygen)
        .flow
        .get::<liter_per_minute>()
}

fn carbon_dioxide(coefficients: Coefficients) -> f64 {
    let mut tank = tank(Limits {
        carbon_dioxide: Some(mg_l(20.0)),
        ..Limits::NONE
    });
    tank.coefficients = coefficients;
    tank.inlet.carbon_dioxide = Entering::Known(mg_l(1.0));
    requirement(&tank, Line::CarbonDioxide)
        .flow
        .get::<liter_per_minute>()
}

fn tan_with_half_removed() -> f64 {
    let mut tank = tank(Limits {
        tan: Some(mg_l(2.0)),
        ..Limits::NONE
    });
    tank.inlet.tan = Entering::Treated(part(0.5));
    requirement(&tank, Line::Ammonia)
        .flow
        .get::<liter_per_minute>()
}

fn tan_of_ammonia() -> f64 {
    let tank = tank(Limits {
        ammonia: Some(mg_l(0.025)),
        ..Limits::NONE
    });
    let balance = requirement(&tank, Line::Ammonia).balance.unwrap();
    balance.tank.get::<milligram_per_liter>()
}

fn turnovers() -> f64 {
    let mut tank = tank(Limits {
        turnover: Some(Frequency::new::<per_hour>(1.0)),
        ..Limits::NONE
    });
    tank.volume = Some(Volume::new::<cubic_meter>(5.0));
    let flow = requirement(&tank, Line::Turnover).flow;
    let turnover: Frequency = flow / Volume::new::<cubic_meter>(5.0);
    assert!(((flow / liters(83.333_333_3)).get::<ratio>() - 1.0).abs() < 1e-9);
    turnover.get::<per_hour>()
}

fn load(coefficients: Coefficients) -> Load {
    tank(Limits::NONE).animals.load(&coefficients).unwrap()
}

fn got(id: &str) -> Option<f64> {
    let (alone, both) = (Coefficients::ANIMALS, Coefficients::WITH_BACTERIA);
    let kg_d = |rate: MassRate| rate.get::<kilogram_per_day>();
    Some(match id {
        "M001" => kg_d(load(both).feed),
        "M002" => kg_d(load(both).tan),
        "M004" => kg_d(load(alone).oxygen),
        "M005" => kg_d(load(alone).carbon_dioxide),
        "M006" => oxygen(alone),
        "M007" => carbon_dioxide(alone),
        "M008" => kg_d(load(both).oxygen),
        "M009" => kg_d(load(both).carbon_dioxide),
        "M010" => oxygen(both),
        "M011" => carbon_dioxide(both),
        "M013" => tan_of_ammonia(),
        "M014" => tan_with_half_removed(),
        "M015" => kg_d(load(both).nitrification_oxygen()),
        "M016" => kg_d(load(both).nitrification_alkalinity()),
        "M017" => turnovers(),
        _ => return None,
    })
}

#[test]
fn all_rows() {
    let (mut failures, mut count) = (Vec::new(), 0);
    for row in table::rows("aquaculture_checks.csv") {
        let id = row.text("id");
        let Some(got) = got(id) else { continue };
        count += 1;
        let expected = row.number("value");
        // Half a unit of the eighth digit, and a little for the binary form.
        #[allow(clippy::cast_possible_truncation)]
        let digit = 10f64.powi(expected.abs().log10().floor() as i32 - 7);
        let good = (got - expected).abs() <= 0.500_000_5 * digit;
        if !good {
            let relative = got / expected - 1.0;
            failures.push(format!(
                "{id}: expected {expected}, got {got}, relative error {relative:.2e}"
            ));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
    assert_eq!(count, 15);
}

/// M003 is unrounded; the default is the same in three decimals.
#[test]
fn the_default_of_ammonia_is_the_row_rounded() {
    let rows = table::rows("aquaculture_checks.csv");
    let row = rows.iter().find(|row| row.text("id") == "M003").unwrap();
    let default = Coefficients::default().tan_per_protein.get::<ratio>();
    assert_eq!(format!("{:.3}", row.number("value")), default.to_string());
}

/// 1 mg/L × 1 L/min is 1.44 g/d, by 1440 minutes a day.
#[test]
fn a_milligram_a_liter_in_a_liter_a_minute() {
    let rate: MassRate = mg_l(1.0) * liters(1.0);
    assert!((rate.get::<gram_per_day>() - 1.44).abs() < 1e-12);
    let flow: VolumeRate =
        MassRate::new::<gram_per_day>(1.44) / MassConcentration::new::<milligram_per_liter>(1.0);
    assert!((flow.get::<liter_per_minute>() - 1.0).abs() < 1e-12);
}
