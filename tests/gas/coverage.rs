//! Coverage: how often the 95 % interval holds the truth, over a hundred made-up tests.

use rand::{SeedableRng, rngs::StdRng};
use rand_distr::{Distribution, Normal};
use risewater::gas::aeration::{AerationTest, Reading, Reaeration};
use risewater::units::{
    MassConcentration, Ratio, Time, Volume, cubic_meter, kilogram_per_hour, milligram_per_liter,
    minute, per_hour, percent,
};

use crate::{fresh, mg_per_l};

const SEEDS: u64 = 100;
/// Of a hundred intervals of 95 %, with room for chance.
const HELD: std::ops::RangeInclusive<usize> = 90..=99;
/// rms of (estimate − truth) over its standard uncertainty, over √(ν/(ν − 2)) of Student's t: 1, give or
/// take 0.07 for a hundred draws and more for few readings; this keeps intervals from being wide for
/// safety's sake.
const SCATTER: std::ops::RangeInclusive<f64> = 0.8..=1.2;

/// C*, C₀ in mg/L and kLa in 1/h.
const TRUTH: (f64, f64, f64) = (8.9, 0.3, 6.0);

/// So many readings a minute apart, each off by a normal error.
fn read(rng: &mut StdRng, count: i32, step_min: f64, noise_mg_l: f64) -> Vec<Reading> {
    let (end, start, k) = TRUTH;
    let noise = Normal::new(0.0, noise_mg_l).unwrap();
    (0..count)
        .map(|n| {
            let t = step_min * f64::from(n);
            let c = end - (end - start) * (-k * t / 60.0).exp() + noise.sample(rng);
            Reading {
                time: Time::new::<minute>(t),
                oxygen: mg_per_l(c),
            }
        })
        .collect()
}

/// Counts of one parameter.
#[derive(Default)]
struct Tally {
    held: usize,
    width: f64,
    squares: f64,
}

impl Tally {
    fn add(&mut self, truth: f64, value: f64, standard: f64, (low, high): (f64, f64)) {
        self.held += usize::from((low..=high).contains(&truth));
        self.width += (high - low) / SEEDS as f64;
        self.squares += ((value - truth) / standard).powi(2) / SEEDS as f64;
    }

    fn verdict(&self, what: &str, truth: f64, freedom: f64) -> Option<String> {
        let rms = (self.squares * (freedom - 2.0) / freedom).sqrt();
        let line = format!(
            "{what}: truth {truth} held in {} of {SEEDS}, mean width {:.4}, rms of the standardized error {rms:.2}",
            self.held, self.width
        );
        println!("{line}");
        (!HELD.contains(&self.held) || !SCATTER.contains(&rms)).then_some(line)
    }
}

fn level() -> Ratio {
    Ratio::new::<percent>(95.0)
}

#[test]
fn the_intervals_hold_the_truth_as_often_as_they_say() {
    let mut failures = Vec::new();
    // A good test, 1/k = 10 min over three times that; few readings; one that ends early.
    for (name, count, step, noise) in [
        ("31 readings, 30 min, 0.05 mg/L", 31, 1.0, 0.05),
        ("8 readings, 35 min, 0.05 mg/L", 8, 5.0, 0.05),
        ("31 readings, 15 min, 0.02 mg/L", 31, 0.5, 0.02),
    ] {
        let mut tallies: [Tally; 3] = Default::default();
        for seed in 1..=SEEDS {
            let mut rng = StdRng::seed_from_u64(seed);
            let fit = Reaeration::of(&read(&mut rng, count, step, noise)).unwrap();
            let k = fit.coefficient;
            let (low, high) = k.interval(level()).unwrap();
            tallies[0].add(
                TRUTH.2,
                k.value.get::<per_hour>(),
                k.standard.get::<per_hour>(),
                (low.get::<per_hour>(), high.get::<per_hour>()),
            );
            let mg = |c: MassConcentration| c.get::<milligram_per_liter>();
            for (n, truth, found) in [(1, TRUTH.0, fit.saturation), (2, TRUTH.1, fit.start)] {
                let (low, high) = found.interval(level()).unwrap();
                tallies[n].add(
                    truth,
                    mg(found.value),
                    mg(found.standard),
                    (mg(low), mg(high)),
                );
            }
        }
        let parameters = [
            ("kLa, 1/h", TRUTH.2),
            ("C*, mg/L", TRUTH.0),
            ("C0, mg/L", TRUTH.1),
        ];
        for (tally, (what, truth)) in tallies.iter().zip(parameters) {
            failures.extend(tally.verdict(&format!("{name}: {what}"), truth, f64::from(count - 3)));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// SOTR of four probes in well-mixed water at 20 °C and one atmosphere.
#[test]
fn the_interval_of_the_mean_does_too() {
    let truth = 2e-3 * TRUTH.2 * TRUTH.0;
    let mut tally = Tally::default();
    for seed in 1..=SEEDS {
        let mut rng = StdRng::seed_from_u64(seed);
        let probes = (0..4).map(|_| read(&mut rng, 31, 1.0, 0.05)).collect();
        let test = AerationTest::new(Volume::new::<cubic_meter>(2.0), fresh(20.0, 1.0), probes);
        let rate = test.reduce().unwrap().rate;
        let (low, high) = rate.interval(level()).unwrap();
        tally.add(
            truth,
            rate.value.get::<kilogram_per_hour>(),
            rate.standard.get::<kilogram_per_hour>(),
            (
                low.get::<kilogram_per_hour>(),
                high.get::<kilogram_per_hour>(),
            ),
        );
    }
    let failure = tally.verdict("SOTR of four probes, kg/h", truth, 4.0 * 28.0);
    assert!(failure.is_none(), "{failure:?}");
}
