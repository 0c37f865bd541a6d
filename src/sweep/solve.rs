//! Rows to columns in memory.

use rayon::iter::{IntoParallelIterator, ParallelIterator};

use super::columns::{ResultColumn, Value};
use super::rows::{Chunk, Row};
use super::write::{Options, SweepError};
use super::{CHUNK_ROWS, Sweep};
use crate::error::Error;

/// Values of a key, one a row.
#[derive(Debug, Clone, PartialEq)]
pub enum Given {
    /// In SI base units. One that is out of range makes its row one without results.
    Numbers(Vec<f64>),
    /// Names, and of each row which of them it has.
    Names(Vec<String>, Vec<u32>),
}

/// What is asked of each row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Asked<'a> {
    /// What it does at its air flow.
    Flow,
    /// What it does at the air for a water flow, m³/s, one a row; a row without one has no results.
    AirFor(&'a [f64]),
    /// What it does where its water flow is highest.
    Peak,
}

/// What rows come to.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Solved {
    /// Columns by name, those of [`COLUMNS`](super::COLUMNS).
    pub columns: Vec<(&'static str, Cells)>,
    /// Of each error the first row that has it.
    pub refusals: Vec<Refusal>,
}

/// The values of a column, one a row.
#[derive(Debug, Clone, PartialEq)]
pub enum Cells {
    /// Numbers; NaN where there is none.
    Numbers(Vec<f64>),
    /// The names there are, and of each row which of them it has; −1 where it has none.
    Names(Vec<String>, Vec<i32>),
}

/// Why a row has no results.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// Number of the row, from zero.
    pub row: u64,
    /// The error, whose code is the row's outcome.
    pub error: Error,
}

impl Sweep {
    /// Solves every row, and keeps all columns in memory: some 120 bytes a row.
    ///
    /// # Errors
    /// [`SweepError::Interrupted`], [`SweepError::Threads`].
    ///
    /// # Examples
    /// ```
    /// use risewater::design::{DesignFile, EXAMPLE};
    /// use risewater::sweep::{Asked, Cells, Given};
    ///
    /// let bores = Given::Numbers(vec![0.05, 0.08]);
    /// let rows = (2, vec![("riser.bore", bores)]);
    /// let sweep = DesignFile::side_by_side(EXAMPLE, &[], rows, true, "".as_ref())?;
    /// let solved = sweep.solve(Asked::Flow, &Default::default())?;
    /// let (name, Cells::Numbers(water)) = &solved.columns[1] else { unreachable!() };
    /// assert_eq!(*name, "water_flow_m3_per_s");
    /// assert!(water[0] < water[1]);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn solve(&self, asked: Asked, options: &Options) -> Result<Solved, SweepError> {
        let columns: Vec<_> = self.results().collect();
        let solve = |number: u64| {
            let chunk = self.chunk(number, asked, options);
            if options.stopped() {
                return None;
            }
            let cells: Vec<_> = columns.iter().map(|one| one.cells(&chunk)).collect();
            Some((cells, chunk.refusals))
        };
        let chunks = 0..self.rows.div_ceil(CHUNK_ROWS);
        let pool = options.pool()?;
        let found: Option<Vec<_>> = pool.install(|| chunks.into_par_iter().map(solve).collect());
        let found = found.ok_or(SweepError::Interrupted {
            parts: None,
            rows: 0,
        })?;
        let mut whole: Vec<_> = columns.iter().map(|one| one.none()).collect();
        let mut refusals: Vec<Refusal> = Vec::new();
        for (cells, own) in found {
            for (whole, own) in whole.iter_mut().zip(cells) {
                whole.append(own);
            }
            for one in own {
                let code = one.error.code();
                if refusals.iter().all(|known| known.error.code() != code) {
                    refusals.push(one);
                }
            }
        }
        let names = columns.iter().map(|column| column.name);
        Ok(Solved {
            columns: names.zip(whole).collect(),
            refusals,
        })
    }
}

impl ResultColumn {
    /// A column without rows.
    fn none(&self) -> Cells {
        match self.value {
            Value::Number(_) => Cells::Numbers(Vec::new()),
            Value::Name(_) => Cells::Names(Vec::new(), Vec::new()),
        }
    }

    fn cells(&self, chunk: &Chunk) -> Cells {
        match self.value {
            Value::Number(value) => {
                let number = |row: &Row| value(row).unwrap_or(f64::NAN);
                Cells::Numbers(chunk.rows.iter().map(number).collect())
            }
            Value::Name(value) => {
                let (mut names, mut places) = (Vec::new(), Vec::new());
                for row in &chunk.rows {
                    places.push(value(row).map_or(-1, |name| place(&mut names, &name)));
                }
                Cells::Names(names, places)
            }
        }
    }
}

/// Where a name stands among those known, at their end where it is new.
fn place(names: &mut Vec<String>, name: &str) -> i32 {
    let known = names.iter().position(|known| known == name);
    let place = known.unwrap_or_else(|| {
        names.push(name.to_owned());
        names.len() - 1
    });
    // A chunk has far fewer rows.
    i32::try_from(place).unwrap_or(-1)
}

impl Cells {
    /// Puts the rows of another behind its own.
    fn append(&mut self, other: Self) {
        match (self, other) {
            (Self::Numbers(all), Self::Numbers(own)) => all.extend(own),
            (Self::Names(names, all), Self::Names(own_names, own)) => {
                let places: Vec<i32> = own_names.iter().map(|one| place(names, one)).collect();
                let known = |own: i32| usize::try_from(own).ok().and_then(|n| places.get(n));
                all.extend(own.into_iter().map(|own| known(own).copied().unwrap_or(-1)));
            }
            _ => {}
        }
    }
}
