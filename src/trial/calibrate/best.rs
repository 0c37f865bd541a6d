//! Which parameters to fit.

use super::Calibration;
use super::fit::FitTerms;
use super::parameter::Parameter;
use super::point::FitPoint;
use crate::caution::Caution;
use crate::error::Error;
use crate::model::Model;

/// What a second parameter must leave of the error of points left out to be worth its while.
const WORTH: f64 = 0.95;
/// Blocks of neighbouring air flows that are left out in turn.
const BLOCKS: usize = 3;

impl Calibration {
    /// Fits the one or two parameters that predict air flows left out best.
    ///
    /// The points are ordered by air flow and cut into three blocks; each parameter and each pair is
    /// fitted without each block and held against it, since a point left out alone is known from
    /// its neighbours. The smallest rms error of the blocks wins. Pairs that make up for each other or
    /// end at a bound are passed over, and a pair must better the best single parameter by 5 %; points of
    /// one depth and lift get one parameter. The terms are best [cautious](FitTerms::cautious).
    ///
    /// # Errors
    /// As [`Calibration::of`], when no single parameter can be fitted.
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
    /// assert!(best.errors.leave_one_out < best.errors.before);
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn best(points: &[FitPoint], model: Model, terms: &FitTerms) -> Result<Self, Error> {
        let mut sorted = points.to_vec();
        sorted.sort_by(|a, b| a.air.kg_per_s().total_cmp(&b.air.kg_per_s()));
        let fit = |parameters: &[Parameter]| {
            let error = block_error(&sorted, model, parameters, terms)?;
            Ok((error, Self::of(points, model, parameters, terms)?))
        };
        let (mut best, mut failure): (Option<(f64, Self)>, _) = (None, None);
        for parameter in Parameter::ALL {
            match fit(&[*parameter]) {
                Ok(found) => {
                    if best.as_ref().is_none_or(|best| found.0 < best.0) {
                        best = Some(found);
                    }
                }
                Err(error) => failure = failure.or(Some(error)),
            }
        }
        let Some((error, mut best)) = best else {
            return Err(failure.unwrap_or(Error::TooFewPoints {
                parameters: 1,
                points: points.len(),
                needed: 1,
            }));
        };
        let one_setting = |pair: &[FitPoint]| pair[0].spec.dimensions == pair[1].spec.dimensions;
        if points.windows(2).all(one_setting) {
            return Ok(best);
        }
        let mut least = WORTH * error;
        for (n, first) in Parameter::ALL.iter().enumerate() {
            for second in &Parameter::ALL[n + 1..] {
                // A pair that cannot be told apart is no candidate; why is told by `of`.
                let Ok((error, found)) = fit(&[*first, *second]) else {
                    continue;
                };
                let doubtful = |caution: &Caution| {
                    matches!(
                        caution,
                        Caution::ParametersTradeOff { .. } | Caution::ParameterAtBound { .. }
                    )
                };
                if error < least && !found.cautions.iter().any(doubtful) {
                    (least, best) = (error, found);
                }
            }
        }
        Ok(best)
    }
}

/// rms error of blocks of points, each predicted by a fit to the others.
fn block_error(
    sorted: &[FitPoint],
    model: Model,
    parameters: &[Parameter],
    terms: &FitTerms,
) -> Result<f64, Error> {
    let block = sorted.len().div_ceil(BLOCKS).max(1);
    let mut sum = 0.0;
    for n in (0..sorted.len()).step_by(block) {
        let end = (n + block).min(sorted.len());
        let others = [&sorted[..n], &sorted[end..]].concat();
        let fit = Calibration::of(&others, model, parameters, terms)?;
        for e in fit.errors_on(&sorted[n..end])? {
            sum += e * e;
        }
    }
    Ok((sum / sorted.len() as f64).sqrt())
}
