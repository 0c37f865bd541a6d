//! What the sources say together: a gas in water at any pressure, from its share of the dry gas.

use super::{
    CARBON_DIOXIDE_OF_AIR, Gas, PASCAL_PER_ATM, carbon_dioxide, checked, nitrogen_argon, oxygen,
    vapour,
};
use crate::error::{Error, Input, range};
use crate::units::{
    AbsolutePressure, MassConcentration, Pressure, Ratio, ThermodynamicTemperature, base,
    kilogram_per_cubic_meter, kilopascal, ratio,
};
use crate::water::Water;

range!(PRESSURE, 10 to 1100 "kPa", "Absolute pressures of moist gas over water: up to some 100 m under water.");
range!(FRACTION, 0 to 1, "Mole fractions in dry gas.");

/// Molar gas constant, J/(mol K), [CODATA (2018)](crate::references::CODATA_2018).
pub(crate) const MOLAR_GAS_CONSTANT: f64 = 8.314_462_618;

/// Water that gas is dissolved in, and the air over it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Conditions {
    /// Temperature of water and gas.
    pub temperature: ThermodynamicTemperature,
    /// Salinity by mass.
    pub salinity: Ratio,
    /// Absolute pressure of the moist gas, local: the barometer's, or that of a bubble.
    pub pressure: AbsolutePressure,
    /// Mole fraction of carbon dioxide in the dry air.
    pub carbon_dioxide: Ratio,
}

impl Conditions {
    /// Fresh water under outdoor air.
    #[must_use]
    pub const fn fresh(temperature: ThermodynamicTemperature, pressure: AbsolutePressure) -> Self {
        Self {
            temperature,
            salinity: base(0.0),
            pressure,
            carbon_dioxide: CARBON_DIOXIDE_OF_AIR,
        }
    }

    /// A site's water under outdoor air.
    #[must_use]
    pub fn of(water: &Water, pressure: AbsolutePressure) -> Self {
        Self::fresh(water.temperature(), pressure).with_salinity(water.salinity())
    }

    /// With salt.
    #[must_use]
    pub const fn with_salinity(mut self, salinity: Ratio) -> Self {
        self.salinity = salinity;
        self
    }

    /// With another mole fraction of carbon dioxide in the dry air.
    #[must_use]
    pub const fn with_carbon_dioxide(mut self, fraction: Ratio) -> Self {
        self.carbon_dioxide = fraction;
        self
    }

    /// Mole fraction of a gas in the dry air.
    #[must_use]
    pub const fn fraction(&self, gas: Gas) -> Ratio {
        match gas {
            Gas::CarbonDioxide => self.carbon_dioxide,
            _ => gas.fraction_of_air(),
        }
    }
}

/// A gas in water at equilibrium with moist air.
///
/// [`Solubility::equilibrium`] at the air's mole fraction; use that for other gas than air, or for many
/// pressures at one temperature.
///
/// # Errors
/// As [`Solubility::new`] and [`Solubility::equilibrium`].
///
/// # Examples
/// ```
/// use risewater::gas::{Conditions, Gas, saturation};
/// use risewater::units::*;
///
/// // Fresh water at 20 °C and one computed apart from Weiss (1974): 0.706 mg/L
/// let air = Conditions::fresh(
///     ThermodynamicTemperature::new::<degree_celsius>(20.0),
///     AbsolutePressure::STANDARD_ATMOSPHERE,
/// );
/// let outdoors = saturation(Gas::CarbonDioxide, &air)?;
/// assert_eq!(format!("{:.3}", outdoors.get::<milligram_per_liter>()), "0.706");
///
/// // A hall with 1500 ppm: in proportion.
/// let hall = air.with_carbon_dioxide(Ratio::new::<ratio>(1500e-6));
/// let indoors = saturation(Gas::CarbonDioxide, &hall)?;
/// assert_eq!(format!("{:.2}", indoors.get::<milligram_per_liter>()), "2.52");
/// # Ok::<(), risewater::Error>(())
/// ```
pub fn saturation(gas: Gas, conditions: &Conditions) -> Result<MassConcentration, Error> {
    Solubility::new(conditions.temperature, conditions.salinity)?.equilibrium(
        gas,
        conditions.fraction(gas),
        conditions.pressure,
    )
}

/// Solubility of all gases at one temperature and salinity.
///
/// ```text
/// c = h x (p − p_w) (1 − θ p)
/// ```
///
/// | symbol | meaning | oxygen | nitrogen, argon | carbon dioxide |
/// |---|---|---|---|---|
/// | h | coefficient | Benson & Krause (1984) at 1 atm and air's x | Hamme & Emerson (2004) likewise, times the water's density | K₀ of Weiss (1974) |
/// | x | mole fraction in the dry gas | | | |
/// | p | absolute pressure of the moist gas | | | |
/// | p_w | vapour pressure | USGS (2011), fresh water | Weiss & Price (1980) | Weiss & Price (1980) |
/// | θ | departure from Henry's law | USGS (2011) | 0 | 0: fugacity left out |
///
/// # Validity
/// 0 to 40 °C, practical salinity 0 to 40. Nitrogen and argon are in proportion to their partial
/// pressure. The fugacity of carbon dioxide is taken for its partial pressure: 0.3 to 0.5 % too much at one
/// and some 0.5 % more for each atmosphere on top.
///
/// # Examples
/// ```
/// use risewater::gas::{Gas, Solubility};
/// use risewater::units::*;
///
/// let solubility = Solubility::new(
///     ThermodynamicTemperature::new::<degree_celsius>(20.0),
///     Ratio::new::<per_mille>(0.0),
/// )?;
/// // Pure oxygen for air: 1/0.20946 times the 9.0924 mg/L of Benson & Krause at one atmosphere.
/// let pure = solubility.equilibrium(
///     Gas::Oxygen,
///     Ratio::new::<ratio>(1.0),
///     AbsolutePressure::STANDARD_ATMOSPHERE,
/// )?;
/// assert_eq!(format!("{:.2}", pure.get::<milligram_per_liter>()), "43.41");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [Benson & Krause (1984)](crate::references::BENSON_KRAUSE_1984),
/// [USGS (2011)](crate::references::USGS_2011_03),
/// [Hamme & Emerson (2004)](crate::references::HAMME_EMERSON_2004),
/// [Weiss (1974)](crate::references::WEISS_1974),
/// [Weiss & Price (1980)](crate::references::WEISS_PRICE_1980).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solubility {
    t_k: f64,
    vapour_pa: f64,
    laws: [Law; 4],
}

/// One gas at one temperature and salinity, in plain SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Law {
    /// h, kg/(m³ Pa).
    pub coefficient: f64,
    /// p_w, Pa.
    pub vapour_pa: f64,
    /// θ, 1/Pa.
    pub theta_per_pa: f64,
}

impl Law {
    /// Equilibrium concentration, kg/m³, from the mole fraction in dry gas and the pressure of the moist.
    pub fn kg_per_m3(&self, fraction: f64, p_pa: f64) -> f64 {
        // c = h x (p − p_w) (1 − θ p)
        self.coefficient * fraction * (p_pa - self.vapour_pa) * (1.0 - self.theta_per_pa * p_pa)
    }

    /// The law that gives a concentration at one atmosphere and a mole fraction.
    fn through(kg_per_m3: f64, fraction: Ratio, vapour_pa: f64, theta_per_pa: f64) -> Self {
        let mut law = Self {
            coefficient: 1.0,
            vapour_pa,
            theta_per_pa,
        };
        law.coefficient = kg_per_m3 / law.kg_per_m3(fraction.get::<ratio>(), PASCAL_PER_ATM);
        law
    }
}

impl Solubility {
    /// At a temperature and a salinity by mass.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`TEMPERATURE`](super::TEMPERATURE) or
    /// [`SALINITY`](super::SALINITY), [`Error::NotFinite`].
    ///
    /// # Examples
    /// See [`Solubility`].
    pub fn new(temperature: ThermodynamicTemperature, salinity: Ratio) -> Result<Self, Error> {
        let (t_c, s) = checked(temperature, salinity)?;
        let density = Water::new(temperature, salinity)?
            .density()
            .get::<kilogram_per_cubic_meter>();
        let vapour_pa = PASCAL_PER_ATM * vapour::atm(t_c, s);
        let amount = |gas: Gas, umol_per_kg: f64| {
            let kg_per_m3 = 1e-6 * umol_per_kg * gas.kg_per_mol() * density;
            Law::through(kg_per_m3, gas.fraction_of_air(), vapour_pa, 0.0)
        };
        let law = |gas: Gas| match gas {
            Gas::Oxygen => Law::through(
                1e-3 * oxygen::mg_per_l(t_c, s),
                gas.fraction_of_air(),
                PASCAL_PER_ATM * oxygen::vapour_atm(t_c),
                oxygen::theta_per_atm(t_c) / PASCAL_PER_ATM,
            ),
            Gas::Nitrogen => amount(gas, nitrogen_argon::nitrogen_umol_per_kg(t_c, s)),
            Gas::Argon => amount(gas, nitrogen_argon::argon_umol_per_kg(t_c, s)),
            Gas::CarbonDioxide => Law {
                coefficient: 1e3 * carbon_dioxide::mol_per_l_atm(t_c, s) * gas.kg_per_mol()
                    / PASCAL_PER_ATM,
                vapour_pa,
                theta_per_pa: 0.0,
            },
        };
        Ok(Self {
            t_k: t_c + 273.15,
            vapour_pa,
            laws: Gas::ALL.map(law),
        })
    }

    /// In a site's water.
    ///
    /// # Errors
    /// As [`Solubility::new`].
    pub fn of(water: &Water) -> Result<Self, Error> {
        Self::new(water.temperature(), water.salinity())
    }

    /// A gas in water at equilibrium with gas that holds it, saturated with vapour.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`FRACTION`] or [`PRESSURE`], [`Error::NotFinite`].
    ///
    /// # Examples
    /// See [`Solubility`].
    pub fn equilibrium(
        &self,
        gas: Gas,
        fraction_in_dry_gas: Ratio,
        pressure: AbsolutePressure,
    ) -> Result<MassConcentration, Error> {
        let x = FRACTION.check(Input::GasFraction, fraction_in_dry_gas.get::<ratio>())?;
        // The least pressure is above the vapour pressure at the highest temperature, 7.4 kPa.
        PRESSURE.check(Input::GasPressure, pressure.get::<kilopascal>())?;
        Ok(base(self.law(gas).kg_per_m3(x, pressure.pascal())))
    }

    /// Vapour pressure over the water, by [`weiss_price_1980`](super::weiss_price_1980).
    #[must_use]
    pub fn vapour_pressure(&self) -> Pressure {
        base(self.vapour_pa)
    }

    /// Concentration in water over concentration in gas at equilibrium, Ostwald's coefficient, at low
    /// pressure.
    ///
    /// ```text
    /// L = h R T/M
    /// ```
    ///
    /// # Examples
    /// ```
    /// use risewater::gas::{Gas, Solubility};
    /// use risewater::units::*;
    ///
    /// // K₀ R T at 20 °C in fresh water, computed apart: 0.9405
    /// let solubility = Solubility::new(
    ///     ThermodynamicTemperature::new::<degree_celsius>(20.0),
    ///     Ratio::new::<per_mille>(0.0),
    /// )?;
    /// let ostwald = solubility.ostwald(Gas::CarbonDioxide);
    /// assert_eq!(format!("{:.4}", ostwald.get::<ratio>()), "0.9405");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    #[must_use]
    pub fn ostwald(&self, gas: Gas) -> Ratio {
        // L = h R T/M
        base(self.law(gas).coefficient * MOLAR_GAS_CONSTANT * self.t_k / gas.kg_per_mol())
    }

    /// One gas in plain SI, for the solvers.
    pub(crate) fn law(&self, gas: Gas) -> Law {
        self.laws[gas as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn laws_are_in_the_order_of_the_gases() {
        for (n, gas) in Gas::ALL.into_iter().enumerate() {
            assert_eq!(gas as usize, n);
        }
    }
}
