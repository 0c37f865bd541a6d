//! A fit for people: on one screen.

use std::fmt::Write;

use super::plan::place;
use crate::air::at_20_c;
use crate::answer::{FitAnswer, FitRunFacts, OrderFacts, WidthFacts, WithoutRun};
use crate::report::interval::{ends, half, odds, rounded};
use crate::report::kind::{Column, Kind, text_table};
use crate::report::number::UnitSystem;
use crate::report::table;
use crate::report::wrapped;
use crate::trial::ONE_LENGTH;

/// A run, and what is made of it without readings that stand out.
type Row<'a> = (&'a FitRunFacts, Option<&'a WithoutRun>);

fn runs<'a>() -> [Column<Row<'a>>; 9] {
    [
        Column::shown("run", Kind::Plain, |(r, _), _| (&r.at.run).into()),
        Column::shown("depth", Kind::Place, |(r, _), _| r.at.submergence_m.into()),
        Column::shown("lift", Kind::Place, |(r, _), _| r.at.lift_m.into()),
        Column::shown("air", Kind::Air, |(r, _), _| {
            at_20_c(r.at.air_mass_flow_kg_per_s).into()
        }),
        Column::shown("measured", Kind::Water, |(r, _), _| {
            r.measured_water_flow_m3_per_s.into()
        }),
        Column::shown("predicted", Kind::Plain, |(r, _), units| {
            (r.predicted_water_flow_m3_per_s / units.water_unit().0).into()
        }),
        Column::shown("calibrated", Kind::Plain, |(r, _), units| {
            let flow = r.calibrated_water_flow_m3_per_s;
            flow.map(|flow| flow / units.water_unit().0).into()
        }),
        Column::shown("interval", Kind::Plain, |(r, _), units| {
            ends(r.interval_after, units).into()
        }),
        Column::shown("without", Kind::Plain, |(_, other), units| {
            let flow = other.and_then(|run| run.calibrated_water_flow_m3_per_s);
            flow.map(|flow| flow / units.water_unit().0).into()
        }),
    ]
}

impl FitAnswer {
    /// Text for people.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let mut text = self.answer();
        // Writing to a string cannot fail.
        let _ = writeln!(text, "Model   {}\n", self.model.worded(units));
        let others = self.without.as_ref().map(|other| &other.runs);
        let rows = self.runs.iter().enumerate();
        let rows: Vec<Row> = rows
            .map(|(n, run)| (run, others.and_then(|others| others.get(n))))
            .collect();
        let columns = runs();
        let shown = columns.len() - usize::from(others.is_none());
        text += &text_table(&columns[..shown], &rows, units);
        text += &self.remarks(units);
        text += &self.taught_text();
        text += &match &self.next {
            Some(order) => next(order, units),
            None => "\nNext: say in [trial] what the bench can do, and the run that helps most is named here.\n".to_owned(),
        };
        wrapped(&text)
    }

    /// How far the rig is off, and how sure that is.
    fn answer(&self) -> String {
        let Some(change) = self.calibrated_over_predicted else {
            return "None of the points can be used: the prediction stays as it was.\n".to_owned();
        };
        let points = match (self.points_used, self.points) {
            (1, 1) => "1 point".to_owned(),
            (used, all) if used == all => format!("{all} points"),
            (used, all) => format!("{used} of {all} points"),
        };
        let mut text = format!("{points}: the rig gives {}.\n", than_predicted(change));
        if let Some((before, after)) = self.width_before.zip(self.width_after) {
            let _ = writeln!(
                text,
                "Sure to {}, {}; before the trial {}.",
                after.text(),
                odds(self.level),
                before.text()
            );
        }
        if let Some(other) = &self.without
            && let Some(change) = other.calibrated_over_predicted
        {
            let _ = writeln!(
                text,
                "Without run {}, which stands out: {}.",
                other.left_out.join(" and "),
                than_predicted(change)
            );
        }
        text
    }

    /// What does not count, and for what.
    fn remarks(&self, units: UnitSystem) -> String {
        let mut text = String::new();
        for run in &self.runs {
            if let Some(why) = &run.unused {
                let _ = writeln!(text, "Not used: run {}, {why}.", run.at.run);
            }
        }
        let lengths = || {
            let runs = self.runs.iter();
            runs.map(|run| run.at.submergence_m + run.at.lift_m)
        };
        let [least, most] =
            [lengths().reduce(f64::min), lengths().reduce(f64::max)].map(Option::unwrap_or_default);
        if most / least > ONE_LENGTH {
            let _ = writeln!(
                text,
                "Risers of {} to {}: a point speaks only for lengths within 15 % of its own.",
                units.say(Kind::Height, least),
                units.say(Kind::Height, most)
            );
        }
        text
    }

    fn taught_text(&self) -> String {
        let taught = &self.taught;
        if taught.terms.is_empty() {
            return String::new();
        }
        let points = match taught.points {
            1 => "1 point speaks".to_owned(),
            n => format!("{n} points speak"),
        };
        let mut text = format!(
            "\nWhat the trial has taught, in standard deviations ({points} at run {}'s riser):\n",
            taught.run
        );
        let per_cent = |share: f64| format!("{} %", rounded(100.0 * share));
        let rows = taught.terms.iter().map(|one| {
            [
                one.term.clone(),
                rounded(one.standard_before),
                rounded(one.standard_after),
                per_cent(one.of_flow_before),
                per_cent(one.of_flow_after),
            ]
        });
        let of_flow = format!("of run {}'s flow: before", taught.run);
        text += &table(["term", "before", "after", &of_flow, "after"], rows);
        text
    }
}

impl WidthFacts {
    fn text(self) -> String {
        let [low, high] = [self.below, self.above].map(|share| rounded(100.0 * share));
        if low == high {
            format!("± {low} %")
        } else {
            format!("-{low} to +{high} %")
        }
    }
}

/// How far a calibrated flow is off the predicted.
fn than_predicted(change: f64) -> String {
    let more = 100.0 * (change - 1.0);
    if more.abs() < 0.5 {
        return "as much water as predicted, to half a per cent".to_owned();
    }
    let word = if more > 0.0 { "more" } else { "less" };
    format!("{} % {word} water than predicted", rounded(more.abs()))
}

/// The run that would narrow the answer at the duty most.
fn next(order: &OrderFacts, units: UnitSystem) -> String {
    let duty = order.duty.text(units);
    let Some(now) = order.duty.half_width else {
        return format!("\nNext: {duty}: no interval is known there, so nothing can narrow it.\n");
    };
    let wanted = half(order.wanted_half_width);
    let speaks = if order.duty.points == 0 {
        "; no point of the trial speaks there"
    } else {
        ""
    };
    let mut text = format!(
        "\nDuty: {duty}:\n      {} now{speaks}; {wanted} is wanted.\n",
        half(now)
    );
    let Some(next) = order.runs.first() else {
        text += "Next: no run in [trial] is of the duty's rig.\n";
        return text;
    };
    let run = &next.at;
    let at = [run.submergence_m, run.lift_m, run.air_mass_flow_kg_per_s];
    let lead = if order.enough == Some(0) {
        "enough. Best of more:"
    } else {
        "measure"
    };
    let (best, then) = (place(at, units), half(next.half_width));
    let _ = writeln!(text, "Next: {lead} {best}: {then} then.");
    text
}
