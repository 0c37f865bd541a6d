//! Numbers for people, in metric or US customary units.

use crate::units::system::{FOOT_M, GALLON_M3, POUND_KG, ShownUnit, with};
use crate::units::{
    Mass, MassPerEnergy, MassRate, ThermodynamicTemperature, Volume, kilogram, kilogram_per_day,
};

pub use crate::units::UnitSystem;
pub(super) use crate::units::system::{place, short};

const HORSEPOWER: f64 = 550.0 * FOOT_M * POUND_KG * 9.806_65;

impl UnitSystem {
    pub(super) fn power_unit(self) -> ShownUnit {
        self.pick((1.0, "W"), (HORSEPOWER, "hp"))
    }

    /// The state that volumes of air are counted in: 20 °C and one standard atmosphere.
    pub(super) fn air_state(self) -> &'static str {
        self.pick("20 degC and 101.325 kPa", "68 degF and 14.696 psi")
    }

    /// The water that the energy of lifting is stated for, over 1000 m3, and its name.
    pub(super) fn much_water(self) -> (f64, &'static str) {
        self.pick((1.0, "1000 m3"), (1e3 * GALLON_M3, "1 million gal"))
    }

    pub(super) fn temperature(self, temperature: ThermodynamicTemperature) -> String {
        self.temperature_to(1, temperature)
    }

    pub(super) fn mass_flow(self, kg_per_s: f64) -> String {
        with(
            self.pick((1.0 / 3600.0, "kg/h"), (POUND_KG / 3600.0, "lb/h")),
            kg_per_s,
        )
    }

    /// Unit of what the water of a loop exchanges.
    pub(super) fn exchange_unit(self) -> ShownUnit {
        self.pick((1e-3 / 3600.0, "g/h"), (POUND_KG / 86_400.0, "lb/d"))
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

    /// Volume of a vessel to catch water or air in, as it was given.
    pub(super) fn vessel(self, volume: Volume) -> String {
        match self {
            // Without the noise of binary fractions.
            Self::Metric => format!("{} L", (volume.value / 1e-3 * 1e6).round() / 1e6),
            Self::Us => with(self.vessel_unit(), volume.value),
        }
    }

    /// Mass of animals in a volume of water.
    pub(super) fn density(self, kg_per_m3: f64) -> (f64, &'static str) {
        let (size, unit) = self.pick((1.0, "kg/m3"), (POUND_KG / GALLON_M3, "lb/gal"));
        (kg_per_m3 / size, unit)
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
}

/// A count with commas between thousands.
pub(super) fn count(number: impl std::fmt::Display) -> String {
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
    use crate::units::{Length, inch, meter};

    #[test]
    fn numbers_as_people_write_them() {
        assert_eq!(count(1_234_567), "1,234,567");
        assert_eq!(count(12), "12");
        // 12 in to the foot.
        let inches = Length::new::<inch>;
        assert_eq!(UnitSystem::Us.height(inches(11.5)), "11.5 in");
        assert_eq!(UnitSystem::Us.height(inches(18.0)), "1.5 ft");
        let length = Length::new::<meter>(0.05);
        assert_eq!(UnitSystem::Metric.height(length), "0.05 m");
    }
}
