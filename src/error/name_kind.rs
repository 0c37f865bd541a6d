//! What a name stands for.

use std::fmt;

/// What a name stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum NameKind {
    /// A pipe.
    Pipe,
    /// A pipe standard.
    Standard,
    /// A slip closure.
    Slip,
    /// A friction closure.
    Friction,
    /// An outlet.
    Outlet,
    /// A reference state of air.
    AirState,
    /// A sizing objective.
    Objective,
    /// A reading of the head at the brink of an outlet.
    Brink,
    /// A parameter of a calibration.
    Schema,
    /// A pipe fitting.
    Fitting,
    /// A drill.
    Drill,
    /// An injector.
    Injector,
    /// A system of drill sizes.
    DrillSystem,
    /// A set of limits for the water of a tank.
    Limits,
    /// A kind of power of an aerator.
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

impl fmt::Display for NameKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Pipe => "pipe",
            Self::Standard => "pipe standard",
            Self::Slip => "slip closure",
            Self::Friction => "friction closure",
            Self::Outlet => "outlet",
            Self::AirState => "reference state of air",
            Self::Objective => "objective",
            Self::Brink => "reading of the head at the brink",
            Self::Schema => "kind of file",
            Self::Fitting => "fitting",
            Self::Drill => "drill",
            Self::Injector => "injector",
            Self::DrillSystem => "system of drills",
            Self::Limits => "set of limits",
            Self::PowerKind => "kind of power",
        })
    }
}
