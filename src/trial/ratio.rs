//! Air to water, with what the two have in common.

use super::instruments::Instruments;
use super::measured::Measured;
use super::repeats::Repeats;
use crate::air::AirState;
use crate::error::Error;
use crate::measurement::{Uncertain, combine};
use crate::units::{MassRate, Ratio, VolumeRate, base, ratio};

/// Volume of air for each volume of water, from one run.
///
/// One person who starts and stops one watch is late in both in the same way, so the two flows are
/// correlated, and part of the timing error cancels in their ratio:
///
/// ```text
/// (u_R/R)² = (u_a/ṁ)² + (u_w/Q)² − 2 cov        cov = r (u_s/t_a)(u_s/t_w)
/// ```
///
/// | symbol | meaning |
/// |---|---|
/// | r | [`Instruments::shared_timing`] |
/// | u_s, t_a, t_w | systematic reaction; mean times of air and water |
///
/// # Examples
/// ```
/// use risewater::trial::{AirToWater, DisplacedAir, Instruments, TimedVolume};
/// use risewater::units::*;
/// use risewater::Water;
///
/// let bench = Instruments::default();
/// let temperature = ThermodynamicTemperature::new::<degree_celsius>(18.0);
/// let seconds = |all: [f64; 3]| all.map(|t| Time::new::<second>(t)).to_vec();
/// let water = TimedVolume::new(Volume::new::<liter>(12.0), seconds([9.9, 10.0, 10.1]));
/// let air = DisplacedAir::new(
///     Volume::new::<liter>(5.0),
///     seconds([10.0, 10.1, 9.9]),
///     temperature,
///     AbsolutePressure::new::<kilopascal>(100.0),
///     Water::fresh(temperature)?,
/// );
/// let (water, air) = (water.water_flow(&bench)?, air.air_flow(&bench)?);
/// let together = AirToWater::of(&air, &water, &bench)?;
/// let apart = AirToWater::of(&air, &water, &bench.with_shared_timing(Ratio::new::<ratio>(0.0)))?;
/// assert!(together.ratio.standard < apart.ratio.standard);
/// // (0.1 s/10 s)², both with half of the variance 0.1² + 0.1² s²
/// assert_eq!(format!("{:.3e}", together.relative_covariance.get::<ratio>()), "1.000e-4");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [GUM (2008)](crate::references::GUM_2008), 5.2.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct AirToWater {
    /// Volume of air (dry, 20 °C, 101.325 kPa) for each volume of water.
    pub ratio: Uncertain<Ratio>,
    /// Covariance of the two flows, relative to their product.
    pub relative_covariance: Ratio,
    /// Correlation coefficient of the two flows.
    pub correlation: Ratio,
}

impl AirToWater {
    /// The ratio of two flows that were measured with the same instruments.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for instruments that cannot be.
    ///
    /// # Examples
    /// See [`AirToWater`].
    pub fn of(
        air: &Measured<MassRate>,
        water: &Measured<VolumeRate>,
        instruments: &Instruments,
    ) -> Result<Self, Error> {
        let r = instruments.checked()?.shared_timing.get::<ratio>();
        // cov = r (u_s/t_a)(u_s/t_w)
        let covariance = r * late(air.repeats.as_ref()) * late(water.repeats.as_ref());
        let both = air
            .budget
            .contributions
            .iter()
            .chain(&water.budget.contributions);
        let parts = both.map(|c| (c.signed, c.freedom));
        let (relative, freedom) = combine(parts, |_| -2.0 * covariance);
        let value = air.volume_rate_at(&AirState::DRY_20_C)?.value / water.value.value;
        let product = air.budget.relative.get::<ratio>() * water.budget.relative.get::<ratio>();
        Ok(Self {
            ratio: Uncertain {
                value,
                standard: value * relative,
                degrees_of_freedom: freedom,
            },
            relative_covariance: base(covariance),
            correlation: base(if product > 0.0 {
                covariance / product
            } else {
                0.0
            }),
        })
    }
}

/// u_s/t: what is the same in every time, relative to their mean; nothing for a meter.
fn late(repeats: Option<&Repeats>) -> f64 {
    repeats.map_or(0.0, |repeats| {
        (repeats.systematic / repeats.mean).get::<ratio>()
    })
}
