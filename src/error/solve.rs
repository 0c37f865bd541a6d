//! What the library solves for.

use std::fmt;

/// A number that the library solves for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Solve {
    /// Water flow at a given air flow.
    WaterFlow,
    /// Pressure at the foot of the two-phase column.
    FootPressure,
    /// Pressure at a choked mouth.
    ChokePressure,
    /// Air flow at which pumping starts.
    Threshold,
    /// Air flow of the peak.
    Peak,
    /// Air flow of best efficiency.
    BestEfficiency,
    /// Air flow for a wanted water flow.
    AirFlow,
    /// Submergence for a wanted water flow.
    Submergence,
    /// Lift reached at zero flow.
    Lift,
    /// Critical depth in a part-full pipe.
    CriticalDepth,
    /// Pressure in an air header.
    HeaderPressure,
    /// Air flow of a branch of a header.
    BranchFlow,
    /// Hole of an orifice plate for an air flow.
    OrificeSize,
    /// Flow of a blower at a pressure rise.
    BlowerFlow,
    /// Temperature at a blower's outlet, with the lines' losses at that temperature.
    OutletTemperature,
    /// Speed of a blower through a duty point.
    BlowerSpeed,
    /// Transfer coefficient of a riser from a test in a tank.
    TransferCoefficient,
}

impl fmt::Display for Solve {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::WaterFlow => "water flow",
            Self::FootPressure => "foot pressure",
            Self::ChokePressure => "choke pressure",
            Self::Threshold => "threshold air flow",
            Self::Peak => "peak",
            Self::BestEfficiency => "best efficiency",
            Self::AirFlow => "air flow",
            Self::Submergence => "submergence",
            Self::Lift => "lift at zero flow",
            Self::CriticalDepth => "critical depth",
            Self::HeaderPressure => "header pressure",
            Self::BranchFlow => "air flow of a branch",
            Self::OrificeSize => "hole of the orifice",
            Self::BlowerFlow => "flow of the blower",
            Self::OutletTemperature => "temperature at the blower's outlet",
            Self::BlowerSpeed => "speed of the blower",
            Self::TransferCoefficient => "transfer coefficient",
        })
    }
}
