//! Which parameters to fit.

use super::Calibration;
use super::basis::Basis;
use super::fit::{blocks, enough, outset};
use super::left_out::LeftOut;
use super::linear::covariance;
use super::parameter::Parameter;
use super::point::FitPoint;
use super::terms::FitTerms;
use super::weights::Weights;
use crate::caution::Caution;
use crate::error::Error;
use crate::model::Model;

/// What a parameter must leave of the error of settings left out to be worth its while.
const WORTH: f64 = 0.95;
/// Tolerance of a fit that is only tried.
const ROUGH: f64 = 1e-3;

/// A set of parameters that was tried.
struct Tried {
    parameters: Vec<Parameter>,
    x: Vec<f64>,
    /// rms error of what was left out.
    error: f64,
}

impl Calibration {
    /// Fits none, one or two parameters: those that predict settings left out best.
    ///
    /// Each setting in turn is left out and predicted by the others, parameters and setting errors both; no
    /// parameter, each single one and each pair are tried so. A parameter is worth its while only if it
    /// lowers the rms error of what was left out by 5 %; pairs that make up for each other or end at a bound
    /// are passed over. The terms are best [cautious](FitTerms::cautious).
    ///
    /// Points of one setting cannot tell a parameter from an error of the model there: no parameter
    /// is moved, and the setting's error is all that is found. Where the terms know no such error
    /// (`shared` is zero) each point is left out in turn instead.
    ///
    /// # Errors
    /// [`Error::TooFewPoints`] below two points, and as [`Calibration::of`] for what does not hang on the
    /// parameters.
    ///
    /// # Examples
    /// ```
    /// use risewater::published::Rig;
    /// use risewater::trial::{Calibration, FitPoint, FitTerms};
    /// use risewater::Model;
    ///
    /// let rig = &Rig::all()[3];
    /// let points: Vec<FitPoint> = rig
    ///     .points
    ///     .iter()
    ///     .map(|point| FitPoint::of_published(rig, point))
    ///     .collect::<Result<_, _>>()?;
    /// let best = Calibration::best(&points, Model::default(), &FitTerms::cautious())?;
    /// assert_eq!(best.settings.len(), 4);
    /// assert!(best.errors.leave_one_out < best.errors.before);
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn best(points: &[FitPoint], model: Model, terms: &FitTerms) -> Result<Self, Error> {
        enough(points, 0)?;
        let basis = Basis::of(points, model, terms)?;
        let weights = basis.weigh(&[], &[], &basis.before)?;
        let blocks = match blocks(&basis.settings) {
            Some(blocks) => blocks,
            None if basis.process.size > 0.0 => return Self::on(&basis, &weights, &[], &[]),
            None => (0..points.len()).map(|n| vec![n]).collect(),
        };
        let attempt =
            |parameters: &[Parameter], from| attempt(&basis, &weights, &blocks, parameters, from);
        let none = attempt(&[], None);
        let none = none.unwrap_or(Tried {
            parameters: Vec::new(),
            x: Vec::new(),
            error: f64::INFINITY,
        });
        let singles: Vec<Tried> = Parameter::ALL
            .iter()
            .filter_map(|parameter| attempt(&[*parameter], None))
            .collect();
        let mut least = WORTH * none.error;
        let mut chosen = &none;
        for single in &singles {
            if single.error < least {
                (least, chosen) = (single.error, single);
            }
        }
        let mut best = Self::on(&basis, &weights, &chosen.parameters, &chosen.x)?;
        least = WORTH * chosen.error;
        for (n, first) in singles.iter().enumerate() {
            for second in &singles[n + 1..] {
                let pair = [first.parameters[0], second.parameters[0]];
                let start = basis.misfit(&pair, &weights).start;
                let outset = if first.error < second.error {
                    vec![first.x[0], start[1]]
                } else {
                    vec![start[0], second.x[0]]
                };
                let worth = least.min(WORTH * first.error.min(second.error));
                // A pair that cannot be told apart is no candidate; why is told by `of`.
                let Some(tried) = attempt(&pair, Some((outset, worth))) else {
                    continue;
                };
                if tried.error >= worth {
                    continue;
                }
                let Ok(found) = Self::on(&basis, &weights, &tried.parameters, &tried.x) else {
                    continue;
                };
                let doubtful = |caution: &Caution| {
                    matches!(
                        caution,
                        Caution::ParametersTradeOff { .. } | Caution::ParameterAtBound { .. }
                    )
                };
                if !found.cautions.iter().any(doubtful) {
                    (least, best) = (tried.error, found);
                }
            }
        }
        Ok(best)
    }
}

/// Some parameters fitted, and the rms error of blocks of points predicted by the others; none when they
/// cannot be fitted, or where the slopes at the outset promise no better than some error.
fn attempt(
    basis: &Basis,
    weights: &Weights,
    blocks: &[Vec<usize>],
    parameters: &[Parameter],
    from: Option<(Vec<f64>, f64)>,
) -> Option<Tried> {
    enough(basis.points, parameters.len()).ok()?;
    let misfit = basis.misfit(parameters, weights);
    let inverse = weights.inverse();
    let error_at = |x: &[f64], errors: &[f64]| {
        let slopes = misfit.slopes(x).ok()?;
        let covariance = covariance(&misfit.jacobian(&slopes)).ok()?;
        let start = misfit.at_start(errors, &slopes, x);
        LeftOut::of(&inverse, &start, &slopes, &covariance).rms(blocks)
    };
    let from = match from {
        Some((from, least)) => {
            if error_at(&from, &misfit.errors(&from).ok()?)? >= least {
                return None;
            }
            from
        }
        None => outset(&misfit).ok()?,
    };
    let (x, errors) = misfit.minimize(&from, ROUGH).ok()?;
    let error = error_at(&x, &errors)?;
    Some(Tried {
        x,
        error,
        parameters: parameters.to_vec(),
    })
}
