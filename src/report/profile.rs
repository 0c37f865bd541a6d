//! Why a riser gives what it gives: where its submergence goes, and what changes on the way up.

use super::interval::odds;
use super::kind::{Cell, Column, Kind, csv_table, text_table};
use super::number::UnitSystem;
use crate::air::at_20_c;
use crate::answer::{FlowAnswer, StationFacts, SubmergenceFacts};
use crate::chart::{DrawnOutlet, LiftDrawing, ProfileFigure};
use crate::regime::FlowPattern;
use crate::riser::Station;
use crate::units::system::ShownUnit;
use crate::units::{AbsolutePressure, base};

/// Rows of a table of heights are so far apart.
const EVERY: usize = 3;

/// The heights.
fn heights() -> [Column<StationFacts>; 7] {
    [
        Column::new("height", "height_{}", Kind::Height, |here, _| {
            here.height_m.into()
        }),
        Column::new(
            "pressure abs",
            "pressure_abs_{}",
            Kind::Pressure,
            |here, _| here.pressure_pa.into(),
        ),
        Column::new("void", "void_fraction", Kind::Share(3), |here, _| {
            here.void_fraction.into()
        }),
        Column::new("water", "water_velocity_{}", Kind::Velocity, |here, _| {
            here.water_velocity_m_per_s.into()
        }),
        Column::new("gas", "gas_velocity_{}", Kind::Velocity, |here, _| {
            here.gas_velocity_m_per_s.into()
        }),
        Column::new("pattern", "pattern", Kind::Plain, |here, _| {
            Cell::from(&here.pattern)
        }),
        Column::saved("water_time_s", Kind::Share(2), |here, _| {
            here.water_time_s.into()
        }),
    ]
}

/// Unit of the parts of the submergence.
fn part_unit(units: UnitSystem) -> ShownUnit {
    units.pick((0.01, "cm"), units.bore_unit())
}

impl SubmergenceFacts {
    /// The parts: name, height, what makes it less.
    fn parts(&self, outlet: &str) -> [(&'static str, f64, &'static str); 7] {
        let freer = match outlet {
            "elbow" => "a wider horizontal pipe",
            "open top" => "a lower spill over the rim: a wider top",
            _ => "a wider or smoother end",
        };
        [
            ("weight", self.weight_m, "more air"),
            ("developing air", self.developing_m, "less air"),
            ("friction", self.friction_m, "a wider pipe, less air"),
            ("speed", self.speed_m, "a wider pipe, less air"),
            ("entrance", self.entrance_m, "a rounded or wider entrance"),
            (
                "suction pipe",
                self.suction_m,
                "a shorter or wider pipe below the inlet",
            ),
            ("outlet", self.outlet_m, freer),
        ]
    }

    /// Together: the submergence.
    fn total_m(&self) -> f64 {
        self.parts("").iter().map(|(_, height, _)| height).sum()
    }
}

/// A part of the submergence, for people.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct BudgetRow {
    /// What it is.
    pub name: &'static str,
    /// Its height, m.
    pub height_m: f64,
    /// The same in words; with those of the other rows it adds up to the submergence.
    pub height: String,
    /// Its share of the submergence, in words.
    pub share: String,
    /// What makes it less.
    pub shrinks_with: &'static str,
}

/// Numbers to one decimal that add up to their sum to one decimal: those nearest to the next step are moved.
fn adding_up(values: &[f64]) -> (Vec<f64>, f64) {
    let tenths: Vec<f64> = values.iter().map(|value| 10.0 * value).collect();
    let total = tenths.iter().sum::<f64>().round();
    let mut rounded: Vec<f64> = tenths.iter().map(|value| value.round()).collect();
    let mut off = total - rounded.iter().sum::<f64>();
    while off.abs() >= 0.5 {
        let step = off.signum();
        let gap = |n: usize| step * (tenths[n] - rounded[n]);
        let Some(most) = (0..values.len()).max_by(|a, b| gap(*a).total_cmp(&gap(*b))) else {
            break;
        };
        rounded[most] += step;
        off -= step;
    }
    (
        rounded.iter().map(|value| value / 10.0).collect(),
        total / 10.0,
    )
}

impl FlowAnswer {
    /// Where the submergence goes, and the heights of the riser, for people; what follows [`FlowAnswer::text`].
    #[must_use]
    pub fn profile_text(&self, units: UnitSystem) -> String {
        let (Some(budget), Some(profile)) = (&self.budget, &self.profile) else {
            return "\nNo water flows, so there is no profile.\n".to_owned();
        };
        let mut text = self.budget_text(budget, units);
        text += "\nUp the riser, from the air inlet\n";
        let last = profile.len().saturating_sub(1);
        let rows = profile.iter().enumerate();
        let rows = rows.filter(|(n, _)| n % EVERY == 0 || *n == last);
        text += &text_table(
            &heights(),
            rows.map(|(_, here)| here)
                .collect::<Vec<_>>()
                .into_iter()
                .rev(),
            units,
        );
        if budget.developing_m > 0.0 {
            text += "Void is that of developed flow at every height. The air that is missing over the developing\nlength is charged once, at the foot, as the table above has it.\n";
        }
        text
    }

    /// Where the submergence goes, part by part; none where no water flows.
    ///
    /// # Examples
    /// ```
    /// use risewater::answer::{FlowAnswer, Terms};
    /// use risewater::design::{DesignFile, EXAMPLE};
    /// use risewater::report::UnitSystem;
    ///
    /// let (riser, air) = DesignFile::parse(EXAMPLE)?.riser_and_air()?;
    /// let rows = FlowAnswer::of(&riser, air, &Terms::default())?.budget_rows(UnitSystem::Metric);
    /// let submergence: f64 = rows.iter().map(|row| row.height_m).sum();
    /// assert_eq!(format!("{submergence:.6}"), "1.200000");
    /// assert_eq!((rows[0].name, rows[0].shrinks_with), ("weight", "more air"));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn budget_rows(&self, units: UnitSystem) -> Vec<BudgetRow> {
        let (size, unit) = part_unit(units);
        let Some(budget) = &self.budget else {
            return Vec::new();
        };
        let parts: Vec<_> = budget
            .parts(&self.riser.outlet)
            .into_iter()
            // Below a nanometre it is the noise of a sum that is nothing.
            .filter(|(_, height, _)| height.abs() > 1e-9)
            .collect();
        let values: Vec<f64> = parts.iter().map(|(_, height, _)| height / size).collect();
        let (shown, total) = adding_up(&values);
        let rows = parts.into_iter().zip(shown);
        rows.map(|((name, height_m, shrinks_with), value)| BudgetRow {
            name,
            height_m,
            height: format!("{value:.1} {unit}"),
            share: format!("{:.1} %", 100.0 * value / total.max(1e-9)),
            shrinks_with,
        })
        .collect()
    }

    fn budget_text(&self, budget: &SubmergenceFacts, units: UnitSystem) -> String {
        let (size, unit) = part_unit(units);
        let mut text = format!(
            "\nWhere the submergence goes\n{:<16}{unit:>7}{:>8}  shrinks with\n",
            "", "share"
        );
        for row in self.budget_rows(units) {
            let number = row.height.trim_end_matches(unit).trim_end();
            text += &format!(
                "{:<16}{number:>7}{:>8}  {}\n",
                row.name, row.share, row.shrinks_with
            );
        }
        let total = budget.total_m() / size;
        text += &format!("{:<16}{total:>7.1}{:>6.1} %\n", "submergence", 100.0);
        let say = |m: f64| format!("{:.1} {unit}", m / size);
        let lift = budget.replaced_m - (budget.total_m() - budget.weight_m);
        text += &format!(
            "The air stands in the place of {} of water. {}\n",
            say(budget.replaced_m),
            if lift < 0.0 {
                format!(
                    "With the fall of {} to the outlet,\nthat pays for all but the weight.",
                    say(-lift)
                )
            } else {
                format!(
                    "That pays for the lift, {}, and for\nall but the weight, {}.",
                    say(lift),
                    say(budget.replaced_m - lift)
                )
            }
        );
        text
    }

    /// The heights as CSV, at full precision.
    #[must_use]
    pub fn profile_csv(&self, units: UnitSystem) -> String {
        csv_table(&heights(), self.profile.iter().flatten(), units)
    }

    /// The heights as the engine has them.
    fn stations(&self) -> Vec<Station> {
        let known = |name: &str| {
            let mut all = FlowPattern::ALL.iter().copied();
            all.find(|pattern| pattern.to_string() == name)
        };
        let rows = self.profile.iter().flatten();
        rows.map(|here| Station {
            height: base(here.height_m),
            pressure: AbsolutePressure(base(here.pressure_pa)),
            void_fraction: base(here.void_fraction),
            liquid_velocity: base(here.water_velocity_m_per_s),
            gas_velocity: base(here.gas_velocity_m_per_s),
            pattern: known(&here.pattern).unwrap_or(FlowPattern::SinglePhase),
            water_time: base(here.water_time_s),
        })
        .collect()
    }

    /// What changes on the way up, as a picture.
    #[must_use]
    pub fn profile_figure(&self, units: UnitSystem) -> ProfileFigure {
        let mut notes = vec![format!(
            "bore {}, submergence {}, lift {}, outlet {}",
            units.say(Kind::Bore, self.riser.bore_m),
            units.say(Kind::Height, self.riser.submergence_m),
            units.say(Kind::Height, self.riser.lift_m),
            self.riser.outlet
        )];
        notes.push(match &self.point {
            Some(point) => format!(
                "{} of water at {} of air",
                units.say(Kind::Water, point.water_flow_m3_per_s),
                units.say(Kind::Air, at_20_c(self.air_mass_flow_kg_per_s)),
            ),
            None => "no water flows".to_owned(),
        });
        if let Some(budget) = self.budget.filter(|budget| budget.developing_m > 0.0) {
            notes.push(format!(
                "void of developed flow; air missing over the developing length is charged at the foot, {}",
                units.say(Kind::Height, budget.developing_m)
            ));
        }
        let stations = self.stations();
        let level = !stations.is_empty();
        ProfileFigure {
            title: "Up the riser".to_owned(),
            notes,
            level: level.then(|| base(self.riser.submergence_m)),
            stations,
            units,
        }
    }

    /// The lift drawn to scale, with air as the [profile](FlowAnswer::profile) has it.
    #[must_use]
    pub fn drawing(&self, units: UnitSystem) -> LiftDrawing {
        let riser = &self.riser;
        let outlet = match (
            riser.outlet_bore_m,
            riser.outlet_depth_m,
            riser.outlet_head_m,
        ) {
            (Some(bore), ..) => DrawnOutlet::Elbow(base(bore)),
            (_, Some(depth), _) => DrawnOutlet::Submerged(base(depth)),
            (.., Some(head)) => DrawnOutlet::OpenTop(base(head)),
            _ => DrawnOutlet::Plain,
        };
        let known = self.interval.filter(|_| self.point.is_some());
        let stands = self.lift_at_zero_flow_m.filter(|_| self.point.is_none());
        LiftDrawing {
            title: "The lift, heights to scale".to_owned(),
            notes: vec![format!(
                "outlet {}; water {}",
                riser.outlet,
                units.temperature(base(self.site.water_temperature_k))
            )],
            bore: base(riser.bore_m),
            submergence: base(riser.submergence_m),
            lift: base(riser.lift_m),
            suction_length: base(riser.suction_length_m),
            air_line_inside: riser.air_line_m.is_some(),
            outlet,
            level_fall: self.level_fall_m.map(base),
            level_rise: self.level_rise_m.map(base),
            air_at_20_c: base(at_20_c(self.air_mass_flow_kg_per_s)),
            pressure: self
                .point
                .as_ref()
                .map(|point| base(point.injection_pressure_pa - self.site.atmospheric_pressure_pa)),
            water: self
                .point
                .as_ref()
                .map(|point| base(point.water_flow_m3_per_s)),
            interval: known.map(|found| {
                let (low, high) = (base(found.low_m3_per_s), base(found.high_m3_per_s));
                (low, high, odds(found.level))
            }),
            stations: self.stations(),
            stands: stands.map(base),
            units,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Thirds come to one: one of them takes the tenth that is left.
    #[test]
    fn rounded_parts_add_up() {
        let (parts, total) = adding_up(&[1.0 / 3.0, 1.0 / 3.0, 1.0 / 3.0]);
        assert!((total - 1.0).abs() < 1e-12);
        assert!((parts.iter().sum::<f64>() - 1.0).abs() < 1e-12, "{parts:?}");
        assert_eq!(adding_up(&[]), (vec![], 0.0));
    }
}
