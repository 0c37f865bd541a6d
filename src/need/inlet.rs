//! The water that enters a tank.

use super::defaults;
use crate::error::{Error, Input, range};
use crate::units::{
    MassConcentration, Ratio, VolumeRate, liter_per_minute, milligram_per_liter, ratio,
};

range!(ENTERING, 0 to 1000 "mg/L", "Concentrations in water that enters a tank.");
range!(ENTERING_OXYGEN, 0 to 100 "mg/L",
    "Oxygen of water that enters. Pure oxygen at one atmosphere gives 70 mg/L at 0 °C, 4.8 times what air does; \
     a cone under pressure gives somewhat more.");
range!(ENTERING_SATURATION, 0.01 to 5, "The same over saturation with air.");
range!(EFFICIENCY, 0.001 to 1, "Efficiencies of one pass; at none at all no flow would do.");
range!(MAKEUP_FLOW, 0 to 1e9 "L/min", "Flows of makeup water.");

/// Oxygen of the water that enters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EnteringOxygen {
    /// So much, as measured; more than saturation with air where oxygen is added, as in a cone.
    Known(MassConcentration),
    /// So much of saturation with air in the tank's own conditions; above 1 as well.
    Saturated(Ratio),
    /// Water of the tank, aerated on its way back with an efficiency of one pass:
    /// C_in = C + E (C* − C).
    Reaerated(Ratio),
}

/// Ammonia or carbon dioxide of the water that enters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Entering {
    /// So much, as measured.
    Known(MassConcentration),
    /// Water of the tank, treated on its way back so that each pass removes a share E of what treatment can:
    /// C_in = C − E (C − C_a), with C_a the carbon dioxide at equilibrium with air, or none of ammonia.
    Treated(Ratio),
}

/// New water beside that which returns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Makeup {
    /// Its flow, which comes and goes by itself and is no part of the need.
    pub flow: VolumeRate,
    /// Its dissolved oxygen.
    pub oxygen: MassConcentration,
    /// Its total ammonia nitrogen.
    pub tan: MassConcentration,
    /// Its carbon dioxide.
    pub carbon_dioxide: MassConcentration,
}

/// What the water that enters a tank carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inlet {
    /// Dissolved oxygen.
    pub oxygen: EnteringOxygen,
    /// Total ammonia nitrogen.
    pub tan: Entering,
    /// Carbon dioxide.
    pub carbon_dioxide: Entering,
    /// New water beside it.
    pub makeup: Option<Makeup>,
}

/// Clean, aerated, new water as [`defaults::ALL`] has it; no makeup.
impl Default for Inlet {
    fn default() -> Self {
        Self {
            oxygen: EnteringOxygen::Saturated(defaults::ENTERING_SATURATION.value),
            tan: Entering::Known(defaults::ENTERING_TAN.value),
            carbon_dioxide: Entering::Known(defaults::ENTERING_CARBON_DIOXIDE.value),
            makeup: None,
        }
    }
}

impl Inlet {
    pub(super) fn check(&self) -> Result<(), Error> {
        match self.oxygen {
            EnteringOxygen::Known(value) => oxygen(Input::EnteringOxygen, value)?,
            EnteringOxygen::Saturated(share) => {
                ENTERING_SATURATION.check(Input::EnteringSaturation, share.get::<ratio>())?;
            }
            EnteringOxygen::Reaerated(efficiency) => {
                EFFICIENCY.check(Input::Reaeration, efficiency.get::<ratio>())?;
            }
        }
        self.tan.check(Input::EnteringTan, Input::TanRemoval)?;
        self.carbon_dioxide
            .check(Input::EnteringCarbonDioxide, Input::CarbonDioxideRemoval)?;
        if let Some(makeup) = &self.makeup {
            MAKEUP_FLOW.check(Input::MakeupFlow, makeup.flow.get::<liter_per_minute>())?;
            oxygen(Input::MakeupOxygen, makeup.oxygen)?;
            known(Input::MakeupTan, makeup.tan)?;
            known(Input::MakeupCarbonDioxide, makeup.carbon_dioxide)?;
        }
        Ok(())
    }
}

impl Entering {
    fn check(self, concentration: Input, removal: Input) -> Result<(), Error> {
        match self {
            Self::Known(value) => known(concentration, value),
            Self::Treated(efficiency) => {
                EFFICIENCY.check(removal, efficiency.get::<ratio>())?;
                Ok(())
            }
        }
    }
}

fn oxygen(what: Input, value: MassConcentration) -> Result<(), Error> {
    ENTERING_OXYGEN.check(what, value.get::<milligram_per_liter>())?;
    Ok(())
}

fn known(what: Input, value: MassConcentration) -> Result<(), Error> {
    ENTERING.check(what, value.get::<milligram_per_liter>())?;
    Ok(())
}
