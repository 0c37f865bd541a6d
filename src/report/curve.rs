//! A performance curve.

use serde_json::{Value, json};

use super::csv::unit_key;
#[cfg(feature = "chart")]
use super::interval::percents;
use super::interval::{ends, interval_json, odds};
use super::number::{UnitSystem, short};
#[cfg(feature = "chart")]
use super::site_line;
use super::{cautions_json, riser_lines, site_json, table};
use crate::caution::Caution;
#[cfg(feature = "chart")]
use crate::chart::{Duty, FlowBand, FlowCurve, FlowPoint};
use crate::curve::Curve;
use crate::error::Error;
use crate::riser::{OperatingPoint, Outcome, Riser};
use crate::transfer::GasTerms;
#[cfg(feature = "chart")]
use crate::uncertainty::Basis;
#[cfg(feature = "chart")]
use crate::uncertainty::Wanted;
use crate::uncertainty::{ErrorLaw, Interval, Predictor};
#[cfg(feature = "chart")]
use crate::units::VolumeRate;
use crate::units::{Length, cubic_meter_per_second, kilogram_per_second, pascal, ratio, watt};

/// A curve with the interval of each of its points.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct CurveReport {
    /// The curve.
    pub curve: Curve,
    /// Where the true flow of each point lies, in the order of the curve's points; none at a submergence ratio below
    /// 0.4.
    pub intervals: Vec<Option<Interval>>,
    /// What is known of the riser's errors.
    pub predictor: Predictor,
    /// What to read it with: the cautions of the peak.
    pub cautions: Vec<Caution>,
}

impl CurveReport {
    /// Solves a curve of about so many points.
    ///
    /// # Errors
    /// [`Error::LiftOutOfReach`] when no air flow lifts the water that high.
    pub fn of(riser: &Riser, points: usize, law: &ErrorLaw) -> Result<Self, Error> {
        let predictor = law.on(riser)?;
        let mut curve = Curve::below(riser, *predictor.model_peak()?, points)?;
        let mut intervals = Vec::with_capacity(curve.points.len());
        for point in &mut curve.points {
            let found = predictor.of_outcome(Outcome::Pumping(*point), point.air)?;
            intervals.push(found.interval);
            *point = found.outcome.point().copied().unwrap_or(*point);
        }
        if let Some(best) = &mut curve.best_efficiency {
            *best = predictor.best_efficiency(*best)?;
        }
        curve.peak = predictor.peak()?;
        let mut cautions = riser.cautions(&Outcome::Pumping(curve.peak));
        cautions.extend(predictor.cautions(curve.peak.air)?);
        Ok(Self {
            curve,
            intervals,
            predictor,
            cautions,
        })
    }

    /// With what is known of the gases of the water: their cautions at the peak.
    ///
    /// # Errors
    /// As [`GasTerms::of`].
    pub fn with_gas(mut self, riser: &Riser, terms: &GasTerms) -> Result<Self, Error> {
        let gases = terms.of(riser, &self.curve.peak, Length::default())?;
        self.cautions.extend(gases.cautions());
        Ok(self)
    }

    /// The JSON shape `risewater.curve/3`.
    #[must_use]
    pub fn json(&self, riser: &Riser) -> Value {
        let points: Vec<Value> = self
            .curve
            .points
            .iter()
            .zip(&self.intervals)
            .map(|(point, interval)| {
                let mut value = point_json(point);
                value["interval"] = interval_json(interval.as_ref());
                value
            })
            .collect();
        json!({
            "schema": "risewater.curve/3",
            "threshold_air_mass_flow_kg_per_s": self.curve.threshold.dry_mass_rate().get::<kilogram_per_second>(),
            "best_efficiency": self.curve.best_efficiency.as_ref().map(point_json),
            "peak": point_json(&self.curve.peak),
            "points": points,
            "model": riser.model().to_string(),
            "site": site_json(riser.site()),
            "cautions": cautions_json(&self.cautions),
        })
    }

    /// CSV with units in the header.
    #[must_use]
    pub fn csv(&self, riser: &Riser, units: UnitSystem) -> String {
        let ((air, air_unit), (water, water_unit), (pressure, pressure_unit)) =
            (units.air_unit(), units.water_unit(), units.pressure_unit());
        let mut text = format!(
            "air_dry_20c_101325pa_{a},water_{w},interval_low_{w},interval_high_{w},interval_level,interval_basis,injection_{p}_gauge,efficiency,void_fraction_foot,void_fraction_top\n",
            a = unit_key(air_unit),
            w = unit_key(water_unit),
            p = unit_key(pressure_unit),
        );
        let cell = |value: Option<String>| value.unwrap_or_default();
        for (point, found) in self.curve.points.iter().zip(&self.intervals) {
            let gauge = point.injection_pressure.gauge(riser.site().atmosphere);
            text += &format!(
                "{},{},{},{},{},{},{},{},{},{}\n",
                point.air.volume_rate_at_20_c().value / air,
                point.water_flow.value / water,
                cell(found.map(|found| (found.low.value / water).to_string())),
                cell(found.map(|found| (found.high.value / water).to_string())),
                cell(found.map(|found| found.level.get::<ratio>().to_string())),
                cell(found.map(|found| found.basis.to_string())),
                gauge.get::<pascal>() / pressure,
                point.efficiency.value,
                point.foot.void_fraction.value,
                point.top.void_fraction.value,
            );
        }
        text
    }

    /// Text for people; cautions are not in it.
    #[must_use]
    pub fn text(&self, riser: &Riser, units: UnitSystem) -> String {
        let mut text = riser_lines(riser, units);
        text.push('\n');
        text += &match self.curve.threshold.kg_per_s() {
            0.0 => "Water runs without air.\n".to_owned(),
            _ => format!(
                "Threshold        {} of air\n",
                units.air(self.curve.threshold.volume_rate_at_20_c())
            ),
        };
        let line = |name: &str, p: &OperatingPoint| {
            format!(
                "{name} {} of water at {} of air, efficiency {:.1} %\n",
                units.water(p.water_flow),
                units.air(p.air.volume_rate_at_20_c()),
                100.0 * p.efficiency.value
            )
        };
        if let Some(best) = &self.curve.best_efficiency {
            text += &line("Best efficiency ", best);
        }
        text += &line("Peak            ", &self.curve.peak);
        text.push('\n');
        let (air, water) = (units.air_unit(), units.water_unit());
        let header = [
            &format!("air {}", air.1) as &str,
            &format!("water {}", water.1),
            "interval",
            "efficiency",
            "void foot",
            "void top",
            "pattern at top",
        ];
        text += &table(
            header,
            self.curve
                .points
                .iter()
                .zip(&self.intervals)
                .map(|(p, interval)| {
                    [
                        short(p.air.volume_rate_at_20_c().value / air.0),
                        short(p.water_flow.value / water.0),
                        ends(interval.as_ref(), water.0),
                        format!("{:.1} %", 100.0 * p.efficiency.value),
                        format!("{:.3}", p.foot.void_fraction.value),
                        format!("{:.3}", p.top.void_fraction.value),
                        p.top.pattern.to_string(),
                    ]
                }),
        );
        text += &format!(
            "\nAir is dry, at {}. {}\n",
            units.air_state(),
            match self.intervals.iter().flatten().next() {
                Some(found) => format!(
                    "The true flow lies in the interval {} ({}).",
                    odds(found.level),
                    found.basis
                ),
                None => "No interval is known at a submergence ratio below 0.4.".to_owned(),
            }
        );
        text
    }
}

/// One point of a curve.
pub(super) fn point_json(point: &OperatingPoint) -> Value {
    json!({
        "air_mass_flow_kg_per_s": point.air.dry_mass_rate().get::<kilogram_per_second>(),
        "water_flow_m3_per_s": point.water_flow.get::<cubic_meter_per_second>(),
        "injection_pressure_pa": point.injection_pressure.get::<pascal>(),
        "efficiency": point.efficiency.get::<ratio>(),
        "injection_power_w": point.injection_power.get::<watt>(),
        "void_fraction_foot": point.foot.void_fraction.get::<ratio>(),
        "void_fraction_top": point.top.void_fraction.get::<ratio>(),
    })
}

#[cfg(feature = "chart")]
impl CurveReport {
    /// The figure of the curve with its intervals, and the duty where there is one, in a system of units.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn figure(
        &self,
        riser: &Riser,
        duty: Option<VolumeRate>,
        units: UnitSystem,
    ) -> Result<FlowCurve, Error> {
        let at = |p: &OperatingPoint| FlowPoint {
            air_at_20_c: p.air.volume_rate_at_20_c(),
            water: p.water_flow,
        };
        let threshold = self.curve.threshold.volume_rate_at_20_c();
        let start = FlowPoint {
            air_at_20_c: threshold,
            water: VolumeRate::default(),
        };
        let starts = (self.curve.threshold.kg_per_s() > 0.0).then_some(start);
        let duty = match duty {
            None => None,
            Some(water) => Some(match self.predictor.air_for(water, Wanted::Predicted) {
                Ok(point) => Duty {
                    water,
                    operating_point: Some(at(&point)),
                },
                Err(
                    Error::AbovePeak { .. }
                    | Error::RunsWithoutAir { .. }
                    | Error::OutOfRange { .. },
                ) => Duty {
                    water,
                    operating_point: None,
                },
                Err(error) => return Err(error),
            }),
        };
        let spec = riser.spec();
        Ok(FlowCurve {
            title: format!("Airlift of {} bore", units.bore(spec.free_bore())),
            notes: vec![
                format!(
                    "submergence {}, lift {}, outlet {}",
                    units.height(spec.dimensions.submergence),
                    units.height(spec.dimensions.lift),
                    spec.outlet
                ),
                site_line(riser.site(), units),
                riser.model().worded(units),
            ],
            curve: starts
                .into_iter()
                .chain(self.curve.points.iter().map(at))
                .collect(),
            band: self
                .curve
                .points
                .iter()
                .zip(&self.intervals)
                .filter_map(|(p, found)| {
                    let found = found.as_ref()?;
                    Some(FlowBand {
                        air_at_20_c: p.air.volume_rate_at_20_c(),
                        low: found.low,
                        high: found.high,
                    })
                })
                .collect(),
            band_label: self
                .intervals
                .iter()
                .flatten()
                .next()
                .map_or_else(String::new, |found| {
                    let percents = percents(found.level);
                    match found.basis {
                        Basis::PublishedRigs => format!("{percents} % interval, by published rigs"),
                        Basis::BenchTrial => format!("{percents} % interval, after a bench trial"),
                    }
                }),
            threshold_at_20_c: starts.map(|p| p.air_at_20_c),
            best_efficiency: self.curve.best_efficiency.as_ref().map(at),
            peak: Some(at(&self.curve.peak)),
            duty,
            units,
        })
    }
}
