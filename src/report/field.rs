//! One value of an answer's JSON in words, by its path: for pages that show a few numbers of an answer.

use serde_json::Value;

use super::interval;
use super::kind::Kind;
use super::number::{UnitSystem, short};
use crate::air::at_20_c;
use crate::answer::IntervalFacts;
use crate::units::system::with;
use crate::units::{base, kelvin};

/// What goes by the name of a bore rather than a height.
const BORES: [&str; 7] = [
    "bore",
    "hole",
    "drill",
    "orifice",
    "roughness",
    "air_line_m",
    "diameter",
];
/// Flows of a blower's air.
const OF_BLOWER: [&str; 6] = [
    "inlet_flow",
    "iso_1217",
    "normal_flow",
    "us_standard",
    "meter_full_scale",
    "displaced",
];
/// Shares that are told in per cent.
const SHARES: [&str; 15] = [
    "efficiency",
    "void_fraction",
    "level",
    "half_width",
    "after_three_readings",
    "humidity",
    "total_gas_pressure",
    "relative_standard",
    "share",
    "_over_",
    "margin",
    "slack",
    "below",
    "above",
    "removal_ceiling",
];

/// A value of an answer as a reader sees it, with its unit: that of `point.efficiency`, or of `designs.0.bore_m`. The unit comes
/// from the end of the name, as the answer's shape has it; air is told as dry at 20 °C. `first - second` is the difference of two.
/// An interval is told in a sentence, texts apart by commas. None where nothing stands there.
///
/// ```
/// use risewater::answer::{Answer, FlowAnswer, Terms};
/// use risewater::design::{DesignFile, EXAMPLE};
/// use risewater::report::field;
/// use risewater::units::UnitSystem;
///
/// let (riser, air) = DesignFile::parse(EXAMPLE)?.riser_and_air()?;
/// let answer = FlowAnswer::of(&riser, air, &Terms::default())?.json();
/// let said = |path| field(&answer, path, UnitSystem::Metric);
/// assert!(said("water_flow_m3_per_s").is_some_and(|text| text.ends_with(" L/min")));
/// assert!(said("interval").is_some_and(|text| text.starts_with("four times in five between")));
/// let gauge = "point.injection_pressure_pa - site.atmospheric_pressure_pa";
/// assert!(said(gauge).is_some_and(|text| text.ends_with(" kPa")));
/// assert_eq!(said("point.beauty"), None);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn field(answer: &Value, path: &str, units: UnitSystem) -> Option<String> {
    let at = |path: &str| {
        path.trim()
            .split('.')
            .try_fold(answer, |value, key| match value {
                Value::Array(all) => all.get(key.parse::<usize>().ok()?),
                value => value.get(key),
            })
    };
    let name = |path: &str| {
        path.trim()
            .rsplit('.')
            .find(|key| key.parse::<usize>().is_err())
            .unwrap_or_default()
            .to_owned()
    };
    if let Some((first, second)) = path.split_once(" - ") {
        let difference = at(first)?.as_f64()? - at(second)?.as_f64()?;
        return Some(number(&name(first), difference, units));
    }
    match at(path)? {
        Value::Null => None,
        Value::Bool(yes) => Some(if *yes { "yes" } else { "no" }.to_owned()),
        Value::String(text) => Some(text.clone()),
        Value::Number(count) if !count.is_f64() => Some(count.to_string()),
        Value::Number(found) => Some(number(&name(path), found.as_f64()?, units)),
        interval @ Value::Object(_) => {
            let found: IntervalFacts = serde::Deserialize::deserialize(interval).ok()?;
            let after = ["after_one_reading", "after_three_readings"].map(|readings| {
                let said = answer.get(readings).filter(|_| path == "interval");
                said.and_then(Value::as_f64)
            });
            Some(interval::words(Some(found), after, units))
        }
        Value::Array(all) => {
            let texts: Option<Vec<&str>> = all.iter().map(Value::as_str).collect();
            texts
                .filter(|texts| !texts.is_empty())
                .map(|texts| texts.join(", "))
        }
    }
}

/// A number by the name of its key.
fn number(key: &str, si: f64, units: UnitSystem) -> String {
    let any = |names: &[&str]| names.iter().any(|name| key.contains(name));
    let say = |kind| units.say(kind, si);
    let unit = |name: &str| format!("{} {name}", short(si));
    match key {
        _ if key.ends_with("kg_per_s") && key.contains("air") => units.say(Kind::Air, at_20_c(si)),
        _ if key.ends_with("j_per_m3") => {
            let (much, name) = units.much_water();
            format!("{} kWh for {name}", short(si * much * 1e3 / 3.6e6))
        }
        _ if key.ends_with("kg_per_j") => units.mass_per_energy(base(si)),
        _ if key.ends_with("_m3_per_s") && any(&OF_BLOWER) => say(Kind::BlowerAir),
        _ if key.ends_with("m3_per_s") => say(Kind::Water),
        _ if key.ends_with("kg_per_s") => with(units.exchange_unit(), si),
        _ if key.ends_with("kg_per_m3") && key.contains("density") => {
            let (number, unit) = units.density(si);
            format!("{} {unit}", short(number))
        }
        _ if key.ends_with("kg_per_m3") => format!("{} mg/L", short(1e3 * si)),
        _ if key.ends_with("m_per_s") => say(Kind::Velocity),
        _ if key.ends_with("pa_s") => unit("Pa s"),
        _ if key.ends_with("n_per_m") => unit("N/m"),
        _ if key.ends_with("per_s") => format!("{} 1/h", short(3600.0 * si)),
        _ if key.ends_with("_pa") => say(Kind::Pressure),
        _ if key.ends_with("_m2") => unit("m2"),
        _ if key.ends_with("_m3") => units.volume(base(si)),
        _ if key.ends_with("_kg") => units.mass(base(si)),
        _ if key.ends_with("_w") => say(Kind::Power),
        _ if key.ends_with("_j") => say(Kind::Energy),
        _ if key.ends_with("rise_k") => units.pick(unit("K"), format!("{} degF", short(1.8 * si))),
        _ if key.ends_with("_k") => {
            units.temperature(crate::units::ThermodynamicTemperature::new::<kelvin>(si))
        }
        _ if key.ends_with("_s") => time(si),
        _ if key.ends_with("_m") && any(&BORES) => say(Kind::Bore),
        _ if key.ends_with("_m") => say(Kind::Height),
        _ if any(&SHARES) => say(Kind::Percent(1)),
        _ => short(si),
    }
}

/// Seconds, minutes or hours, whichever are easier read.
fn time(seconds: f64) -> String {
    let (size, unit) = match seconds.abs() {
        short if short < 120.0 => (1.0, "s"),
        some if some < 7200.0 => (60.0, "min"),
        _ => (3600.0, "h"),
    };
    format!("{} {unit}", short(seconds / size))
}
