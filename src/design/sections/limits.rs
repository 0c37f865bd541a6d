//! `[limits]`: what a search may use.

use std::sync::Arc;

use super::needed;
use crate::design::fault::Problem;
use crate::design::section::{Bound, Section};
use crate::design::sheet::Sheet;
use crate::error::Input;
use crate::pipe::Pipe;
use crate::riser::SUBMERGENCE;
use crate::sizing::{
    AIR_PRESSURE, FOULING, LIFTS, PEAK_RESERVE, SUBMERGENCE_STEP, TOTAL_GAS_PRESSURE, depths,
};
use crate::units::quantity;
use crate::units::{GaugePressure, Length, Ratio, kilopascal, meter, millimeter};

/// `[limits]` as given.
#[derive(Debug, Default)]
pub struct GivenLimits {
    pipes: Option<Vec<Arc<Pipe>>>,
    submergences: Option<Vec<Length>>,
    max_lifts: Option<u32>,
    max_air_pressure: Option<GaugePressure>,
    pub max_total_gas_pressure: Option<Ratio>,
    peak_reserve: Option<Ratio>,
    fouling: Option<Length>,
}

/// `[limits]` with its defaults.
pub struct Limits {
    pub pipes: Vec<Arc<Pipe>>,
    pub submergences: Vec<Length>,
    pub max_lifts: u32,
    pub max_air_pressure: Option<GaugePressure>,
    pub max_total_gas_pressure: Option<Ratio>,
    pub peak_reserve: Ratio,
    pub fouling: Option<Length>,
}

impl GivenLimits {
    pub fn read(sheet: &Sheet, mut limits: Section) -> Self {
        let depth = |what, range| -> Bound<Length> { (what, range, |depth| depth.get::<meter>()) };
        let pressure: Bound<GaugePressure> = (Input::MaxAirPressure, AIR_PRESSURE, |p| {
            p.get::<kilopascal>()
        });
        let fouling: Bound<Length> = (Input::FouledBore, FOULING, |lost| lost.get::<millimeter>());
        let shallowest = limits.quantity(
            "min_submergence",
            quantity::length,
            depth(Input::MinSubmergence, SUBMERGENCE),
        );
        let deepest = limits.quantity(
            "max_submergence",
            quantity::length,
            depth(Input::MaxSubmergence, SUBMERGENCE),
        );
        let step = limits.quantity(
            "submergence_step",
            quantity::length,
            depth(Input::SubmergenceStep, SUBMERGENCE_STEP),
        );
        let given = Self {
            pipes: pipes(sheet, &mut limits),
            submergences: deepest.and_then(|deepest| {
                sheet.keep(depths(shallowest, deepest, step), "limits.max_submergence")
            }),
            max_lifts: limits.count("max_lifts", Input::MaxLifts, LIFTS),
            max_air_pressure: limits.quantity(
                "max_air_pressure",
                quantity::gauge_pressure,
                pressure,
            ),
            max_total_gas_pressure: limits.number(
                "max_total_gas_pressure",
                Input::MaxTotalGasPressure,
                TOTAL_GAS_PRESSURE,
            ),
            peak_reserve: limits.number("peak_reserve", Input::PeakReserve, PEAK_RESERVE),
            fouling: limits.quantity("fouling", quantity::length, fouling),
        };
        limits.close();
        given
    }

    pub fn complete(&self, sheet: &Sheet) -> Option<Limits> {
        let pipes = needed(
            sheet,
            self.pipes.clone(),
            "limits.standards",
            "the pipe standards to search, such as [\"ASTM D1785\"] (`risewater list pipes` has them all)",
        );
        let submergences = needed(
            sheet,
            self.submergences.clone(),
            "limits.max_submergence",
            "the depth of water that you have, such as \"1.4 m\"",
        );
        Some(Limits {
            pipes: pipes?,
            submergences: submergences?,
            max_lifts: self.max_lifts.unwrap_or(1),
            max_air_pressure: self.max_air_pressure,
            max_total_gas_pressure: self.max_total_gas_pressure,
            peak_reserve: self.peak_reserve.unwrap_or_default(),
            fouling: self.fouling,
        })
    }
}

/// The pipes of standards and of names, each once.
fn pipes(sheet: &Sheet, limits: &mut Section) -> Option<Vec<Arc<Pipe>>> {
    let standards = limits.texts("standards");
    let names = limits.texts("pipes");
    let mut all: Vec<Arc<Pipe>> = Vec::new();
    let mut add = |pipe: Arc<Pipe>| {
        if !all.iter().any(|known| known.name == pipe.name) {
            all.push(pipe);
        }
    };
    for name in standards.iter().flatten() {
        sheet
            .keep(Pipe::of_standards(&[name]), "limits.standards")
            .into_iter()
            .flatten()
            .for_each(&mut add);
    }
    for name in names.iter().flatten() {
        sheet
            .pipe(name, "limits.pipes")
            .into_iter()
            .for_each(&mut add);
    }
    for (key, texts) in [("standards", &standards), ("pipes", &names)] {
        if texts.as_ref().is_some_and(Vec::is_empty) {
            limits.fault(
                key,
                Problem::Missing {
                    expected: "at least one name, or leave the key out",
                },
            );
        }
    }
    if standards.is_none() && names.is_none() {
        None
    } else {
        Some(all)
    }
}
