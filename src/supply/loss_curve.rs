//! The loss of a diffuser, as its maker or the user measured it.

use crate::air::AirFlow;
use crate::error::{Error, Input, range};
use crate::units::{Pressure, kilopascal};

range!(INJECTOR_LOSS, 0 to 1000 "kPa", "Losses of a diffuser.");
range!(LOSS_POINTS, 1 to 1000 "points", "Numbers of points of a loss curve.");

/// Pressure lost in a diffuser over its air flow, by points.
///
/// Between points the loss is a straight line of the flow. Without air the loss is that of the first
/// point, less what its line to the second gives, but not below zero: fine pores hold back some
/// pressure even at no flow. Past the last point the line goes on; [`LossCurve::beyond`] tells.
///
/// # Examples
/// ```
/// use risewater::air::AirFlow;
/// use risewater::supply::LossCurve;
/// use risewater::units::*;
///
/// let air = |kg_per_h| AirFlow::from_dry_mass(MassRate::new::<kilogram_per_hour>(kg_per_h));
/// let kpa = Pressure::new::<kilopascal>;
/// let curve = LossCurve::new(vec![(air(1.0)?, kpa(2.0)), (air(3.0)?, kpa(3.0))])?;
/// assert_eq!(format!("{:.2}", curve.loss(air(2.0)?).get::<kilopascal>()), "2.50");
/// assert!(curve.beyond(air(4.0)?));
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct LossCurve {
    /// Mass rate of dry air in kg/s and loss in Pa; flows rise, losses do not fall.
    points: Vec<(f64, f64)>,
}

impl LossCurve {
    /// A curve through points in order of rising flow.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`INJECTOR_LOSS`] or [`LOSS_POINTS`]; [`Error::CurveNotRising`]
    /// for a flow that does not rise or a loss that falls.
    ///
    /// # Examples
    /// See [`LossCurve`].
    pub fn new(points: Vec<(AirFlow, Pressure)>) -> Result<Self, Error> {
        #[allow(clippy::cast_precision_loss, reason = "counts far below 2^53")]
        LOSS_POINTS.check(Input::LossPoints, points.len() as f64)?;
        for (_, loss) in &points {
            INJECTOR_LOSS.check(Input::DiffuserLoss, loss.get::<kilopascal>())?;
        }
        let points: Vec<(f64, f64)> = points
            .into_iter()
            .map(|(air, loss)| (air.kg_per_s(), loss.value))
            .collect();
        for (n, pair) in points.windows(2).enumerate() {
            if pair[1].0 <= pair[0].0 || pair[1].1 < pair[0].1 {
                return Err(Error::CurveNotRising { point: n + 2 });
            }
        }
        Ok(Self { points })
    }

    /// The loss at an air flow.
    ///
    /// # Examples
    /// See [`LossCurve`].
    #[must_use]
    pub fn loss(&self, air: AirFlow) -> Pressure {
        crate::units::base(self.loss_pa(air.kg_per_s()))
    }

    /// Whether an air flow is past the last point.
    #[must_use]
    pub fn beyond(&self, air: AirFlow) -> bool {
        self.points
            .last()
            .is_some_and(|last| air.kg_per_s() > last.0)
    }

    pub(super) fn loss_pa(&self, kg_per_s: f64) -> f64 {
        let [first, .., last] = self.points.as_slice() else {
            // One point: through zero, as the square of the flow.
            return self
                .points
                .first()
                .map_or(0.0, |(m, loss)| loss * (kg_per_s / m).powi(2));
        };
        let next = self
            .points
            .partition_point(|(m, _)| *m < kg_per_s)
            .clamp(1, self.points.len() - 1);
        let (a, b) = (self.points[next - 1], self.points[next]);
        let loss = a.1 + (kg_per_s - a.0) * (b.1 - a.1) / (b.0 - a.0);
        if kg_per_s < first.0 {
            loss.max(0.0)
        } else {
            debug_assert!(last.0 > first.0);
            loss
        }
    }
}
