//! Repeats out of line with the others of a whole sheet, at a stated rate of false alarms.
//!
//! A triple alone can hardly show a slip: its other two times have one degree of freedom. So the scatter is
//! pooled over all times of one kind (water, or air) in the sheet, and each time is held against the mean of
//! the others of its own fill:
//!
//! ```text
//! t = (t_j − t̄₋ⱼ)/(σ̂ √(1 + 1/(n − 1)))        σ̂ = max(a, b t̄₋ⱼ, u_r)
//! a² = Σ ν s²/Σ ν        b² = Σ ν (s/t̄)²/Σ ν                  both without the time itself
//! 2 N P(T_ν > |t|) < α        ν = Σ ν
//! ```
//!
//! | symbol | meaning |
//! |---|---|
//! | t_j, t̄₋ⱼ, n | a time; mean of the others of its fill; times of its fill |
//! | s, t̄, ν | standard deviation, mean and degrees of freedom of each fill |
//! | a, b | pooled scatter if all times of the sheet scatter by the same seconds; by the same share of the time |
//! | u_r | reaction and display of one time, for repeats that agree by chance |
//! | N, α | times that are tested in the sheet; [`OUTLIER_RATE`] |
//!
//! For a single fill t is Grubbs's test in other terms. Scatter σ² = A² + B² t² lies between the two laws. By
//! the inequality of the means a² is at least that for times up to their root mean square, and b² t² for
//! longer ones than the harmonic counterpart, so the larger of the two is never too small for any time, and
//! the rate is an upper bound (Bonferroni's inequality). Slips are taken out one by one, the farthest out
//! first, so that a large one does not hide a smaller one.
//!
//! # References
//! [Grubbs (1969)](crate::references::GRUBBS_1969), from memory.

use statrs::distribution::{ContinuousCDF, StudentsT};

use super::repeats::{Outlier, Repeats};
use super::run::ReducedRun;
use crate::measurement::{count, standard_deviation};
use crate::units::{Time, base, second};

/// Probability, at most, that a sheet without a slip has a time that is shown as out of line.
pub const OUTLIER_RATE: f64 = 0.05;
/// Fewest repeats of a fill among which one can be out of line.
const FEWEST: usize = 3;

/// Marks the times of a whole sheet afresh; `free_s` is what one time scatters by through reaction and
/// display.
pub(super) fn mark_sheet(runs: &mut [ReducedRun], free_s: f64) {
    let (mut water, mut air) = (Vec::new(), Vec::new());
    for run in runs {
        water.extend(run.water_flow.repeats.as_mut());
        air.extend(run.air.repeats.as_mut());
    }
    let tested = tested(&water) + tested(&air);
    for kind in [&mut water, &mut air] {
        mark(kind, tested, free_s);
    }
}

/// Marks the times of one fill, as a sheet of its own.
pub(super) fn mark_alone(repeats: &mut Repeats, free_s: f64) {
    let mut kind = [repeats];
    let tested = tested(&kind);
    mark(&mut kind, tested, free_s);
}

fn tested(kind: &[&mut Repeats]) -> usize {
    let times = kind.iter().map(|repeats| repeats.times.len());
    times.filter(|n| *n >= FEWEST).sum()
}

fn mark(kind: &mut [&mut Repeats], tested: usize, free_s: f64) {
    let mut fills: Vec<Vec<(usize, f64)>> = kind
        .iter()
        .map(|repeats| repeats.times.iter().map(Time::get::<second>))
        .map(|times| times.enumerate().collect())
        .collect();
    for repeats in kind.iter_mut() {
        repeats.outliers.clear();
    }
    let chance = |found: &Farthest| (count_f64(tested) * found.probability).min(1.0);
    let out = |found: &Farthest| chance(found) < OUTLIER_RATE;
    while let Some(found) = farthest(&fills, free_s).filter(out) {
        let (repeat, time_s) = fills[found.fill].remove(found.place);
        kind[found.fill].outliers.push(Outlier {
            repeat: repeat + 1,
            time: base(time_s),
            chance: base(chance(&found)),
        });
    }
    for repeats in kind {
        repeats.outliers.sort_by_key(|outlier| outlier.repeat);
    }
}

/// The time with the largest |t|.
struct Farthest {
    fill: usize,
    place: usize,
    /// 2 P(T_ν > |t|)
    probability: f64,
}

/// Sums over fills: Σ ν s², Σ ν (s/t̄)², Σ ν.
fn pooled(times: &[f64]) -> [f64; 3] {
    if times.len() < 2 {
        return [0.0; 3];
    }
    let freedom = count(times) - 1.0;
    let squares = freedom * standard_deviation(times).powi(2);
    [squares, squares / mean(times).powi(2), freedom]
}

fn mean(times: &[f64]) -> f64 {
    times.iter().sum::<f64>() / count(times)
}

fn farthest(fills: &[Vec<(usize, f64)>], free_s: f64) -> Option<Farthest> {
    let plain: Vec<Vec<f64>> = fills
        .iter()
        .map(|fill| fill.iter().map(|(_, time)| *time).collect())
        .collect();
    let of_each: Vec<[f64; 3]> = plain.iter().map(|fill| pooled(fill)).collect();
    let mut found: Option<(f64, f64, usize, usize)> = None;
    for (n, fill) in plain.iter().enumerate() {
        for place in (0..fill.len()).filter(|_| fill.len() >= FEWEST) {
            let mut others = fill.clone();
            let time = others.remove(place);
            // Summed afresh: a difference of sums would leave rounding where others agree.
            let mut sums = pooled(&others);
            for (_, other) in of_each.iter().enumerate().filter(|(m, _)| *m != n) {
                for (sum, part) in sums.iter_mut().zip(other) {
                    *sum += part;
                }
            }
            let [constant, share, freedom] = sums;
            let middle = mean(&others);
            // σ̂ = max(a, b t̄₋ⱼ, u_r)
            let scatter = (constant / freedom)
                .sqrt()
                .max((share / freedom).sqrt() * middle)
                .max(free_s);
            // t = (t_j − t̄₋ⱼ)/(σ̂ √(1 + 1/(n − 1)))
            let t = (time - middle).abs() / (scatter * (1.0 + 1.0 / count(&others)).sqrt());
            if t.is_finite() && found.is_none_or(|(largest, ..)| t > largest) {
                found = Some((t, freedom, n, place));
            }
        }
    }
    let (t, freedom, fill, place) = found?;
    // A fill of three leaves one degree of freedom at least, so the distribution exists.
    let student = StudentsT::new(0.0, 1.0, freedom).ok()?;
    Some(Farthest {
        fill,
        place,
        probability: 2.0 * student.sf(t),
    })
}

#[allow(clippy::cast_precision_loss, reason = "times are few")]
fn count_f64(times: usize) -> f64 {
    times as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn repeats(times: &[f64]) -> Repeats {
        Repeats {
            times: times.iter().map(|t| base(*t)).collect(),
            mean: base(mean(times)),
            standard_deviation: None,
            outliers: Vec::new(),
            systematic: base(0.0),
        }
    }

    /// By hand: the others of 17.4 are 15.0, 15.1, 14.9, with mean 15 and s = 0.1 on two degrees of freedom;
    /// t = 2.4/(0.1 × 1.1547) = 20.785. For ν = 2 the two tails are 1 − t/√(2 + t²) = 0.0023068, times four.
    #[test]
    fn a_slip_in_one_fill_by_hand() {
        let mut one = repeats(&[15.0, 15.1, 17.4, 14.9]);
        mark_alone(&mut one, 0.05);
        assert_eq!(one.outliers.len(), 1, "{one:?}");
        assert_eq!(one.outliers[0].repeat, 3);
        let chance = one.outliers[0].chance.value;
        assert!((chance - 4.0 * 0.002_306_8).abs() < 4e-7, "{chance}");
    }

    #[test]
    fn chance_agreement_condemns_nobody() {
        for (times, free_s) in [
            (&[10.0, 10.0, 10.2][..], 0.1),
            (&[10.0, 20.0], 0.1),
            (&[10.0], 0.1),
            (&[], 0.1),
            // Exact agreement and an exact watch: 0/0 is no number.
            (&[10.0, 10.0, 10.0], 0.0),
        ] {
            let mut one = repeats(times);
            mark_alone(&mut one, free_s);
            assert!(one.outliers.is_empty(), "{one:?}");
        }
    }

    /// A slip of a minute does not hide one of two seconds in another fill.
    #[test]
    fn a_large_slip_hides_no_smaller_one() {
        let mut fills: Vec<Repeats> = (0..8)
            .map(|n| {
                let t = 14.0 + f64::from(n);
                repeats(&[t, t + 0.1, t - 0.1])
            })
            .collect();
        fills[2].times[1] = base(76.0);
        fills[5].times[0] = base(21.5);
        let mut kind: Vec<&mut Repeats> = fills.iter_mut().collect();
        let tested = tested(&kind);
        mark(&mut kind, tested, 0.1);
        let marked: Vec<(usize, usize)> = fills
            .iter()
            .enumerate()
            .flat_map(|(n, fill)| fill.outliers.iter().map(move |o| (n, o.repeat)))
            .collect();
        assert_eq!(marked, [(2, 2), (5, 1)]);
    }
}
