//! The fit itself.

use nalgebra::{DMatrix, DVector};
use statrs::distribution::{ChiSquared, ContinuousCDF};

use super::basis::Basis;
use super::left_out::LeftOut;
use super::linear::covariance;
use super::misfit::{Misfit, TOLERANCE};
use super::parameter::Parameter;
use super::point::FitPoint;
use super::rig::RigRanges;
use super::setting::{Joint, SettingError, Settings};
use super::terms::FitTerms;
use super::weights::Weights;
use super::{Calibration, Errors, Fitted};
use crate::caution::Caution;
use crate::error::{Error, Range};
use crate::model::Model;
use crate::riser::Place;
use crate::trial::coverage_factor;
use crate::units::base;

/// Move of a parameter, over its size, after which points are weighed again.
const MOVED: f64 = 0.1;
/// Points beyond the number of parameters that a fit needs.
const SPARE_POINTS: usize = 2;
/// Air flows whose logarithms differ by less count as one.
const SAME_AIR: f64 = 0.02;
/// Correlation beyond which two parameters make up for each other.
const TRADE_OFF: f64 = 0.98;
/// Share of the supposed rise of χ² at the end of an interval below which it is called flat.
const FLAT: f64 = 0.25;
/// Nearness to a bound, over the parameter's size, that counts as being there.
const AT_BOUND: f64 = 1e-3;

impl Calibration {
    /// Fits parameters to points, starting from a model and the points' own entrance loss, and the
    /// errors of the settings beside them.
    ///
    /// The solution is that of Levenberg-Marquardt in t, x = a + (b − a)(1 + sin t)/2, so that no
    /// parameter x leaves its range [a, b]; it sets out from the best of a few values of each
    /// parameter. Weights are those at the start, or, when a parameter moves by more than a tenth of its
    /// size, those at the first solution, from which it is solved again. No parameter at all may be
    /// asked for: what is left is the errors of the settings.
    ///
    /// # Errors
    /// [`Error::TooFewPoints`] below two points more than parameters, [`Error::TooFewAirFlows`] with
    /// fewer air flows (2 % apart) than parameters, [`Error::Undetermined`] when slopes are all but
    /// multiples of each other or an interval holds all that the parameter can be;
    /// [`Error::OutOfRange`] outside [`MODEL_SCATTER`](super::MODEL_SCATTER),
    /// [`SHARED_ERROR`](super::SHARED_ERROR) or [`REACH`](super::REACH), and as
    /// [`RiserSpec::build`](crate::RiserSpec::build).
    ///
    /// # Examples
    /// See [`Calibration`].
    pub fn of(
        points: &[FitPoint],
        model: Model,
        parameters: &[Parameter],
        terms: &FitTerms,
    ) -> Result<Self, Error> {
        let mut parameters = parameters.to_vec();
        parameters.sort_by_key(|parameter| *parameter as u8);
        parameters.dedup();
        enough(points, parameters.len())?;
        let basis = Basis::of(points, model, terms)?;
        let weights = basis.weigh(&[], &[], &basis.before)?;
        let outset = outset(&basis.misfit(&parameters, &weights))?;
        Self::on(&basis, &weights, &parameters, &outset)
    }

    /// The same from where to set out, with the weights there.
    pub(super) fn on(
        basis: &Basis,
        weights: &Weights,
        parameters: &[Parameter],
        outset: &[f64],
    ) -> Result<Self, Error> {
        let misfit = basis.misfit(parameters, weights);
        let (x, errors) = misfit.minimize(outset, TOLERANCE)?;
        let moved =
            |n: usize| (x[n] - misfit.start[n]).abs() > MOVED * parameters[n].scale().min(1.0);
        if !(0..x.len()).any(moved) {
            return Self::at(&misfit, &x, &errors);
        }
        let weights = basis.weigh(parameters, &x, &errors)?;
        let misfit = basis.misfit(parameters, &weights);
        let (x, errors) = misfit.minimize(&x, TOLERANCE)?;
        Self::at(&misfit, &x, &errors)
    }

    /// The result at a solution.
    fn at(misfit: &Misfit, x: &[f64], errors: &[f64]) -> Result<Self, Error> {
        let (basis, weights, parameters) = (misfit.basis, misfit.weights, misfit.parameters);
        let range = |n: usize| Range {
            min: misfit.bounds[n].0,
            max: misfit.bounds[n].1,
            unit: parameters[n].range().unit,
        };
        let undetermined = |n: usize, low, high| Error::Undetermined {
            parameter: parameters[n].name(),
            low,
            high,
            range: range(n),
        };
        let slopes = misfit.slopes(x)?;
        let mut covariance = covariance(&misfit.jacobian(&slopes))
            .map_err(|n| undetermined(n, f64::NEG_INFINITY, f64::INFINITY))?;
        let left_out = LeftOut::of(
            &weights.inverse(),
            &misfit.at_start(errors, &slopes, x),
            &slopes,
            &covariance,
        );
        let freedom = (errors.len() - x.len()) as f64;
        let chi_squared = weights.chi_squared(errors);
        let unmodelled = unmodelled(chi_squared, freedom);
        covariance
            .iter_mut()
            .flatten()
            .for_each(|c| *c *= unmodelled);
        let k = coverage(chi_squared, freedom)?;
        let mut fitted = Vec::new();
        for (n, parameter) in parameters.iter().enumerate() {
            let (standard, Range { min, max, .. }) = (covariance[n][n].sqrt(), range(n));
            let (low, high) = (x[n] - k * standard, x[n] + k * standard);
            if low <= min && high >= max {
                return Err(undetermined(n, low, high));
            }
            fitted.push(Fitted {
                parameter: *parameter,
                start: base(misfit.start[n]),
                value: base(x[n]),
                standard: base(standard),
                low: base(low.max(min)),
                high: base(high.min(max)),
            });
        }
        let found = weights.settings(errors);
        let left: Vec<f64> = errors
            .iter()
            .zip(&basis.settings.of)
            .map(|(e, setting)| e - found[*setting])
            .collect();
        let squares = |errors: &[f64]| errors.iter().map(|e| e * e).sum::<f64>();
        let rms = |errors: &[f64]| (squares(errors) / errors.len() as f64).sqrt();
        // Σ u² Q_ii: the points less what parameters and setting errors take up.
        let spare: f64 = (0..errors.len())
            .map(|n| weights.variances[n] * left_out.q[(n, n)])
            .sum();
        let each: Vec<Vec<usize>> = (0..errors.len()).map(|n| vec![n]).collect();
        let mut calibration = Self {
            model: basis.model,
            fitted,
            settings: setting_errors(misfit, &slopes, &found, (&covariance, unmodelled)),
            points: errors.len(),
            chi_squared,
            errors: Errors {
                before: rms(&basis.before),
                after: rms(&left),
                leave_one_out: left_out.rms(&each).unwrap_or(f64::INFINITY),
                setting_left_out: blocks(&basis.settings).and_then(|blocks| left_out.rms(&blocks)),
            },
            residual: base((squares(&left) / spare).sqrt()),
            terms: basis.terms,
            rig: RigRanges::of(basis.points),
            cautions: Vec::new(),
            covariance,
        };
        calibration.cautions = calibration.doubts(misfit, x, errors, k * k * unmodelled)?;
        Ok(calibration)
    }

    /// What the parameters should be read with; `rise` is that of χ² at the end of an interval.
    fn doubts(
        &self,
        misfit: &Misfit,
        x: &[f64],
        errors: &[f64],
        rise: f64,
    ) -> Result<Vec<Caution>, Error> {
        let mut cautions = Vec::new();
        let least = misfit.objective(errors, x);
        for (n, one) in self.fitted.iter().enumerate() {
            let (min, max) = misfit.bounds[n];
            let near = AT_BOUND * one.parameter.scale();
            if x[n] - min < near || max - x[n] < near {
                cautions.push(Caution::ParameterAtBound {
                    parameter: one.parameter.name(),
                    value: x[n],
                    range: Range::new(min, max, one.parameter.range().unit),
                });
            } else {
                let share = self.firmness(misfit, x, n, (least, rise))?;
                if share < FLAT {
                    cautions.push(Caution::FlatObjective {
                        parameter: one.parameter.name(),
                        share,
                    });
                }
            }
            cautions.extend(self.trade_offs(n));
        }
        cautions.extend(self.one_setting());
        Ok(cautions)
    }

    /// The later parameters that a parameter makes up for.
    pub(crate) fn trade_offs(&self, n: usize) -> Vec<Caution> {
        let mut cautions = Vec::new();
        for (m, other) in self.fitted.iter().enumerate().skip(n + 1) {
            if let Some(r) = self.correlation(n, m)
                && r.value.abs() > TRADE_OFF
            {
                cautions.push(Caution::ParametersTradeOff {
                    first: self.fitted[n].parameter.name(),
                    second: other.parameter.name(),
                    correlation: r.value,
                });
            }
        }
        cautions
    }

    /// That all points are at one setting, when they are.
    pub(crate) fn one_setting(&self) -> Option<Caution> {
        (self.settings.len() == 1).then_some(Caution::OneSetting)
    }

    /// Rise of χ² at the weaker end of an interval, the other parameters following along their
    /// covariance, over the rise that the interval supposes. An end beyond a bound is not looked at.
    fn firmness(
        &self,
        misfit: &Misfit,
        x: &[f64],
        n: usize,
        (least, rise): (f64, f64),
    ) -> Result<f64, Error> {
        let variance = self.covariance[n][n];
        let mut share = f64::INFINITY;
        let unmodelled = unmodelled(self.chi_squared, self.degrees_of_freedom() as f64);
        let half = (rise / unmodelled * variance).sqrt();
        for shift in [-half, half] {
            let follow = |i: usize| x[i] + shift * self.covariance[i][n] / variance;
            let end: Vec<f64> = (0..x.len()).map(follow).collect();
            let inside = |(x, (min, max)): (&f64, &(f64, f64))| (min..=max).contains(&x);
            if end.iter().zip(&misfit.bounds).all(inside) {
                let found = misfit.objective(&misfit.errors(&end)?, &end) - least;
                share = share.min(found / rise);
            }
        }
        Ok(share)
    }
}

/// The errors of the settings, with what goes with each.
fn setting_errors(
    misfit: &Misfit,
    slopes: &DMatrix<f64>,
    found: &DVector<f64>,
    (covariance, widening): (&[Vec<f64>], f64),
) -> Vec<SettingError> {
    let (basis, weights) = (misfit.basis, misfit.weights);
    let all: Vec<(Place, f64, Vec<f64>)> = basis
        .settings
        .places
        .iter()
        .enumerate()
        .map(|(n, (place, _))| {
            let mean =
                |n: usize, column: usize| weights.means(slopes.column(column).iter().copied())[n];
            let means = (0..slopes.ncols()).map(|column| mean(n, column));
            (*place, weights.totals[n], means.collect())
        })
        .collect();
    let joint = Joint::of(basis.process, covariance, &all, widening);
    let p = covariance.len();
    all.into_iter()
        .zip(&basis.settings.places)
        .enumerate()
        .map(|(n, ((_, weight, slopes), place))| {
            SettingError::new(*place, (found[n], joint.standard(p + n)), (weight, slopes))
        })
        .collect()
}

/// Whether there are enough points and air flows for so many parameters.
pub(super) fn enough(points: &[FitPoint], parameters: usize) -> Result<(), Error> {
    let needed = parameters + SPARE_POINTS;
    if points.len() < needed {
        return Err(Error::TooFewPoints {
            parameters,
            points: points.len(),
            needed,
        });
    }
    for point in points {
        point.check()?;
    }
    let mut logs: Vec<f64> = points
        .iter()
        .map(|point| point.air.kg_per_s().ln())
        .collect();
    logs.sort_by(f64::total_cmp);
    let (mut air_flows, mut last) = (0, f64::NAN);
    for log in logs {
        if last.is_nan() || log - last > SAME_AIR {
            air_flows += 1;
            last = log;
        }
    }
    if air_flows < parameters {
        return Err(Error::TooFewAirFlows {
            parameters,
            air_flows,
        });
    }
    Ok(())
}

/// The best of the start and a few values of each parameter, one at a time.
pub(super) fn outset(misfit: &Misfit) -> Result<Vec<f64>, Error> {
    let mut best = misfit.start.clone();
    let mut least = misfit.objective(&misfit.errors(&best)?, &best);
    for (n, parameter) in misfit.parameters.iter().enumerate() {
        for trial in parameter.trials() {
            let mut x = best.clone();
            x[n] = trial.clamp(misfit.bounds[n].0, misfit.bounds[n].1);
            let objective = misfit.objective(&misfit.errors(&x)?, &x);
            if objective < least {
                (best, least) = (x, objective);
            }
        }
    }
    Ok(best)
}

/// Variance beyond what was supposed, as a factor: χ²/ν where chance alone gives so much in 5 of 100
/// fits at most, else 1. Scaling by every excess would widen intervals by chance, and hold the truth too
/// often.
pub(super) fn unmodelled(chi_squared: f64, freedom: f64) -> f64 {
    // The degrees of freedom are above zero, so the distribution exists.
    let usual = ChiSquared::new(freedom).map_or(f64::INFINITY, |law| law.inverse_cdf(0.95));
    if chi_squared > usual {
        chi_squared / freedom
    } else {
        1.0
    }
}

/// Coverage factor of an interval: scatter that was stated is known without repeats, scatter beyond it
/// by the points.
pub(super) fn coverage(chi_squared: f64, freedom: f64) -> Result<f64, Error> {
    let widened = unmodelled(chi_squared, freedom) > 1.0;
    coverage_factor(
        Calibration::level(),
        if widened { freedom } else { f64::INFINITY },
    )
}

/// The points of each setting, when there is more than one.
pub(super) fn blocks(settings: &Settings) -> Option<Vec<Vec<usize>>> {
    let count = settings.places.len();
    (count > 1).then(|| (0..count).map(|n| settings.members(n)).collect())
}
