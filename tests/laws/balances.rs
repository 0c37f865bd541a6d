//! Mass, momentum and energy, from the numbers that an operating point shows.

use proptest::prelude::*;
use risewater::pipe::darcy_factor;
use risewater::riser::{ColumnEnd, OperatingPoint, Outlet};
use risewater::units::*;
use risewater::{Outcome, Riser};

use crate::risers::{air, gas_velocity, mass, riser, told, untold};

/// R and R_v as `air` states them, g as `units` does.
const R: f64 = 287.055;
const R_V: f64 = 461.523;
const G: f64 = 9.806_65;

struct Site {
    p_a: f64,
    p_v: f64,
    t: f64,
    rho_l: f64,
}

impl Site {
    fn of(riser: &Riser) -> Self {
        let water = riser.site().water;
        Self {
            p_a: riser.site().atmosphere.get::<pascal>(),
            p_v: water.vapour_pressure().get::<pascal>(),
            t: water.temperature().get::<kelvin>(),
            rho_l: water.density().value,
        }
    }

    fn gas_density(&self, p: f64) -> f64 {
        (p - self.p_v) / (R * self.t) + self.p_v / (R_V * self.t)
    }

    /// M = ρ_l j_l v_l + ρ_g j_g v_g
    fn momentum(&self, end: &ColumnEnd) -> f64 {
        self.rho_l * end.liquid_superficial_velocity.value * end.liquid_velocity.value
            + self.gas_density(end.pressure.get::<pascal>())
                * end.gas_superficial_velocity.value
                * end.gas_velocity.value
    }
}

fn area(riser: &Riser) -> f64 {
    std::f64::consts::FRAC_PI_4 * riser.spec().dimensions.bore.value.powi(2)
}

/// The point at a random air flow, and whether it is choked.
fn point(riser: &Riser, velocity: f64) -> Option<(OperatingPoint, bool)> {
    let outcome = riser.operate(air(riser, velocity)).unwrap();
    outcome
        .point()
        .map(|point| (*point, matches!(outcome, Outcome::Choked(_))))
}

proptest! {
    #![proptest_config(told(1000, 4000))]

    #[test]
    fn mass_is_kept(riser in riser(), velocity in gas_velocity()) {
        let Some((point, _)) = point(&riser, velocity) else { return untold("no water") };
        let site = Site::of(&riser);
        let dry = mass(point.air);
        for end in [&point.foot, &point.top] {
            let (p, volume) = (end.pressure.get::<pascal>(), end.gas_superficial_velocity.value * area(&riser));
            let vapour = site.p_v / (R_V * site.t) * volume;
            prop_assert!((site.gas_density(p) * volume / (dry + vapour) - 1.0).abs() < 1e-12);
            prop_assert!((end.liquid_superficial_velocity.value * area(&riser) / point.water_flow.value - 1.0).abs() < 1e-12);
            let alpha = end.void_fraction.value;
            prop_assert!(alpha > 0.0 && alpha < 1.0);
            prop_assert!((end.liquid_velocity.value * (1.0 - alpha) / end.liquid_superficial_velocity.value - 1.0).abs() < 1e-12);
            prop_assert!((end.gas_velocity.value * alpha / end.gas_superficial_velocity.value - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn momentum_is_kept_at_both_ends(riser in riser(), velocity in gas_velocity()) {
        let Some((point, choked)) = point(&riser, velocity) else { return untold("no water") };
        let (site, spec) = (Site::of(&riser), riser.spec());
        let (bore, j) = (spec.dimensions.bore.value, point.water_flow.value / area(&riser));
        let head = 0.5 * site.rho_l * j * j;
        // p0 = p_a + ρ_l g S − (1 + K_in + f L_s/D) ρ_l j_l²/2
        let reynolds = site.rho_l * j * bore / riser.site().water.viscosity().value;
        let wall = if reynolds > 1e-6 && spec.suction_length.value > 0.0 {
            let factor = darcy_factor(Ratio::new::<ratio>(reynolds), spec.roughness / spec.dimensions.bore).unwrap();
            factor.value * spec.suction_length.value / bore
        } else {
            0.0
        };
        let p0 = site.p_a + site.rho_l * G * spec.dimensions.submergence.value - (1.0 + spec.entrance_loss.value + wall) * head;
        prop_assert!((point.injection_pressure.get::<pascal>() / p0 - 1.0).abs() < 1e-12);
        // p1 + M(p1) + ρ_l g α(p1) λD (1 − e^(−L/(λD))) = p0 + ρ_l j_l²
        let reached = spec.length().value + heads(&riser, &point)[0];
        let developing = riser.model().developing_length.of(Length::new::<meter>(bore)).value;
        let deficit = if developing > 0.0 {
            site.rho_l * G * point.foot.void_fraction.value * developing * (1.0 - (-reached / developing).exp())
        } else {
            0.0
        };
        let at_foot = point.foot.pressure.get::<pascal>() + site.momentum(&point.foot) + deficit;
        prop_assert!((at_foot / (p0 + 2.0 * head) - 1.0).abs() < 1e-11, "foot {at_foot} against {}", p0 + 2.0 * head);
        // p2 = p_top + K_out G²/(2 ρ_h) at p_top; a choked mouth is above it.
        let p_top = site.p_a + heads(&riser, &point)[1] * site.rho_l * G;
        let j_g = mass(point.air) * R * site.t / (p_top - site.p_v) / area(&riser);
        let top = p_top + 0.5 * loss(&spec.outlet) * (site.rho_l * j + site.gas_density(p_top) * j_g) * (j + j_g);
        let p2 = point.top.pressure.get::<pascal>();
        prop_assert!(if choked { p2 >= top } else { (p2 / top - 1.0).abs() < 1e-11 }, "top {p2} against {top}");
    }

    /// The useful power never exceeds the isothermal work of the saturated gas, where the outlet is
    /// not below the source's level.
    #[test]
    fn no_more_comes_out_than_the_air_puts_in(riser in riser(), velocity in gas_velocity()) {
        let Some((point, _)) = point(&riser, velocity) else { return untold("no water") };
        let site = Site::of(&riser);
        let lift = riser.useful_lift().value;
        prop_assert!(lift > -1e-12);
        let p1 = point.foot.pressure.get::<pascal>();
        let work = mass(point.air) * R * site.t * ((p1 - site.p_v) / (site.p_a - site.p_v)).ln();
        let useful = site.rho_l * G * point.water_flow.value * lift;
        prop_assert!(useful <= work * (1.0 + 1e-9) + 1e-15, "{useful} W out of {work} W");
    }
}

fn loss(outlet: &Outlet) -> f64 {
    match outlet {
        Outlet::Elbow { loss, .. } => (loss.value - 1.0).max(0.0),
        Outlet::Plain { loss } | Outlet::Submerged { loss, .. } | Outlet::OpenTop { loss, .. } => {
            loss.value
        }
        other => panic!("{other:?}"),
    }
}

/// Heights of mixture and of clear water above the outlet.
fn heads(riser: &Riser, point: &OperatingPoint) -> [f64; 2] {
    use risewater::riser::{BrinkHead, PartFull};
    let critical = || {
        let brink = PartFull::of_bore(riser.spec().dimensions.bore).unwrap();
        brink.critical_head(point.water_flow).value
    };
    match riser.spec().outlet {
        Outlet::OpenTop { head, .. } => [head.value, 0.0],
        Outlet::Submerged { depth, .. } => [0.0, depth.value],
        Outlet::Elbow {
            head: BrinkHead::Mixture,
            ..
        } => [critical(), 0.0],
        Outlet::Elbow {
            head: BrinkHead::ClearWater,
            ..
        } => [0.0, critical()],
        _ => [0.0, 0.0],
    }
}

proptest! {
    #![proptest_config(told(400, 1600))]

    /// The parts are the submergence, to a billionth of it; each is what its own equation says of the numbers that the
    /// point shows, and the weight is that of the profile.
    #[test]
    fn the_submergence_is_spent_to_the_last(riser in riser(), velocity in gas_velocity()) {
        let Some((point, choked)) = point(&riser, velocity) else { return untold("no water") };
        let (site, spec) = (Site::of(&riser), riser.spec());
        let budget = riser.budget(&point);
        let submergence = spec.dimensions.submergence.value;
        let sum = budget.submergence().value;
        prop_assert!((sum / submergence - 1.0).abs() < 1e-9, "{sum} m of {submergence} m, {budget:?}");
        // What the air replaces pays for the lift and for all but the weight.
        let paid = riser.useful_lift().value + sum - budget.weight.value;
        prop_assert!((budget.replaced.value - paid).abs() < 1e-9 * submergence, "{paid} m, {budget:?}");

        let height = |pa: f64| pa / (site.rho_l * G);
        let j = point.water_flow.value / area(&riser);
        let head = 0.5 * site.rho_l * j * j;
        let [above, water_above] = heads(&riser, &point);
        let p2 = point.top.pressure.get::<pascal>() - site.p_a;
        let same = |found: Length, wanted: f64, what: &str| {
            let off = (found.value - wanted).abs();
            if off < 1e-9 * submergence { Ok(()) } else { Err(TestCaseError::fail(format!("{what}: {found:?} against {wanted}"))) }
        };
        same(budget.speed, height(site.momentum(&point.top) - head), "speed")?;
        same(budget.entrance, height(spec.entrance_loss.value * head), "entrance")?;
        // p0 holds the entrance, the suction pipe and the velocity head.
        let lost = submergence - height(point.injection_pressure.get::<pascal>() - site.p_a + head);
        same(budget.entrance + budget.suction, lost, "entrance and suction")?;
        let at_foot = site.momentum(&point.foot) + point.foot.pressure.get::<pascal>();
        let p0 = point.injection_pressure.get::<pascal>() + 2.0 * head;
        same(budget.developing, height(p0 - at_foot), "developing")?;
        let depth = if let Outlet::Submerged { depth, .. } = spec.outlet { depth.value } else { 0.0 };
        let void = point.top.void_fraction.value;
        let mixture = (1.0 - void) + void * site.gas_density(p2 + site.p_a) / site.rho_l;
        same(budget.outlet, height(p2) - depth + mixture * above, "outlet")?;
        prop_assert!(choked || budget.outlet.value > -1e-12 && (water_above == depth || budget.outlet.value > 0.0));

        // ∫ (1 − α) ρ_l + α ρ_g dz by trapezes: their error falls with the square of the step, so that half the step
        // moves them by three quarters of it.
        let weight = |stations: usize| -> f64 {
            let profile = riser.profile(&point, stations).unwrap();
            profile.windows(2).map(|pair| {
                let [low, high] = [pair[0], pair[1]].map(|here| {
                    let void = here.void_fraction.value;
                    1.0 - void + void * site.gas_density(here.pressure.get::<pascal>()) / site.rho_l
                });
                0.5 * (low + high) * (pair[1].height - pair[0].height).value
            }).sum()
        };
        let (coarse, fine) = (weight(101), weight(201));
        let wanted = fine - mixture * above + depth;
        let off = (budget.weight.value - wanted).abs();
        prop_assert!(off < (coarse - fine).abs() + 1e-9 * submergence, "weight {:?} against {wanted}", budget.weight);
    }
}

/// Stations of a profile.
const STATIONS: usize = 7;

proptest! {
    #![proptest_config(told(250, 1000))]

    /// From foot to mouth the gas grows by the same factor from each station to the next.
    #[test]
    fn stations_part_the_growth_of_the_gas_evenly(riser in riser(), velocity in gas_velocity()) {
        let Some((point, _)) = point(&riser, velocity) else { return untold("no water") };
        let p_v = Site::of(&riser).p_v;
        let profile = riser.profile(&point, STATIONS).unwrap();
        prop_assert_eq!(profile[0].pressure, point.foot.pressure);
        prop_assert_eq!(profile[STATIONS - 1].pressure, point.top.pressure);
        let growth = |low: AbsolutePressure, high: AbsolutePressure| {
            (low.get::<pascal>() - p_v) / (high.get::<pascal>() - p_v)
        };
        let all = growth(point.foot.pressure, point.top.pressure);
        for pair in profile.windows(2) {
            let one = growth(pair[0].pressure, pair[1].pressure);
            prop_assert!((one.powi(6) / all - 1.0).abs() < 1e-11, "{one}, of all {all}");
        }
    }
}
