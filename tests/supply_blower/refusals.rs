//! Tables that cannot be, and duties outside them: which error, and its text.

use crate::{air, blower, intake, kpa, point, points, rating};
use risewater::air::{AirFlow, AirState};
use risewater::error::{BlowerError, Error, Input};
use risewater::supply::Compression;
use risewater::supply::blower::{Bank, Blower, Efficiency, Machine, RatedPoint, Requirement};
use risewater::units::{Ratio, ratio};

fn refused(points: Vec<RatedPoint>) -> BlowerError {
    match Blower::new(rating(points, Machine::Dynamic)) {
        Err(Error::Blower(error)) => error,
        other => panic!("{other:?}"),
    }
}

/// The demo's points with one replaced.
fn with(at: usize, other: RatedPoint) -> Vec<RatedPoint> {
    let mut points = points();
    points[at - 1] = other;
    points
}

#[test]
fn tables_that_cannot_be() {
    let mut without = points();
    without[3].power = None;
    for (points, text) in [
        (
            Vec::new(),
            "a table of 0 point(s) is no curve: at least 2 are needed",
        ),
        (
            vec![point(1.0, 1.0, 1.0)],
            "a table of 1 point(s) is no curve: at least 2 are needed",
        ),
        (
            with(3, point(18.6, 60.0, 1.0)),
            "point 3: the pressure rise must fall as the flow rises, and 18.6000 kPa is not below the 18.6000 kPa of point 2, where the flow is smaller",
        ),
        (
            with(3, point(19.0, 60.0, 1.0)),
            "point 3: the pressure rise must fall as the flow rises, and 19.0000 kPa is not below the 18.6000 kPa of point 2, where the flow is smaller",
        ),
        (
            with(3, point(15.0, 30.0, 1.0)),
            "points 2 and 3 are at the same flow, 30.0000 m3/h",
        ),
        (
            with(2, point(-1.0, 30.0, 1.0)),
            "point 2: pressure rise of the blower is -1 kPa; it must lie in 0 to 1000 kPa",
        ),
        (
            with(2, point(18.0, -30.0, 1.0)),
            "point 2: volume flow at the blower's inlet is -30 m3/h; it must lie in 0 to 100000 m3/h",
        ),
        (
            with(2, point(18.0, 30.0, -1.0)),
            "point 2: power of the blower is -1 W; it must lie in 0 to 10000000 W",
        ),
        (
            with(6, point(f64::NAN, 150.0, 1.0)),
            "point 6: pressure rise of the blower is not a finite number",
        ),
        (
            with(6, point(0.0, f64::INFINITY, 1.0)),
            "point 6: volume flow at the blower's inlet is not a finite number",
        ),
        (
            with(6, point(0.0, 150.0, f64::NAN)),
            "point 6: power of the blower is not a finite number",
        ),
        (
            without,
            "point 4 has no power, though others have: give it for all points or for none",
        ),
        (
            vec![point(2.0, 0.0, 1.0), point(1.0, 0.0, 1.0)],
            "points 1 and 2 are at the same flow, 0.0000 m3/h",
        ),
    ] {
        assert_eq!(refused(points).to_string(), text);
    }
    let mut unsaid = rating(points(), Machine::Dynamic);
    unsaid.power_kind = None;
    let error = Blower::new(unsaid).unwrap_err();
    assert_eq!(error, Error::Blower(BlowerError::MissingPowerKind));
}

#[test]
fn points_in_any_order_and_without_power() {
    let mut turned = points();
    turned.reverse();
    let at = |points| {
        let blower = Blower::new(rating(points, Machine::Dynamic)).unwrap();
        blower.at(&AirState::DRY_20_C).unwrap()
    };
    assert_eq!(at(turned), at(points()));

    let bare: Vec<_> = points()
        .into_iter()
        .map(|point| RatedPoint {
            power: None,
            ..point
        })
        .collect();
    let curve = at(bare);
    assert_eq!(curve.power_kind(), None);
    assert_eq!(curve.power(air(60.0, &AirState::DRY_20_C)), Ok(None));
}

#[test]
fn nothing_beyond_the_table() {
    let state = AirState::DRY_20_C;
    let part = points()[1..5].to_vec();
    let curve = Blower::new(rating(part, Machine::Dynamic)).unwrap();
    let curve = curve.at(&state).unwrap();
    let text = |error: Error| error.to_string();
    assert_eq!(
        text(curve.rise(air(125.0, &state)).unwrap_err()),
        "a flow of 125.0000 m3/h at the intake is 5.0000 m3/h beyond the end of the table (120.0000 m3/h); nothing is known there"
    );
    assert_eq!(
        text(curve.power(air(20.0, &state)).unwrap_err()),
        "a flow of 20.0000 m3/h at the intake is 10.0000 m3/h below the table's first point (30.0000 m3/h); the table says nothing nearer to shut-off"
    );
    assert_eq!(
        text(curve.air_flow(kpa(20.0)).unwrap_err()),
        "a pressure rise of 20.0000 kPa is 1.4000 kPa above the highest of this blower's curve (18.6000 kPa)"
    );
    assert_eq!(
        text(curve.air_flow(kpa(5.0)).unwrap_err()),
        "a pressure rise of 5.0000 kPa is 1.2000 kPa below the lowest of the table (6.2000 kPa); nothing is known there"
    );
    // The ends themselves are on it, at any site.
    for state in [state, intake(-11.3, 73.1)] {
        let curve = blower(Machine::Dynamic).at(&state).unwrap();
        let ((first, last), (highest, lowest)) = (curve.flows(), curve.rises());
        assert_eq!(curve.rise(first), Ok(highest));
        assert_eq!(curve.rise(last), Ok(lowest));
        assert!(curve.air_flow(highest).is_ok() && curve.air_flow(lowest).is_ok());
    }
}

#[test]
fn speeds_out_of_reach() {
    let state = AirState::DRY_20_C;
    let curve = blower(Machine::Dynamic).at(&state).unwrap();
    // At 2 of the speed the machine gives 4 × 18.6 kPa at 2 × 30 m³/h.
    assert_eq!(
        curve
            .speed_for(air(60.0, &state), kpa(80.0))
            .unwrap_err()
            .to_string(),
        "no speed gives 80.0000 kPa at this flow: 0.0000 kPa at 0.4000 of the speed, 74.4000 kPa at 2.0000 of it, and the table goes no further"
    );
    let error = curve.speed_for(air(310.0, &state), kpa(1.0)).unwrap_err();
    assert!(
        matches!(error, Error::Blower(BlowerError::BeyondLastFlow { .. })),
        "{error}"
    );
    // The table's own points are at its own speed.
    for rated in points() {
        let air = AirFlow::at(rated.inlet_flow, &state).unwrap();
        let n = curve.speed_for(air, rated.pressure_rise).unwrap();
        assert!((n.get::<ratio>() - 1.0).abs() < 1e-9, "{n:?}");
    }
    let displacement = blower(Machine::PositiveDisplacement).at(&state).unwrap();
    let error = displacement
        .speed_for(air(1.0, &state), kpa(11.0))
        .unwrap_err();
    let Error::OutOfRange { what, .. } = error else {
        panic!("{error}");
    };
    assert_eq!(what, Input::SpeedRatio);
    // Shut-off at every speed: 0/0, not a number of times.
    assert!(displacement.speed_for(air(0.0, &state), kpa(22.0)).is_err());
    assert!(curve.speed_for(air(0.0, &state), kpa(22.0)).is_ok());
}

/// The input to blame, and a way for a number in.
type Door<'a> = (Input, Box<dyn Fn(f64) -> Result<(), Error> + 'a>);

#[test]
fn inputs_out_of_range_or_not_finite() {
    let state = AirState::DRY_20_C;
    let curve = blower(Machine::Dynamic).at(&state).unwrap();
    let some = air(10.0, &state);
    let compression = Compression::new(some, &state, kpa(10.0)).unwrap();
    let part = Ratio::new::<ratio>;
    let duty = |margin, efficiency| {
        Requirement {
            air: some,
            intake: state,
            pressure_rise: kpa(10.0),
            margin: part(margin),
            efficiency,
        }
        .specification()
        .map(|_| ())
    };
    let doors: Vec<Door> = vec![
        (
            Input::IntakeTemperature,
            Box::new(|x| Compression::new(some, &intake(x, 100.0), kpa(1.0)).map(|_| ())),
        ),
        (
            Input::IntakePressure,
            Box::new(|x| blower(Machine::Dynamic).at(&intake(20.0, x)).map(|_| ())),
        ),
        (
            Input::PressureRise,
            Box::new(|x| Compression::new(some, &state, kpa(x)).map(|_| ())),
        ),
        (
            Input::PressureRise,
            Box::new(|x| curve.air_flow(kpa(x)).map(|_| ())),
        ),
        (
            Input::PressureRise,
            Box::new(|x| curve.speed_for(some, kpa(x)).map(|_| ())),
        ),
        (
            Input::ShaftEfficiency,
            Box::new(|x| compression.shaft_power(part(x)).map(|_| ())),
        ),
        (
            Input::ShaftEfficiency,
            Box::new(|x| compression.discharge_temperature(part(x)).map(|_| ())),
        ),
        (
            Input::WireEfficiency,
            Box::new(|x| compression.wire_power(part(x)).map(|_| ())),
        ),
        (
            Input::MotorEfficiency,
            Box::new(|x| {
                duty(
                    0.0,
                    Efficiency::ShaftAndMotor {
                        shaft: part(0.5),
                        motor: part(x),
                    },
                )
            }),
        ),
        (
            Input::RiseMargin,
            Box::new(|x| duty(x, Efficiency::Unknown)),
        ),
        (
            Input::SpeedRatio,
            Box::new(|x| curve.at_speed(part(x)).map(|_| ())),
        ),
    ];
    for (expected, door) in doors {
        for x in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(door(x), Err(Error::NotFinite { what: expected }), "{x}");
        }
        for x in [-100.0, 1e6] {
            match door(x) {
                Err(Error::OutOfRange { what, .. }) => assert_eq!(what, expected, "{x}"),
                other => panic!("{expected} {x}: {other:?}"),
            }
        }
    }
}

#[test]
fn numbers_of_blowers_and_flows_in_all_that_cannot_be() {
    let curve = blower(Machine::Dynamic).at(&AirState::DRY_20_C).unwrap();
    for running in [0, 101] {
        let curve = curve.clone();
        let bank = Bank {
            curve,
            running,
            standby: 1,
        };
        let errors = [
            bank.together().map(|_| ()),
            bank.after_failure().map(|_| ()),
            bank.with_standby().map(|_| ()),
        ];
        for error in errors {
            let Err(Error::OutOfRange { what, .. }) = error else {
                panic!("{error:?}");
            };
            assert_eq!(what, Input::BlowerCount);
        }
    }
    // 100 of 27.8 m³/s each, at 1.79 kg/m³: five times AIR_FLOW.
    let vast = rating(
        vec![point(9.0, 0.0, 1.0), point(1.0, 100_000.0, 1.0)],
        Machine::Dynamic,
    );
    let vast = Blower::new(vast)
        .unwrap()
        .at(&intake(-40.0, 120.0))
        .unwrap();
    let Err(Error::OutOfRange { what, .. }) = vast.in_parallel(100) else {
        panic!("more than AIR_FLOW");
    };
    assert_eq!(what, Input::AirFlow);
}
