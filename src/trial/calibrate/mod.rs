//! Calibration: the few parameters that a bench can see, and the model's errors at its settings, both
//! fitted to what it measured.
//!
//! The logarithm of predicted over measured flow is a parameter's doing, or an error of the model that
//! all points of a setting share, or scatter:
//!
//! ```text
//! e = ln(Q_predicted(x)/Q_measured) = d(s) + ε      d ~ GP(0, c² k)      ε ~ N(0, u²)
//! k = exp(−|S − S′|/l_S − |ln(L/D) − ln(L′/D′)|/l_L − |ln D − ln D′|/l_D)
//! ```
//!
//! with the setting s of a point (submergence ratio S, length in bores L/D, bore D), the size c of such errors
//! ([`FitTerms::shared`]) and how far they reach ([`FitTerms::reach`]), after
//! [Kennedy & O'Hagan (2001)](crate::references::KENNEDY_OHAGAN_2001), who set a Gaussian process beside the
//! parameters of a model. The parameters are met by generalised least squares,
//!
//! ```text
//! eᵀV⁻¹e = min      V = diag(u²) + c² k
//! u² = (u(Q)/Q)² + (∂ln Q/∂ln ṁ · u(ṁ)/ṁ)² + (∂ln Q/∂S · u(S))² + (∂ln Q/∂H · u(H))² + s²
//! ```
//!
//! with s the scatter that a model of this kind leaves anyway ([`FitTerms::scatter`]). The covariance of
//! the parameters is (JᵀV⁻¹J)⁻¹, and with it that of the setting errors, both times χ²/ν
//! (ν = points − parameters) where that is more than chance gives in 5 of 100 fits: scatter beyond
//! what was stated widens the intervals, luck does not. Intervals are 95 %: Student's t with ν where the
//! points widen them, normal where the scatter is as stated.
//!
//! What all runs of a setting have in common (a level read once, a tub marked wrong) is part of the
//! setting's error, if not stated for each run. The bore's own tolerance is not in a sheet, and counts
//! there as well: a bore that is off shows at every setting.

mod basis;
mod best;
mod fit;
mod left_out;
pub(crate) mod linear;
mod misfit;
mod parameter;
mod point;
mod predict;
mod rig;
mod setting;
mod terms;
mod weights;

pub use parameter::Parameter;
pub use point::FitPoint;
pub use predict::CalibratedFlow;
pub use rig::RigRanges;
pub use setting::SettingError;
pub use terms::{FitTerms, MODEL_SCATTER, REACH, SHARED_ERROR};

use fit::{coverage, unmodelled};
use setting::{Joint, Process};

use crate::air::AirFlow;
use crate::caution::Caution;
use crate::error::{Error, Solve};
use crate::model::Model;
use crate::published::LOWEST_RATIO;
use crate::riser::{FlowCorrection, Place, Riser, RiserSpec};
use crate::units::{Length, Ratio, VolumeRate, base, meter, percent};

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
    /// With the fitted parameters, less the setting errors.
    pub after: f64,
    /// Each point predicted by all the others.
    pub leave_one_out: f64,
    /// Each setting predicted by the other settings; none when there is one only.
    pub setting_left_out: Option<f64>,
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
    /// The fitted parameters; there may be none.
    pub fitted: Vec<Fitted>,
    /// The model's errors at the settings, with these parameters.
    pub settings: Vec<SettingError>,
    /// Number of points.
    pub points: usize,
    /// eᵀV⁻¹e at the solution.
    pub chi_squared: f64,
    /// Errors before and after.
    pub errors: Errors,
    /// Scatter of the measured flows about the calibrated ones: √(Σ(e − d)²/ν), with ν the points less
    /// what parameters and setting errors take up of them.
    pub residual: Ratio,
    /// What the fit supposed.
    pub terms: FitTerms,
    /// What was tried on the rig.
    pub rig: RigRanges,
    /// What the parameters should be read with.
    pub cautions: Vec<Caution>,
    /// Covariance of the parameters, in rows, widened.
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

    /// The factors on the flow of risers that follow from the setting errors.
    #[must_use]
    pub fn correction(&self) -> FlowCorrection {
        setting::correction(&self.settings, self.process())
    }

    /// A riser and a model with the calibrated parameters, and with the factor on its flow that follows
    /// from the setting errors. Parameters of the model that were not fitted become what they were at the fit;
    /// an entrance loss that was not fitted stays the riser's own. The factor is that of the riser's
    /// depth, length and bore: it is to be applied again when they change.
    ///
    /// # Errors
    /// [`Error::OtherClosures`] when the model has another slip or friction.
    ///
    /// # Examples
    /// See [`Calibration`].
    pub fn apply(&self, spec: RiserSpec, model: Model) -> Result<(RiserSpec, Model), Error> {
        self.check(model)?;
        Ok(self.with(&self.values(), self.correction().on(spec)))
    }

    /// The smallest submergence, with a riser's lift, at which an air flow gives a wanted water flow with this
    /// calibration, whose factor changes with the submergence.
    ///
    /// # Errors
    /// As [`Riser::submergence_for`] and [`Calibration::apply`]; [`Error::NotConverged`], a defect.
    pub fn submergence_for(
        &self,
        riser: &Riser,
        water_flow: VolumeRate,
        air: AirFlow,
        deepest: Length,
    ) -> Result<Length, Error> {
        const SETTLED: f64 = 1e-10;
        const MOST: usize = 200;
        let mut spec = *riser.spec();
        let mut last = f64::NAN;
        for _ in 0..MOST {
            let (now, model) = self.apply(spec, riser.model())?;
            let found = now
                .build(riser.site(), model)?
                .submergence_for(water_flow, air, deepest)?;
            if (found.value - last).abs() <= SETTLED * found.value {
                return Ok(found);
            }
            last = found.value;
            spec.dimensions.submergence = found;
        }
        let low = spec.dimensions.submergence.get::<meter>();
        Err(Error::NotConverged {
            what: Solve::Submergence,
            iterations: MOST,
            residual: (low - last).abs(),
            low,
            high: last,
        })
    }

    /// ln(predicted/measured) of points with the calibration; a prediction below
    /// [`LOWEST_RATIO`] of the measured flow counts as that.
    ///
    /// # Errors
    /// As [`RiserSpec::build`].
    pub fn errors_on(&self, points: &[FitPoint]) -> Result<Vec<f64>, Error> {
        let (correction, values) = (self.correction(), self.values());
        let error = |point: &FitPoint| {
            let (spec, model) = self.with(&values, correction.on(point.spec));
            let flow = spec.build(&point.site, model)?.operate(point.air)?;
            let share = flow.water_flow() / point.water_flow.value;
            Ok(share.value.max(LOWEST_RATIO).ln())
        };
        points.iter().map(error).collect()
    }

    fn values(&self) -> Vec<f64> {
        self.fitted.iter().map(|one| one.value.value).collect()
    }

    /// A riser and a model with some values of the fitted parameters.
    pub(super) fn with(&self, values: &[f64], spec: RiserSpec) -> (RiserSpec, Model) {
        let (mut spec, mut model) = (spec, self.model);
        for (one, value) in self.fitted.iter().zip(values) {
            one.parameter.set(*value, &mut spec, &mut model);
        }
        (spec, model)
    }

    pub(crate) fn process(&self) -> Process {
        Process {
            size: self.terms.shared.value,
            reach: self.terms.reach,
        }
    }

    /// What all variances are widened by.
    pub(crate) fn widening(&self) -> f64 {
        unmodelled(self.chi_squared, self.degrees_of_freedom() as f64)
    }

    /// Covariance of parameters and setting errors.
    pub(crate) fn joint(&self) -> Joint {
        let settings: Vec<(Place, f64, Vec<f64>)> = self
            .settings
            .iter()
            .map(|one| (one.place, one.weight, one.slopes.clone()))
            .collect();
        Joint::of(self.process(), &self.covariance, &settings, self.widening())
    }

    /// Coverage factor of the intervals.
    fn coverage(&self) -> Result<f64, Error> {
        coverage(self.chi_squared, self.degrees_of_freedom() as f64)
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
