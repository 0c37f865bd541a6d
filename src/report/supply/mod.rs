//! An air supply as text for people.

mod chain;
mod gas;
mod tables;
mod text;

pub(super) use tables::lift_columns;
pub(super) use tables::shift_columns;

use super::UnitSystem;
use super::kind::Kind;
use super::number::{change, place};
use crate::air::at_20_c;
use crate::answer::{
    DepthPoint, DoubtCostFacts, ShiftFacts, SupplyAnswer, TeeFacts, WithoutAirFacts,
};
use crate::error::Range;
use crate::supply::{ChangeKind, PLATE_BORE, PLATE_HOLE};
use crate::units::base;

/// Air flow from its mass.
pub(super) fn air(kg_per_s: f64, units: UnitSystem) -> String {
    units.say(Kind::Air, at_20_c(kg_per_s))
}

impl DoubtCostFacts {
    pub(super) fn words(&self, units: UnitSystem) -> String {
        let [predicted, lower] = [
            self.predicted_air_mass_flow_kg_per_s,
            self.lower_end_air_mass_flow_kg_per_s,
        ];
        format!(
            "{} more air and {} at the injection points ({}) would let the lower ends of the intervals, too, meet what the lifts are to give",
            air(lower - predicted, units),
            units.say(
                Kind::Power,
                self.lower_end_injection_power_w - self.predicted_injection_power_w
            ),
            change(lower / predicted - 1.0),
        )
    }
}

impl ShiftFacts {
    /// The change in words.
    pub(super) fn words(&self, units: UnitSystem) -> String {
        let lift = self.lift.as_deref().unwrap_or_default();
        let way = || {
            let rise = self.level_rise_m.unwrap_or_default();
            let (size, unit) = units.small_height_unit(base(rise));
            let by = (rise.abs() / size * 100.0).round() / 100.0;
            let way = if rise < 0.0 { "lower" } else { "higher" };
            format!("{} {unit} {way}", place(by))
        };
        match self.change {
            ChangeKind::AllLevels => format!("all levels {}", way()),
            ChangeKind::Level => format!("level of {lift} {}", way()),
            ChangeKind::ValvedOff => format!("{lift} valved off"),
            // As `supply::FOULED` has it.
            ChangeKind::Fouled => format!("injector of {lift} at twice its loss"),
        }
    }
}

impl DepthPoint {
    /// Power at the wire, or in the air.
    pub(super) fn power(&self, at_wire: bool) -> f64 {
        let wire = self.wire_power_w.filter(|_| at_wire);
        wire.unwrap_or(self.adiabatic_power_w)
    }
}

impl WithoutAirFacts {
    /// Whole minutes until the oxygen is at its limit.
    pub(super) fn minutes(&self) -> f64 {
        (self.time_to_limit_s / 60.0).floor()
    }
}

impl SupplyAnswer {
    /// Over the pressure outside.
    pub(super) fn gauge(&self, pressure_pa: f64) -> f64 {
        pressure_pa - self.outside.pressure_pa
    }

    /// Lifts that changes stop, and those that run on but would not start again, in words.
    pub(super) fn shift_notes(&self, units: UnitSystem) -> Vec<String> {
        let gauge = |pressure| units.say(Kind::Pressure, self.gauge(pressure));
        let stopped = |tee: &TeeFacts| {
            let (header, water) = (gauge(tee.header_pressure_pa), gauge(tee.water_pressure_pa));
            let what = if tee.air_mass_flow_kg_per_s > 0.0 {
                let air = air(tee.air_mass_flow_kg_per_s, units);
                format!("gets only {air} of air and lifts no water")
            } else {
                "has lost its air".to_owned()
            };
            format!(
                "{} {what}: the header has {header} at its tee, and its water {water}",
                tee.lift
            )
        };
        let held = |tee: &TeeFacts| {
            format!(
                "{} runs on with {} in the header at its tee, but once stopped it does not start again: its water at rest has more pressure than the header without it",
                tee.lift,
                gauge(tee.header_pressure_pa)
            )
        };
        let mut notes = Vec::new();
        for shift in &self.shifts {
            let stopped = shift.stopped.iter().map(stopped);
            let held = shift.would_not_restart.iter().map(held);
            let with = |note: String| format!("With {}, {note}.", shift.words(units));
            notes.extend(stopped.chain(held).map(with));
        }
        notes
    }

    /// What the loss of the orifices is; none without orifices.
    pub(super) fn orifice_law(&self, units: UnitSystem) -> Option<String> {
        let end = if self.orifices_extrapolated? {
            let (size, unit) = units.bore_unit();
            let least = |range: Range| format!("{} {unit}", place(1e-3 * range.min / size));
            format!(
                ", continued below the standard's {} of bore and {} of hole",
                least(PLATE_BORE),
                least(PLATE_HOLE)
            )
        } else {
            String::new()
        };
        Some(format!(
            "Orifices cost the permanent loss of a plate in a line, after ISO 5167-2{end}."
        ))
    }
}
