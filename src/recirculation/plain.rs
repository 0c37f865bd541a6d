//! The one balance of a loop, in plain numbers: g/m³, m³, m³/h, g/h and h.
//!
//! ```text
//! V dC/dt = Q (C_in − C) + Q_m (C_m − C) + K (C*_s − C) + what the animals give off          each tank
//! ```
//!
//! with C_in of the stations that water passes before it. Steady states and days read it alike.

use std::array::from_fn;

use super::filter::PlainFilter;
use super::lifts::LiftExchange;
use super::tank::Exchanged;
use crate::error::{Error, Input, Range};
use crate::units::{MassConcentration, base};

/// Oxygen, nitrogen, argon, carbon dioxide, ammonia.
pub(super) const SPECIES: usize = 5;
/// Of these, ammonia; those before it are the gases.
pub(super) const TAN: usize = 4;
/// Oxygen.
pub(super) const O2: usize = 0;
/// Carbon dioxide.
pub(super) const CO2: usize = 3;

/// Each in SI.
pub(super) const G_M3: f64 = 1e-3;
pub(super) const M3: f64 = 1.0;
pub(super) const M3_H: f64 = 1.0 / 3600.0;
pub(super) const G_H: f64 = 1e-3 / 3600.0;
pub(super) const HOUR: f64 = 3600.0;

/// What water holds, g/m³.
pub(super) type Held = [f64; SPECIES];

pub(super) fn concentration(g_m3: f64) -> MassConcentration {
    base(g_m3 * G_M3)
}

/// A rate within a range.
pub(super) fn plain_rate(range: Range, what: Input, value: f64) -> Result<f64, Error> {
    range.check(what, value)
}

/// A straight line of what leaves a lift over what enters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Affine {
    pub at: [f64; TAN],
    pub out: [f64; TAN],
    pub slope: [[f64; TAN]; TAN],
}

#[allow(clippy::needless_range_loop, reason = "indices as in the matrix")]
impl Affine {
    pub fn apply(&self, held: &Held) -> Held {
        let mut left = *held;
        for i in 0..TAN {
            left[i] = self.out[i];
            for j in 0..TAN {
                left[i] += self.slope[i][j] * (held[j] - self.at[j]);
            }
        }
        left
    }

    /// The mean of several, by their flows.
    fn mean(parts: &[(f64, &Self)]) -> Option<Self> {
        let flow: f64 = parts.iter().map(|part| part.0).sum();
        let at = parts.first()?.1.at;
        if flow <= 0.0 {
            return None;
        }
        let mut mean = Self {
            at,
            out: [0.0; TAN],
            slope: [[0.0; TAN]; TAN],
        };
        for (part, line) in parts {
            let share = part / flow;
            let out = line.apply(&from_fn(|i| if i < TAN { at[i] } else { 0.0 }));
            for i in 0..TAN {
                mean.out[i] += share * out[i];
                for j in 0..TAN {
                    mean.slope[i][j] += share * line.slope[i][j];
                }
            }
        }
        Some(mean)
    }
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct PlainTank {
    pub volume: f64,
    /// Given off in proportion to the oxygen taken, oxygen itself below zero.
    pub by_oxygen: Held,
    /// In proportion to the ammonia.
    pub by_ammonia: Held,
    pub makeup_flow: f64,
    pub makeup: Held,
    pub surface: Exchanged,
    pub aerators: Exchanged,
    pub share: f64,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct PlainGroup {
    pub flow_each: f64,
    pub count: u32,
    pub tank: Option<usize>,
    pub exchange: LiftExchange,
}

/// A loop, checked.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Plain {
    pub tanks: Vec<PlainTank>,
    pub series: bool,
    pub lifts_first: bool,
    pub filter: Option<PlainFilter>,
    pub groups: Vec<PlainGroup>,
    /// Factor of all animals, and of the filter's other bacteria.
    pub stock: f64,
}

/// A loop with so many lifts running, each with its line.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Running {
    /// Water through filter and lifts.
    pub total: f64,
    /// Of it, what is common to all tanks.
    pub common: f64,
    /// Lines of the common lifts together.
    pub common_line: Option<Affine>,
    /// Of each tank, its own lifts' water and line.
    own: Vec<(f64, Option<Affine>)>,
    /// Water through each tank, new water apart.
    pub through: Vec<f64>,
}

/// What water holds on its way round.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Way {
    /// Where the tanks' water comes together.
    pub sump: Held,
    /// What enters the filter, and leaves it.
    pub to_filter: Held,
    pub after_filter: Held,
    /// What enters the lifts, and leaves the common ones.
    pub to_lifts: Held,
    pub after_lifts: Held,
    /// Nitrogen oxidised, g/h.
    pub nitrified: f64,
}

/// Animals' share of their mean now: by oxygen, by ammonia.
pub(super) type Activity = [f64; 2];

impl Plain {
    /// Whether the filter has water of its own to follow.
    pub fn filter_volume(&self) -> Option<f64> {
        let volume = self.filter.as_ref()?.volume;
        (volume > 0.0).then_some(volume)
    }

    /// Numbers of a state of the loop: of the tanks, and of the filter's water.
    pub fn size(&self) -> usize {
        SPECIES * (self.tanks.len() + usize::from(self.filter_volume().is_some()))
    }

    /// The loop with so many lifts of each group running, and a line for each group.
    pub fn running(&self, counts: &[u32], lines: &[Affine]) -> Running {
        let flow = |n: usize| f64::from(counts[n]) * self.groups[n].flow_each;
        let of = |tank: Option<usize>| {
            let groups = self.groups.iter().enumerate();
            let parts: Vec<_> = groups
                .filter(|(n, group)| group.tank == tank && flow(*n) > 0.0)
                .map(|(n, _)| (flow(n), &lines[n]))
                .collect();
            let sum: f64 = parts.iter().map(|part| part.0).sum();
            (sum, Affine::mean(&parts))
        };
        let (common, common_line) = of(None);
        let own: Vec<_> = (0..self.tanks.len()).map(|n| of(Some(n))).collect();
        let total = common + own.iter().map(|one| one.0).sum::<f64>();
        let shares: f64 = self.tanks.iter().map(|tank| tank.share).sum();
        let through = (self.tanks.iter().zip(&own))
            .map(|(tank, own)| {
                if self.series {
                    total
                } else if shares > 0.0 {
                    own.0 + common * tank.share / shares
                } else {
                    own.0
                }
            })
            .collect();
        Running {
            total,
            common,
            common_line,
            own,
            through,
        }
    }

    /// The stations of the way round. `filter` is the water in it where that is followed.
    pub fn way(
        &self,
        running: &Running,
        tank: impl Fn(usize) -> Held,
        filter: Option<&Held>,
    ) -> Way {
        let last = self.tanks.len() - 1;
        let mut sump = [0.0; SPECIES];
        if self.series || running.total <= 0.0 {
            sump = tank(last);
        } else {
            for (n, flow) in running.through.iter().enumerate() {
                let share = flow / running.total;
                for (one, held) in sump.iter_mut().zip(tank(n)) {
                    *one += share * held;
                }
            }
        }
        let lifted = |held: &Held| running.common_line.map_or(*held, |line| line.apply(held));
        if self.lifts_first {
            let after_lifts = lifted(&sump);
            let (after_filter, nitrified) = self.filtered(running, &after_lifts, filter);
            Way {
                sump,
                to_filter: after_lifts,
                after_filter,
                to_lifts: sump,
                after_lifts,
                nitrified,
            }
        } else {
            let (after_filter, nitrified) = self.filtered(running, &sump, filter);
            Way {
                sump,
                to_filter: sump,
                after_filter,
                to_lifts: after_filter,
                after_lifts: lifted(&after_filter),
                nitrified,
            }
        }
    }

    /// What leaves the filter, and the nitrogen that it oxidises.
    fn filtered(&self, running: &Running, entering: &Held, inside: Option<&Held>) -> (Held, f64) {
        let (Some(filter), true) = (&self.filter, running.total > 0.0) else {
            return (*entering, 0.0);
        };
        let q = running.total;
        if let Some(inside) = inside {
            let nitrified = filter.law.nitrified_in(entering[TAN], inside[TAN], q);
            return (*inside, nitrified);
        }
        let nitrified = filter.law.nitrified(entering[TAN], q);
        let given = self.given_by_filter(nitrified);
        (from_fn(|i| entering[i] + given[i] / q), nitrified)
    }

    /// What the filter gives to its water, g/h.
    pub fn given_by_filter(&self, nitrified: f64) -> Held {
        let Some(filter) = &self.filter else {
            return [0.0; SPECIES];
        };
        let mut given = [0.0; SPECIES];
        given[O2] = -(filter.oxygen_per_n * nitrified + self.stock * filter.other_oxygen);
        given[CO2] =
            filter.carbon_dioxide_per_n * nitrified + self.stock * filter.other_carbon_dioxide;
        given[TAN] = -nitrified;
        given
    }

    /// What the animals of a tank give to its water, g/h.
    pub fn given_by_animals(&self, tank: usize, activity: Activity) -> Held {
        let tank = &self.tanks[tank];
        from_fn(|i| {
            self.stock * (activity[0] * tank.by_oxygen[i] + activity[1] * tank.by_ammonia[i])
        })
    }

    /// What enters a tank with its water.
    pub fn entering(
        &self,
        running: &Running,
        way: &Way,
        tank: usize,
        before: impl Fn(usize) -> Held,
    ) -> Held {
        let common = if self.lifts_first {
            &way.after_filter
        } else {
            &way.after_lifts
        };
        if self.series {
            return if tank == 0 { *common } else { before(tank - 1) };
        }
        let (flow, line) = running.own[tank];
        let through = running.through[tank];
        let Some(line) = line else {
            return *common;
        };
        let own = line.apply(&way.to_lifts);
        from_fn(|i| (flow * own[i] + (through - flow) * common[i]) / through)
    }

    /// What comes to each tank, and to the filter's water, g/h: the right side of the balance, for the species from
    /// this one on.
    pub fn rates<const FIRST: usize>(
        &self,
        running: &Running,
        mut activity: impl FnMut(usize) -> Activity,
        x: &[f64],
        out: &mut [f64],
    ) -> Way {
        let held = |n: usize| -> Held {
            let held = &x[SPECIES * n..][..SPECIES];
            from_fn(|i| held[i])
        };
        let tanks = self.tanks.len();
        let filter = (x.len() > SPECIES * tanks).then(|| held(tanks));
        let way = self.way(running, held, filter.as_ref());
        let (of_tanks, of_filter) = out.split_at_mut(SPECIES * tanks);
        for (n, (tank, out)) in (self.tanks.iter())
            .zip(of_tanks.chunks_exact_mut(SPECIES))
            .enumerate()
        {
            let c = held(n);
            let through = running.through[n];
            let entering = self.entering(running, &way, n, held);
            let animals = self.given_by_animals(n, activity(n));
            let (surface, aerators) = (tank.surface.to(&c), tank.aerators.to(&c));
            for i in FIRST..SPECIES {
                out[i] = through * (entering[i] - c[i])
                    + tank.makeup_flow * (tank.makeup[i] - c[i])
                    + surface[i]
                    + aerators[i]
                    + animals[i];
            }
        }
        if let Some(c) = filter {
            let given = self.given_by_filter(way.nitrified);
            for i in FIRST..SPECIES {
                // Water that stands in the filter is left as it is.
                of_filter[i] = if running.total > 0.0 {
                    running.total * (way.to_filter[i] - c[i]) + given[i]
                } else {
                    0.0
                };
            }
        }
        way
    }
}
