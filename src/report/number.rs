//! Numbers for people, in metric or US customary units.

use crate::units::{
    Length, Mass, MassPerEnergy, MassRate, ThermodynamicTemperature, Velocity, Volume, VolumeRate,
    degree_celsius, kilogram, kilogram_per_day,
};

/// Units of text and CSV output; JSON is always SI.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[non_exhaustive]
pub enum UnitSystem {
    /// m, mm, L/min, kPa, W.
    #[default]
    Metric,
    /// ft, in, gal/min, cfm, psi, hp.
    Us,
}

const INCH_M: f64 = 0.0254;
const FOOT_M: f64 = 0.3048;
const LITER_PER_MIN: f64 = 1e-3 / 60.0;
const GALLON_M3: f64 = 231.0 * INCH_M * INCH_M * INCH_M;
const GALLON_PER_MIN: f64 = GALLON_M3 / 60.0;
const CUBIC_FOOT_PER_MIN: f64 = FOOT_M * FOOT_M * FOOT_M / 60.0;
const POUND_KG: f64 = 0.453_592_37;
const PSI: f64 = POUND_KG * 9.806_65 / (INCH_M * INCH_M);
const HORSEPOWER: f64 = 550.0 * FOOT_M * POUND_KG * 9.806_65;

impl UnitSystem {
    fn pick(self, metric: (f64, &'static str), us: (f64, &'static str)) -> (f64, &'static str) {
        match self {
            Self::Metric => metric,
            Self::Us => us,
        }
    }

    /// Unit and size of the unit of a water flow.
    pub(super) fn water_unit(self) -> (f64, &'static str) {
        self.pick((LITER_PER_MIN, "L/min"), (GALLON_PER_MIN, "gal/min"))
    }

    /// Unit and size of the unit of an air flow.
    pub(super) fn air_unit(self) -> (f64, &'static str) {
        self.pick((LITER_PER_MIN, "L/min"), (CUBIC_FOOT_PER_MIN, "cfm"))
    }

    pub(super) fn pressure_unit(self) -> (f64, &'static str) {
        self.pick((1e3, "kPa"), (PSI, "psi"))
    }

    pub(super) fn height_unit(self) -> (f64, &'static str) {
        self.pick((1.0, "m"), (FOOT_M, "ft"))
    }

    pub(super) fn bore_unit(self) -> (f64, &'static str) {
        self.pick((1e-3, "mm"), (INCH_M, "in"))
    }

    pub(super) fn power_unit(self) -> (f64, &'static str) {
        self.pick((1.0, "W"), (HORSEPOWER, "hp"))
    }

    pub(super) fn water(self, flow: VolumeRate) -> String {
        with(self.water_unit(), flow.value)
    }

    pub(super) fn air(self, flow: VolumeRate) -> String {
        with(self.air_unit(), flow.value)
    }

    pub(super) fn pressure(self, pascal: f64) -> String {
        with(self.pressure_unit(), pascal)
    }

    pub(super) fn height(self, length: Length) -> String {
        let (size, unit) = self.height_unit();
        format!("{} {unit}", place(length.value / size))
    }

    pub(super) fn bore(self, length: Length) -> String {
        with(self.bore_unit(), length.value)
    }

    pub(super) fn temperature(self, temperature: ThermodynamicTemperature) -> String {
        let celsius = temperature.get::<degree_celsius>();
        match self {
            Self::Metric => format!("{celsius:.1} degC"),
            Self::Us => format!("{:.1} degF", 1.8 * celsius + 32.0),
        }
    }

    pub(super) fn velocity(self, velocity: Velocity) -> String {
        let (size, unit) = self.pick((1.0, "m/s"), (FOOT_M, "ft/s"));
        format!("{:.2} {unit}", velocity.value / size)
    }

    pub(super) fn mass_flow(self, kg_per_s: f64) -> String {
        with(
            self.pick((1.0 / 3600.0, "kg/h"), (POUND_KG / 3600.0, "lb/h")),
            kg_per_s,
        )
    }

    pub(super) fn mass(self, mass: Mass) -> String {
        with(
            self.pick((1.0, "kg"), (POUND_KG, "lb")),
            mass.get::<kilogram>(),
        )
    }

    pub(super) fn mass_a_day(self, rate: MassRate) -> String {
        with(
            self.pick((1.0, "kg/d"), (POUND_KG, "lb/d")),
            rate.get::<kilogram_per_day>(),
        )
    }

    pub(super) fn volume(self, volume: Volume) -> String {
        with(self.pick((1.0, "m3"), (GALLON_M3, "gal")), volume.value)
    }

    /// As pounds for each horsepower and hour, in US units.
    pub(super) fn mass_per_energy(self, mass: MassPerEnergy) -> String {
        with(
            self.pick(
                (1.0 / 3.6e6, "kg/kWh"),
                (POUND_KG / (HORSEPOWER * 3600.0), "lb/(hp h)"),
            ),
            mass.value,
        )
    }

    pub(super) fn power(self, watt: f64) -> String {
        with(self.power_unit(), watt)
    }
}

fn with((size, unit): (f64, &str), si: f64) -> String {
    format!("{} {unit}", short(si / size))
}

/// Four significant digits, without an exponent where a person would not write one.
pub(super) fn short(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let magnitude = value.abs().log10().floor();
    if !(-4.0..9.0).contains(&magnitude) {
        return format!("{value:.3e}");
    }
    // 10 000 has none, 1000 to 9999 none, then one more for each decade down.
    let decimals = (0..8)
        .find(|n| value.abs() * 10f64.powi(*n) >= 999.5)
        .unwrap_or(8);
    format!("{value:.*}", usize::try_from(decimals).unwrap_or_default())
}

/// Three decimals at most, as a rule reads: heights and depths.
pub(super) fn place(value: f64) -> String {
    let text = format!("{value:.3}");
    let short = text.trim_end_matches('0');
    // One decimal at least tells a measure from a count.
    if short.ends_with('.') {
        format!("{short}0")
    } else {
        short.to_owned()
    }
}

/// A count with commas between thousands.
pub(super) fn count(number: usize) -> String {
    let digits = number.to_string();
    let mut text = String::new();
    for (n, digit) in digits.chars().enumerate() {
        if n > 0 && (digits.len() - n).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// A share as whole per cent, with its sign.
pub(super) fn change(ratio: f64) -> String {
    let text = format!("{:+.0} %", 100.0 * ratio);
    if text == "-0 %" {
        "+0 %".to_owned()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_as_people_write_them() {
        assert_eq!(short(0.0), "0");
        assert_eq!(short(123.456), "123.5");
        assert_eq!(short(12345.6), "12346");
        assert_eq!(short(0.012_345), "0.01235");
        assert_eq!(short(1e-9), "1.000e-9");
        assert_eq!(count(1_234_567), "1,234,567");
        assert_eq!(count(12), "12");
        assert_eq!(
            (place(1.4), place(0.15), place(2.0), place(0.0625)),
            ("1.4".into(), "0.15".into(), "2.0".into(), "0.062".into())
        );
    }
}
