//! Size and reach of the model's error at a setting, estimated afresh from the published residuals.
//!
//! Each rig has a scatter of its own within its settings; points at which the default model lets nothing
//! flow are left out, since their logarithm is a convention. The likelihood is that of the Gaussian process
//! of the calibration; rigs count as independent, since five cannot tell how far errors reach in length
//! and bore.

use nalgebra::{DMatrix, DVector};
use risewater::Model;
use risewater::published::{LOWEST_RATIO, Rig};
use risewater::trial::FitTerms;

/// The settings of a rig: submergence ratio, number of points, mean error; and the scatter within.
struct Settings {
    ratios: Vec<f64>,
    counts: Vec<f64>,
    means: DVector<f64>,
    scatter: f64,
}

fn settings(rig: &Rig) -> Settings {
    let mut all: Vec<(f64, Vec<f64>)> = Vec::new();
    for residual in rig.residuals(Model::default()).unwrap() {
        if residual.ratio <= LOWEST_RATIO {
            continue;
        }
        let (s, e) = (residual.submergence_ratio, residual.logarithm());
        match all.iter_mut().find(|one| (one.0 - s).abs() < 0.005) {
            Some(one) => one.1.push(e),
            None => all.push((s, vec![e])),
        }
    }
    let mean = |errors: &[f64]| errors.iter().sum::<f64>() / errors.len() as f64;
    let within: f64 = all
        .iter()
        .flat_map(|(_, errors)| errors.iter().map(|e| (e - mean(errors)).powi(2)))
        .sum();
    let points: usize = all.iter().map(|one| one.1.len()).sum();
    Settings {
        ratios: all.iter().map(|one| one.0).collect(),
        counts: all.iter().map(|one| one.1.len() as f64).collect(),
        means: DVector::from_iterator(all.len(), all.iter().map(|one| mean(&one.1))),
        scatter: (within / (points - all.len()) as f64).sqrt(),
    }
}

/// Logarithm of the likelihood of a rig's settings, but for what does not hang on size and reach; with
/// the rig's mean free, that of what is left of it (restricted likelihood).
fn likelihood(rig: &Settings, size: f64, reach: f64, free_mean: bool) -> f64 {
    let m = rig.ratios.len();
    let v = DMatrix::from_fn(m, m, |i, j| {
        let k = (-(rig.ratios[i] - rig.ratios[j]).abs() / reach).exp();
        let own = rig.scatter.powi(2) / rig.counts[i];
        size.powi(2) * k + if i == j { own } else { 0.0 }
    });
    let root = v.cholesky().unwrap();
    let mut log = -root.l().diagonal().iter().map(|x| x.ln()).sum::<f64>();
    let mut y = rig.means.clone();
    if free_mean {
        let ones = DVector::from_element(m, 1.0);
        let w = root.solve(&ones);
        let information = w.sum();
        y -= ones * (w.dot(&y) / information);
        log -= 0.5 * information.ln();
    }
    log - 0.5 * y.dot(&root.solve(&y))
}

/// The likeliest size for a reach, and the likelihood.
fn likeliest(rigs: &[&Settings], reach: f64, free_mean: bool) -> (f64, f64) {
    (0..190)
        .map(|n| 0.02 * 1.02_f64.powi(n))
        .map(|size| {
            let all = rigs
                .iter()
                .map(|rig| likelihood(rig, size, reach, free_mean));
            (size, all.sum::<f64>())
        })
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap()
}

fn without(all: &[Settings], left_out: usize) -> Vec<&Settings> {
    let kept = all.iter().enumerate().filter(|(n, _)| *n != left_out);
    kept.map(|(_, rig)| rig).collect()
}

#[test]
fn the_size_is_within_what_leaving_out_a_rig_gives() {
    let all: Vec<Settings> = Rig::all().iter().map(settings).collect();
    let reach = FitTerms::DEFAULT_REACH;
    let (size, _) = likeliest(&all.iter().collect::<Vec<_>>(), reach, false);
    let one_out: Vec<f64> = (0..all.len())
        .map(|n| likeliest(&without(&all, n), reach, false).0)
        .collect();
    println!("size with a reach of {reach}: {size:.3}, without each rig {one_out:.3?}");
    for (rig, found) in Rig::all().iter().zip(&all) {
        println!("{}: scatter within settings {:.3}", rig.name, found.scatter);
    }
    let least = one_out.iter().copied().fold(f64::INFINITY, f64::min);
    let most = one_out.iter().copied().fold(0.0, f64::max);
    assert!((least..=most).contains(&FitTerms::DEFAULT_SHARED));
    // What the documentation of the constants says.
    assert_eq!(
        [size, least, most].map(|x| format!("{:.0}", 100.0 * x)),
        ["14", "7", "16"]
    );
}

/// The reach is not determined: with each rig's mean free, that of the code and all longer ones
/// are within the 95 % interval of the likelihood ratio (1.92) of the best; without, longer ones are likelier.
#[test]
fn the_reach_is_hardly_told_by_the_rigs() {
    let all: Vec<Settings> = Rig::all().iter().map(settings).collect();
    let reaches: Vec<f64> = (0..26).map(|n| 0.05 * 1.26_f64.powi(n)).collect();
    for left_out in 0..=all.len() {
        let rigs = without(&all, left_out);
        for free_mean in [true, false] {
            let best = reaches
                .iter()
                .map(|reach| (*reach, likeliest(&rigs, *reach, free_mean)))
                .max_by(|a, b| a.1.1.total_cmp(&b.1.1))
                .unwrap();
            let (size, here) = likeliest(&rigs, FitTerms::DEFAULT_REACH, free_mean);
            println!(
                "without rig {left_out}, mean free {free_mean}: best reach {:.2} with size {:.3}; reach {} with size {size:.3} falls short by {:.2}",
                best.0,
                best.1.0,
                FitTerms::DEFAULT_REACH,
                best.1.1 - here
            );
            if free_mean {
                assert!(best.1.1 - here < 1.92);
                for reach in &reaches {
                    let (_, other) = likeliest(&rigs, *reach, true);
                    assert!(*reach < FitTerms::DEFAULT_REACH || best.1.1 - other < 1.92);
                }
            } else {
                assert!(best.0 > FitTerms::DEFAULT_REACH);
            }
        }
    }
}
