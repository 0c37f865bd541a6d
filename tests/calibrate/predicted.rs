//! What a calibration says of the rig itself and of a riser of full size.

use risewater::riser::Dimensions;
use risewater::spread::SpreadKind;
use risewater::trial::{Calibration, FitPoint, Parameter};
use risewater::units::{Length, meter, millimeter};
use risewater::{AirFlow, Caution, Model, RiserSpec, Spread};

use crate::{read, rig, site, terms};

/// Errors of some per cent on a rig whose model is right.
pub fn points() -> Vec<FitPoint> {
    let errors = [0.05, -0.04, 0.02, -0.06, 0.03, 0.01, -0.02, 0.04];
    rig(&[1.1, 1.2], &[60.0, 90.0, 130.0, 190.0])
        .into_iter()
        .zip(errors)
        .map(|((spec, air), e)| read((spec, air), (spec, Model::default()), [e, 0.0]))
        .collect()
}

pub fn fit() -> Calibration {
    Calibration::of(
        &points(),
        Model::default(),
        &[Parameter::DriftFactor],
        &terms(),
    )
    .unwrap()
}

#[test]
fn on_the_rig_there_is_an_interval() {
    let (points, fit) = (points(), fit());
    for point in &points {
        let riser = point.spec.build(&site(), Model::default()).unwrap();
        let found = Spread::calibrated(&riser, point.air, &fit).unwrap();
        assert_eq!(found.spread.kind, SpreadKind::Calibration { points: 8 });
        assert!(found.cautions.is_empty());
        assert!(found.spread.low < found.water_flow && found.water_flow < found.spread.high);
        // Residuals of some 4 % by 2.36 of Student's t with 7 degrees of freedom, and a little more.
        let half = (found.spread.high / found.water_flow).value.ln();
        assert!((0.08..0.2).contains(&half), "{half}");
        // A calibrated riser is not calibrated twice.
        let again = Spread::calibrated(&found.riser, point.air, &fit).unwrap();
        assert_eq!(
            (again.water_flow, again.spread),
            (found.water_flow, found.spread)
        );
    }
}

#[test]
fn full_size_is_a_scenario_with_its_cautions() {
    let (points, fit) = (points(), fit());
    let spec = RiserSpec::new(Dimensions {
        bore: Length::new::<millimeter>(150.0),
        submergence: Length::new::<meter>(1.9),
        lift: Length::new::<meter>(0.1),
    });
    let riser = spec.build(&site(), Model::default()).unwrap();
    // Nine times the area at the largest air velocity of the rig, and a tenth more.
    let air = AirFlow::from_dry_mass(points[3].air.dry_mass_rate() * 9.9).unwrap();
    let found = Spread::calibrated(&riser, air, &fit).unwrap();
    assert!(matches!(found.spread.kind, SpreadKind::Scenario { .. }));
    let scenario = Spread::scenario(&riser, air).unwrap();
    assert!(found.spread.low <= scenario.low && scenario.high <= found.spread.high);
    let small = Spread::calibrated(
        &points[3].spec.build(&site(), Model::default()).unwrap(),
        points[3].air,
        &fit,
    )
    .unwrap();
    let width = |s: &Spread| (s.high / s.low).value;
    assert!(width(&found.spread) > width(&small.spread));
    let what: Vec<&str> = found
        .cautions
        .iter()
        .map(|caution| match caution {
            Caution::BeyondCalibration { what, .. } => {
                assert_eq!(caution.code(), "beyond_calibration");
                *what
            }
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(
        what,
        ["bore", "length", "submergence ratio", "air velocity"]
    );
}

#[cfg(feature = "report")]
#[test]
fn the_report_holds_the_numbers() {
    use risewater::report::{UnitSystem, calibration_json, calibration_text};
    let fit = fit();
    let json = calibration_json(&fit);
    assert_eq!(json["schema"], "risewater.calibration/1");
    assert_eq!(json["points"], 8);
    assert_eq!(json["parameters"][0]["parameter"], "drift_factor");
    assert_eq!(json["parameters"][0]["value"], fit.fitted[0].value.value);
    assert_eq!(json["correlation"][0][0], 1.0);
    let text = calibration_text(&fit, UnitSystem::Metric);
    for part in [
        "drift_factor",
        "8 points",
        "left out",
        "bore 0.05000 to 0.05000 m",
    ] {
        assert!(text.contains(part), "{part} in\n{text}");
    }
}
