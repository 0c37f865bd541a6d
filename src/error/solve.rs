//! What the library solves for.

/// A number that the library solves for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, strum::Display)]
#[strum(serialize_all = "lowercase")]
#[non_exhaustive]
pub enum Solve {
    /// Water flow at a given air flow.
    #[strum(to_string = "water flow")]
    WaterFlow,
    /// Pressure at the foot of the two-phase column.
    #[strum(to_string = "foot pressure")]
    FootPressure,
    /// Pressure at a choked mouth.
    #[strum(to_string = "choke pressure")]
    ChokePressure,
    /// Air flow at which pumping starts.
    #[strum(to_string = "threshold air flow")]
    Threshold,
    /// Air flow of the peak.
    Peak,
    /// Air flow of best efficiency.
    #[strum(to_string = "best efficiency")]
    BestEfficiency,
    /// Air flow for a wanted water flow.
    #[strum(to_string = "air flow")]
    AirFlow,
    /// Submergence for a wanted water flow.
    Submergence,
    /// Lift reached at zero flow.
    #[strum(to_string = "lift at zero flow")]
    Lift,
    /// Critical depth in a part-full pipe.
    #[strum(to_string = "critical depth")]
    CriticalDepth,
    /// Pressure in an air header.
    #[strum(to_string = "header pressure")]
    HeaderPressure,
    /// Air flow of a branch of a header.
    #[strum(to_string = "air flow of a branch")]
    BranchFlow,
    /// Hole of an orifice plate for an air flow.
    #[strum(to_string = "hole of the orifice")]
    OrificeSize,
    /// Flow of a blower at a pressure rise.
    #[strum(to_string = "flow of the blower")]
    BlowerFlow,
    /// Temperature at a blower's outlet, with the lines' losses at that temperature.
    #[strum(to_string = "temperature at the blower's outlet")]
    OutletTemperature,
    /// Speed of a blower through a duty point.
    #[strum(to_string = "speed of the blower")]
    BlowerSpeed,
    /// Transfer coefficient of a riser from a test in a tank.
    #[strum(to_string = "transfer coefficient")]
    TransferCoefficient,
    /// Ammonia of a closed loop.
    #[strum(to_string = "ammonia of the loop")]
    LoopAmmonia,
    /// Gases of a closed loop, with the lifts' balances at what enters them.
    #[strum(to_string = "gases of the loop")]
    LoopGases,
    /// Stock that a loop can keep.
    #[strum(to_string = "stock of the loop")]
    LoopStock,
    /// A day that ends as it began.
    #[strum(to_string = "day of the loop")]
    LoopDay,
    /// Time of the most or the least of a day.
    #[strum(to_string = "time of an extreme")]
    ExtremeTime,
}
