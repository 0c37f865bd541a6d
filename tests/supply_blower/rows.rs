//! Compression against rows S036 to S060 of air_supply.csv.
//!
//! The other rows of that file are of lines and orifices. Flows there are by DIN 1343 with
//! R = 287.05287; a volume at one state from a volume at another does not depend on R.

use crate::table::{Row, rows};
use crate::{air, kpa};
use risewater::air::AirState;
use risewater::supply::Compression;
use risewater::units::{
    AbsolutePressure, Ratio, ThermodynamicTemperature, cubic_meter_per_second, kelvin, pascal,
    ratio, watt,
};

/// Number of an input such as `dp` in "Q=100 Nm3/h; dp=10000 Pa".
fn input(row: &Row, name: &str) -> f64 {
    let inputs = row.text("inputs");
    let found = inputs.split("; ").find_map(|part| {
        let (key, value) = part.split_once('=')?;
        (key == name).then(|| value.split(' ').next().unwrap().parse().unwrap())
    });
    found.unwrap_or_else(|| panic!("{name} in {inputs}"))
}

/// Half a unit of the eighth digit: rows are written with eight, trailing zeros dropped.
fn eighth_digit(value: f64) -> f64 {
    #[allow(clippy::cast_possible_truncation)]
    let magnitude = value.abs().log10().floor() as i32;
    0.500_000_5 * 10f64.powi(magnitude - 7)
}

#[test]
fn compression_rows() {
    let (mut count, mut bounds, mut failures) = (0, 0, Vec::new());
    for row in rows("air_supply.csv") {
        let id = row.text("id").to_owned();
        let number: u32 = id[1..].parse().unwrap();
        if !(36..=60).contains(&number) {
            continue;
        }
        let efficiency = Ratio::new::<ratio>(input(&row, "eta"));
        let intake = AirState::dry(
            ThermodynamicTemperature::new::<kelvin>(input(&row, "T1")),
            AbsolutePressure::new::<pascal>(input(&row, "p1")),
        );
        let flow = air(input(&row, "Q"), &AirState::NORMAL_DIN_1343);
        let rise = kpa(input(&row, "dp") / 1000.0);
        let compression = Compression::new(flow, &intake, rise).unwrap();
        let inlet = compression.inlet_flow();
        let over_efficiency = |w: f64| w / efficiency.get::<ratio>();
        let expected = row.number("value");
        let got = match row.text("quantity") {
            "inlet_volume_flow" => inlet.get::<cubic_meter_per_second>(),
            "power_adiabatic" => {
                let shaft = compression.shaft_power(efficiency).unwrap();
                assert_eq!(shaft, compression.wire_power(efficiency).unwrap());
                shaft.get::<watt>()
            }
            "power_isothermal" => over_efficiency(compression.isothermal_power().get::<watt>()),
            // Not in the library: Q1 Δp. Air that is compressed has less volume on the way, and at the
            // end still (p1/p2)^(1/γ) of it.
            "power_incompressible" => {
                let power = compression.shaft_power(efficiency).unwrap().get::<watt>();
                let end = 1.0 + input(&row, "dp") / input(&row, "p1");
                bounds += 1;
                if !(expected * end.powf(-1.0 / 1.4) < power && power < expected) {
                    failures.push(format!("{id}: {power} is not below {expected}"));
                }
                continue;
            }
            "discharge_temperature" => compression
                .discharge_temperature(efficiency)
                .unwrap()
                .get::<kelvin>(),
            other => panic!("{id}: {other}"),
        };
        count += 1;
        let good = (got - expected).abs() <= eighth_digit(expected);
        if !good {
            let relative = got / expected - 1.0;
            failures.push(format!(
                "{id}: expected {expected}, got {got}, relative error {relative:.2e}"
            ));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
    assert_eq!((count, bounds), (20, 5));
}
