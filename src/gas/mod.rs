//! Gases of the air in water: solubility, un-ionised ammonia, total gas pressure, aeration tests.
//!
//! Each source of solubility has its file; [`Solubility`] is what all of them say at one temperature and
//! salinity. Everywhere a *mole fraction* is that in dry gas: the vapour that saturates it is taken off the
//! pressure first. Salinity is by mass, as in [`Water`](crate::Water); the sources' practical salinity is
//! S 35/35.165 04 of it ([Millero et al. (2008)](crate::references::MILLERO_2008)).
//!
//! ```
//! use risewater::gas::{Conditions, Gas, saturation};
//! use risewater::units::*;
//!
//! // Fresh water at 20 °C and one atmosphere, APHA 4500-O from memory: 9.092 mg/L of oxygen.
//! let conditions = Conditions::fresh(
//!     ThermodynamicTemperature::new::<degree_celsius>(20.0),
//!     AbsolutePressure::STANDARD_ATMOSPHERE,
//! );
//! let oxygen = saturation(Gas::Oxygen, &conditions)?;
//! assert_eq!(format!("{:.3}", oxygen.get::<milligram_per_liter>()), "9.092");
//! # Ok::<(), risewater::Error>(())
//! ```

pub mod aeration;
mod ammonia;
mod carbon_dioxide;
mod exchange;
mod nitrogen_argon;
mod oxygen;
mod solubility;
mod total_pressure;
mod vapour;

use crate::error::{Error, Input, range};
use crate::units::{
    DiffusionCoefficient, Ratio, ThermodynamicTemperature, base, degree_celsius, per_mille,
};

pub use ammonia::{
    AMMONIA_LIMIT, AMMONIA_SALINITY, AmmoniaConditions, PH, ammonia_fraction, total_ammonia_limit,
};
pub use carbon_dioxide::{
    PARTIAL_PRESSURE, weiss_1974_by_mass_of_water, weiss_1974_by_volume_of_water,
};
pub use exchange::{DIFFUSION_EXPONENT, GAS_TO_LIQUID, transfer_coefficient_ratio};
pub use nitrogen_argon::{hamme_emerson_2004_argon, hamme_emerson_2004_nitrogen};
pub use oxygen::{benson_krause_1984, oxygen_pressure_factor};
pub(crate) use solubility::MOLAR_GAS_CONSTANT;
pub use solubility::{Conditions, FRACTION, PRESSURE, Solubility, saturation};
pub use total_pressure::{
    DISSOLVED, Dissolved, INJECTION_DEPTH, SHALLOW_TOTAL_GAS_PRESSURE_LIMIT,
    TOTAL_GAS_PRESSURE_LIMIT, TotalGasPressure, total_gas_pressure, total_gas_pressure_bound,
};
pub use vapour::weiss_price_1980;

range!(TEMPERATURE, 0 to 40 "degC",
    "Temperatures of water that gas is dissolved in; that of [`benson_krause_1984`], the narrowest.");
range!(SALINITY, 0 to 40.19 "g/kg", "Salinities of water that gas is dissolved in: practical salinity 0 to 40.");

/// Mole fraction of carbon dioxide in dry outdoor air where nothing else is given, 420e-6.
///
/// [Own default](crate::references::OWN_CARBON_DIOXIDE), from memory. Indoor air has more, and water
/// over it does too.
pub const CARBON_DIOXIDE_OF_AIR: Ratio = base(420e-6);

/// One standard atmosphere, 101 325 Pa exactly (CGPM 1954, resolution 4): the unit of the sources.
const PASCAL_PER_ATM: f64 = 101_325.0;

/// A gas of the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, strum::Display)]
#[strum(serialize_all = "lowercase")]
pub enum Gas {
    /// O₂.
    Oxygen,
    /// N₂.
    Nitrogen,
    /// Ar.
    Argon,
    /// CO₂, the free gas: what is bound as carbonate is not counted.
    #[strum(to_string = "carbon dioxide")]
    CarbonDioxide,
}

impl Gas {
    /// All of them.
    pub const ALL: [Self; 4] = [
        Self::Oxygen,
        Self::Nitrogen,
        Self::Argon,
        Self::CarbonDioxide,
    ];

    /// Molar mass.
    ///
    /// O 15.9994, N 14.0067, Ar 39.948, C 12.0107 g/mol: [IUPAC (2007)](crate::references::WIESER_BERGLUND_2009),
    /// from memory. Later tables round them by up to 4e-5.
    pub(crate) const fn kg_per_mol(self) -> f64 {
        match self {
            Self::Oxygen => 31.998_8e-3,
            Self::Nitrogen => 28.013_4e-3,
            Self::Argon => 39.948e-3,
            Self::CarbonDioxide => 44.009_5e-3,
        }
    }

    /// Mole fraction in dry outdoor air.
    ///
    /// [Glueckauf (1951)](crate::references::GLUECKAUF_1951), from memory: 0.20946, 0.78084, 0.00934;
    /// [`CARBON_DIOXIDE_OF_AIR`]. They add up to 1.000 06, since carbon dioxide has risen at the cost of
    /// oxygen; CIPM-2007 has 3.3e-4 less oxygen.
    #[must_use]
    pub const fn fraction_of_air(self) -> Ratio {
        match self {
            Self::CarbonDioxide => CARBON_DIOXIDE_OF_AIR,
            Self::Oxygen => base(0.209_46),
            Self::Nitrogen => base(0.780_84),
            Self::Argon => base(0.009_34),
        }
    }

    /// Diffusion coefficient in water at 25 °C.
    ///
    /// 2.10, 1.88, 2.00, 1.92e-9 m²/s: [Cussler (2009)](crate::references::CUSSLER_2009), from memory.
    /// Other tables differ by up to 15 % (oxygen 2.42e-9 in one), so use it for ratios alone.
    #[must_use]
    pub const fn diffusion_coefficient(self) -> DiffusionCoefficient {
        base(match self {
            Self::Oxygen => 2.10e-9,
            Self::Nitrogen => 1.88e-9,
            Self::Argon => 2.00e-9,
            Self::CarbonDioxide => 1.92e-9,
        })
    }
}

/// Temperature in °C and practical salinity, checked.
fn checked(temperature: ThermodynamicTemperature, salinity: Ratio) -> Result<(f64, f64), Error> {
    let t_c = temperature.get::<degree_celsius>();
    let s = salinity.get::<per_mille>();
    TEMPERATURE.check(Input::WaterTemperature, t_c)?;
    SALINITY.check(Input::Salinity, s)?;
    Ok((t_c, s * 35.0 / 35.165_04))
}
