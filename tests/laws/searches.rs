//! The searches against dense scans, and there and back again.

use proptest::prelude::*;
use risewater::{Error, Outcome};

use crate::risers::{
    air, flow, gas_velocity, kilograms, mass, meters, peak, riser, told, untold, water, with_lift,
    with_submergence,
};

proptest! {
    #![proptest_config(told(256, 512))]

    #[test]
    fn no_air_flow_of_a_dense_scan_beats_the_peak(riser in riser()) {
        let top = air(&riser, 1e3);
        let Some(peak) = peak(&riser) else {
            for n in 0..200 {
                let air = kilograms(mass(top) * 1e-9f64.powf(f64::from(n) / 200.0));
                prop_assert_eq!(water(&riser, air), 0.0);
            }
            return untold("no peak");
        };
        let low = riser.threshold().unwrap().map_or(0.0, mass).max(1e-4 * mass(peak.air));
        for n in 0..200 {
            let air = kilograms(low * (mass(top) / low).powf(f64::from(n) / 199.0));
            let here = water(&riser, air);
            prop_assert!(here <= peak.water_flow.value * (1.0 + 1e-4), "{:e} at {:e} kg/s, peak {:e} at {:e}", here, mass(air), peak.water_flow.value, mass(peak.air));
        }
    }

    #[test]
    fn no_air_flow_of_a_dense_scan_beats_the_best_efficiency(riser in riser()) {
        let best = match riser.best_efficiency() {
            Ok(Some(best)) => best,
            Ok(None) => {
                prop_assert!(riser.useful_lift().value <= 0.0);
                return untold("no useful lift");
            }
            Err(Error::LiftOutOfReach { .. }) => return untold("no peak"),
            Err(error) => panic!("{error}"),
        };
        let low = riser.threshold().unwrap().map_or(0.0, mass);
        let high = 30.0 * mass(best.air);
        for n in 1..200 {
            let air = kilograms(low * (high / low).powf(f64::from(n) / 199.0));
            if let Some(point) = riser.operate(air).unwrap().point() {
                prop_assert!(point.efficiency.value <= best.efficiency.value * (1.0 + 1e-4), "{} at {:e} kg/s, best {} at {:e}", point.efficiency.value, mass(air), best.efficiency.value, mass(best.air));
            }
        }
    }
}

/// How closely a solve finds the water velocity: 1e-11 where the excess falls steeply with it, its rounding near the
/// threshold, where it hardly does.
const TWO_SOLVES: f64 = 1e-9;

proptest! {
    #![proptest_config(told(256, 512))]

    /// From nothing to far beyond the peak, in steps of 1 % and of four times, forwards, backwards and in no order.
    #[test]
    fn air_flows_together_are_the_single_ones(riser in riser()) {
        let top = mass(air(&riser, 1e3));
        let steps = |ratio: f64, count: i32| (0..count).map(move |n| kilograms(top * ratio.powi(-n)));
        let mut all: Vec<_> = steps(4.0, 12).chain(steps(1.01, 40)).collect();
        let turned: Vec<_> = all.iter().rev().copied().collect();
        all.extend(turned);
        all.push(kilograms(0.0));
        all.extend_from_within(..3);
        let together = riser.operate_all(&all).unwrap();
        let mut told = false;
        for (air, found) in all.iter().zip(together) {
            let alone = riser.operate(*air).unwrap();
            let (a, b) = (found.water_flow().value, alone.water_flow().value);
            prop_assert!((a - b).abs() <= TWO_SOLVES * b, "{a:e} together, {b:e} alone at {:e} kg/s", mass(*air));
            prop_assert_eq!(found.name(), alone.name());
            told |= b > 0.0;
        }
        if !told { return untold("nothing flows"); }
    }
}

proptest! {
    #![proptest_config(told(700, 3500))]

    #[test]
    fn the_threshold_is_where_water_starts(riser in riser()) {
        let Some(threshold) = riser.threshold().unwrap() else { return untold("no threshold") };
        let below = riser.operate(kilograms(0.98 * mass(threshold))).unwrap();
        if mass(threshold) == 0.0 {
            prop_assert!(below.point().is_some());
            return untold("runs without air");
        }
        prop_assert!(matches!(below, Outcome::BelowThreshold { threshold: Some(_), .. }), "{below:?}");
        prop_assert!((mass(below.threshold().unwrap()) / mass(threshold) - 1.0).abs() < 1e-12);
        let above = riser.operate(kilograms(1.02 * mass(threshold))).unwrap();
        // Where the riser pumps at all, the window is wider than that but for one in thousands.
        let narrow = matches!(above, Outcome::BlownDry { .. }) && mass(peak(&riser).unwrap().air) < 1.02 * mass(threshold);
        prop_assert!(above.point().is_some() || narrow, "{above:?}");
    }

    #[test]
    fn the_air_for_a_flow_gives_that_flow(riser in riser(), velocity in gas_velocity()) {
        let operated = riser.operate(air(&riser, velocity)).unwrap();
        let Some(point) = operated.point() else { return untold("no water") };
        // Below a thousandth of a litre a minute nothing can be asked for.
        if point.water_flow.value < 1e-6 / 6e4 {
            return untold("a trace");
        }
        let found = match riser.air_for(point.water_flow) {
            Ok(found) => found,
            // Water that runs without air, and rounding on the very peak.
            Err(Error::RunsWithoutAir { free_flow, .. }) if free_flow >= point.water_flow * (1.0 - 1e-7) => return untold("runs without air"),
            Err(Error::AbovePeak { peak_flow, .. }) if peak_flow <= point.water_flow * (1.0 + 1e-7) => return untold("the peak"),
            Err(error) => panic!("{error} at {point:?}"),
        };
        let back = water(&riser, found.air);
        prop_assert!((back / point.water_flow.value - 1.0).abs() < 1e-6, "{:e} wanted, {back:e} found", point.water_flow.value);
        let peak = peak(&riser).unwrap();
        prop_assert!(mass(found.air) <= mass(peak.air) * (1.0 + 1e-3));
        // The same air wherever the curve is steep enough to tell.
        if point.air < peak.air && point.water_flow < 0.99 * peak.water_flow {
            let off = mass(found.air) / mass(point.air) - 1.0;
            prop_assert!(off.abs() < 1e-5, "{:e} kg/s in, {:e} out", mass(point.air), mass(found.air));
        }
    }

    #[test]
    fn the_submergence_for_a_flow_gives_that_flow(riser in riser(), velocity in gas_velocity()) {
        let air = air(&riser, velocity);
        let operated = riser.operate(air).unwrap();
        let Some(point) = operated.point() else { return untold("no water") };
        if point.water_flow.value < 1e-6 / 6e4 {
            return untold("a trace");
        }
        let given = riser.spec().dimensions.submergence;
        // The given one itself is a solution but for rounding.
        let found = riser.submergence_for(point.water_flow, air, given * (1.0 + 1e-7)).unwrap();
        prop_assert!(found <= given * (1.0 + 1e-7), "{} m found, {} m given", found.value, given.value);
        let back = water(&with_submergence(&riser, found.value).unwrap(), air);
        prop_assert!((back / point.water_flow.value - 1.0).abs() < 1e-5, "{:e} wanted, {back:e} found", point.water_flow.value);
    }

    #[test]
    fn a_still_column_stands_no_higher_than_slugs_leave_water_for(riser in riser(), velocity in gas_velocity()) {
        // Gas that rises at 1.2 j_g and more fills less than 1/1.2 of water at rest (Nicklin 1962), so the
        // water of a depth S stands in less than S/(1 − 1/1.2) = 6 S.
        let submergence = riser.spec().dimensions.submergence.value;
        if let Some(lift) = riser.lift_at_zero_flow(air(&riser, velocity)).unwrap() {
            prop_assert!(lift.value < 5.0 * submergence, "{} m over {submergence} m", lift.value);
        }
    }

    #[test]
    fn the_lift_at_zero_flow_is_where_the_flow_ends(riser in riser(), velocity in gas_velocity()) {
        let air = air(&riser, velocity);
        // So much air that no column of water stands.
        let Some(lift) = riser.lift_at_zero_flow(air).unwrap() else { return untold("no column stands") };
        let lift = lift.value;
        let submergence = riser.spec().dimensions.submergence.value;
        let step = 1e-4 * (submergence + lift);
        // Above what can be built, or no column at all.
        let (Some(lower), Some(higher)) = (with_lift(&riser, lift - step), with_lift(&riser, lift + step)) else { return untold("not to be built") };
        if lift < -0.99 * submergence {
            return untold("no column");
        }
        prop_assert!(water(&lower, air) > 0.0, "nothing flows just below {lift} m");
        prop_assert_eq!(water(&higher, air), 0.0);
    }

    #[test]
    fn a_flow_above_the_peak_is_refused_with_the_peak(riser in riser()) {
        let Some(peak) = peak(&riser) else { return untold("no peak") };
        prop_assume!(peak.water_flow.value > 1e-9);
        match riser.air_for(flow(1.001 * peak.water_flow.value)) {
            Err(Error::AbovePeak { peak_flow, .. }) => prop_assert_eq!(peak_flow, peak.water_flow),
            other => prop_assert!(false, "{other:?}"),
        }
        match riser.air_for(flow(0.999 * peak.water_flow.value)) {
            Ok(_) => {}
            Err(Error::RunsWithoutAir { .. }) => prop_assert!(riser.useful_lift() < meters(0.0)),
            Err(error) => prop_assert!(false, "{error}"),
        }
    }
}
