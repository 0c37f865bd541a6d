//! Blowers: compression against reference rows, laws of tables at sites and speeds, refusals.

mod laws;
mod refusals;
mod rows;
#[cfg(feature = "files")]
mod sheet;
mod specification;
#[path = "../table/mod.rs"]
mod table;

use risewater::air::{AirFlow, AirState};
use risewater::supply::blower::{Blower, Machine, PowerKind, RatedPoint, Rating};
use risewater::units::{
    AbsolutePressure, Power, Pressure, ThermodynamicTemperature, VolumeRate, cubic_meter_per_hour,
    degree_celsius, kilopascal, watt,
};

fn kpa(value: f64) -> Pressure {
    Pressure::new::<kilopascal>(value)
}

fn m3_per_h(value: f64) -> VolumeRate {
    VolumeRate::new::<cubic_meter_per_hour>(value)
}

/// Dry air at an intake, degC and kPa.
fn intake(t_c: f64, p_kpa: f64) -> AirState {
    AirState::dry(
        ThermodynamicTemperature::new::<degree_celsius>(t_c),
        AbsolutePressure::new::<kilopascal>(p_kpa),
    )
}

/// A flow given as its volume at a state.
fn air(flow_m3_per_h: f64, state: &AirState) -> AirFlow {
    AirFlow::at(m3_per_h(flow_m3_per_h), state).unwrap()
}

/// kPa, m³/h, W.
fn point(rise: f64, flow: f64, power: f64) -> RatedPoint {
    RatedPoint {
        pressure_rise: kpa(rise),
        inlet_flow: m3_per_h(flow),
        power: Some(Power::new::<watt>(power)),
    }
}

/// Invented: the points of the demo.
fn points() -> Vec<RatedPoint> {
    [
        (22.0, 0.0, 1150.0),
        (18.6, 30.0, 1010.0),
        (15.0, 60.0, 880.0),
        (11.0, 90.0, 760.0),
        (6.2, 120.0, 650.0),
        (0.0, 150.0, 560.0),
    ]
    .map(|(rise, flow, power)| point(rise, flow, power))
    .to_vec()
}

fn rating(points: Vec<RatedPoint>, machine: Machine) -> Rating {
    Rating {
        points,
        conditions: AirState::DRY_20_C,
        machine,
        power_kind: Some(PowerKind::Wire),
    }
}

fn blower(machine: Machine) -> Blower {
    Blower::new(rating(points(), machine)).unwrap()
}
