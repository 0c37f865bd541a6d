//! What shifts when something changes: a water level, a valve, a diffuser.

use super::feed::AirFeed;
use super::manifold::{Manifold, Running};
use crate::air::AirFlow;
use crate::error::Error;
use crate::units::{AbsolutePressure, Length, Ratio, base};

/// Level changes that are tried where a file gives none, in metres: 5 and 10 cm.
pub const LEVEL_CHANGES_M: [f64; 4] = [-0.10, -0.05, 0.05, 0.10];
/// Factor on the loss of a fouled injector.
pub const FOULED: f64 = 2.0;

/// Something that changes.
#[derive(Debug, Clone, Copy, PartialEq, strum::EnumDiscriminants)]
#[strum_discriminants(name(ChangeKind), derive(serde::Serialize))]
#[strum_discriminants(serde(rename_all = "snake_case"), doc = "What changes.")]
#[non_exhaustive]
pub enum Change {
    /// The water of every lift rises, or falls below zero.
    AllLevels(Length),
    /// The water of one lift alone.
    Level {
        /// Index of the lift.
        lift: usize,
        /// How far it rises.
        rise: Length,
    },
    /// One lift is valved off.
    ValvedOff {
        /// Index of the lift.
        lift: usize,
    },
    /// The injector of one lift loses [`FOULED`] times its pressure.
    Fouled {
        /// Index of the lift.
        lift: usize,
    },
}

/// What a change does.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Shift {
    /// The change.
    pub change: Change,
    /// The lifts after it, or why there is no answer: a level that lays an inlet dry is no riser.
    pub running: Result<Running, Error>,
    /// Whether each lift would start again once it has stopped; empty without an answer.
    pub restarts: Vec<bool>,
}

impl Change {
    /// Index of the lift that changes; none where all do.
    #[must_use]
    pub fn lift(&self) -> Option<usize> {
        match *self {
            Self::AllLevels(_) => None,
            Self::Level { lift, .. } | Self::ValvedOff { lift } | Self::Fouled { lift } => {
                Some(lift)
            }
        }
    }

    /// How far water rises, where that is the change.
    #[must_use]
    pub fn rise(&self) -> Option<Length> {
        match *self {
            Self::AllLevels(rise) | Self::Level { rise, .. } => Some(rise),
            Self::ValvedOff { .. } | Self::Fouled { .. } => None,
        }
    }
}

impl Shift {
    /// Air of each lift over that before; none for lifts that had none or when there is no answer.
    #[must_use]
    pub(crate) fn air_shares(&self, before: &Running) -> Vec<Option<Ratio>> {
        let Ok(running) = &self.running else {
            return vec![None; before.lifts.len()];
        };
        let pairs = running.split.branches.iter().zip(&before.split.branches);
        pairs
            .map(|(now, then)| {
                (then.air.kg_per_s() > 0.0).then(|| base(now.air.kg_per_s() / then.air.kg_per_s()))
            })
            .collect()
    }

    /// Water of all lifts over that before; none when there is no answer or none flowed.
    #[must_use]
    pub(crate) fn water_share(&self, before: &Running) -> Option<Ratio> {
        let running = self.running.as_ref().ok()?;
        let then = before.water_flow();
        (then > base(0.0)).then(|| running.water_flow() / then)
    }

    /// The lift that loses most water, among those that the change leaves open and that had some, and its water
    /// over that before; where none loses any, the one that gains least.
    #[must_use]
    pub fn hardest_hit(&self, before: &Running) -> Option<(usize, Ratio)> {
        let running = self.running.as_ref().ok()?;
        let pairs = running.lifts.iter().zip(&before.lifts).enumerate();
        let flows = pairs.map(|(n, (now, then))| (n, now.water_flow(), then.water_flow()));
        flows
            .filter(|(n, _, then)| Some(*n) != self.closed() && *then > base(0.0))
            .min_by(|a, b| (a.1 - a.2).value.total_cmp(&(b.1 - b.2).value))
            .map(|(n, now, then)| (n, now / then))
    }

    /// The lifts that had air or lifted water before and do not now, but for the one that the change closes.
    #[must_use]
    pub fn stopped(&self, before: &Running) -> Vec<usize> {
        let Ok(running) = &self.running else {
            return Vec::new();
        };
        let flows = |running: &Running, n: usize| {
            let air = running.split.branches[n].air.kg_per_s() > 0.0;
            (air, running.lifts[n].point().is_some())
        };
        let stops = |n: &usize| {
            let (then, now) = (flows(before, *n), flows(running, *n));
            Some(*n) != self.closed() && ((then.0 && !now.0) || (then.1 && !now.1))
        };
        (0..running.lifts.len()).filter(stops).collect()
    }

    /// The lifts that run on, but would not start again at the header's pressure.
    #[must_use]
    pub fn held(&self) -> Vec<usize> {
        let Ok(running) = &self.running else {
            return Vec::new();
        };
        let holds = |n: &usize| {
            let air = running.split.branches[*n].air.kg_per_s() > 0.0;
            air && running.lifts[*n].point().is_some() && !self.restarts[*n]
        };
        (0..running.lifts.len()).filter(holds).collect()
    }

    fn closed(&self) -> Option<usize> {
        match self.change {
            Change::ValvedOff { lift } => Some(lift),
            _ => None,
        }
    }
}

impl Manifold {
    /// The same lifts after a change.
    ///
    /// # Errors
    /// As [`Manifold::with_level`].
    pub fn changed(&self, change: Change) -> Result<Self, Error> {
        match change {
            Change::AllLevels(rise) => {
                let all: Vec<usize> = (0..self.risers().len()).collect();
                self.with_level(rise, &all)
            }
            Change::Level { lift, rise } => self.with_level(rise, &[lift]),
            Change::ValvedOff { lift } => {
                let mut header = self.header().clone();
                if let Some(branch) = header.branches.get_mut(lift) {
                    branch.open = false;
                }
                self.with_header(header)
            }
            Change::Fouled { lift } => {
                let mut header = self.header().clone();
                if let Some(branch) = header.branches.get_mut(lift) {
                    branch.fouling *= FOULED;
                }
                self.with_header(header)
            }
        }
    }

    /// The changes worth knowing of: all levels and one lift's level by some rises (falls below zero), one lift
    /// valved off, one injector fouled to twice its loss; the one lift is the one nearest to the feed, and the one
    /// farthest from it.
    #[must_use]
    pub fn usual_changes(&self, rises: &[Length]) -> Vec<Change> {
        let branches = &self.header().branches;
        let mut changes = Vec::new();
        changes.extend(rises.iter().map(|rise| Change::AllLevels(*rise)));
        for lift in self.header().ends() {
            changes.extend(rises.iter().map(|&rise| Change::Level { lift, rise }));
            if branches.len() > 1 {
                changes.push(Change::ValvedOff { lift });
            }
            if branches[lift].injector != super::Injector::OpenTube {
                changes.push(Change::Fouled { lift });
            }
        }
        changes
    }

    /// What some changes do at a feed to lifts that run, the lines as warm as before.
    #[must_use]
    pub fn shifts(&self, feed: &AirFeed, before: &Running, changes: &[Change]) -> Vec<Shift> {
        let air: Vec<AirFlow> = before.split.branches.iter().map(|flow| flow.air).collect();
        let after = |change: Change| {
            let manifold = self.changed(change)?;
            let running = manifold.run_on(feed, &air)?;
            let restarts = manifold.restarts(feed, &running)?;
            Ok((running, restarts))
        };
        let shift = |change: &Change| {
            let (running, restarts) = match after(*change) {
                Ok((running, restarts)) => (Ok(running), restarts),
                Err(error) => (Err(error), Vec::new()),
            };
            Shift {
                change: *change,
                running,
                restarts,
            }
        };
        changes.iter().map(shift).collect()
    }

    /// Whether each lift would start again once it has stopped: by the pressure at its tee, or by that which the
    /// header has there without the lift.
    fn restarts(&self, feed: &AirFeed, running: &Running) -> Result<Vec<bool>, Error> {
        let air: Vec<AirFlow> = running.split.branches.iter().map(|flow| flow.air).collect();
        let branches = self.header().branches.iter().zip(self.water_at_rest());
        let needed = branches.map(|(branch, water)| water + branch.startup_loss());
        let starts = |(lift, needed): (usize, AbsolutePressure)| {
            if running.split.branches[lift].header_pressure > needed {
                return Ok(true);
            }
            let without = self.changed(Change::ValvedOff { lift })?;
            let without = without.run_on(feed, &air)?;
            Ok(without.split.branches[lift].header_pressure > needed)
        };
        needed.enumerate().map(starts).collect()
    }
}
