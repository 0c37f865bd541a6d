//! The air for a predicted flow, and for the lower end of its interval.

use proptest::prelude::*;
use risewater::Error;
use risewater::pipe::Pipe;
use risewater::riser::{Dimensions, RiserSpec};
use risewater::sizing::{Duty, Reason, Task, depths, size};
use risewater::uncertainty::{ErrorLaw, Predictor, Wanted};
use risewater::units::{Length, VolumeRate, liter_per_minute, meter};

use crate::made::{config, ends, law, points, riser, share, times};

/// Relative, what the search for the air leaves: its documented residual.
const SETTLED: f64 = 1e-6;

fn flow(predictor: &Predictor, air: risewater::AirFlow, which: Wanted) -> f64 {
    ends(predictor, air)[usize::from(which == Wanted::LowerEnd)]
}

proptest! {
    #![proptest_config(config(150))]

    #[test]
    fn the_flow_at_the_air_found_is_the_wanted_one(riser in riser(0.45..1.0), part in 0.3..0.99, made in points(0)) {
        let predictor = law(0.8, &riser, &made).on(&riser).unwrap();
        let most = predictor.most(Wanted::LowerEnd).unwrap();
        prop_assume!(most.value > 0.0);
        let wanted = part * most;
        prop_assume!(riser.threshold().unwrap().is_some());
        let both = [Wanted::Predicted, Wanted::LowerEnd].map(|which| {
            let found = predictor.air_for(wanted, which).unwrap();
            let there = flow(&predictor, found.air, which);
            assert!((there / wanted.value - 1.0).abs() < SETTLED, "{which:?}: {there} for {wanted:?}");
            found
        });
        prop_assert!(both[1].air > both[0].air);
        prop_assert!(both[1].water_flow > both[0].water_flow);
        for which in [Wanted::Predicted, Wanted::LowerEnd] {
            let most = predictor.most(which).unwrap();
            let beyond = predictor.air_for(1.001 * most, which);
            prop_assert!(matches!(beyond, Err(Error::AbovePeak { .. })), "{beyond:?}");
        }
    }
}

/// No air flow gives more than what is told as the most, to what the golden section leaves.
#[test]
fn the_most_is_the_most() {
    let riser = crate::riser(50.0, 1.1, 0.4, 1.5, 0.5);
    // Read much too low at much air, and well at some: the lower end is highest where it was measured.
    let made = (
        vec![(1.0, 0.2, 0.1), (1.0, 0.25, 0.1), (1.0, 2.5, -0.6)],
        0.0,
    );
    let peak = riser.peak().unwrap().air;
    for (law, shifts) in [
        (ErrorLaw::default(), false),
        (law(0.95, &riser, &made), true),
    ] {
        let predictor = law.on(&riser).unwrap();
        for which in [Wanted::Predicted, Wanted::LowerEnd] {
            let most = predictor.most(which).unwrap();
            for n in -60..=60 {
                let there = flow(&predictor, times(peak, (0.02 * f64::from(n)).exp()), which);
                assert!(there <= most.value * (1.0 + 1e-5), "{which:?} {n}");
            }
            let found = predictor.air_for(0.999 * most, which).unwrap();
            let there = flow(&predictor, found.air, which);
            assert!((there / (0.999 * most.value) - 1.0).abs() < SETTLED);
        }
        assert_eq!(predictor.peak().unwrap().air < times(peak, 0.9), shifts);
    }
}

fn problem(at_lower_end: bool) -> Task {
    let m = Length::new::<meter>;
    let duty = Duty {
        water_flow: VolumeRate::new::<liter_per_minute>(150.0),
        lift: m(0.15),
    };
    let shared = RiserSpec::new(Dimensions {
        bore: m(0.05),
        submergence: m(1.0),
        lift: duty.lift,
    });
    let pipes = Pipe::of_standards(&["ASTM D1785 Sch 40"]).unwrap();
    let mut problem = Task::new(
        duty,
        crate::site(),
        shared,
        pipes,
        depths(None, m(1.4), Some(m(0.2))).unwrap(),
    );
    problem.max_lifts = 3;
    problem.level_fall = m(0.05);
    problem.at_lower_end = at_lower_end;
    problem
}

/// Each design's lower end meets its share, with more air than its predicted flow takes; what cannot is above the
/// peak. At low water too where that is asked.
#[test]
fn designs_at_the_lower_end() {
    for at_low_water in [false, true] {
        let [plain, sure] = [false, true].map(|at_lower_end| {
            let mut problem = problem(at_lower_end);
            problem.at_low_water = at_low_water;
            (size(&problem).unwrap(), problem)
        });
        let (found, problem) = &sure;
        assert!(found.designs.len() > 10 && found.designs.len() < plain.0.designs.len());
        for design in &found.designs {
            let mut spec = *design.riser.spec();
            if at_low_water {
                spec.dimensions.submergence -= problem.level_fall;
                spec.dimensions.lift += problem.level_fall;
            }
            let lowered = design.riser.with_spec(spec).unwrap();
            let predictor = problem.law.on(&lowered).unwrap();
            let [_, low, _] = ends(&predictor, design.point.air);
            let share = design.share(problem).value;
            assert!((low / share - 1.0).abs() < SETTLED, "{low} for {share}");
            let same = |one: &&risewater::sizing::Design| {
                (&one.pipe, one.lifts, one.submergence)
                    == (&design.pipe, design.lifts, design.submergence)
            };
            let other = plain.0.designs.iter().find(same).unwrap();
            assert!(design.point.air > other.point.air);
            let cost = design.doubt_cost(problem).unwrap();
            let (predicted, lower_end) = (cost.predicted.unwrap(), cost.lower_end.unwrap());
            assert!(
                (predicted.air.dry_mass_rate().value / duty_air(other, &plain.1) - 1.0).abs()
                    < SETTLED
            );
            assert!(
                (lower_end.air.dry_mass_rate().value / duty_air(design, problem) - 1.0).abs()
                    < SETTLED
            );
        }
        let above = |reason: &Reason| match reason {
            Reason::AtLowWater(reason) => matches!(**reason, Reason::AbovePeak { .. }),
            reason => matches!(reason, Reason::AbovePeak { .. }),
        };
        assert!(found.rejected.iter().any(|one| above(&one.reason)));
    }
}

fn duty_air(design: &risewater::sizing::Design, problem: &Task) -> f64 {
    let lower = problem.at_low_water && design.low_water.is_some();
    let point = if lower {
        design.low_water.unwrap().point
    } else {
        design.point
    };
    point.air.dry_mass_rate().value
}

/// Below a submergence ratio of 0.4 no candidate has a lower end.
#[test]
fn no_design_without_an_interval() {
    let mut problem = problem(true);
    problem.duty.lift = Length::new::<meter>(2.5);
    problem.riser.dimensions.lift = problem.duty.lift;
    let found = size(&problem).unwrap();
    assert!(found.designs.is_empty());
    let codes: Vec<&str> = found.rejected.iter().map(|one| one.reason.code()).collect();
    assert!(codes.contains(&"cannot_be"), "{codes:?}");
}

/// A level of the interval changes what its lower end takes, and nothing at the predicted flow.
#[test]
fn a_higher_level_takes_more_air() {
    let riser = crate::riser(77.3, 1.2, 0.15, 1.5, 0.5);
    let wanted = VolumeRate::new::<liter_per_minute>(100.0);
    let air = |level: f64, which| {
        let law = ErrorLaw::default().with_level(share(level)).unwrap();
        let found = law.on(&riser).unwrap().air_for(wanted, which).unwrap();
        found.air.dry_mass_rate().value
    };
    assert_eq!(air(0.5, Wanted::Predicted), air(0.95, Wanted::Predicted));
    let lower = [0.5, 0.8, 0.9].map(|level| air(level, Wanted::LowerEnd));
    assert!(lower[0] < lower[1] && lower[1] < lower[2], "{lower:?}");
}

/// The depth found gives the flow, at whatever depth measured points come into reach; a little less does not.
#[test]
fn the_depth_for_a_flow() {
    let riser = crate::riser(57.0, 1.0, 0.1, 1.5, 0.5);
    let air = crate::air(40.0);
    let deepest = Length::new::<meter>(20.0);
    // A quarter less water than predicted: at the end of the trial's reach the flow jumps up.
    for made in [
        vec![],
        vec![(1.0, 0.1, -0.25)],
        vec![(1.0, 0.1, 0.25), (0.9, 0.2, -0.1)],
    ] {
        let law = law(0.8, &riser, &(made, 0.0));
        for wanted in [
            20.0, 60.0, 80.0, 90.0, 100.0, 105.0, 110.0, 120.0, 130.0, 150.0,
        ] {
            let wanted = VolumeRate::new::<liter_per_minute>(wanted);
            let found = Predictor::deepened(&law, &riser, (wanted, air), deepest).unwrap();
            let told = found.operate(air).unwrap().water_flow();
            assert!(told >= wanted * (1.0 - 1e-9), "{told:?} for {wanted:?}");
            let mut spec = *found.riser().spec();
            spec.dimensions.submergence *= 1.0 - 1e-6;
            let less = law.on(&found.riser().with_spec(spec).unwrap()).unwrap();
            assert!(less.operate(air).unwrap().water_flow() < wanted);
        }
    }
}
