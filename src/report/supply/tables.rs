//! The tables of an air supply, and the texts around them.

use super::super::kind::{Cell, Column, Kind, short_table, text_table};
use super::super::number::{UnitSystem, change, place};
use crate::air::at_20_c;
use crate::answer::{DepthFacts, LiftFacts, MainLinePipe, ShiftFacts, SupplyAnswer};
use crate::supply::ChangeKind;

/// Depths of least power to show.
const DEPTHS: usize = 4;

/// Lifts in a short text.
const LIFTS: usize = 12;

/// Of all water, what a change leaves at least to be left out of a short text.
const NO_LESS: f64 = 0.995;

/// A lift, its place from 1, and the pressure of the air outside.
pub(in crate::report) type LiftRow<'a> = (&'a LiftFacts, usize, f64);

/// The lifts as they run.
pub(in crate::report) fn lift_columns<'a>() -> [Column<LiftRow<'a>>; 23] {
    [
        Column::<LiftRow>::paged("no.", Kind::Count, |(_, n, _), _| (*n).into()),
        Column::<LiftRow>::told("lift", "lift", Kind::Plain, |(one, ..), _| {
            (&one.lift).into()
        })
        .keyed("lift"),
        Column::<LiftRow>::paged("kind", Kind::Plain, |(one, ..), _| (&one.kind).into())
            .keyed("kind"),
        Column::<LiftRow>::told("at", "tee at", Kind::Height, |(one, ..), _| {
            one.distance_m.into()
        })
        .keyed("at_{}"),
        Column::<LiftRow>::saved("bore_{}", Kind::Bore, |(one, ..), _| {
            one.riser.bore_m.into()
        }),
        Column::<LiftRow>::shown("depth", Kind::Height, |(one, ..), _| {
            one.riser.submergence_m.into()
        })
        .keyed("submergence_{}"),
        Column::<LiftRow>::saved("lift_{}", Kind::Height, |(one, ..), _| {
            one.riser.lift_m.into()
        }),
        Column::<LiftRow>::saved("open", Kind::Yes, |(one, ..), _| one.open.into()),
        Column::<LiftRow>::paged("orifice, exact", Kind::Bore, |(one, ..), units| {
            let Some((hole, holes)) = one.orifice_m.zip(one.holes) else {
                return "none".into();
            };
            let (size, decimals) = (units.bore_unit().0, units.pick(2, 4));
            let hole = format!("{:.decimals$}", hole / size);
            match holes {
                1 => hole.into(),
                _ => format!("{holes} × {hole}").into(),
            }
        }),
        Column::<LiftRow>::paged("drill", Kind::Plain, |(one, ..), _| {
            one.drill.as_deref().unwrap_or("none").into()
        }),
        Column::<LiftRow>::told("design", "design air", Kind::Air, |(one, ..), _| {
            at_20_c(one.design_air_mass_flow_kg_per_s).into()
        })
        .keyed("design_air_dry_20c_101325pa_{}"),
        Column::<LiftRow>::saved("air_dry_20c_101325pa_{}", Kind::Air, |(one, ..), _| {
            at_20_c(one.air_mass_flow_kg_per_s).into()
        }),
        Column::<LiftRow>::told("air", "air", Kind::Air, |(one, ..), _| {
            if one.open {
                at_20_c(one.air_mass_flow_kg_per_s).into()
            } else {
                "closed".into()
            }
        }),
        Column::<LiftRow>::paged("of design", Kind::Percent(1), |(one, ..), _| {
            let share = one.air_over_design;
            (one.open && share.is_finite()).then_some(share).into()
        }),
        Column::<LiftRow>::shown("off", Kind::Plain, |(one, ..), _| {
            if one.open {
                format!("{:+.1} %", 100.0 * (one.air_over_design - 1.0)).into()
            } else {
                "".into()
            }
        }),
        Column::<LiftRow>::told("water", "water", Kind::Water, |(one, ..), _| {
            one.water_flow_m3_per_s.into()
        })
        .keyed("water_{}"),
        Column::<LiftRow>::saved("interval_low_{}", Kind::Water, |(one, ..), _| {
            one.interval.map(|found| found.low_m3_per_s).into()
        }),
        Column::<LiftRow>::saved("interval_high_{}", Kind::Water, |(one, ..), _| {
            one.interval.map(|found| found.high_m3_per_s).into()
        }),
        Column::<LiftRow>::saved("interval_level", Kind::Share(2), |(one, ..), _| {
            one.interval.map(|found| found.level).into()
        }),
        Column::<LiftRow>::shown("header", Kind::Pressure, |(one, _, outside), _| {
            (one.header_pressure_pa - outside).into()
        })
        .keyed("header_{}_gauge")
        .in_detail(),
        Column::<LiftRow>::shown("orifice", Kind::Pressure, |(one, ..), _| {
            one.orifice_loss_pa.into()
        })
        .keyed("orifice_loss_{}")
        .in_detail(),
        Column::<LiftRow>::shown("hole", Kind::Bore, |(one, ..), _| {
            one.orifice_m.map_or("".into(), Cell::from)
        })
        .keyed("orifice_{}")
        .in_detail(),
        Column::<LiftRow>::shown("drill", Kind::Plain, |(one, ..), _| {
            one.drill.as_deref().unwrap_or_default().into()
        })
        .keyed("drill"),
    ]
}

/// What shifts when something changes.
pub(in crate::report) fn shift_columns() -> [Column<ShiftFacts>; 8] {
    fn over(share: Option<f64>) -> Cell {
        share.map_or("".into(), |share| change(share - 1.0).into())
    }
    fn percents(share: f64) -> String {
        format!("{:.1} %", 100.0 * share)
    }
    [
        Column::told("change", "change", Kind::Plain, |one, units| {
            one.words(units).into()
        }),
        Column::shown("hardest hit", Kind::Plain, |one, _| {
            one.hardest_hit_lift.as_deref().unwrap_or_default().into()
        }),
        Column::shown("its water", Kind::Plain, |one, _| match one.no_answer {
            Some(_) => "no answer".into(),
            None => over(one.hardest_hit_water_over_before),
        }),
        Column::shown("its air", Kind::Plain, |one, _| {
            over(one.hardest_hit_air_over_before)
        }),
        Column::shown("all water", Kind::Plain, |one, _| {
            over(one.water_over_before)
        }),
        Column::paged("water of all lifts", Kind::Count, |one, _| {
            match (&one.no_answer, one.water_over_before) {
                (Some(_), _) => "no answer".into(),
                (None, Some(share)) => percents(share).into(),
                (None, None) => "none".into(),
            }
        }),
        Column::paged("its own air", Kind::Count, |one, _| {
            let share = || one.own_air_over_before.map(percents);
            one.no_answer.clone().or_else(share).into()
        }),
        Column::paged("water of the hardest hit", Kind::Count, |one, _| {
            let hit = one.hardest_hit_lift.as_ref();
            let hit = hit.zip(one.hardest_hit_water_over_before);
            hit.map(|(lift, share)| format!("{lift}: {}", percents(share)))
                .into()
        }),
    ]
}

/// The main line in another pipe, with remarks on it.
fn main_line_columns<'a>() -> [Column<(&'a MainLinePipe, String)>; 4] {
    [
        Column::shown("pipe", Kind::Plain, |(one, _), _| (&one.pipe).into()),
        Column::shown("loss", Kind::Plain, |(one, _), units| {
            units.say(Kind::Pressure, one.loss_pa).into()
        }),
        Column::shown("velocity", Kind::Plain, |(one, _), units| {
            units.say(Kind::Velocity, one.velocity_m_per_s).into()
        }),
        Column::shown(" ", Kind::Plain, |(_, remarks), _| remarks.into()),
    ]
}

/// A depth of least power, by its power at the wire or in the air.
fn depth_columns<'a>() -> [Column<(&'a DepthFacts, bool)>; 8] {
    [
        Column::shown("pipe", Kind::Plain, |(one, _), _| (&one.pipe).into()),
        Column::shown("lifts", Kind::Count, |(one, _), _| one.lifts.into()),
        Column::shown("depth", Kind::Height, |(one, _), units| {
            let depth = one.best.submergence_m / units.height_unit().0;
            place((depth * 100.0).round() / 100.0).into()
        }),
        Column::shown("air", Kind::Air, |(one, _), _| {
            at_20_c(one.air_mass_flow_kg_per_s).into()
        }),
        Column::shown("rise", Kind::Pressure, |(one, _), _| {
            one.pressure_rise_pa.into()
        }),
        Column::shown("power", Kind::Power, |(one, wire), _| {
            one.best.power(*wire).into()
        }),
        Column::shown("against now", Kind::Plain, |(one, _), _| {
            change(one.power_against_present).into()
        }),
        Column::shown("limited by", Kind::Plain, |(one, _), _| {
            one.limit.to_string().into()
        }),
    ]
}

impl SupplyAnswer {
    /// The lifts as rows.
    pub(in crate::report) fn lift_rows(&self) -> Vec<LiftRow<'_>> {
        let outside = self.outside.pressure_pa;
        let numbered = self.lifts.iter().zip(1..);
        numbered.map(|(lift, n)| (lift, n, outside)).collect()
    }

    /// The lifts as they run; of many, those whose air is farthest off its design.
    pub(super) fn few_lifts(&self, units: UnitSystem) -> String {
        let mut rows = self.lift_rows();
        let mut rest = String::new();
        if rows.len() > LIFTS {
            let off = |row: &LiftRow<'_>| (row.0.air_over_design - 1.0).abs();
            rows.sort_by(|a, b| off(b).total_cmp(&off(a)));
            rest = format!(
                "... and {} lifts that are less off their design (-v)\n",
                rows.len() - LIFTS
            );
            rows.truncate(LIFTS);
            rows.sort_by_key(|row| row.1);
        }
        short_table(&lift_columns(), &rows, units) + &rest
    }

    /// Of each kind of change the one that takes most water, and lifts that changes stop.
    pub(super) fn worst_shifts(&self, units: UnitSystem) -> String {
        let left = |one: &ShiftFacts| one.water_over_before.unwrap_or(0.0);
        let worst = [
            ChangeKind::AllLevels,
            ChangeKind::Level,
            ChangeKind::ValvedOff,
            ChangeKind::Fouled,
        ]
        .into_iter()
        .filter_map(|kind| {
            let of_kind = self.shifts.iter().filter(|one| one.change == kind);
            let of_kind = of_kind.filter(|one| left(one) < NO_LESS);
            of_kind.min_by(|a, b| left(a).total_cmp(&left(b)))
        });
        let words: Vec<String> = worst
            .map(|one| {
                let water = match (one.no_answer.is_some(), one.water_over_before) {
                    (false, Some(share)) => change(share - 1.0),
                    _ => "no answer".to_owned(),
                };
                let hit = one
                    .hardest_hit_lift
                    .as_ref()
                    .zip(one.hardest_hit_water_over_before)
                    .map_or_else(String::new, |(lift, share)| {
                        format!(" ({lift} {})", change(share - 1.0))
                    });
                format!("{}: {water}{hit}", one.words(units))
            })
            .collect();
        let mut text = String::new();
        if !words.is_empty() {
            text += &format!("Shifts  of all water at worst, {}\n", words.join("; "));
        }
        for note in self.shift_notes(units) {
            text += &format!("{note}\n");
        }
        text
    }

    /// The depth of least power in a line; nothing where none is known.
    pub(super) fn least_power_line(&self, units: UnitSystem) -> String {
        let depths = self.depths.as_ref();
        let Some((depths, best)) =
            depths.and_then(|depths| Some((depths, depths.designs.first()?)))
        else {
            return String::new();
        };
        format!(
            "Depth   least power with {} x {} at {}: {} for {} ({} against this plant's for as much water)\n",
            best.lifts,
            best.pipe,
            units.say(Kind::Height, best.best.submergence_m),
            units.say(
                Kind::Power,
                best.best.power(depths.present_wire_power_w.is_some())
            ),
            units.say(Kind::Water, depths.duty.water_flow_m3_per_s),
            change(best.power_against_present),
        )
    }

    /// The main line in the pipes next to its own; nothing when only its bore is known.
    pub(super) fn main_line_table(&self, units: UnitSystem) -> String {
        let pipes = &self.main_line_pipes;
        let Some(own) = pipes.iter().position(|pipe| pipe.is_own) else {
            return String::new();
        };
        let narrowest = pipes.iter().position(|pipe| pipe.meets);
        let narrowest = narrowest.filter(|_| self.wanted_main_loss_pa.is_some());
        let shown = pipes.iter().enumerate().filter_map(|(n, pipe)| {
            let wanted = Some(n) == narrowest;
            (own.abs_diff(n) <= 2 || wanted).then(|| {
                let remarks = [
                    (n == own).then_some("as here"),
                    wanted.then_some("the narrowest that costs no more than wanted"),
                ];
                let remarks: Vec<&str> = remarks.into_iter().flatten().collect();
                (pipe, remarks.join(", "))
            })
        });
        let rows: Vec<_> = shown.collect();
        let mut text = "\nMain line in other pipes of its series\n".to_owned();
        text += &text_table(&main_line_columns(), &rows, units);
        if self.wanted_main_loss_pa.is_some() && narrowest.is_none() {
            text += "No pipe of the series costs as little as wanted.\n";
        }
        text
    }

    /// What shifts when something changes.
    pub(super) fn shifts_text(&self, units: UnitSystem) -> String {
        let mut text = text_table(&shift_columns(), &self.shifts, units);
        for shift in &self.shifts {
            if let Some(error) = &shift.no_answer {
                text += &format!("No answer for {}: {error}\n", shift.words(units));
            }
        }
        for note in self.shift_notes(units) {
            text += &format!("{note}\n");
        }
        if self.operation.is_none() {
            text += "The header's pressure is held at that of the design here; a blower's falls with more air.\n";
        }
        text
    }

    /// The depths of least power, and what limits them.
    pub(super) fn depths_text(&self, units: UnitSystem) -> String {
        let Some(depths) = &self.depths else {
            return String::new();
        };
        let wire = depths.present_wire_power_w;
        let shown = depths.designs.iter().take(DEPTHS);
        let rows: Vec<_> = shown.map(|one| (one, wire.is_some())).collect();
        let mut text = format!(
            "\nDepth of least power, for {} over a lift of {}\n{}",
            units.say(Kind::Water, depths.duty.water_flow_m3_per_s),
            units.say(Kind::Height, depths.duty.lift_m),
            text_table(&depth_columns(), &rows, units)
        );
        if depths.designs.is_empty() {
            text += "No pipe, depth and number of lifts within the limits meets the duty.\n";
        }
        text += &format!(
            "Power is {}, with {} between blower and water as here.\nThis plant takes {} for {}; against now is the power for as much water over that.\n",
            match wire {
                Some(_) => "at the wire",
                None => "adiabatic, in the air, before the losses of blower and motor",
            },
            units.say(Kind::Pressure, depths.supply_loss_pa),
            units.say(
                Kind::Power,
                wire.unwrap_or(depths.present_adiabatic_power_w)
            ),
            units.say(Kind::Water, depths.present_water_flow_m3_per_s),
        );
        text
    }

    /// What to buy, one part a line.
    pub(super) fn parts_lines(&self, units: UnitSystem) -> String {
        let parts = self.parts.said(units).iter();
        let lines = parts.map(|part| {
            let much = match (part.count, part.length_m) {
                (Some(count), _) => format!("{count} x"),
                (None, Some(length)) => units.say(Kind::Height, length),
                (None, None) => String::new(),
            };
            format!("  {much:>8}  {} ({})\n", part.part, part.place)
        });
        lines.collect()
    }
}
