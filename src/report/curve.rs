//! A performance curve.

use serde_json::{Value, json};

use super::csv::unit_key;
use super::number::{UnitSystem, short};
#[cfg(feature = "chart")]
use super::site_line;
use super::{cautions_json, riser_lines, site_json, spread_json, table};
use crate::caution::Caution;
#[cfg(feature = "chart")]
use crate::chart::{Duty, FlowCurve, FlowPoint, FlowSpread};
use crate::curve::Curve;
use crate::error::Error;
use crate::riser::{OperatingPoint, Outcome, Riser};
use crate::spread::{Evidence, Spread};
use crate::transfer::GasTerms;
#[cfg(feature = "chart")]
use crate::units::VolumeRate;
use crate::units::{Length, cubic_meter_per_second, kilogram_per_second, pascal, ratio, watt};

/// A curve with the spread of each of its points.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct CurveReport {
    /// The curve.
    pub curve: Curve,
    /// How sure each point is, in the order of the curve's points.
    pub spreads: Vec<Spread>,
    /// What to read it with: the cautions of the peak.
    pub cautions: Vec<Caution>,
}

impl CurveReport {
    /// Solves a curve of about so many points.
    ///
    /// # Errors
    /// [`Error::LiftOutOfReach`] when no air flow lifts the water that high.
    pub fn of(riser: &Riser, points: usize, evidence: &Evidence) -> Result<Self, Error> {
        let curve = Curve::of(riser, points)?;
        let spreads = curve
            .points
            .iter()
            .map(|p| Spread::of(riser, p.air, evidence))
            .collect::<Result<_, _>>()?;
        let cautions = riser.cautions(&Outcome::Pumping(curve.peak));
        Ok(Self {
            curve,
            spreads,
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

    /// The JSON shape `risewater.curve/2`.
    #[must_use]
    pub fn json(&self, riser: &Riser) -> Value {
        let points: Vec<Value> = self
            .curve
            .points
            .iter()
            .zip(&self.spreads)
            .map(|(point, spread)| {
                let mut value = point_json(point);
                value["spread"] = spread_json(spread);
                value
            })
            .collect();
        json!({
            "schema": "risewater.curve/2",
            "threshold_air_mass_flow_kg_per_s": self.curve.threshold.dry_mass_rate().get::<kilogram_per_second>(),
            "best_efficiency": self.curve.best_efficiency.as_ref().map(point_json),
            "peak": point_json(&self.curve.peak),
            "points": points,
            "flow_factor": riser.spec().flow_factor.get::<ratio>(),
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
            "air_dry_20c_101325pa_{a},water_{w},spread_low_{w},spread_high_{w},spread_kind,injection_{p}_gauge,efficiency,void_fraction_foot,void_fraction_top\n",
            a = unit_key(air_unit),
            w = unit_key(water_unit),
            p = unit_key(pressure_unit),
        );
        for (point, spread) in self.curve.points.iter().zip(&self.spreads) {
            let gauge = point.injection_pressure.gauge(riser.site().atmosphere);
            text += &format!(
                "{},{},{},{},{},{},{},{},{}\n",
                point.air.volume_rate_at_20_c().value / air,
                point.water_flow.value / water,
                spread.low.value / water,
                spread.high.value / water,
                spread.kind.name(),
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
            "spread",
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
                .zip(&self.spreads)
                .map(|(p, spread)| {
                    [
                        short(p.air.volume_rate_at_20_c().value / air.0),
                        short(p.water_flow.value / water.0),
                        format!(
                            "{} to {}",
                            short(spread.low.value / water.0),
                            short(spread.high.value / water.0)
                        ),
                        format!("{:.1} %", 100.0 * p.efficiency.value),
                        format!("{:.3}", p.foot.void_fraction.value),
                        format!("{:.3}", p.top.void_fraction.value),
                        p.top.pattern.to_string(),
                    ]
                }),
        );
        let kinds: Vec<&str> = self.spreads.iter().map(|s| s.kind.name()).collect();
        let scenario = kinds.iter().filter(|kind| **kind == "scenario").count();
        text += &format!(
            "\nAir is dry, at {}. Spread: {} published_residuals, {scenario} scenario (not a confidence interval).\n",
            units.air_state(),
            kinds.len() - scenario
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
    /// The figure of the curve with its spread, and the duty where there is one, in a system of units.
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
            Some(water) => Some(match riser.air_for(water) {
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
        let scenario = self.spreads.iter().any(|s| s.kind.name() == "scenario");
        let calibration = self.spreads.iter().any(|s| s.kind.name() == "calibration");
        let published = self
            .spreads
            .iter()
            .any(|s| s.kind.name() == "published_residuals");
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
            spread: self
                .curve
                .points
                .iter()
                .zip(&self.spreads)
                .map(|(p, s)| FlowSpread {
                    air_at_20_c: p.air.volume_rate_at_20_c(),
                    low: s.low,
                    high: s.high,
                })
                .collect(),
            spread_label: match (published, scenario) {
                _ if calibration && scenario => "95 % by a calibration, or scenario",
                _ if calibration => "95 % by a calibration",
                (true, true) => "90 % of published residuals, or scenario",
                (true, false) => "90 % of published residuals",
                _ => "scenario band, not a confidence interval",
            }
            .to_owned(),
            threshold_at_20_c: starts.map(|p| p.air_at_20_c),
            best_efficiency: self.curve.best_efficiency.as_ref().map(at),
            peak: Some(at(&self.curve.peak)),
            duty,
            units,
        })
    }
}
