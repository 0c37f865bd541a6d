//! Other gases beside oxygen: their transfer coefficients, and what gas can carry off.

use super::{Gas, Solubility};
use crate::error::{Error, Input, range};
use crate::units::{Ratio, base, ratio};

range!(DIFFUSION_EXPONENT, 0.5 to 1, "Exponents of [`transfer_coefficient_ratio`]: penetration to film theory.");
range!(GAS_TO_LIQUID, 0 to 1e6, "Volumes of gas over water of [`Solubility::single_stage_removal`].");

/// Transfer coefficient kLa of a gas over that of oxygen, on the water's side.
///
/// ```text
/// k/k_O2 = (D/D_O2)ⁿ
/// ```
///
/// n is 1/2 by penetration theory, for bubbles whose surface moves; 2/3 for a rigid surface; 1 by film theory.
///
/// # Validity
/// The ratio is good to the diffusion coefficients, [some 15 %](Gas::diffusion_coefficient) each, from
/// memory; the salinity and temperature change both alike.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`DIFFUSION_EXPONENT`], [`Error::NotFinite`].
///
/// # Examples
/// ```
/// use risewater::gas::{Gas, transfer_coefficient_ratio};
/// use risewater::units::{Ratio, ratio};
///
/// // (1.92/2.10)^½
/// let k = transfer_coefficient_ratio(Gas::CarbonDioxide, Ratio::new::<ratio>(0.5))?;
/// assert_eq!(format!("{:.4}", k.get::<ratio>()), "0.9562");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [Cussler (2009)](crate::references::CUSSLER_2009), from memory.
pub fn transfer_coefficient_ratio(gas: Gas, exponent: Ratio) -> Result<Ratio, Error> {
    let n = DIFFUSION_EXPONENT.check(Input::DiffusionExponent, exponent.get::<ratio>())?;
    // k/k_O2 = (D/D_O2)ⁿ
    let d = gas.diffusion_coefficient() / Gas::Oxygen.diffusion_coefficient();
    Ok(base(d.get::<ratio>().powf(n)))
}

impl Solubility {
    /// Most of a dissolved gas that bubbles rising with the water can take out of it in one pass.
    ///
    /// ```text
    /// E = 1/(1 + L/(G/L_w))
    /// ```
    ///
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | E | share removed at full equilibrium | 1 |
    /// | L | [Ostwald's coefficient](Self::ostwald) | 1 |
    /// | G/L_w | volume flow of gas over that of water, at the pressure and temperature of the contact | 1 |
    ///
    /// The gas must hold none of it at the start. For carbon dioxide it is the free gas alone: carbonate that
    /// turns into it afterwards is not counted. In an airlift this cap, not the transfer, often governs.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`GAS_TO_LIQUID`], [`Error::NotFinite`].
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
    /// // Twice as much air as water at 20 °C, L = 0.9405: 1/(1 + 0.9405/2)
    /// let share = solubility.single_stage_removal(Gas::CarbonDioxide, Ratio::new::<ratio>(2.0))?;
    /// assert_eq!(format!("{:.3}", share.get::<ratio>()), "0.680");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    ///
    /// # References
    /// A mass balance with Henry's law.
    pub fn single_stage_removal(&self, gas: Gas, gas_to_liquid: Ratio) -> Result<Ratio, Error> {
        let l = self.ostwald(gas).get::<ratio>();
        let g = GAS_TO_LIQUID.check(Input::GasToLiquid, gas_to_liquid.get::<ratio>())?;
        if g == 0.0 {
            return Ok(base(0.0));
        }
        // E = 1/(1 + L/(G/L_w))
        Ok(base(1.0 / (1.0 + l / g)))
    }
}
