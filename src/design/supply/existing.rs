//! A plant that stands, of a design file.

use super::{Assumption, Lines};
use crate::air::AirFlow;
use crate::design::DesignFile;
use crate::design::fault::{FileError, Problem};
use crate::design::layers::Layers;
use crate::design::set;
use crate::keys::{balance, blower, lift};
use crate::supply::{AirSource, Existing, Orifice, Vent};
use crate::units::{AbsolutePressure, UnitSystem, base};

/// A design file of our own invented hatchery: three tanks on one small blower, as they stand.
pub const EXISTING_EXAMPLE: &str = include_str!("../existing.toml");

/// Air that a lift is first taken to have, for the losses of fittings alone, which hang little on it: 30 L/min.
const FIRST_KG_PER_S: f64 = 6e-4;

impl DesignFile {
    /// The plant as it stands: lifts, lines, holes and what blows, without a design flow. Flows of `[[lift]]` are what is
    /// wanted of it, to be compared.
    ///
    /// # Errors
    /// [`FileError::Faults`] when something is missing or refused, in the blower's table too.
    ///
    /// # Examples
    /// ```
    /// use risewater::design::{DesignFile, EXISTING_EXAMPLE};
    ///
    /// let existing = DesignFile::parse(EXISTING_EXAMPLE)?.existing()?;
    /// let steady = existing.steady()?;
    /// assert_eq!(steady.running.lifts.len(), 3);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn existing(&self) -> Result<Existing, FileError> {
        self.answer(self.assemble_standing())
    }

    /// The same, faults noted.
    pub(in crate::design) fn assemble_standing(&self) -> Option<Existing> {
        let first = self.assemble_existing(None)?;
        // Losses of fittings at the air that the lifts have.
        let Ok(steady) = first.steady() else {
            return Some(first);
        };
        let air: Vec<AirFlow> = steady
            .running
            .split
            .branches
            .iter()
            .map(|flow| flow.air)
            .collect();
        self.assemble_existing(Some(&air))
    }

    /// What is assumed of the plant that stands for want of a key, with values in a system of units.
    #[must_use]
    pub fn existing_assumptions(&self, units: UnitSystem) -> Vec<Assumption> {
        let lines = [("main_line.", "main_line"), ("header.", "header")];
        let is_read = |one: &Assumption| {
            let left_out = |(start, section): &(&str, &str)| {
                one.key.starts_with(start) && !self.sheet.has(section)
            };
            let designed = ["balance.", "tank.", "blower.rise_margin"];
            !designed.iter().any(|start| one.key.starts_with(start)) && !lines.iter().any(left_out)
        };
        let all = self.supply_assumptions(units).into_iter();
        all.filter(is_read).collect()
    }

    /// Whether the file says what blows.
    pub(in crate::design) fn has_blower(&self) -> bool {
        blows(&self.sheet.at(["blower"]))
    }

    /// Whether the file is of a plant that stands: it says what blows, and asks for no flow.
    pub(in crate::design) fn stands(&self) -> bool {
        let (sheet, blows) = (&self.sheet, self.has_blower());
        let numbers = 1..=sheet.count("lift");
        let asks = |number: usize| {
            let own = sheet.at([&*format!("lift {number}")]);
            own.has(&lift::WATER_FLOW) || own.has(&lift::AIR_FLOW)
        };
        let sized = sheet.has("duty") && sheet.has("limits");
        let lifts = self.has_lifts() || self.is_placed();
        blows && lifts && !sized && !numbers.into_iter().any(asks)
    }

    pub(super) fn assemble_existing(&self, air: Option<&[AirFlow]>) -> Option<Existing> {
        let own = self.sheet.at(["blower"]);
        let first = AirFlow::from_kg_per_s(FIRST_KG_PER_S);
        let taken = |n: usize| air.and_then(|air| air.get(n).copied()).unwrap_or(first);
        if !blows(&own) {
            let expected =
                "what blows: the curve of the blower as `table` or `points`, or a `pressure` or an `air_flow` in its place"
                    .into();
            own.fault(&blower::TABLE, Problem::Missing { expected });
        }
        let site = self.read_site();
        let lifts = site.and_then(|site| self.standing(site, taken));
        let (mut plant, piping) = self.assemble_plant(site, lifts.as_deref(), Lines::Standing)?;
        let none = AirFlow::from_kg_per_s(0.0);
        (plant.balancing, plant.rise_margin) = (None, base(0.0));
        plant.design.iter_mut().for_each(|air| *air = none);
        let pressure = own.get(&blower::PRESSURE);
        let source = match (pressure, own.get(&blower::AIR_FLOW)) {
            (Some(gauge), _) => AirSource::Pressure(AbsolutePressure(base(
                site?.atmosphere.pascal() + gauge.value,
            ))),
            (None, Some(air)) => AirSource::Air(self.counted(air, blower::AIR_FLOW.path)?),
            (None, None) => AirSource::Blowers,
        };
        let hole = own.get(&blower::BLEED_HOLE).map(|diameter| {
            let mut hole = Orifice::new(diameter);
            let plates = self.sheet.at(["balance"]);
            set(
                &mut hole.discharge,
                plates.get(&balance::DISCHARGE_COEFFICIENT),
            );
            Vent::Hole(hole)
        });
        let share = own
            .get(&blower::BLEED_SHARE)
            .filter(|share| share.value > 0.0);
        let mut existing = Existing::new(plant, piping);
        existing.source = source;
        existing.vent = hole.or(share.map(Vent::Share));
        existing.asked = lifts?.iter().map(|lift| lift.asked).collect();
        existing.drills = self.drills;
        existing.tariff = self.tariff();
        existing.stock = self.stock();
        existing.blower_height = own.get(&blower::HEIGHT);
        existing.levels = self.levels_of_tank();
        Some(existing)
    }
}

/// Whether `[blower]` says what blows.
fn blows(own: &Layers) -> bool {
    let keys = [
        &blower::TABLE.row,
        &blower::POINTS.row,
        &blower::PRESSURE.row,
        &blower::AIR_FLOW.row,
    ];
    own.with(&keys).is_some()
}
