//! What all rows come to.

use std::collections::BTreeMap;

use super::rows::Row;

/// Numbers of rows by outcome and by caution, and where least and most water flows.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tally {
    /// Rows by outcome.
    pub outcomes: BTreeMap<String, u64>,
    /// Rows by code of a caution.
    pub cautions: BTreeMap<String, u64>,
    /// The first row of the least water flow, of those in which water flows.
    pub least: Option<Extreme>,
    /// The first row of the most.
    pub most: Option<Extreme>,
}

/// The water flow of a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extreme {
    /// Number of the row, from zero.
    pub row: u64,
    /// Its water flow, m³/s.
    pub water_flow_m3_per_s: f64,
}

impl Tally {
    /// All rows.
    #[must_use]
    pub fn rows(&self) -> u64 {
        self.outcomes.values().sum()
    }

    pub(super) fn count(&mut self, number: u64, row: &Row) {
        self.add(number, row.outcome, row.water_flow_m3_per_s, &row.cautions);
    }

    /// A row by what a file has of it.
    pub(super) fn add(&mut self, row: u64, outcome: &str, water: Option<f64>, cautions: &str) {
        one_more(&mut self.outcomes, outcome, 1);
        for code in cautions.split(' ').filter(|code| !code.is_empty()) {
            one_more(&mut self.cautions, code, 1);
        }
        if let Some(water_flow_m3_per_s) = water.filter(|water| *water > 0.0) {
            self.reach(Extreme {
                row,
                water_flow_m3_per_s,
            });
        }
    }

    fn reach(&mut self, found: Extreme) {
        let flow = found.water_flow_m3_per_s;
        if self
            .least
            .is_none_or(|least| flow < least.water_flow_m3_per_s)
        {
            self.least = Some(found);
        }
        if self.most.is_none_or(|most| flow > most.water_flow_m3_per_s) {
            self.most = Some(found);
        }
    }

    /// With the rows that come after these.
    pub(super) fn and(&mut self, later: &Self) {
        for (own, other) in [
            (&mut self.outcomes, &later.outcomes),
            (&mut self.cautions, &later.cautions),
        ] {
            for (name, count) in other {
                one_more(own, name, *count);
            }
        }
        for found in [later.least, later.most].into_iter().flatten() {
            self.reach(found);
        }
    }
}

fn one_more(counts: &mut BTreeMap<String, u64>, name: &str, more: u64) {
    if let Some(count) = counts.get_mut(name) {
        *count += more;
    } else {
        counts.insert(name.to_owned(), more);
    }
}
