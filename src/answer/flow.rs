//! What one riser does at an air flow.

use super::{
    GasFacts, IntervalFacts, PointFacts, RiserFacts, SiteFacts, StationFacts, SubmergenceFacts,
    Terms,
};
use crate::air::AirFlow;
use crate::caution::Caution;
use crate::error::Error;
use crate::model::Model;
use crate::riser::Riser;
use crate::transfer::LiftGases;
use crate::units::Length;

/// Heights of a profile: every third makes a table of twelve.
pub const PROFILE: usize = 34;

facts! {
    /// What one riser does at an air flow.
    pub struct FlowAnswer {
        /// `pumping`, `choked`, `below_threshold` or `blown_dry`
        pub outcome: String = found.outcome.name().to_owned(),
        /// water flow, zero when none
        pub water_flow_m3_per_s: f64 = found.outcome.water_flow().value,
        /// where the true water flow lies; `null` at a submergence ratio below 0.4, unless `model.slip` is `smith_drift`
        pub interval: Option<IntervalFacts> = found.interval.map(Into::into),
        /// half-width of the interval, as a share of the flow, that one reading of this riser on the bench at this air would leave; or `null`
        pub after_one_reading: Option<f64> =
            predictor.after_one_reading(air)?.map(|half| half.value),
        /// half-width of the interval, as a share of the flow, that three readings of this riser on the bench would leave; `null` when nothing flows
        pub after_three_readings: Option<f64> =
            predictor.after_three_readings(air)?.map(|half| half.value),
        /// dry air asked for
        pub air_mass_flow_kg_per_s: f64 = air.kg_per_s(),
        /// air at which pumping starts; given only when nothing flows
        pub threshold_air_mass_flow_kg_per_s: Option<f64> =
            found.outcome.threshold().map(AirFlow::kg_per_s),
        /// the riser at work; `null` when nothing flows
        pub point: Option<PointFacts> = point.map(Into::into),
        /// pressure in the water at the injection point before the riser runs, over the atmosphere's
        pub startup_gauge_pressure_pa: f64 =
            riser.site().startup_pressure(riser.spec().dimensions.submergence).0.value,
        /// where the submergence goes; `null` when nothing flows
        pub budget: Option<SubmergenceFacts> = point.map(|point| (&riser.budget(point)).into()),
        /// heights from the foot to the mouth, where `--profile` asks for them; else `null`
        pub profile: Option<Vec<StationFacts>> = profile,
        /// lift that this air just reaches with no water flowing; `null` when so much air leaves no standing column of water
        pub lift_at_zero_flow_m: Option<f64> = riser.lift_at_zero_flow(air)?.map(|lift| lift.value),
        /// gases of its water; `null` when nothing flows
        pub gas: Option<GasFacts> = gases.map(|gases| GasFacts::of(&gases, riser.site(), 1)),
        /// the riser
        pub riser: RiserFacts = riser.into(),
        /// fall of the water level that the file names, or `null`
        pub level_fall_m: Option<f64> = terms.level_fall.map(|fall| fall.value),
        /// rise of the water level that the file names, or `null`
        pub level_rise_m: Option<f64> = terms.level_rise.map(|rise| rise.value),
        /// water and atmosphere
        pub site: SiteFacts = riser.site().into(),
        /// the closures
        pub model: Model = riser.model(),
        /// cautions that come with it
        pub cautions: Vec<Caution> = cautions,
    }

    /// Solves one operating point.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect; as [`GasTerms::of`](crate::transfer::GasTerms::of).
    ///
    /// # Examples
    /// ```
    /// use risewater::answer::{FlowAnswer, Terms};
    /// use risewater::design::{DesignFile, EXAMPLE};
    ///
    /// let (riser, air) = DesignFile::parse(EXAMPLE)?.riser_and_air()?;
    /// let answer = FlowAnswer::of(&riser, air, &Terms::default())?;
    /// assert_eq!(answer.outcome, "pumping");
    /// assert!(answer.water_flow_m3_per_s > 0.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(riser: &Riser, air: AirFlow, terms: &Terms) -> Result<Self, Error> {
        let predictor = terms.law.on(riser)?;
        let found = predictor.predict(air)?;
        let point = found.outcome.point();
        let gases = point
            .map(|point| terms.gas.of(riser, point, Length::default()))
            .transpose()?;
        let profile = point.filter(|_| terms.profile).map(|point| {
            let stations = riser.profile(point, PROFILE)?;
            Ok::<_, Error>(stations.iter().map(Into::into).collect())
        });
        let profile = profile.transpose()?;
        let mut cautions = riser.cautions(&found.outcome);
        cautions.extend(predictor.cautions(air)?);
        cautions.extend(gases.iter().flat_map(LiftGases::cautions));
        if !terms.states_outlet {
            cautions.extend(predictor.outlet_question(air)?);
        }
    }
}
