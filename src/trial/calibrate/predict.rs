//! Flow of a riser predicted with a calibration, from the rig itself up to full size.

use super::Calibration;
use crate::air::AirFlow;
use crate::caution::Caution;
use crate::error::{Error, Range};
use crate::riser::Riser;
use crate::spread::{Spread, SpreadKind};
use crate::trial::coverage_factor;
use crate::units::{VolumeRate, base};

/// Step of a derivative, in standard uncertainties of the parameter.
const STEP: f64 = 0.1;

/// A water flow predicted with a calibration.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct CalibratedFlow {
    /// The riser with the calibrated parameters.
    pub riser: Riser,
    /// Its water flow.
    pub water_flow: VolumeRate,
    /// How sure it is.
    pub spread: Spread,
    /// Where it goes beyond the rig.
    pub cautions: Vec<Caution>,
}

impl Spread {
    /// The water flow of a riser at an air flow with the parameters of a calibration, and its spread.
    ///
    /// On a riser of the rig's bore and length it is a 95 % interval for one measured flow,
    ///
    /// ```text
    /// ln Q ± t √(gᵀCg + s²)     g = ∂ ln Q/∂x
    /// ```
    ///
    /// with the covariance C of the parameters x, the residual scatter s of the calibration and
    /// Student's t for its degrees of freedom. Outside the rig's bore or length in bores (by more than
    /// 1 %) that interval is not enough, since nothing says that the parameters keep their values
    /// there: the limits are then the lowest and the highest of that interval and of the
    /// [scenario](Spread::scenario) of the same riser without calibration, and the kind is
    /// [`SpreadKind::Scenario`], which is no confidence interval. Neither submergence ratio nor air
    /// velocity beyond the rig's widens it; each gives a caution.
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
        let x: Vec<f64> = fitted.iter().map(|one| one.value.value).collect();
        let with = |x: &[f64]| {
            let (spec, model) = calibration.with(x, *riser.spec());
            spec.build(riser.site(), model)
        };
        let flow = |x: &[f64]| Ok::<_, Error>(with(x)?.operate(air)?.water_flow());
        let calibrated = with(&x)?;
        let water_flow = flow(&x)?;
        let start: Vec<f64> = fitted.iter().map(|one| one.start.value).collect();
        let without = || Spread::scenario(&with(&start)?, air);
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
        let mut variance = calibration.residual.value.powi(2);
        for (row, g) in calibration.covariance.iter().zip(&slopes) {
            variance += row.iter().zip(&slopes).map(|(c, h)| g * c * h).sum::<f64>();
        }
        let k = coverage_factor(
            Calibration::level(),
            calibration.degrees_of_freedom() as f64,
        )?;
        let factor = (k * variance.max(0.0).sqrt()).exp();
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

/// A scenario, widened to hold two limits.
fn hull(scenario: Spread, low: VolumeRate, high: VolumeRate) -> Spread {
    Spread {
        low: scenario.low.min(low),
        high: scenario.high.max(high),
        ..scenario
    }
}
