//! The air supply: a header of two hundred lifts, and the depth of least power.

use risewater::air::AirState;
use risewater::riser::{Dimensions, RiserSpec};
use risewater::sizing::Task;
use risewater::supply::blower::{Blower, Efficiency, Machine, RatedPoint, Rating, SiteCurve};
use risewater::supply::{AirLine, AirSide, Branch, Header, Manifold, Orifice};
use risewater::units::{
    Length, Pressure, Ratio, VolumeRate, cubic_meter_per_hour, kilopascal, meter, millimeter,
    percent, ratio,
};
use risewater::{Model, Riser};

/// Two hundred lifts of two kinds on one header, an orifice each.
pub fn two_hundred_lifts() -> Manifold {
    let mm = Length::new::<millimeter>;
    let m = Length::new::<meter>;
    let riser = |bore_mm: f64, submergence_m: f64| -> Riser {
        RiserSpec::new(Dimensions {
            bore: mm(bore_mm),
            submergence: m(submergence_m),
            lift: m(0.1),
        })
        .build(&super::fresh_water(), Model::default())
        .unwrap()
    };
    let kinds = [riser(77.9, 1.2), riser(52.5, 1.0)];
    let (mut branches, mut risers) = (Vec::new(), Vec::new());
    for n in 0..200 {
        let line = AirLine::new(mm(16.0), m(2.5)).with_loss(Ratio::new::<ratio>(3.0));
        let hole = Orifice::new(mm(4.0 + 0.1 * f64::from(n % 5)));
        let place = m(2.0 + 0.8 * f64::from(n));
        branches.push(Branch::new(format!("lift {n}"), place, line).with_orifice(hole));
        risers.push(kinds[usize::from(n % 2 == 1)]);
    }
    let header = Header::new(AirLine::new(mm(250.0), m(0.0)), branches)
        .with_tee_run_loss(Ratio::new::<ratio>(0.1));
    Manifold::new(header, risers).unwrap()
}

/// A made-up blower for them, and its main line.
pub fn blower() -> (SiteCurve, AirLine) {
    let point = |kpa: f64, m3_h: f64| RatedPoint {
        pressure_rise: Pressure::new::<kilopascal>(kpa),
        inlet_flow: VolumeRate::new::<cubic_meter_per_hour>(m3_h),
        power: None,
    };
    let blower = Blower::new(Rating {
        points: vec![
            point(30.0, 0.0),
            point(24.0, 1200.0),
            point(15.0, 2500.0),
            point(0.0, 4000.0),
        ],
        conditions: AirState::DRY_20_C,
        machine: Machine::Dynamic,
        power_kind: None,
    })
    .unwrap();
    let main = AirLine::new(Length::new::<millimeter>(250.0), Length::new::<meter>(20.0));
    (blower.at(&AirState::DRY_20_C).unwrap(), main)
}

/// The problem of [`sizing`](super::sizing), and what the depth of least power supposes.
pub fn optimum() -> (Task, AirSide) {
    let air_side = AirSide {
        intake: AirState::DRY_20_C,
        loss: Pressure::new::<kilopascal>(3.0),
        efficiency: Efficiency::WireToAir(Ratio::new::<percent>(35.0)),
    };
    (super::sizing(), air_side)
}
