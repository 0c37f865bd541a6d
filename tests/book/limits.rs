//! Limits and defaults in the tables of the reference chapter, as a design file takes them.
//!
//! A value beyond all bounds is refused by the limits of its key; a default that is written out answers
//! as one that is left out, and with another digit does not.

use risewater::design::DesignFile;
use risewater::gas::aeration::DEMO_READINGS;
use risewater::supply::blower::DEMO;
use risewater::units::{Length, meter};

use super::keys::{KeyRow, key_rows};
use super::none;

/// Files that give no key which has a default.
const FILES: [&str; 6] = [
    r#"
[water]
temperature = "14 degC"
[riser]
bore = "77 mm"
submergence = "1.2 m"
lift = "0.15 m"
[air]
flow = "120 L/min"
reference = { temperature = "25 degC", pressure = "100 kPa" }
[duty]
water_flow = "600 L/min"
lift = "0.15 m"
[limits]
standards = ["ASTM D1785"]
max_submergence = "1.4 m"
[gas]
transfer_coefficient = "0.02 1/s"
"#,
    r#"
[water]
temperature = "14 degC"
[blower]
table = "blower.csv"
[main_line]
bore = "50 mm"
length = "10 m"
[header]
bore = "50 mm"
[branch]
bore = "16 mm"
length = "2 m"
injector = "drilled_ring"
holes = 24
hole_diameter = "1.5 mm"
[[lift]]
at = "2 m"
bore = "77 mm"
submergence = "1.2 m"
lift = "0.15 m"
water_flow = "75 L/min"
"#,
    r#"
[water]
temperature = "14 degC"
[riser]
bore = "52 mm"
[air]
reference = "dry_20_c"
[trial]
submergences = ["0.6 m"]
lifts = ["0.1 m"]
air_flows = ["28 L/min"]
container = "15 L"
bottle = "4 L"
"#,
    r#"
[water]
temperature = "26 degC"
[need]
limits = "warm_water"
biomass = "40 kg"
feed = "1 kg/d"
protein = "42 %"
ph = 7.3
"#,
    r#"
[water]
temperature = "14 degC"
[aeration]
readings = "readings.csv"
volume = "0.7 m3"
field_oxygen = "6 mg/L"
"#,
    r#"
[water]
temperature = "26 degC"
[riser]
bore = "77 mm"
submergence = "1.2 m"
lift = "0.15 m"
[loop]
meals = ["8 h", "18 h"]
[filter]
area = "700 m2"
rate = "0.45 g/(m2 d)"
half_saturation = "1.9 mg/L"
[need]
limits = "warm_water"
protein = "42 %"
ph = 7.3
[[rearing_tank]]
volume = "6 m3"
biomass = "40 kg"
feed = "1 kg/d"
"#,
];

/// The reference state of the first file.
const STATE: &str = r#"temperature = "25 degC", pressure = "100 kPa""#;

/// Ways to write a value in a file: as a quantity, a number, a count, a list of quantities, fittings.
fn written(value: &str) -> [String; 5] {
    [
        format!("\"{value}\""),
        value.to_owned(),
        value.replace("9e99", "2000000000"),
        format!("[\"{value}\"]"),
        format!("{{ gate_valve = {} }}", value.replace("9e99", "2000000000")),
    ]
}

/// A file with one value.
fn file_with(row: &KeyRow, value: &str) -> String {
    let KeyRow { section, key, .. } = row;
    match (section.as_str(), key.as_str()) {
        ("air", "temperature" | "pressure" | "humidity") => {
            let mut state = [("temperature", "\"0 degC\""), ("pressure", "\"1 bar\"")].to_vec();
            state.retain(|(name, _)| name != key);
            state.push((key, value));
            let state: Vec<String> = state
                .iter()
                .map(|(key, value)| format!("{key} = {value}"))
                .collect();
            let state = state.join(", ");
            format!("[air]\nflow = \"1 L/min\"\nreference = {{ {state} }}\n")
        }
        ("pipe" | "lift" | "rearing_tank" | "timer", _) => {
            format!("[[{section}]]\n{key} = {value}\n")
        }
        _ => format!("[{section}]\n{key} = {value}\n"),
    }
}

/// Limits of a row's key, as the library refuses what lies beyond them.
pub fn limits(row: &KeyRow) -> Option<String> {
    let unit = row.value.rsplit_once(" to ").map_or("", |(_, last)| {
        last.split_once(' ').map_or("", |(_, unit)| unit)
    });
    written(format!("9e99 {unit}").trim())
        .iter()
        .find_map(|value| {
            let said = DesignFile::parse(&file_with(row, value)).err()?.to_string();
            let (_, limits) = said.split_once("must lie in ")?;
            Some(limits.lines().next()?.to_owned())
        })
}

/// What the row says of its limits: the end of its second cell.
fn said_limits(row: &KeyRow) -> Option<&str> {
    let (_, said) = row.value.rsplit_once(", ")?;
    said.contains(|c: char| c.is_ascii_digit()).then_some(said)
}

/// Whether the row says these limits; the library has a unit of its own for what it counts.
pub fn limits_hold(row: &KeyRow, limits: Option<&str>) -> bool {
    match (said_limits(row), limits) {
        (Some(said), Some(limits)) => limits == said || limits.starts_with(&format!("{said} ")),
        (said, limits) => said == limits,
    }
}

/// Everything that a file answers, with numbers to nine digits.
fn answers(file: &str, set: &[String]) -> Option<String> {
    let design = DesignFile::parse_with(file, set)
        .ok()?
        .with_blower_table(DEMO)
        .with_readings(DEMO_READINGS);
    let mut all = String::new();
    all += &design.air().map_or(String::new(), |air| format!("{air:?}"));
    all += &design
        .riser()
        .map_or(String::new(), |one| format!("{one:?}"));
    all += &design
        .problem()
        .map_or(String::new(), |one| format!("{one:?}"));
    all += &design
        .bench()
        .map_or(String::new(), |one| format!("{one:?}"));
    all += &design
        .supply()
        .map_or(String::new(), |one| format!("{one:?}"));
    if let (Ok(gas), Ok((riser, air))) = (design.gas(), design.riser_and_air())
        && let Ok(outcome) = riser.operate(air)
        && let Some(point) = outcome.point()
        && let Ok(found) = gas.of(&riser, point, Length::new::<meter>(0.0))
    {
        all += &format!("{:?} {:?}", found.limit, found.transfer);
    }
    all += &design
        .aeration()
        .map_or(String::new(), |one| format!("{one:?}"));
    all += &design
        .rearing()
        .map_or(String::new(), |one| format!("{:?}", one.room));
    all += &design.water_loop().map_or(String::new(), |one| {
        let day = (one.day, one.sought);
        format!(
            "{:?} {day:?} {} {:?}",
            one.water, one.lifts_off, one.temperature_rise
        )
    });
    let rounded = all.split([' ', ',', '(', ')']).map(|word| {
        word.parse::<f64>()
            .map_or_else(|_| word.to_owned(), |number| format!("{number:.8e}"))
    });
    Some(rounded.collect::<Vec<_>>().join(" "))
}

/// A default that the row gives as a value: the start of its third cell.
pub fn said_default(row: &KeyRow) -> Option<&str> {
    let said = row.default.split([',', ':', ';']).next()?.trim();
    said.starts_with(|c: char| c.is_ascii_digit())
        .then_some(said)
}

/// Whether a file answers with the value as it does without the key.
fn is_default(file: &str, row: &KeyRow, value: &str) -> bool {
    let KeyRow { section, key, .. } = row;
    let replaced = |value: &str| match (section.as_str(), key.as_str()) {
        ("air", "humidity") => format!("air.reference={{ {STATE}, humidity = {value} }}"),
        ("need", "water_share") => format!("rearing_tank.1.{key}={value}"),
        _ => format!("{section}.{key}={value}"),
    };
    let mut set = Vec::new();
    if row.key == "outlet_head" {
        set.push("riser.outlet=open_top".to_owned());
    }
    let without = answers(file, &set);
    written(value).iter().any(|value| {
        let mut set = set.clone();
        set.push(replaced(value));
        answers(file, &set).is_some_and(|with| Some(with) == without)
    })
}

/// Whether a default that the row gives is the library's, and would not be with another digit.
pub fn default_holds(row: &KeyRow, said: &str) -> bool {
    let number = said.split(' ').next().unwrap_or_default();
    let at = number.len() - 1;
    let other = if number.ends_with('1') { '2' } else { '1' };
    let changed = format!("{}{other}{}", &said[..at], &said[at + 1..]);
    FILES
        .iter()
        .any(|file| is_default(file, row, said) && !is_default(file, row, &changed))
}

#[test]
fn limits_and_defaults_in_the_book_are_those_of_the_library() {
    let mut faults = Vec::new();
    for row in key_rows() {
        let name = format!("{}.{}", row.section, row.key);
        let limits = limits(&row);
        if !limits_hold(&row, limits.as_deref()) {
            let said = said_limits(&row);
            faults.push(format!("{name} should say {limits:?}, not {said:?}"));
        }
        if let Some(said) = said_default(&row)
            && !default_holds(&row, said)
        {
            faults.push(format!("{name}: {said} is not its default"));
        }
    }
    none(&faults);
}
