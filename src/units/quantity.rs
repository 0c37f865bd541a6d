//! Text with a unit to a typed quantity, as "76 mm" or "12 cfm".
//!
//! The form is number, optional space, unit. The number is decimal with a point, with or without
//! exponent; the unit is one of [`Dimension::units`]. A number without a unit is an error where a
//! unit is due: no unit is ever taken for granted.

use super::{
    AbsolutePressure, Area, DynamicViscosity, Frequency, GaugePressure, Length, Mass,
    MassConcentration, MassDensity, MassFlux, MassRate, Power, Pressure, Ratio, SpecificOxygenUse,
    SurfaceTension, TemperatureInterval, ThermodynamicTemperature, Time, Velocity, Volume,
    VolumeRate, base,
};
use crate::name::nearest;

mod dimension;

pub use dimension::{Dimension, Unit};

/// Why a text is not the quantity expected.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum QuantityError {
    /// Nothing but white space.
    #[error("the text is empty; give the {expected} in {}", expected.advice())]
    Empty {
        /// What is due.
        expected: Dimension,
    },
    /// It does not start with a number, or what follows the number is no unit at all.
    #[error("{text:?} is not a number with a unit; give the {expected} in {}", expected.advice())]
    NotANumber {
        /// The text given.
        text: String,
        /// What is due.
        expected: Dimension,
    },
    /// NaN, an infinity, or too large for a number.
    #[error("{text:?} is not a finite number")]
    NotFinite {
        /// The text given.
        text: String,
    },
    /// A comma in the number.
    #[error("{text:?} has a comma; write a decimal point, and nothing between thousands")]
    DecimalComma {
        /// The text given.
        text: String,
    },
    /// A number alone.
    #[error("{text:?} has no unit; give the {expected} in {}", expected.advice())]
    MissingUnit {
        /// The text given.
        text: String,
        /// What is due.
        expected: Dimension,
    },
    /// A unit of another quantity.
    #[error("{text:?}: {}", wrong_quantity(unit, *found, *expected))]
    WrongQuantity {
        /// The text given.
        text: String,
        /// Its unit.
        unit: String,
        /// What that unit measures.
        found: Dimension,
        /// What is due.
        expected: Dimension,
    },
    /// A unit that also names the state of the air.
    #[error("{text:?}: {unit} is a flow of gas at a state that differs from one text to the next; give the flow in {} and its state apart, by a name of `risewater list states` or by temperature and pressure", expected.advice())]
    StateInUnit {
        /// The text given.
        text: String,
        /// Its unit.
        unit: String,
        /// What is due.
        expected: Dimension,
    },
    /// A unit in no table.
    #[error("{text:?}: {}", unknown_unit(unit, nearest.as_deref(), *expected))]
    UnknownUnit {
        /// The text given.
        text: String,
        /// Its unit.
        unit: String,
        /// The nearest spelling that would do, if one is near.
        nearest: Option<String>,
        /// What is due.
        expected: Dimension,
    },
}

pub(crate) fn wrong_quantity(unit: &str, found: Dimension, expected: Dimension) -> String {
    let advice = expected.advice();
    format!("{unit} is a unit of {found}, not of {expected}; use {advice}")
}

pub(crate) fn unknown_unit(unit: &str, nearest: Option<&str>, expected: Dimension) -> String {
    let nearest = nearest.map_or(String::new(), |near| format!(", did you mean {near}"));
    let advice = expected.advice();
    format!("{unit:?} is no known unit of {expected}{nearest}; use {advice}")
}

macro_rules! parsers {
    ($($name:ident: $dimension:ident -> $quantity:ty, $wrap:expr, $example:literal;)*) => {
        $(
            #[doc = concat!("A text as [`Dimension::", stringify!($dimension), "`], such as `", $example, "`.")]
            ///
            /// # Errors
            /// [`QuantityError`] unless the text is a finite number with a unit of this quantity.
            ///
            /// # Examples
            /// ```
            #[doc = concat!("use risewater::units::quantity::", stringify!($name), ";\n")]
            #[doc = concat!("assert!(", stringify!($name), "(", stringify!($example), ").is_ok());")]
            #[doc = concat!("assert!(", stringify!($name), "(\"1 kJ\").is_err());")]
            /// ```
            pub fn $name(text: &str) -> Result<$quantity, QuantityError> {
                si_value(text, Dimension::$dimension, None).map($wrap)
            }
        )*
    };
}

parsers! {
    length: Length -> Length, base, "76 mm";
    pressure: Pressure -> Pressure, base, "3 kPa";
    absolute_pressure: AbsolutePressure -> AbsolutePressure, |pa| AbsolutePressure(base(pa)), "101.325 kPa";
    gauge_pressure: GaugePressure -> GaugePressure, |pa| GaugePressure(base(pa)), "2.6 psig";
    volume_rate: VolumeRate -> VolumeRate, base, "40 L/min";
    mass_rate: MassRate -> MassRate, base, "2.9 kg/h";
    temperature: Temperature -> ThermodynamicTemperature, base, "68 degF";
    ratio: Ratio -> Ratio, base, "55 %";
    mass_fraction: MassFraction -> Ratio, base, "35 g/kg";
    density: Density -> MassDensity, base, "998.2 kg/m3";
    dynamic_viscosity: DynamicViscosity -> DynamicViscosity, base, "1.002 mPa s";
    surface_tension: SurfaceTension -> SurfaceTension, base, "72.7 mN/m";
    velocity: Velocity -> Velocity, base, "0.3 m/s";
    power: Power -> Power, base, "0.37 kW";
    time: Time -> Time, base, "12.5 s";
    volume: Volume -> Volume, base, "15 L";
    mass: Mass -> Mass, base, "20 g";
    area: Area -> Area, base, "0.5 m2";
    temperature_interval: TemperatureInterval -> TemperatureInterval, base, "0.5 K";
    concentration: Concentration -> MassConcentration, base, "7 mg/L";
    oxygen_use: OxygenUse -> SpecificOxygenUse, base, "300 mg/(kg h)";
    rate: Rate -> Frequency, base, "0.02 1/s";
    share_of_day: ShareOfDay -> Frequency, base, "2 %/d";
    turnover: Turnover -> Frequency, base, "1.5 volumes/h";
    mass_flux: MassFlux -> MassFlux, base, "0.5 g/(m2 d)";
}

/// Spellings of gas flows that name a state of the gas, in lower case.
const STATE_IN_UNIT: &[&str] = &[
    "scfm", "acfm", "icfm", "scfh", "slpm", "nlpm", "sl/min", "nl/min", "nm3/h", "nm³/h", "sm3/h",
    "sm³/h", "nm3/min", "nm³/min",
];

/// The value in SI base units; `usual` is the unit of a number without one.
pub(crate) fn si_value(
    text: &str,
    expected: Dimension,
    usual: Option<&'static Unit>,
) -> Result<f64, QuantityError> {
    let (number, unit) = number_and_unit(text, expected, usual)?;
    let value = unit.map_or(number, |unit| unit.si(number));
    if value.is_finite() {
        Ok(value)
    } else {
        Err(QuantityError::NotFinite {
            text: text.to_owned(),
        })
    }
}

/// The number of a text, and its unit, which a plain number has none of.
pub(crate) fn number_and_unit(
    text: &str,
    expected: Dimension,
    usual: Option<&'static Unit>,
) -> Result<(f64, Option<&'static Unit>), QuantityError> {
    let (number, unit_text) = split(text, expected)?;
    if !unit_text.is_empty() {
        let spelled = expected.unit_spelled(&unit_text);
        let unit = spelled.ok_or_else(|| misfit(text, unit_text, expected))?;
        return Ok((number, Some(unit)));
    }
    if usual.is_none() && !expected.takes_plain_number() {
        return Err(QuantityError::MissingUnit {
            text: text.to_owned(),
            expected,
        });
    }
    Ok((number, usual))
}

/// A text with a point for its decimal comma, for cells that no comma separates; any other as it is.
pub(crate) fn decimal_point(text: &str) -> std::borrow::Cow<'_, str> {
    let number = |c: char| c.is_ascii_digit() || "+-\u{2212}.,:".contains(c);
    let end = text.find(|c| !number(c)).unwrap_or(text.len());
    let start = &text[..end];
    let between_digits = |at: usize| {
        let (before, after) = (
            start[..at].chars().next_back(),
            start[at + 1..].chars().next(),
        );
        before
            .zip(after)
            .is_some_and(|(b, a)| b.is_ascii_digit() && a.is_ascii_digit())
    };
    match start.find(',') {
        Some(at) if start.matches([',', '.']).count() == 1 && between_digits(at) => {
            text.replacen(',', ".", 1).into()
        }
        _ => text.into(),
    }
}

/// The unit of a text without a number.
pub(crate) fn unit(text: &str, expected: Dimension) -> Result<&'static Unit, QuantityError> {
    let unit = expected.unit_spelled(text);
    unit.ok_or_else(|| misfit(text, text.to_owned(), expected))
}

/// The number, and the unit with single spaces and none round a slash.
fn split(text: &str, expected: Dimension) -> Result<(f64, String), QuantityError> {
    let not_a_number = || QuantityError::NotANumber {
        text: text.to_owned(),
        expected,
    };
    // A minus sign as word processors set it is a sign too.
    let trimmed = text.trim().replacen('\u{2212}', "-", 1);
    if trimmed.is_empty() {
        return Err(QuantityError::Empty { expected });
    }
    let end = number_end(&trimmed);
    let (number, rest) = trimmed.split_at(end);
    if end == 0 {
        let word = trimmed.trim_start_matches(['+', '-']).to_lowercase();
        let word = word.split_whitespace().next().unwrap_or_default();
        return Err(if matches!(word, "nan" | "inf" | "infinity") {
            QuantityError::NotFinite {
                text: text.to_owned(),
            }
        } else {
            not_a_number()
        });
    }
    let mut next = rest.chars();
    match next.next() {
        Some(',') if next.next().is_some_and(|c| c.is_ascii_digit()) => {
            return Err(QuantityError::DecimalComma {
                text: text.to_owned(),
            });
        }
        Some(c) if c.is_ascii_digit() || "/.,:+-".contains(c) => return Err(not_a_number()),
        _ => {}
    }
    let number: f64 = number.parse().map_err(|_| not_a_number())?;
    let words: Vec<_> = rest.split_whitespace().collect();
    Ok((
        number,
        words.join(" ").replace(" /", "/").replace("/ ", "/"),
    ))
}

/// The length in bytes of the number that a text starts with: sign, digits, point, exponent.
fn number_end(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digits = |from: usize| {
        bytes
            .iter()
            .skip(from)
            .take_while(|byte| byte.is_ascii_digit())
            .count()
    };
    let sign_at = |at: usize| usize::from(matches!(bytes.get(at), Some(b'+' | b'-')));
    let sign = sign_at(0);
    let whole = digits(sign);
    let mut end = sign + whole;
    if bytes.get(end) == Some(&b'.') {
        let fraction = digits(end + 1);
        if whole + fraction == 0 {
            return 0;
        }
        end += 1 + fraction;
    } else if whole == 0 {
        return 0;
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let start = end + 1 + sign_at(end + 1);
        let exponent = digits(start);
        if exponent > 0 {
            end = start + exponent;
        }
    }
    end
}

/// Why a unit is not one of the dimension's.
fn misfit(text: &str, unit: String, expected: Dimension) -> QuantityError {
    let text = text.to_owned();
    if let Some(&found) = Dimension::ALL
        .iter()
        .find(|d| d.unit_spelled(&unit).is_some())
    {
        return QuantityError::WrongQuantity {
            text,
            unit,
            found,
            expected,
        };
    }
    if STATE_IN_UNIT.contains(&unit.to_lowercase().as_str()) {
        return QuantityError::StateInUnit {
            text,
            unit,
            expected: Dimension::VolumeRate,
        };
    }
    let near = nearest(&unit, expected.units().flat_map(|u| u.spellings));
    QuantityError::UnknownUnit {
        text,
        unit,
        nearest: near,
        expected,
    }
}

#[cfg(test)]
mod tests;
