//! The depth of least power against every depth of a fine grid.

use risewater::air::AirState;
use risewater::pipe::Pipe;
use risewater::riser::{Dimensions, RiserSpec, Site};
use risewater::sizing::{Duty, Task, depths};
use risewater::supply::blower::{Efficiency, Requirement};
use risewater::supply::{AirSide, DepthLimit, best_depths};
use risewater::units::{
    AbsolutePressure, GaugePressure, Length, Power, Pressure, Ratio, ThermodynamicTemperature,
    VolumeRate, degree_celsius, kilopascal, liter_per_minute, meter, ratio, watt,
};
use risewater::{AirFlow, Model, Water};

fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn problem(deepest_m: f64) -> Task {
    let site = Site {
        water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(14.0)).unwrap(),
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    };
    let duty = Duty {
        water_flow: VolumeRate::new::<liter_per_minute>(240.0),
        lift: m(0.15),
    };
    let shared = RiserSpec::new(Dimensions {
        bore: m(0.05),
        submergence: m(1.0),
        lift: duty.lift,
    });
    let pipes = Pipe::of_standards(&["ASTM D1785 Sch 40"]).unwrap();
    let depths = depths(Some(m(0.4)), m(deepest_m), None).unwrap();
    let mut problem = Task::new(duty, site, shared, pipes, depths);
    problem.max_lifts = 3;
    problem.peak_reserve = Ratio::new::<ratio>(0.1);
    problem
}

fn air_side() -> AirSide {
    AirSide {
        intake: AirState::DRY_20_C,
        loss: Pressure::new::<kilopascal>(4.0),
        efficiency: Efficiency::WireToAir(Ratio::new::<ratio>(0.35)),
    }
}

/// Wire power of a pipe, a number of lifts and a depth, put together apart from the search.
fn wire_power(problem: &Task, pipe: &Pipe, lifts: u32, depth: Length) -> Option<Power> {
    let mut spec = problem.riser;
    spec.dimensions = Dimensions {
        bore: pipe.bore(),
        submergence: depth,
        lift: problem.duty.lift,
    };
    let riser = spec.build(&problem.site, Model::default()).ok()?;
    let target = problem.duty.water_flow / f64::from(lifts);
    if target > riser.peak().ok()?.water_flow * 0.9 {
        return None;
    }
    let point = riser.air_for(target).ok()?;
    let density = problem.site.water.density();
    let rest = problem.site.atmosphere + density * risewater::units::STANDARD_GRAVITY * depth;
    let pressure = if point.injection_pressure > rest {
        point.injection_pressure
    } else {
        rest
    };
    let requirement = Requirement {
        air: AirFlow::from_dry_mass(point.air.dry_mass_rate() * f64::from(lifts)).unwrap(),
        intake: AirState::DRY_20_C,
        pressure_rise: pressure - problem.site.atmosphere + Pressure::new::<kilopascal>(4.0),
        margin: Ratio::new::<ratio>(0.0),
        efficiency: air_side().efficiency,
    };
    requirement.specification().unwrap().wire_power
}

#[test]
fn no_depth_of_a_fine_grid_takes_less() {
    for deepest in [1.0, 2.5, 6.0] {
        let problem = problem(deepest);
        let found = best_depths(&problem, &air_side()).unwrap();
        let best = &found[0].best;
        let least = best.wire_power.unwrap().get::<watt>();
        let again = wire_power(&problem, &found[0].pipe, found[0].lifts, best.submergence).unwrap();
        assert!((again.get::<watt>() / least - 1.0).abs() < 1e-9);
        let mut compared = 0;
        for pipe in &problem.pipes {
            for lifts in 1..=3 {
                for n in 0..=100 {
                    let depth = m(0.4 + (deepest - 0.4) * f64::from(n) / 100.0);
                    if let Some(power) = wire_power(&problem, pipe, lifts, depth) {
                        // The search refines the best few of a coarse grid: a millionth is rounding of depth.
                        let share = power.get::<watt>() / least;
                        assert!(
                            share > 1.0 - 1e-6,
                            "{deepest}: {lifts} x {} at {depth:?} takes {share} of it",
                            pipe.name
                        );
                        compared += 1;
                    }
                }
            }
        }
        // At a tenth of the grid's points at least the duty can be met.
        let grid = problem.pipes.len() * 3 * 101;
        assert!(10 * compared > grid, "{compared} of {grid}");
        println!(
            "to {deepest} m: {} x {} at {:.3} m, {least:.1} W, {:?}",
            found[0].lifts,
            found[0].pipe.name,
            best.submergence.get::<meter>(),
            found[0].limit
        );
    }
}

#[test]
fn a_limit_of_pressure_is_told() {
    let mut problem = problem(6.0);
    problem.max_air_pressure = Some(GaugePressure::new::<kilopascal>(8.0));
    let found = best_depths(&problem, &air_side()).unwrap();
    let deepest = found
        .iter()
        .map(|one| one.best.submergence.get::<meter>())
        .fold(0.0, f64::max);
    // 8 kPa over 9.8 kPa a metre.
    assert!(deepest < 0.82);
    assert_eq!(found[0].limit, DepthLimit::AirPressure);
}

#[test]
fn the_limit_of_gas_bounds_the_depth() {
    let mut problem = problem(6.0);
    let most = Ratio::new::<ratio>(1.08);
    problem.max_total_gas_pressure = Some(most);
    problem.level_rise = m(0.05);
    let found = best_depths(&problem, &air_side()).unwrap();
    assert!(!found.is_empty());
    for one in &found {
        let bound = problem
            .total_gas_pressure_bound(one.best.submergence)
            .unwrap();
        assert!(bound <= most * (1.0 + 1e-12), "{:?}", one.best.submergence);
    }
    assert_eq!(found[0].limit, DepthLimit::TotalGasPressure);
}

#[test]
fn low_water_in_the_duty_is_held_at_each_depth() {
    let mut problem = problem(2.5);
    problem.level_fall = m(0.2);
    problem.at_low_water = true;
    let found = best_depths(&problem, &air_side()).unwrap();
    assert!(!found.is_empty());
    for one in &found {
        let mut spec = problem.riser;
        spec.dimensions = Dimensions {
            bore: one.pipe.bore(),
            submergence: one.best.submergence - m(0.2),
            lift: problem.duty.lift + m(0.2),
        };
        let low = spec.build(&problem.site, Model::default()).unwrap();
        let share = problem.duty.water_flow / f64::from(one.lifts);
        let flow = low.operate(one.best.point.air).unwrap().water_flow();
        // The same flow, solved the other way round.
        assert!(((flow / share).get::<ratio>() - 1.0).abs() < 1e-6);
        assert!(share <= low.peak().unwrap().water_flow * 0.9 * (1.0 + 1e-9));
        assert!(one.best.point.water_flow > share);
    }
}
