//! Coverage: how often the 95 % interval holds the truth, over a hundred made-up trials.

use rand::{SeedableRng, rngs::StdRng};
use rand_distr::{Distribution, Normal};
use risewater::trial::{Calibration, Parameter};
use risewater::units::{Ratio, ratio};
use risewater::{Model, RiserSpec};

use crate::{AIR, WATER, read, rig, terms};

const SEEDS: u64 = 100;
/// Of a hundred intervals of 95 %, with room for chance.
const HELD: std::ops::RangeInclusive<usize> = 90..=99;
/// rms of (estimate − truth) over its standard uncertainty: 1, give or take 0.07 for a hundred draws, a
/// little less since 5 fits in 100 are widened. This keeps intervals from being wide for safety's sake.
const SCATTER: std::ops::RangeInclusive<f64> = 0.78..=1.12;

fn truth_of(parameter: Parameter) -> f64 {
    match parameter {
        Parameter::EntranceLoss => 1.2,
        Parameter::DevelopingLength => 5.0,
        Parameter::DistributionFactor => 0.8,
        _ => 1.3,
    }
}

fn truth(spec: RiserSpec, parameters: &[Parameter]) -> (RiserSpec, Model) {
    let (mut spec, mut model) = (spec, Model::default());
    for parameter in parameters {
        let value = Ratio::new::<ratio>(truth_of(*parameter));
        match parameter {
            Parameter::EntranceLoss => spec.entrance_loss = value,
            Parameter::DevelopingLength => model.developing_length = value.into(),
            Parameter::DistributionFactor => model.distribution_factor = value,
            _ => model.drift_factor = value,
        }
    }
    (spec, model)
}

#[test]
fn the_intervals_hold_the_truth_as_often_as_they_say() {
    use Parameter::{DevelopingLength, DistributionFactor, DriftFactor, EntranceLoss};
    let sets: [&[Parameter]; 5] = [
        &[EntranceLoss],
        &[DevelopingLength],
        &[DistributionFactor],
        &[DriftFactor],
        &[EntranceLoss, DriftFactor],
    ];
    let settings = rig(
        &[1.1, 1.2, 1.3],
        &[35.0, 50.0, 70.0, 100.0, 140.0, 190.0, 250.0, 330.0],
    );
    let scatter = terms().scatter.get::<ratio>();
    let mut failures = Vec::new();
    for parameters in sets {
        let mut held = vec![0; parameters.len()];
        let mut width = vec![0.0; parameters.len()];
        let mut squares = vec![0.0; parameters.len()];
        for seed in 1..=SEEDS {
            let mut rng = StdRng::seed_from_u64(seed);
            // What the fit is told: reading errors of water and air, and the scatter of the model.
            let water = Normal::new(0.0, WATER.hypot(scatter)).unwrap();
            let air = Normal::new(0.0, AIR).unwrap();
            let points: Vec<_> = settings
                .iter()
                .map(|(spec, flow)| {
                    let errors = [water.sample(&mut rng), air.sample(&mut rng)];
                    read((*spec, *flow), truth(*spec, parameters), errors)
                })
                .collect();
            let fit = Calibration::of(&points, Model::default(), parameters, &terms()).unwrap();
            for (n, one) in fit.fitted.iter().enumerate() {
                let (low, high) = (one.low.get::<ratio>(), one.high.get::<ratio>());
                held[n] += usize::from((low..=high).contains(&truth_of(one.parameter)));
                let off = one.value.get::<ratio>() - truth_of(one.parameter);
                squares[n] += (off / one.standard.get::<ratio>()).powi(2) / SEEDS as f64;
                width[n] += (high - low) / SEEDS as f64;
            }
        }
        for (n, parameter) in parameters.iter().enumerate() {
            println!(
                "{parameter} of {}: truth {} held in {} of {SEEDS}, mean width {:.3}, rms of the standardized error {:.2}",
                parameters.len(),
                truth_of(*parameter),
                held[n],
                width[n],
                squares[n].sqrt()
            );
            if !HELD.contains(&held[n]) || !SCATTER.contains(&squares[n].sqrt()) {
                failures.push(format!("{parameter} of {parameters:?}: {}", held[n]));
            }
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}
