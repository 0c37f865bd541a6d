//! A bench: the riser, what is tried on it, and with what it is measured.

use super::budget::USUALLY_WANTED;
use super::instruments::Instruments;
use super::next::{Target, USUAL_WIDTH};
use crate::air::AirFlow;
use crate::error::range;
use crate::model::Model;
use crate::riser::{RiserSpec, Site};
use crate::uncertainty::ErrorLaw;
use crate::units::{Area, Length, Ratio, UnitSystem, Volume, base};

range!(PULSATION, 0 to 1, "Relative standard deviations of single times by pulsation.");
range!(TANK_AREA, 1e-4 to 1e6 "m2", "Water surfaces of a source tank.");

/// What a trial is planned for.
///
/// # Examples
/// See [`Bench::plan`].
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Bench {
    /// The riser; each run sets its submergence and lift.
    pub spec: RiserSpec,
    /// Water and atmosphere.
    pub site: Site,
    /// The closures that predict.
    pub model: Model,
    /// Depths to try.
    pub submergences: Vec<Length>,
    /// Lifts to try.
    pub lifts: Vec<Length>,
    /// Air flows to try.
    pub air_flows: Vec<AirFlow>,
    /// Volume of water to catch with what is at hand; a plan takes a common vessel where that is not said or does not
    /// do.
    pub container: Option<Volume>,
    /// The same of the air bottle; where no bottle does, a plan takes a meter.
    pub bottle: Option<Volume>,
    /// The instruments.
    pub instruments: Instruments,
    /// Relative standard uncertainty wanted of each water flow; [`USUALLY_WANTED`] unless said.
    pub wanted: Ratio,
    /// Relative standard deviation of single filling times by the pulsation of the flow; 1 % unless
    /// said, our own guess until the first repeats tell better.
    pub pulsation: Ratio,
    /// Water surface of the source, for the fall of its level; none where the level is held.
    pub tank_area: Option<Area>,
    /// What the riser is for, as far as it is said.
    pub target: Target,
    /// Half width wanted of the interval of the flow there, as a share of it; [`USUAL_WIDTH`] unless said.
    pub wanted_width: Ratio,
    /// The level of the intervals, and what was measured already.
    pub law: ErrorLaw,
    /// Whose common vessels and bottles are named: those sold by the litre, or by the US gallon.
    pub units: UnitSystem,
}

impl Bench {
    /// A bench with nothing to try yet.
    #[must_use]
    pub fn new(spec: RiserSpec, site: Site, model: Model) -> Self {
        Self {
            spec,
            site,
            model,
            submergences: Vec::new(),
            lifts: Vec::new(),
            air_flows: Vec::new(),
            container: None,
            bottle: None,
            instruments: Instruments::default(),
            wanted: base(USUALLY_WANTED),
            pulsation: base(0.01),
            tank_area: None,
            target: Target::default(),
            wanted_width: base(USUAL_WIDTH),
            law: ErrorLaw::default(),
            units: UnitSystem::default(),
        }
    }

    /// With common vessels and bottles of other units.
    #[must_use]
    pub fn with_units(mut self, units: UnitSystem) -> Self {
        self.units = units;
        self
    }

    /// With every combination of these to try.
    #[must_use]
    pub fn with_runs(
        mut self,
        submergences: Vec<Length>,
        lifts: Vec<Length>,
        air_flows: Vec<AirFlow>,
    ) -> Self {
        self.submergences = submergences;
        self.lifts = lifts;
        self.air_flows = air_flows;
        self
    }

    /// With other instruments.
    #[must_use]
    pub fn with_instruments(mut self, instruments: Instruments) -> Self {
        self.instruments = instruments;
        self
    }

    /// With what the riser is for.
    #[must_use]
    pub fn with_target(mut self, target: Target) -> Self {
        self.target = target;
        self
    }

    /// With another level of the intervals, or with what was measured already.
    #[must_use]
    pub fn with_law(mut self, law: ErrorLaw) -> Self {
        self.law = law;
        self
    }

    /// With a source of this water surface, whose level falls by what is drawn.
    #[must_use]
    pub fn with_tank_area(mut self, area: Area) -> Self {
        self.tank_area = Some(area);
        self
    }
}
