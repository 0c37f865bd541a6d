//! What a riser is made of, and its validation.

use super::Riser;
use super::column::Column;
use super::injector::InjectorKind;
use super::outlet::{LOSS_COEFFICIENT, Outlet};
use crate::air::{self, DRY_AIR_GAS_CONSTANT, VAPOUR_GAS_CONSTANT};
use crate::error::{Error, Input, Range, range};
use crate::model::Model;
use crate::two_phase::{BORE, ROUGHNESS};
use crate::units::{
    AbsolutePressure, GRAVITY_M_PER_S2, GaugePressure, Length, Ratio, base, kilopascal, meter,
    millimeter, ratio,
};
use crate::water::Water;

range!(SUBMERGENCE, 0.001 to 1000 "m", "Submergences that the library computes.");
range!(LIFT, -1000 to 1000 "m", "Lifts that the library computes; the riser must still have a length.");
range!(SUCTION_LENGTH, 0 to 1000 "m", "Suction lengths that the library computes.");
range!(ATMOSPHERE, 30 to 120 "kPa", "Atmospheric pressures that the library computes.");

/// That the air inlet stays under water when the level falls so far.
pub(crate) fn stays_wet(submergence: Length, fall: Length) -> Result<(), Error> {
    if submergence - fall >= Length::new::<meter>(SUBMERGENCE.min) {
        return Ok(());
    }
    Err(Error::Inconsistent {
        larger: Input::Submergence,
        larger_value: submergence.get::<meter>(),
        smaller: Input::LowWater,
        smaller_value: fall.get::<meter>(),
        unit: "m",
    })
}

/// The three lengths that every riser has; named, since they would be swapped unseen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dimensions {
    /// Inside diameter of the riser.
    pub bore: Length,
    /// Depth of the injection point below the running water level of the source.
    pub submergence: Length,
    /// Height of the outlet above that level; zero or slightly negative is allowed.
    pub lift: Length,
}

/// The water that a riser stands in and the air above it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Site {
    /// The water.
    pub water: Water,
    /// Atmospheric pressure.
    pub atmosphere: AbsolutePressure,
}

impl Site {
    /// ρ_l g S: what the air must push against at a depth before a lift runs.
    pub(crate) fn startup_pressure(&self, submergence: Length) -> GaugePressure {
        GaugePressure(base(
            self.water.si().rho * GRAVITY_M_PER_S2 * submergence.value,
        ))
    }
}

/// Description of a riser, with defaults for what is not said.
///
/// | field | default | origin |
/// |---|---|---|
/// | `roughness` | 1.5 µm | smooth plastic pipe, from memory; 1.5 to 7 µm in use |
/// | `lost_bore` | 0 | clean pipe |
/// | `suction_length` | 0 | water enters at the injection point |
/// | `entrance_loss` | 0.5 | sharp flush entrance; a free end projecting into the water has 0.5 to 1 |
/// | `injector_loss` | 0 | an open ring or wall inlet; one that stands in the water's way must be given |
/// | `air_line` | none | the air comes from outside |
/// | `injector` | not said | its kind, of which intervals know |
/// | `outlet` | plain, K = 0 | no fitting at the top |
///
/// An air line makes the column an annulus, computed by its hydraulic diameter, as Bhagwat & Ghajar
/// do; the developing length stays that of the pipe.
///
/// The entrance loss is charged on the velocity head in the suction pipe, the injector loss on that in
/// the column.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct RiserSpec {
    /// Bore, submergence and lift.
    pub dimensions: Dimensions,
    /// Roughness of the wall.
    pub roughness: Length,
    /// Bore lost to fouling: what growth takes off the diameter.
    pub lost_bore: Length,
    /// Length of pipe below the injection point, which carries water alone.
    pub suction_length: Length,
    /// Loss coefficient of the entrance.
    pub entrance_loss: Ratio,
    /// Loss coefficient of the injector.
    pub injector_loss: Ratio,
    /// Outside diameter of an air line that runs down inside the riser to the injection point.
    pub air_line: Option<Length>,
    /// How the air gets in; none where that is not said.
    pub injector: Option<InjectorKind>,
    /// The outlet.
    pub outlet: Outlet,
}

impl RiserSpec {
    /// The same where the water of its source stands so much higher, or lower below zero: the outlet stays.
    #[must_use]
    pub fn at_level(mut self, rise: Length) -> Self {
        self.dimensions.submergence += rise;
        self.dimensions.lift -= rise;
        self
    }

    /// A riser with the defaults of the table above.
    #[must_use]
    pub fn new(dimensions: Dimensions) -> Self {
        Self {
            dimensions,
            roughness: crate::pipe::losses::PVC_ROUGHNESS.value,
            lost_bore: base(0.0),
            suction_length: base(0.0),
            entrance_loss: crate::pipe::losses::ENTRANCE_FLUSH.value,
            injector_loss: crate::pipe::losses::INJECTOR.value,
            air_line: None,
            injector: None,
            outlet: Outlet::Plain { loss: base(0.0) },
        }
    }

    /// With another roughness.
    #[must_use]
    pub fn with_roughness(mut self, roughness: Length) -> Self {
        self.roughness = roughness;
        self
    }

    /// With a bore narrowed by fouling.
    #[must_use]
    pub fn with_lost_bore(mut self, lost_bore: Length) -> Self {
        self.lost_bore = lost_bore;
        self
    }

    /// With a suction pipe.
    #[must_use]
    pub fn with_suction_length(mut self, length: Length) -> Self {
        self.suction_length = length;
        self
    }

    /// With another entrance loss.
    #[must_use]
    pub fn with_entrance_loss(mut self, loss: Ratio) -> Self {
        self.entrance_loss = loss;
        self
    }

    /// With an air line of this outside diameter inside the riser.
    #[must_use]
    pub fn with_air_line(mut self, outside_diameter: Length) -> Self {
        self.air_line = Some(outside_diameter);
        self
    }

    /// With an injector of this kind.
    #[must_use]
    pub fn with_injector(mut self, injector: InjectorKind) -> Self {
        self.injector = Some(injector);
        self
    }

    /// With another outlet.
    #[must_use]
    pub fn with_outlet(mut self, outlet: Outlet) -> Self {
        self.outlet = outlet;
        self
    }

    /// Bore left by the fouling.
    #[must_use]
    pub fn free_bore(&self) -> Length {
        self.dimensions.bore - self.lost_bore
    }

    /// Length of the riser from injection to outlet.
    #[must_use]
    pub fn length(&self) -> Length {
        self.dimensions.submergence + self.dimensions.lift
    }

    /// Submergence over length, to nine decimals: the 0.4 of a source must not fall below 0.4 by the last bit of
    /// 0.7 m over 1.75 m.
    pub(crate) fn submergence_ratio(&self) -> f64 {
        let share = self.dimensions.submergence / self.length();
        (1e9 * share.value).round() / 1e9
    }

    pub(super) fn validate(&self, site: &Site, model: &Model) -> Result<Column, Error> {
        let Dimensions {
            bore,
            submergence,
            lift,
        } = self.dimensions;
        let bore_mm = BORE.check(Input::Bore, bore.get::<millimeter>())?;
        let lost_mm = Range::new(0.0, BORE.max, "mm")
            .check(Input::LostBore, self.lost_bore.get::<millimeter>())?;
        let free_mm = bore_mm - lost_mm;
        more(
            Input::Bore,
            bore_mm,
            Input::LostBore,
            lost_mm,
            free_mm >= BORE.min,
            "mm",
        )?;
        let line_mm = match self.air_line {
            None => 0.0,
            Some(d) => BORE.check(Input::AirLineDiameter, d.get::<millimeter>())?,
        };
        more(
            Input::Bore,
            free_mm,
            Input::AirLineDiameter,
            line_mm,
            free_mm - line_mm >= BORE.min,
            "mm",
        )?;
        let submergence_m = SUBMERGENCE.check(Input::Submergence, submergence.get::<meter>())?;
        let lift_m = LIFT.check(Input::Lift, lift.get::<meter>())?;
        more(
            Input::Submergence,
            submergence_m,
            Input::Lift,
            -lift_m,
            submergence_m + lift_m >= SUBMERGENCE.min,
            "m, downwards",
        )?;
        let roughness_mm = ROUGHNESS.check(Input::Roughness, self.roughness.get::<millimeter>())?;
        more(
            Input::Bore,
            free_mm,
            Input::Roughness,
            roughness_mm,
            roughness_mm < 0.1 * (free_mm - line_mm),
            "mm, ten times over",
        )?;
        let (d_m, free_m, line_m) = ((free_mm - line_mm) * 1e-3, free_mm * 1e-3, line_mm * 1e-3);
        // An annulus has the hydraulic diameter D − d and the area π(D² − d²)/4.
        let area_m2 = std::f64::consts::FRAC_PI_4 * (free_m + line_m) * d_m;
        let developing = model.developing_length.checked(base(free_m))?;
        let water = site.water.si();
        let atmosphere_kpa = ATMOSPHERE.check(
            Input::AtmosphericPressure,
            site.atmosphere.get::<kilopascal>(),
        )?;
        let p_a = site.atmosphere.pascal();
        more(
            Input::AtmosphericPressure,
            atmosphere_kpa,
            Input::VapourPressure,
            water.p_v * 1e-3,
            p_a > 1.1 * water.p_v,
            "kPa, by a tenth",
        )?;
        Ok(Column {
            slip: model.slip.in_pipe(d_m, water.rho, water.sigma),
            friction: model.friction,
            developing_m: developing.get::<meter>(),
            d_m,
            area_m2,
            suction_bore_m: free_m,
            suction_ratio: area_m2 / (std::f64::consts::FRAC_PI_4 * free_m * free_m),
            roughness_m: self.roughness.get::<meter>(),
            relative_roughness: self.roughness.get::<meter>() / d_m,
            submergence_m,
            lift_m,
            suction_m: SUCTION_LENGTH
                .check(Input::SuctionLength, self.suction_length.get::<meter>())?,
            k_in: LOSS_COEFFICIENT.check(Input::EntranceLoss, self.entrance_loss.get::<ratio>())?,
            k_injector: LOSS_COEFFICIENT
                .check(Input::InjectorLoss, self.injector_loss.get::<ratio>())?,
            outlet: self.outlet.kernel(self.dimensions.bore)?,
            rho_l: water.rho,
            mu_l: water.mu,
            sigma: water.sigma,
            p_v: water.p_v,
            rt: DRY_AIR_GAS_CONSTANT * water.t_k,
            rho_v: water.p_v / (VAPOUR_GAS_CONSTANT * water.t_k),
            mu_g: air::viscosity_pa_s(water.t_k),
            p_a,
            bends_pa: [f64::INFINITY; 2],
        }
        .with_bends())
    }

    /// The riser itself, checked: see [`Riser`].
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for an input outside its range ([`BORE`], [`SUBMERGENCE`], [`LIFT`],
    /// [`ROUGHNESS`], [`SUCTION_LENGTH`], [`LOSS_COEFFICIENT`], [`ATMOSPHERE`],
    /// [`DEVELOPING_BORES`](crate::DEVELOPING_BORES), [`DEVELOPING_LENGTH`](crate::DEVELOPING_LENGTH)), [`Error::NotFinite`],
    /// [`Error::Inconsistent`] when two of them exclude each other.
    pub fn build(&self, site: &Site, model: Model) -> Result<Riser, Error> {
        Riser::new(*self, *site, model)
    }
}

/// An error unless the relation holds.
fn more(
    larger: Input,
    larger_value: f64,
    smaller: Input,
    smaller_value: f64,
    holds: bool,
    unit: &'static str,
) -> Result<(), Error> {
    if holds {
        Ok(())
    } else {
        Err(Error::Inconsistent {
            larger,
            larger_value,
            smaller,
            smaller_value,
            unit,
        })
    }
}
