//! The riser: operating point for a given air flow.
//!
//! A pipe of bore D stands in water; air enters at depth S below the running level of the source,
//! and the mixture leaves at height H above it. The momentum balance of the column, steady,
//! one-dimensional and isothermal,
//!
//! ```text
//! −dp/dz = [(1−α)ρ_l + αρ_g] g + F(p) + dM/dz        M = ρ_l j_l²/(1−α) + ρ_g j_g²/α
//! foot:  p1 + M(p1) + Δp_dev = p0 + ρ_l j_l²
//!        p0 = p_a + ρ_l g S − [1 + K_injector + (K_in + f L_s/D_s)(A/A_s)²] ρ_l j_l²/2
//! top:   p2 = p_a + K_out G²/(2ρ_h)
//! ```
//!
//! with A the cross-section of the column, and D_s and A_s bore and cross-section of the suction (those of the
//! pipe; without an air line inside, A = A_s),
//!
//! is solved for the water flow at which the column just reaches the outlet. Void fraction α comes
//! from [`Slip`](crate::slip::Slip), friction F from [`Friction`](crate::friction::Friction), the
//! developing length behind Δp_dev from [`Model`]. The gas is saturated with vapour at the water's
//! temperature: Q_g(p) = ṁRT/(p − p_v).
//!
//! ```
//! use risewater::riser::{Dimensions, RiserSpec, Site};
//! use risewater::units::*;
//! use risewater::{AirFlow, AirState, Model, Water};
//!
//! let site = Site {
//!     water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0))?,
//!     atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
//! };
//! let riser = RiserSpec::new(Dimensions {
//!     bore: Length::new::<millimeter>(76.2),
//!     submergence: Length::new::<meter>(1.0),
//!     lift: Length::new::<meter>(0.1),
//! })
//! .build(&site, Model::default())?;
//! let air = AirFlow::at(VolumeRate::new::<liter_per_minute>(100.0), &AirState::DRY_20_C)?;
//! let outcome = riser.operate(air)?;
//! // Our own result for this riser; how sure it is: see `uncertainty`.
//! assert!(outcome.water_flow().get::<liter_per_minute>() > 100.0);
//! # Ok::<(), risewater::Error>(())
//! ```

mod above;
#[cfg(test)]
mod agreement;
mod budget;
mod cautions;
mod column;
#[cfg(test)]
mod effort;
mod ends;
mod height;
mod injector;
mod inverse;
mod outcome;
mod outlet;
mod profile;
mod quadrature;
mod search;
mod spec;
mod velocity;

use std::cell::OnceCell;

use above::Above;
use column::{Carried, Column, Section};
use velocity::Path;

pub use budget::Budget;
pub use injector::InjectorKind;
pub use inverse::WATER_FLOW;
pub use outcome::{ColumnEnd, OperatingPoint, Outcome};
pub use outlet::{BrinkHead, LOSS_COEFFICIENT, OUTLET_BORE, OUTLET_HEIGHT, Outlet, PartFull};
pub use profile::{STATIONS, Station};
pub(crate) use spec::stays_wet;
pub use spec::{ATMOSPHERE, Dimensions, LIFT, RiserSpec, SUBMERGENCE, SUCTION_LENGTH, Site};

use crate::air::AirFlow;
use crate::error::Error;
use crate::gas::total_gas_pressure_bound;
use crate::model::Model;
use crate::regime::{self, FlowPattern};
use crate::units::{AbsolutePressure, GRAVITY_M_PER_S2, Length, Ratio, VolumeRate, base};

/// A riser, checked once, ready to be solved: [`Riser::operate`] allocates nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Riser {
    spec: RiserSpec,
    site: Site,
    model: Model,
    column: Column,
}

/// A solution nearby: see [`Riser::nearby`].
#[derive(Debug, Clone, Copy)]
pub(crate) struct Nearby(velocity::Near);

/// The column that risers of one kind have above their injection points at one air flow: see [`Riser::flow_among`].
#[derive(Debug, Clone)]
pub(crate) struct Alike {
    flux: f64,
    above: Option<Above>,
}

/// A riser at one air flow after another: see [`Riser::operate_all`].
#[derive(Debug)]
pub(crate) struct Series {
    riser: Riser,
    path: Path,
    /// Where pumping starts, once that was asked.
    threshold: OnceCell<Option<AirFlow>>,
}

impl Series {
    /// What the riser does at the next air flow.
    pub fn next(&mut self, air: AirFlow) -> Result<Outcome, Error> {
        let Self {
            riser,
            path,
            threshold,
        } = self;
        let flux = riser.column.air_flux(air.kg_per_s());
        let solved = path.next(&riser.column, flux)?;
        riser.outcome(air, solved, || {
            if let Some(known) = threshold.get() {
                return Ok(*known);
            }
            let known = riser.threshold()?;
            Ok(*threshold.get_or_init(|| known))
        })
    }
}

impl Riser {
    pub(super) fn new(spec: RiserSpec, site: Site, model: Model) -> Result<Self, Error> {
        let column = spec.validate(&site, &model)?;
        Ok(Self {
            spec,
            site,
            model,
            column,
        })
    }

    /// The description that it was built from.
    #[must_use]
    pub fn spec(&self) -> &RiserSpec {
        &self.spec
    }

    /// The site that it stands in.
    #[must_use]
    pub fn site(&self) -> &Site {
        &self.site
    }

    /// The closures behind it.
    #[must_use]
    pub fn model(&self) -> Model {
        self.model
    }

    /// The same riser with another description.
    ///
    /// # Errors
    /// As [`RiserSpec::build`].
    pub fn with_spec(&self, spec: RiserSpec) -> Result<Self, Error> {
        Self::new(spec, self.site, self.model)
    }

    /// The same riser predicted by other closures.
    ///
    /// # Errors
    /// As [`RiserSpec::build`].
    pub fn with_model(&self, model: Model) -> Result<Self, Error> {
        Self::new(self.spec, self.site, model)
    }

    /// The same riser with a developing length that can be.
    pub(crate) fn with_developing_length(&self, length: Length) -> Self {
        let column = Column {
            developing_m: length.value,
            ..self.column
        };
        let model = self.model.with_developing_length(length);
        Self {
            model,
            column,
            ..*self
        }
    }

    /// The same riser with an entrance loss that can be.
    pub(crate) fn with_entrance_loss(&self, loss: Ratio) -> Self {
        let column = Column {
            k_in: loss.value,
            ..self.column
        };
        let spec = self.spec.with_entrance_loss(loss);
        Self {
            spec,
            column,
            ..*self
        }
    }

    /// The same riser with an outlet's head so many times as high; none without such a head.
    pub(crate) fn with_head_factor(&self, factor: f64) -> Option<Self> {
        let outlet = self.column.outlet.with_head_factor(factor)?;
        let column = Column {
            outlet,
            ..self.column
        };
        Some(Self { column, ..*self })
    }

    /// Height by which water is lifted: the difference of the water levels. For a submerged outlet
    /// that is from the source to the receiving level, for the others to the outlet itself.
    #[must_use]
    pub fn useful_lift(&self) -> Length {
        match self.spec.outlet {
            Outlet::Submerged { depth, .. } => self.spec.dimensions.lift + depth,
            _ => self.spec.dimensions.lift,
        }
    }

    /// Most total gas pressure of the water that leaves at an operating point, over the barometer's; `rise` is how
    /// far the water can stand above the submergence. Whatever presses on the mouth (its depth, a fitting) counts
    /// as depth.
    ///
    /// # Errors
    /// As [`total_gas_pressure_bound`].
    pub fn total_gas_pressure_bound(
        &self,
        point: &OperatingPoint,
        rise: Length,
    ) -> Result<Ratio, Error> {
        let density = self.site.water.density();
        let on_mouth_pa = point.top.pressure.pascal() - self.site.atmosphere.pascal();
        let mouth: Length = base(on_mouth_pa / (density.value * GRAVITY_M_PER_S2));
        total_gas_pressure_bound(
            self.spec.dimensions.submergence + rise,
            mouth,
            density,
            self.site.atmosphere,
        )
    }

    /// Flow pattern at the mouth, at the atmosphere's pressure, of flows that were measured there.
    pub(crate) fn pattern_at_mouth(&self, air: AirFlow, water_flow: VolumeRate) -> FlowPattern {
        let flux = self.column.air_flux(air.kg_per_s());
        let j_l = water_flow.value / self.column.area_m2;
        let mouth = self
            .column
            .section(j_l, flux, self.site.atmosphere.pascal());
        regime::pattern(&self.column.flow(&mouth), mouth.alpha)
    }

    /// What the riser does at an air flow. The water flow for a given air flow is unique.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn operate(&self, air: AirFlow) -> Result<Outcome, Error> {
        let flux = self.column.air_flux(air.kg_per_s());
        self.outcome(air, self.column.water_velocity(flux)?, || self.threshold())
    }

    /// What the riser does at several air flows: as [`Riser::operate`] of each, but each solution sets out from
    /// those before it, which takes half the time where neighbours in the list are neighbours in air.
    ///
    /// # Errors
    /// As [`Riser::operate`].
    ///
    /// # Examples
    /// ```
    /// # use risewater::riser::{Dimensions, RiserSpec, Site};
    /// # use risewater::units::*;
    /// # use risewater::{AirFlow, AirState, Model, Water};
    /// # let site = Site {
    /// #     water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0))?,
    /// #     atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    /// # };
    /// # let riser = RiserSpec::new(Dimensions {
    /// #     bore: Length::new::<millimeter>(76.2),
    /// #     submergence: Length::new::<meter>(1.0),
    /// #     lift: Length::new::<meter>(0.1),
    /// # })
    /// # .build(&site, Model::default())?;
    /// let air = [60.0, 80.0, 100.0].map(|rate| {
    ///     AirFlow::at(VolumeRate::new::<liter_per_minute>(rate), &AirState::DRY_20_C)
    /// });
    /// let air = air.into_iter().collect::<Result<Vec<_>, _>>()?;
    /// let outcomes = riser.operate_all(&air)?;
    /// assert!(outcomes[0].water_flow() < outcomes[2].water_flow());
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn operate_all(&self, air: &[AirFlow]) -> Result<Vec<Outcome>, Error> {
        let mut series = self.series();
        air.iter().map(|air| series.next(*air)).collect()
    }

    /// What the riser does at one air flow after another.
    pub(crate) fn series(&self) -> Series {
        Series {
            riser: *self,
            path: Path::default(),
            threshold: OnceCell::new(),
        }
    }

    fn outcome(
        &self,
        air: AirFlow,
        solved: Option<(f64, Carried)>,
        threshold: impl FnOnce() -> Result<Option<AirFlow>, Error>,
    ) -> Result<Outcome, Error> {
        // The root lies where the column has ends: the excess is negative without them.
        let running = solved.and_then(|(j_l, carried)| Some((j_l, carried.ends?, carried)));
        Ok(match running {
            Some((j_l, ends, carried)) => {
                let point = self.point(j_l, air, &carried, &ends);
                if carried.choked {
                    Outcome::Choked(point)
                } else {
                    Outcome::Pumping(point)
                }
            }
            None => match threshold()? {
                Some(threshold) if threshold < air => Outcome::BlownDry { air, threshold },
                threshold => Outcome::BelowThreshold { air, threshold },
            },
        })
    }

    /// A solution of this riser, from which others that are little different are found sooner.
    pub(crate) fn nearby(&self, point: &OperatingPoint) -> Result<Nearby, Error> {
        let flux = self.column.air_flux(point.air.kg_per_s());
        let j_l = point.water_flow.value / self.column.area_m2;
        Ok(Nearby(self.column.near(j_l, flux)?))
    }

    /// Water flow at an air flow, m³/s, from a solution nearby; zero when nothing flows.
    pub(crate) fn flow_near(&self, air: AirFlow, nearby: &Nearby) -> Result<f64, Error> {
        let flux = self.column.air_flux(air.kg_per_s());
        let found = self.column.water_velocity_near(flux, nearby.0)?;
        Ok(self.flow_of(found.map(|(near, carried)| (near.j_l, carried))))
    }

    /// What risers that differ from this one below the injection point, or in an outlet's head, have of its column.
    pub(crate) fn alike(&self, point: &OperatingPoint) -> Alike {
        let column = &self.column;
        let flux = column.air_flux(point.air.kg_per_s());
        let j_l = point.water_flow.value / column.area_m2;
        Alike {
            flux,
            above: Above::of(column, flux, j_l, point.foot.pressure.pascal()),
        }
    }

    /// Water flow of one such riser, m³/s, as closely as [`Above`] tells it; zero when nothing flows.
    pub(crate) fn flow_among(&self, alike: &mut Alike) -> Result<f64, Error> {
        let column = &self.column;
        let found = match &mut alike.above {
            Some(above) => above.water_velocity(column)?,
            None => None,
        };
        Ok(match found {
            Some(j_l) => j_l * column.area_m2,
            None => self.flow_of(column.water_velocity(alike.flux)?),
        })
    }

    fn flow_of(&self, found: Option<(f64, Carried)>) -> f64 {
        found
            .filter(|(_, carried)| carried.ends.is_some())
            .map_or(0.0, |(j_l, _)| j_l * self.column.area_m2)
    }

    fn point(
        &self,
        j_l: f64,
        air: AirFlow,
        carried: &Carried,
        (foot, top): &(Section, Section),
    ) -> OperatingPoint {
        let q = j_l * self.column.area_m2;
        let power = air.kg_per_s() * self.column.rt * (carried.p0 / self.column.p_a).ln();
        let useful = self.column.rho_l * GRAVITY_M_PER_S2 * q * self.useful_lift().value;
        let water_flow: VolumeRate = base(q);
        OperatingPoint {
            water_flow,
            air,
            injection_pressure: AbsolutePressure(base(carried.p0)),
            foot: self.column.end(foot),
            top: self.column.end(top),
            efficiency: base(if useful > 0.0 && power > 0.0 {
                useful / power
            } else {
                0.0
            }),
            injection_power: base(power),
            air_to_water: air.volume_rate_at_20_c() / water_flow,
        }
    }
}

impl Column {
    fn end(&self, s: &Section) -> ColumnEnd {
        let gas = if s.alpha > 0.0 { s.j_g / s.alpha } else { 0.0 };
        ColumnEnd {
            pressure: AbsolutePressure(base(s.p)),
            void_fraction: base(s.alpha),
            liquid_superficial_velocity: base(s.j_l),
            gas_superficial_velocity: base(s.j_g),
            liquid_velocity: base(s.j_l / (1.0 - s.alpha)),
            gas_velocity: base(gas),
            pattern: regime::pattern(&self.flow(s), s.alpha),
        }
    }
}
