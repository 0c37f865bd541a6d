//! An aeration test for people.

use std::fmt::Write;

use crate::answer::{AerationAnswer, ProbeFacts, RiserCoefficientFacts};
use crate::report::kind::{Column, Kind, text_table};
use crate::report::number::{UnitSystem, short};
use crate::report::wrapped;
use crate::units::base;
use crate::units::system::POUND_KG;

const PER_H: f64 = 3600.0;
const MG_PER_L: f64 = 1e3;

const PROBES: [Column<ProbeFacts>; 9] = [
    Column::shown("probe", Kind::Plain, |p, _| (&p.probe).into()),
    Column::shown("readings", Kind::Count, |p, _| p.readings.into()),
    Column::shown("kLa 1/h", Kind::Share(3), |p, _| {
        (PER_H * p.kla_per_s).into()
    }),
    Column::shown("95 %", Kind::Plain, |p, _| {
        let [low, high] = [p.kla_low_per_s, p.kla_high_per_s].map(|k| PER_H * k);
        format!("{low:.3} to {high:.3}").into()
    }),
    Column::shown("C* mg/L", Kind::Share(2), |p, _| {
        (MG_PER_L * p.saturation_kg_per_m3).into()
    }),
    Column::shown("C0 mg/L", Kind::Share(2), |p, _| {
        (MG_PER_L * p.start_kg_per_m3).into()
    }),
    Column::shown("scatter mg/L", Kind::Share(3), |p, _| {
        (MG_PER_L * p.scatter_kg_per_m3).into()
    }),
    Column::shown("kLa20 1/h", Kind::Share(3), |p, _| {
        (PER_H * p.kla_20c_per_s).into()
    }),
    Column::shown("C*20 mg/L", Kind::Share(2), |p, _| {
        (MG_PER_L * p.saturation_20c_kg_per_m3).into()
    }),
];

impl AerationAnswer {
    /// Text for people; cautions are not in it.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let (size, unit) = units.pick((1e-3 / PER_H, "g/h"), (POUND_KG / PER_H, "lb/h"));
        let shown = |rate: f64| short(rate / size);
        let mut text = text_table(&PROBES, &self.probes, units);
        // Writing to a string cannot fail.
        let _ = writeln!(
            text,
            "\nSOTR {} {unit}, 95 % {} to {} {unit}: {}, one atmosphere, no oxygen in the water",
            shown(self.sotr_kg_per_s),
            shown(self.sotr_low_kg_per_s),
            shown(self.sotr_high_kg_per_s),
            units.pick("20 °C", "68 °F")
        );
        if let Some(spread) = self.probe_spread {
            let _ = writeln!(text, "Probes differ by {:.1} %", 100.0 * spread);
        }
        if let (Some(found), Some(power)) = (self.sae_kg_per_j, &self.power_kind) {
            let value = match units {
                UnitSystem::Metric => format!("{:.3} kg/kWh", 3.6e6 * found),
                UnitSystem::Us => units.mass_per_energy(base(found)),
            };
            let _ = writeln!(text, "SAE  {value}, {power} power");
        }
        if let Some(share) = self.sote {
            let share = 100.0 * share;
            let _ = writeln!(text, "SOTE {share:.2} % of the oxygen in the air");
        }
        if let Some(rate) = self.field_rate_kg_per_s {
            let none = if rate > 0.0 {
                ""
            } else {
                ": that water holds no less oxygen than it takes up at the surface"
            };
            let _ = writeln!(text, "In the field {} {unit}{none}", shown(rate));
        }
        if let Some(own) = &self.riser {
            text += &own.text(&units.temperature(base(self.water_temperature_k)));
        }
        if let Some(why) = &self.riser_no_answer {
            let _ = writeln!(text, "\nOf the riser itself: no coefficient, since {why}");
        }
        for warning in &self.warnings {
            let _ = writeln!(text, "warning: {warning}");
        }
        wrapped(&(text + "\nMethod: ASCE/EWRI 2, from memory\n"))
    }
}

impl RiserCoefficientFacts {
    fn text(&self, temperature: &str) -> String {
        let per_s = |k: Option<f64>| k.map_or("none".to_owned(), short);
        format!(
            "\nOf the riser itself: kLa {} 1/s at {temperature}, 95 % {} to {} 1/s by the scatter of the readings alone\n{} 1/s with the tank at 20 % of saturation, {} 1/s at 80 %; what its surface gave is counted in\n",
            per_s(Some(self.coefficient_per_s)),
            per_s(self.coefficient_low_per_s),
            per_s(self.coefficient_high_per_s),
            per_s(self.coefficient_at_one_fifth_per_s),
            per_s(self.coefficient_at_four_fifths_per_s),
        )
    }
}
