//! What a sizing promises.

use proptest::prelude::*;
use risewater::Pipe;
use risewater::riser::{BrinkHead, Dimensions, Outlet};
use risewater::sizing::{Design, Duty, Objective, Reason, Task, depths, size};
use risewater::units::*;
use risewater::{Model, RiserSpec};

use crate::risers::{logarithmic, meters, site, told};

const G: f64 = 9.806_65;

fn problem() -> impl Strategy<Value = Task> {
    let duty = (logarithmic(5.0, 3000.0), 0.0..0.8);
    let limits = (
        1u32..6,
        prop::option::of(3.0..20.0),
        0.0..0.3,
        prop::sample::select(Objective::ALL.to_vec()),
    );
    (duty, limits, site(), 0.3..2.5, any::<bool>()).prop_map(
        |((flow, lift), (lifts, pressure, reserve, objective), site, deepest, elbow)| {
            let duty = Duty {
                water_flow: VolumeRate::new::<liter_per_minute>(flow),
                lift: meters(lift),
            };
            let mut shared = RiserSpec::new(Dimensions {
                bore: meters(0.05),
                submergence: meters(1.0),
                lift: meters(lift),
            });
            if elbow {
                shared = shared.with_outlet(Outlet::Elbow {
                    loss: Ratio::new::<ratio>(1.0),
                    bore: None,
                    head: BrinkHead::Mixture,
                });
            }
            let pipes = Pipe::of_standards(&["ASTM D1785 Sch 40"])
                .unwrap()
                .into_iter()
                .step_by(3)
                .collect();
            let mut problem = Task::new(
                duty,
                site,
                shared,
                pipes,
                depths(None, meters(deepest), Some(meters(deepest / 3.0))).unwrap(),
            );
            problem.model = Model::default();
            (problem.min_lifts, problem.max_lifts) = (lifts.div_ceil(3), lifts);
            problem.max_air_pressure = pressure.map(GaugePressure::new::<kilopascal>);
            problem.peak_reserve = Ratio::new::<ratio>(reserve);
            problem.objective = objective;
            problem
        },
    )
}

/// Air power, lifts, air flow, running pressure.
fn merits(design: &Design) -> [f64; 4] {
    [
        design.injection_power_total().value,
        f64::from(design.lifts),
        design.air_flow_total_at_20_c().value,
        design.injection_pressure().get::<pascal>(),
    ]
}

proptest! {
    #![proptest_config(told(256, 512))]

    #[test]
    fn designs_do_what_they_say(problem in problem()) {
        let found = size(&problem).unwrap();
        let numbers = (problem.max_lifts - problem.min_lifts + 1) as usize;
        let candidates = problem.pipes.len() * problem.submergences.len() * numbers;
        prop_assert_eq!(found.candidates, candidates);
        prop_assert_eq!(found.designs.len() + found.rejected.len(), candidates);
        prop_assert!(found.solved >= found.designs.len() && found.solved <= candidates);
        let place = match problem.objective {
            Objective::AirPower => 0,
            Objective::Lifts => 1,
            Objective::AirFlow => 2,
            _ => 3,
        };
        let all: Vec<[f64; 4]> = found.designs.iter().map(merits).collect();
        for pair in all.windows(2) {
            prop_assert!(pair[0][place] <= pair[1][place], "ranking by {}", problem.objective);
        }
        for (design, own) in found.designs.iter().zip(&all) {
            // The same flow, solved the other way round.
            let wanted = problem.duty.water_flow / f64::from(design.lifts);
            let outcome = design.riser.operate(design.point.air).unwrap();
            prop_assert!((outcome.water_flow() / wanted - Ratio::new::<ratio>(1.0)).value.abs() < 1e-6, "{design:?}");
            prop_assert!((design.water_flow_total() / problem.duty.water_flow).value > 1.0 - 1e-9);
            // Within the limits.
            prop_assert!(design.lifts >= 1 && design.lifts <= problem.max_lifts);
            prop_assert!(problem.submergences.contains(&design.submergence));
            prop_assert!(problem.pipes.iter().any(|pipe| pipe.name == design.pipe.name));
            let startup = problem.site.water.density().value * G * design.submergence.value;
            prop_assert!((design.startup_pressure.get::<pascal>() / startup - 1.0).abs() < 1e-12);
            if let Some(limit) = problem.max_air_pressure {
                prop_assert!(startup <= limit.get::<pascal>() * (1.0 + 1e-12));
            }
            let allowed = design.peak.water_flow * (1.0 - problem.peak_reserve.value);
            prop_assert!(design.point.water_flow <= allowed * (1.0 + 1e-12));
            prop_assert!(design.point.air <= design.peak.air);
            prop_assert_eq!(design.riser.spec().dimensions, Dimensions { bore: design.pipe.bore(), submergence: design.submergence, lift: problem.duty.lift });
            prop_assert!(design.lifts >= problem.min_lifts);
            // Pareto, by brute force.
            let beaten = all.iter().any(|other| other != own && other.iter().zip(own).all(|(a, b)| a <= b));
            prop_assert_eq!(design.pareto, !beaten);
        }
        // Far fewer lifts for little power, and the best inside the data, by brute force.
        let inside = |design: &Design| design.outside_data().is_empty();
        if let Some(best) = found.best() {
            let few = |design: &&Design| {
                f64::from(design.lifts) <= 0.6 * f64::from(best.lifts)
                    && design.injection_power_total() <= best.injection_power_total() * 1.15
                    && (inside(design) || !inside(best))
                    && problem.objective == Objective::AirPower
            };
            let fewest = found.designs.iter().filter(few).map(|design| design.lifts).min();
            let named = found.with_fewer_lifts(&problem);
            prop_assert_eq!(named.map(|design| design.lifts), fewest);
            let known = found.designs.iter().find(|design| inside(design));
            prop_assert_eq!(found.best_inside_data(), known.filter(|_| !inside(best)));
        }
        for rejected in &found.rejected {
            prop_assert!(rejected.reason.code() != "unsolved" && rejected.reason.code() != "cannot_be", "{rejected:?}");
            let near = rejected.reason.nearness();
            prop_assert!(near.is_finite() && near <= 1.0 + 1e-12, "{rejected:?}");
        }
        prop_assume!(!found.designs.is_empty());
    }
}

proptest! {
    #![proptest_config(told(64, 128))]

    #[test]
    fn total_gas_pressure_limits_the_depth(
        mut problem in problem(),
        rise in 0.0..0.3,
        at in any::<prop::sample::Index>(),
    ) {
        problem.level_rise = meters(rise);
        let free = size(&problem).unwrap();
        prop_assert!(free.rejected.iter().all(|r| r.reason.code() != "total_gas_pressure"));
        // The limit is what one of the depths gives, half of its hydrostatics: that one is just inside.
        let depth = *at.get(&problem.submergences);
        let bound = |depth: Length| {
            let weight = problem.site.water.density().value * G * (depth + meters(rise)).value;
            1.0 + 0.5 * weight / problem.site.atmosphere.get::<pascal>()
        };
        let limit = bound(depth) * (1.0 + 1e-12);
        let mut limited = problem.clone();
        limited.max_total_gas_pressure = Some(Ratio::new::<ratio>(limit));
        let found = size(&limited).unwrap();
        let kept: Vec<_> = free
            .designs
            .iter()
            .filter(|design| design.submergence <= depth)
            .map(|design| (&design.pipe.name, design.lifts, design.submergence, design.point))
            .collect();
        let designs: Vec<_> = found
            .designs
            .iter()
            .map(|design| (&design.pipe.name, design.lifts, design.submergence, design.point))
            .collect();
        prop_assert_eq!(designs, kept);
        prop_assert_eq!(found.candidates, free.candidates);
        prop_assert!(found.solved <= free.solved);
        for rejected in &found.rejected {
            if let Reason::TotalGasPressure { bound: most, limit } = &rejected.reason {
                prop_assert!(most > limit && rejected.submergence > depth);
                prop_assert!((most.value / bound(rejected.submergence) - 1.0).abs() < 1e-12);
            } else {
                let first = problem.max_air_pressure.is_some_and(|limit| {
                    problem.site.water.density().value * G * rejected.submergence.value > limit.get::<pascal>()
                });
                prop_assert!(first || rejected.submergence <= depth, "{rejected:?}");
            }
        }
        // Just outside, it goes.
        limited.max_total_gas_pressure = Some(Ratio::new::<ratio>(bound(depth) * (1.0 - 1e-12)));
        let found = size(&limited).unwrap();
        prop_assert!(found.designs.iter().all(|design| design.submergence < depth));
        prop_assume!(free.designs.iter().any(|design| design.submergence >= depth));
    }
}
