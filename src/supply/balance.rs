//! Fixed orifices that give every branch its design air.

use super::header::{Header, fixed};
use super::net::Net;
use super::orifice::Orifice;
use crate::air::{AIR_PRESSURE, AirFlow};
use crate::error::{Error, Input, Solve, range};
use crate::solve::{Bracket, Tolerance, bracketed};
use crate::units::{AbsolutePressure, Length, Pressure, base, kilopascal};

range!(ORIFICE_LOSS, 0.001 to 1000 "kPa", "Smallest losses that an orifice can be asked for.");

/// First step upward in search of a header's pressure.
const FIRST_RISE_PA: f64 = 100.0;
/// Where that search ends: the highest pressure of an air line.
const HIGHEST_PA: f64 = 1e3 * AIR_PRESSURE.max;

/// A header whose branches have the orifices that balance it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Balanced {
    /// The header with its orifices.
    pub header: Header,
    /// Pressure that it needs where the air comes in.
    pub pressure: AbsolutePressure,
}

impl Balanced {
    /// Diameters of the orifices, in the header's order; none for a closed branch.
    #[must_use]
    pub fn diameters(&self) -> Vec<Option<Length>> {
        let branches = self.header.branches.iter();
        branches
            .map(|branch| {
                branch
                    .orifice
                    .filter(|_| branch.open)
                    .map(|hole| hole.diameter)
            })
            .collect()
    }
}

impl Header {
    /// The lowest pressure where the air comes in that gives every open branch at least its design air,
    /// with the valves and orifices that it has.
    ///
    /// The branch that needs it most takes just its design; the others take more, and the header carries that.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside a range of the header or its branches; [`Error::LineTooNarrow`] when the header
    /// cannot carry what all of them take, at any pressure that lines are computed for.
    pub fn pressure_for(
        &self,
        design: &[AirFlow],
        water: &[AbsolutePressure],
    ) -> Result<AbsolutePressure, Error> {
        let net = Net::of(self, &fixed(water)?)?;
        let flows = self.flows(design)?;
        let needs: Vec<f64> = (0..flows.len())
            .map(|n| net.header_pa(n, flows[n]).unwrap_or(0.0))
            .collect();
        // Enough if every branch took its design and no more: the pressure lies there or above.
        let low = net.tees(&flows, &needs).0;
        let mut failure = None;
        let mut excess = |pressure: f64| match net.at_pressure(pressure) {
            Ok(found) => least_share(&found, &flows) - 1.0,
            Err(error) => {
                failure = Some(error);
                f64::NAN
            }
        };
        let (mut high, mut f_high) = (low, excess(low));
        let f_low = f_high;
        let mut rise = FIRST_RISE_PA;
        while f_high < 0.0 && high < HIGHEST_PA {
            high = low + rise;
            f_high = excess(high);
            rise *= 2.0;
        }
        if f_low >= 0.0 {
            return Ok(AbsolutePressure(base(low)));
        }
        if f_high < 0.0 {
            let length = self.branches.iter().map(|one| one.distance - self.feed);
            let all: f64 = flows.iter().sum();
            return Err(Error::LineTooNarrow {
                bore: self.pipe.bore,
                length: length.map(Length::abs).fold(base(0.0), Length::max),
                air: AirFlow::from_kg_per_s(all).volume_rate_at_20_c(),
                inlet: AbsolutePressure(base(high)),
            });
        }
        let bracket = Bracket {
            low,
            f_low,
            high,
            f_high,
        };
        let tolerance = Tolerance {
            relative: 1e-13,
            absolute: 0.0,
            residual: 1e-9,
            rounding: 1e-13,
        };
        let found = bracketed(Solve::HeaderPressure, bracket, tolerance, excess);
        match failure {
            Some(error) => Err(error),
            None => Ok(AbsolutePressure(base(found?))),
        }
    }

    /// Design flows of the branches, none for a closed one.
    fn flows(&self, design: &[AirFlow]) -> Result<Vec<f64>, Error> {
        let flow = |(n, branch): (usize, &super::Branch)| {
            let air = design.get(n).ok_or(Error::NoReading {
                what: Input::AirFlow,
            })?;
            Ok(if branch.open { air.kg_per_s() } else { 0.0 })
        };
        self.branches.iter().enumerate().map(flow).collect()
    }

    /// Sizes the orifice of every open branch so that each takes its design air, at the lowest pressure
    /// that leaves every orifice a wanted loss. That loss should be several times what the water levels
    /// differ by, or a small change of level moves the air to another lift.
    ///
    /// `hole` gives discharge coefficient and number of holes; its diameter is not read. Orifices that the
    /// branches have are replaced.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`ORIFICE_LOSS`] or a range of the header, its branches or the
    /// orifice; [`Error::HoleTooWide`] when a line is too narrow for its orifice.
    ///
    /// # Examples
    /// ```
    /// use risewater::air::AirFlow;
    /// use risewater::supply::{AirLine, Branch, Header, Orifice};
    /// use risewater::units::*;
    ///
    /// let m = Length::new::<meter>;
    /// let drop = AirLine::new(Length::new::<millimeter>(16.0), m(2.5));
    /// let branches = vec![Branch::new("near", m(2.0), drop), Branch::new("far", m(40.0), drop)];
    /// let header = Header::new(AirLine::new(Length::new::<millimeter>(35.0), m(0.0)), branches);
    /// let air = AirFlow::from_dry_mass(MassRate::new::<kilogram_per_hour>(10.0))?;
    /// let water = [AbsolutePressure::new::<kilopascal>(113.0); 2];
    /// let hole = Orifice::new(Length::new::<millimeter>(1.0));
    /// let balanced =
    ///     header.balanced(&[air, air], &water, hole, Pressure::new::<kilopascal>(2.0))?;
    /// let split = balanced.header.split_at(balanced.pressure, &water)?;
    /// for branch in &split.branches {
    ///     let off = branch.air.dry_mass_rate() / air.dry_mass_rate();
    ///     assert!((off.get::<ratio>() - 1.0).abs() < 1e-9);
    /// }
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn balanced(
        &self,
        design: &[AirFlow],
        water: &[AbsolutePressure],
        hole: Orifice,
        least_loss: Pressure,
    ) -> Result<Balanced, Error> {
        ORIFICE_LOSS.check(Input::OrificeLoss, least_loss.get::<kilopascal>())?;
        let mut header = self.clone();
        for branch in &mut header.branches {
            branch.orifice = None;
        }
        let net = Net::of(&header, &fixed(water)?)?;
        let open = |n: usize| header.branches[n].open;
        let flows = header.flows(design)?;
        let rest: Vec<f64> = (0..flows.len()).map(|n| net.need_pa(n, flows[n])).collect();
        let needs: Vec<f64> = (0..flows.len())
            .map(|n| {
                if open(n) {
                    rest[n] + least_loss.value
                } else {
                    0.0
                }
            })
            .collect();
        let (feed_pa, tees) = net.tees(&flows, &needs);
        let mut sized = header.clone();
        for (n, branch) in sized.branches.iter_mut().enumerate() {
            if branch.open {
                let pressures = [tees[n], rest[n]].map(|pa| AbsolutePressure(base(pa)));
                let temperature = branch.line.temperature;
                let orifice =
                    hole.sized_in_line(branch.line.bore, design[n], pressures.into(), temperature)?;
                let Some(orifice) = orifice else {
                    return Err(Error::HoleTooWide {
                        branch: branch.name.clone(),
                        diameter: branch.line.bore,
                        bore: branch.line.bore,
                    });
                };
                branch.orifice = Some(orifice);
            }
        }
        Ok(Balanced {
            header: sized,
            pressure: AbsolutePressure(base(feed_pa)),
        })
    }
}

/// The smallest share that a branch has of its design, of those that are to have any; one when none is.
fn least_share(flows: &[f64], design: &[f64]) -> f64 {
    let pairs = flows
        .iter()
        .zip(design)
        .filter(|(_, design)| **design > 0.0);
    pairs
        .map(|(flow, design)| flow / design)
        .reduce(f64::min)
        .unwrap_or(1.0)
}
