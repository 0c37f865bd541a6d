//! The header: how the air of one feed splits among its branches.

use super::branch::{Branch, WaterPressure};
use super::line::AirLine;
use super::net::Net;
use crate::air::AirFlow;
use crate::error::{Error, range};
use crate::units::{AbsolutePressure, Length, Pressure, Ratio, Velocity, base};

range!(BRANCHES, 1 to 10_000 "branches", "Numbers of branches on a header.");

/// A pipe that feeds branches.
///
/// ```
/// use risewater::air::AirFlow;
/// use risewater::supply::{AirLine, Branch, Header};
/// use risewater::units::*;
///
/// let m = Length::new::<meter>;
/// let pipe = AirLine::new(Length::new::<millimeter>(52.5), m(0.0));
/// let drop = AirLine::new(Length::new::<millimeter>(16.0), m(2.5));
/// let header = Header::new(
///     pipe,
///     vec![Branch::new("near", m(2.0), drop), Branch::new("far", m(12.0), drop)],
/// );
/// // Both stand in the same depth of water.
/// let water = [AbsolutePressure::new::<kilopascal>(113.0); 2];
/// let split = header.split_at(AbsolutePressure::new::<kilopascal>(114.0), &water)?;
/// assert!(split.branches[0].air > split.branches[1].air);
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Header {
    /// Pipe between the tees: bore, roughness, temperature; its length is not read.
    pub pipe: AirLine,
    /// Loss coefficient of each tee's run, on the header's velocity head.
    pub tee_run_loss: Ratio,
    /// Where the air comes in, measured as the branches' distances are.
    pub feed: Length,
    /// The branches, in any order.
    pub branches: Vec<Branch>,
}

/// The air of one branch.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct BranchFlow {
    /// Air flow.
    pub air: AirFlow,
    /// Pressure in the header at its tee.
    pub header_pressure: AbsolutePressure,
    /// Pressure in the water at the injector.
    pub water_pressure: AbsolutePressure,
    /// What the fixed orifice costs; zero without one.
    pub orifice_loss: Pressure,
    /// What line and valve cost.
    pub line_loss: Pressure,
    /// What the check valve costs.
    pub check_valve_loss: Pressure,
    /// What the injector costs.
    pub injector_loss: Pressure,
    /// Velocity at the end of the line.
    pub velocity: Velocity,
    /// Whether line or orifice are choked.
    pub choked: bool,
}

/// How a feed splits.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Split {
    /// Pressure in the header where the air comes in.
    pub pressure: AbsolutePressure,
    /// Air of all branches together.
    pub air: AirFlow,
    /// The branches, in the header's order.
    pub branches: Vec<BranchFlow>,
    /// Largest velocity in the header, next to its feed.
    pub velocity: Velocity,
}

impl Header {
    /// A header fed at its first end, whose tees cost nothing in the run.
    #[must_use]
    pub fn new(pipe: AirLine, branches: Vec<Branch>) -> Self {
        Self {
            pipe,
            tee_run_loss: base(0.0),
            feed: base(0.0),
            branches,
        }
    }

    /// With the loss coefficient of each tee's run.
    #[must_use]
    pub fn with_tee_run_loss(self, tee_run_loss: Ratio) -> Self {
        Self {
            tee_run_loss,
            ..self
        }
    }

    /// Fed elsewhere than at its first end.
    #[must_use]
    pub fn with_feed(self, feed: Length) -> Self {
        Self { feed, ..self }
    }

    /// Places of the open branch nearest to where the air comes in, and of the one farthest from it; one where they are
    /// the same.
    #[must_use]
    pub fn ends(&self) -> Vec<usize> {
        let distance = |n: &usize| (self.branches[*n].distance - self.feed).abs().value;
        let open = || (0..self.branches.len()).filter(|n| self.branches[*n].open);
        let nearest = open().min_by(|a, b| distance(a).total_cmp(&distance(b)));
        let farthest = open().max_by(|a, b| distance(a).total_cmp(&distance(b)));
        let mut ends: Vec<usize> = nearest.into_iter().chain(farthest).collect();
        ends.dedup();
        ends
    }

    /// The split at a fixed pressure where the air comes in, against the pressures of the water at the
    /// injectors.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for anything outside its range, [`Error::HoleTooWide`],
    /// [`Error::NotConverged`], a defect.
    ///
    /// # Examples
    /// See [`Header`].
    pub fn split_at(
        &self,
        pressure: AbsolutePressure,
        water: &[AbsolutePressure],
    ) -> Result<Split, Error> {
        let pressure_pa = super::pressure_pa(pressure)?;
        let net = Net::of(self, &fixed(water)?)?;
        Ok(net.split(&net.at_pressure(pressure_pa)?, pressure_pa))
    }
}

/// Pressures of the water that do not hang on the air.
pub(super) fn fixed(water: &[AbsolutePressure]) -> Result<Vec<WaterPressure>, Error> {
    let one = |p: &AbsolutePressure| Ok(WaterPressure::fixed(super::pressure_pa(*p)?));
    water.iter().map(one).collect()
}
