//! Many cases of one riser, solved by several threads: every combination of values of its keys, to a file of CSV or a folder of
//! Parquet; or rows side by side, of which each has its own values, to columns in memory ([`Sweep::solve`]).
//!
//! Rows are numbered: the keys of the air turn fastest, the others in the order that they are named in, the last of them
//! fastest. A row depends on its number alone, so that a file is the same byte by byte whatever the number of threads.
//! [`CHUNK_ROWS`] rows are solved at once and [`PART_ROWS`] written at once; no more than two parts are in memory.
//!
//! ```
//! use risewater::design::{DesignFile, EXAMPLE};
//! use risewater::sweep::Format;
//!
//! let vary = [("riser.submergence", "0.8 m..1.2 m/0.2 m"), ("air.flow", "60 L/min, 120 L/min")];
//! let sweep = DesignFile::sweep(EXAMPLE, &[], &vary, "".as_ref())?;
//! assert_eq!(sweep.rows(), 6);
//! let file = std::env::temp_dir().join(format!("risewater-doc-{}.csv", std::process::id()));
//! let found = sweep.write(&file, Format::Csv, &Default::default())?;
//! assert_eq!(found.tally.rows(), 6);
//! let text = std::fs::read_to_string(&file)?;
//! assert!(text.starts_with("riser_submergence_m,air_flow_m3_per_s,outcome,water_flow_m3_per_s,"));
//! assert_eq!(text.lines().count(), 7);
//! # std::fs::remove_file(&file)?;
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod axis;
mod columns;
mod csv;
mod key_values;
mod parquet;
mod rows;
mod solve;
mod tally;
mod write;

pub use axis::Axis;
pub(crate) use axis::{Labels, Values, shown, written};
pub use columns::{COLUMNS, ResultColumn};
pub(crate) use key_values::KeyValues;
pub use solve::{Asked, Cells, Given, Refusal, Solved};
pub use tally::{Extreme, Tally};
pub use write::{Format, Options, SweepError, Written};

use crate::keys::{Row, SECTIONS};
use crate::transfer::GasTerms;
use crate::uncertainty::ErrorLaw;

/// Rows that a thread solves at once; an operating point sets out from those before it in its chunk alone.
pub const CHUNK_ROWS: u64 = 1024;
/// Rows that are written at once, and those of a part of Parquet.
pub const PART_ROWS: u64 = 64 * CHUNK_ROWS;
/// Most values of one key.
pub const MOST_VALUES: usize = 1_000_000;
/// Sections whose keys can vary: what describes the operation of one riser. Those of the last turn fastest.
pub(crate) const VARIED: [&str; 5] = ["water", "site", "riser", "model", "air"];

/// Every combination of values of keys, or rows side by side.
#[derive(Debug, Clone)]
pub struct Sweep {
    pub(crate) base: KeyValues,
    axes: Vec<Axis>,
    rows: u64,
    /// Whether each row has its own value of every key that varies.
    side_by_side: bool,
    pub(crate) gas: GasTerms,
    pub(crate) law: ErrorLaw,
    pub(crate) intervals: bool,
}

impl Sweep {
    /// With the values of all other keys, and those of the keys that vary; none where there are more rows than can be counted.
    pub(crate) fn new(base: KeyValues, mut axes: Vec<Axis>, gas: GasTerms) -> Option<Self> {
        axes.sort_by_key(Axis::is_of_air);
        let mut lengths = axes.iter().map(|axis| axis.len() as u64);
        let rows = lengths.try_fold(1_u64, u64::checked_mul)?;
        Some(Self {
            base,
            axes,
            rows,
            side_by_side: false,
            // What a coefficient of transfer tells is no column.
            gas: GasTerms {
                coefficient: None,
                ..gas
            },
            law: ErrorLaw::default(),
            intervals: false,
        })
    }

    /// So many rows side by side; each key has as many values.
    pub(crate) fn side_by_side(
        base: KeyValues,
        axes: Vec<Axis>,
        rows: u64,
        gas: GasTerms,
    ) -> Option<Self> {
        let whole = axes.iter().all(|axis| axis.len() as u64 == rows);
        let sweep = whole.then(|| Self::new(base, Vec::new(), gas)).flatten()?;
        Some(Self {
            axes,
            rows,
            side_by_side: true,
            ..sweep
        })
    }

    /// With a bench trial, or another level of intervals.
    #[must_use]
    pub fn with_law(mut self, law: ErrorLaw) -> Self {
        self.law = law;
        self
    }

    /// With intervals, and the cautions that belong to them: far slower.
    #[must_use]
    pub fn with_intervals(mut self, intervals: bool) -> Self {
        self.intervals = intervals;
        self
    }

    /// Whether there is more than one air flow for a riser.
    fn air_varies(&self) -> bool {
        self.axes.iter().any(Axis::is_of_air)
    }

    /// Number of combinations.
    #[must_use]
    pub fn rows(&self) -> u64 {
        self.rows
    }

    /// The keys that vary, in the order of their columns.
    #[must_use]
    pub fn axes(&self) -> &[Axis] {
        &self.axes
    }

    /// The names of all columns.
    #[must_use]
    pub fn columns(&self) -> Vec<String> {
        let own = self.axes.iter().map(Axis::column);
        let results = self.results().map(|column| column.name.to_owned());
        own.chain(results).collect()
    }

    /// The columns of results that it has.
    pub(crate) fn results(&self) -> impl Iterator<Item = &'static ResultColumn> + use<> {
        let intervals = self.intervals;
        COLUMNS
            .iter()
            .filter(move |column| intervals || !column.of_interval)
    }

    /// Which value each key has in a row.
    pub(crate) fn digits(&self, row: u64) -> Vec<usize> {
        if self.side_by_side {
            return vec![usize::try_from(row).unwrap_or_default(); self.axes.len()];
        }
        let mut rest = row;
        let mut digits: Vec<usize> = self
            .axes
            .iter()
            .rev()
            .map(|axis| axis.digit(&mut rest))
            .collect();
        digits.reverse();
        digits
    }

    /// What the keys are in a row, as the question words them.
    #[must_use]
    pub fn case(&self, row: u64) -> Vec<(&'static str, String)> {
        let digits = self.digits(row);
        let all = self.axes.iter().zip(digits);
        all.map(|(axis, digit)| (axis.key(), axis.said(digit)))
            .collect()
    }

    /// A number that another sweep does not have: of all values, the options, the columns and the version of the library (FNV-1a,
    /// 64 bits; Fowler, Noll and Vo, RFC 9923, from memory).
    pub(crate) fn fingerprint(&self) -> String {
        use std::fmt::Write as _;
        struct Fnv(u64);
        impl std::fmt::Write for Fnv {
            fn write_str(&mut self, text: &str) -> std::fmt::Result {
                for byte in text.bytes() {
                    self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
                }
                Ok(())
            }
        }
        let mut hash = Fnv(0xcbf2_9ce4_8422_2325);
        let version = env!("CARGO_PKG_VERSION");
        let columns = self.columns();
        // A hash takes whatever it is given.
        let _ = write!(
            hash,
            "{version} {columns:?} {PART_ROWS} {CHUNK_ROWS} {self:?}"
        );
        format!("{:016x}", hash.0)
    }
}

/// The rows of the keys that can vary.
pub(crate) fn varied_rows() -> impl Iterator<Item = &'static Row> {
    const ALL: &[crate::keys::Section] = &SECTIONS;
    let known = ALL.iter().filter(|section| VARIED.contains(&section.name));
    known.flat_map(|section| section.keys)
}
