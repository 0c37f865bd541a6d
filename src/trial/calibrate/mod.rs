//! Calibration: the few parameters that a bench can see, fitted to what it measured.
//!
//! The points are met by weighted least squares on the logarithm of the water flow,
//!
//! ```text
//! χ² = Σ (e/u)²     e = ln(Q_predicted/Q_measured)
//! u² = (u(Q)/Q)² + (d ln Q/d ln ṁ · u(ṁ)/ṁ)² + s² + m c²
//! ```
//!
//! with s the scatter that a model of this kind leaves anyway ([`FitTerms::scatter`]) and c the error
//! that it makes alike on the m points of one setting ([`FitTerms::shared`]). The covariance
//! of the parameters is (JᵀJ)⁻¹, times χ²/ν (ν = points − parameters) where that is more than chance
//! gives in 5 of 100 fits: scatter beyond what was stated widens the intervals, luck does not.
//! Intervals are 95 %: Student's t with ν where the points widen them, normal where the scatter is as
//! stated.
//! Uncertainties that all points share (bore, a level read wrong throughout) are not in them.

mod best;
mod fit;
mod linear;
mod misfit;
mod parameter;
mod point;
mod predict;
mod rig;

pub use fit::{FitTerms, MODEL_SCATTER, SHARED_ERROR};
pub use parameter::Parameter;
pub use point::FitPoint;
pub use predict::CalibratedFlow;
pub use rig::RigRanges;

use crate::caution::Caution;
use crate::error::Error;
use crate::model::Model;
use crate::riser::RiserSpec;
use crate::units::{Ratio, base, percent};

/// One fitted parameter.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Fitted {
    /// The parameter.
    pub parameter: Parameter,
    /// Its value before.
    pub start: Ratio,
    /// Its value now.
    pub value: Ratio,
    /// Standard uncertainty.
    pub standard: Ratio,
    /// Lower end of the 95 % interval, not below what the parameter can be.
    pub low: Ratio,
    /// Upper end, not above it.
    pub high: Ratio,
}

/// Root mean square of ln(predicted/measured) over the points.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Errors {
    /// With the parameters as they were. Nothing was fitted, so leaving a point out changes nothing.
    pub before: f64,
    /// With the fitted parameters.
    pub after: f64,
    /// Each point predicted by a fit to the others, by its leverage h: e/(1 − h).
    pub leave_one_out: f64,
}

/// Parameters fitted to a bench trial, with what they are worth.
///
/// # Examples
/// ```
/// use risewater::published::Rig;
/// use risewater::trial::{Calibration, FitPoint, FitTerms, Parameter};
/// use risewater::Model;
///
/// let rig = &Rig::all()[2];
/// let points: Vec<FitPoint> = rig
///     .points
///     .iter()
///     .map(|point| FitPoint::of_published(rig, point))
///     .collect::<Result<_, _>>()?;
/// let fit = Calibration::of(
///     &points,
///     Model::default(),
///     &[Parameter::DriftFactor],
///     &FitTerms::default(),
/// )?;
/// assert!(fit.errors.after < fit.errors.before);
/// let (spec, model) = fit.apply(points[0].spec, Model::default())?;
/// assert_eq!(model.drift_factor, fit.fitted[0].value);
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Calibration {
    /// The model as it was before: the closures that the parameters belong to, and the values of
    /// those that were not fitted.
    pub model: Model,
    /// The fitted parameters.
    pub fitted: Vec<Fitted>,
    /// Number of points.
    pub points: usize,
    /// Sum of (e/u)² at the solution.
    pub chi_squared: f64,
    /// Errors before and after.
    pub errors: Errors,
    /// Scatter of single flows about the calibrated prediction: √(Σe²/ν).
    pub residual: Ratio,
    /// What the fit supposed.
    pub terms: FitTerms,
    /// What was tried on the rig.
    pub rig: RigRanges,
    /// What the parameters should be read with.
    pub cautions: Vec<Caution>,
    /// Covariance of the parameters, in rows.
    pub(crate) covariance: Vec<Vec<f64>>,
}

impl Calibration {
    /// Coverage probability of all intervals.
    #[must_use]
    pub fn level() -> Ratio {
        Ratio::new::<percent>(95.0)
    }

    /// Degrees of freedom: points less parameters.
    #[must_use]
    pub fn degrees_of_freedom(&self) -> usize {
        self.points - self.fitted.len()
    }

    /// Correlation of the estimates of two fitted parameters, by their places; none beyond the last.
    #[must_use]
    pub fn correlation(&self, i: usize, j: usize) -> Option<Ratio> {
        let at = |i: usize, j: usize| self.covariance.get(i).and_then(|row| row.get(j));
        let (cross, first, second) = (at(i, j)?, at(i, i)?, at(j, j)?);
        Some(base(if i == j {
            1.0
        } else {
            cross / (first * second).sqrt()
        }))
    }

    /// A riser and a model with the calibrated parameters. Those of the model that were not fitted
    /// become what they were at the fit; an entrance loss that was not fitted stays the riser's own.
    ///
    /// # Errors
    /// [`Error::OtherClosures`] when the model has another slip or friction.
    ///
    /// # Examples
    /// See [`Calibration`].
    pub fn apply(&self, spec: RiserSpec, model: Model) -> Result<(RiserSpec, Model), Error> {
        self.check(model)?;
        let values: Vec<f64> = self.fitted.iter().map(|one| one.value.value).collect();
        Ok(self.with(&values, spec))
    }

    /// ln(predicted/measured) of points with the calibrated parameters; a prediction below
    /// [`LOWEST_RATIO`](crate::published::LOWEST_RATIO) of the measured flow counts as that.
    ///
    /// # Errors
    /// As [`RiserSpec::build`].
    pub fn errors_on(&self, points: &[FitPoint]) -> Result<Vec<f64>, Error> {
        let values: Vec<f64> = self.fitted.iter().map(|one| one.value.value).collect();
        let parameters: Vec<Parameter> = self.fitted.iter().map(|one| one.parameter).collect();
        misfit::errors(points, self.model, &parameters, &values)
    }

    /// The same with other values of the fitted parameters.
    pub(super) fn with(&self, values: &[f64], spec: RiserSpec) -> (RiserSpec, Model) {
        let (mut spec, mut model) = (spec, self.model);
        for (one, value) in self.fitted.iter().zip(values) {
            one.parameter.set(*value, &mut spec, &mut model);
        }
        (spec, model)
    }

    fn check(&self, model: Model) -> Result<(), Error> {
        if (model.slip, model.friction) == (self.model.slip, self.model.friction) {
            Ok(())
        } else {
            let closures = |model: Model| format!("{} + {}", model.slip, model.friction);
            Err(Error::OtherClosures {
                calibrated: closures(self.model),
                given: closures(model),
            })
        }
    }
}
