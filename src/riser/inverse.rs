//! The inverse questions: air for a wanted flow, submergence for a wanted flow, lift at zero flow.

use super::column::AT_REST;
use super::ends::Foot;
use super::search::Onset;
use super::spec::SUBMERGENCE;
use super::{OperatingPoint, Outcome, Riser};
use crate::air::AirFlow;
use crate::error::{Error, Input, Solve, range};
use crate::units::{Length, VolumeRate, base, liter_per_minute, meter};

range!(WATER_FLOW, 1e-6 to 1e8 "L/min", "Water flows that can be asked for.");

impl Riser {
    /// The smallest air flow at which water flows; none when no air flow lifts it that high. Zero
    /// when water runs without air.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn threshold(&self) -> Result<Option<AirFlow>, Error> {
        Ok(match self.column.onset(AT_REST, Solve::Threshold, None)? {
            Onset::WithoutAir => Some(self.air(0.0)),
            Onset::At(flux) => Some(self.air(flux)),
            Onset::Never { .. } => None,
        })
    }

    /// The operating point of the largest water flow.
    ///
    /// # Errors
    /// [`Error::LiftOutOfReach`] when no air flow lifts the water that high.
    pub fn peak(&self) -> Result<OperatingPoint, Error> {
        let flux = match self.column.peak()? {
            Onset::WithoutAir => 0.0,
            Onset::At(flux) => flux,
            Onset::Never { nearest } => return Err(self.out_of_reach(nearest)?),
        };
        match self.operate(self.air(flux))? {
            Outcome::Pumping(point) | Outcome::Choked(point) => Ok(point),
            Outcome::BelowThreshold { .. } | Outcome::BlownDry { .. } => {
                Err(self.out_of_reach(flux)?)
            }
        }
    }

    /// The operating point of the best efficiency; none when nothing is lifted (a useful lift of
    /// zero or below has no useful power).
    ///
    /// # Errors
    /// [`Error::LiftOutOfReach`] when no air flow lifts the water that high.
    pub fn best_efficiency(&self) -> Result<Option<OperatingPoint>, Error> {
        if self.useful_lift() <= base(0.0) {
            return Ok(None);
        }
        self.best_above(self.air(self.start()?))
    }

    /// The same of a riser whose threshold is known.
    pub(crate) fn best_above(&self, threshold: AirFlow) -> Result<Option<OperatingPoint>, Error> {
        let start = self.column.air_flux(threshold.kg_per_s());
        if start <= 0.0 || self.useful_lift() <= base(0.0) {
            return Ok(None);
        }
        let best = self.column.best(start, |flux, j_l, carried| {
            let work = (carried.p0 / self.column.p_a).ln();
            if work > 0.0 { j_l / (flux * work) } else { 0.0 }
        })?;
        match best {
            Some(flux) => Ok(self.operate(self.air(flux))?.point().copied()),
            None => Ok(None),
        }
    }

    /// The operating point that gives a wanted water flow, on the efficient branch (left of the
    /// peak): the air flow for a water flow is not unique, and this is the smaller one. Where the flow
    /// jumps past the wanted one, the first point behind the jump.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] when the flow is outside [`WATER_FLOW`], [`Error::AbovePeak`] with the
    /// peak when it is above it, [`Error::LiftOutOfReach`] when nothing flows at any air flow,
    /// [`Error::RunsWithoutAir`] when more than that flows without air.
    pub fn air_for(&self, water_flow: VolumeRate) -> Result<OperatingPoint, Error> {
        self.air_for_near(water_flow, None)
    }

    /// The same of a flow below the peak's whose air is about known.
    pub(crate) fn air_for_near(
        &self,
        water_flow: VolumeRate,
        guess: Option<AirFlow>,
    ) -> Result<OperatingPoint, Error> {
        WATER_FLOW.check(Input::WaterFlow, water_flow.get::<liter_per_minute>())?;
        let j_l = water_flow.value / self.column.area_m2;
        let guess = guess.map(|air| self.column.air_flux(air.kg_per_s()));
        match self.column.onset(j_l, Solve::AirFlow, guess)? {
            Onset::At(flux) => {
                let carried = self.column.carried(j_l, flux, &mut Foot::default())?;
                match &carried.ends {
                    // The curve jumps past the flow.
                    Some(_) if carried.excess_pa() > 2.0 * self.column.residual_pa() => {
                        match self.operate(self.air(flux))?.point() {
                            Some(behind) => Ok(*behind),
                            None => Err(self.above_peak(water_flow)?),
                        }
                    }
                    Some(ends) => Ok(self.point(j_l, self.air(flux), &carried, ends)),
                    None => Err(self.above_peak(water_flow)?),
                }
            }
            Onset::WithoutAir => Err(Error::RunsWithoutAir {
                target: water_flow,
                free_flow: self.operate(self.air(0.0))?.water_flow(),
            }),
            Onset::Never { .. } => Err(self.above_peak(water_flow)?),
        }
    }

    /// The smallest submergence, with this riser's lift, at which an air flow gives a wanted water
    /// flow.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] when the flow is outside [`WATER_FLOW`],
    /// [`Error::SubmergenceOutOfReach`] when no submergence up to the given one does.
    pub fn submergence_for(
        &self,
        water_flow: VolumeRate,
        air: AirFlow,
        deepest: Length,
    ) -> Result<Length, Error> {
        WATER_FLOW.check(Input::WaterFlow, water_flow.get::<liter_per_minute>())?;
        let deepest_m = SUBMERGENCE.check(Input::MaxSubmergence, deepest.get::<meter>())?;
        let (j_l, flux) = (
            water_flow.value / self.column.area_m2,
            self.column.air_flux(air.kg_per_s()),
        );
        // Below the outlet's own depth there is no riser.
        let shallowest_m = SUBMERGENCE.min.max(-self.column.lift_m + SUBMERGENCE.min);
        match self
            .column
            .submergence(j_l, flux, shallowest_m, deepest_m)?
        {
            Some(submergence_m) => Ok(Length::new::<meter>(submergence_m)),
            None => Err(Error::SubmergenceOutOfReach {
                target: water_flow,
                shallowest: Length::new::<meter>(shallowest_m),
                deepest,
            }),
        }
    }

    /// The lift at which an air flow just stops lifting: the level that the column reaches while no
    /// water flows. None when so much air leaves no column that stands: with no water flow the closure's
    /// void fraction at the mouth is 1/1.2 or more, which gas in water at rest does not reach
    /// ([Nicklin et al. 1962](crate::references::NICKLIN_1962): slugs rise at 1.2 j_g and more).
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn lift_at_zero_flow(&self, air: AirFlow) -> Result<Option<Length>, Error> {
        let flux = self.column.air_flux(air.kg_per_s());
        if !self.column.stands_still(flux) {
            return Ok(None);
        }
        Ok(Some(Length::new::<meter>(self.column.still_lift(flux)?)))
    }

    /// The air flux at which water starts to flow; zero when it flows without air.
    fn start(&self) -> Result<f64, Error> {
        match self.column.onset(AT_REST, Solve::Threshold, None)? {
            Onset::WithoutAir => Ok(0.0),
            Onset::At(flux) => Ok(flux),
            Onset::Never { nearest } => Err(self.out_of_reach(nearest)?),
        }
    }

    fn air(&self, flux: f64) -> AirFlow {
        AirFlow::from_kg_per_s(flux * self.column.area_m2)
    }

    fn above_peak(&self, target: VolumeRate) -> Result<Error, Error> {
        let peak = self.peak()?;
        Ok(Error::AbovePeak {
            target,
            peak_flow: peak.water_flow,
            peak_air: peak.air.volume_rate_at_20_c(),
        })
    }

    fn out_of_reach(&self, flux: f64) -> Result<Error, Error> {
        let reached = Length::new::<meter>(self.column.still_lift(flux)?);
        Ok(Error::LiftOutOfReach {
            lift: self.spec.dimensions.lift,
            reached,
        })
    }
}
