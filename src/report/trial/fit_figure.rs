//! The picture of a fit.

use crate::air::AirFlow;
use crate::chart::{FlowBand, FlowPoint, TrialFigure};
use crate::error::Error;
use crate::report::interval::rounded;
use crate::report::kind::Kind;
use crate::report::number::UnitSystem;
use crate::trial::Fit;
use crate::uncertainty::{Interval, Prediction};
use crate::units::{VolumeRate, percent};

/// Share of the largest flow below which no band is drawn: where pumping starts its logarithm says nothing.
const LEAST: f64 = 0.02;

impl Fit {
    /// Measured points on the predicted and the calibrated curve, each with its interval, at the depth and lift of
    /// [`Fit::middle`]. Runs at others are counted in a note.
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
        let (plain, known) = self.curves(drawn.iter().map(|run| run.point.air))?;
        let (predicted, before) = curve(&plain);
        let (calibrated, after) = known.map(|known| curve(&known)).unwrap_or_default();
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
                rounded(level)
            ),
        ];
        match self.runs.len() - drawn.len() {
            0 => {}
            1 => notes.push("1 more run, at another depth or lift, is not drawn".to_owned()),
            n => notes.push(format!(
                "{n} more runs, at other depths or lifts, are not drawn"
            )),
        }
        let spec = self.known.riser().spec();
        Ok(TrialFigure {
            title: format!(
                "Riser of {} bore, {} deep, lift {}",
                units.say(Kind::Bore, spec.free_bore().value),
                units.say(Kind::Height, at.submergence.value),
                units.say(Kind::Height, at.lift.value)
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

fn curve(found: &[(AirFlow, Prediction)]) -> (Vec<FlowPoint>, Vec<FlowBand>) {
    let points: Vec<FlowPoint> = found
        .iter()
        .map(|(air, found)| point(*air, found.outcome.water_flow()))
        .collect();
    let bands = found.iter().filter_map(|(air, found)| {
        let Interval { low, high, .. } = found.interval?;
        Some(FlowBand {
            air_at_20_c: air.volume_rate_at_20_c(),
            low,
            high,
        })
    });
    let mut bands: Vec<FlowBand> = bands.collect();
    let largest = points.iter().map(|p| p.water.value).fold(0.0, f64::max);
    let starts = |p: &&FlowPoint| p.water.value < LEAST * largest;
    let starting = points.iter().take_while(starts).count();
    bands.drain(..starting.min(bands.len()));
    (points, bands)
}
