//! What the water of a tank must hold.

use super::defaults;
use crate::error::{Error, Input, NeedError, range};
use crate::units::{Frequency, MassConcentration, milligram_per_liter, per_hour};

range!(LIMIT, 1e-6 to 1000 "mg/L", "Limits of concentrations.");
range!(TURNOVER, 0 to 1000 "volumes/h", "Turnovers of a tank.");

/// Limits of the water in a tank; none where nothing is asked.
///
/// They belong to a species and a stage: the two sets here are for a first look at grow-out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Least dissolved oxygen.
    pub oxygen: Option<MassConcentration>,
    /// Most total ammonia nitrogen.
    pub tan: Option<MassConcentration>,
    /// Most un-ionised ammonia, as nitrogen; of the two for ammonia, the stricter at the tank's pH counts.
    pub ammonia: Option<MassConcentration>,
    /// Most carbon dioxide.
    pub carbon_dioxide: Option<MassConcentration>,
    /// Tank volumes an hour, at least.
    pub turnover: Option<Frequency>,
}

impl Limits {
    /// No limit at all, to start from: `Limits { oxygen: …, ..Limits::NONE }`.
    pub const NONE: Self = Self {
        oxygen: None,
        tan: None,
        ammonia: None,
        carbon_dioxide: None,
        turnover: None,
    };

    /// Common limits of grow-out in warm water; no turnover.
    pub const WARM_WATER: Self = Self {
        oxygen: Some(defaults::OXYGEN_WARM.value),
        tan: Some(defaults::TAN_WARM.value),
        ammonia: Some(defaults::AMMONIA_WARM.value),
        carbon_dioxide: Some(defaults::CARBON_DIOXIDE_WARM.value),
        turnover: None,
    };

    /// Common limits for salmonids; no turnover.
    pub const SALMONIDS: Self = Self {
        oxygen: Some(defaults::OXYGEN_COOL.value),
        tan: Some(defaults::TAN_COOL.value),
        ammonia: Some(defaults::AMMONIA_COOL.value),
        carbon_dioxide: Some(defaults::CARBON_DIOXIDE_COOL.value),
        turnover: None,
    };

    pub(super) fn check(&self) -> Result<(), Error> {
        self.check_each()?;
        if *self == Self::NONE {
            return Err(Error::Need(NeedError::NoLimit));
        }
        Ok(())
    }

    /// Each by itself; there may be none.
    pub(crate) fn check_each(&self) -> Result<(), Error> {
        let concentrations = [
            (Input::LeastOxygen, self.oxygen),
            (Input::TanLimit, self.tan),
            (Input::AmmoniaLimit, self.ammonia),
            (Input::CarbonDioxideLimit, self.carbon_dioxide),
        ];
        for (what, limit) in concentrations {
            if let Some(limit) = limit {
                LIMIT.check(what, limit.get::<milligram_per_liter>())?;
            }
        }
        if let Some(turnover) = self.turnover {
            TURNOVER.check(Input::Turnover, turnover.get::<per_hour>())?;
        }
        Ok(())
    }
}
