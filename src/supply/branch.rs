//! One branch of the manifold: from the header to the water at a riser's foot.

use super::injector::{Injector, Inlet};
use super::line::{AirLine, Duct};
use super::orifice::{Orifice, Plate};
use crate::error::{Error, Input, range};
use crate::riser::LOSS_COEFFICIENT;
use crate::units::{Length, Pressure, Ratio, base, kilopascal, meter, ratio};

range!(DISTANCE, 0 to 100_000 "m", "Distances of branches along a header.");
range!(OPENING_PRESSURE, 0 to 1000 "kPa", "Opening pressures of check valves.");
range!(INJECTOR_FOULING, 1 to 100, "Factors on an injector's loss by fouling.");

/// From the header to the water: fixed orifice, valve and line, check valve, injector, in this order.
///
/// ```
/// use risewater::supply::{AirLine, Branch};
/// use risewater::units::{Length, meter, millimeter};
///
/// let drop = AirLine::new(Length::new::<millimeter>(16.0), Length::new::<meter>(2.5));
/// let branch = Branch::new("lift 1", Length::new::<meter>(4.0), drop);
/// assert!(branch.open);
/// ```
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Branch {
    /// What it is called.
    pub name: String,
    /// Where it leaves the header, measured along the header from its first end.
    pub distance: Length,
    /// Pipe from the header to the injector, with the losses of tee, fittings and end.
    pub line: AirLine,
    /// Loss coefficient of a hand valve as it stands, on the line's velocity head.
    pub valve_loss: Ratio,
    /// Whether the valve is open at all.
    pub open: bool,
    /// Fixed orifice: a plate in the line at the header, which costs its permanent loss.
    pub orifice: Option<Orifice>,
    /// Pressure that opens a check valve and keeps it open; zero for none.
    pub check_valve: Pressure,
    /// How the air enters the riser.
    pub injector: Injector,
    /// Loss of the injector over that when clean.
    pub fouling: Ratio,
}

impl Branch {
    /// An open branch that ends in an open tube, without orifice, check valve or valve loss.
    #[must_use]
    pub fn new(name: impl Into<String>, distance: Length, line: AirLine) -> Self {
        Self {
            name: name.into(),
            distance,
            line,
            valve_loss: base(0.0),
            open: true,
            orifice: None,
            check_valve: base(0.0),
            injector: Injector::OpenTube,
            fouling: base(1.0),
        }
    }

    /// With an injector.
    #[must_use]
    pub fn with_injector(self, injector: Injector) -> Self {
        Self { injector, ..self }
    }

    /// With a fixed orifice at the header.
    #[must_use]
    pub fn with_orifice(self, orifice: Orifice) -> Self {
        Self {
            orifice: Some(orifice),
            ..self
        }
    }

    /// Whether all its numbers can be.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside a range of the branch, its line or its injector, [`Error::Inconsistent`],
    /// [`Error::HoleTooWide`].
    pub fn check(&self) -> Result<(), Error> {
        self.path(WaterPressure::fixed(101_325.0)).map(|_| ())
    }

    /// What check valve and injector hold back before any air flows.
    pub(crate) fn startup_loss(&self) -> Pressure {
        let wetted = match &self.injector {
            Injector::Diffuser(curve) => curve.loss_pa(0.0) * self.fouling.get::<ratio>(),
            Injector::OpenTube | Injector::DrilledRing(_) => 0.0,
        };
        self.check_valve + base(wetted)
    }

    /// The same checked and in plain SI, against the pressure of the water.
    pub(super) fn path(&self, water: WaterPressure) -> Result<Path<'_>, Error> {
        DISTANCE.check(Input::BranchDistance, self.distance.get::<meter>())?;
        LOSS_COEFFICIENT.check(Input::ValveLoss, self.valve_loss.get::<ratio>())?;
        OPENING_PRESSURE.check(Input::CheckValve, self.check_valve.get::<kilopascal>())?;
        INJECTOR_FOULING.check(Input::InjectorFouling, self.fouling.get::<ratio>())?;
        let line = AirLine {
            loss: self.line.loss + self.valve_loss,
            ..self.line
        };
        let duct = line.duct()?;
        let temperature = self.line.temperature;
        if let Some(orifice) = &self.orifice
            && orifice.over_bore(self.line.bore) >= 1.0
        {
            return Err(Error::HoleTooWide {
                branch: self.name.clone(),
                diameter: orifice.diameter,
                bore: self.line.bore,
            });
        }
        let mut path = Path {
            open: self.open,
            orifice: self
                .orifice
                .map(|hole| hole.plate(self.line.bore, temperature))
                .transpose()?,
            duct,
            check_pa: self.check_valve.value,
            inlet: self.injector.inlet(temperature)?,
            fouling: self.fouling.get::<ratio>(),
            water,
            fold: None,
        };
        path.fold = path.found_fold();
        Ok(path)
    }
}

/// A branch in plain SI.
#[derive(Debug, Clone, Copy)]
pub(super) struct Path<'a> {
    open: bool,
    orifice: Option<Plate>,
    duct: Duct,
    check_pa: f64,
    inlet: Inlet<'a>,
    fouling: f64,
    water: WaterPressure,
    fold: Option<Fold>,
}

/// Where a running branch needs the least header pressure. Water that moves relieves its foot, so more air can
/// need less pressure: with less than this the lift loses its air at once, and it takes more to start it again.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fold {
    pub kg_per_s: f64,
    pub header_pa: f64,
    /// Up to this flow the water is at rest.
    pub rest_kg_per_s: f64,
}

/// Steps of the golden section towards a fold, each to 0.618 of the interval: flat as the pressure is there, they
/// find it to rounding.
const FOLD_STEPS: usize = 40;

/// Pressure in the water at an injector: about a straight line of the air near the flow at which it is
/// known, since water that moves faster leaves less pressure; never above that of water at rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct WaterPressure {
    pub at_rest_pa: f64,
    pub known_pa: f64,
    pub known_kg_per_s: f64,
    /// d p/d ṁ
    pub slope: f64,
    /// What the riser had at that flow; while turns are halved the line runs beside it.
    pub found_pa: f64,
}

impl WaterPressure {
    /// The same at any air flow.
    pub fn fixed(pa: f64) -> Self {
        Self {
            at_rest_pa: pa,
            known_pa: pa,
            known_kg_per_s: 0.0,
            slope: 0.0,
            found_pa: pa,
        }
    }

    pub fn at(&self, kg_per_s: f64) -> f64 {
        (self.known_pa + self.slope * (kg_per_s - self.known_kg_per_s)).min(self.at_rest_pa)
    }
}

/// Pressures along a branch, Pa.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pressures {
    /// In the header, before the orifice.
    pub header: f64,
    /// After the orifice.
    pub line: f64,
    /// At the end of the line, before the check valve.
    pub end: f64,
    /// After the check valve, before the injector.
    pub injector: f64,
    /// In the water.
    pub water: f64,
}

impl Path<'_> {
    /// Pressures that a flow needs.
    pub fn pressures(&self, kg_per_s: f64) -> Pressures {
        let water = self.water.at(kg_per_s);
        let injector = self.inlet.upstream_pa(kg_per_s, water, self.fouling);
        let end = injector + self.check_pa;
        let line = self.duct.inlet_pa(kg_per_s, end);
        let header = self
            .orifice
            .map_or(line, |hole| hole.upstream_pa(kg_per_s, line));
        Pressures {
            header,
            line,
            end,
            injector,
            water,
        }
    }

    /// Header pressure that a flow needs.
    pub(crate) fn header_pa(&self, kg_per_s: f64) -> f64 {
        self.pressures(kg_per_s).header
    }

    /// Header pressure below which nothing flows; infinite for a closed branch.
    pub(crate) fn threshold_pa(&self) -> f64 {
        let start = self.start_pa();
        self.fold.map_or(start, |fold| fold.header_pa.min(start))
    }

    /// Header pressure that starts the flow against water at rest; infinite for a closed branch.
    pub(crate) fn start_pa(&self) -> f64 {
        if self.open {
            self.header_pa(0.0)
        } else {
            f64::INFINITY
        }
    }

    pub fn fold(&self) -> Option<Fold> {
        self.fold
    }

    fn found_fold(&self) -> Option<Fold> {
        let water = &self.water;
        if !self.open || water.slope >= 0.0 {
            return None;
        }
        // Where the line of the running water meets the pressure at rest.
        let rest = water.known_kg_per_s + (water.at_rest_pa - water.known_pa) / water.slope;
        let rest = rest.max(0.0);
        let mut step = 1e-3 * water.known_kg_per_s.max(1e-9);
        let (mut low, mut at) = (rest, rest + step);
        if self.header_pa(at) >= self.header_pa(low) {
            return None;
        }
        while self.header_pa(at + step) < self.header_pa(at) {
            (low, at) = (at, at + step);
            step *= 2.0;
        }
        let mut high = at + step;
        let golden = 0.5 * (5.0_f64.sqrt() - 1.0);
        for _ in 0..FOLD_STEPS {
            let (a, b) = (high - golden * (high - low), low + golden * (high - low));
            if self.header_pa(a) < self.header_pa(b) {
                high = b;
            } else {
                low = a;
            }
        }
        let kg_per_s = f64::midpoint(low, high);
        Some(Fold {
            kg_per_s,
            header_pa: self.header_pa(kg_per_s),
            rest_kg_per_s: rest,
        })
    }

    /// Velocity of the air in the line, at its end.
    pub fn velocity_m_per_s(&self, kg_per_s: f64) -> f64 {
        let end = self.duct.end_pa(kg_per_s, self.pressures(kg_per_s).end);
        self.duct.flux(kg_per_s) * self.duct.rt / end
    }

    /// Whether line or orifice are choked.
    pub fn choked(&self, kg_per_s: f64) -> bool {
        let p = self.pressures(kg_per_s);
        let hole = self
            .orifice
            .is_some_and(|plate| plate.choked(p.header, p.line));
        hole || self.duct.end_pa(kg_per_s, p.end) > p.end
    }
}
