use approx::relative_eq;
use proptest::prelude::*;

use super::*;
use crate::units::{kelvin, kilopascal, liter_per_minute, millimeter, pascal};

/// Text, dimension, value in SI base units: from exact definitions unless a digit count is said.
const KNOWN: &[(&str, Dimension, f64)] = &[
    ("25mm", Dimension::Length, 0.025),
    ("  25   mm ", Dimension::Length, 0.025),
    ("+2.5e1 mm", Dimension::Length, 0.025),
    (".5 m", Dimension::Length, 0.5),
    ("5. m", Dimension::Length, 5.0),
    ("-5 m", Dimension::Length, -5.0),
    ("−5 m", Dimension::Length, -5.0),
    ("2\"", Dimension::Length, 0.0508),
    ("1 FT", Dimension::Length, 0.3048),
    ("1.5 µm", Dimension::Length, 1.5e-6),
    ("1 psi", Dimension::Pressure, 6_894.757_293_168_361),
    ("1 psig", Dimension::GaugePressure, 6_894.757_293_168_361),
    ("14 kPa", Dimension::AbsolutePressure, 14e3),
    ("14 KPA", Dimension::AbsolutePressure, 14e3),
    ("1 inH2O", Dimension::Pressure, 249.088_91),
    ("12 in H₂O", Dimension::Pressure, 12.0 * 249.088_91),
    ("1 mmHg", Dimension::Pressure, 133.322_387_415),
    ("40 l / min", Dimension::VolumeRate, 0.04 / 60.0),
    ("1 gpm", Dimension::VolumeRate, 3.785_411_784e-3 / 60.0),
    ("1 cfm", Dimension::VolumeRate, 0.028_316_846_592 / 60.0),
    ("68 °F", Dimension::Temperature, 293.15),
    ("-40 F", Dimension::Temperature, 233.15),
    ("20 C", Dimension::Temperature, 293.15),
    ("35 ppt", Dimension::MassFraction, 0.035),
    ("55%", Dimension::Ratio, 0.55),
    ("0.55", Dimension::Ratio, 0.55),
    ("1 cP", Dimension::DynamicViscosity, 1e-3),
    ("1 mPa s", Dimension::DynamicViscosity, 1e-3),
    ("72.8 dyn/cm", Dimension::SurfaceTension, 0.0728),
    ("1 hp", Dimension::Power, 745.699_871_582_270_2),
    ("1.5 volumes/h", Dimension::Turnover, 1.5 / 3600.0),
    ("12 volumes/d", Dimension::Turnover, 12.0 / 86_400.0),
    ("60 lb/min", Dimension::MassRate, 0.453_592_37),
    (
        "62.4 lb/ft3",
        Dimension::Density,
        62.4 * 0.453_592_37 / 0.028_316_846_592,
    ),
];

#[test]
fn known_texts() {
    let wrong: Vec<_> = KNOWN
        .iter()
        .map(|&(text, dimension, expected)| (text, expected, si_value(text, dimension, None)))
        .filter(|(_, expected, got)| {
            !matches!(got, Ok(value) if relative_eq!(value, expected, max_relative = 1e-14))
        })
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// The factors printed in NIST SP 811, appendix B.8, to its seven digits (from memory).
#[test]
fn factors_of_nist_sp_811() {
    let printed = [
        ("1 psi", Dimension::Pressure, 6.894_757e3),
        ("1 inH2O", Dimension::Pressure, 2.490_889e2),
        ("1 ftH2O", Dimension::Pressure, 2.989_067e3),
        ("1 mmH2O", Dimension::Pressure, 9.806_65),
        ("1 mmHg", Dimension::Pressure, 1.333_224e2),
        ("1 inHg", Dimension::Pressure, 3.386_389e3),
        ("1 kgf/cm2", Dimension::Pressure, 9.806_65e4),
        ("1 cfm", Dimension::VolumeRate, 4.719_474e-4),
        ("1 gpm", Dimension::VolumeRate, 6.309_020e-5),
        ("1 lb/ft3", Dimension::Density, 1.601_846e1),
        ("1 lb/min", Dimension::MassRate, 7.559_873e-3),
        ("1 lb/h", Dimension::MassRate, 1.259_979e-4),
        ("1 ft/min", Dimension::Velocity, 5.08e-3),
        ("1 hp", Dimension::Power, 7.456_999e2),
    ];
    let wrong: Vec<_> = printed
        .into_iter()
        .map(|(text, dimension, expected)| (text, expected, si_value(text, dimension, None)))
        // Half a unit of the seventh digit is 5e-7 of the value at most.
        .filter(|(_, expected, got)| {
            !matches!(got, Ok(value) if relative_eq!(value, expected, max_relative = 5e-7))
        })
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// A number alone in a column whose header has a unit; the cell's own goes before it.
#[test]
fn a_usual_unit() {
    let usual =
        |text, dimension, unit_text| si_value(text, dimension, unit(unit_text, dimension).ok());
    for (text, expected) in [
        ("12.5", 12.5),
        (" 12.5 s ", 12.5),
        ("2min", 120.0),
        ("\u{2212}3", -3.0),
    ] {
        assert_eq!(usual(text, Dimension::Time, "s"), Ok(expected), "{text}");
    }
    assert_eq!(usual("1500 mL", Dimension::Volume, "L"), Ok(1500.0 * 1e-6));
    assert_eq!(usual("20", Dimension::Temperature, "degC"), Ok(293.15));
    for text in ["12:30", "12,", "--3", "1/2", "#DIV/0!"] {
        let got = usual(text, Dimension::Time, "s");
        assert!(
            matches!(got, Err(QuantityError::NotANumber { .. })),
            "{text}: {got:?}"
        );
    }
}

#[test]
fn typed() -> Result<(), QuantityError> {
    assert_eq!(
        format!("{:.1}", length("3 in")?.get::<millimeter>()),
        "76.2"
    );
    assert_eq!(
        format!("{:.3}", absolute_pressure("1 atm")?.get::<kilopascal>()),
        "101.325"
    );
    assert_eq!(
        format!("{:.2}", gauge_pressure("1 inH2O")?.get::<pascal>()),
        "249.09"
    );
    assert_eq!(
        format!("{:.2}", temperature("20 degC")?.get::<kelvin>()),
        "293.15"
    );
    assert_eq!(
        format!("{:.3}", volume_rate("1 m3/h")?.get::<liter_per_minute>()),
        "16.667"
    );
    Ok(())
}

#[test]
fn error_texts() {
    let texts = [
        (
            length(" "),
            "the text is empty; give the length in m, cm, mm, in or ft",
        ),
        (
            length("1.2"),
            "\"1.2\" has no unit; give the length in m, cm, mm, in or ft",
        ),
        (
            length("deep"),
            "\"deep\" is not a number with a unit; give the length in m, cm, mm, in or ft",
        ),
        (length("nan m"), "\"nan m\" is not a finite number"),
        (length("-inf m"), "\"-inf m\" is not a finite number"),
        (length("1e400 m"), "\"1e400 m\" is not a finite number"),
        (length("1e308 km"), "\"1e308 km\" is not a finite number"),
        (
            length("1,5 m"),
            "\"1,5 m\" has a comma; write a decimal point, and nothing between thousands",
        ),
        (
            length("3 psi"),
            "\"3 psi\": psi is a unit of pressure, not of length; use m, cm, mm, in or ft",
        ),
        (
            length("76 MM"),
            "\"76 MM\": \"MM\" is no known unit of length, did you mean mm; use m, cm, mm, in or ft",
        ),
    ];
    for (got, expected) in texts {
        assert_eq!(got.map_err(|e| e.to_string()), Err(expected.to_owned()));
    }
    assert_eq!(
        volume_rate("12 scfm").map_err(|e| e.to_string()),
        Err("\"12 scfm\": scfm is a flow of gas at a state that differs from one text to the next; \
             give the flow in L/min, L/s, m3/h, gpm or cfm and its state apart, by a name of `risewater list states` or by temperature and pressure"
            .to_owned())
    );
    assert_eq!(
        ratio("0.5 m").map_err(|e| e.to_string()),
        Err(
            "\"0.5 m\": m is a unit of length, not of ratio; use %, ppm or a plain number"
                .to_owned()
        )
    );
}

#[test]
fn not_numbers() {
    for text in [
        "m", "1/2 in", "1 .5 m", "1.5.2 m", "--5 m", ". m", "+ m", "e5 m", "1- m", "1, m",
    ] {
        let got = length(text);
        assert!(got.is_err(), "{text}: {got:?}");
    }
    for text in ["1/2 in", "1.5.2 m", "--5 m", ". m", "e5 m", "1, m"] {
        assert!(
            matches!(length(text), Err(QuantityError::NotANumber { .. })),
            "{text}"
        );
    }
    assert!(matches!(
        length("0x10 m"),
        Err(QuantityError::UnknownUnit { .. })
    ));
}

/// A thousandth is not a million.
#[test]
fn milli_is_not_mega() {
    for text in ["1 MPa s", "1 MPa.s"] {
        assert!(dynamic_viscosity(text).is_err(), "{text}");
    }
    assert!(pressure("1 mPa").is_err());
    assert!(volume_rate("1 ML/min").is_err());
    assert!(length("1 M").is_err());
    assert_eq!(
        pressure("1 MPa").map(|p| p.get::<kilopascal>().round()),
        Ok(1000.0)
    );
}

#[test]
fn gauge_is_not_absolute() {
    let found = |result: Result<AbsolutePressure, _>| match result {
        Err(QuantityError::WrongQuantity { found, .. }) => Some(found),
        _ => None,
    };
    assert_eq!(
        found(absolute_pressure("3 psig")),
        Some(Dimension::GaugePressure)
    );
    assert!(gauge_pressure("3 psia").is_err());
    assert!(pressure("3 psia").is_err());
}

/// Every spelling of every unit parses to that unit's worth, in any case but for a first m.
#[test]
fn every_spelling() {
    let mut wrong = Vec::new();
    for &dimension in Dimension::ALL {
        for unit in dimension.units() {
            for spelling in unit.spellings {
                let initial: String = spelling.chars().take(1).collect();
                let rest: String = spelling.chars().skip(1).collect();
                let upper = format!("{initial}{}", rest.to_uppercase());
                for text in [
                    format!("2 {spelling}"),
                    format!("2{}{spelling}", gap(spelling)),
                    format!("2 {upper}"),
                ] {
                    let got = si_value(&text, dimension, None);
                    if got != Ok((2.0 + unit.offset) * unit.factor) {
                        wrong.push((dimension, text, got));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// No text can mean two units of one quantity.
#[test]
fn spellings_are_unique() {
    for &dimension in Dimension::ALL {
        for unit in dimension.units() {
            for spelling in unit.spellings {
                let count = dimension.units().filter(|u| u.is_spelled(spelling)).count();
                assert_eq!(count, 1, "{dimension}: {spelling}");
            }
        }
    }
}

/// A unit that reads in two quantities must not be there by accident.
#[test]
fn spellings_shared_between_quantities() {
    let pressures = [
        Dimension::Pressure,
        Dimension::AbsolutePressure,
        Dimension::GaugePressure,
    ];
    let fractions = [Dimension::Ratio, Dimension::MassFraction];
    let temperatures = [Dimension::Temperature, Dimension::TemperatureInterval];
    for &one in Dimension::ALL {
        for &other in Dimension::ALL {
            let kin = |all: &[Dimension]| all.contains(&one) && all.contains(&other);
            if one == other || kin(&pressures) || kin(&fractions) || kin(&temperatures) {
                continue;
            }
            for spelling in one.units().flat_map(|u| u.spellings) {
                assert!(
                    other.unit_spelled(spelling).is_none(),
                    "{one}, {other}: {spelling}"
                );
            }
        }
    }
}

/// What must stand between number and unit: a space where the unit starts with a digit, as 1/s.
fn gap(spelling: &str) -> &'static str {
    if spelling.starts_with(|c: char| c.is_ascii_digit()) {
        " "
    } else {
        ""
    }
}

fn any_unit() -> impl Strategy<Value = (Dimension, &'static Unit, &'static str)> {
    let all: Vec<_> = Dimension::ALL
        .iter()
        .flat_map(|&d| d.units().map(move |u| (d, u)))
        .flat_map(|(d, u)| u.spellings.iter().map(move |&s| (d, u, s)))
        .collect();
    prop::sample::select(all)
}

proptest! {
    #[test]
    fn never_panics(text in "\\PC*") {
        for &dimension in Dimension::ALL {
            let _ = si_value(&text, dimension, None).map_err(|error| error.to_string());
        }
    }

    #[test]
    fn never_panics_near_a_quantity(text in "[-+−0-9.,eE]{0,6}[ \t]?[a-zA-Zµ°\"/ ²³0-9]{0,6}") {
        for &dimension in Dimension::ALL {
            if let Ok(value) = si_value(&text, dimension, None) {
                prop_assert!(value.is_finite());
            }
        }
    }

    #[test]
    fn round_trip((dimension, unit, spelling) in any_unit(), x in -1e9_f64..1e9, exponent: bool) {
        let text = if exponent { format!("{x:e} {spelling}") } else { format!("{x}{}{spelling}", gap(spelling)) };
        let value = si_value(&text, dimension, None).map_err(|e| TestCaseError::fail(e.to_string()))?;
        let back = value / unit.factor - unit.offset;
        // Near zero on a temperature scale the offset's rounding is what is left.
        prop_assert!((back - x).abs() <= 1e-12 * x.abs().max(unit.offset), "{text}: {back}");
    }
}

#[test]
fn decimal_commas_where_no_comma_separates() {
    for (text, read) in [
        ("14,2", "14.2"),
        ("-0,5 mm", "-0.5 mm"),
        ("\u{2212}3,25", "\u{2212}3.25"),
        ("0:50,4", "0:50.4"),
        ("1.234,5", "1.234,5"),
        ("1,234,5", "1,234,5"),
        ("1,", "1,"),
        (",5", ",5"),
        ("tank 3,5", "tank 3,5"),
        ("14.2", "14.2"),
    ] {
        assert_eq!(super::decimal_point(text), read);
    }
}
