//! An aeration test reduced to standard conditions.

use std::fmt::Write;

use serde_json::{Value, json};

use super::number::UnitSystem;
use super::table;
use crate::chart::{Axis, Chart, Ink, Label, Line, Marks, Shape, Stroke};
use crate::design::AerationBench;
use crate::error::Error;
use crate::gas::aeration::{
    AerationEfficiency, AeratorPower, StandardTransfer, aeration_efficiency, field_transfer_rate,
    standard_transfer_efficiency,
};
use crate::transfer::TankTest;
use crate::units::{
    Frequency, MassConcentration, MassRate, Ratio, Time, base, hertz, kilogram_per_hour,
    kilogram_per_kilowatt_hour, milligram_per_liter, minute, per_hour, percent, ratio,
};

/// Limits of 95 %.
macro_rules! limits {
    ($of:expr) => {
        $of.interval(Ratio::new::<percent>(95.0))?
    };
}

/// Shares of saturation at which the riser's coefficient is told.
const SHARES: [f64; 3] = [0.2, 0.5, 0.8];
/// Span of the readings over 1/kLa that shows the end well; common practice.
const GOOD_SPAN: f64 = 3.0;
/// Readings of a good test; common practice.
const GOOD_READINGS: usize = 30;

/// An aeration test, reduced.
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
    /// The riser's own transfer coefficient, with the tank at 0.2, 0.5 and 0.8 of saturation.
    pub riser: Option<[Frequency; 3]>,
}

impl AerationReport {
    /// Reduces a test.
    ///
    /// # Errors
    /// As [`AerationTest::reduce`](crate::gas::aeration::AerationTest::reduce),
    /// [`standard_transfer_efficiency`], [`field_transfer_rate`] and
    /// [`Riser::coefficient_of_test`](crate::riser::Riser::coefficient_of_test).
    pub fn of(bench: AerationBench) -> Result<Self, Error> {
        let standard = bench.test.reduce()?;
        let rate = standard.rate.value;
        let efficiency = bench.power.map(|power| aeration_efficiency(rate, power));
        let share = bench.air.map(|air| standard_transfer_efficiency(rate, air));
        let field = bench.field.as_ref();
        let field = field.map(|field| field_transfer_rate(rate, field));
        let riser = riser_coefficients(&bench, &standard)?;
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
                    "probe {name}: the readings end after {spans:.1} times 1/kLa, before the oxygen shows where it ends; read for three times"
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

    /// The JSON shape `risewater.aeration/1`.
    ///
    /// # Errors
    /// As [`Uncertain::interval`](crate::trial::Uncertain::interval).
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
        Ok(json!({
            "schema": "risewater.aeration/1",
            "probes": probes,
            "sotr_kg_per_h": self.standard.rate.value.get::<kilogram_per_hour>(),
            "sotr_low_kg_per_h": rate.0.get::<kilogram_per_hour>(),
            "sotr_high_kg_per_h": rate.1.get::<kilogram_per_hour>(),
            "probe_spread": self.standard.spread.map(|s| s.get::<ratio>()),
            "sae_kg_per_kwh": efficiency.map(|e| e.value.get::<kilogram_per_kilowatt_hour>()),
            "power_kind": efficiency.map(|e| kind(e.power)),
            "sote": self.share_of_air.map(|s| s.get::<ratio>()),
            "field_rate_kg_per_h": self.field_rate.map(|r| r.get::<kilogram_per_hour>()),
            "riser_coefficient_per_s": self.riser.map(|k| k[1].get::<hertz>()),
            "riser_coefficient_at_20_percent_per_s": self.riser.map(|k| k[0].get::<hertz>()),
            "riser_coefficient_at_80_percent_per_s": self.riser.map(|k| k[2].get::<hertz>()),
            "warnings": self.warnings(),
        }))
    }

    /// Text for people.
    ///
    /// # Errors
    /// As [`Uncertain::interval`](crate::trial::Uncertain::interval).
    pub fn text(&self, units: UnitSystem) -> Result<String, Error> {
        let (size, unit) = match units {
            UnitSystem::Metric => (1e-3, "g/h"),
            // Exact: a pound in kilograms.
            UnitSystem::Us => (0.453_592_37, "lb/h"),
        };
        let shown = |rate: MassRate| rate.get::<kilogram_per_hour>() / size;
        let header = [
            "probe",
            "readings",
            "kLa 1/h",
            "95 %",
            "C* mg/L",
            "C0 mg/L",
            "scatter mg/L",
            "kLa20 1/h",
            "C*20 mg/L",
        ];
        let mut rows = Vec::new();
        for (name, probe) in self.bench.names.iter().zip(&self.standard.probes) {
            let fit = &probe.fit;
            let (low, high) = limits!(fit.coefficient);
            let mg_l = |c: MassConcentration| format!("{:.2}", c.get::<milligram_per_liter>());
            rows.push([
                name.clone(),
                fit.readings.to_string(),
                format!("{:.3}", fit.coefficient.value.get::<per_hour>()),
                format!(
                    "{:.3} to {:.3}",
                    low.get::<per_hour>(),
                    high.get::<per_hour>()
                ),
                mg_l(fit.saturation.value),
                mg_l(fit.start.value),
                format!("{:.3}", fit.scatter.get::<milligram_per_liter>()),
                format!("{:.3}", probe.coefficient_at_20_c.get::<per_hour>()),
                mg_l(probe.saturation_at_20_c),
            ]);
        }
        let mut text = table(header, rows);
        let (low, high) = limits!(self.standard.rate);
        // Writing to a string cannot fail.
        let _ = writeln!(
            text,
            "\nSOTR {:.4} {unit}, 95 % {:.4} to {:.4} {unit}: 20 °C, one atmosphere, no oxygen in the water",
            shown(self.standard.rate.value),
            shown(low),
            shown(high)
        );
        if let Some(spread) = self.standard.spread {
            let _ = writeln!(text, "Probes differ by {:.1} %", spread.get::<percent>());
        }
        if let Some(found) = &self.efficiency {
            let value = found.value.get::<kilogram_per_kilowatt_hour>();
            let _ = writeln!(text, "SAE  {value:.3} kg/kWh, {} power", kind(found.power));
        }
        if let Some(share) = self.share_of_air {
            let share = share.get::<percent>();
            let _ = writeln!(text, "SOTE {share:.2} % of the oxygen in the air");
        }
        if let Some(rate) = self.field_rate {
            let _ = writeln!(text, "In the field {:.4} {unit}", shown(rate));
        }
        if let Some(k) = self.riser.map(|k| k.map(|k| k.get::<hertz>())) {
            let _ = writeln!(
                text,
                "\nOf the riser itself, surface of the tank counted in: transfer_coefficient = \"{:.4} 1/s\" at the test's temperature\n({:.4} with the tank at 20 % of saturation, {:.4} at 80 %)",
                k[1], k[0], k[2]
            );
        }
        for warning in self.warnings() {
            let _ = writeln!(text, "warning: {warning}");
        }
        let _ = writeln!(text, "\nMethod: ASCE/EWRI 2, from memory");
        Ok(text)
    }

    /// Readings and fitted curves: dissolved oxygen in mg/L against time in minutes.
    #[must_use]
    pub fn chart(&self) -> Chart {
        const INKS: [Ink; 3] = [Ink::Blue, Ink::Vermilion, Ink::Black];
        const SHAPES: [Shape; 2] = [Shape::Disc, Shape::Ring];
        let mut chart = Chart {
            title: "Oxygen of the test and the fitted curves".into(),
            x: Axis {
                label: "time (min)".into(),
                covers: vec![0.0],
            },
            y: Axis {
                label: "dissolved oxygen (mg/L)".into(),
                covers: vec![0.0],
            },
            ..Chart::default()
        };
        let probes = self.bench.test.probes.iter().zip(&self.standard.probes);
        for (n, (name, (readings, probe))) in self.bench.names.iter().zip(probes).enumerate() {
            let ink = INKS[n % INKS.len()];
            let k = probe.fit.coefficient.value.get::<per_hour>();
            let start: Time = readings.first().map_or(base(0.0), |reading| reading.time);
            let curve = (0..=80).map(|n| {
                let after = probe.fit.span * (f64::from(n) / 80.0);
                let oxygen = probe.fit.oxygen_at(after);
                (
                    (start + after).get::<minute>(),
                    oxygen.get::<milligram_per_liter>(),
                )
            });
            chart.lines.push(Line {
                label: Label::Legend(format!("{name}: kLa {k:.2}/h")),
                points: curve.collect(),
                ink,
                stroke: if n % 2 == 0 {
                    Stroke::Solid
                } else {
                    Stroke::Dashed
                },
            });
            let point = |r: &crate::gas::aeration::Reading| {
                (
                    r.time.get::<minute>(),
                    r.oxygen.get::<milligram_per_liter>(),
                )
            };
            chart.marks.push(Marks {
                label: Label::Legend(format!("{name}, read")),
                points: readings.iter().map(point).collect(),
                ink,
                shape: SHAPES[n % SHAPES.len()],
            });
        }
        chart
    }
}

/// The riser's coefficient at [`SHARES`], where the file has a riser that pumps with its air.
fn riser_coefficients(
    bench: &AerationBench,
    standard: &StandardTransfer,
) -> Result<Option<[Frequency; 3]>, Error> {
    let Some((riser, air)) = bench.riser.as_ref().zip(bench.air) else {
        return Ok(None);
    };
    let outcome = riser.operate(air)?;
    let Some(point) = outcome.point() else {
        return Ok(None);
    };
    let n = standard.probes.len() as f64;
    let mean =
        |value: &dyn Fn(usize) -> f64| (0..standard.probes.len()).map(value).sum::<f64>() / n;
    let fit = |n: usize| &standard.probes[n].fit;
    let test = TankTest {
        volume: bench.test.volume,
        coefficient: base(mean(&|n| fit(n).coefficient.value.value)),
        saturation: base(mean(&|n| fit(n).saturation.value.value)),
    };
    let mut found = [base(0.0); 3];
    for (found, share) in found.iter_mut().zip(SHARES) {
        *found = riser.coefficient_of_test(point, &test, base(share))?;
    }
    Ok(Some(found))
}

fn kind(power: AeratorPower) -> &'static str {
    match power {
        AeratorPower::Wire(_) => "wire",
        AeratorPower::Shaft(_) => "shaft",
        AeratorPower::Air(_) => "air",
    }
}
