//! What a name stands for.

use std::fmt;

use super::Error;

/// What a name stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum NameKind {
    /// A pipe of the catalogue.
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
    /// Whether there are so few names that a fault tells them all.
    pub(super) fn has_few(self) -> bool {
        matches!(
            self,
            Self::Outlet | Self::Injector | Self::DrillSystem | Self::Limits | Self::PowerKind
        )
    }

    /// Where the right names are, if not among those that are told.
    pub(super) fn advice(self, told: &[String]) -> String {
        if !told.is_empty() {
            return format!("; there are {}", told.join(", "));
        }
        let list = match self {
            Self::Pipe | Self::Standard => "pipes",
            Self::Slip | Self::Friction => "models",
            Self::AirState => "states",
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

/// The one of `all` that goes by a name, exactly.
pub(crate) fn among<T: Copy>(
    kind: NameKind,
    name: &str,
    all: &[T],
    name_of: fn(T) -> &'static str,
) -> Result<T, Error> {
    let found = all.iter().copied().find(|one| name_of(*one) == name);
    found.ok_or_else(|| Error::unknown_name(kind, name, all.iter().map(|one| name_of(*one))))
}
