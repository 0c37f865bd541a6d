//! What is reared by a design file, and the flow that it needs.

mod defaults;
mod range;
mod tank;

pub(super) use defaults::used_defaults;
pub(super) use tank::{all_limits, animals, coefficients, cycle, makeup};

use super::DesignFile;
use super::fault::{FileError, Problem};
use super::layers::Layers;
use crate::error::{Error, Input, NameKind};
use crate::gas::Gas;
use crate::keys::{air, duty, need, rearing_tank};
use crate::need::defaults::{ALL, NeedDefault};
use crate::need::{Installed, LIFT_FLOW, Line, NeedRange, Room, RoomNeed};
use crate::transfer::GasTerms;
use crate::units::{VolumeRate, base, liter_per_minute};

/// A design file of our own invented hatchery: three rearing tanks, one of which follows a crop. The table of
/// the crop is [`DEMO`](crate::need::DEMO).
pub const NEED_EXAMPLE: &str = include_str!("need.toml");

/// What is asked for where what is there needs no flow.
const NO_NEED: &str = "animals with feed, or a turnover: what is there needs no water at all";

/// What is reared, and what lifts its water.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Rearing {
    /// The tanks.
    pub room: Room,
    /// What they need.
    pub need: RoomNeed,
    /// The lifts that can run, where the file says.
    pub installed: Option<Installed>,
    /// Whether the flow of a lift is what `[riser]` does with the air of `[air]`.
    pub lift_is_riser: bool,
    /// Every default that the file left in use.
    pub defaults: Vec<&'static NeedDefault<f64>>,
    /// What the need could be with those defaults elsewhere in their spread.
    pub range: NeedRange,
}

impl DesignFile {
    /// With the text of a crop's table, in the place of the file that a `cycle` key names.
    #[must_use]
    pub fn with_crop_table(self, file: impl Into<String>, text: impl Into<String>) -> Self {
        self.with_text(file, text)
    }

    /// Whether the file says what is reared, as `[need]` or `[[rearing_tank]]`.
    #[must_use]
    pub fn has_need(&self) -> bool {
        self.sheet.has("need") || self.sheet.has("rearing_tank")
    }

    /// Whether a duty takes its flow from what is reared: the one duty where the file has a need, or a duty that names a tank.
    #[must_use]
    pub fn needs_flow(&self) -> bool {
        let duties = self.duties();
        let names = |own: &String| self.sheet.at([own]).has(&duty::TANK);
        self.has_need() && (duties.len() < 2 || duties.iter().any(names))
    }

    /// What is reared, of `[need]` and `[[rearing_tank]]`.
    ///
    /// # Errors
    /// [`FileError::Faults`] when something is missing or refused, in the table of a crop too, or when no flow
    /// holds the limits ([`Problem::is_unanswerable`]).
    ///
    /// # Examples
    /// ```
    /// use risewater::design::{DesignFile, NEED_EXAMPLE};
    /// use risewater::need::DEMO;
    ///
    /// let design = DesignFile::parse(NEED_EXAMPLE)?.with_crop_table("crop.csv", DEMO);
    /// let rearing = design.rearing()?;
    /// assert_eq!(rearing.room.tanks.len(), 3);
    /// // A day for each of the crop, from 1 March to 31 August.
    /// assert_eq!(rearing.need.days.len(), 184);
    /// # Ok::<(), risewater::design::FileError>(())
    /// ```
    pub fn rearing(&self) -> Result<Rearing, FileError> {
        let room = self.room();
        let installed = self.installed();
        let found = room
            .zip(installed)
            .map(|((room, need), (installed, riser))| Rearing {
                room: room.clone(),
                need: need.clone(),
                installed,
                lift_is_riser: riser,
                defaults: self.need_defaults(),
                range: self.need_range(need),
            });
        self.answer(found)
    }

    /// The flow that the tanks need, and how it comes about.
    ///
    /// # Errors
    /// As [`DesignFile::rearing`].
    pub fn room_need(&self) -> Result<RoomNeed, FileError> {
        self.answer(self.need_of("duty"))
    }

    /// What the tanks need; that which a duty names alone, where it does.
    fn need_of(&self, section: &str) -> Option<RoomNeed> {
        let own = self.sheet.at([section]);
        let Some(name) = own.get(&duty::TANK) else {
            return self.room().map(|(_, need)| need.clone());
        };
        if !self.sheet.has("rearing_tank") {
            let expected = "that tank as [[rearing_tank]], or a water_flow in its place".into();
            own.fault(&duty::TANK, Problem::Missing { expected });
            return None;
        }
        let (room, need) = self.room()?;
        let mut tanks = need.tanks.clone();
        tanks.retain(|tank| tank.name == name);
        if tanks.is_empty() {
            let known = room.tanks.iter().map(|tank| &tank.name);
            let error = Error::unknown_name(NameKind::RearingTank, &name, known);
            own.fault(&duty::TANK, Problem::Refused(error));
            return None;
        }
        Some(RoomNeed::of(tanks))
    }

    /// The flow that a duty wants: its own, or the need of the tank that it names.
    pub(super) fn flow_of(&self, section: &str) -> Option<VolumeRate> {
        let own = self.sheet.at([section]);
        if !own.has(&duty::TANK) {
            return own.needed(&duty::WATER_FLOW);
        }
        let flow = self.need_of(section)?.flow();
        if flow == base(0.0) {
            let expected = NO_NEED.into();
            own.fault(&duty::TANK, Problem::Missing { expected });
            return None;
        }
        Some(flow)
    }

    /// With the water of the tanks at their limits, where the file has a need and asks about gases.
    pub(super) fn with_tanks(&self, mut terms: GasTerms) -> Result<GasTerms, FileError> {
        if self.has_gas() && self.has_need() {
            let need = self.room_need()?;
            for (gas, line) in [
                (Gas::Oxygen, Line::Oxygen),
                (Gas::CarbonDioxide, Line::CarbonDioxide),
            ] {
                terms.tank[gas as usize] = need.at_limit(line);
            }
        }
        Ok(terms)
    }

    pub(super) fn check_need(&self, told: bool) {
        if self.has_need() {
            if !told {
                self.room();
            }
            self.installed();
        }
    }

    /// The flow of the need where the file has one: none inside where that has faults.
    #[allow(
        clippy::option_option,
        reason = "no need is an answer, a bad one is not"
    )]
    pub(super) fn needed_flow(&self) -> Option<Option<VolumeRate>> {
        if !self.has_need() {
            return None;
        }
        let own = self.sheet.at(["duty"]);
        if own.has(&duty::TANK) {
            return Some(self.flow_of("duty"));
        }
        let flow = self.need_of("duty").map(|need| need.flow());
        if self.duty_flow().is_some() {
            let other = "[need], which comes to a flow of its own";
            own.fault(&duty::WATER_FLOW, Problem::Contradiction { other });
        }
        if flow == Some(base(0.0)) {
            let expected = NO_NEED.into();
            let place = self.sheet.place(need::BIOMASS.path);
            self.sheet
                .fault(place, "need", Problem::Missing { expected });
            return Some(None);
        }
        Some(flow)
    }

    /// The tanks, each with what it takes from `[need]`; that itself where it is the one tank.
    pub(super) fn tanks(&self) -> Vec<Layers<'_>> {
        let mut tanks: Vec<_> = (1..=self.sheet.count("rearing_tank"))
            .map(|number| self.sheet.at([&format!("rearing_tank {number}"), "need"]))
            .collect();
        if tanks.is_empty() {
            tanks.push(self.sheet.at(["need"]));
        }
        tanks
    }

    /// The lifts that can run, and whether one is the riser of the file.
    fn installed(&self) -> Option<(Option<Installed>, bool)> {
        let own = self.sheet.at(["need"]);
        let count = own.get(&need::LIFTS);
        if let Some(flow) = own.get(&need::LIFT_FLOW) {
            return Some((Some(Installed::Alike { flow, count }), false));
        }
        if !(self.is_placed() && self.has_air_flow()) {
            if count.is_some() {
                own.needed(&need::LIFT_FLOW)?;
            }
            return Some((None, false));
        }
        let riser = self.place(self.read_site());
        let air = self.read_air();
        let outcome = self.sheet.keep(riser?.operate(air?), "air.flow")?;
        let flow = outcome.water_flow();
        if outcome.point().is_none() {
            let expected =
                "more air, less lift or more submergence: the riser of [riser] does not pump"
                    .into();
            let air = self.sheet.at(["air"]);
            air.fault(&air::FLOW, Problem::Missing { expected });
            return None;
        }
        let one = LIFT_FLOW.check(Input::LiftFlow, flow.get::<liter_per_minute>());
        self.sheet.keep(one, need::LIFT_FLOW.path)?;
        Some((Some(Installed::Alike { flow, count }), true))
    }

    /// Every default that some tank leaves in use, in the order of [`ALL`].
    fn need_defaults(&self) -> Vec<&'static NeedDefault<f64>> {
        let tanks = self.tanks();
        let used: Vec<&str> = tanks.iter().flat_map(defaults::used_defaults).collect();
        let all = ALL.iter();
        all.filter(|one| used.contains(&one.name)).collect()
    }
}

/// The name of a tank, or its number.
pub(super) fn name(tank: &Layers) -> String {
    let number = tank.own().strip_prefix("rearing_tank");
    let numbered = || number.map_or_else(|| "tank".to_owned(), |number| format!("tank{number}"));
    let own = number.and_then(|_| tank.get(&rearing_tank::NAME));
    own.unwrap_or_else(numbered)
}
