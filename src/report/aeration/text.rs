//! An aeration test for people.

use std::fmt::Write;

use super::{AerationReport, OwnCoefficient, limits};
use crate::error::Error;
use crate::report::number::{UnitSystem, short};
use crate::report::table;
use crate::units::{
    Frequency, MassConcentration, MassRate, Ratio, ThermodynamicTemperature, hertz,
    kilogram_per_hour, kilogram_per_kilowatt_hour, milligram_per_liter, per_hour, percent,
};

impl AerationReport {
    /// Text for people.
    ///
    /// # Errors
    /// As [`Uncertain::interval`](crate::measurement::Uncertain::interval).
    pub fn text(&self, units: UnitSystem) -> Result<String, Error> {
        let (size, unit) = match units {
            UnitSystem::Metric => (1e-3, "g/h"),
            // Exact: a pound in kilograms.
            UnitSystem::Us => (0.453_592_37, "lb/h"),
        };
        let shown = |rate: MassRate| short(rate.get::<kilogram_per_hour>() / size);
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
            "\nSOTR {} {unit}, 95 % {} to {} {unit}: {}, one atmosphere, no oxygen in the water",
            shown(self.standard.rate.value),
            shown(low),
            shown(high),
            units.pick("20 °C", "68 °F")
        );
        if let Some(spread) = self.standard.spread {
            let _ = writeln!(text, "Probes differ by {:.1} %", spread.get::<percent>());
        }
        if let Some(found) = &self.efficiency {
            let value = match units {
                UnitSystem::Metric => {
                    let value = found.value.get::<kilogram_per_kilowatt_hour>();
                    format!("{value:.3} kg/kWh")
                }
                UnitSystem::Us => units.mass_per_energy(found.value),
            };
            let _ = writeln!(text, "SAE  {value}, {} power", found.power);
        }
        if let Some(share) = self.share_of_air {
            let share = share.get::<percent>();
            let _ = writeln!(text, "SOTE {share:.2} % of the oxygen in the air");
        }
        if let Some(rate) = self.field_rate {
            let none = if rate.value > 0.0 {
                ""
            } else {
                ": that water holds no less oxygen than it takes up at the surface"
            };
            let _ = writeln!(text, "In the field {} {unit}{none}", shown(rate));
        }
        match &self.riser {
            None => {}
            Some(Ok(own)) => text += &own_text(own, self.bench.test.conditions.temperature, units),
            Some(Err(why)) => {
                let _ = writeln!(text, "\nOf the riser itself: no coefficient, since {why}");
            }
        }
        for warning in self.warnings() {
            let _ = writeln!(text, "warning: {warning}");
        }
        let _ = writeln!(text, "\nMethod: ASCE/EWRI 2, from memory");
        Ok(text)
    }
}

fn own_text(
    own: &OwnCoefficient,
    temperature: ThermodynamicTemperature,
    units: UnitSystem,
) -> String {
    let per_s = |k: Option<Frequency>| k.map_or("none".to_owned(), |k| short(k.get::<hertz>()));
    format!(
        "\nOf the riser itself: kLa {} 1/s at {}, 95 % {} to {} 1/s by the scatter of the readings alone\n{} 1/s with the tank at 20 % of saturation, {} 1/s at 80 %; what its surface gave is counted in\n",
        per_s(Some(own.value)),
        units.temperature(temperature),
        per_s(own.limits[0]),
        per_s(own.limits[1]),
        per_s(own.elsewhere[0]),
        per_s(own.elsewhere[1]),
    )
}
