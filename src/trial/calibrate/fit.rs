//! The fit itself.

use statrs::distribution::{ChiSquared, ContinuousCDF};

use super::linear::{Linear, linear};
use super::misfit::Misfit;
use super::parameter::Parameter;
use super::point::FitPoint;
use super::rig::RigRanges;
use super::{Calibration, Errors, Fitted};
use crate::caution::Caution;
use crate::error::{Error, Input, Range};
use crate::model::{DEVELOPING_HEIGHT, Model};
use crate::trial::coverage_factor;
use crate::units::{Ratio, base, meter, percent, ratio};

/// Model scatter that a fit can suppose.
pub const MODEL_SCATTER: Range = Range::new(0.001, 1.0, "");
/// Shared model error that a fit can suppose.
pub const SHARED_ERROR: Range = Range::new(0.0, 1.0, "");

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

/// What a fit supposes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FitTerms {
    /// Scatter of single measured flows about a model of this kind that is no one's reading error, as
    /// a relative standard deviation.
    pub scatter: Ratio,
    /// Error of the model that all points of one depth and lift share. Each of m such points is given
    /// m times its variance, so that their mean has it once, however many they are.
    pub shared: Ratio,
    /// Whether what is known of the parameters beforehand counts as well: entrance loss to 0.25,
    /// developing length to 4 bores, factors to 0.3 (standard deviations about their values before),
    /// our own estimates. A few points of one setting then cannot drive a parameter where no riser has
    /// it; intervals are narrower by it and no longer the bench's alone.
    pub prior: bool,
}

impl FitTerms {
    /// For a calibration that is used at other settings: 5 % scatter, 10 % shared, and what is known
    /// beforehand counts. The default model misses published rigs of like shape by 10 to 15 %.
    #[must_use]
    pub fn cautious() -> Self {
        Self {
            shared: Ratio::new::<percent>(10.0),
            prior: true,
            ..Self::default()
        }
    }
}

impl Default for FitTerms {
    /// The points alone, for what they say of this rig at these settings: 5 % scatter (our own
    /// estimate), nothing shared, nothing known beforehand.
    fn default() -> Self {
        Self {
            scatter: Ratio::new::<percent>(5.0),
            shared: base(0.0),
            prior: false,
        }
    }
}

impl Calibration {
    /// Fits parameters to points, starting from a model and the points' own entrance loss.
    ///
    /// The solution is that of Levenberg-Marquardt in t, x = a + (b − a)(1 + sin t)/2, so that no
    /// parameter x leaves its range [a, b]; it sets out from the best of a few values of each
    /// parameter. Weights are those at the first solution, from which it is solved again.
    ///
    /// # Errors
    /// [`Error::TooFewPoints`] below two points more than parameters, [`Error::TooFewAirFlows`] with
    /// fewer air flows (2 % apart) than parameters, [`Error::Undetermined`] when slopes are all but
    /// multiples of each other or an interval holds all that the parameter can be;
    /// [`Error::OutOfRange`] outside [`MODEL_SCATTER`] or [`SHARED_ERROR`], and as
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
        let scatter = MODEL_SCATTER.check(Input::ModelScatter, terms.scatter.get::<ratio>())?;
        let shared = SHARED_ERROR.check(Input::ModelScatter, terms.shared.get::<ratio>())?;
        let mut parameters = parameters.to_vec();
        parameters.sort_by_key(|parameter| *parameter as u8);
        parameters.dedup();
        let first = enough(points, parameters.len())?;
        let start: Vec<f64> = parameters
            .iter()
            .map(|parameter| parameter.of(&first.spec, &model).value)
            .collect();
        let mut misfit = Misfit {
            points,
            model,
            parameters: &parameters,
            bounds: parameters.iter().map(|p| bounds(*p, points)).collect(),
            weights: Vec::new(),
            start: start.clone(),
            prior: terms.prior,
        };
        misfit.weigh(&start, scatter, shared)?;
        // As they stood: each point with its own entrance loss.
        let before = Misfit {
            parameters: &[],
            bounds: Vec::new(),
            weights: Vec::new(),
            start: Vec::new(),
            ..misfit
        }
        .errors(&[])?;
        let mut x = misfit.minimize(&outset(&misfit, &start)?)?;
        if points.iter().any(|point| point.air_standard.value > 0.0) {
            misfit.weigh(&x, scatter, shared)?;
            x = misfit.minimize(&x)?;
        }
        Self::at(&misfit, &x, &before, terms)
    }

    /// The result at a solution.
    fn at(misfit: &Misfit, x: &[f64], before: &[f64], terms: &FitTerms) -> Result<Self, Error> {
        let errors = misfit.errors(x)?;
        let parameters = misfit.parameters;
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
        let Linear {
            mut covariance,
            leverages,
        } = linear(&misfit.jacobian(x)?)
            .map_err(|n| undetermined(n, f64::NEG_INFINITY, f64::INFINITY))?;
        let freedom = (errors.len() - x.len()) as f64;
        let chi_squared = misfit.chi_squared(&errors);
        let unmodelled = unmodelled(chi_squared, freedom);
        covariance
            .iter_mut()
            .flatten()
            .for_each(|c| *c *= unmodelled);
        // Scatter that was stated is known without repeats, scatter beyond it by these points.
        let k = coverage_factor(
            Self::level(),
            if unmodelled > 1.0 {
                freedom
            } else {
                f64::INFINITY
            },
        )?;
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
        let rms = |errors: &mut dyn Iterator<Item = f64>| {
            (errors.map(|e| e * e).sum::<f64>() / misfit.points.len() as f64).sqrt()
        };
        let mut calibration = Self {
            model: misfit.model,
            fitted,
            points: errors.len(),
            chi_squared,
            errors: Errors {
                before: rms(&mut before.iter().copied()),
                after: rms(&mut errors.iter().copied()),
                leave_one_out: rms(&mut errors.iter().zip(&leverages).map(|(e, h)| e / (1.0 - h))),
            },
            residual: base((errors.iter().map(|e| e * e).sum::<f64>() / freedom).sqrt()),
            terms: *terms,
            rig: RigRanges::of(misfit.points),
            cautions: Vec::new(),
            covariance,
        };
        calibration.cautions = calibration.doubts(misfit, x, k * k * unmodelled)?;
        Ok(calibration)
    }

    /// What the parameters should be read with; `rise` is that of χ² at the end of an interval.
    fn doubts(&self, misfit: &Misfit, x: &[f64], rise: f64) -> Result<Vec<Caution>, Error> {
        let mut cautions = Vec::new();
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
                let share = self.firmness(misfit, x, n, rise)?;
                if share < FLAT {
                    cautions.push(Caution::FlatObjective {
                        parameter: one.parameter.name(),
                        share,
                    });
                }
            }
            cautions.extend(self.trade_offs(n));
        }
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

    /// Rise of χ² at the weaker end of an interval, the other parameters following along their
    /// covariance, over the rise that the interval supposes. An end beyond a bound is not looked at.
    fn firmness(&self, misfit: &Misfit, x: &[f64], n: usize, rise: f64) -> Result<f64, Error> {
        let variance = self.covariance[n][n];
        let (least, mut share) = (misfit.objective(&misfit.errors(x)?, x), f64::INFINITY);
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

/// The first point, when there are enough points and air flows for so many parameters.
fn enough(points: &[FitPoint], parameters: usize) -> Result<&FitPoint, Error> {
    let needed = parameters + SPARE_POINTS;
    let too_few = Error::TooFewPoints {
        parameters,
        points: points.len(),
        needed,
    };
    let first = points.first().ok_or(too_few.clone())?;
    if points.len() < needed {
        return Err(too_few);
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
    Ok(first)
}

/// What a parameter can be on these risers.
fn bounds(parameter: Parameter, points: &[FitPoint]) -> (f64, f64) {
    let Range { min, max, .. } = parameter.range();
    let widest = points
        .iter()
        .map(|point| point.spec.dimensions.bore.get::<meter>())
        .fold(0.0, f64::max);
    match parameter {
        Parameter::DevelopingLength => (min, max.min(DEVELOPING_HEIGHT.max / widest)),
        _ => (min, max),
    }
}

/// The best of the start and a few values of each parameter, one at a time.
fn outset(misfit: &Misfit, start: &[f64]) -> Result<Vec<f64>, Error> {
    let mut best = start.to_vec();
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
fn unmodelled(chi_squared: f64, freedom: f64) -> f64 {
    // The degrees of freedom are above zero, so the distribution exists.
    let usual = ChiSquared::new(freedom).map_or(f64::INFINITY, |law| law.inverse_cdf(0.95));
    if chi_squared > usual {
        chi_squared / freedom
    } else {
        1.0
    }
}
