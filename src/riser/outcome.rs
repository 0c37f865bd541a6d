//! What a riser does at a given air flow.

use std::fmt;

use crate::air::AirFlow;
use crate::regime::FlowPattern;
use crate::units::{AbsolutePressure, Power, Ratio, UnitSystem, Velocity, VolumeRate};

/// One end of the two-phase column.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct ColumnEnd {
    /// Absolute pressure: p1 at the foot, p2 at the top.
    pub pressure: AbsolutePressure,
    /// Void fraction α.
    pub void_fraction: Ratio,
    /// Superficial velocity of the water j_l.
    pub liquid_superficial_velocity: Velocity,
    /// Superficial velocity of the gas j_g at the local pressure.
    pub gas_superficial_velocity: Velocity,
    /// Mean velocity of the water, j_l/(1 − α).
    pub liquid_velocity: Velocity,
    /// Mean velocity of the gas, j_g/α.
    pub gas_velocity: Velocity,
    /// Flow pattern.
    pub pattern: FlowPattern,
}

/// A riser at work.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct OperatingPoint {
    /// Water flow.
    pub water_flow: VolumeRate,
    /// Air flow.
    pub air: AirFlow,
    /// Absolute pressure p0 in the water at the injection point: what the air must overcome.
    pub injection_pressure: AbsolutePressure,
    /// Foot of the two-phase column.
    pub foot: ColumnEnd,
    /// Its top.
    pub top: ColumnEnd,
    /// Useful power ρ_l g Q_l H over the [power at the injection point](Self::injection_power), with H the
    /// difference of the water levels. Zero when nothing is lifted.
    pub efficiency: Ratio,
    /// Isothermal power ṁRT ln(p0/p_a) of the air at the injection point: what must be delivered there,
    /// without losses of line and blower.
    pub injection_power: Power,
    /// Volume of air (dry, 20 °C, 101.325 kPa) for each volume of water.
    pub air_to_water: Ratio,
}

/// What becomes of an air flow.
#[derive(Debug, Clone, Copy, PartialEq, strum::IntoStaticStr, strum::VariantNames)]
#[strum(serialize_all = "snake_case")]
#[non_exhaustive]
#[must_use]
pub enum Outcome {
    /// Water flows.
    Pumping(OperatingPoint),
    /// Water flows, and the gas leaves the mouth at its limiting velocity.
    Choked(OperatingPoint),
    /// The column does not reach the outlet: no water flows. A result, not a failure.
    BelowThreshold {
        /// The air flow asked for.
        air: AirFlow,
        /// Air flow at which pumping starts; none when no air flow lifts the water that high.
        threshold: Option<AirFlow>,
    },
    /// So much air that its friction and inertia keep the water out: no water flows.
    BlownDry {
        /// The air flow asked for.
        air: AirFlow,
        /// Air flow at which pumping starts.
        threshold: AirFlow,
    },
}

impl fmt::Display for Outcome {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let water = |point: &OperatingPoint| UnitSystem::Metric.water(point.water_flow);
        match self {
            Self::Pumping(point) => write!(f, "{} of water", water(point)),
            Self::Choked(point) => write!(f, "{} of water, the mouth choked", water(point)),
            Self::BelowThreshold {
                threshold: Some(start),
                ..
            } => write!(f, "no water; pumping starts at {start}"),
            Self::BelowThreshold {
                threshold: None, ..
            } => f.write_str("no water; however much air, it is not lifted that high"),
            Self::BlownDry { threshold, .. } => write!(
                f,
                "no water; so much air keeps it out, and pumping starts at {threshold}"
            ),
        }
    }
}

impl OperatingPoint {
    /// The same with a water flow that a bench trial found to be so many times as large; pressures, void fractions
    /// and velocities of the column stay those of the closures.
    #[must_use]
    pub(crate) fn times(mut self, factor: f64) -> Self {
        self.water_flow *= factor;
        self.efficiency *= factor;
        self.air_to_water /= factor;
        self
    }
}

impl Outcome {
    /// The same with so many times the water flow.
    pub(crate) fn times(self, factor: f64) -> Self {
        match self {
            Self::Pumping(point) => Self::Pumping(point.times(factor)),
            Self::Choked(point) => Self::Choked(point.times(factor)),
            dry => dry,
        }
    }

    /// The operating point, when water flows.
    #[must_use]
    pub fn point(&self) -> Option<&OperatingPoint> {
        match self {
            Self::Pumping(point) | Self::Choked(point) => Some(point),
            Self::BelowThreshold { .. } | Self::BlownDry { .. } => None,
        }
    }

    /// The name in reports.
    #[must_use]
    pub fn name(&self) -> &'static str {
        self.into()
    }

    /// The air flow at which pumping starts, where nothing flows and it is known.
    #[must_use]
    pub fn threshold(&self) -> Option<AirFlow> {
        match self {
            Self::Pumping(_) | Self::Choked(_) => None,
            Self::BelowThreshold { threshold, .. } => *threshold,
            Self::BlownDry { threshold, .. } => Some(*threshold),
        }
    }

    /// The water flow; zero when nothing flows.
    #[must_use]
    pub fn water_flow(&self) -> VolumeRate {
        self.point()
            .map_or(crate::units::base(0.0), |point| point.water_flow)
    }
}
