//! One operating point as text.

use super::gas::gas_text;
use super::interval::{sentence, words};
use super::kind::{Cell, Column, Kind, text_table};
use super::number::{UnitSystem, short};
use super::{riser_lines, wrapped};
use crate::air::at_20_c;
use crate::answer::{EndFacts, FlowAnswer, PointFacts};
use crate::uncertainty::Basis;

/// The ends of the column.
fn ends<'a>() -> [Column<(&'a str, &'a EndFacts)>; 6] {
    [
        Column::shown("column", Kind::Plain, |(name, _), _| Cell::from(*name)),
        Column::shown("pressure abs", Kind::Plain, |(_, end), units| {
            units.say(Kind::Pressure, end.pressure_pa).into()
        }),
        Column::shown("void", Kind::Share(3), |(_, end), _| {
            end.void_fraction.into()
        }),
        Column::shown("water", Kind::Plain, |(_, end), units| {
            units.say(Kind::Velocity, end.water_velocity_m_per_s).into()
        }),
        Column::shown("gas", Kind::Plain, |(_, end), units| {
            units.say(Kind::Velocity, end.gas_velocity_m_per_s).into()
        }),
        Column::shown("pattern", Kind::Plain, |(_, end), _| (&end.pattern).into()),
    ]
}

impl FlowAnswer {
    /// Text for people; cautions are not in it.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let air = |kg_per_s| units.say(Kind::Air, at_20_c(kg_per_s));
        let mut text = match &self.point {
            Some(point) => self.running(point, units),
            None => self.still(units),
        };
        text += &format!(
            "\nAir     {} (dry, at {}), {}\n",
            air(self.air_mass_flow_kg_per_s),
            units.air_state(),
            units.mass_flow(self.air_mass_flow_kg_per_s),
        );
        text += &riser_lines(&self.riser, &self.site, &self.model, units);
        wrapped(&text)
    }

    /// What it does when water flows.
    fn running(&self, point: &PointFacts, units: UnitSystem) -> String {
        let mut text = format!(
            "Water   {}\n",
            sentence(
                point.water_flow_m3_per_s,
                self.interval,
                [self.after_one_reading, self.after_three_readings],
                units
            )
        );
        text += &format!(
            "Efficiency {}, air power {} at the injection point, {} volumes of air for each of water\nInjection {} gauge running; {}\n\n",
            units.say(Kind::Percent(1), point.efficiency),
            units.say(Kind::Power, point.injection_power_w),
            short(point.air_to_water),
            units.say(
                Kind::Pressure,
                point.injection_pressure_pa - self.site.atmospheric_pressure_pa
            ),
            match self.lift_at_zero_flow_m {
                Some(lift) => format!(
                    "at no flow this air holds the water up to {}",
                    units.say(Kind::Height, lift)
                ),
                None => "with no flow this air holds no column of water up".to_owned(),
            },
        );
        text += &text_table(
            &ends(),
            &[("top", &point.top), ("foot", &point.foot)],
            units,
        );
        if self
            .interval
            .is_some_and(|found| found.basis == Basis::BenchTrial)
        {
            text += "The column is as the model has it, without what the trial corrects.\n";
        }
        if let Some(gas) = &self.gas {
            text += &gas_text(gas, 1, units);
        }
        text
    }

    /// Why no water flows.
    fn still(&self, units: UnitSystem) -> String {
        let air = |kg_per_s| units.say(Kind::Air, at_20_c(kg_per_s));
        let mut text = "No water flows.\n".to_owned();
        text += &match self.threshold_air_mass_flow_kg_per_s {
            Some(start) if start < self.air_mass_flow_kg_per_s => format!(
                "This is so much air that it keeps the water out; pumping starts at {}.\n",
                air(start)
            ),
            Some(start) => format!("Pumping starts at {} of air.\n", air(start)),
            None => {
                "However much air, the water is not lifted that high from this depth.\n".to_owned()
            }
        };
        if let Some(interval) = self.interval.filter(|found| found.high_m3_per_s > 0.0) {
            let words = words(Some(interval), [None; 2], units);
            text += &format!("It may flow all the same: {words}.\n");
        }
        text
    }
}
