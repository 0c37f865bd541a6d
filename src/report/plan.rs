//! A trial to make.

use std::fmt::Write;

use serde_json::{Value, json};

use super::interval::{ends, interval_json, odds, rounded};
use super::number::{UnitSystem, short};
use super::{site_json, site_line, table};
use crate::air::AirFlow;
use crate::error::Error;
use crate::trial::{Bench, DutyAir, FEWEST_REPEATS, LevelAdvice, Plan, PlanFlag, PlannedRun};
use crate::units::system::to_decimals;
use crate::units::{
    Length, Ratio, Time, Volume, cubic_meter, cubic_meter_per_second, kilogram_per_second, meter,
    percent, ratio, second, square_meter,
};

/// A plan, as text, JSON or a sheet to fill in.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct PlanReport {
    /// The plan.
    pub plan: Plan,
}

impl PlanReport {
    /// Plans the runs of a bench.
    ///
    /// # Errors
    /// As [`Bench::plan`].
    pub fn of(bench: &Bench) -> Result<Self, Error> {
        Ok(Self {
            plan: bench.plan()?,
        })
    }

    /// The JSON shape `risewater.plan/2`.
    #[must_use]
    pub fn json(&self) -> Value {
        let bench = &self.plan.bench;
        let runs: Vec<Value> = self.plan.runs.iter().map(run_json).collect();
        json!({
            "schema": "risewater.plan/2",
            "bore_m": bench.spec.free_bore().get::<meter>(),
            "container_m3": bench.container.get::<cubic_meter>(),
            "bottle_m3": bench.bottle.get::<cubic_meter>(),
            "wanted_relative_standard": bench.wanted.get::<ratio>(),
            "pulsation": bench.pulsation.get::<ratio>(),
            "tank_area_m2": bench.tank_area.map(|area| area.get::<square_meter>()),
            "model": bench.model.to_string(),
            "site": site_json(&bench.site),
            "runs": runs,
            "order": order_json(&self.plan),
        })
    }

    /// A blank sheet as CSV; see [`Plan::blank_sheet`].
    #[must_use]
    pub fn csv(&self) -> String {
        self.plan.blank_sheet()
    }

    /// Text for people.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let bench = &self.plan.bench;
        let (air, water) = (units.air_unit(), units.water_unit());
        let mut text = format!(
            "Riser   bore {}; outlet {}\nSite    {}\nModel   {}\nWater   {} caught, wanted to {} % (standard uncertainty); pulsation {} % of a single time\nAir     {} bottle\n\n",
            units.bore(bench.spec.free_bore()),
            bench.spec.outlet,
            site_line(&(&bench.site).into(), units),
            bench.model.worded(units),
            units.vessel(bench.container),
            plain(bench.wanted.get::<percent>()),
            plain(bench.pulsation.get::<percent>()),
            units.vessel(bench.bottle),
        );
        let header = [
            "run",
            "depth",
            "lift",
            &format!("air {}", air.1),
            &format!("water {}", water.1),
            "interval",
            "fill s",
            "repeats",
            "expect %",
            "bottle s",
            "expect %",
        ];
        let rows = self.plan.runs.iter().map(|run| {
            let per_cent = |share: Option<Ratio>| {
                share.map_or("-".into(), |share| format!("{:.1}", share.get::<percent>()))
            };
            let seconds = |time: Option<Time>| {
                time.map_or("-".into(), |time| format!("{:.1}", time.get::<second>()))
            };
            let repeats = match run.effort {
                None => "-".into(),
                Some(effort) => effort
                    .repeats
                    .map_or("not enough".into(), |n| n.to_string()),
            };
            [
                run.label.clone(),
                units.height(run.submergence),
                units.height(run.lift),
                short(run.air.volume_rate_at_20_c().value / air.0),
                short(run.water_flow.value / water.0),
                ends(run.interval.map(Into::into), units),
                seconds(run.fill_time),
                repeats,
                per_cent(run.effort.map(|effort| effort.expected)),
                seconds(run.bottle_time),
                per_cent(run.air_expected),
            ]
        });
        text += &table(header, rows);
        text += &format!("\nAir is dry, at {}.\n", units.air_state());
        let intervals = self.plan.runs.iter().map(|run| run.interval);
        if let Some(found) = intervals.flatten().next() {
            text += &format!(
                "The true flow lies in the interval {}.\n",
                odds(found.level.value)
            );
        }
        for flag in PlanFlag::ALL {
            let flagged = self.plan.runs.iter().filter(|run| run.flags.contains(flag));
            let labels: Vec<&str> = flagged.map(|run| run.label.as_str()).collect();
            if !labels.is_empty() {
                let _ = writeln!(text, "Caution, {flag}: {}.", labels.join(", "));
            }
        }
        self.order(units, &mut text);
        self.container(units, &mut text);
        self.level(units, &mut text);
        text
    }

    /// Which runs to make first.
    fn order(&self, units: UnitSystem, text: &mut String) {
        let order = &self.plan.order;
        let half = |width: Ratio| format!("± {} %", rounded(width.get::<percent>()));
        let wanted = half(self.plan.bench.wanted_width);
        let _ = write!(text, "\nDuty    {}", duty(&self.plan, units));
        let Some(now) = order.half_width else {
            let _ = writeln!(
                text,
                ": no interval is known there, so no run can narrow it."
            );
            return;
        };
        let so_far = match order.measured {
            0 => "before any run".to_owned(),
            1 => "by 1 measured point".to_owned(),
            n => format!("by {n} measured points"),
        };
        let _ = writeln!(text, ": {} {so_far}", half(now));
        if order.near_threshold {
            let _ = writeln!(
                text,
                "        Near the start of pumping such widths are rough."
            );
        }
        // Those that are enough, at least three, and no more lines than two.
        let shown = order.enough.unwrap_or(usize::MAX).clamp(3, 8);
        let steps: Vec<String> = order
            .runs
            .iter()
            .take(shown)
            .map(|next| {
                format!(
                    "{} {}",
                    self.plan.runs[next.run].label,
                    half(next.half_width)
                )
            })
            .collect();
        if !steps.is_empty() {
            let _ = writeln!(text, "Order   {}", steps.join(", "));
        }
        let _ = match order.enough {
            Some(0) => writeln!(text, "Enough  for {wanted} already"),
            Some(1) => writeln!(
                text,
                "Enough  for {wanted}: the first; a slip shows only beside others, so make three"
            ),
            Some(n) => writeln!(text, "Enough  for {wanted}: the first {n}"),
            None => writeln!(
                text,
                "Enough  for {wanted}: not even all; try runs nearer to the duty"
            ),
        };
        if !order.another_rig.is_empty() {
            let labels = order.another_rig.iter().map(|n| &*self.plan.runs[*n].label);
            let _ = writeln!(
                text,
                "Others  {}: more than 15 % longer or shorter, so they tell nothing of the duty",
                labels.collect::<Vec<_>>().join(", ")
            );
        }
    }

    /// Which container would do.
    fn container(&self, units: UnitSystem, text: &mut String) {
        let efforts = || self.plan.runs.iter().filter_map(|run| run.effort);
        let largest = efforts()
            .map(|effort| effort.container)
            .try_fold(0.0, |most: f64, next| {
                next.map(|volume| most.max(volume.value))
            });
        // Writing to a string cannot fail.
        let _ = match largest {
            _ if efforts().next().is_none() => Ok(()),
            Some(volume) => writeln!(
                text,
                "\nWith {FEWEST_REPEATS} repeats a container of {} would do for every run.",
                to_decimals(units, units.vessel_unit(), volume, [0, 1])
            ),
            None => writeln!(
                text,
                "\nNo container is large enough for {FEWEST_REPEATS} repeats: pulsation or calibration alone exceeds what is wanted. Repeat more often, or calibrate the container."
            ),
        };
    }

    fn level(&self, units: UnitSystem, text: &mut String) {
        let budgets = self
            .plan
            .runs
            .iter()
            .filter_map(|run| Some((run, run.level?)));
        let Some((run, worst)) =
            budgets.max_by(|(_, a), (_, b)| a.bias.abs().value.total_cmp(&b.bias.abs().value))
        else {
            return;
        };
        let _ = writeln!(
            text,
            "\nLevel   one fill lowers the source by {}; the worst run, {}, then reads {:+.1} % ({:+.1} % over {} fills without return): {}.",
            units.bore(worst.fall),
            run.label,
            worst.bias.get::<percent>(),
            worst.bias_without_return.get::<percent>(),
            worst.fills,
            worst.advice.worded(units),
        );
    }
}

/// The duty of a trial, and where it is from.
pub(super) fn duty(plan: &Plan, units: UnitSystem) -> String {
    let order = &plan.order;
    let place = place(
        order.riser.dimensions.submergence,
        order.riser.dimensions.lift,
        order.air,
        units,
    );
    let from = match order.air_from {
        DutyAir::Given => "",
        DutyAir::ForWater => " for the flow of [duty]",
        DutyAir::Middle => " (the middle of what is tried)",
    };
    format!("{place}{from}")
}

/// Depth, lift and air flow of a run.
pub(super) fn place(submergence: Length, lift: Length, air: AirFlow, units: UnitSystem) -> String {
    format!(
        "depth {}, lift {}, air {}",
        units.height(submergence),
        units.height(lift),
        units.air(air.volume_rate_at_20_c())
    )
}

/// Where the flow must be known, and which runs tell most of it.
pub(super) fn order_json(plan: &Plan) -> Value {
    let order = &plan.order;
    let at = order.riser.dimensions;
    let air_from: &str = order.air_from.into();
    let runs = order.runs.iter().map(|next| {
        let run = &plan.runs[next.run];
        json!({
            "run": run.label,
            "submergence_m": run.submergence.get::<meter>(),
            "lift_m": run.lift.get::<meter>(),
            "air_mass_flow_kg_per_s": run.air.dry_mass_rate().get::<kilogram_per_second>(),
            "half_width": next.half_width.get::<ratio>(),
        })
    });
    let others = order.another_rig.iter().map(|n| &plan.runs[*n].label);
    json!({
        "duty": {
            "submergence_m": at.submergence.get::<meter>(),
            "lift_m": at.lift.get::<meter>(),
            "air_mass_flow_kg_per_s": order.air.dry_mass_rate().get::<kilogram_per_second>(),
            "air_from": air_from,
            "water_flow_m3_per_s": order.now.outcome.water_flow().get::<cubic_meter_per_second>(),
            "interval": interval_json(order.now.interval.as_ref()),
            "half_width": order.half_width.map(|width| width.get::<ratio>()),
            "points": order.measured,
            "near_threshold": order.near_threshold,
        },
        "wanted_half_width": plan.bench.wanted_width.get::<ratio>(),
        "runs": runs.collect::<Vec<_>>(),
        "enough": order.enough,
        "another_rig": others.collect::<Vec<_>>(),
    })
}

/// A number as it was given, without the noise of binary fractions.
fn plain(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}

fn run_json(run: &PlannedRun) -> Value {
    let seconds = |time: Option<Time>| time.map(|time| time.get::<second>());
    let volume = |volume: Option<Volume>| volume.map(|volume| volume.get::<cubic_meter>());
    let flags: Vec<Value> = run
        .flags
        .iter()
        .map(|flag| json!({ "code": flag.code(), "message": flag.to_string() }))
        .collect();
    json!({
        "run": run.label,
        "submergence_m": run.submergence.get::<meter>(),
        "lift_m": run.lift.get::<meter>(),
        "air_mass_flow_kg_per_s": run.air.dry_mass_rate().get::<kilogram_per_second>(),
        "water_flow_m3_per_s": run.water_flow.get::<cubic_meter_per_second>(),
        "interval": interval_json(run.interval.as_ref()),
        "fill_time_s": seconds(run.fill_time),
        "bottle_time_s": seconds(run.bottle_time),
        "repeats": run.effort.and_then(|effort| effort.repeats),
        "expected_relative_standard": run.effort.map(|effort| effort.expected.get::<ratio>()),
        "container_for_fewest_repeats_m3": volume(run.effort.and_then(|effort| effort.container)),
        "time_for_fewest_repeats_s": seconds(run.effort.and_then(|effort| effort.time)),
        "air_expected_relative_standard": run.air_expected.map(|share| share.get::<ratio>()),
        "level": run.level.map(|level| json!({
            "fall_m": level.fall.get::<meter>(),
            "bias": level.bias.get::<ratio>(),
            "fills": level.fills,
            "bias_without_return": level.bias_without_return.get::<ratio>(),
            "advice": level.advice.code(),
            "container_m3": match level.advice {
                LevelAdvice::Smaller { container } => Some(container.get::<cubic_meter>()),
                _ => None,
            },
            "message": level.advice.to_string(),
        })),
        "flags": flags,
    })
}
