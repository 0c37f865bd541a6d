//! Flow of a riser predicted with a calibration, from the rig itself up to full size.

use nalgebra::DVector;

use super::Calibration;
use super::setting::shares;
use crate::air::AirFlow;
use crate::caution::Caution;
use crate::error::{Error, Range};
use crate::riser::{Place, Riser, RiserSpec};
use crate::spread::{Spread, SpreadKind};
use crate::units::{VolumeRate, base};

/// Step of a derivative, in standard uncertainties of the parameter.
const STEP: f64 = 0.1;

/// A water flow predicted with a calibration.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct CalibratedFlow {
    /// The riser with the calibrated parameters and the factor on its flow.
    pub riser: Riser,
    /// Its water flow.
    pub water_flow: VolumeRate,
    /// How sure it is.
    pub spread: Spread,
    /// Where it goes beyond the rig.
    pub cautions: Vec<Caution>,
}

impl Spread {
    /// The water flow of a riser at an air flow with a calibration, and its spread.
    ///
    /// On a riser of the rig's bore and length it is a 95 % interval for the flow,
    ///
    /// ```text
    /// ln Q ± t √(hᵀΣh + c²(1 − k*ᵀk⁻¹k*) + s² + b²)     h = (∂ ln Q/∂x, −k⁻¹k*)
    /// ```
    ///
    /// with the joint covariance Σ of the parameters x and the setting errors, what the settings k* away
    /// leave open of the error at this one, and the model's scatter s. Reading errors of a single run are not in
    /// it. It widens by itself with the distance in submergence ratio, length and bore. Beyond the rig's
    /// air velocities k* fades, ever less being known; the flow itself keeps its factor, so that the
    /// curve of a riser keeps its shape, and b is what that may be wrong by.
    ///
    /// Outside the rig's bore or length in bores (by more than 1 %) the interval is still no more than a
    /// guess at how far errors reach: the limits are then the lowest and the highest of it and of the
    /// [scenario](Spread::scenario) of the same riser without calibration, and the kind is
    /// [`SpreadKind::Scenario`], which is no confidence interval. Everything beyond the rig gives a caution.
    ///
    /// # Errors
    /// [`Error::OtherClosures`] when the riser's model has other closures, and as
    /// [`RiserSpec::build`](crate::RiserSpec::build).
    ///
    /// # Examples
    /// ```
    /// use risewater::published::Rig;
    /// use risewater::spread::SpreadKind;
    /// use risewater::trial::{Calibration, FitPoint, FitTerms};
    /// use risewater::{Model, Spread};
    ///
    /// let rig = &Rig::all()[3];
    /// let points: Vec<FitPoint> = rig
    ///     .points
    ///     .iter()
    ///     .map(|point| FitPoint::of_published(rig, point))
    ///     .collect::<Result<_, _>>()?;
    /// let best = Calibration::best(&points, Model::default(), &FitTerms::default())?;
    /// let riser = points[0].spec.build(&points[0].site, Model::default())?;
    /// let found = Spread::calibrated(&riser, points[0].air, &best)?;
    /// assert_eq!(found.spread.kind, SpreadKind::Calibration { points: points.len() });
    /// assert!(found.cautions.is_empty());
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn calibrated(
        riser: &Riser,
        air: AirFlow,
        calibration: &Calibration,
    ) -> Result<CalibratedFlow, Error> {
        calibration.check(riser.model())?;
        let fitted = &calibration.fitted;
        let x = calibration.values();
        let corrected = calibration.correction().on(*riser.spec());
        let with = |x: &[f64], spec: RiserSpec| {
            let (spec, model) = calibration.with(x, spec);
            spec.build(riser.site(), model)
        };
        let flow = |x: &[f64]| Ok(with(x, corrected)?.operate(air)?.water_flow());
        let calibrated = with(&x, corrected)?;
        let water_flow = flow(&x)?;
        let start: Vec<f64> = fitted.iter().map(|one| one.start.value).collect();
        let plain = riser.spec().with_flow_factor(base(1.0));
        let without = || Spread::scenario(&with(&start, plain)?, air);
        let rig = &calibration.rig;
        let mut slopes = Vec::new();
        for (n, one) in fitted.iter().enumerate() {
            let Range { min, max, .. } = one.parameter.range();
            let step = STEP * one.standard.value;
            let at = |value: f64| {
                let mut y = x.clone();
                y[n] = value;
                flow(&y)
            };
            let (a, b) = ((x[n] - step).max(min), (x[n] + step).min(max));
            let (low, high) = (at(a)?, at(b)?);
            slopes.push(if low > base(0.0) && high > base(0.0) && b > a {
                (high / low).value.ln() / (b - a)
            } else {
                f64::NAN
            });
        }
        let variance = calibration.variance(calibrated.spec(), air, slopes);
        let factor = (calibration.coverage()? * variance.max(0.0).sqrt()).exp();
        let spread = if !(water_flow > base(0.0) && factor.is_finite()) {
            // No logarithm where nothing flows, or next to it.
            hull(without()?, water_flow, water_flow)
        } else if rig.other_size(calibrated.spec(), air) {
            hull(without()?, water_flow / factor, water_flow * factor)
        } else {
            Spread {
                kind: SpreadKind::Calibration {
                    points: calibration.points,
                },
                low: water_flow / factor,
                high: water_flow * factor,
            }
        };
        Ok(CalibratedFlow {
            riser: calibrated,
            water_flow,
            spread,
            cautions: rig.cautions(calibrated.spec(), air),
        })
    }
}

impl Calibration {
    /// Variance of ln Q of a riser with these slopes of it by the parameters.
    fn variance(&self, spec: &RiserSpec, air: AirFlow, slopes: Vec<f64>) -> f64 {
        let (process, place) = (self.process(), Place::of(spec));
        let near = self.rig.air_share(spec, air);
        let shares = shares(&self.settings, &place, process);
        let known: f64 = shares
            .iter()
            .zip(&self.settings)
            .map(|(share, setting)| share * setting.place.alike(&place, process.reach))
            .sum();
        let h = slopes
            .into_iter()
            .chain(shares.iter().map(|share| -near * share));
        let h = DVector::from_iterator(self.fitted.len() + shares.len(), h);
        let posterior = (h.transpose() * self.joint().covariance * &h)[(0, 0)];
        let open = process.size.powi(2) * (1.0 - near * near * known).max(0.0);
        let scatter = self.terms.scatter.value.powi(2);
        let kept = spec.flow_factor.value.ln() * (1.0 - near);
        posterior + self.widening() * (open + scatter) + kept * kept
    }
}

/// A scenario, widened to hold two limits.
fn hull(scenario: Spread, low: VolumeRate, high: VolumeRate) -> Spread {
    Spread {
        low: scenario.low.min(low),
        high: scenario.high.max(high),
        ..scenario
    }
}
