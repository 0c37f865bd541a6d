//! A duty without a table: only what follows from what is given.

use crate::{air, kpa};
use approx::assert_relative_eq;
use risewater::air::AirState;
use risewater::supply::blower::{Efficiency, Requirement, Specification};
use risewater::units::{Ratio, cubic_meter_per_hour, degree_celsius, kilopascal, ratio, watt};

fn specification(efficiency: Efficiency) -> Specification {
    let duty = Requirement {
        air: air(100.0, &AirState::NORMAL_DIN_1343),
        intake: AirState::DRY_20_C,
        pressure_rise: kpa(20.0),
        margin: Ratio::new::<ratio>(0.0),
        efficiency,
    };
    duty.specification().unwrap()
}

fn part(value: f64) -> Ratio {
    Ratio::new::<ratio>(value)
}

#[test]
fn flows_at_the_named_states() {
    let asked = specification(Efficiency::Unknown);
    let flow = |flow: risewater::units::VolumeRate| flow.get::<cubic_meter_per_hour>();
    assert_relative_eq!(flow(asked.normal_flow), 100.0, max_relative = 1e-12);
    // S041: 0.029811662 m³/s
    assert_relative_eq!(
        flow(asked.inlet_flow),
        0.029_811_662 * 3600.0,
        max_relative = 2e-8
    );
    let iso = 100.0 * 293.15 / 273.15 * 1.013_25;
    assert_relative_eq!(flow(asked.iso_1217_flow), iso, max_relative = 1e-12);
    // 36 % of the 2.339 kPa of saturation at 20 °C are vapour; 14.696 psi = 101.3253 kPa.
    let asme = 100.0 * 293.15 / 273.15 * 101.325 / (101.3253 - 0.36 * 2.339);
    assert_relative_eq!(flow(asked.us_standard_flow), asme, max_relative = 1e-5);
}

#[test]
fn powers_only_from_efficiencies_that_were_given() {
    // S042 and S047: 558.38851 W of air power, 1116.777 W at one half, 324.11603 K.
    let unknown = specification(Efficiency::Unknown);
    assert_eq!((unknown.shaft_power, unknown.wire_power), (None, None));
    assert_eq!(unknown.discharge_temperature, None);

    let shaft = specification(Efficiency::Shaft(part(0.5)));
    let watts = |power: Option<risewater::units::Power>| power.unwrap().get::<watt>();
    assert_relative_eq!(watts(shaft.shaft_power), 1116.777, max_relative = 1e-7);
    assert_eq!(shaft.wire_power, None);
    let hot = shaft.discharge_temperature.unwrap().get::<degree_celsius>();
    assert_relative_eq!(hot, 324.116_03 - 273.15, max_relative = 1e-6);

    let both = specification(Efficiency::ShaftAndMotor {
        shaft: part(0.5),
        motor: part(0.8),
    });
    assert_eq!(both.shaft_power, shaft.shaft_power);
    assert_relative_eq!(watts(both.wire_power), 1116.777 / 0.8, max_relative = 1e-7);
    assert_eq!(both.discharge_temperature, shaft.discharge_temperature);

    let wire = specification(Efficiency::WireToAir(part(0.4)));
    assert_eq!(wire.shaft_power, None);
    assert_relative_eq!(
        watts(wire.wire_power),
        watts(both.wire_power),
        max_relative = 1e-12
    );
    assert!(wire.discharge_temperature > both.discharge_temperature);
}

#[test]
fn the_margin_is_on_the_pressure() {
    let duty = Requirement {
        air: air(100.0, &AirState::NORMAL_DIN_1343),
        intake: AirState::DRY_20_C,
        pressure_rise: kpa(18.0),
        margin: part(0.1),
        efficiency: Efficiency::Unknown,
    };
    let asked = duty.specification().unwrap();
    assert_relative_eq!(
        asked.pressure_rise.get::<kilopascal>(),
        19.8,
        max_relative = 1e-12
    );
}
