//! The performance curve of a riser: threshold, best efficiency, peak, and the points between.

use crate::air::AirFlow;
use crate::error::Error;
use crate::riser::{OperatingPoint, Outcome, Riser};

/// Air flow at which a curve ends, over that of its peak.
const BEYOND_PEAK: f64 = 2.0;
/// Air flow at which a curve starts when water runs without air, over that of its peak.
const BEFORE_PEAK: f64 = 0.01;

/// Water flow against air flow, from the threshold to beyond the peak.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Curve {
    /// Air flow at which water starts to flow; zero when it runs without air.
    pub threshold: AirFlow,
    /// Best efficiency; none when nothing is lifted.
    pub best_efficiency: Option<OperatingPoint>,
    /// Largest water flow.
    pub peak: OperatingPoint,
    /// Operating points by rising air flow, evenly spaced in its logarithm.
    pub points: Vec<OperatingPoint>,
}

impl Curve {
    /// The curve of a riser with about `points` operating points.
    ///
    /// # Errors
    /// [`Error::LiftOutOfReach`] when no air flow lifts the water that high.
    ///
    /// # Examples
    /// ```
    /// use risewater::riser::{Dimensions, RiserSpec, Site};
    /// use risewater::units::*;
    /// use risewater::{Curve, Model, Water};
    ///
    /// let site = Site {
    ///     water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0))?,
    ///     atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    /// };
    /// let riser = RiserSpec::new(Dimensions {
    ///     bore: Length::new::<millimeter>(50.0),
    ///     submergence: Length::new::<meter>(1.2),
    ///     lift: Length::new::<meter>(0.3),
    /// })
    /// .build(&site, Model::default())?;
    /// let curve = Curve::of(&riser, 20)?;
    /// assert!(curve.threshold < curve.peak.air);
    /// assert!(curve.points.iter().all(|point| point.water_flow <= curve.peak.water_flow));
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn of(riser: &Riser, points: usize) -> Result<Self, Error> {
        Self::below(riser, riser.peak()?, points)
    }

    /// The same for a riser whose peak is known.
    pub(crate) fn below(riser: &Riser, peak: OperatingPoint, points: usize) -> Result<Self, Error> {
        let threshold = riser.threshold()?.unwrap_or(peak.air);
        // Where any air slows what runs by gravity, the peak has none: as much air as water, at
        // 20 °C, then takes its place.
        let unit = AirFlow::from_kg_per_s(1.0).volume_rate_at_20_c();
        let scale = if peak.air.kg_per_s() > 0.0 {
            peak.air.kg_per_s()
        } else {
            (peak.water_flow / unit).value
        };
        let high = BEYOND_PEAK * scale;
        let low = threshold.kg_per_s().max(BEFORE_PEAK * scale);
        let steps = points.max(2);
        let ratio = (high / low).powf(1.0 / steps as f64);
        let mut curve = Self {
            threshold,
            best_efficiency: riser.best_above(threshold)?,
            peak,
            points: Vec::with_capacity(steps),
        };
        let air = (1..=steps).map(|n| AirFlow::from_kg_per_s(low * ratio.powf(n as f64)));
        let outcomes = riser.operate_all(&air.collect::<Vec<_>>())?;
        curve
            .points
            .extend(outcomes.iter().filter_map(Outcome::point));
        Ok(curve)
    }
}
