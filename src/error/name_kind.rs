//! What a name stands for.

use super::Error;

/// What a name stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, strum::Display)]
#[strum(serialize_all = "lowercase")]
#[non_exhaustive]
pub enum NameKind {
    /// A pipe.
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
    /// How water goes through the tanks of a loop.
    #[strum(to_string = "passage")]
    Passage,
    /// What comes first behind the tanks of a loop.
    #[strum(to_string = "order of a loop")]
    LoopOrder,
    /// How water goes through a filter.
    #[strum(to_string = "passage of a filter")]
    FilterPassage,
    /// A tank of animals.
    #[strum(to_string = "rearing tank")]
    RearingTank,
    /// What makes alkalinity good.
    #[strum(to_string = "base")]
    AlkalinityBase,
}

impl NameKind {
    /// Whether there are so few names that a fault tells them all.
    pub(super) fn has_few(self) -> bool {
        matches!(
            self,
            Self::Outlet
                | Self::Injector
                | Self::DrillSystem
                | Self::Limits
                | Self::PowerKind
                | Self::Passage
                | Self::LoopOrder
                | Self::FilterPassage
                | Self::RearingTank
                | Self::AlkalinityBase
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

/// A type that reads the names of `ALL` of it, exactly.
macro_rules! from_name {
    ($name:ident) => {
        impl std::str::FromStr for $name {
            type Err = $crate::error::Error;

            /// Reads the name, exactly.
            fn from_str(name: &str) -> Result<Self, Self::Err> {
                let kind = $crate::error::NameKind::$name;
                $crate::error::among(kind, name, Self::ALL, Self::name)
            }
        }
    };
}
pub(crate) use from_name;
