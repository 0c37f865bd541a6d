//! The shape's error of the closure for low submergence ratios.

use risewater::riser::Riser;
use risewater::uncertainty::{Cause, Doubt, Points, ReadPoint};
use risewater::{Friction, Model, Slip};

use crate::{predicted, riser};

/// 3.75 m of 25.4 mm: 148 bores, so that nothing is stretched.
fn tall(submergence_ratio: f64, slip: Slip) -> Riser {
    let length = 3.75;
    riser(
        25.4,
        submergence_ratio * length,
        (1.0 - submergence_ratio) * length,
        1.5,
        0.5,
    )
    .with_model(Model::new(slip, Friction::Homogeneous))
    .unwrap()
}

fn causes(a: &Doubt, b: &Doubt) -> f64 {
    let part = |source: &Cause| source.prior().powi(2) * a.slope(*source) * b.slope(*source);
    Cause::ALL.iter().map(part).sum()
}

#[test]
fn it_grows_below_0_4_with_the_closure_made_for_it_alone() {
    let shape = |submergence_ratio, slip| {
        let (_, doubt) = predicted(&tall(submergence_ratio, slip), 100.0);
        let rest = 0.13 * 0.13 + causes(&doubt, &doubt);
        (doubt.standard().powi(2) - rest).sqrt()
    };
    for (submergence_ratio, expected) in [
        (0.6, 0.15),
        (0.4, 0.15),
        (0.35, 0.225),
        (0.32, 0.27),
        (0.3, 0.3),
        (0.22, 0.3),
    ] {
        let got = shape(submergence_ratio, Slip::SmithDrift);
        // The ratio is rounded to 1e-9.
        assert!((got - expected).abs() < 1e-8, "{submergence_ratio}: {got}");
    }
    for slip in [Slip::default(), Slip::Nicklin1962] {
        let got = shape(0.35, slip);
        assert!((got - 0.15).abs() < 1e-8, "{slip}: {got}");
    }
}

/// Between two depths the covariance has the product of both.
#[test]
fn two_depths_share_the_product() {
    let (noise, airs) = (0.02, [100.0, 80.0]);
    let (_, a) = predicted(&tall(0.4, Slip::SmithDrift), airs[0]);
    let (_, b) = predicted(&tall(0.3, Slip::SmithDrift), airs[1]);
    let reading = ReadPoint {
        doubt: a,
        off: 0.1,
        noise,
    };
    let told = Points::new(vec![reading], Vec::new()).unwrap().expected(&b);
    let alike = (-0.5 * (0.1_f64 / 0.12).powi(2)).exp()
        * (-0.5 * ((airs[0] / airs[1]).ln() / 0.57).powi(2)).exp();
    let between = 0.13 * 0.13 + 0.15 * 0.3 * alike + causes(&a, &b);
    let own = a.standard().powi(2) + noise * noise;
    assert!((told.mean - between / own * 0.1).abs() < 1e-9);
    let variance = b.standard().powi(2) - between * between / own;
    assert!((told.standard - variance.sqrt()).abs() < 1e-9);
}
