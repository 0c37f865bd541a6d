//! The units that a design file may use, by quantity, with their factors to SI base units.
//!
//! Factors are exact by definition: inch 25.4 mm, pound 0.453 592 37 kg, US gallon 231 in³, standard
//! gravity 9.806 65 m/s². Heads of water and mercury are the conventional ones of [NIST SP
//! 811](crate::references::NIST_SP_811), appendix B.8: water of 1000 kg/m³, mercury of
//! 13 595.1 kg/m³ (inH2O 249.0889 Pa, mmHg 133.3224 Pa).

use std::fmt;

use crate::units::GRAVITY_M_PER_S2 as GRAVITY;
use crate::units::UnitSystem;
use crate::units::system::{
    CUBIC_FOOT_M3, FOOT_M, GALLON_M3, INCH_M, POUND_FORCE_N, POUND_KG, PSI,
};

const MERCURY_KG_M3: f64 = 13_595.1;
const MINUTE_S: f64 = 60.0;
const HOUR_S: f64 = 3600.0;
const DAY_S: f64 = 86_400.0;

/// A unit with all its spellings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// Spellings, the preferred one first.
    pub spellings: &'static [&'static str],
    /// Worth of one unit in SI base units.
    pub factor: f64,
    /// What is added to the number before the factor: for temperatures only.
    pub offset: f64,
}

const fn unit(spellings: &'static [&'static str], factor: f64) -> Unit {
    Unit {
        spellings,
        factor,
        offset: 0.0,
    }
}

impl Unit {
    /// The preferred spelling.
    #[must_use]
    pub fn name(&self) -> &'static str {
        self.spellings.first().copied().unwrap_or_default()
    }

    /// A number of this unit in SI base units.
    pub(crate) fn si(&self, number: f64) -> f64 {
        (number + self.offset) * self.factor
    }

    /// A number in SI base units as a text of this unit that reads back as it, to five digits.
    pub(crate) fn text(&self, si: f64) -> String {
        let number = format!("{:.4e}", si / self.factor - self.offset);
        let number: f64 = number.parse().unwrap_or(si / self.factor - self.offset);
        // Below zero there is nothing but zero itself.
        format!(
            "{} {}",
            if number == 0.0 { 0.0 } else { number },
            self.name()
        )
    }

    /// Whether a text spells this unit.
    ///
    /// Letter case does not count but for a first m or M, which are a thousandth and a million.
    pub(crate) fn is_spelled(&self, text: &str) -> bool {
        self.spellings.iter().any(|spelling| {
            let same_start = text.chars().next() == spelling.chars().next();
            (same_start || !spelling.starts_with(['m', 'M']))
                && text.to_lowercase() == spelling.to_lowercase()
        })
    }
}

macro_rules! dimensions {
    ($($(#[$doc:meta])* $name:ident = $words:literal: $($table:ident)+;)*) => {
        /// What a text with a unit stands for.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        #[non_exhaustive]
        pub enum Dimension {
            $($(#[$doc])* $name,)*
        }

        impl Dimension {
            /// All of them.
            pub const ALL: &[Dimension] = &[$(Self::$name),*];

            fn tables(self) -> &'static [&'static [Unit]] {
                match self { $(Self::$name => &[$($table),+],)* }
            }
        }

        impl fmt::Display for Dimension {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(match self { $(Self::$name => $words,)* })
            }
        }
    };
}

// The first dimension that has a unit is the one that an error names it by.
dimensions! {
    /// Length, depth, height, diameter.
    Length = "length": LENGTH;
    /// Difference of two pressures.
    Pressure = "pressure": PRESSURE;
    /// Pressure counted from vacuum.
    AbsolutePressure = "absolute pressure": PRESSURE ABSOLUTE;
    /// Pressure counted from the atmosphere.
    GaugePressure = "gauge pressure": PRESSURE GAUGE;
    /// Volume per time.
    VolumeRate = "volume flow": VOLUME_RATE;
    /// Mass per time.
    MassRate = "mass flow": MASS_RATE;
    /// Temperature.
    Temperature = "temperature": TEMPERATURE;
    /// Part of one, as an efficiency; a plain number will do.
    Ratio = "ratio": RATIO;
    /// Mass per mass, as salinity.
    MassFraction = "mass fraction": MASS_FRACTION;
    /// Mass per volume.
    Density = "density": DENSITY;
    /// Dynamic viscosity.
    DynamicViscosity = "dynamic viscosity": DYNAMIC_VISCOSITY;
    /// Surface tension.
    SurfaceTension = "surface tension": SURFACE_TENSION;
    /// Velocity.
    Velocity = "velocity": VELOCITY;
    /// Power.
    Power = "power": POWER;
    /// Time.
    Time = "time": TIME;
    /// Volume.
    Volume = "volume": VOLUME;
    /// Mass.
    Mass = "mass": MASS;
    /// Area.
    Area = "area": AREA;
    /// Difference of two temperatures.
    TemperatureInterval = "temperature difference": TEMPERATURE_INTERVAL;
    /// Mass of what is dissolved per volume of water.
    Concentration = "concentration": CONCENTRATION;
    /// Oxygen that animals take, for their mass and time.
    OxygenUse = "oxygen use": OXYGEN_USE;
    /// Part of one in a day, as a feed rate.
    ShareOfDay = "share a day": SHARE_OF_DAY;
    /// Times in a second, as a transfer coefficient.
    Rate = "rate": RATE;
    /// Times that a tank's water is renewed, per time.
    Turnover = "turnover": TURNOVER;
    /// Mass per area and time, as the rate of a biofilter.
    MassFlux = "mass flux": MASS_FLUX;
}

impl Dimension {
    /// The units taken for this quantity, the usual ones first.
    ///
    /// ```
    /// use risewater::units::quantity::Dimension;
    ///
    /// let names: Vec<_> = Dimension::Velocity.units().map(|unit| unit.name()).collect();
    /// assert_eq!(names, ["m/s", "cm/s", "mm/s", "ft/s", "ft/min"]);
    /// ```
    pub fn units(self) -> impl Iterator<Item = &'static Unit> {
        self.tables().iter().copied().flatten()
    }

    /// The SI base unit as the end of a name, such as `m3_per_s`; empty for shares.
    #[cfg(feature = "sweep")]
    pub(crate) fn si_key(self) -> &'static str {
        match self {
            Self::Length => "m",
            Self::Pressure | Self::AbsolutePressure | Self::GaugePressure => "pa",
            Self::VolumeRate => "m3_per_s",
            Self::MassRate => "kg_per_s",
            Self::Temperature | Self::TemperatureInterval => "k",
            Self::Ratio | Self::MassFraction => "",
            Self::Density | Self::Concentration => "kg_per_m3",
            Self::DynamicViscosity => "pa_s",
            Self::SurfaceTension => "n_per_m",
            Self::Velocity => "m_per_s",
            Self::Power => "w",
            Self::Time => "s",
            Self::Volume => "m3",
            Self::Mass => "kg",
            Self::Area => "m2",
            Self::OxygenUse | Self::ShareOfDay | Self::Rate | Self::Turnover => "per_s",
            Self::MassFlux => "kg_per_m2_s",
        }
    }

    /// Whether a number needs no unit.
    #[must_use]
    pub(crate) fn takes_plain_number(self) -> bool {
        self == Self::Ratio
    }

    /// The number that a value in SI base units is in a unit, as of a [`Range`](crate::error::Range); itself where
    /// there is no such unit.
    pub(crate) fn number(self, si: f64, unit: &str) -> f64 {
        let Some(unit) = self.unit_spelled(unit.trim_end_matches(" gauge")) else {
            return si;
        };
        let number = if unit.factor < 1.0 {
            si * (1.0 / unit.factor) - unit.offset
        } else {
            si / unit.factor - unit.offset
        };
        // The number as it was written, where its last digit alone is lost on the way to SI and back.
        let written = format!("{number:.11e}").parse().unwrap_or(number);
        if (written + unit.offset) * unit.factor == si {
            written
        } else {
            number
        }
    }

    /// A number of a unit in SI base units, as of a [`Range`](crate::error::Range); itself where there is no such unit.
    #[cfg(feature = "sweep")]
    pub(crate) fn si_of(self, number: f64, unit: &str) -> f64 {
        let unit = self.unit_spelled(unit.trim_end_matches(" gauge"));
        unit.map_or(number, |unit| unit.si(number))
    }

    /// The unit by its name that people of a system write in place of a metric one; that one where they write it too.
    pub(crate) fn unit_in(
        self,
        metric: &str,
        units: UnitSystem,
        of_air: bool,
    ) -> Option<&'static Unit> {
        let us = match metric {
            "mm" => "in",
            "m" => "ft",
            "m2" => "ft2",
            "L" | "m3" => "gal",
            "L/min" | "m3/h" if of_air => "cfm",
            "L/min" | "m3/h" => "gpm",
            "kPa" => "psi",
            "degC" | "K" => "degF",
            "kg" => "lb",
            "kg/d" => "lb/d",
            "kg/h" => "lb/h",
            "W" => "hp",
            "m/s" => "ft/s",
            other => other,
        };
        self.unit_spelled(units.pick(metric, us).trim_end_matches(" gauge"))
    }

    pub(super) fn unit_spelled(self, text: &str) -> Option<&'static Unit> {
        self.units().find(|unit| unit.is_spelled(text))
    }

    /// Some units that would do, as "m, cm, mm, in or ft".
    pub(crate) fn advice(self) -> String {
        let mut names: Vec<_> = self.units().map(Unit::name).take(5).collect();
        if self.takes_plain_number() {
            names.push("a plain number");
        }
        match names.split_last() {
            Some((last, [])) => (*last).to_owned(),
            Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
            None => String::new(),
        }
    }
}

const LENGTH: &[Unit] = &[
    unit(&["m", "metre", "metres", "meter", "meters"], 1.0),
    unit(&["cm"], 1e-2),
    unit(&["mm"], 1e-3),
    unit(&["in", "inch", "inches", "in.", "\"", "″"], INCH_M),
    unit(&["ft", "foot", "feet", "ft.", "'", "′"], FOOT_M),
    unit(&["µm", "μm", "um"], 1e-6),
    unit(&["km"], 1e3),
];

const PRESSURE: &[Unit] = &[
    unit(&["kPa"], 1e3),
    unit(&["Pa"], 1.0),
    unit(&["mbar"], 100.0),
    unit(&["psi", "lbf/in2", "lbf/in²"], PSI),
    unit(
        &["inH2O", "inH₂O", "in H2O", "in H₂O", "inWC", "inWG"],
        1000.0 * GRAVITY * INCH_M,
    ),
    unit(&["bar"], 1e5),
    unit(&["hPa"], 100.0),
    unit(&["MPa"], 1e6),
    unit(&["mH2O", "mH₂O", "m H2O", "m H₂O"], 1000.0 * GRAVITY),
    unit(&["cmH2O", "cmH₂O", "cm H2O", "cm H₂O"], 10.0 * GRAVITY),
    unit(&["mmH2O", "mmH₂O", "mm H2O", "mm H₂O"], GRAVITY),
    unit(
        &["ftH2O", "ftH₂O", "ft H2O", "ft H₂O"],
        1000.0 * GRAVITY * FOOT_M,
    ),
    unit(&["atm"], 101_325.0),
    unit(&["mmHg", "mm Hg"], MERCURY_KG_M3 * GRAVITY * 1e-3),
    unit(&["inHg", "in Hg"], MERCURY_KG_M3 * GRAVITY * INCH_M),
    unit(&["kgf/cm2", "kgf/cm²"], GRAVITY * 1e4),
];

const ABSOLUTE: &[Unit] = &[
    unit(&["psia"], PSI),
    unit(&["bara", "bar(a)"], 1e5),
    unit(&["kPa(a)"], 1e3),
];

const GAUGE: &[Unit] = &[
    unit(&["psig"], PSI),
    unit(&["barg", "bar(g)"], 1e5),
    unit(&["kPa(g)"], 1e3),
];

const VOLUME_RATE: &[Unit] = &[
    unit(&["L/min", "lpm"], 1e-3 / MINUTE_S),
    unit(&["L/s", "lps"], 1e-3),
    unit(&["m3/h", "m³/h", "m^3/h"], 1.0 / HOUR_S),
    unit(&["gpm", "gal/min"], GALLON_M3 / MINUTE_S),
    unit(
        &["cfm", "ft3/min", "ft³/min", "ft^3/min"],
        CUBIC_FOOT_M3 / MINUTE_S,
    ),
    unit(&["L/h"], 1e-3 / HOUR_S),
    unit(&["m3/s", "m³/s", "m^3/s"], 1.0),
    unit(&["m3/min", "m³/min", "m^3/min"], 1.0 / MINUTE_S),
    unit(&["mL/min"], 1e-6 / MINUTE_S),
];

const MASS_RATE: &[Unit] = &[
    unit(&["kg/s"], 1.0),
    unit(&["kg/h"], 1.0 / HOUR_S),
    unit(&["g/h"], 1e-3 / HOUR_S),
    unit(&["kg/d", "kg/day"], 1.0 / DAY_S),
    unit(&["lb/min"], POUND_KG / MINUTE_S),
    unit(&["lb/d", "lb/day"], POUND_KG / DAY_S),
    unit(&["g/s"], 1e-3),
    unit(&["g/min"], 1e-3 / MINUTE_S),
    unit(&["lb/h"], POUND_KG / HOUR_S),
    unit(&["kg/min"], 1.0 / MINUTE_S),
    unit(&["g/d", "g/day"], 1e-3 / DAY_S),
];

const TEMPERATURE: &[Unit] = &[
    Unit {
        spellings: &["degC", "°C", "C", "deg C", "ºC", "℃"],
        factor: 1.0,
        offset: 273.15,
    },
    unit(&["K"], 1.0),
    Unit {
        spellings: &["degF", "°F", "F", "deg F", "ºF", "℉"],
        factor: 5.0 / 9.0,
        offset: 459.67,
    },
];

const RATIO: &[Unit] = &[
    unit(&["%", "percent"], 1e-2),
    unit(&["ppm", "umol/mol"], 1e-6),
];

const MASS_FRACTION: &[Unit] = &[
    unit(&["g/kg", "ppt", "‰"], 1e-3),
    unit(&["kg/kg"], 1.0),
    unit(&["%", "percent"], 1e-2),
];

const DENSITY: &[Unit] = &[
    unit(&["kg/m3", "kg/m³", "kg/m^3"], 1.0),
    unit(&["lb/ft3", "lb/ft³", "lb/ft^3"], POUND_KG / CUBIC_FOOT_M3),
    unit(&["kg/L"], 1e3),
    unit(&["g/cm3", "g/cm³", "g/cm^3", "g/mL"], 1e3),
];

const DYNAMIC_VISCOSITY: &[Unit] = &[
    unit(&["Pa s", "Pa.s", "Pa·s", "Pa*s"], 1.0),
    unit(&["mPa s", "mPa.s", "mPa·s", "mPa*s"], 1e-3),
    unit(&["cP"], 1e-3),
];

const SURFACE_TENSION: &[Unit] = &[
    unit(&["N/m"], 1.0),
    unit(&["mN/m"], 1e-3),
    unit(&["dyn/cm"], 1e-3),
];

const VELOCITY: &[Unit] = &[
    unit(&["m/s"], 1.0),
    unit(&["cm/s"], 1e-2),
    unit(&["mm/s"], 1e-3),
    unit(&["ft/s", "fps"], FOOT_M),
    unit(&["ft/min", "fpm"], FOOT_M / MINUTE_S),
];

const POWER: &[Unit] = &[
    unit(&["W"], 1.0),
    unit(&["kW"], 1e3),
    unit(&["hp"], 550.0 * FOOT_M * POUND_FORCE_N),
];

const TIME: &[Unit] = &[
    unit(&["s", "sec", "second", "seconds"], 1.0),
    unit(&["min", "minute", "minutes"], MINUTE_S),
    unit(&["ms"], 1e-3),
    unit(&["h", "hour", "hours"], HOUR_S),
];

const VOLUME: &[Unit] = &[
    unit(
        &["L", "litre", "litres", "liter", "liters", "dm3", "dm³"],
        1e-3,
    ),
    unit(&["mL", "cm3", "cm³", "cc"], 1e-6),
    unit(&["m3", "m³", "m^3"], 1.0),
    unit(&["gal", "gallon", "gallons"], GALLON_M3),
    unit(&["ft3", "ft³", "ft^3"], CUBIC_FOOT_M3),
];

const MASS: &[Unit] = &[
    unit(&["kg"], 1.0),
    unit(&["g"], 1e-3),
    unit(&["t"], 1e3),
    unit(&["lb", "lbs", "pound", "pounds"], POUND_KG),
];

const AREA: &[Unit] = &[
    unit(&["m2", "m²", "m^2"], 1.0),
    unit(&["cm2", "cm²", "cm^2"], 1e-4),
    unit(&["ft2", "ft²", "ft^2"], FOOT_M * FOOT_M),
];

const TEMPERATURE_INTERVAL: &[Unit] = &[
    unit(&["K", "degC", "°C", "deg C"], 1.0),
    unit(&["degF", "°F", "deg F"], 5.0 / 9.0),
];

const CONCENTRATION: &[Unit] = &[
    unit(&["mg/L", "g/m3", "g/m³", "g/m^3"], 1e-3),
    unit(&["ug/L", "µg/L", "μg/L"], 1e-6),
    unit(&["g/L"], 1.0),
];

const OXYGEN_USE: &[Unit] = &[
    unit(
        &["mg/(kg h)", "mg/kg/h", "mg/(kg*h)", "mg/(kg·h)", "g/(t h)"],
        1e-6 / HOUR_S,
    ),
    unit(&["mg/(kg min)", "mg/kg/min"], 1e-6 / MINUTE_S),
    unit(&["g/(kg h)", "g/kg/h"], 1e-3 / HOUR_S),
    unit(&["g/(kg d)", "g/kg/d"], 1e-3 / (24.0 * HOUR_S)),
];

const RATE: &[Unit] = &[
    unit(&["1/s", "s^-1"], 1.0),
    unit(&["1/min", "min^-1"], 1.0 / MINUTE_S),
    unit(&["1/h", "h^-1"], 1.0 / HOUR_S),
];

const SHARE_OF_DAY: &[Unit] = &[unit(
    &["%/d", "%/day", "percent/d", "percent/day"],
    1e-2 / DAY_S,
)];

const MASS_FLUX: &[Unit] = &[
    unit(&["g/(m2 d)", "g/m2/d", "g/(m² d)", "g/m²/d"], 1e-3 / DAY_S),
    unit(&["mg/(m2 d)", "mg/m2/d", "mg/(m² d)"], 1e-6 / DAY_S),
];

const TURNOVER: &[Unit] = &[
    unit(&["volumes/h", "per hour"], 1.0 / HOUR_S),
    unit(&["volumes/min", "per minute"], 1.0 / MINUTE_S),
    unit(&["volumes/d", "per day"], 1.0 / DAY_S),
];
