//! Which parameters to fit.

use super::Calibration;
use super::fit::FitTerms;
use super::parameter::Parameter;
use super::point::FitPoint;
use crate::caution::Caution;
use crate::error::Error;
use crate::model::Model;

/// What a second parameter must take off the leave-one-out error to be worth its while.
const WORTH: f64 = 0.95;

impl Calibration {
    /// Fits the one or two parameters that predict points left out best.
    ///
    /// Each parameter and each pair is fitted; of those that the points determine, the one with the
    /// smallest leave-one-out error is taken. Of the pairs, those that make up for each other or end
    /// at a bound are passed over, and a pair must better the best single parameter by 5 %.
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
    /// let best = Calibration::best(&points, Model::default(), &FitTerms::default())?;
    /// assert!(best.errors.leave_one_out < best.errors.before);
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn best(points: &[FitPoint], model: Model, terms: &FitTerms) -> Result<Self, Error> {
        let (mut best, mut failure): (Option<Self>, _) = (None, None);
        for parameter in Parameter::ALL {
            match Self::of(points, model, &[*parameter], terms) {
                Ok(fit) if best.as_ref().is_none_or(|b| fit.beats(b)) => best = Some(fit),
                Ok(_) => {}
                Err(error) => failure = failure.or(Some(error)),
            }
        }
        let Some(single) = best else {
            return Err(failure.unwrap_or(Error::TooFewPoints {
                parameters: 1,
                points: points.len(),
                needed: 1,
            }));
        };
        let worth = WORTH * single.errors.leave_one_out;
        let mut best = single;
        for (n, first) in Parameter::ALL.iter().enumerate() {
            for second in &Parameter::ALL[n + 1..] {
                // A pair that cannot be told apart is no candidate; why is told by `of`.
                let Ok(fit) = Self::of(points, model, &[*first, *second], terms) else {
                    continue;
                };
                let doubtful = fit.cautions.iter().any(|caution| {
                    matches!(
                        caution,
                        Caution::ParametersTradeOff { .. } | Caution::ParameterAtBound { .. }
                    )
                });
                if !doubtful && fit.errors.leave_one_out < worth && fit.beats(&best) {
                    best = fit;
                }
            }
        }
        Ok(best)
    }

    fn beats(&self, other: &Self) -> bool {
        self.errors.leave_one_out < other.errors.leave_one_out
    }
}
