//! The need of a room, as JSON and text.

use serde_json::{Value, json};

use super::number::UnitSystem;
#[cfg(feature = "chart")]
use crate::chart::{Axis, Chart, Ink, Label, Line, Stroke};
use crate::error::Error;
use crate::need::defaults::NeedDefault;
use crate::need::{Gases, Installed, Room, RoomNeed, WeekOfLifts};
use crate::units::cubic_meter_per_second;
#[cfg(feature = "chart")]
use crate::units::liter_per_minute;

/// What a room needs, to print.
#[derive(Debug)]
pub struct NeedReport {
    /// The need.
    pub need: RoomNeed,
    /// The lifts that must run, week by week.
    pub weeks: Vec<WeekOfLifts>,
    defaults: Vec<&'static NeedDefault<f64>>,
}

impl NeedReport {
    /// The need of a room, by the gases of its water.
    ///
    /// # Errors
    /// As [`Room::need`] and [`RoomNeed::lifts`].
    pub fn of(
        room: &Room,
        installed: Option<&Installed>,
        defaults: &[&'static NeedDefault<f64>],
    ) -> Result<Self, Error> {
        let need = room.need(Gases::of)?;
        let weeks = installed.map(|installed| need.lifts(installed));
        Ok(Self {
            weeks: weeks.transpose()?.unwrap_or_default(),
            need,
            defaults: defaults.to_vec(),
        })
    }

    /// For people.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let flow = self.need.flow();
        let flow = units.water(flow);
        let mut text = format!("Water flow needed: {flow}\n");
        for one in &self.defaults {
            text += &format!("{}: {} {} ({})\n", one.name, one.value, one.unit, one.trust);
        }
        text
    }

    /// The flow over the days.
    #[cfg(feature = "chart")]
    #[must_use]
    pub fn figure(&self) -> Chart {
        let days = self.need.days.iter().enumerate();
        let points = days.map(|(n, day)| (n as f64, day.flow.get::<liter_per_minute>()));
        Chart {
            title: "Water flow needed".to_owned(),
            notes: Vec::new(),
            description: "Water flow (L/min) against days".to_owned(),
            x: Axis {
                label: "Day".to_owned(),
                covers: vec![0.0],
            },
            y: Axis {
                label: "Water flow (L/min)".to_owned(),
                covers: vec![0.0],
            },
            bands: Vec::new(),
            lines: vec![Line {
                label: Label::None,
                points: points.collect(),
                ink: Ink::Blue,
                stroke: Stroke::Solid,
            }],
            marks: Vec::new(),
        }
    }

    /// As `risewater.need/1`.
    #[must_use]
    pub fn json(&self) -> Value {
        json!({ "schema": "risewater.need/1", "water_flow_m3_per_s": self.need.flow().get::<cubic_meter_per_second>() })
    }
}
