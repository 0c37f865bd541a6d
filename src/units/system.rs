//! Metric or US customary units for numbers that people read.

use super::{Length, ThermodynamicTemperature, VolumeRate, degree_celsius, meter};

/// Units of texts, tables and pictures; JSON is always SI.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[non_exhaustive]
pub enum UnitSystem {
    /// m, mm, L/min, kPa, W.
    #[default]
    Metric,
    /// ft, in, gal/min, cfm, psi, hp.
    Us,
}

/// A unit: its size in SI, and its name.
pub(crate) type ShownUnit = (f64, &'static str);

pub(super) const INCH_M: f64 = 0.0254;
pub(crate) const FOOT_M: f64 = 0.3048;
const LITER_PER_MIN: f64 = 1e-3 / 60.0;
pub(crate) const GALLON_M3: f64 = 231.0 * INCH_M * INCH_M * INCH_M;
pub(super) const GALLON_PER_MIN: f64 = GALLON_M3 / 60.0;
pub(super) const CUBIC_FOOT_M3: f64 = FOOT_M * FOOT_M * FOOT_M;
pub(super) const CUBIC_FOOT_PER_MIN: f64 = CUBIC_FOOT_M3 / 60.0;
pub(crate) const POUND_KG: f64 = 0.453_592_37;
pub(super) const POUND_FORCE_N: f64 = POUND_KG * super::GRAVITY_M_PER_S2;
pub(super) const PSI: f64 = POUND_FORCE_N / (INCH_M * INCH_M);

impl UnitSystem {
    pub(crate) fn pick<T>(self, metric: T, us: T) -> T {
        match self {
            Self::Metric => metric,
            Self::Us => us,
        }
    }

    /// Unit of a water flow.
    pub(crate) fn water_unit(self) -> ShownUnit {
        self.pick((LITER_PER_MIN, "L/min"), (GALLON_PER_MIN, "gal/min"))
    }

    /// Unit of an air flow.
    pub(crate) fn air_unit(self) -> ShownUnit {
        self.pick((LITER_PER_MIN, "L/min"), (CUBIC_FOOT_PER_MIN, "cfm"))
    }

    /// Unit of the volume of a vessel to catch water or air in.
    pub(crate) fn vessel_unit(self) -> ShownUnit {
        self.pick((1e-3, "L"), (GALLON_M3, "gal"))
    }

    /// Unit of a blower's air flow.
    pub(crate) fn blower_unit(self) -> ShownUnit {
        self.pick((1.0 / 3600.0, "m3/h"), (CUBIC_FOOT_PER_MIN, "cfm"))
    }

    pub(crate) fn pressure_unit(self) -> ShownUnit {
        self.pick((1e3, "kPa"), (PSI, "psi"))
    }

    pub(crate) fn height_unit(self) -> ShownUnit {
        self.pick((1.0, "m"), (FOOT_M, "ft"))
    }

    /// Unit of heights of which this is the largest: inches below a foot.
    pub(crate) fn small_height_unit(self, largest: Length) -> ShownUnit {
        match self {
            Self::Us if largest.value.abs() < FOOT_M => self.bore_unit(),
            _ => self.height_unit(),
        }
    }

    pub(crate) fn bore_unit(self) -> ShownUnit {
        self.pick((1e-3, "mm"), (INCH_M, "in"))
    }

    pub(crate) fn velocity_unit(self) -> ShownUnit {
        self.pick((1.0, "m/s"), (FOOT_M, "ft/s"))
    }

    /// A height as a rule reads: three decimals at most.
    pub(crate) fn height(self, length: Length) -> String {
        let (size, unit) = self.small_height_unit(length);
        format!("{} {unit}", place(length.value / size))
    }

    pub(crate) fn bore(self, length: Length) -> String {
        with(self.bore_unit(), length.value)
    }

    pub(crate) fn water(self, flow: VolumeRate) -> String {
        with(self.water_unit(), flow.value)
    }

    pub(crate) fn air(self, flow: VolumeRate) -> String {
        with(self.air_unit(), flow.value)
    }

    pub(crate) fn pressure(self, pascal: f64) -> String {
        with(self.pressure_unit(), pascal)
    }

    /// A temperature to so many decimals.
    pub(crate) fn temperature_to(
        self,
        decimals: usize,
        temperature: ThermodynamicTemperature,
    ) -> String {
        let celsius = temperature.get::<degree_celsius>();
        match self {
            Self::Metric => format!("{celsius:.decimals$} degC"),
            Self::Us => format!("{:.decimals$} degF", 1.8 * celsius + 32.0),
        }
    }
}

/// A number of four digits with its unit.
pub(crate) fn with((size, unit): ShownUnit, si: f64) -> String {
    format!("{} {unit}", short(si / size))
}

/// Four significant digits, without an exponent where a person would not write one.
pub(crate) fn short(value: f64) -> String {
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

/// A number with its unit, to decimals of their own in metric and in US units.
pub(crate) fn to_decimals(
    units: UnitSystem,
    (size, unit): ShownUnit,
    si: f64,
    [metric, us]: [usize; 2],
) -> String {
    let decimals = units.pick(metric, us);
    format!("{:.decimals$} {unit}", si / size)
}

/// A developing length in words, from the most metres and the most bores of it.
pub(crate) fn developing(units: UnitSystem, limits: (Option<f64>, Option<f64>)) -> String {
    let length = |m: f64| {
        let (size, unit) = units.small_height_unit(Length::new::<meter>(m));
        format!("{} {unit}", rounded(m / size))
    };
    match limits {
        (Some(m), Some(bores)) => format!("{} but at most {} bores", length(m), rounded(bores)),
        (Some(m), None) => length(m),
        (None, bores) => format!("{} bores", rounded(bores.unwrap_or_default())),
    }
}

/// Four digits, without the noise of a fit.
pub(crate) fn rounded(value: f64) -> f64 {
    format!("{value:.3e}").parse().unwrap_or(value)
}

/// Three decimals at most, as a rule reads: heights and depths.
pub(crate) fn place(value: f64) -> String {
    let text = format!("{value:.3}");
    let short = text.trim_end_matches('0');
    // One decimal at least tells a measure from a count.
    if short.ends_with('.') {
        format!("{short}0")
    } else {
        short.to_owned()
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
    }

    /// 1 in is 0.0254 m, 1 lb 0.45359237 kg, 1 gal 231 in³, all exactly (NIST SP 811, appendix B, from memory).
    #[test]
    fn us_units_are_exact() {
        use crate::units::{Pressure, cubic_foot_per_minute, gallon_per_minute, psi};
        let near = |value: f64, exact: f64| (value / exact - 1.0).abs() < 1e-15;
        let flow = |size: f64| VolumeRate::new::<gallon_per_minute>(size).value;
        assert!(near(flow(60.0), 3.785_411_784e-3));
        let flow = |size: f64| VolumeRate::new::<cubic_foot_per_minute>(size).value;
        assert!(near(flow(60.0), 0.028_316_846_592));
        let area_m2 = 0.0254 * 0.0254;
        let pressure = Pressure::new::<psi>(area_m2).value;
        assert!(near(pressure, 0.453_592_37 * 9.806_65));
    }

    #[test]
    fn lengths_as_a_rule_reads() {
        assert_eq!(
            (place(1.4), place(0.15), place(2.0), place(0.0625)),
            ("1.4".into(), "0.15".into(), "2.0".into(), "0.062".into())
        );
    }
}
