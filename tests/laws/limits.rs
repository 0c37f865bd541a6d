//! No air, much air, small changes.

use proptest::prelude::*;
use risewater::pipe::darcy_factor;
use risewater::riser::{Dimensions, Outlet, PartFull};
use risewater::units::*;
use risewater::{Outcome, Riser, RiserSpec};

use crate::risers::{
    air, gas_velocity, kilograms, logarithmic, meters, model, riser, site, told, water, with_lift,
};

const G: f64 = 9.806_65;

proptest! {
    #![proptest_config(told(1000, 4000))]

    #[test]
    fn no_air_lifts_no_water(riser in riser()) {
        prop_assume!(riser.useful_lift().value > 1e-9);
        let outcome = riser.operate(kilograms(0.0)).unwrap();
        prop_assert!(matches!(outcome, Outcome::BelowThreshold { .. }), "{outcome:?}");
    }

    #[test]
    fn enormous_air_lifts_no_water(riser in riser()) {
        // Ten kilometres a second at the atmosphere: more than any foot takes in.
        let outcome = riser.operate(air(&riser, 1e4)).unwrap();
        prop_assert!(outcome.point().is_none(), "{outcome:?}");
    }

    #[test]
    fn the_flow_is_continuous_in_the_lift(riser in riser(), velocity in gas_velocity()) {
        let air = air(&riser, velocity);
        let here = water(&riser, air);
        let step = 1e-9 * riser.spec().length().value;
        let there = water(&with_lift(&riser, riser.spec().dimensions.lift.value + step).unwrap(), air);
        // Near the end of the flow it may leave like a root of the height.
        let speed = (2.0 * G * riser.spec().dimensions.submergence.value).sqrt();
        let scale = std::f64::consts::FRAC_PI_4 * riser.spec().dimensions.bore.value.powi(2) * speed;
        prop_assert!((here - there).abs() <= 1e-5 * here + 1e-5 * scale, "{here:e} and {there:e}");
        prop_assume!(here > 0.0);
    }

    /// Without air and with the outlet below the level the riser is a pipe that drains, solved here
    /// by bisection from public parts alone.
    #[test]
    fn without_air_it_is_a_pipe((riser, below) in draining()) {
        let flow = water(&riser, kilograms(0.0));
        let balance = Pipe { riser: &riser };
        let alone = balance.flow();
        prop_assert!((flow / alone - 1.0).abs() < 1e-9, "{flow:e} against {alone:e}, outlet {below} m below");
    }
}

/// A riser whose outlet lies below the water level, and how far.
fn draining() -> impl Strategy<Value = (Riser, f64)> {
    let shape = (
        logarithmic(0.010, 0.300),
        logarithmic(0.2, 60.0),
        0.05..0.9f64,
        0.0..0.9f64,
    );
    (shape, 0usize..3, 0.0..2.0f64, 0.0..3.0f64, model(), site()).prop_map(
        |((bore, submergence, share, wet), kind, entrance, suction, model, site)| {
            let below = share * submergence;
            let loss = Ratio::new::<ratio>(entrance);
            let outlet = match kind {
                0 => Outlet::Plain { loss },
                1 => Outlet::Elbow {
                    loss,
                    bore: None,
                    head: risewater::riser::BrinkHead::Mixture,
                },
                _ => Outlet::Submerged {
                    depth: meters(wet * below),
                    loss,
                },
            };
            let riser = RiserSpec::new(Dimensions {
                bore: meters(bore),
                submergence: meters(submergence),
                lift: meters(-below),
            })
            .with_entrance_loss(Ratio::new::<ratio>(entrance))
            .with_suction_length(meters(suction))
            .with_outlet(outlet)
            .build(&site, model)
            .unwrap();
            (riser, below)
        },
    )
}

/// The single-phase balance of a draining riser.
struct Pipe<'a> {
    riser: &'a Riser,
}

impl Pipe<'_> {
    /// What is left of the head, m: level difference − losses − brink head.
    fn left(&self, j: f64) -> f64 {
        let (spec, water) = (self.riser.spec(), self.riser.site().water);
        let bore = spec.dimensions.bore.value;
        let q = std::f64::consts::FRAC_PI_4 * bore * bore * j;
        let reynolds =
            Ratio::new::<ratio>(water.density().value * j * bore / water.viscosity().value);
        let factor = darcy_factor(reynolds, spec.roughness / spec.dimensions.bore)
            .unwrap()
            .value;
        let (loss, depth, brink) = match spec.outlet {
            Outlet::Plain { loss } => (loss.value, 0.0, 0.0),
            Outlet::Submerged { depth, loss } => (loss.value, depth.value, 0.0),
            Outlet::Elbow { loss, .. } => {
                let head = PartFull::of_bore(spec.dimensions.bore)
                    .unwrap()
                    .critical_head(VolumeRate::new::<cubic_meter_per_second>(q));
                ((loss.value - 1.0).max(0.0), 0.0, head.value)
            }
            other => panic!("{other:?}"),
        };
        let velocity_head = j * j / (2.0 * G);
        let risen = spec.length().value + brink;
        // p0 + ρj² = p1 + ρj²: the momentum of the water passes the injection point unchanged.
        spec.dimensions.submergence.value
            - (1.0 + spec.entrance_loss.value + factor * spec.suction_length.value / bore)
                * velocity_head
            - factor * risen / bore * velocity_head
            - risen
            - depth
            - loss * velocity_head
    }

    fn flow(&self) -> f64 {
        let (mut low, mut high) = (
            1e-9,
            (2.0 * G * self.riser.spec().dimensions.submergence.value).sqrt(),
        );
        for _ in 0..200 {
            let middle = 0.5 * (low + high);
            if self.left(middle) > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        let bore = self.riser.spec().dimensions.bore.value;
        std::f64::consts::FRAC_PI_4 * bore * bore * 0.5 * (low + high)
    }
}
