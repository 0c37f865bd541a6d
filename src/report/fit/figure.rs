//! The picture of a fit.

use super::FitReport;
use crate::air::AirFlow;
use crate::chart::{FlowBand, FlowPoint, TrialFigure};
use crate::error::Error;
use crate::report::number::UnitSystem;
use crate::uncertainty::{ErrorLaw, Interval, Predictor};
use crate::units::{VolumeRate, percent};

/// How far the curves go beyond the largest measured air flow: as far as a trial helps.
const BEYOND: f64 = 2.0;
/// Share of the largest flow below which no band is drawn: where pumping starts its logarithm says nothing.
const LEAST: f64 = 0.02;
/// Points of a curve.
const POINTS: usize = 60;

impl FitReport {
    /// Measured points on the predicted and the calibrated curve, each with its interval, at the depth and lift of
    /// [`FitReport::middle`]. Runs at others are counted in a note.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn figure(&self, units: UnitSystem) -> Result<TrialFigure, Error> {
        let at = &self.runs[self.middle].point;
        let drawn: Vec<_> = self
            .runs
            .iter()
            .filter(|run| run.point.submergence == at.submergence && run.point.lift == at.lift)
            .collect();
        let largest = drawn
            .iter()
            .map(|run| run.point.air.kg_per_s())
            .fold(0.0, f64::max);
        let riser = self.known.riser();
        let first = riser.threshold()?.map_or(0.0, AirFlow::kg_per_s);
        let last = (BEYOND * largest).max(first);
        let plain = ErrorLaw::default()
            .with_level(self.law.level())?
            .on(riser)?;
        let curve = |of: &Predictor| -> Result<(Vec<FlowPoint>, Vec<FlowBand>), Error> {
            let (mut points, mut bands) = (Vec::new(), Vec::new());
            for n in 0..POINTS {
                // Closer where the curve is steep.
                let share = (n as f64 / (POINTS - 1) as f64).powi(2);
                let air = AirFlow::from_kg_per_s(first + share * (last - first));
                let found = of.predict(air)?;
                points.push(point(air, found.outcome.water_flow()));
                bands.extend(found.interval.map(|interval| band(air, &interval)));
            }
            let largest = points.iter().map(|p| p.water.value).fold(0.0, f64::max);
            let starts = |p: &&FlowPoint| p.water.value < LEAST * largest;
            let starting = points.iter().take_while(starts).count();
            bands.drain(..starting.min(bands.len()));
            Ok((points, bands))
        };
        let (predicted, before) = curve(&plain)?;
        let counts = self.runs[self.middle].counting > 0;
        let (calibrated, after) = if counts {
            curve(&self.known)?
        } else {
            Default::default()
        };
        let bars = drawn.iter().filter_map(|run| {
            let reach = (self.law.coverage_factor() * run.reading?).exp();
            let (air, flow) = (run.point.air, run.point.water_flow);
            Some(FlowBand {
                air_at_20_c: air.volume_rate_at_20_c(),
                low: flow / reach,
                high: flow * reach,
            })
        });
        let level = self.law.level().get::<percent>();
        let mut notes = vec![
            self.model.worded(units),
            format!(
                "Bands hold the true flow, bars a reading's, with {} %",
                crate::report::interval::rounded(level)
            ),
        ];
        match self.runs.len() - drawn.len() {
            0 => {}
            1 => notes.push("1 more run, at another depth or lift, is not drawn".to_owned()),
            n => notes.push(format!(
                "{n} more runs, at other depths or lifts, are not drawn"
            )),
        }
        Ok(TrialFigure {
            title: format!(
                "Riser of {} bore, {} deep, lift {}",
                units.bore(riser.spec().free_bore()),
                units.height(at.submergence),
                units.height(at.lift)
            ),
            notes,
            predicted,
            before,
            calibrated,
            after,
            measured: drawn
                .iter()
                .map(|run| point(run.point.air, run.point.water_flow))
                .collect(),
            bars: bars.collect(),
            units,
        })
    }
}

fn point(air: AirFlow, water: VolumeRate) -> FlowPoint {
    FlowPoint {
        air_at_20_c: air.volume_rate_at_20_c(),
        water,
    }
}

fn band(air: AirFlow, interval: &Interval) -> FlowBand {
    FlowBand {
        air_at_20_c: air.volume_rate_at_20_c(),
        low: interval.low,
        high: interval.high,
    }
}
