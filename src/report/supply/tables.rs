//! The tables of an air supply as text.

use super::super::number::{UnitSystem, change, place, short};
use super::super::table;
use super::SupplyReport;
use crate::sizing::Problem;
use crate::supply::blower::Efficiency;
use crate::supply::{LineChoice, Part, Shift, SolvedSupply};
use crate::units::{AbsolutePressure, Ratio, ratio};

/// Depths of least power to show.
const DEPTHS: usize = 4;

impl SupplyReport {
    /// The lifts as they run.
    pub(super) fn lifts_table(&self, units: UnitSystem) -> String {
        let (height, air, water) = (units.height_unit(), units.air_unit(), units.water_unit());
        let (pressure, bore) = (units.pressure_unit(), units.bore_unit());
        let header: [&str; 11] = [
            "lift",
            &format!("at {}", height.1),
            &format!("depth {}", height.1),
            &format!("design {}", air.1),
            &format!("air {}", air.1),
            "off",
            &format!("water {}", water.1),
            &format!("header {}", pressure.1),
            &format!("orifice {}", pressure.1),
            &format!("hole {}", bore.1),
            "drill",
        ];
        let solved = &self.solved;
        let intake = self.supply.plant.outside.pressure;
        let shares = self.supply.plant.shares(&solved.running);
        let exact = &solved.duty.manifold.header().branches;
        let branches = solved.manifold.header().branches.iter();
        let rows = branches.enumerate().map(|(n, branch)| {
            let flow = &solved.running.split.branches[n];
            let drill = solved.drilled.as_ref().and_then(|d| d.drills[n]);
            let hole = exact[n].orifice.filter(|_| branch.open);
            let design = self.supply.plant.design[n];
            [
                branch.name.clone(),
                place(branch.distance.value / height.0),
                place(
                    solved.manifold.risers()[n]
                        .spec()
                        .dimensions
                        .submergence
                        .value
                        / height.0,
                ),
                short(design.volume_rate_at_20_c().value / air.0),
                if branch.open {
                    short(flow.air.volume_rate_at_20_c().value / air.0)
                } else {
                    "closed".to_owned()
                },
                if branch.open {
                    format!("{:+.1} %", 100.0 * (shares[n].get::<ratio>() - 1.0))
                } else {
                    String::new()
                },
                short(solved.running.lifts[n].water_flow().value / water.0),
                short((flow.header_pressure - intake).value / pressure.0),
                short(flow.orifice_loss.value / pressure.0),
                hole.map_or_else(String::new, |hole| short(hole.diameter.value / bore.0)),
                drill.map_or_else(String::new, |drill| drill.name.clone()),
            ]
        });
        table(header, rows)
    }

    /// The main line in the pipes next to its own; nothing when only its bore is known.
    pub(super) fn main_line_table(&self, units: UnitSystem) -> String {
        let choices = &self.solved.main_choices;
        let is_own = |choice: &LineChoice| {
            let own = &self.supply.piping.main.pipe;
            own.as_ref()
                .is_some_and(|pipe| pipe.name == choice.pipe.name)
        };
        let Some(own) = choices.iter().position(is_own) else {
            return String::new();
        };
        let wanted = self.supply.wanted_main_loss;
        let narrowest = choices.iter().position(|choice| choice.meets);
        let shown =
            |n: &usize| own.abs_diff(*n) <= 2 || (wanted.is_some() && Some(*n) == narrowest);
        let rows: Vec<[String; 4]> = (0..choices.len())
            .filter(shown)
            .map(|n| {
                let choice = &choices[n];
                let mut remarks = Vec::new();
                if n == own {
                    remarks.push("as here");
                }
                if wanted.is_some() && Some(n) == narrowest {
                    remarks.push("the narrowest that costs no more than wanted");
                }
                [
                    choice.pipe.name.clone(),
                    units.pressure(choice.flow.loss().value),
                    units.velocity(choice.flow.velocity),
                    remarks.join(", "),
                ]
            })
            .collect();
        let mut text = "\nMain line in other pipes of its series\n".to_owned();
        text += &table(["pipe", "loss", "velocity", ""], rows);
        if wanted.is_some() && narrowest.is_none() {
            text += "No pipe of the series costs as little as wanted.\n";
        }
        text
    }

    /// What shifts when something changes.
    pub(super) fn shifts_table(&self, units: UnitSystem) -> String {
        let before = &self.solved.running;
        let branches = &self.solved.manifold.header().branches;
        let mut reasons: Vec<String> = Vec::new();
        let rows: Vec<[String; 5]> = self
            .solved
            .shifts
            .iter()
            .map(|shift| {
                let over = |share: Ratio| change(share.get::<ratio>() - 1.0);
                let hit = shift.hardest_hit(before);
                let lift = hit.map_or_else(String::new, |(n, _)| self.name(n));
                let own = match (&shift.running, hit) {
                    (Err(error), _) => {
                        reasons.push(format!("{}: {error}", shift.change.words(branches, units)));
                        "no answer".to_owned()
                    }
                    (Ok(_), hit) => hit.map_or_else(String::new, |(_, share)| over(share)),
                };
                let air = hit.and_then(|(n, _)| shift.air_shares(before)[n]);
                let water = shift.water_share(before);
                [
                    shift.change.words(branches, units),
                    lift,
                    own,
                    air.map_or_else(String::new, over),
                    water.map_or_else(String::new, over),
                ]
            })
            .collect();
        let mut text = table(
            ["change", "hardest hit", "its water", "its air", "all water"],
            rows,
        );
        for reason in reasons {
            text += &format!("No answer for {reason}\n");
        }
        text
    }

    fn name(&self, n: usize) -> String {
        let branches = &self.solved.manifold.header().branches;
        branches.get(n).map_or_else(String::new, |b| b.name.clone())
    }

    /// The depths of least power, and what limits them.
    pub(super) fn depths_text(&self, problem: Option<&Problem>, units: UnitSystem) -> String {
        let (Some(depths), Some(problem)) = (&self.depths, problem) else {
            return String::new();
        };
        let (height, power, air) = (units.height_unit(), units.power_unit(), units.air_unit());
        let pressure = units.pressure_unit();
        let wire = matches!(
            depths.air_side.efficiency,
            Efficiency::WireToAir(_) | Efficiency::ShaftAndMotor { .. }
        );
        let header: [&str; 8] = [
            "pipe",
            "lifts",
            &format!("depth {}", height.1),
            &format!("air {}", air.1),
            &format!("rise {}", pressure.1),
            &format!("power {}", power.1),
            "against now",
            "limited by",
        ];
        let rows = depths.best.iter().take(DEPTHS).map(|one| {
            let best = &one.best;
            [
                one.pipe.name.clone(),
                one.lifts.to_string(),
                place((best.submergence.value / height.0 * 100.0).round() / 100.0),
                short(best.point.air.volume_rate_at_20_c().value * f64::from(one.lifts) / air.0),
                short(best.rise.value / pressure.0),
                short(best.wire_power.unwrap_or(best.adiabatic_power).value / power.0),
                change(depths.against_present(one, problem.duty.water_flow)),
                one.limit.to_string(),
            ]
        });
        let present = depths
            .present
            .wire_power
            .filter(|_| wire)
            .unwrap_or(depths.present.adiabatic_power);
        let mut text = format!(
            "\nDepth of least power, for {} over a lift of {}\n{}",
            units.water(problem.duty.water_flow),
            units.height(problem.duty.lift),
            table(header, rows)
        );
        if depths.best.is_empty() {
            text += "No pipe, depth and number of lifts within the limits meets the duty.\n";
        }
        text += &format!(
            "Power is {}, with {} between blower and water as here.\nThis plant takes {} for {}; against now is the power for as much water over that.\n",
            if wire {
                "at the wire"
            } else {
                "adiabatic, in the air, before the losses of blower and motor"
            },
            units.pressure(depths.air_side.loss.value),
            units.power(present.value),
            units.water(depths.present_water),
        );
        text
    }

    /// What to buy, one part a line.
    pub(super) fn parts_lines(&self, units: UnitSystem) -> String {
        let line = |part: &Part| {
            let much = match (part.count, part.length) {
                (Some(count), _) => format!("{count} x"),
                (None, Some(length)) => units.height(length),
                (None, None) => String::new(),
            };
            format!("  {much:>8}  {} ({})\n", part.what, part.place)
        };
        let parts = self.supply.parts(&self.solved, units);
        parts.iter().map(line).collect()
    }
}

/// Lifts that a change stops, and those that run on but would not start again, in words.
pub(in crate::report) fn shift_notes(
    solved: &SolvedSupply,
    outside: AbsolutePressure,
    shift: &Shift,
    units: UnitSystem,
) -> Vec<String> {
    let Ok(running) = &shift.running else {
        return Vec::new();
    };
    let branches = &solved.manifold.header().branches;
    let gauge = |pressure: AbsolutePressure| units.pressure((pressure - outside).value);
    let stopped = shift.stopped(&solved.running).into_iter().map(|n| {
        let (name, flow) = (&branches[n].name, &running.split.branches[n]);
        let (header, water) = (gauge(flow.header_pressure), gauge(flow.water_pressure));
        if flow.air.kg_per_s() > 0.0 {
            let air = units.air(flow.air.volume_rate_at_20_c());
            format!("{name} gets only {air} of air and lifts no water: the header has {header} at its tee, and its water {water}")
        } else {
            format!("{name} has lost its air: the header has {header} at its tee, and its water {water}")
        }
    });
    let held = shift.held().into_iter().map(|n| {
        let flow = &running.split.branches[n];
        format!(
            "{} runs on with {} in the header at its tee, but once stopped it does not start again: its water at rest has more pressure than the header without it",
            branches[n].name,
            gauge(flow.header_pressure)
        )
    });
    stopped.chain(held).collect()
}
