//! What shifts when something changes: a water level, a valve, a diffuser.

use super::branch::Branch;
use super::feed::Feed;
use super::manifold::{Manifold, Running};
use crate::error::Error;
use crate::units::system::place;
use crate::units::{Length, Ratio, UnitSystem, base, meter};

/// Level changes that are tried, in metres: 5 and 10 cm.
pub const LEVEL_CHANGES_M: [f64; 4] = [-0.10, -0.05, 0.05, 0.10];
/// Factor on the loss of a fouled injector.
pub const FOULED: f64 = 2.0;

/// Something that changes.
#[derive(Debug, Clone, Copy, PartialEq)]
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

impl Change {
    /// In words, with the names of a header's branches.
    #[must_use]
    pub fn words(&self, branches: &[Branch], units: UnitSystem) -> String {
        let name = |lift: usize| branches.get(lift).map_or("", |branch| branch.name.as_str());
        let way = |rise: Length| {
            let (size, unit) = units.small_height_unit(rise);
            let by = (rise.value.abs() / size * 100.0).round() / 100.0;
            let way = if rise.value < 0.0 { "lower" } else { "higher" };
            format!("{} {unit} {way}", place(by))
        };
        match *self {
            Self::AllLevels(rise) => format!("all levels {}", way(rise)),
            Self::Level { lift, rise } => format!("level of {} {}", name(lift), way(rise)),
            Self::ValvedOff { lift } => format!("{} valved off", name(lift)),
            // As `FOULED` has it.
            Self::Fouled { lift } => format!("injector of {} at twice its loss", name(lift)),
        }
    }
}

/// What a change does.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Shift {
    /// The change.
    pub change: Change,
    /// The lifts after it, or why there is no answer: a level that lays an inlet dry is no riser.
    pub running: Result<Running, Error>,
}

impl Shift {
    /// Air of each lift over that before; none for lifts that had none or when there is no answer.
    #[must_use]
    pub fn air_shares(&self, before: &Running) -> Vec<Option<Ratio>> {
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
    pub fn water_share(&self, before: &Running) -> Option<Ratio> {
        let running = self.running.as_ref().ok()?;
        let then = before.water_flow();
        (then > base(0.0)).then(|| running.water_flow() / then)
    }

    /// The lift whose air falls most, among those that the change leaves open, and its air over that before.
    #[must_use]
    pub fn hardest_hit(&self, before: &Running) -> Option<(usize, Ratio)> {
        let closed = match self.change {
            Change::ValvedOff { lift } => Some(lift),
            _ => None,
        };
        let shares = self.air_shares(before).into_iter().enumerate();
        shares
            .filter(|(n, _)| Some(*n) != closed)
            .filter_map(|(n, share)| Some((n, share?)))
            .min_by(|a, b| a.1.value.total_cmp(&b.1.value))
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

    /// The changes worth knowing of: all levels and one lift's level by 5 and 10 cm either way, one lift valved
    /// off, one injector fouled to twice its loss; the one lift is the one nearest to the feed, and the one
    /// farthest from it.
    #[must_use]
    pub fn usual_changes(&self) -> Vec<Change> {
        let feed = self.header().feed;
        let branches = &self.header().branches;
        let distance = |n: &usize| (branches[*n].distance - feed).abs().get::<meter>();
        let open = || (0..branches.len()).filter(|n| branches[*n].open);
        let nearest = open().min_by(|a, b| distance(a).total_cmp(&distance(b)));
        let farthest = open().max_by(|a, b| distance(a).total_cmp(&distance(b)));
        let mut lifts: Vec<usize> = nearest.into_iter().chain(farthest).collect();
        lifts.dedup();
        let mut changes = Vec::new();
        for rise in LEVEL_CHANGES_M {
            changes.push(Change::AllLevels(Length::new::<meter>(rise)));
        }
        for lift in &lifts {
            let lift = *lift;
            for rise in LEVEL_CHANGES_M {
                let rise = Length::new::<meter>(rise);
                changes.push(Change::Level { lift, rise });
            }
            if branches.len() > 1 {
                changes.push(Change::ValvedOff { lift });
            }
            if branches[lift].injector != super::Injector::OpenTube {
                changes.push(Change::Fouled { lift });
            }
        }
        changes
    }

    /// What some changes do at a feed.
    #[must_use]
    pub fn shifts(&self, feed: &Feed, changes: &[Change]) -> Vec<Shift> {
        let shift = |change: &Change| Shift {
            change: *change,
            running: self
                .changed(*change)
                .and_then(|manifold| manifold.run(feed)),
        };
        changes.iter().map(shift).collect()
    }
}
