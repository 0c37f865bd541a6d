//! What a table of the catalogue carries beside its sizes.

use crate::references::{Reference, Trust};

/// One table of the catalogue: the sizes of one series of a standard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Series {
    /// The standard, such as "ASTM D1785".
    pub standard: &'static str,
    /// The series as it stands in the names of its pipes, such as "Sch 40"; empty where the
    /// standard has one series only.
    pub name: &'static str,
    /// The series in full, such as "PN10 (S 12.5, SDR 26)".
    pub title: &'static str,
    /// Where the dimensions are from.
    pub reference: Reference,
    /// Whether the pipe is made for pressure; not so for drain, sewer and waste pipe.
    pub pressure_pipe: bool,
    /// What to know before use; may be empty.
    pub note: &'static str,
    pub(super) aliases: &'static [&'static str],
    pub(super) unit: Unit,
    pub(super) tolerance: Tolerance,
    /// How many of the first sizes were read; the others are from memory.
    pub(super) read: usize,
    /// Nominal size, outside diameter and smallest wall.
    pub(super) sizes: &'static [(&'static str, f64, f64)],
}

impl Series {
    /// Standard and series, as taken by [`Pipe::of_standards`](super::Pipe::of_standards).
    ///
    /// ```
    /// assert_eq!(risewater::pipe::Pipe::standards()[0].label(), "ASTM D1785 Sch 40");
    /// ```
    #[must_use]
    pub fn label(&self) -> String {
        format!("{} {}", self.standard, self.name)
            .trim_end()
            .to_owned()
    }

    /// How many pipes of this series are in the catalogue.
    ///
    /// ```
    /// assert_eq!(risewater::pipe::Pipe::standards()[0].count(), 14);
    /// ```
    #[must_use]
    pub fn count(&self) -> usize {
        self.sizes.len()
    }

    /// How the numbers of the size at this index reached us.
    pub(super) fn trust(&self, index: usize) -> Trust {
        if index < self.read {
            Trust::Read
        } else {
            Trust::Memory
        }
    }
}

/// The unit of a table, which also sets how sizes are named.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unit {
    Inch,
    Millimeter,
}

/// The rule for the largest wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tolerance {
    /// 12 % of the smallest wall, rounded to 0.001 in and 0.020 in at least (ASTM D1785, D2241).
    Astm,
    /// 0.1 e + 0.2 mm, raised to the next 0.1 mm ([ISO 11922-1](crate::references::ISO_11922_1)
    /// grade W, from memory).
    Iso11922,
    /// The catalogue has none.
    Unknown,
}

impl Tolerance {
    /// The largest wall for a smallest one, both in the unit of the table.
    pub(super) fn wall_max(self, wall_min: f64) -> Option<f64> {
        match self {
            Self::Astm => Some(wall_min + ((0.12 * wall_min * 1e3).round() / 1e3).max(0.020)),
            // The allowance is a multiple of 0.01 mm: 1e-6 takes off the rounding of floats.
            Self::Iso11922 => Some(wall_min + ((0.1 * wall_min + 0.2) * 10.0 - 1e-6).ceil() / 10.0),
            Self::Unknown => None,
        }
    }
}
