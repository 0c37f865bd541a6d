//! What a sweep wrote.

use std::collections::BTreeMap;
use std::path::Path;

use crate::sweep::{Axis, Extreme, Sweep, Written};

facts! {
    /// What a sweep wrote, and what its rows come to.
    pub struct SweepAnswer {
        /// the file of CSV, or the folder of parts
        pub file: String = file.display().to_string(),
        /// rows, one for each combination of values
        pub rows: u64 = sweep.rows(),
        /// number of files that hold them
        pub parts: u64 = written.parts,
        /// how many of these files an earlier run had written
        pub resumed_parts: u64 = written.resumed_parts,
        /// the keys that vary, in the order of their columns
        pub keys: Vec<SweptKeyFacts> = sweep.axes().iter().map(Into::into).collect(),
        /// all columns
        pub columns: Vec<String> = sweep.columns(),
        /// rows by outcome, as the column `outcome` has it
        pub outcomes: Vec<RowCountFacts> = counts(&written.tally.outcomes),
        /// the first row with least water, among the rows in which water flows; `null` where none flows
        pub least: Option<SweptRowFacts> = written.tally.least.map(row),
        /// the first row with most water
        pub most: Option<SweptRowFacts> = written.tally.most.map(row),
        /// rows by code of a caution
        pub cautions: Vec<RowCountFacts> = counts(&written.tally.cautions),
    }

    /// Of a sweep that is done.
    #[must_use]
    pub fn of(sweep: &Sweep, file: &Path, written: &Written) -> Self {
        let row = |found: Extreme| SweptRowFacts {
            row: found.row,
            water_flow_m3_per_s: found.water_flow_m3_per_s,
            values: sweep.case(found.row).into_iter().map(|(key, value)| SweptValueFacts {
                key: key.to_owned(),
                value,
            }).collect(),
        };
    }

    /// A key that varies.
    pub struct SweptKeyFacts from axis: &Axis {
        /// the key
        pub key: String = axis.key().to_owned(),
        /// its column
        pub column: String = axis.column(),
        /// its values, as the file writes them
        pub text: String = axis.text().to_owned(),
        /// how many they are
        pub values: u64 = axis.len() as u64,
    }

    /// How many rows.
    pub struct RowCountFacts {
        /// the outcome, or the code
        pub name: String,
        /// rows that have it
        pub rows: u64,
    }

    /// A row of the file.
    pub struct SweptRowFacts {
        /// its number, from zero
        pub row: u64,
        /// its water flow
        pub water_flow_m3_per_s: f64,
        /// values of the keys in this row
        pub values: Vec<SweptValueFacts>,
    }

    /// The value of a key in a row.
    pub struct SweptValueFacts {
        /// the key
        pub key: String,
        /// its value, in the unit of the file
        pub value: String,
    }
}

/// The largest first.
fn counts(all: &BTreeMap<String, u64>) -> Vec<RowCountFacts> {
    let mut counts: Vec<_> = all
        .iter()
        .map(|(name, rows)| RowCountFacts {
            name: name.clone(),
            rows: *rows,
        })
        .collect();
    counts.sort_by_key(|one| std::cmp::Reverse(one.rows));
    counts
}
