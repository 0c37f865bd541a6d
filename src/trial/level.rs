//! What drawing water does to the level of the source, and so to the flow that is measured.

use std::fmt;

use super::bench::Bench;
use super::plan::SHORT_FILL_S;
use crate::air::AirFlow;
use crate::error::Error;
use crate::riser::Riser;
use crate::units::system::to_decimals;
use crate::units::{
    Area, Length, Ratio, UnitSystem, Volume, VolumeRate, base, cubic_meter, cubic_meter_per_second,
    meter, ratio,
};

/// Share of the wanted uncertainty that a falling level may take as bias.
const SHARE: f64 = 1.0 / 3.0;

/// The fall of the source's level while a container fills, and what it does to the flow.
///
/// ```text
/// Δ = V/A        bias = Q(S − Δ/2, H + Δ/2)/Q(S, H) − 1
/// ```
///
/// | symbol | meaning |
/// |---|---|
/// | V, A | water drawn; water surface of the source |
/// | S, H | submergence and lift at the start |
///
/// The mean flow of a fill is taken for that at the middle level.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct LevelBudget {
    /// Fall during one fill.
    pub fall: Length,
    /// Relative bias of the mean flow of one fill.
    pub bias: Ratio,
    /// Fills that follow each other.
    pub fills: usize,
    /// Relative bias of the mean flow of all of them, when no water is returned between.
    pub bias_without_return: Ratio,
    /// What to do.
    pub advice: LevelAdvice,
}

/// What to do about a falling level.
#[derive(Debug, Clone, Copy, PartialEq, strum::IntoStaticStr, strum::VariantNames)]
#[strum(serialize_all = "snake_case")]
#[non_exhaustive]
pub enum LevelAdvice {
    /// The bias is a third of the wanted uncertainty at most.
    Negligible,
    /// Pour the water back after each fill.
    Return,
    /// Pour it back, and catch no more than this.
    Smaller {
        /// The container.
        container: Volume,
    },
    /// A container that small fills too fast: let the water flow back while it runs, and divert it
    /// for the fill alone from a wider tank, or hold the level by an inflow.
    HoldLevel,
}

impl LevelAdvice {
    /// The name in reports.
    #[must_use]
    pub fn code(self) -> &'static str {
        self.into()
    }
}

impl LevelAdvice {
    /// Its words in a system of units; `to_string` has them in metric units.
    #[must_use]
    pub fn worded(&self, units: UnitSystem) -> String {
        match self {
            Self::Negligible => "no matter".to_owned(),
            Self::Return => "return the water after each fill".to_owned(),
            Self::Smaller { container } => format!(
                "return the water, and catch {} at most",
                to_decimals(units, units.vessel_unit(), container.value, [1, 2])
            ),
            Self::HoldLevel => "hold the level by an inflow, or use a wider tank".to_owned(),
        }
    }
}

impl fmt::Display for LevelAdvice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.worded(UnitSystem::Metric))
    }
}

impl LevelBudget {
    pub(super) fn of(
        bench: &Bench,
        riser: &Riser,
        air: AirFlow,
        flow: VolumeRate,
        area: Area,
        (fills, caught): (usize, Volume),
    ) -> Result<Self, Error> {
        let fall: Length = caught / area;
        let bias = bias(riser, air, flow, fall)?;
        let bias_without_return = self::bias(riser, air, flow, fall * fills as f64)?;
        let allowed = SHARE * bench.wanted.get::<ratio>();
        let advice = if bias_without_return.abs() <= allowed {
            LevelAdvice::Negligible
        } else if bias.abs() <= allowed {
            LevelAdvice::Return
        } else {
            // The bias goes with the volume, nearly.
            let container = caught.get::<cubic_meter>() * allowed / bias.abs();
            if container / flow.get::<cubic_meter_per_second>() < SHORT_FILL_S {
                LevelAdvice::HoldLevel
            } else {
                LevelAdvice::Smaller {
                    container: base(container),
                }
            }
        };
        Ok(Self {
            fall,
            bias: base(bias),
            fills,
            bias_without_return: base(bias_without_return),
            advice,
        })
    }
}

/// Relative change of the flow at the middle of a fall; all of it when the inlet falls dry.
fn bias(riser: &Riser, air: AirFlow, flow: VolumeRate, fall: Length) -> Result<f64, Error> {
    let mut spec = *riser.spec();
    spec.dimensions.submergence -= 0.5 * fall;
    spec.dimensions.lift += 0.5 * fall;
    if spec.dimensions.submergence.get::<meter>() < crate::riser::SUBMERGENCE.min {
        return Ok(-1.0);
    }
    let lower = riser.with_spec(spec)?.operate(air)?.water_flow();
    Ok((lower / flow).get::<ratio>() - 1.0)
}
