//! The text of every error. Numbers of our own in it are taken from the result they stand for.

use risewater::error::{Error, Solve};
use risewater::pipe::Pipe;
use risewater::sizing::{Objective, depths, size};
use risewater::units::*;
use risewater::{AirFlow, AirState, Friction, Model, Slip};

use crate::{liters, meters, problem, riser, site, spec};

fn text<T: std::fmt::Debug>(result: Result<T, Error>) -> String {
    result.unwrap_err().to_string()
}

#[test]
fn out_of_range() {
    assert_eq!(
        text(spec(0.5, 1.0, 0.1).build(&site(), Model::default())),
        "bore is 0.5 mm; it must lie in 1 to 3000 mm"
    );
    let pure = spec(50.0, 1.0, 0.1).with_entrance_loss(Ratio::new::<ratio>(-1.0));
    assert_eq!(
        text(pure.build(&site(), Model::default())),
        "entrance loss coefficient is -1; it must lie in 0 to 100"
    );
    assert_eq!(
        text(riser(50.0, 1.0, 0.1).air_for(liters(0.0))),
        "water flow is 0 L/min; it must lie in 0.000001 to 100000000 L/min"
    );
    let far = Model::default().with_developing_length(Ratio::new::<ratio>(62.5));
    assert_eq!(
        text(spec(2000.0, 60.0, 0.1).build(&site(), far)),
        "developing length is 125 m; it must lie in 0 to 25 m"
    );
    let mut none = problem();
    none.max_lifts = 0;
    assert_eq!(
        text(size(&none)),
        "largest number of lifts is 0 lifts; it must lie in 1 to 1000 lifts"
    );
}

#[test]
fn not_finite() {
    assert_eq!(
        text(spec(50.0, f64::NAN, 0.1).build(&site(), Model::default())),
        "submergence is not a finite number"
    );
}

#[test]
fn inconsistent() {
    assert_eq!(
        text(depths(Some(meters(2.0)), meters(1.0), Some(meters(0.5)))),
        "largest submergence (1 m) must be more than smallest submergence (2 m)"
    );
    let lost = spec(50.0, 1.0, 0.1).with_lost_bore(meters(0.0625));
    assert_eq!(
        text(lost.build(&site(), Model::default())),
        "bore (50 mm) must be more than bore lost to fouling (62.5 mm)"
    );
    let line = spec(25.0, 1.0, 0.1).with_air_line(meters(0.03125));
    assert_eq!(
        text(line.build(&site(), Model::default())),
        "bore (25 mm) must be more than outside diameter of the air line (31.25 mm)"
    );
    assert_eq!(
        text(spec(50.0, 1.0, -2.0).build(&site(), Model::default())),
        "submergence (1 m, downwards) must be more than lift (2 m, downwards)"
    );
}

#[test]
fn above_peak() {
    let riser = riser(50.0, 1.0, 0.5);
    let peak = riser.peak().unwrap();
    let expected = format!(
        "a water flow of 500.0000 L/min is above the peak of this riser, {:.4} L/min at {:.4} L/min of air (dry, 20 degC, 101.325 kPa); \
         use a wider bore, more submergence, less lift or more lifts",
        peak.water_flow.get::<liter_per_minute>(),
        peak.air.volume_rate_at_20_c().get::<liter_per_minute>()
    );
    assert_eq!(text(riser.air_for(liters(500.0))), expected);
}

#[test]
fn runs_without_air() {
    let riser = riser(50.0, 1.0, -0.5);
    let free = riser
        .operate(AirFlow::at(liters(0.0), &AirState::DRY_20_C).unwrap())
        .unwrap()
        .water_flow();
    let expected = format!(
        "without air {:.4} L/min already flow, more than the 10.0000 L/min wanted: throttle the outlet or raise it",
        free.get::<liter_per_minute>()
    );
    assert_eq!(text(riser.air_for(liters(10.0))), expected);
}

#[test]
fn lift_out_of_reach() {
    let riser = riser(50.0, 0.5, 200.0);
    let error = riser.peak().unwrap_err();
    let Error::LiftOutOfReach { reached, .. } = error else {
        panic!("{error}")
    };
    assert!(reached > meters(0.5) && reached < meters(200.0));
    let expected = format!(
        "no amount of air lifts the water 200.0000 m at this submergence; it reaches {:.4} m at best: add submergence or lower the outlet",
        reached.get::<meter>()
    );
    assert_eq!(error.to_string(), expected);
    assert_eq!(text(riser.air_for(liters(1.0))), expected);
}

#[test]
fn submergence_out_of_reach() {
    let air = AirFlow::at(liters(10.0), &AirState::DRY_20_C).unwrap();
    assert_eq!(
        text(riser(50.0, 1.0, 0.5).submergence_for(liters(900.0), air, meters(2.0))),
        "no submergence from 0.0010 m to 2.0000 m gives a water flow of 900.0000 L/min with this air flow"
    );
}

#[test]
fn unknown_names() {
    assert_eq!(
        text("bubly".parse::<Slip>()),
        "there is no slip closure named \"bubly\"; did you mean \"bubbly\"?"
    );
    assert_eq!(
        text("friedel_1978".parse::<Friction>()),
        "there is no friction closure named \"friedel_1978\"; did you mean \"friedel_1979\"?"
    );
    assert_eq!(
        text("zzz".parse::<Objective>()),
        "there is no objective named \"zzz\""
    );
    assert_eq!(
        text(AirState::named("normal_din_1334")),
        "there is no reference state of air named \"normal_din_1334\"; did you mean \"normal_din_1343\"?"
    );
    assert_eq!(
        text(Pipe::named("ASTM D1785 Sch 40 9 in")),
        "there is no pipe named \"ASTM D1785 Sch 40 9 in\"; did you mean \"ASTM D1785 Sch 40 1 in\"?"
    );
    assert_eq!(
        text(Pipe::of_standards(&["ASTM D1786"])),
        "there is no pipe standard named \"ASTM D1786\"; did you mean \"ASTM D1785\"?"
    );
}

#[test]
fn not_converged() {
    // A defect: no input is known to give it.
    let error = Error::NotConverged {
        what: Solve::WaterFlow,
        iterations: 250,
        residual: 1.5e-3,
        low: 0.25,
        high: 0.5,
    };
    assert_eq!(
        error.to_string(),
        "water flow did not settle after 250 iterations between 0.25 and 0.5: residual 1.5e-3"
    );
}

#[test]
fn a_level_change_that_leaves_no_riser() {
    let mut problem = problem();
    problem.level_fall = meters(50.0);
    assert_eq!(
        size(&problem).unwrap_err().to_string(),
        "largest submergence (1 m) must be more than fall of the tank's water level (50 m)"
    );
}

/// What is no error is told in words as well.
#[test]
fn outcomes_and_reasons() {
    let riser = riser(50.0, 1.0, 0.5);
    let start = riser.threshold().unwrap().unwrap();
    let air = |times: f64| AirFlow::from_dry_mass(start.dry_mass_rate() * times).unwrap();
    let told = |times: f64| riser.operate(air(times)).unwrap().to_string();
    assert_eq!(told(0.5), format!("no water; pumping starts at {start}"));
    let point = riser.operate(air(3.0)).unwrap();
    let flow = point.water_flow().get::<liter_per_minute>();
    assert!((10.0..100.0).contains(&flow), "{flow}");
    assert_eq!(told(3.0), format!("{flow:.2} L/min of water"));

    let mut problem = problem();
    assert_eq!(size(&problem).unwrap().best().unwrap().lifts, 1);
    problem.duty.lift = meters(100.0);
    let found = size(&problem).unwrap();
    assert_eq!(found.best(), None);
    let reason = &found.rejected[0].reason;
    let metric = reason.to_string();
    assert!(metric.starts_with("lift out of reach, best "), "{metric}");
    assert!(metric.ends_with(" of 100.0 m"), "{metric}");
    // 100 m over 0.3048 m
    assert!(reason.worded(UnitSystem::Us).ends_with(" of 328.1 ft"));
    for brink in ["mixture", "clear_water"] {
        let found: risewater::riser::BrinkHead = brink.parse().unwrap();
        assert_eq!(found.to_string(), brink);
    }
    assert_eq!("scfm_cagi".parse(), Ok(AirState::SCFM_CAGI));
}
