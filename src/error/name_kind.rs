//! What a name stands for.

/// What a name stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, strum::Display)]
#[strum(serialize_all = "lowercase")]
#[non_exhaustive]
pub enum NameKind {
    /// A pipe of the catalogue.
    Pipe,
    /// A pipe standard.
    #[strum(to_string = "pipe standard")]
    Standard,
    /// A slip closure.
    #[strum(to_string = "slip closure")]
    Slip,
    /// A friction closure.
    #[strum(to_string = "friction closure")]
    Friction,
    /// An outlet.
    Outlet,
    /// A reference state of air.
    #[strum(to_string = "reference state of air")]
    AirState,
    /// A sizing objective.
    Objective,
    /// A reading of the head at the brink of an outlet.
    #[strum(to_string = "reading of the head at the brink")]
    Brink,
    /// A parameter of a calibration.
    #[strum(to_string = "kind of file")]
    Schema,
    /// A pipe fitting.
    Fitting,
    /// A drill.
    Drill,
    /// An injector.
    Injector,
    /// A system of drill sizes.
    #[strum(to_string = "system of drills")]
    DrillSystem,
    /// A set of limits for the water of a tank.
    #[strum(to_string = "set of limits")]
    Limits,
    /// A kind of power of an aerator.
    #[strum(to_string = "kind of power")]
    PowerKind,
}

impl NameKind {
    /// Where the right names are.
    pub(super) fn advice(self) -> String {
        let list = match self {
            Self::Pipe | Self::Standard => "pipes",
            Self::Slip | Self::Friction => "models",
            Self::AirState => "states",
            Self::Outlet => {
                return format!("; there are {}", crate::riser::Outlet::NAMES.join(", "));
            }
            Self::Injector => {
                return "; there are open_tube, drilled_ring, diffuser".to_owned();
            }
            Self::DrillSystem => return "; there are metric, inch, none".to_owned(),
            Self::Limits => return "; there are warm_water, salmonids, none".to_owned(),
            Self::PowerKind => return "; there are wire, shaft, air".to_owned(),
            Self::Fitting => "fittings",
            _ => return String::new(),
        };
        format!("; `risewater list {list}` has them all")
    }
}
