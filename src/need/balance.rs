//! One balance a limit, and the flow that each asks for.

use std::fmt;

use super::load::Load;
use crate::units::{MassConcentration, MassRate, VolumeRate, base};

/// What a flow of water is needed for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, strum::IntoStaticStr, serde::Serialize)]
#[strum(serialize_all = "snake_case")]
#[serde(rename_all = "snake_case")]
pub enum Line {
    /// To bring oxygen.
    Oxygen,
    /// To carry off ammonia.
    Ammonia,
    /// To carry off carbon dioxide.
    CarbonDioxide,
    /// To renew the tank's water.
    Turnover,
}

impl Line {
    /// All of them, in the order of a [`Need`].
    pub const ALL: [Self; 4] = [
        Self::Oxygen,
        Self::Ammonia,
        Self::CarbonDioxide,
        Self::Turnover,
    ];

    /// The name in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }
}

impl fmt::Display for Line {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.name().replace('_', " "))
    }
}

/// The numbers behind the flow for one substance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// What the animals use or give off.
    pub load: MassRate,
    /// What the tank's water must hold: the limit. Of ammonia, as total ammonia nitrogen.
    pub tank: MassConcentration,
    /// What the water that enters carries.
    pub entering: MassConcentration,
    /// What the makeup water carries already, of the load; negative where it makes it worse.
    pub by_makeup: MassRate,
}

/// The flow that one limit asks for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NeededFlow {
    /// The limit.
    pub line: Line,
    /// The flow.
    pub flow: VolumeRate,
    /// How it comes about; none of a turnover.
    pub balance: Option<Balance>,
}

/// The flow of water that a tank needs: what goes through it beside any makeup water.
#[derive(Debug, Clone, PartialEq)]
#[must_use]
pub struct Need {
    /// What the animals use and give off.
    pub load: Load,
    /// The flow for each limit that was given, in the order of [`Line::ALL`].
    pub requirements: Vec<NeededFlow>,
}

impl Need {
    /// The largest of the flows.
    #[must_use]
    pub fn flow(&self) -> VolumeRate {
        self.largest().map_or(base(0.0), |largest| largest.flow)
    }

    /// The line with the largest flow, the first of equals; none when no flow is needed.
    #[must_use]
    pub fn governing(&self) -> Option<Line> {
        let largest = self.largest()?;
        (largest.flow > base(0.0)).then_some(largest.line)
    }

    /// The flow for one line, when its limit was given.
    #[must_use]
    pub fn line(&self, line: Line) -> Option<&NeededFlow> {
        self.requirements.iter().find(|one| one.line == line)
    }

    fn largest(&self) -> Option<&NeededFlow> {
        self.requirements.iter().reduce(
            |first, next| {
                if next.flow > first.flow { next } else { first }
            },
        )
    }
}

impl Balance {
    /// The flow of the water that enters: oxygen falls from it to the tank, all else rises.
    ///
    /// ```text
    /// Q = (P − Q_m |C − C_m|)/|C − C_in|       what the makeup Q_m does is taken off first
    /// ```
    ///
    /// With C_in = (1 − E) C it is Q = P/(E C). Nothing is needed when the makeup carries it all.
    pub(super) fn requirement(self, line: Line) -> NeededFlow {
        let carried = if line == Line::Oxygen {
            self.entering - self.tank
        } else {
            self.tank - self.entering
        };
        let left = self.load - self.by_makeup;
        let flow = if left > base(0.0) {
            left / carried
        } else {
            base(0.0)
        };
        let balance = Some(self);
        NeededFlow {
            line,
            flow,
            balance,
        }
    }
}
