//! Where the submergence goes: the momentum balance of the whole riser, term by term.

use super::column::Column;
use super::outlet::Head;
use super::{OperatingPoint, Riser};
use crate::units::{GRAVITY_M_PER_S2 as G, Length, base};

/// What the submergence pays for, each part as a height of the source's water. Together they are the submergence.
///
/// The balances of foot, column and mouth (see [`riser`](super)), added up:
///
/// ```text
/// ρ_l g S = ∫ [(1−α)ρ_l + αρ_g] g dz                 weight
///         + ρ_l g α(p1) ℓ (1 − e^(−L/ℓ))             developing
///         + ∫ F dz                                   friction
///         + M(p2) − ρ_l j_l²/2                       speed
///         + [K_injector + K_in (A/A_s)²] ρ_l j_l²/2  entrance
///         + f L_s/D_s (A/A_s)² ρ_l j_l²/2            suction
///         + p2 − p_a                                 outlet
/// ```
///
/// | symbol | |
/// |---|---|
/// | S, L | submergence; length of the column of mixture |
/// | α, F | void fraction and friction gradient of the closures |
/// | ℓ | developing length |
/// | M | momentum flux of both phases, ρ_l j_l²/(1−α) + ρ_g j_g²/α |
/// | j_l, A, A_s | superficial velocity of the water; cross-sections of column and suction pipe |
/// | p1, p2, p_a | pressures at the foot of the column, in its mouth, of the atmosphere |
///
/// What stands over the mouth is sorted by what it is for: water above a submerged mouth counts as *weight*, since a
/// mouth less deep would have to be as much higher; mixture above a rim or an invert counts as *outlet*, at the weight
/// that it has in the mouth. A choked mouth's pressure counts as *outlet* too.
///
/// # Examples
/// ```
/// # use risewater::riser::{Dimensions, RiserSpec, Site};
/// # use risewater::units::*;
/// # use risewater::{AirFlow, AirState, Model, Water};
/// let m = Length::new::<meter>;
/// let site = Site {
///     water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0))?,
///     atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
/// };
/// let riser = RiserSpec::new(Dimensions { bore: m(0.0762), submergence: m(1.0), lift: m(0.1) })
///     .build(&site, Model::default())?;
/// let air = AirFlow::at(VolumeRate::new::<liter_per_minute>(100.0), &AirState::DRY_20_C)?;
/// let budget = riser.budget(riser.operate(air)?.point().expect("it pumps"));
/// assert!(budget.weight > budget.friction);
/// assert_eq!(format!("{:.6} m", budget.submergence().get::<meter>()), "1.000000 m");
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Budget {
    /// Weight of the mixture in the riser, with the water above a submerged mouth.
    pub weight: Length,
    /// Air that is still missing over the developing length: our own fit, charged at the foot.
    pub developing: Length,
    /// Friction of the mixture on the wall.
    pub friction: Length,
    /// Bringing the water to the speed that it has in the mouth.
    pub speed: Length,
    /// Losses of the entrance and of the injector.
    pub entrance: Length,
    /// Friction in the suction pipe.
    pub suction: Length,
    /// Head and fittings of the outlet.
    pub outlet: Length,
    /// Height of water that the air stands in the place of: the riser full of water, less [`Budget::weight`]. It pays
    /// for the useful lift and for every part but the weight.
    pub replaced: Length,
}

impl Budget {
    /// All parts together: the submergence, to the accuracy of the solution.
    #[must_use]
    pub fn submergence(&self) -> Length {
        self.weight
            + self.developing
            + self.friction
            + self.speed
            + self.entrance
            + self.suction
            + self.outlet
    }
}

impl Riser {
    /// Where the submergence goes at an operating point of this riser: see [`Budget`].
    ///
    /// The parts are those of the closures' own water flow: a flow that a bench trial has moved keeps them, as it keeps
    /// pressures and void fractions.
    #[must_use]
    pub fn budget(&self, point: &OperatingPoint) -> Budget {
        let column = &self.column;
        let Column { rho_l, .. } = *column;
        let flux = column.air_flux(point.air.kg_per_s());
        let j_l = point.foot.liquid_superficial_velocity.value;
        let foot = column.section(j_l, flux, point.foot.pressure.pascal());
        let top = column.section(j_l, flux, point.top.pressure.pascal());
        let over = |of: &dyn Fn(&super::Section) -> f64| {
            column.over_height(&top, &foot, flux, &|section| of(section))
        };
        let wall = column.wall(&top);
        let head = column.outlet.head;
        let above_m = head.mixture_m(j_l * column.area_m2);
        let depth_m = if let Head::Depth(depth_m) = head {
            depth_m
        } else {
            0.0
        };
        let length_m = column.submergence_m + column.lift_m;
        let velocity_head = 0.5 * rho_l * j_l * j_l;
        let suction = column.suction_ratio * column.suction_ratio * velocity_head;
        let height = |pascal: f64| pascal / (rho_l * G);
        let above = height(column.weight(&top) * above_m);
        let weight = height(over(&|s| column.weight(s))) - above + depth_m;
        let developing = foot.alpha * column.undeveloped_m(length_m + above_m);
        let outlet = height(top.p - column.p_a) - depth_m + above;
        Budget {
            weight: base(weight),
            developing: base(developing),
            friction: base(height(over(&|s| {
                wall.gradient_pa_per_m(&column.flow(s), s.alpha)
            }))),
            speed: base(height(top.m - velocity_head)),
            entrance: base(height(
                column.k_injector * velocity_head + column.k_in * suction,
            )),
            suction: base(height(column.suction_loss(j_l) * suction)),
            outlet: base(outlet),
            replaced: base(length_m + depth_m - weight),
        }
    }
}
