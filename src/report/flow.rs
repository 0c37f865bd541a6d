//! One operating point.

use serde_json::{Value, json};

use super::gas::{gas_json, gas_text};
use super::interval::{interval_json, sentence, words};
use super::number::{UnitSystem, short};
use super::{cautions_json, riser_lines, site_json, table};
use crate::air::AirFlow;
use crate::caution::Caution;
use crate::error::Error;
use crate::riser::{ColumnEnd, Outcome, Riser};
use crate::transfer::{GasTerms, LiftGases};
use crate::uncertainty::{ErrorLaw, Interval};
use crate::units::{
    Length, Ratio, cubic_meter_per_second, kilogram_per_second, meter, meter_per_second, pascal,
    ratio, watt,
};

/// A riser at an air flow: outcome, interval and cautions.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct FlowReport {
    /// Air flow asked for.
    pub air: AirFlow,
    /// What the riser does.
    pub outcome: Outcome,
    /// Lift that this air flow just reaches, while no water flows; none when no column of water stands in
    /// so much air.
    pub lift_at_zero_flow: Option<Length>,
    /// Where the true water flow lies; none at a submergence ratio below 0.4, where the law of error does not hold.
    pub interval: Option<Interval>,
    /// Half of that interval, over the flow, that three readings on the bench would leave; none where none flows.
    pub after_three_readings: Option<Ratio>,
    /// What to read it with.
    pub cautions: Vec<Caution>,
    /// Gases of its water; none where nothing pumps, or before [`FlowReport::with_gas`].
    pub gases: Option<LiftGases>,
}

impl FlowReport {
    /// Solves one operating point.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn of(riser: &Riser, air: AirFlow, law: &ErrorLaw) -> Result<Self, Error> {
        let predictor = law.on(riser)?;
        let found = predictor.predict(air)?;
        let mut cautions = riser.cautions(&found.outcome);
        cautions.extend(predictor.cautions(air)?);
        Ok(Self {
            air,
            outcome: found.outcome,
            lift_at_zero_flow: riser.lift_at_zero_flow(air)?,
            interval: found.interval,
            after_three_readings: predictor.after_three_readings(air)?,
            cautions,
            gases: None,
        })
    }

    /// With what is known of the gases of the water.
    ///
    /// # Errors
    /// As [`GasTerms::of`].
    pub fn with_gas(mut self, riser: &Riser, terms: &GasTerms) -> Result<Self, Error> {
        if let Some(point) = self.outcome.point() {
            let gases = terms.of(riser, point, Length::default())?;
            self.cautions.extend(gases.cautions());
            self.gases = Some(gases);
        }
        Ok(self)
    }

    /// The JSON shape `risewater.flow/3`.
    #[must_use]
    pub fn json(&self, riser: &Riser) -> Value {
        let point = self.outcome.point();
        let end = |which: fn(&crate::riser::OperatingPoint) -> &ColumnEnd| point.map(which);
        let (foot, top) = (end(|p| &p.foot), end(|p| &p.top));
        json!({
            "schema": "risewater.flow/3",
            "pumping": point.is_some(),
            "outcome": self.outcome.name(),
            "water_flow_m3_per_s": self.outcome.water_flow().get::<cubic_meter_per_second>(),
            "air_mass_flow_kg_per_s": self.air.dry_mass_rate().get::<kilogram_per_second>(),
            "threshold_air_mass_flow_kg_per_s": self.outcome.threshold().map(|air| air.dry_mass_rate().get::<kilogram_per_second>()),
            "injection_pressure_pa": point.map(|p| p.injection_pressure.get::<pascal>()),
            "foot_pressure_pa": foot.map(|end| end.pressure.get::<pascal>()),
            "top_pressure_pa": top.map(|end| end.pressure.get::<pascal>()),
            "void_fraction_foot": foot.map(|end| end.void_fraction.get::<ratio>()),
            "void_fraction_top": top.map(|end| end.void_fraction.get::<ratio>()),
            "flow_pattern_foot": foot.map(|end| end.pattern.to_string()),
            "flow_pattern_top": top.map(|end| end.pattern.to_string()),
            "water_velocity_foot_m_per_s": foot.map(|end| end.liquid_velocity.get::<meter_per_second>()),
            "water_velocity_top_m_per_s": top.map(|end| end.liquid_velocity.get::<meter_per_second>()),
            "gas_velocity_foot_m_per_s": foot.map(|end| end.gas_velocity.get::<meter_per_second>()),
            "gas_velocity_top_m_per_s": top.map(|end| end.gas_velocity.get::<meter_per_second>()),
            "lift_at_zero_flow_m": self.lift_at_zero_flow.map(|lift| lift.get::<meter>()),
            "efficiency": point.map(|p| p.efficiency.get::<ratio>()),
            "injection_power_w": point.map(|p| p.injection_power.get::<watt>()),
            "air_to_water": point.map(|p| p.air_to_water.get::<ratio>()),
            "gas": self.gases.as_ref().map(|gases| gas_json(gases, 1)),
            "interval": interval_json(self.interval.as_ref()),
            "after_three_readings": self.after_three_readings.map(|half| half.get::<ratio>()),
            "submergence_m": riser.spec().dimensions.submergence.get::<meter>(),
            "model": riser.model().to_string(),
            "site": site_json(riser.site()),
            "cautions": cautions_json(&self.cautions),
        })
    }

    /// Text for people; cautions are not in it.
    #[must_use]
    pub fn text(&self, riser: &Riser, units: UnitSystem) -> String {
        let mut text = riser_lines(riser, units);
        text += &format!(
            "Air     {} (dry, at {}), {}\n\n",
            units.air(self.air.volume_rate_at_20_c()),
            units.air_state(),
            units.mass_flow(self.air.kg_per_s()),
        );
        let Some(point) = self.outcome.point() else {
            text += "No water flows.\n";
            text += &match self.outcome.threshold() {
                Some(threshold) if threshold < self.air => {
                    format!(
                        "This is so much air that it keeps the water out; pumping starts at {}.\n",
                        units.air(threshold.volume_rate_at_20_c())
                    )
                }
                Some(threshold) => format!(
                    "Pumping starts at {} of air.\n",
                    units.air(threshold.volume_rate_at_20_c())
                ),
                None => "No air flow lifts the water that high from this depth.\n".to_owned(),
            };
            if let Some(interval) = self.interval.filter(|found| found.high.value > 0.0) {
                text += &format!(
                    "It may flow all the same: {}.\n",
                    words(Some(&interval), None, units)
                );
            }
            return text;
        };
        text += &format!(
            "Water   {}\n",
            sentence(
                point.water_flow,
                self.interval.as_ref(),
                self.after_three_readings,
                units
            )
        );
        text += &format!(
            "Efficiency {:.1} %, air power {} at the injection point, {} volumes of air for each of water\nInjection {} gauge running; {}\n\n",
            100.0 * point.efficiency.get::<ratio>(),
            units.power(point.injection_power.get::<watt>()),
            short(point.air_to_water.get::<ratio>()),
            units.pressure(
                point
                    .injection_pressure
                    .gauge(riser.site().atmosphere)
                    .get::<pascal>()
            ),
            match self.lift_at_zero_flow {
                Some(lift) => format!(
                    "at no flow this air holds the water up to {}",
                    units.height(lift)
                ),
                None => "at no flow no column of water stands in so much air".to_owned(),
            },
        );
        let row = |name: &str, end: &ColumnEnd| {
            [
                name.to_owned(),
                units.pressure(end.pressure.get::<pascal>()),
                format!("{:.3}", end.void_fraction.get::<ratio>()),
                units.velocity(end.liquid_velocity),
                units.velocity(end.gas_velocity),
                end.pattern.to_string(),
            ]
        };
        let header = ["column", "pressure abs", "void", "water", "gas", "pattern"];
        text += &table(header, [row("top", &point.top), row("foot", &point.foot)]);
        if let Some(gases) = &self.gases {
            text += &gas_text(gases, riser.site(), 1, units);
        }
        text
    }
}
