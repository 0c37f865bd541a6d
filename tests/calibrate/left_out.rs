//! Leave-one-out error: by leverage, against fits that really leave a point out.

use risewater::Model;
use risewater::trial::{Calibration, FitPoint, Parameter};

use crate::{read, rig, terms};

/// Four points with errors of a few per cent. Equal weights, so the hand calculation is that of a
/// mean: see the formula in the test.
fn points() -> Vec<FitPoint> {
    rig(&[1.1], &[25.0, 45.0, 75.0, 110.0])
        .into_iter()
        .zip([0.03, -0.02, 0.01, -0.03])
        .map(|((spec, air), error)| read((spec, air), (spec, Model::default()), [error, 0.0]))
        .collect()
}

#[test]
fn the_leverage_does_what_leaving_out_does() {
    let points = points();
    let all = Calibration::of(
        &points,
        Model::default(),
        &[Parameter::DriftFactor],
        &terms(),
    )
    .unwrap();
    let mut sum = 0.0;
    for n in 0..points.len() {
        let mut others = points.clone();
        let left = others.remove(n);
        let fit = Calibration::of(
            &others,
            Model::default(),
            &[Parameter::DriftFactor],
            &terms(),
        )
        .unwrap();
        let (spec, model) = fit.apply(left.spec, Model::default()).unwrap();
        let flow = spec
            .build(&left.site, model)
            .unwrap()
            .operate(left.air)
            .unwrap()
            .water_flow();
        sum += (flow / left.water_flow.value).value.ln().powi(2);
    }
    let brute = (sum / points.len() as f64).sqrt();
    println!(
        "by leverage {:.5}, by fits {brute:.5}",
        all.errors.leave_one_out
    );
    // The leverage is that of the slopes at the solution: second-order in errors of 3 %.
    assert!((all.errors.leave_one_out / brute - 1.0).abs() < 0.03);
    assert!(all.errors.after < all.errors.leave_one_out);
}

/// Errors before are those of the points themselves: 3, 2, 1 and 3 %.
#[test]
fn errors_before_are_those_of_the_points() {
    let fit = Calibration::of(
        &points(),
        Model::default(),
        &[Parameter::DriftFactor],
        &terms(),
    )
    .unwrap();
    // √((9 + 4 + 1 + 9)/4) %
    assert!((fit.errors.before - 0.01 * 5.75_f64.sqrt()).abs() < 1e-7);
}
