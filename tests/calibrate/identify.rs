//! What the points cannot tell must be refused or said.

use risewater::error::Input;
use risewater::trial::{Calibration, FitPoint, Parameter, Uncertain};
use risewater::units::{Ratio, ratio};
use risewater::{Error, Model, RiserSpec};

use crate::{read, rig, terms};

fn exact(settings: &[(RiserSpec, risewater::AirFlow)]) -> Vec<FitPoint> {
    let point =
        |(spec, air): &(RiserSpec, _)| read((*spec, *air), (*spec, Model::default()), [0.0, 0.0]);
    settings.iter().map(point).collect()
}

const THREE: [Parameter; 3] = [
    Parameter::EntranceLoss,
    Parameter::DistributionFactor,
    Parameter::DriftFactor,
];

#[test]
fn one_air_flow_gives_no_more_than_one_parameter() {
    for depths in [&[1.0][..], &[0.8, 1.0, 1.2]] {
        // Six repeats at each depth.
        let points = exact(&rig(depths, &[60.0; 6]));
        for parameters in [&THREE[..], &THREE[1..]] {
            let refused = Calibration::of(&points, Model::default(), parameters, &terms());
            assert_eq!(
                refused.unwrap_err(),
                Error::TooFewAirFlows {
                    parameters: parameters.len(),
                    air_flows: 1
                }
            );
        }
        assert!(Calibration::of(&points, Model::default(), &THREE[2..], &terms()).is_ok());
    }
}

#[test]
fn air_flows_side_by_side_give_no_confident_answer() {
    // Four air flows within a tenth: each parameter does the same to all of them.
    let points = exact(&rig(&[1.0], &[60.0, 62.0, 64.0, 66.0, 60.0, 66.0]));
    let fit = Calibration::of(&points, Model::default(), &THREE, &terms());
    assert!(matches!(fit, Err(Error::Undetermined { .. })), "{fit:?}");
}

#[test]
fn too_few_points_are_refused() {
    let points = exact(&rig(&[1.0], &[40.0, 60.0, 80.0, 100.0]));
    let refused = Calibration::of(&points, Model::default(), &THREE, &terms());
    assert_eq!(
        refused.unwrap_err(),
        Error::TooFewPoints {
            parameters: 3,
            points: 4,
            needed: 5
        }
    );
    let none = Calibration::of(&[], Model::default(), &THREE, &terms());
    assert!(
        matches!(none, Err(Error::TooFewPoints { points: 0, .. })),
        "{none:?}"
    );
}

#[test]
fn numbers_that_cannot_be_are_refused() {
    let mut points = exact(&rig(&[1.0], &[40.0, 60.0, 80.0, 100.0]));
    let flow = points[1].water_flow;
    points[1].water_flow = Uncertain::new(flow.value * f64::NAN, flow.standard);
    let refused = Calibration::of(&points, Model::default(), &THREE[2..], &terms());
    assert!(
        matches!(refused, Err(Error::NotFinite { .. })),
        "{refused:?}"
    );
    points[1].water_flow = Uncertain::new(flow.value * 0.0, flow.standard);
    let refused = Calibration::of(&points, Model::default(), &THREE[2..], &terms());
    let of_flow = |error: &Error| matches!(error, Error::OutOfRange { what, .. } if *what == Input::WaterFlow);
    assert!(refused.as_ref().is_err_and(of_flow), "{refused:?}");
    points[1].water_flow = flow;
    let mut none = terms();
    none.scatter = Ratio::new::<ratio>(0.0);
    let refused = Calibration::of(&points, Model::default(), &THREE[2..], &none);
    let of_scatter = |error: &Error| matches!(error, Error::OutOfRange { what, .. } if *what == Input::ModelScatter);
    assert!(refused.as_ref().is_err_and(of_scatter), "{refused:?}");
}

/// A rig that pumps far more than any entrance could allow: the loss goes to nought, and is said to.
#[test]
fn a_parameter_at_its_bound_is_said_to_be() {
    let points: Vec<FitPoint> = rig(&[1.0], &[30.0, 50.0, 80.0, 120.0])
        .into_iter()
        .map(|(spec, air)| read((spec, air), (spec, Model::default()), [0.5, 0.0]))
        .collect();
    let fit = Calibration::of(
        &points,
        Model::default(),
        &[Parameter::EntranceLoss],
        &terms(),
    );
    let fit = fit.unwrap();
    assert_eq!(fit.cautions[0].code(), "parameter_at_bound");
    assert_eq!(fit.fitted[0].value.get::<ratio>(), 0.0);
}

#[test]
fn other_closures_are_refused() {
    let points = exact(&rig(&[1.0], &[30.0, 50.0, 80.0, 120.0]));
    let fit = Calibration::of(&points, Model::default(), &THREE[2..], &terms()).unwrap();
    let other = Model::new(
        risewater::Slip::Nicklin1962,
        risewater::Friction::Homogeneous,
    );
    assert!(matches!(
        fit.apply(points[0].spec, other),
        Err(Error::OtherClosures { .. })
    ));
}
