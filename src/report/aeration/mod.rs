//! An aeration test reduced to standard conditions.

mod figure;
mod own;
mod text;

use serde_json::{Value, json};

pub use own::{NoCoefficient, OwnCoefficient};

use super::cautions_json;
use crate::caution::Caution;
use crate::design::AerationBench;
use crate::error::Error;
use crate::gas::aeration::{
    AerationEfficiency, StandardTransfer, aeration_efficiency, field_transfer_rate,
    standard_transfer_efficiency,
};
use crate::units::{
    Frequency, MassRate, Ratio, degree_celsius, hertz, kilogram_per_hour,
    kilogram_per_kilowatt_hour, meter, milligram_per_liter, per_hour, percent, ratio,
};

/// Limits of 95 %.
macro_rules! limits {
    ($of:expr) => {
        $of.interval(Ratio::new::<percent>(95.0))?
    };
}
use limits;

/// Span of the readings over 1/kLa that shows the end well; common practice.
const GOOD_SPAN: f64 = 3.0;
/// Readings of a good test; common practice.
const GOOD_READINGS: usize = 30;

/// An aeration test, reduced.
///
/// # Examples
/// ```
/// use risewater::design::{AERATION_EXAMPLE, Design};
/// use risewater::gas::aeration::DEMO_READINGS;
/// use risewater::report::AerationReport;
/// use risewater::units::*;
///
/// let design = Design::parse(AERATION_EXAMPLE)?.with_readings(DEMO_READINGS);
/// let found = AerationReport::of(design.aeration()?)?;
/// // What the readings were made from, 18 °C and 240 m: 0.7 m³ × 2.4/h × 1.024² × 9.30 mg/L × 9.092/9.195
/// let rate = found.standard.rate.value.get::<kilogram_per_hour>();
/// assert_eq!(format!("{rate:.4}"), "0.0162");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct AerationReport {
    /// The test.
    pub bench: AerationBench,
    /// At standard conditions.
    pub standard: StandardTransfer,
    /// SAE, where the power is known.
    pub efficiency: Option<AerationEfficiency>,
    /// SOTE, where the air is known.
    pub share_of_air: Option<Ratio>,
    /// Oxygen where the aerator is to work.
    pub field_rate: Option<MassRate>,
    /// The riser's own transfer coefficient, where the file has a riser; or why there is none.
    pub riser: Option<Result<OwnCoefficient, NoCoefficient>>,
}

impl AerationReport {
    /// Reduces a test.
    ///
    /// # Errors
    /// As [`AerationTest::reduce`](crate::gas::aeration::AerationTest::reduce), [`aeration_efficiency`],
    /// [`standard_transfer_efficiency`] and [`field_transfer_rate`]. A riser without a coefficient is none.
    pub fn of(bench: AerationBench) -> Result<Self, Error> {
        let standard = bench.test.reduce()?;
        let rate = standard.rate.value;
        let efficiency = bench.power.map(|power| aeration_efficiency(rate, power));
        let share = bench.air.map(|air| standard_transfer_efficiency(rate, air));
        let field = bench.field.as_ref();
        let field = field.map(|field| field_transfer_rate(rate, field));
        let riser = OwnCoefficient::of(&bench, &standard);
        Ok(Self {
            efficiency: efficiency.transpose()?,
            share_of_air: share.transpose()?,
            field_rate: field.transpose()?,
            riser,
            standard,
            bench,
        })
    }

    /// What the fits warn of.
    #[must_use]
    pub fn warnings(&self) -> Vec<String> {
        let mut all = Vec::new();
        for (name, probe) in self.bench.names.iter().zip(&self.standard.probes) {
            let fit = &probe.fit;
            if fit.readings < GOOD_READINGS {
                let n = fit.readings;
                all.push(format!(
                    "probe {name}: {n} readings; thirty make a good test"
                ));
            }
            let spans = (fit.span * fit.coefficient.value).value;
            if spans < GOOD_SPAN {
                all.push(format!(
                    "probe {name}: the readings end after {spans:.1} times 1/kLa, before the oxygen shows where it ends; read on to three times"
                ));
            }
            if fit.serial_correlation.get::<ratio>() > 2.0 / (fit.readings as f64).sqrt() {
                all.push(format!(
                    "probe {name}: neighbouring readings err together, so the intervals are too narrow: a slow probe, or sulphite that still acted"
                ));
            }
        }
        all
    }

    /// What to read the result with, and what can hurt.
    #[must_use]
    pub fn cautions(&self) -> Vec<Caution> {
        let mut all = Vec::new();
        if let Some((riser, air)) = self.bench.riser.as_ref().zip(self.bench.air) {
            all.extend(riser.operate(air).iter().flat_map(|o| riser.cautions(o)));
        }
        all.extend([Caution::OxygenTakenOut, Caution::LossOfAir]);
        if let Some(riser) = &self.bench.riser {
            let depth_m = riser.spec().dimensions.submergence.get::<meter>();
            all.push(Caution::GasSupersaturation { depth_m });
        }
        all.extend([Caution::AirInPlasticPipe, Caution::MainsNearWater]);
        all
    }

    /// The JSON shape `risewater.aeration/1`.
    ///
    /// # Errors
    /// As [`Uncertain::interval`](crate::measurement::Uncertain::interval).
    pub fn json(&self) -> Result<Value, Error> {
        let mut probes = Vec::new();
        for (name, probe) in self.bench.names.iter().zip(&self.standard.probes) {
            let fit = &probe.fit;
            let (k, end) = (limits!(fit.coefficient), limits!(fit.saturation));
            probes.push(json!({
                "probe": name,
                "readings": fit.readings,
                "kla_per_h": fit.coefficient.value.get::<per_hour>(),
                "kla_low_per_h": k.0.get::<per_hour>(),
                "kla_high_per_h": k.1.get::<per_hour>(),
                "saturation_mg_per_l": fit.saturation.value.get::<milligram_per_liter>(),
                "saturation_low_mg_per_l": end.0.get::<milligram_per_liter>(),
                "saturation_high_mg_per_l": end.1.get::<milligram_per_liter>(),
                "start_mg_per_l": fit.start.value.get::<milligram_per_liter>(),
                "scatter_mg_per_l": fit.scatter.get::<milligram_per_liter>(),
                "kla_20c_per_h": probe.coefficient_at_20_c.get::<per_hour>(),
                "saturation_20c_mg_per_l": probe.saturation_at_20_c.get::<milligram_per_liter>(),
                "sotr_kg_per_h": probe.rate.value.get::<kilogram_per_hour>(),
            }));
        }
        let rate = limits!(self.standard.rate);
        let efficiency = self.efficiency.as_ref();
        let own = self.riser.as_ref().and_then(|own| own.as_ref().ok());
        let no_own = self.riser.as_ref().and_then(|own| own.as_ref().err());
        let per_s = |k: Option<Frequency>| k.map(|k| k.get::<hertz>());
        Ok(json!({
            "schema": "risewater.aeration/1",
            "probes": probes,
            "sotr_kg_per_h": self.standard.rate.value.get::<kilogram_per_hour>(),
            "sotr_low_kg_per_h": rate.0.get::<kilogram_per_hour>(),
            "sotr_high_kg_per_h": rate.1.get::<kilogram_per_hour>(),
            "probe_spread": self.standard.spread.map(|s| s.get::<ratio>()),
            "sae_kg_per_kwh": efficiency.map(|e| e.value.get::<kilogram_per_kilowatt_hour>()),
            "power_kind": efficiency.map(|e| e.power.to_string()),
            "sote": self.share_of_air.map(|s| s.get::<ratio>()),
            "field_rate_kg_per_h": self.field_rate.map(|r| r.get::<kilogram_per_hour>()),
            "temperature_c": self.bench.test.conditions.temperature.get::<degree_celsius>(),
            "riser_coefficient_per_s": per_s(own.map(|own| own.value)),
            "riser_coefficient_low_per_s": per_s(own.and_then(|own| own.limits[0])),
            "riser_coefficient_high_per_s": per_s(own.and_then(|own| own.limits[1])),
            "riser_coefficient_at_20_percent_per_s": per_s(own.and_then(|own| own.elsewhere[0])),
            "riser_coefficient_at_80_percent_per_s": per_s(own.and_then(|own| own.elsewhere[1])),
            "riser_no_answer": no_own.map(ToString::to_string),
            "warnings": self.warnings(),
            "cautions": cautions_json(&self.cautions()),
        }))
    }
}
