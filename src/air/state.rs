//! A state of air: temperature, absolute pressure and humidity.

use crate::error::{Error, Input, range};
use crate::units::{
    AbsolutePressure, Ratio, ThermodynamicTemperature, base, degree_celsius, kelvin, kilopascal,
    ratio,
};
use crate::water::saturation_pa;

range!(AIR_TEMPERATURE, -60 to 200 "degC", "Temperatures of an [`AirState`].");
range!(AIR_PRESSURE, 1 to 10_000 "kPa", "Absolute pressures of an [`AirState`].");
range!(HUMIDITY, 0 to 1, "Relative humidities of an [`AirState`], as a fraction.");

/// The state at which a volume of air is counted.
///
/// A volume flow of air means nothing without it: the same standard cubic metre holds up to 10 %
/// more or less air by the standard. Published reference states are the constants here, and
/// [`NAMED`](crate::air::NAMED) lists them.
///
/// # Examples
/// ```
/// use risewater::air::AirState;
/// use risewater::units::{AbsolutePressure, ThermodynamicTemperature, degree_celsius, kilopascal};
///
/// // Free air at a site.
/// let site = AirState::dry(
///     ThermodynamicTemperature::new::<degree_celsius>(12.0),
///     AbsolutePressure::new::<kilopascal>(95.0),
/// );
/// assert_ne!(site, AirState::named("normal_din_1343")?);
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirState {
    /// Temperature.
    pub temperature: ThermodynamicTemperature,
    /// Absolute pressure.
    pub pressure: AbsolutePressure,
    /// Relative humidity over liquid water, 0 to 1.
    pub humidity: Ratio,
}

/// A checked state in plain SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct StateSi {
    pub t_k: f64,
    pub p_pa: f64,
    /// Partial pressure of the vapour, φ p_s.
    pub vapour_pa: f64,
}

impl AirState {
    /// Dry air at a temperature and an absolute pressure.
    #[must_use]
    pub const fn dry(temperature: ThermodynamicTemperature, pressure: AbsolutePressure) -> Self {
        Self {
            temperature,
            pressure,
            humidity: base(0.0),
        }
    }

    /// The state in plain SI, when it can be.
    pub(super) fn checked(&self) -> Result<StateSi, Error> {
        let p_kpa = self.pressure.get::<kilopascal>();
        let humidity = self.humidity.get::<ratio>();
        AIR_TEMPERATURE.check(
            Input::AirTemperature,
            self.temperature.get::<degree_celsius>(),
        )?;
        AIR_PRESSURE.check(Input::AirPressure, p_kpa)?;
        HUMIDITY.check(Input::AirHumidity, humidity)?;
        let t_k = self.temperature.get::<kelvin>();
        let p_pa = self.pressure.pascal();
        let vapour_pa = humidity * saturation_pa(t_k);
        if vapour_pa < p_pa {
            Ok(StateSi {
                t_k,
                p_pa,
                vapour_pa,
            })
        } else {
            Err(Error::Inconsistent {
                larger: Input::AirPressure,
                larger_value: p_kpa,
                smaller: Input::VapourPressure,
                smaller_value: vapour_pa / 1000.0,
                unit: "kPa",
            })
        }
    }
}
