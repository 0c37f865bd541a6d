//! Rows of tests/data/aquaculture_checks.csv, to their eight significant digits unless said otherwise.
//!
//! The inputs are the file's words; where a row's input is another row's result, it is computed, not read.
//! Rows on stripping take the gas constant as 0.082057 L atm/(mol K): half a unit of its last digit,
//! 6.1e-6 of it, is their tolerance.

use risewater::AirFlow;
use risewater::gas::aeration::{
    AeratorPower, Field, THETA, aeration_efficiency, coefficient_at_20_c, field_transfer_rate,
    standard_transfer_efficiency, standard_transfer_rate,
};
use risewater::gas::{
    AmmoniaConditions, Gas, Solubility, ammonia_fraction, saturation, total_ammonia_limit,
    transfer_coefficient_ratio,
};
use risewater::units::{
    MassRate, Power, Volume, cubic_meter, kilogram_per_hour, kilogram_per_kilowatt_hour,
    milligram_per_liter, per_hour, ratio, watt,
};

use crate::table::rows;
use crate::{
    Report, atmospheres, celsius, digits, fresh, hourly, kg_per_h, mg_per_l, practical, share,
};

const CONSTANT: f64 = 0.5e-6 / 0.082_057;

/// SOTR of row M019.
fn standard_rate() -> MassRate {
    standard_transfer_rate(
        Volume::new::<cubic_meter>(2.0),
        coefficient_at_20_c(hourly(6.0), celsius(24.0), THETA).unwrap(),
        saturation(Gas::Oxygen, &fresh(20.0, 1.0)).unwrap(),
    )
    .unwrap()
}

fn at_site(p_atm: f64) -> f64 {
    let field =
        Field::clean(celsius(28.0), atmospheres(p_atm), mg_per_l(5.0)).with_alpha(share(0.9));
    let rate = field_transfer_rate(standard_rate(), &field).unwrap();
    rate.get::<kilogram_per_hour>()
}

#[test]
fn rows_on_gas() {
    let pond = AmmoniaConditions {
        temperature: celsius(25.0),
        salinity: practical(0.0),
        ph: share(7.5),
    };
    let water = Solubility::new(celsius(20.0), practical(0.0)).unwrap();
    let removal = |gas_to_liquid: f64| {
        let share = water.single_stage_removal(Gas::CarbonDioxide, share(gas_to_liquid));
        share.unwrap().get::<ratio>()
    };
    let efficiency = aeration_efficiency(
        standard_rate(),
        AeratorPower::Wire(Power::new::<watt>(100.0)),
    );
    // 5 m³/h of 1.2041 kg/m³
    let air = AirFlow::from_dry_mass(kg_per_h(5.0 * 1.2041)).unwrap();
    let got = [
        ("M012", ammonia_fraction(&pond).unwrap().get::<ratio>()),
        (
            "M013",
            total_ammonia_limit(mg_per_l(0.025), &pond)
                .unwrap()
                .get::<milligram_per_liter>(),
        ),
        (
            "M018",
            coefficient_at_20_c(hourly(6.0), celsius(24.0), THETA)
                .unwrap()
                .get::<per_hour>(),
        ),
        ("M019", standard_rate().get::<kilogram_per_hour>()),
        (
            "M020",
            efficiency
                .unwrap()
                .value
                .get::<kilogram_per_kilowatt_hour>(),
        ),
        (
            "M021",
            standard_transfer_efficiency(standard_rate(), air)
                .unwrap()
                .get::<ratio>(),
        ),
        ("M022", at_site(1.0)),
        // 1500 m: 84 556 Pa
        ("M023", at_site(84_556.0 / 101_325.0)),
        (
            "M027",
            transfer_coefficient_ratio(Gas::CarbonDioxide, share(0.5))
                .unwrap()
                .get::<ratio>(),
        ),
        ("M028", water.ostwald(Gas::CarbonDioxide).get::<ratio>()),
        ("M029", removal(0.5)),
        ("M030", removal(1.0)),
        ("M031", removal(2.0)),
        ("M032", removal(5.0)),
        ("M033", removal(10.0)),
    ];
    let rows = rows("aquaculture_checks.csv");
    let mut report = Report::default();
    for (id, value) in got {
        let row = rows.iter().find(|row| row.text("id") == id).unwrap();
        let expected = row.number("value");
        let tolerance = if ("M028"..="M033").contains(&id) {
            digits(expected, 8) + CONSTANT * expected
        } else {
            digits(expected, 8)
        };
        report.row(id, expected, value, tolerance);
    }
    report.done("aquaculture_checks", 15);
}
