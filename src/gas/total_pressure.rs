//! Total gas pressure: whether water holds more gas than the air over it can keep in it.

use super::{Conditions, Gas, PRESSURE, Solubility, saturation};
use crate::error::{Error, Input, range};
use crate::units::{
    AbsolutePressure, GRAVITY_M_PER_S2, Length, MassConcentration, MassDensity, Pressure, Ratio,
    base, kilogram_per_cubic_meter, kilopascal, meter, milligram_per_liter, pascal,
};
use crate::water::GIVEN_DENSITY;

range!(DISSOLVED, 0 to 2000 "mg/L", "Concentrations of a dissolved gas.");
range!(INJECTION_DEPTH, 0 to 100 "m", "Depths of [`total_gas_pressure_bound`].");

/// Largest total gas pressure of fresh water over the barometer's where no other limit is given, 110 %.
///
/// [WAC 173-201A-200](crate::references::WAC_173_201A) (1)(f). It is no promise: a trial of Atlantic salmon parr
/// at 110 % was ended after 10 days for deaths or severe signs of gas bubble disease
/// ([Isaksen et al. (2026)](crate::references::ISAKSEN_2026)), so aim near 100 %.
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

/// Most total gas pressure of the water that leaves a lift, over the barometer's, for the depths of its foot,
/// where the air joins, and of its mouth.
///
/// ```text
/// TGP = 1 + ρ g (z + z_m)/(2 p_bar)
/// ```
///
/// Water and bubbles exchange gas all the way up, at a pressure that falls from that of the foot to that of the
/// mouth. The gases of a bubble press as much as the water round it, so with one transfer coefficient k for all
/// of them the total gas pressure P follows the pressure p that the water meets:
///
/// ```text
/// dP/dt = k (p − P)            P_out = P_in e^(−N) + (1 − e^(−N)) [p_m + (p_f − p_m) w]
/// w = 1/N − 1/(e^N − 1) ≤ ½    N = k t of the way up
/// ```
///
/// The second equation is for a pressure that falls evenly over the time of the water. Pass after pass P comes to
/// the bracket, and the less a pass exchanges the nearer w comes to a half. Water that enters with less leaves
/// with less. Where the mouth is as deep as the foot, the bound is the bubble's own, 1 + ρ g z/p_bar.
///
/// | symbol | meaning |
/// |---|---|
/// | z, z_m | depth of the foot; depth of the mouth, 0 of one that is open to the air |
/// | p_f, p_m | pressure at the foot and at the mouth |
/// | p_bar, ρ | barometer; density of the water |
///
/// # Validity
/// Hydrostatics alone let the pressure fall evenly over the time of the water, and put the foot at its depth. In a
/// running riser friction grows with the gas towards the mouth, so that the pressure stays high for longer: its
/// mean over time lies above the mean of its ends. The velocity head and the loss of the entrance lower the foot, by
/// more than that in risers up to 3 m deep: there it is a bound up to the peak of the curve, whatever the bore. Of
/// narrow risers near their peak the excess over 100 % can pass it by a hundredth at 5 m and by a twentieth at 10 m.
/// Water that enters with more than the bound may leave with more.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`INJECTION_DEPTH`], [`GIVEN_DENSITY`] or [`PRESSURE`],
/// [`Error::NotFinite`].
///
/// # Examples
/// ```
/// use risewater::gas::total_gas_pressure_bound;
/// use risewater::units::*;
///
/// // 1 m of 998.2 kg/m³ is 9789 Pa, 9.66 % of 101 325 Pa. An open top leaves half of it.
/// let m = Length::new::<meter>;
/// let bound = |mouth: f64| {
///     let density = MassDensity::new::<kilogram_per_cubic_meter>(998.2);
///     total_gas_pressure_bound(m(1.0), m(mouth), density, AbsolutePressure::STANDARD_ATMOSPHERE)
/// };
/// assert_eq!(format!("{:.2}", bound(0.0)?.get::<percent>()), "104.83");
/// assert_eq!(format!("{:.2}", bound(1.0)?.get::<percent>()), "109.66");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// Hydrostatics and Dalton's law.
pub fn total_gas_pressure_bound(
    foot_depth: Length,
    mouth_depth: Length,
    water_density: MassDensity,
    barometer: AbsolutePressure,
) -> Result<Ratio, Error> {
    let z = INJECTION_DEPTH.check(Input::InjectionDepth, foot_depth.get::<meter>())?;
    let z_m = INJECTION_DEPTH.check(Input::OutletDepth, mouth_depth.get::<meter>())?;
    let rho = water_density.get::<kilogram_per_cubic_meter>();
    GIVEN_DENSITY.check(Input::WaterDensity, rho)?;
    PRESSURE.check(Input::GasPressure, barometer.get::<kilopascal>())?;
    // TGP = 1 + ρ g (z + z_m)/(2 p_bar)
    let mean_m = f64::midpoint(z, z_m);
    Ok(base(
        1.0 + rho * GRAVITY_M_PER_S2 * mean_m / barometer.pascal(),
    ))
}
