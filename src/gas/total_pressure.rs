//! Total gas pressure: whether water holds more gas than the air over it can keep in it.

use super::{Conditions, Gas, PRESSURE, Solubility, saturation};
use crate::error::{Error, Input, Range};
use crate::units::{
    AbsolutePressure, GRAVITY_M_PER_S2, Length, MassConcentration, MassDensity, Pressure, Ratio,
    base, kilogram_per_cubic_meter, kilopascal, meter, milligram_per_liter, pascal,
};
use crate::water::GIVEN_DENSITY;

/// Concentrations of a dissolved gas.
pub const DISSOLVED: Range = Range::new(0.0, 2000.0, "mg/L");
/// Depths of [`injection_limit`].
pub const INJECTION_DEPTH: Range = Range::new(0.0, 100.0, "m");

/// Largest total gas pressure of fresh water over the barometer's where no other limit is given, 110 %.
///
/// [WAC 173-201A-200](crate::references::WAC_173_201A) (1)(f). It is no promise: in trials with salmon parr,
/// fish at 110 % showed signs of gas bubble trauma within 10 days, so aim near 100 %.
pub const TOTAL_GAS_PRESSURE_LIMIT: Ratio = base(1.10);
/// The same for water shallower than 1 m, 103 %: [CCME (1999)](crate::references::CCME_1999), from memory.
pub const SHALLOW_TOTAL_GAS_PRESSURE_LIMIT: Ratio = base(1.03);

/// Gases dissolved in water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dissolved {
    /// O₂.
    pub oxygen: MassConcentration,
    /// N₂.
    pub nitrogen: MassConcentration,
    /// Ar.
    pub argon: MassConcentration,
    /// Free CO₂.
    pub carbon_dioxide: MassConcentration,
}

impl Dissolved {
    /// Water at equilibrium with air.
    ///
    /// # Errors
    /// As [`saturation`].
    pub fn saturated(conditions: &Conditions) -> Result<Self, Error> {
        Ok(Self {
            oxygen: saturation(Gas::Oxygen, conditions)?,
            nitrogen: saturation(Gas::Nitrogen, conditions)?,
            argon: saturation(Gas::Argon, conditions)?,
            carbon_dioxide: saturation(Gas::CarbonDioxide, conditions)?,
        })
    }

    /// One of them.
    #[must_use]
    pub const fn of(&self, gas: Gas) -> MassConcentration {
        match gas {
            Gas::Oxygen => self.oxygen,
            Gas::Nitrogen => self.nitrogen,
            Gas::Argon => self.argon,
            Gas::CarbonDioxide => self.carbon_dioxide,
        }
    }
}

/// Pressures at which dissolved gases would stand over the water.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct TotalGasPressure {
    /// Sum of all, the vapour with them.
    pub total: AbsolutePressure,
    /// Of the gases, in the order of [`Gas::ALL`].
    pub partial: [Pressure; 4],
    /// Of the vapour.
    pub vapour: Pressure,
    /// The air over the water.
    pub barometer: AbsolutePressure,
}

impl TotalGasPressure {
    /// Total gas pressure over the barometer's, TGP; bubbles can form in animals above 1.
    #[must_use]
    pub fn share(&self) -> Ratio {
        base(self.total.pascal() / self.barometer.pascal())
    }

    /// Total gas pressure above the barometer's, ΔP; below zero where the water takes up gas.
    #[must_use]
    pub fn excess(&self) -> Pressure {
        self.total - self.barometer
    }
}

/// Total gas pressure of water, from what is dissolved in it.
///
/// ```text
/// p_i = c_i/(h_i (1 − θ_i P))          P = Σ p_i + p_w
/// TGP = P/p_bar                        ΔP = P − p_bar
/// ```
///
/// with the symbols of [`Solubility`]. A saturometer measures P outright; use this where it does not
/// reach, such as water that is computed.
///
/// # Validity
/// As [`Solubility`]. Water at equilibrium with air gives 100 % to within 1e-4, which is what the mole
/// fractions of air leave.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`DISSOLVED`] or [`PRESSURE`], [`Error::NotFinite`].
///
/// # Examples
/// ```
/// use risewater::gas::{Conditions, Dissolved, Solubility, total_gas_pressure};
/// use risewater::units::*;
///
/// // Water that took up air at 1.1 atm and is brought to the surface: 110 %.
/// let temperature = ThermodynamicTemperature::new::<degree_celsius>(20.0);
/// let bubble = Conditions::fresh(temperature, AbsolutePressure::new::<kilopascal>(111.4575));
/// let pressure = total_gas_pressure(
///     &Dissolved::saturated(&bubble)?,
///     &Solubility::new(temperature, bubble.salinity)?,
///     AbsolutePressure::STANDARD_ATMOSPHERE,
/// )?;
/// assert_eq!(format!("{:.1}", pressure.share().get::<percent>()), "110.0");
/// assert_eq!(format!("{:.1}", pressure.excess().get::<kilopascal>()), "10.1");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// Dalton's law; solubilities as in [`Solubility`].
pub fn total_gas_pressure(
    dissolved: &Dissolved,
    solubility: &Solubility,
    barometer: AbsolutePressure,
) -> Result<TotalGasPressure, Error> {
    PRESSURE.check(Input::GasPressure, barometer.get::<kilopascal>())?;
    for gas in Gas::ALL {
        let c = dissolved.of(gas).get::<milligram_per_liter>();
        DISSOLVED.check(Input::DissolvedGas, c)?;
    }
    // Partial pressures of gases that kept to Henry's law.
    let henry = |gas: Gas| {
        let c = 1e-3 * dissolved.of(gas).get::<milligram_per_liter>();
        c / solubility.law(gas).coefficient
    };
    let vapour = solubility.vapour_pressure().get::<pascal>();
    let rest: f64 = Gas::ALL
        .into_iter()
        .filter(|gas| *gas != Gas::Oxygen)
        .map(henry)
        .sum::<f64>()
        + vapour;
    // P = a/(1 − θ P) + b  →  θ P² − (1 + θ b) P + a + b = 0, its smaller root
    let (a, b) = (henry(Gas::Oxygen), rest);
    let theta = solubility.law(Gas::Oxygen).theta_per_pa;
    // Within `DISSOLVED` θ (a + b) is below 0.17, so that there is one.
    let half = 0.5 * (1.0 + theta * b);
    let total = (a + b) / (half + (half * half - theta * (a + b)).sqrt());
    let partial = Gas::ALL.map(|gas| {
        let law = solubility.law(gas);
        base(henry(gas) / (1.0 - law.theta_per_pa * total))
    });
    Ok(TotalGasPressure {
        total: AbsolutePressure(base(total)),
        partial,
        vapour: base(vapour),
        barometer,
    })
}

/// Most total gas pressure that air injected at a depth can give the water, over the barometer's.
///
/// ```text
/// TGP = 1 + ρ g z/p_bar
/// ```
///
/// It is reached when water and air come to full equilibrium at that depth; an airlift, whose bubbles
/// rise at once, stays below it. Guidelines that limit TGP hold for what animals meet.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`INJECTION_DEPTH`], [`GIVEN_DENSITY`] or [`PRESSURE`],
/// [`Error::NotFinite`].
///
/// # Examples
/// ```
/// use risewater::gas::injection_limit;
/// use risewater::units::*;
///
/// // 1 m of 998.2 kg/m³ is 9789 Pa, 9.66 % of 101 325 Pa.
/// let most = injection_limit(
///     Length::new::<meter>(1.0),
///     MassDensity::new::<kilogram_per_cubic_meter>(998.2),
///     AbsolutePressure::STANDARD_ATMOSPHERE,
/// )?;
/// assert_eq!(format!("{:.2}", most.get::<percent>()), "109.66");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// Hydrostatics.
pub fn injection_limit(
    depth: Length,
    water_density: MassDensity,
    barometer: AbsolutePressure,
) -> Result<Ratio, Error> {
    let z = INJECTION_DEPTH.check(Input::InjectionDepth, depth.get::<meter>())?;
    let rho = water_density.get::<kilogram_per_cubic_meter>();
    GIVEN_DENSITY.check(Input::WaterDensity, rho)?;
    PRESSURE.check(Input::GasPressure, barometer.get::<kilopascal>())?;
    // TGP = 1 + ρ g z/p_bar
    Ok(base(1.0 + rho * GRAVITY_M_PER_S2 * z / barometer.pascal()))
}
