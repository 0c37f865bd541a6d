//! A fit for people: on one screen.

use std::fmt::Write;

use super::{FitReport, ONE_LENGTH};
use crate::report::interval::{ends, odds, rounded};
use crate::report::number::{UnitSystem, short};
use crate::report::{columns, plan, table};
use crate::trial::Plan;
use crate::uncertainty::Interval;
use crate::units::{Length, Ratio, VolumeRate, percent, ratio};

impl FitReport {
    /// Text for people.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let mut text = self.answer();
        // Writing to a string cannot fail.
        let _ = writeln!(text, "Model   {}\n", self.model.worded(units));
        text += &self.table(units);
        text += &self.remarks(units);
        text += &self.taught_text();
        text += &match &self.next {
            Some(plan) => next(plan, units),
            None => "\nNext: say in [trial] what the bench can do, and the run that helps most is named here.\n".to_owned(),
        };
        text
    }

    /// How far the rig is off, and how sure that is.
    fn answer(&self) -> String {
        let Some(change) = self.change else {
            return "None of the points can be used: the prediction stays as it was.\n".to_owned();
        };
        let used = self.runs.iter().filter(|run| run.unused.is_none()).count();
        let points = match (used, self.runs.len()) {
            (1, 1) => "1 point".to_owned(),
            (used, all) if used == all => format!("{all} points"),
            (used, all) => format!("{used} of {all} points"),
        };
        let before = off(self.runs.iter().filter_map(|run| {
            let counts = run.after.is_some();
            counts.then_some((run.before?, run.predicted))
        }));
        let after = off(self
            .runs
            .iter()
            .filter_map(|run| Some((run.after?, run.calibrated?))));
        let mut text = format!("{points}: the rig gives {}.\n", than_predicted(change));
        if let Some((before, after)) = before.zip(after) {
            let _ = writeln!(
                text,
                "Sure to {after}, {}; before the trial {before}.",
                odds(self.law.level().value),
            );
        }
        if let Some(other) = &self.without
            && let Some(change) = other.change
        {
            let left_out = other.left_out.iter().map(|n| &*self.runs[*n].point.run);
            let _ = writeln!(
                text,
                "Without run {}, which stands out: {}.",
                left_out.collect::<Vec<_>>().join(" and "),
                than_predicted(change)
            );
        }
        text
    }

    fn table(&self, units: UnitSystem) -> String {
        let (air, water) = (units.air_unit(), units.water_unit());
        let flow = |flow: Option<VolumeRate>| {
            flow.map_or("-".to_owned(), |flow| short(flow.value / water.0))
        };
        let mut header: Vec<String> = [
            "run",
            "depth",
            "lift",
            &format!("air {}", air.1),
            &format!("measured {}", water.1),
            "predicted",
            "calibrated",
            "interval",
        ]
        .map(str::to_owned)
        .into();
        if self.without.is_some() {
            header.push("without".to_owned());
        }
        let rows = self.runs.iter().enumerate().map(|(n, run)| {
            let mut row = vec![
                run.point.run.clone(),
                units.height(run.point.submergence),
                units.height(run.point.lift),
                short(run.point.air.volume_rate_at_20_c().value / air.0),
                flow(Some(run.point.water_flow)),
                flow(Some(run.predicted)),
                flow(run.calibrated),
                ends(run.after.map(Into::into), units),
            ];
            if let Some(other) = &self.without {
                row.push(flow(other.runs[n].calibrated));
            }
            row
        });
        columns(&header, rows)
    }

    /// What does not count, and for what.
    fn remarks(&self, units: UnitSystem) -> String {
        let mut text = String::new();
        for run in &self.runs {
            if let Some(why) = run.unused {
                let _ = writeln!(text, "Not used: run {}, {why}.", run.point.run);
            }
        }
        let lengths = || {
            let runs = self.runs.iter();
            runs.map(|run| run.point.submergence + run.point.lift)
        };
        let [least, most] = [lengths().reduce(Length::min), lengths().reduce(Length::max)]
            .map(Option::unwrap_or_default);
        if (most / least).get::<ratio>() > ONE_LENGTH {
            let _ = writeln!(
                text,
                "Risers of {} to {}: a point speaks only for lengths within 15 % of its own.",
                units.height(least),
                units.height(most)
            );
        }
        text
    }

    fn taught_text(&self) -> String {
        if self.taught.is_empty() {
            return String::new();
        }
        let at = &self.runs[self.middle];
        let points = match at.counting {
            1 => "1 point speaks".to_owned(),
            n => format!("{n} points speak"),
        };
        let mut text = format!(
            "\nWhat the trial has taught, in standard deviations ({points} at run {}'s riser):\n",
            at.point.run
        );
        let per_cent = |share: f64| format!("{} %", rounded(100.0 * share));
        let rows = self.taught.iter().map(|one| {
            [
                one.term.to_string(),
                rounded(one.before),
                rounded(one.after),
                per_cent(one.of_flow[0]),
                per_cent(one.of_flow[1]),
            ]
        });
        let of_flow = format!("of run {}'s flow: before", at.point.run);
        text += &table(["term", "before", "after", &of_flow, "after"], rows);
        text
    }
}

/// Mean distances of the ends from the flow.
fn off(intervals: impl Iterator<Item = (Interval, VolumeRate)>) -> Option<String> {
    let off: Vec<[f64; 2]> = intervals
        .filter(|(_, flow)| flow.value > 0.0)
        .map(|(found, flow)| [found.low, found.high].map(|end| (end / flow).get::<percent>()))
        .collect();
    let mean = |side: usize| off.iter().map(|one| one[side]).sum::<f64>() / off.len() as f64;
    (!off.is_empty()).then(|| {
        let [low, high] = [100.0 - mean(0), mean(1) - 100.0].map(rounded);
        if low == high {
            format!("± {low} %")
        } else {
            format!("-{low} to +{high} %")
        }
    })
}

/// How far a calibrated flow is off the predicted.
fn than_predicted(change: Ratio) -> String {
    let more = 100.0 * (change.get::<ratio>() - 1.0);
    if more.abs() < 0.5 {
        return "as much water as predicted, to half a per cent".to_owned();
    }
    let word = if more > 0.0 { "more" } else { "less" };
    format!("{} % {word} water than predicted", rounded(more.abs()))
}

/// The run that would narrow the answer at the duty most.
fn next(plan: &Plan, units: UnitSystem) -> String {
    let order = &plan.order;
    let duty = plan::duty(plan, units);
    let Some(now) = order.half_width else {
        return format!("\nNext: {duty}: no interval is known there, so nothing can narrow it.\n");
    };
    let half = |width: Ratio| format!("± {} %", rounded(width.get::<percent>()));
    let wanted = half(plan.bench.wanted_width);
    let speaks = if order.measured == 0 {
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
    let run = &plan.runs[next.run];
    let best = plan::place(run.submergence, run.lift, run.air, units);
    let lead = if order.enough == Some(0) {
        "enough. Best of more:"
    } else {
        "measure"
    };
    let _ = writeln!(text, "Next: {lead} {best}: {} then.", half(next.half_width));
    text
}
