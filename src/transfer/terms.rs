//! What is known of a lift's gases, and what follows of it for a depth and an operating point.

use super::{GasTransfer, Transferred};
use crate::caution::Caution;
use crate::error::Error;
use crate::gas::aeration::THETA;
use crate::gas::{
    CARBON_DIOXIDE_OF_AIR, Conditions, Dissolved, Gas, Solubility, TOTAL_GAS_PRESSURE_LIMIT,
    total_gas_pressure,
};
use crate::riser::{OperatingPoint, Riser, Site};
use crate::units::{
    Frequency, Length, MassConcentration, MassPerEnergy, Ratio, ThermodynamicTemperature, base,
    degree_celsius, percent,
};

/// What is known of the gases of a lift's water; nothing of it must be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GasTerms {
    /// Transfer coefficient k_L a of oxygen for a volume of water in the riser; without it there is no
    /// transfer to tell of.
    pub coefficient: Option<Frequency>,
    /// Temperature that the coefficient holds for; the water's own where none is given.
    pub coefficient_temperature: Option<ThermodynamicTemperature>,
    /// As in [`GasTransfer`].
    pub diffusion_exponent: Ratio,
    /// What the water that enters holds, in the order of [`Gas::ALL`]; where none is given, what
    /// [`GasTerms::tank`] has, else saturation with air.
    pub entering: [Option<MassConcentration>; 4],
    /// What the water of the animals' tanks holds at their limits, in the same order: lifts take in the tanks'
    /// own water.
    pub tank: [Option<MassConcentration>; 4],
    /// Mole fraction of carbon dioxide in the dry air.
    pub carbon_dioxide_of_air: Ratio,
    /// Largest total gas pressure that the water may have, over the barometer's;
    /// [`TOTAL_GAS_PRESSURE_LIMIT`] where none is given.
    pub limit: Option<Ratio>,
}

impl Default for GasTerms {
    fn default() -> Self {
        Self {
            coefficient: None,
            coefficient_temperature: None,
            diffusion_exponent: base(0.5),
            entering: [None; 4],
            tank: [None; 4],
            carbon_dioxide_of_air: CARBON_DIOXIDE_OF_AIR,
            limit: None,
        }
    }
}

/// The gases of one lift at its operating point.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct LiftGases {
    /// What they follow from.
    pub terms: GasTerms,
    /// Most total gas pressure of the water that leaves, over the barometer's, for water that enters with no more
    /// ([`Riser::total_gas_pressure_bound`]); none deeper than [`INJECTION_DEPTH`](crate::gas::INJECTION_DEPTH).
    pub bound: Option<Ratio>,
    /// Total gas pressure of the water that enters, over the barometer's; none where nothing is known of it.
    pub entering: Option<Ratio>,
    /// Largest total gas pressure that the water may have.
    pub limit: Ratio,
    /// The water that enters, with its defaults, and what the lift does to it; none without a coefficient.
    pub transfer: Option<(GasTransfer, Transferred)>,
    /// Oxygen that the water took up, for the isothermal energy of the air at the injection point.
    pub oxygen_per_air_energy: Option<MassPerEnergy>,
}

impl GasTerms {
    /// The exchange in water of a site; none without a coefficient.
    ///
    /// ```text
    /// k = k_g θ^(T − T_g)                                           θ = 1.024
    /// ```
    ///
    /// # Errors
    /// As [`Dissolved::saturated`].
    ///
    /// # References
    /// [ASCE/EWRI 2](crate::references::ASCE_EWRI_2), from memory.
    pub fn transfer(&self, site: &Site) -> Result<Option<GasTransfer>, Error> {
        let Some(given) = self.coefficient else {
            return Ok(None);
        };
        let t_c = site.water.temperature().get::<degree_celsius>();
        let given_t_c = self
            .coefficient_temperature
            .map_or(t_c, |t| t.get::<degree_celsius>());
        Ok(Some(GasTransfer {
            coefficient: given * THETA.value.powf(t_c - given_t_c),
            diffusion_exponent: self.diffusion_exponent,
            inlet: self.inlet(site)?,
            carbon_dioxide_of_air: self.carbon_dioxide_of_air,
        }))
    }

    /// What the water that enters holds, with its defaults.
    fn inlet(&self, site: &Site) -> Result<Dissolved, Error> {
        let air = Conditions::of(&site.water, site.atmosphere)
            .with_carbon_dioxide(self.carbon_dioxide_of_air);
        let saturated = Dissolved::saturated(&air)?;
        let entering = |gas: Gas| {
            let given = self.entering[gas as usize].or(self.tank[gas as usize]);
            given.unwrap_or(saturated.of(gas))
        };
        Ok(Dissolved {
            oxygen: entering(Gas::Oxygen),
            nitrogen: entering(Gas::Nitrogen),
            argon: entering(Gas::Argon),
            carbon_dioxide: entering(Gas::CarbonDioxide),
        })
    }

    /// Total gas pressure of the water that enters, over the barometer's; none where no gas of it is known.
    fn entering_pressure(&self, site: &Site) -> Result<Option<Ratio>, Error> {
        if self.assumed().len() == Gas::ALL.len() {
            return Ok(None);
        }
        let solubility = Solubility::of(&site.water)?;
        let found = total_gas_pressure(&self.inlet(site)?, &solubility, site.atmosphere)?;
        Ok(Some(found.share()))
    }

    /// The gases that are taken to enter at saturation with air.
    #[must_use]
    pub fn assumed(&self) -> Vec<Gas> {
        let open = |gas: &Gas| {
            self.entering[*gas as usize].is_none() && self.tank[*gas as usize].is_none()
        };
        Gas::ALL.into_iter().filter(open).collect()
    }

    /// The gases that are taken to enter as the tanks' water holds them at the animals' limits.
    #[must_use]
    pub fn at_limits(&self) -> Vec<Gas> {
        let open = |gas: &Gas| {
            self.entering[*gas as usize].is_none() && self.tank[*gas as usize].is_some()
        };
        Gas::ALL.into_iter().filter(open).collect()
    }

    /// What follows for a riser that runs; `rise` is how far its water can stand above its submergence.
    ///
    /// # Errors
    /// As [`GasTerms::transfer`] and [`Riser::transfer`].
    ///
    /// # Examples
    /// ```
    /// use risewater::riser::{Dimensions, RiserSpec, Site};
    /// use risewater::transfer::GasTerms;
    /// use risewater::units::*;
    /// use risewater::{AirFlow, AirState, Model, Water};
    ///
    /// let m = Length::new::<meter>;
    /// let water = Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0))?;
    /// let site = Site { water, atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE };
    /// let riser = RiserSpec::new(Dimensions { bore: m(0.0762), submergence: m(1.0), lift: m(0.1) })
    ///     .build(&site, Model::default())?;
    /// let air = AirFlow::at(VolumeRate::new::<liter_per_minute>(100.0), &AirState::DRY_20_C)?;
    /// let point = *riser.operate(air)?.point().expect("it pumps");
    /// // 1 m of 998.2 kg/m³ is 9.66 % of an atmosphere, and half of it the mean of foot and open mouth. Without a
    /// // coefficient there is no more to tell.
    /// let found = GasTerms::default().of(&riser, &point, m(0.0))?;
    /// let bound = found.bound.expect("less than 100 m deep");
    /// assert_eq!(format!("{:.2}", bound.get::<percent>()), "104.83");
    /// assert!(found.transfer.is_none() && found.cautions().is_empty());
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn of(
        &self,
        riser: &Riser,
        point: &OperatingPoint,
        rise: Length,
    ) -> Result<LiftGases, Error> {
        let site = riser.site();
        let transfer = match self.transfer(site)? {
            Some(known) => Some((known, riser.transfer(point, &known)?)),
            None => None,
        };
        let runs = point.injection_power.value > 0.0;
        let per_energy = |found: &Transferred| -> MassPerEnergy {
            base(found.oxygen_added.value / point.injection_power.value)
        };
        let added = transfer.as_ref().filter(|_| runs);
        Ok(LiftGases {
            terms: *self,
            bound: riser.total_gas_pressure_bound(point, rise).ok(),
            entering: self.entering_pressure(site)?,
            limit: self.limit.unwrap_or(TOTAL_GAS_PRESSURE_LIMIT),
            oxygen_per_air_energy: added.map(|(_, found)| per_energy(found)),
            transfer,
        })
    }
}

impl LiftGases {
    /// What the gases should be read with.
    #[must_use]
    pub fn cautions(&self) -> Vec<Caution> {
        let limit_percent = self.limit.get::<percent>();
        let above = |share: &Ratio| *share > self.limit;
        let by_depth = self.bound.filter(above);
        let by_depth = by_depth.map(|bound| Caution::TotalGasPressureAbove {
            bound_percent: bound.get::<percent>(),
            limit_percent,
        });
        let entering = self.entering.filter(above);
        let entering = entering.map(|share| Caution::EntersWithMuchGas {
            percent: share.get::<percent>(),
            limit_percent,
        });
        by_depth.into_iter().chain(entering).collect()
    }
}
