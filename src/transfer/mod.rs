//! Gas transfer in a running riser: what the bubbles give to the water and take from it on the way up.
//!
//! The transfer coefficient is the user's own, from an aeration test of such a riser: no correlation for it is
//! known to us that could be cited, and none is made up here.

mod aeration;
mod axial;
mod tank_test;
mod terms;

use std::array::from_fn;

use crate::error::{Error, Input, range};
use crate::gas::{
    Conditions, Dissolved, Gas, MOLAR_GAS_CONSTANT, Solubility, TotalGasPressure,
    total_gas_pressure, transfer_coefficient_ratio,
};
use crate::riser::{OperatingPoint, Riser, Station};
use crate::units::{
    Frequency, MassRate, Ratio, Time, VolumeRate, base, hertz, kelvin, milligram_per_liter, ratio,
};
pub use aeration::{Aeration, AerationBench, NoCoefficient, OwnCoefficient};
use axial::{Exchange, Phases, Step};
pub use tank_test::{TEST_OXYGEN_SHARE, TankTest};
pub use terms::{GasTerms, LiftGases};

range!(TRANSFER_COEFFICIENT, 0 to 1e6 "1/s", "Transfer coefficients that can be given: none to instant equilibrium.");

/// Stations of the way up; the error falls with their square, and is below 1e-6 of a concentration.
const STATIONS: usize = 129;

/// What is known of the exchange, and the water that enters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GasTransfer {
    /// Transfer coefficient k_L a of oxygen for a volume of water in the riser, at the water's temperature: the
    /// rate at which its deficit falls.
    pub coefficient: Frequency,
    /// Exponent of the ratio of diffusion coefficients that carries it to other gases: 0.5 by penetration theory,
    /// 1 by film theory.
    pub diffusion_exponent: Ratio,
    /// What is dissolved in the water that enters the riser.
    pub inlet: Dissolved,
    /// Mole fraction of carbon dioxide in the dry air that is blown.
    pub carbon_dioxide_of_air: Ratio,
}

/// What a riser does to the gases of its water.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Transferred {
    /// What is dissolved in the water that leaves.
    pub outlet: Dissolved,
    /// Gas that leaves with the air, dry, in the order of [`Gas::ALL`].
    pub off_gas: [MassRate; 4],
    /// Oxygen that the water took up; below zero where it gave some off.
    pub oxygen_added: MassRate,
    /// Carbon dioxide that it gave off.
    pub carbon_dioxide_removed: MassRate,
    /// The largest share of the free carbon dioxide that this air could take from this water in one pass, were it
    /// free of it.
    pub removal_ceiling: Ratio,
    /// Volume of the air at the mouth over that of the water.
    pub gas_to_liquid: Ratio,
    /// Total gas pressure of the water that leaves, against the site's air.
    pub total_pressure: TotalGasPressure,
    /// Time that the water took.
    pub water_time: Time,
}

impl Riser {
    /// Oxygen, nitrogen, argon and carbon dioxide of the water through a riser that runs: axial balances of
    /// water and bubbles, the pressure falling and the bubbles' composition changing on the way.
    ///
    /// ```text
    /// dc_i/dt = k_i [c*_i(x_i, p) − c_i]         L dc_i + dn_i = 0
    /// ```
    ///
    /// # Validity
    /// Both phases in plug flow at the water's temperature, the coefficient the same over the height, free carbon
    /// dioxide without carbonate that would follow it (so the removal is an upper bound where there is
    /// alkalinity). Void fraction and time are those of developed flow.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`TRANSFER_COEFFICIENT`] or the ranges of [`crate::gas`].
    ///
    /// # Examples
    /// ```
    /// use risewater::gas::{CARBON_DIOXIDE_OF_AIR, Conditions, Dissolved};
    /// use risewater::riser::{Dimensions, RiserSpec, Site};
    /// use risewater::transfer::GasTransfer;
    /// use risewater::units::*;
    /// use risewater::{AirFlow, AirState, Model, Water};
    ///
    /// let m = Length::new::<meter>;
    /// let temperature = ThermodynamicTemperature::new::<degree_celsius>(20.0);
    /// let atmosphere = AbsolutePressure::STANDARD_ATMOSPHERE;
    /// let site = Site { water: Water::fresh(temperature)?, atmosphere };
    /// let riser = RiserSpec::new(Dimensions { bore: m(0.0762), submergence: m(1.0), lift: m(0.1) })
    ///     .build(&site, Model::default())?;
    /// let air = AirFlow::at(VolumeRate::new::<liter_per_minute>(100.0), &AirState::DRY_20_C)?;
    /// let point = *riser.operate(air)?.point().expect("it pumps");
    /// // Water of a tank: half the oxygen, much carbon dioxide. The coefficient is an example, no data.
    /// let mg_per_l = MassConcentration::new::<milligram_per_liter>;
    /// let inlet = Dissolved {
    ///     oxygen: mg_per_l(4.5),
    ///     carbon_dioxide: mg_per_l(15.0),
    ///     ..Dissolved::saturated(&Conditions::fresh(temperature, atmosphere))?
    /// };
    /// let transfer = GasTransfer {
    ///     coefficient: Frequency::new::<hertz>(0.05),
    ///     diffusion_exponent: Ratio::new::<ratio>(0.5),
    ///     inlet,
    ///     carbon_dioxide_of_air: CARBON_DIOXIDE_OF_AIR,
    /// };
    /// let found = riser.transfer(&point, &transfer)?;
    /// assert!(found.outlet.oxygen > inlet.oxygen);
    /// assert!(found.outlet.carbon_dioxide < inlet.carbon_dioxide);
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn transfer(
        &self,
        point: &OperatingPoint,
        transfer: &GasTransfer,
    ) -> Result<Transferred, Error> {
        let water = &self.site().water;
        let solubility = Solubility::of(water)?;
        // Refuses what the gases' own ranges refuse, before anything is computed with it.
        total_gas_pressure(&transfer.inlet, &solubility, self.site().atmosphere)?;
        let pass = self.pass(point, transfer)?;
        let start = Gas::ALL.map(|gas| mol_per_m3(&transfer.inlet, gas));
        let phases = pass.phases(start);
        let outlet = dissolved(phases.water);
        let gained = |gas: Gas| -> MassRate {
            let i = gas as usize;
            base(pass.exchange.water_m3_per_s * (phases.water[i] - start[i]) * gas.kg_per_mol())
        };
        let gas_to_liquid = self.gas_to_liquid(point, phases.gas.iter().sum());
        Ok(Transferred {
            outlet,
            off_gas: from_fn(|i| base(phases.gas[i] * Gas::ALL[i].kg_per_mol())),
            oxygen_added: gained(Gas::Oxygen),
            carbon_dioxide_removed: -gained(Gas::CarbonDioxide),
            removal_ceiling: solubility.single_stage_removal(Gas::CarbonDioxide, gas_to_liquid)?,
            gas_to_liquid,
            total_pressure: total_gas_pressure(&outlet, &solubility, self.site().atmosphere)?,
            water_time: pass.water_time,
        })
    }

    /// The way up at an operating point, for many waters that enter; the inlet of `transfer` does not count.
    ///
    /// # Errors
    /// As [`Riser::transfer`].
    ///
    /// # Examples
    /// See [`Pass`].
    pub fn pass(&self, point: &OperatingPoint, transfer: &GasTransfer) -> Result<Pass, Error> {
        let coefficient = transfer.coefficient.get::<hertz>();
        TRANSFER_COEFFICIENT.check(Input::TransferCoefficient, coefficient)?;
        let water = &self.site().water;
        let solubility = Solubility::of(water)?;
        let air = Conditions::of(water, self.site().atmosphere)
            .with_carbon_dioxide(transfer.carbon_dioxide_of_air);
        Dissolved::saturated(&air)?;
        let mut rate_per_s = [0.0; 4];
        for (rate, gas) in rate_per_s.iter_mut().zip(Gas::ALL) {
            let share = transfer_coefficient_ratio(gas, transfer.diffusion_exponent)?;
            *rate = coefficient * share.get::<ratio>();
        }
        let profile = self.profile(point, STATIONS)?;
        let step = |pair: &[Station]| {
            let middle_pa = (pair[0].pressure.pascal() * pair[1].pressure.pascal()).sqrt();
            Step {
                seconds: (pair[1].water_time - pair[0].water_time).value,
                saturation: Gas::ALL
                    .map(|gas| solubility.law(gas).kg_per_m3(1.0, middle_pa) / gas.kg_per_mol()),
            }
        };
        Ok(Pass {
            exchange: Exchange {
                water_m3_per_s: point.water_flow.value,
                rate_per_s,
            },
            air_mol_per_s: moles(point, &air),
            steps: profile.windows(2).map(step).collect(),
            water_time: profile[STATIONS - 1].water_time,
        })
    }

    /// Volume of an amount of dry gas in mol/s at the mouth, with its vapour, over that of the water.
    fn gas_to_liquid(&self, point: &OperatingPoint, mol_per_s: f64) -> Ratio {
        let water = &self.site().water;
        let dry_pa = point.top.pressure.pascal() - water.vapour_pressure().pascal();
        let volume = mol_per_s * MOLAR_GAS_CONSTANT * water.temperature().get::<kelvin>() / dry_pa;
        base(volume / point.water_flow.value)
    }
}

/// The way of water and bubbles up a riser at one operating point: what leaves, for any water that enters.
///
/// ```
/// use risewater::gas::{CARBON_DIOXIDE_OF_AIR, Conditions, Dissolved};
/// use risewater::riser::{Dimensions, RiserSpec, Site};
/// use risewater::transfer::GasTransfer;
/// use risewater::units::*;
/// use risewater::{AirFlow, AirState, Model, Water};
///
/// let m = Length::new::<meter>;
/// let temperature = ThermodynamicTemperature::new::<degree_celsius>(20.0);
/// let atmosphere = AbsolutePressure::STANDARD_ATMOSPHERE;
/// let site = Site { water: Water::fresh(temperature)?, atmosphere };
/// let riser = RiserSpec::new(Dimensions { bore: m(0.0762), submergence: m(1.0), lift: m(0.1) })
///     .build(&site, Model::default())?;
/// let air = AirFlow::at(VolumeRate::new::<liter_per_minute>(100.0), &AirState::DRY_20_C)?;
/// let point = *riser.operate(air)?.point().expect("it pumps");
/// let transfer = GasTransfer {
///     coefficient: Frequency::new::<hertz>(0.05),
///     diffusion_exponent: Ratio::new::<ratio>(0.5),
///     inlet: Dissolved::saturated(&Conditions::fresh(temperature, atmosphere))?,
///     carbon_dioxide_of_air: CARBON_DIOXIDE_OF_AIR,
/// };
/// let pass = riser.pass(&point, &transfer)?;
/// assert_eq!(pass.outlet(&transfer.inlet), riser.transfer(&point, &transfer)?.outlet);
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Pass {
    exchange: Exchange,
    /// Of the air that enters.
    air_mol_per_s: [f64; 4],
    steps: Vec<Step>,
    water_time: Time,
}

impl Pass {
    /// What is dissolved in the water that leaves.
    #[must_use]
    pub fn outlet(&self, inlet: &Dissolved) -> Dissolved {
        dissolved(
            self.phases(Gas::ALL.map(|gas| mol_per_m3(inlet, gas)))
                .water,
        )
    }

    /// The same in g/m³, in the order of [`Gas::ALL`].
    pub(crate) fn outlet_g_per_m3(&self, inlet: [f64; 4]) -> [f64; 4] {
        let g_per_mol = Gas::ALL.map(|gas| 1e3 * gas.kg_per_mol());
        let phases = self.phases(from_fn(|i| inlet[i] / g_per_mol[i]));
        from_fn(|i| phases.water[i] * g_per_mol[i])
    }

    /// Flow of the water.
    #[must_use]
    pub fn water_flow(&self) -> VolumeRate {
        base(self.exchange.water_m3_per_s)
    }

    fn phases(&self, water: [f64; 4]) -> Phases {
        let start = Phases {
            water,
            gas: self.air_mol_per_s,
        };
        let steps = self.steps.iter();
        steps.fold(start, |phases, step| self.exchange.after(&phases, step))
    }
}

fn dissolved(mol_per_m3: [f64; 4]) -> Dissolved {
    let of = |gas: Gas| base(mol_per_m3[gas as usize] * gas.kg_per_mol());
    Dissolved {
        oxygen: of(Gas::Oxygen),
        nitrogen: of(Gas::Nitrogen),
        argon: of(Gas::Argon),
        carbon_dioxide: of(Gas::CarbonDioxide),
    }
}

fn mol_per_m3(dissolved: &Dissolved, gas: Gas) -> f64 {
    1e-3 * dissolved.of(gas).get::<milligram_per_liter>() / gas.kg_per_mol()
}

/// The air's gases, mol/s: fractions that add up to one, for a mass of dry air.
fn moles(point: &OperatingPoint, air: &Conditions) -> [f64; 4] {
    let fractions = Gas::ALL.map(|gas| air.fraction(gas).get::<ratio>());
    let masses = Gas::ALL.iter().zip(fractions);
    let kg_per_mol: f64 = masses.map(|(gas, x)| x * gas.kg_per_mol()).sum();
    fractions.map(|x| x * point.air.kg_per_s() / kg_per_mol)
}
