//! A trial to make.

use std::fmt::Write;

use crate::air::at_20_c;
use crate::answer::{NextFacts, OrderFacts, PlanAnswer, PlannedFacts, TrialDuty};
use crate::report::interval::{ends, half, odds, percents, rounded};
use crate::report::kind::{Column, Kind, text_table};
use crate::report::number::UnitSystem;
use crate::report::wrapped;
use crate::report::{injector_words, site_line};
use crate::trial::{DutyAir, MOST_REPEATS, PlanFlag, RESET_S, SETTLING_S, SHORT_FILL_S};
use crate::units::base;

/// A run, and half of the interval at the duty after it and those before it.
type Step<'a> = (&'a PlannedFacts, Option<f64>);

/// Most runs in the text, and how many of more: the sheet has all.
const MOST_SHOWN: usize = 10;
const OF_MORE: usize = 8;

fn columns<'a>() -> [Column<Step<'a>>; 10] {
    [
        Column::shown("run", Kind::Plain, |(r, _), _| (&r.at.run).into()),
        Column::shown("depth", Kind::Place, |(r, _), _| r.at.submergence_m.into()),
        Column::shown("lift", Kind::Place, |(r, _), _| r.at.lift_m.into()),
        Column::shown("air", Kind::Air, |(r, _), _| {
            at_20_c(r.at.air_mass_flow_kg_per_s).into()
        }),
        Column::shown("water", Kind::Water, |(r, _), _| {
            r.water_flow_m3_per_s.into()
        }),
        Column::shown("interval", Kind::Plain, |(r, _), units| {
            ends(r.interval, units).into()
        }),
        Column::shown("fill s", Kind::Share(1), |(r, _), _| r.fill_time_s.into()),
        Column::shown("fills", Kind::Plain, |(r, _), _| {
            let fills = r.repeats.map_or("not enough".to_owned(), |n| n.to_string());
            r.expected_relative_standard.map(|_| fills).into()
        }),
        Column::shown("bottle s", Kind::Share(1), |(r, _), _| {
            r.bottle_time_s.into()
        }),
        Column::shown("after", Kind::Plain, |(_, after), _| after.map(half).into()),
    ]
}

impl PlanAnswer {
    /// Text for people; cautions are not in it.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let steps = self.steps();
        let advised = self.order.advised(steps.len());
        let mut text = String::new();
        self.prepare(units, &mut text);
        // Writing to a string cannot fail.
        let _ = writeln!(text, "Runs    {}", program(&steps, advised));
        self.order.text(units, advised, &mut text);
        self.compare(&mut text);
        text.push('\n');
        let shown = if steps.len() > MOST_SHOWN {
            OF_MORE
        } else {
            steps.len()
        };
        text += &text_table(&columns(), &steps[..shown], units);
        if shown < steps.len() {
            let _ = writeln!(text, "... and {} more: --csv has all", steps.len() - shown);
        }
        let _ = writeln!(text, "\nAir is dry, at {}.", units.air_state());
        if let Some(found) = self.runs.iter().find_map(|run| run.interval) {
            let odds = odds(found.level);
            let _ = writeln!(text, "The true flow lies in the interval {odds}.");
        }
        let _ = writeln!(
            text,
            "Times count {} min for a run to settle and {} min after each fill; building comes on top.",
            SETTLING_S / 60.0,
            RESET_S / 60.0
        );
        for flag in PlanFlag::ALL {
            let flagged = self.runs.iter().filter(|run| run.flags.contains(flag));
            let labels: Vec<&str> = flagged.map(|run| run.at.run.as_str()).collect();
            if !labels.is_empty() {
                let _ = writeln!(text, "Caution, {flag}: {}.", labels_or_count(&labels));
            }
        }
        self.level(units, &mut text);
        let _ = writeln!(
            text,
            "Riser   bore {}; outlet {}{}\nModel   {}\nSite    {}",
            units.say(Kind::Bore, self.bore_m),
            self.outlet,
            injector_words(self.injector.as_deref()),
            self.model.worded(units),
            site_line(&self.site, units),
        );
        wrapped(&text)
    }

    /// The runs in the order in which to make them, then those that tell nothing of the duty.
    fn steps(&self) -> Vec<Step<'_>> {
        let named = |name: &str| self.runs.iter().find(|run| run.at.run == name);
        let ordered = self.order.runs.iter();
        let ordered =
            ordered.filter_map(|next| Some((named(&next.at.run)?, Some(next.half_width))));
        let mut steps: Vec<Step> = ordered.collect();
        let rest = self.runs.iter().filter(|run| {
            let known = |next: &NextFacts| next.at.run == run.at.run;
            !self.order.runs.iter().any(known)
        });
        steps.extend(rest.map(|run| (run, None)));
        steps
    }

    /// What to have at hand.
    fn prepare(&self, units: UnitSystem, text: &mut String) {
        let water = grouped(&self.runs, |run| run.container_m3);
        let vessels = listed(&water, |volume| {
            let size = units.vessel(base(volume));
            if Some(volume) == self.container_m3 {
                format!("the {size} of trial.container")
            } else {
                format!("{} of {size}", vessel(volume))
            }
        });
        let fills = grouped(&self.runs, |run| run.repeats);
        let fills = match &fills[..] {
            [(n, _)] => format!(", {n} fills a run"),
            _ => ", filled as the table says".to_owned(),
        };
        if water.is_empty() {
            text.push_str("Prepare water: none is predicted in any run\n");
        } else {
            let _ = writeln!(text, "Prepare water: {vessels}{fills}");
        }
        self.not_at_hand(units, text);
        let bottles = grouped(&self.runs, |run| run.bottle_m3);
        let meters = grouped(&self.runs, |run| run.meter_full_scale_m3_per_s);
        let bottle = listed(&bottles, |volume| {
            let size = units.vessel(base(volume));
            if Some(volume) == self.bottle_m3 {
                format!("the inverted bottle of {size} of trial.bottle")
            } else {
                format!("an inverted bottle of {size}")
            }
        });
        let meter = listed(&meters, |full| {
            format!("a flow meter up to {}", units.say(Kind::Air, full))
        });
        let all = [bottle, meter]
            .into_iter()
            .filter(|words| !words.is_empty());
        let all: Vec<String> = all.collect();
        if !all.is_empty() {
            let _ = writeln!(text, "        air: {}", all.join(",\n        "));
        }
        if let Some(given) = self
            .bottle_m3
            .filter(|_| bottles.is_empty() && !meters.is_empty())
        {
            let _ = writeln!(
                text,
                "        (a bottle fills in under {SHORT_FILL_S} s, as the {} of trial.bottle would)",
                units.vessel(base(given))
            );
        }
        text.push_str("        a watch, a tape, a thermometer, the barometer of the station\n");
    }

    /// Why what the file names for the water is not used.
    fn not_at_hand(&self, units: UnitSystem, text: &mut String) {
        let Some(given) = self.container_m3 else {
            return;
        };
        let flowing = || self.runs.iter().filter(|run| run.container_m3.is_some());
        if flowing().any(|run| run.container_m3 == Some(given)) {
            return;
        }
        let fastest = flowing().map(|run| given / run.water_flow_m3_per_s);
        let fastest = fastest.fold(f64::INFINITY, f64::min);
        let size = units.vessel(base(given));
        let why = if fastest < SHORT_FILL_S {
            format!("fills in {} s", rounded(fastest))
        } else {
            let wanted = percents(self.wanted_relative_standard);
            format!("would need more than {MOST_REPEATS} fills for {wanted} %")
        };
        if fastest.is_finite() {
            let _ = writeln!(text, "        (the {size} of trial.container {why})");
        }
    }

    /// What a comparison of two configurations takes.
    fn compare(&self, text: &mut String) {
        let asked = &self.pairs;
        let (difference, scatter) = (percents(asked.difference), rounded(100.0 * asked.scatter));
        let _ = match (asked.pairs, asked.duration_s) {
            (Some(pairs), Some(seconds)) => writeln!(
                text,
                "Compare two injectors: {pairs} pairs (A B, B A, ...), {}, tell {difference} % of water apart\n        in four trials of five, if like runs scatter by {scatter} %; then `risewater trial compare`",
                about(seconds)
            ),
            _ => writeln!(
                text,
                "Compare no number of pairs worth making tells {difference} % apart, if runs scatter by {scatter} %"
            ),
        };
    }

    fn level(&self, units: UnitSystem, text: &mut String) {
        let budgets = self.runs.iter().filter_map(|run| Some((run, run.level?)));
        let Some((run, worst)) =
            budgets.max_by(|(_, a), (_, b)| a.bias.abs().total_cmp(&b.bias.abs()))
        else {
            return;
        };
        let _ = writeln!(
            text,
            "Level   one fill lowers the source by {}; the worst run, {}, then reads {:+.1} %,\n        {:+.1} % over {} fills without return:\n        {}.",
            units.say(Kind::Bore, worst.fall_m),
            run.at.run,
            100.0 * worst.bias,
            100.0 * worst.bias_without_return,
            worst.fills,
            worst.advice.worded(units),
        );
    }
}

/// Which runs to make, and how long they take.
fn program(steps: &[Step], advised: usize) -> String {
    let time = |steps: &[Step]| about(steps.iter().map(|(run, _)| run.duration_s).sum());
    let first = &steps[..advised];
    let names: Vec<&str> = first.iter().map(|(run, _)| run.at.run.as_str()).collect();
    let mut said = format!("{} in this order: {}", labels_or_count(&names), time(first));
    if advised < steps.len() {
        let _ = write!(said, "; all {}: {}", steps.len(), time(steps));
    }
    said
}

/// Values of runs with the runs that have each, in the order of the runs.
fn grouped<T: PartialEq>(
    runs: &[PlannedFacts],
    value: impl Fn(&PlannedFacts) -> Option<T>,
) -> Vec<(T, Vec<&str>)> {
    let mut groups: Vec<(T, Vec<&str>)> = Vec::new();
    for run in runs {
        let Some(own) = value(run) else { continue };
        match groups.iter_mut().find(|(known, _)| *known == own) {
            Some((_, labels)) => labels.push(&run.at.run),
            None => groups.push((own, vec![&run.at.run])),
        }
    }
    groups
}

/// What each group takes: with its runs where there are two, the smallest and the largest where there are more.
fn listed(groups: &[(f64, Vec<&str>)], words: impl Fn(f64) -> String) -> String {
    match groups {
        [] => String::new(),
        [(value, _)] => words(*value),
        [one, other] => [one, other]
            .map(|(value, labels)| format!("{} for {}", words(*value), labels_or_count(labels)))
            .join(",\n        "),
        more => {
            let values = || more.iter().map(|(value, _)| *value);
            let (least, most) = (
                values().fold(f64::MAX, f64::min),
                values().fold(0.0, f64::max),
            );
            format!("{} to {}, by the run", words(least), words(most))
        }
    }
}

/// What a vessel of a volume is called.
fn vessel(volume_m3: f64) -> &'static str {
    /// Volumes below which a vessel has its name, m³: common practice.
    const NAMES: [(f64, &str); 4] = [
        (0.003, "a jug"),
        (0.03, "a bucket"),
        (0.1, "a tub"),
        (0.5, "a drum"),
    ];
    let name = NAMES.iter().find(|(below, _)| volume_m3 < *below);
    name.map_or("a tank", |(_, name)| name)
}

/// Names of runs, or how many where there are many.
fn labels_or_count(labels: &[&str]) -> String {
    /// More than these do not fit into a line.
    const NAMED: usize = 8;
    if labels.len() > NAMED {
        format!("{} runs", labels.len())
    } else {
        labels.join(", ")
    }
}

/// A time on the bench: to five minutes, upward.
fn about(seconds: f64) -> String {
    let minutes = 5.0 * (seconds / 300.0).ceil();
    let (hours, rest) = ((minutes / 60.0).floor(), minutes % 60.0);
    match (hours, rest) {
        (0.0, minutes) => format!("about {minutes} min"),
        (hours, 0.0) => format!("about {hours} h"),
        (hours, minutes) => format!("about {hours} h {minutes} min"),
    }
}

impl OrderFacts {
    /// How many of the first runs are to be made: those that are enough, three at least; all where they are not enough
    /// or nothing is known of the duty.
    fn advised(&self, runs: usize) -> usize {
        let ordered = if self.runs.is_empty() {
            runs
        } else {
            self.runs.len()
        };
        self.enough.unwrap_or(usize::MAX).max(3).min(ordered)
    }

    /// What the runs teach.
    fn text(&self, units: UnitSystem, advised: usize, text: &mut String) {
        let (duty, wanted) = (&self.duty, half(self.wanted_half_width));
        let _ = writeln!(text, "Teaches the water at {}:", duty.place(units));
        if let Some(from) = duty.from() {
            let _ = writeln!(text, "        (the air is {from})");
        }
        let Some(now) = duty.half_width else {
            text.push_str("        nothing: no interval is known there, so no run can narrow it\n");
            return;
        };
        let so_far = match duty.points {
            0 => "now".to_owned(),
            1 => "now, by 1 measured point".to_owned(),
            n => format!("now, by {n} measured points"),
        };
        let _ = write!(text, "        {} {so_far}", half(now));
        if let Some(last) = self.runs.get(..advised).and_then(<[NextFacts]>::last) {
            let _ = write!(
                text,
                ", {} after {}",
                half(last.half_width),
                if advised == 1 {
                    "this run".to_owned()
                } else {
                    format!("these {advised} runs")
                }
            );
        }
        let _ = match self.enough {
            Some(0) => writeln!(text, "; {wanted} is reached already"),
            Some(1) => writeln!(
                text,
                "; the first is enough for {wanted},\n        but a slip shows only beside others"
            ),
            Some(n) => writeln!(text, "; {n} are enough for {wanted}"),
            None => writeln!(text, "; not {wanted}: try runs nearer to the duty"),
        };
        if duty.near_threshold {
            let _ = writeln!(
                text,
                "        Near the start of pumping such widths are rough."
            );
        }
        if !self.another_rig.is_empty() {
            let others: Vec<&str> = self.another_rig.iter().map(String::as_str).collect();
            let _ = writeln!(
                text,
                "        Not {}: over 15 % longer or shorter, so of another rig",
                labels_or_count(&others)
            );
        }
    }
}

impl TrialDuty {
    /// The duty of a trial, and where its air is from.
    pub(super) fn text(&self, units: UnitSystem) -> String {
        let from = self.from().map(|from| format!(" ({from})"));
        self.place(units) + &from.unwrap_or_default()
    }

    fn place(&self, units: UnitSystem) -> String {
        let at = [self.submergence_m, self.lift_m, self.air_mass_flow_kg_per_s];
        place(at, units)
    }

    /// Where its air is from, if not given.
    fn from(&self) -> Option<&'static str> {
        match self.air_from {
            DutyAir::Given => None,
            DutyAir::ForWater => Some("what the flow of [duty] takes"),
            DutyAir::Middle => Some("the middle of what is tried"),
        }
    }
}

/// Depth, lift and air flow of a run.
pub(super) fn place([depth_m, lift_m, kg_per_s]: [f64; 3], units: UnitSystem) -> String {
    format!(
        "depth {}, lift {}, air {}",
        units.say(Kind::Height, depth_m),
        units.say(Kind::Height, lift_m),
        units.say(Kind::Air, at_20_c(kg_per_s))
    )
}
