//! What more of something may not do.

use proptest::prelude::*;
use risewater::riser::PartFull;

use crate::risers::{
    air, flow, gas_velocity, kilograms, lifting, logarithmic, mass, meters, peak, riser, told,
    untold, water, with_lift, with_submergence,
};

/// Relative rounding of a solved flow.
const ROUNDING: f64 = 1e-7;

proptest! {
    #![proptest_config(told(1000, 4000))]

    #[test]
    fn more_lift_is_never_more_water(riser in riser(), velocity in gas_velocity(), rise in logarithmic(1e-6, 1.0)) {
        let air = air(&riser, velocity);
        let dimensions = riser.spec().dimensions;
        let lift = dimensions.lift.value + rise * dimensions.submergence.value;
        let higher = with_lift(&riser, lift).unwrap();
        let (low, high) = (water(&riser, air), water(&higher, air));
        prop_assert!(high <= low * (1.0 + ROUNDING) + 1e-15, "{low:e} at the lower, {high:e} at the higher lift");
        prop_assume!(low > 0.0);
    }

    /// Known to fail in deep wells, where added depth costs friction: asked up to 3 m.
    #[test]
    fn more_submergence_is_never_less_water(riser in lifting((0.2, 3.0)), velocity in gas_velocity(), share in 0.0..1.0) {
        let air = air(&riser, velocity);
        let submergence = riser.spec().dimensions.submergence.value;
        let deeper = with_submergence(&riser, submergence + share * (3.0 - submergence)).unwrap();
        let (shallow, deep) = (water(&riser, air), water(&deeper, air));
        prop_assert!(deep >= shallow * (1.0 - ROUNDING) - 1e-15, "{shallow:e} at {submergence} m, {deep:e} deeper");
        prop_assume!(deep > 0.0);
    }

    #[test]
    fn the_head_at_the_brink_rises_with_the_flow(bore in logarithmic(0.01, 1.0), q in logarithmic(1e-8, 1.0), more in logarithmic(1e-9, 10.0)) {
        let pipe = PartFull::of_bore(meters(bore)).unwrap();
        let (low, high) = (pipe.critical_head(flow(q)).value, pipe.critical_head(flow(q * (1.0 + more))).value);
        prop_assert!(high > low, "{low:e} at {q:e}, {high:e} at {more:e} more");
        // Continuous: E_c grows less than linearly part-full and as Q² when full.
        prop_assert!(high / low - 1.0 <= 1.01 * ((1.0 + more).powi(2) - 1.0) + 1e-12);
    }
}

proptest! {
    #![proptest_config(told(256, 512))]

    #[test]
    fn the_curve_rises_to_one_peak(riser in riser()) {
        let Some(peak) = peak(&riser) else { return untold("no peak") };
        let threshold = riser.threshold().unwrap().map_or(0.0, mass);
        let low = threshold.max(1e-4 * mass(peak.air));
        let high = 50.0 * mass(peak.air);
        let (mut before, mut most) = (0.0, peak.water_flow.value);
        for n in 0..=60 {
            let here_kg = low * (high / low).powf(f64::from(n) / 60.0);
            let here = water(&riser, kilograms(here_kg));
            // Rounding, and on the far side the flat top itself.
            let slack = 1e-6 * peak.water_flow.value;
            if here_kg <= mass(peak.air) {
                prop_assert!(here >= before - slack, "falls before the peak: {before:e} to {here:e} at {here_kg:e} kg/s");
                before = here;
            } else {
                prop_assert!(here <= most + slack, "rises behind the peak: {most:e} to {here:e} at {here_kg:e} kg/s");
                most = here;
            }
        }
    }
}
