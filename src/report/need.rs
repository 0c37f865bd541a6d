//! The need of a room.

use serde_json::{Value, json};

use super::number::{UnitSystem, short};
use super::table;
use crate::error::Error;
use crate::need::defaults::NeedDefault;
use crate::need::{Gases, Installed, Need, Requirement, Room, RoomNeed, Week, WeekOfLifts};
use crate::units::{MassRate, kilogram_per_day, kilogram_per_second};

/// The need of a room, with the lifts that run for it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct NeedReport {
    /// The need.
    pub need: RoomNeed,
    /// Its weeks, where a tank follows a cycle.
    pub weeks: Vec<Week>,
    /// The weeks with their lifts, where lifts are given and a tank follows a cycle.
    pub lifts: Option<Vec<WeekOfLifts>>,
    /// Defaults that stand for what was not given.
    pub defaults: Vec<&'static NeedDefault<f64>>,
}

impl NeedReport {
    /// The need of a room, with gases by the water of each tank.
    ///
    /// # Errors
    /// As [`Room::need`] and [`Installed::running`].
    pub fn of(
        room: &Room,
        installed: Option<&Installed>,
        defaults: &[&'static NeedDefault<f64>],
    ) -> Result<Self, Error> {
        let need = room.need(Gases::of)?;
        let lifts = installed.map(|lifts| need.lifts(lifts)).transpose()?;
        Ok(Self {
            weeks: need.weeks(),
            lifts,
            need,
            defaults: defaults.to_vec(),
        })
    }

    /// The JSON shape `risewater.need/1`.
    #[must_use]
    pub fn json(&self) -> Value {
        let tanks: Vec<Value> = self
            .need
            .tanks
            .iter()
            .map(|tank| {
                json!({
                    "name": tank.name,
                    "date": tank.date.map(|date| date.to_string()),
                    "need": need_json(&tank.need),
                })
            })
            .collect();
        let weeks: Vec<Value> = self
            .weeks
            .iter()
            .enumerate()
            .map(|(n, week)| {
                let running = self
                    .lifts
                    .as_ref()
                    .and_then(|all| all.get(n))
                    .map(|one| one.running);
                json!({
                    "week": week.number,
                    "first": week.first.to_string(),
                    "last": week.last.to_string(),
                    "peak_flow_m3_per_s": week.peak.value,
                    "governing": week.governing.map(crate::need::Line::name),
                    "mean_flow_m3_per_s": week.mean.value,
                    "lifts": running.map(|r| r.lifts),
                    "lifts_flow_m3_per_s": running.map(|r| r.flow.value),
                    "missing_flow_m3_per_s": running.map(|r| r.missing.value),
                })
            })
            .collect();
        let defaults: Vec<Value> = self.defaults.iter().map(|one| json!({
            "name": one.name, "value": one.value, "low": one.low, "high": one.high, "unit": one.unit,
            "source": one.reference.map(|source| source.key), "trust": one.trust.to_string(), "note": one.note,
        })).collect();
        json!({
            "schema": "risewater.need/1",
            "water_flow_m3_per_s": self.need.flow().value,
            "peak_date": self.need.peak().map(|day| day.date.to_string()),
            "tanks": tanks,
            "weeks": weeks,
            "defaults": defaults,
        })
    }

    /// Text for people.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let mut text = String::new();
        for tank in &self.need.tanks {
            let load = &tank.need.load;
            let on = tank
                .date
                .map(|d| format!(", {d}, the day of its peak"))
                .unwrap_or_default();
            text += &format!("Tank    {}{on}\n", tank.name);
            text += &format!(
                "Load    feed {}, oxygen {}, TAN {}, carbon dioxide {}, solids {}\n\n",
                a_day(load.feed, units),
                a_day(load.oxygen, units),
                a_day(load.tan, units),
                a_day(load.carbon_dioxide, units),
                a_day(load.solids, units),
            );
            let rows = tank
                .need
                .requirements
                .iter()
                .map(|one| line_row(one, &tank.need, units));
            text += &table(["line", "limit mg/L", "entering mg/L", "flow", ""], rows);
            text += "\n";
        }
        text += &format!("Need    {} for the room", units.water(self.need.flow()));
        if let Some(peak) = self.need.peak() {
            text += &format!(", on {}", peak.date);
        }
        text += "\nMeans of the day: a peak after feeding is not in them.\n";
        text += &self.weeks_text(units);
        if !self.defaults.is_empty() {
            text += "\nDefaults, where nothing was given:\n";
        }
        for one in &self.defaults {
            let source = one.reference.map_or("no source", |source| source.key);
            text += &format!(
                "{}: {} {} ({} to {}); {source}, {}; {}\n",
                one.name, one.value, one.unit, one.low, one.high, one.trust, one.note
            );
        }
        text
    }

    fn weeks_text(&self, units: UnitSystem) -> String {
        let Some(lifts) = &self.lifts else {
            let rows = self.weeks.iter().map(|week| {
                let line = week.governing.map_or("none", crate::need::Line::name);
                [
                    week.number.to_string(),
                    format!("{} to {}", week.first, week.last),
                    units.water(week.peak),
                    line.to_owned(),
                    units.water(week.mean),
                ]
            });
            return if self.weeks.is_empty() {
                String::new()
            } else {
                format!(
                    "\n{}",
                    table(["week", "dates", "peak", "line", "mean"], rows)
                )
            };
        };
        let mut text = String::new();
        // Weeks in a row with as many lifts, and enough or not alike, are one.
        for run in lifts.chunk_by(|a, b| {
            a.running.lifts == b.running.lifts
                && (a.running.missing.value > 0.0) == (b.running.missing.value > 0.0)
        }) {
            let (Some(first), Some(last)) = (run.first(), run.last()) else {
                continue;
            };
            let most = run
                .iter()
                .fold(first, |a, b| if b.week.peak > a.week.peak { b } else { a });
            let weeks = if run.len() == 1 {
                format!("week {}", first.week.number)
            } else {
                format!("weeks {} to {}", first.week.number, last.week.number)
            };
            let line = most.week.governing.map_or("none", crate::need::Line::name);
            text += &format!(
                "{weeks}, {} to {}: {} lifts give {}, peak {} ({line})",
                first.week.first,
                last.week.last,
                most.running.lifts,
                units.water(most.running.flow),
                units.water(most.week.peak),
            );
            if most.running.missing.value > 0.0 {
                text += &format!(
                    "; NOT ENOUGH, {} missing",
                    units.water(most.running.missing)
                );
            }
            text += "\n";
        }
        if text.is_empty() {
            text
        } else {
            format!("\n{text}")
        }
    }
}

fn line_row(one: &Requirement, need: &Need, units: UnitSystem) -> [String; 5] {
    // mg/L of kg/m3.
    let mg_l = |of: Option<f64>| of.map_or("-".to_owned(), |value| short(1e3 * value));
    let governs = need.governing() == Some(one.line);
    [
        one.line.name().to_owned(),
        mg_l(one.balance.map(|b| b.tank.value)),
        mg_l(one.balance.map(|b| b.entering.value)),
        units.water(one.flow),
        if governs { "governs" } else { "" }.to_owned(),
    ]
}

fn a_day(rate: MassRate, units: UnitSystem) -> String {
    let kg = rate.get::<kilogram_per_day>();
    match units {
        UnitSystem::Metric => format!("{} kg/d", short(kg)),
        UnitSystem::Us => format!("{} lb/d", short(kg / 0.453_592_37)),
    }
}

fn need_json(need: &Need) -> Value {
    let load = &need.load;
    let rate = |mass: MassRate| mass.get::<kilogram_per_second>();
    let lines: Vec<Value> = need
        .requirements
        .iter()
        .map(|one| {
            json!({
                "line": one.line.name(),
                "water_flow_m3_per_s": one.flow.value,
                "limit_kg_per_m3": one.balance.map(|b| b.tank.value),
                "entering_kg_per_m3": one.balance.map(|b| b.entering.value),
            })
        })
        .collect();
    json!({
        "water_flow_m3_per_s": need.flow().value,
        "governing": need.governing().map(crate::need::Line::name),
        "feed_kg_per_s": rate(load.feed),
        "oxygen_kg_per_s": rate(load.oxygen),
        "tan_kg_per_s": rate(load.tan),
        "carbon_dioxide_kg_per_s": rate(load.carbon_dioxide),
        "solids_kg_per_s": rate(load.solids),
        "lines": lines,
    })
}
