//! Quantities and units in use, and the pressures that `uom` cannot tell apart.
//!
//! Every public signature carries `uom` quantities. This module re-exports those in use, and the
//! units to build and read them with, so that a caller needs no direct dependency on `uom`.
//!
//! ```
//! use risewater::units::{Length, meter, millimeter};
//!
//! let bore = Length::new::<millimeter>(76.2);
//! assert_eq!(format!("{:.4}", bore.get::<meter>()), "0.0762");
//! ```

use std::marker::PhantomData;

pub mod quantity;
pub(crate) mod system;

pub use system::UnitSystem;
/// Parts of one in a day, as a feed rate: 2 % a day is 0.02.
pub use uom::si::frequency::cycle_per_day as per_day;
/// Times an hour, as a turnover or a transfer coefficient.
pub use uom::si::frequency::cycle_per_hour as per_hour;
/// A kelvin of temperature difference; [`kelvin`] is that of a temperature.
pub use uom::si::temperature_interval::kelvin as kelvin_interval;
use uom::si::{Quantity, SI};
#[doc(no_inline)]
pub use uom::si::{
    acceleration::meter_per_second_squared,
    area::{square_meter, square_millimeter},
    diffusion_coefficient::square_meter_per_second,
    dynamic_viscosity::pascal_second,
    energy::kilowatt_hour,
    f64::{
        Acceleration, Area, DiffusionCoefficient, DynamicViscosity, Energy, Frequency, Length,
        Mass, MassConcentration, MassDensity, MassFlux, MassPerEnergy, MassRate, Molality,
        MolarConcentration, Power, Pressure, Ratio, SpecificHeatCapacity, SurfaceTension,
        TemperatureInterval, ThermodynamicTemperature, Time, Velocity, Volume, VolumeRate,
    },
    frequency::hertz,
    length::{centimeter, foot, inch, meter, micrometer, millimeter},
    mass::kilogram,
    mass_concentration::milligram_per_liter,
    mass_density::kilogram_per_cubic_meter,
    mass_per_energy::kilogram_per_kilowatt_hour,
    mass_rate::{
        gram_per_day, gram_per_hour, kilogram_per_day, kilogram_per_hour, kilogram_per_second,
    },
    molality::mole_per_kilogram,
    molar_concentration::mole_per_liter,
    power::{kilowatt, watt},
    pressure::{bar, kilopascal, pascal},
    ratio::{per_mille, percent, ratio},
    specific_heat_capacity::joule_per_kilogram_kelvin,
    surface_tension::newton_per_meter,
    thermodynamic_temperature::{degree_celsius, degree_fahrenheit, kelvin},
    time::{day, minute, second},
    velocity::meter_per_second,
    volume::{cubic_meter, liter, milliliter},
    volume_rate::{
        cubic_meter_per_hour, cubic_meter_per_second, liter_per_minute, liter_per_second,
    },
};

/// Pressure per length, as in a friction gradient; `uom` has no name of its own for it.
pub type PressureGradient = uom::si::Quantity<
    uom::si::ISQ<
        uom::typenum::N2,
        uom::typenum::P1,
        uom::typenum::N2,
        uom::typenum::Z0,
        uom::typenum::Z0,
        uom::typenum::Z0,
        uom::typenum::Z0,
    >,
    SI<f64>,
    f64,
>;

/// Mass of oxygen for a mass of animals and a time.
pub type SpecificOxygenUse = Frequency;

unit! {
    system: uom::si;
    quantity: uom::si::frequency;

    @milligram_per_kilogram_hour: 1e-6 / 3.6e3; "mg/(kg h)", "milligram per kilogram and hour",
        "milligrams per kilogram and hour";
}

pub use amount::micromole_per_kilogram;
pub use areal_rate::gram_per_square_meter_day;
pub use pressure::psi;
pub use volume_rate::{cubic_foot_per_minute, gallon_per_minute};

/// Exact, as in design files; `uom` rounds its pound-force.
mod pressure {
    unit! {
        system: uom::si;
        quantity: uom::si::pressure;

        @psi: crate::units::system::PSI; "psi", "pound-force per square inch", "pounds-force per square inch";
    }
}

/// Exact, as in design files; `uom` rounds its gallon and its cubic foot.
mod volume_rate {
    unit! {
        system: uom::si;
        quantity: uom::si::volume_rate;

        @cubic_foot_per_minute: crate::units::system::CUBIC_FOOT_PER_MIN; "cfm", "cubic foot per minute",
            "cubic feet per minute";
        @gallon_per_minute: crate::units::system::GALLON_PER_MIN; "gal/min", "US gallon per minute",
            "US gallons per minute";
    }
}

/// A rate of bacteria on the surface that they grow on.
mod areal_rate {
    unit! {
        system: uom::si;
        quantity: uom::si::mass_flux;

        @gram_per_square_meter_day: 1e-3 / 86.4e3; "g/(m² d)", "gram per square meter and day",
            "grams per square meter and day";
    }
}

/// The macro takes one quantity a module.
mod amount {
    unit! {
        system: uom::si;
        quantity: uom::si::molality;

        @micromole_per_kilogram: 1e-6; "umol/kg", "micromole per kilogram", "micromoles per kilogram";
    }
}

/// A quantity in a `const`, from its value in SI base units.
pub(crate) const fn base<D: uom::si::Dimension + ?Sized>(value: f64) -> Quantity<D, SI<f64>, f64> {
    Quantity {
        dimension: PhantomData,
        units: PhantomData,
        value,
    }
}

/// Standard gravity, 9.80665 m/s² exactly (CGPM 1901, resolution 2).
pub const STANDARD_GRAVITY: Acceleration = base(9.806_65);

/// The same in plain SI, for the solvers.
pub(crate) const GRAVITY_M_PER_S2: f64 = 9.806_65;

/// A pressure counted from vacuum.
///
/// The difference of two absolute pressures is a plain [`Pressure`]; a gauge pressure becomes
/// absolute only through the atmosphere it was read against.
///
/// ```
/// use risewater::units::{AbsolutePressure, GaugePressure, Pressure, kilopascal};
///
/// let atmosphere = AbsolutePressure::new::<kilopascal>(101.325);
/// let gauge = GaugePressure::new::<kilopascal>(18.0);
/// assert_eq!(format!("{:.3}", gauge.above(atmosphere).get::<kilopascal>()), "119.325");
/// let rise: Pressure = gauge.above(atmosphere) - atmosphere;
/// assert_eq!(format!("{:.1}", rise.get::<kilopascal>()), "18.0");
/// ```
///
/// A gauge pressure is not accepted where an absolute one is due:
///
/// ```compile_fail
/// use risewater::units::{AbsolutePressure, GaugePressure, Pressure, kilopascal};
///
/// let atmosphere = AbsolutePressure::new::<kilopascal>(101.325);
/// let gauge = GaugePressure::new::<kilopascal>(18.0);
/// let rise: Pressure = gauge - atmosphere;
/// ```
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, serde::Serialize)]
pub struct AbsolutePressure(pub(crate) Pressure);

/// A pressure counted from the atmosphere, as a gauge shows it. See [`AbsolutePressure`].
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct GaugePressure(pub(crate) Pressure);

macro_rules! pressure_newtype {
    ($name:ident) => {
        impl $name {
            /// From a number in the unit `N`.
            #[must_use]
            pub fn new<N>(value: f64) -> Self
            where
                N: uom::si::pressure::Unit + uom::si::pressure::Conversion<f64>,
            {
                Self(Pressure::new::<N>(value))
            }

            /// The number in the unit `N`.
            #[must_use]
            pub fn get<N>(self) -> f64
            where
                N: uom::si::pressure::Unit + uom::Conversion<f64, T = f64>,
                N: uom::si::pressure::Conversion<f64>,
            {
                self.0.get::<N>()
            }
        }
    };
}
pressure_newtype!(AbsolutePressure);
pressure_newtype!(GaugePressure);

impl AbsolutePressure {
    /// One standard atmosphere, 101 325 Pa exactly (CGPM 1954, resolution 4).
    pub const STANDARD_ATMOSPHERE: Self = Self(base(101_325.0));

    /// What a gauge in `atmosphere` shows at this pressure.
    #[must_use]
    pub fn gauge(self, atmosphere: Self) -> GaugePressure {
        GaugePressure(self.0 - atmosphere.0)
    }

    pub(crate) fn pascal(self) -> f64 {
        self.0.value
    }
}

impl std::ops::Sub for AbsolutePressure {
    type Output = Pressure;

    fn sub(self, other: Self) -> Pressure {
        self.0 - other.0
    }
}

impl std::ops::Add<Pressure> for AbsolutePressure {
    type Output = Self;

    fn add(self, rise: Pressure) -> Self {
        Self(self.0 + rise)
    }
}

impl GaugePressure {
    /// The absolute pressure, for a gauge read in `atmosphere`.
    #[must_use]
    pub fn above(self, atmosphere: AbsolutePressure) -> AbsolutePressure {
        AbsolutePressure(self.0 + atmosphere.0)
    }
}
