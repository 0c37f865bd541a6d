//! The curves of pressure over air meet the plant where the solver says.

use super::hatchery::{hatchery, l_per_min};
use approx::assert_relative_eq;
use risewater::supply::PressurePoint;
use risewater::units::*;

/// The turns of header and risers settle to 1e-10 of a pressure near 120 kPa, twice.
const SETTLED: f64 = 1e-7;

fn rise_at_end(curve: &[PressurePoint]) -> f64 {
    curve.last().unwrap().rise.get::<kilopascal>()
}

#[test]
fn the_system_passes_through_design_and_crossing() {
    for (lifts, blowers) in [(1, 1), (12, 2), (60, 11)] {
        let supply = hatchery(lifts, blowers);
        let solved = supply.solve().unwrap();
        let duty = &solved.duty;
        let end = |manifold: &risewater::supply::Manifold, air| {
            let curve = manifold.system_curve(&duty.main, duty.intake.pressure, air, 2);
            rise_at_end(&curve.unwrap())
        };
        let design = end(&duty.manifold, duty.air);
        assert_relative_eq!(
            design,
            duty.running_rise.get::<kilopascal>(),
            max_relative = SETTLED
        );
        let operation = solved.operation.as_ref().unwrap();
        let drilled = &solved.drilled.as_ref().unwrap().manifold;
        let crossing = end(drilled, operation.unbled.split.air);
        assert_relative_eq!(
            crossing,
            operation.unbled_rise.get::<kilopascal>(),
            max_relative = SETTLED
        );
    }
}

#[test]
fn curves_have_the_points_asked_for_and_blowers_fall() {
    let supply = hatchery(12, 2);
    let solved = supply.solve().unwrap();
    let curves = solved.pressure_curves(&supply.plant, 40).unwrap();
    assert_eq!(curves.system.len(), 40);
    for blower in [&curves.blowers, &curves.one_less] {
        assert_eq!(blower.len(), 40);
        assert!(blower.windows(2).all(|p| p[1].rise < p[0].rise));
    }
    // Half the air of two at any rise.
    let (two, one) = (curves.blowers[20], curves.one_less[20]);
    assert_relative_eq!(two.rise.value, one.rise.value, max_relative = 1e-9);
    let last = curves.system.last().unwrap();
    assert!(last.air > l_per_min(1300.0));
    let error = solved.pressure_curves(&supply.plant, 1).unwrap_err();
    assert_eq!(
        error.to_string(),
        "number of points of a curve is 1 points; it must lie in 2 to 10000 points"
    );
}
