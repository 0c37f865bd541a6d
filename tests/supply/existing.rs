//! Plants that stand: against a network written and solved apart from the library, laws, dead ends, what to change.

use proptest::prelude::*;
use risewater::air::{AirFlow, AirState, viscosity};
use risewater::pipe::colebrook_factor;
use risewater::riser::{Dimensions, Riser, RiserSpec, Site};
use risewater::supply::blower::{Blower, Efficiency, Machine, RatedPoint, Rating};
use risewater::supply::{
    AirLine, AirSource, BlowerPlace, Blowers, Branch, CurvePlace, Existing, Header, Manifold,
    Orifice, PipeRun, Piping, Plant, Remedy, RemedyKind, Vent,
};
use risewater::units::{
    AbsolutePressure, Length, MassRate, Pressure, Ratio, ThermodynamicTemperature, VolumeRate,
    cubic_meter_per_hour, degree_celsius, kilogram_per_second, kilopascal, liter_per_minute, meter,
    millimeter, pascal, pascal_second, ratio,
};
use risewater::{Model, Water};

const R: f64 = 287.055;
const G: f64 = 9.806_65;
const ATMOSPHERE: f64 = 101_325.0;
/// Temperature of all lines, K.
const LINES_K: f64 = 303.15;

fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn kg_s(air: AirFlow) -> f64 {
    air.dry_mass_rate().get::<kilogram_per_second>()
}

fn air(kg_per_s: f64) -> AirFlow {
    AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(kg_per_s)).unwrap()
}

/// A lift as the tests write it down.
#[allow(clippy::struct_field_names, reason = "a lift has a lift")]
#[derive(Debug, Clone, Copy)]
struct Lift {
    bore_mm: f64,
    submergence_m: f64,
    lift_m: f64,
    line_mm: f64,
    length_m: f64,
    /// Loss coefficients of line and valve together.
    losses: f64,
    valve: f64,
    hole_mm: Option<f64>,
    at_m: f64,
}

const ONE: Lift = Lift {
    bore_mm: 52.5,
    submergence_m: 1.0,
    lift_m: 0.15,
    line_mm: 10.0,
    length_m: 4.0,
    losses: 2.0,
    valve: 0.0,
    hole_mm: None,
    at_m: 0.0,
};

impl Lift {
    fn riser(&self) -> Riser {
        let site = Site {
            water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(14.0)).unwrap(),
            atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
        };
        let dimensions = Dimensions {
            bore: mm(self.bore_mm),
            submergence: m(self.submergence_m),
            lift: m(self.lift_m),
        };
        RiserSpec::new(dimensions)
            .build(&site, Model::default())
            .unwrap()
    }

    fn branch(&self, n: usize) -> Branch {
        let line = AirLine::new(mm(self.line_mm), m(self.length_m))
            .with_loss(Ratio::new::<ratio>(self.losses));
        let mut branch = Branch::new(format!("lift {}", n + 1), m(self.at_m), line);
        branch.valve_loss = Ratio::new::<ratio>(self.valve);
        branch.orifice = self.hole_mm.map(|hole| Orifice::new(mm(hole)));
        branch
    }
}

/// Four lifts that differ in all.
fn four(holes: bool) -> [Lift; 4] {
    let lift = |bore_mm, submergence_m, line_mm, length_m, hole_mm, at_m| Lift {
        bore_mm,
        submergence_m,
        line_mm,
        length_m,
        hole_mm: holes.then_some(hole_mm),
        at_m,
        ..ONE
    };
    [
        lift(52.5, 1.05, 12.0, 3.0, 5.0, 1.0),
        lift(77.9, 1.0, 16.0, 2.0, 6.0, 4.0),
        lift(40.9, 0.95, 10.0, 5.0, 3.5, 9.0),
        lift(52.5, 1.02, 13.0, 2.5, 5.5, 15.0),
    ]
}

/// A blower of two points, whose curve is a straight line.
fn blower(highest_kpa: f64, most_m3_h: f64, last_kpa: f64, first_m3_h: f64) -> Blower {
    let point = |kpa: f64, m3_h: f64| RatedPoint {
        pressure_rise: Pressure::new::<kilopascal>(kpa),
        inlet_flow: VolumeRate::new::<cubic_meter_per_hour>(m3_h),
        power: None,
    };
    Blower::new(Rating {
        points: vec![point(highest_kpa, first_m3_h), point(last_kpa, most_m3_h)],
        conditions: AirState::DRY_20_C,
        machine: Machine::Dynamic,
        power_kind: None,
    })
    .unwrap()
}

const HEADER_MM: f64 = 40.0;

fn existing(lifts: &[Lift], blower: Option<Blower>) -> Existing {
    let temperature = ThermodynamicTemperature::new::<degree_celsius>(30.0);
    let branches = lifts.iter().enumerate().map(|(n, lift)| lift.branch(n));
    let pipe = AirLine::new(mm(HEADER_MM), m(0.0));
    let header = Header::new(pipe, branches.collect());
    let risers = lifts.iter().map(Lift::riser).collect();
    let run = |bore_mm, length| PipeRun::new(mm(bore_mm), m(length));
    let plant = Plant {
        manifold: Manifold::new(header, risers).unwrap(),
        design: vec![air(0.0); lifts.len()],
        main: AirLine::new(mm(HEADER_MM), m(0.0)),
        outside: AirState::DRY_20_C,
        intake_loss: Pressure::new::<pascal>(0.0),
        arrival: Some(temperature),
        balancing: None,
        efficiency: Efficiency::Unknown,
        rise_margin: Ratio::new::<ratio>(0.0),
        blowers: blower.map(|blower| Blowers {
            blower,
            running: 1,
            standby: 0,
        }),
    };
    let lines = lifts.iter().map(|lift| run(lift.line_mm, lift.length_m));
    let piping = Piping {
        main: run(HEADER_MM, 0.0),
        header: run(HEADER_MM, 15.0),
        branches: lines.collect(),
        risers: vec![None; lifts.len()],
    };
    Existing::new(plant, piping)
}

/// A root by halving.
fn bisect(mut low: f64, mut high: f64, rises: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if rises(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// Pressure at the inlet of a smooth line, p1² − p2² = G (f L/D + K + 2 ln(p1/p2)), by fixed-point iteration.
fn line_inlet(flow: f64, p2: f64, bore_mm: f64, length_m: f64, losses: f64) -> f64 {
    if flow <= 0.0 {
        return p2;
    }
    let d = bore_mm * 1e-3;
    let flux = flow / (std::f64::consts::FRAC_PI_4 * d * d);
    let mu = viscosity(ThermodynamicTemperature::new::<risewater::units::kelvin>(
        LINES_K,
    ))
    .unwrap();
    let re = flux * d / mu.get::<pascal_second>();
    let f = colebrook_factor(Ratio::new::<ratio>(re), Ratio::new::<ratio>(1.5e-6 / d))
        .unwrap()
        .get::<ratio>();
    let g = flux * flux * R * LINES_K;
    let mut p1 = p2;
    for _ in 0..60 {
        p1 = (p2 * p2 + g * (f * length_m / d + losses + 2.0 * (p1 / p2).ln())).sqrt();
    }
    p1
}

/// Pressure before a plate that leaves some pressure behind it, after ISO 5167-2 with C = 0.62.
fn plate_upstream(flow: f64, left: f64, hole_mm: f64, bore_mm: f64) -> f64 {
    let (c, beta, d) = (0.62, hole_mm / bore_mm, hole_mm * 1e-3);
    let root = (1.0 - beta.powi(4) * (1.0 - c * c)).sqrt();
    let through = |p1: f64| {
        let x = (1.0 - left / p1) * (root + c * beta * beta) / (root - c * beta * beta);
        let rest = 1.0 - (1.0 - x).powf(1.0 / 1.4);
        let epsilon = 1.0 - (0.351 + 0.256 * beta.powi(4) + 0.93 * beta.powi(8)) * rest;
        let area = std::f64::consts::FRAC_PI_4 * d * d;
        c / (1.0 - beta.powi(4)).sqrt() * epsilon * area * p1 * (2.0 * x / (R * LINES_K)).sqrt()
    };
    bisect(left, 1.3 * left, |p1| through(p1) - flow)
}

/// Pressure at its tee that drives an air flow into a lift.
fn needed(lift: &Lift, riser: &Riser, flow: f64) -> f64 {
    let rho = riser.site().water.density().value;
    let rest = ATMOSPHERE + rho * G * lift.submergence_m;
    let outcome = riser.operate(air(flow)).unwrap();
    let foot = outcome
        .point()
        .map_or(rest, |point| point.injection_pressure.get::<pascal>());
    let losses = lift.losses + lift.valve;
    let behind = line_inlet(flow, foot, lift.line_mm, lift.length_m, losses);
    match lift.hole_mm {
        Some(hole) if flow > 0.0 => plate_upstream(flow, behind, hole, lift.line_mm),
        _ => behind,
    }
}

/// Air of a lift at a pressure of its tee, by false position on the root of the flow.
fn flow_at(lift: &Lift, riser: &Riser, tee: f64, near: f64) -> f64 {
    let excess = |flow: f64| needed(lift, riser, flow) - tee;
    if excess(0.0) >= 0.0 {
        return 0.0;
    }
    let (mut low, mut high) = (0.8 * near, 1.25 * near);
    while excess(low) > 0.0 {
        low *= 0.5;
    }
    while excess(high) < 0.0 {
        high *= 1.6;
    }
    let (mut f_low, mut f_high) = (excess(low), excess(high));
    for _ in 0..60 {
        let at = (low * f_high - high * f_low) / (f_high - f_low);
        let f = excess(at);
        if f.abs() < 1e-7 || high - low < 1e-13 * high {
            return at;
        }
        if f < 0.0 {
            (low, f_low) = (at, f);
            f_high *= 0.5;
        } else {
            (high, f_high) = (at, f);
            f_low *= 0.5;
        }
    }
    0.5 * (low + high)
}

/// Air of every lift where the feed of the header has a pressure: tees along the header until they stay.
fn split(lifts: &[Lift], risers: &[Riser], feed: f64, flows: &mut [f64]) {
    let mut tees = vec![feed; lifts.len()];
    for _ in 0..40 {
        for n in 0..lifts.len() {
            flows[n] = flow_at(&lifts[n], &risers[n], tees[n], flows[n].max(1e-5));
        }
        let (mut before, mut at, mut moved) = (feed, 0.0, 0.0_f64);
        for n in 0..lifts.len() {
            let carried: f64 = flows[n..].iter().sum();
            let length = lifts[n].at_m - at;
            let outlet = if length > 0.0 {
                bisect(0.9 * before, before, |p2| {
                    line_inlet(carried, p2, HEADER_MM, length, 0.0) - before
                })
            } else {
                before
            };
            moved = moved.max((outlet - tees[n]).abs());
            (tees[n], before, at) = (outlet, outlet, lifts[n].at_m);
        }
        if moved < 1e-5 {
            return;
        }
    }
    panic!("the tees do not stay");
}

/// Air of every lift on a blower whose curve is a straight line of its inlet flow.
fn by_hand(lifts: &[Lift], highest_kpa: f64, most_m3_h: f64) -> Vec<f64> {
    let risers: Vec<Riser> = lifts.iter().map(Lift::riser).collect();
    let density = ATMOSPHERE / (R * 293.15);
    let rise = |flow: f64| 1e3 * highest_kpa * (1.0 - flow / density * 3600.0 / most_m3_h);
    let mut flows = vec![5e-4; lifts.len()];
    // A blower falls and the lifts rise with the pressure: their air less that of the blower rises.
    let (mut low, mut high) = (ATMOSPHERE, ATMOSPHERE + 1e3 * highest_kpa);
    for _ in 0..40 {
        let feed = 0.5 * (low + high);
        split(lifts, &risers, feed, &mut flows);
        if ATMOSPHERE + rise(flows.iter().sum()) > feed {
            low = feed;
        } else {
            high = feed;
        }
    }
    flows
}

/// Densities of dry air are those of an ideal gas here, and of the library's moist-air formula there: they agree to
/// 5e-4 at the inlet, and so do flows of a blower's table.
const APART: f64 = 5e-4;

fn compare(lifts: &[Lift], highest_kpa: f64, most_m3_h: f64) {
    let curve = blower(highest_kpa, most_m3_h, 0.0, 0.0);
    let steady = existing(lifts, Some(curve)).steady().unwrap();
    let expected = by_hand(lifts, highest_kpa, most_m3_h);
    for (n, flow) in steady.running.split.branches.iter().enumerate() {
        let (got, expected) = (kg_s(flow.air), expected[n]);
        assert!(expected > 0.0, "lift {} gets no air", n + 1);
        assert!(
            (got / expected - 1.0).abs() < APART,
            "lift {}: {got:e}, by hand {expected:e}",
            n + 1
        );
        let water = lifts[n]
            .riser()
            .operate(air(expected))
            .unwrap()
            .water_flow();
        let got = steady.running.lifts[n].water_flow();
        assert!(((got - water) / water).get::<ratio>().abs() < APART);
    }
    assert_eq!(steady.place, Some(BlowerPlace::OnTable));
}

#[test]
fn one_lift_by_hand() {
    compare(&[ONE], 20.0, 8.0);
    let hole = Lift {
        hole_mm: Some(3.0),
        ..ONE
    };
    compare(&[hole], 20.0, 8.0);
}

#[test]
fn four_unlike_lifts_by_hand() {
    compare(&four(false), 22.0, 90.0);
    compare(&four(true), 22.0, 90.0);
}

/// At the blower's own density the two agree to rounding: what a fixed pressure drives hangs on no density.
#[test]
fn a_fixed_pressure_by_hand() {
    let lifts = four(true);
    let mut plant = existing(&lifts, None);
    let feed = ATMOSPHERE + 14_000.0;
    plant.source = AirSource::Pressure(AbsolutePressure::new::<pascal>(feed));
    let steady = plant.steady().unwrap();
    let risers: Vec<Riser> = lifts.iter().map(Lift::riser).collect();
    let mut flows = vec![5e-4; 4];
    split(&lifts, &risers, feed, &mut flows);
    for (flow, expected) in steady.running.split.branches.iter().zip(flows) {
        // By the false position's and the tees' 1e-5 Pa.
        assert!((kg_s(flow.air) / expected - 1.0).abs() < 1e-6);
    }
    // As much air as that, fixed, needs that pressure.
    plant.source = AirSource::Air(steady.running.split.air);
    let again = plant.steady().unwrap();
    let pressure = again.running.split.pressure.get::<pascal>();
    assert!((pressure / feed - 1.0).abs() < 1e-8, "{pressure}");
}

fn vents() -> impl Strategy<Value = Option<Vent>> {
    prop_oneof![
        Just(None),
        (2.0..8.0).prop_map(|hole| Some(Vent::Hole(Orifice::new(mm(hole))))),
        (0.0..0.6).prop_map(|share| Some(Vent::Share(Ratio::new::<ratio>(share)))),
    ]
}

prop_compose! {
    fn lifts()(all in prop::collection::vec(
        (30.0..80.0, 0.5..1.4, 0.05..0.3, 8.0..20.0, 1.0..6.0, prop::option::of(2.0..7.0)), 1..5
    )) -> Vec<Lift> {
        let numbered = all.into_iter().enumerate();
        numbered.map(|(n, (bore_mm, submergence_m, lift_m, line_mm, length_m, hole_mm))| Lift {
            bore_mm, submergence_m, lift_m, line_mm, length_m, hole_mm, at_m: 2.0 * n as f64, ..ONE
        }).collect()
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    /// What the lifts get and what is bled is what the blower gives at its rise.
    #[test]
    fn air_is_kept(lifts in lifts(), vent in vents(), highest in 8.0..30.0, most in 3.0..80.0) {
        let mut plant = existing(&lifts, Some(blower(highest, most, 0.0, 0.0)));
        plant.vent = vent;
        let steady = plant.steady().unwrap();
        let sum: f64 = steady.running.split.branches.iter().map(|flow| kg_s(flow.air)).sum();
        let sum = sum + kg_s(steady.bled);
        prop_assert!((sum - kg_s(steady.blown)).abs() <= 1e-9 * sum);
        if steady.place == Some(BlowerPlace::OnTable) {
            let curve = steady.curve.as_ref().unwrap();
            let rise = curve.rise(steady.blown).unwrap();
            let off = (rise - steady.rise).get::<pascal>();
            prop_assert!(off.abs() <= 1e-9 * steady.running.split.pressure.get::<pascal>(), "{off}");
        }
    }

    /// More loss in a lift's valve never gives that lift more air.
    #[test]
    fn a_throttled_lift_gets_no_more(lifts in lifts(), n in 0_usize..4, less in 0.0..40.0, more in 0.0..40.0) {
        let mut lifts = lifts;
        let n = n % lifts.len();
        let mut air_with = |valve: f64| {
            lifts[n].valve = valve;
            let steady = existing(&lifts, Some(blower(20.0, 40.0, 0.0, 0.0))).steady().unwrap();
            kg_s(steady.running.split.branches[n].air)
        };
        let (before, after) = (air_with(less), air_with(less + more));
        prop_assert!(after <= before * (1.0 + 1e-9), "{before} {after}");
    }
}

#[test]
fn a_blower_too_weak_is_an_answer() {
    let deep = Lift {
        submergence_m: 2.5,
        ..ONE
    };
    let plant = existing(&[deep], Some(blower(20.0, 8.0, 0.0, 0.0)));
    let steady = plant.steady().unwrap();
    assert_eq!(steady.place, Some(BlowerPlace::ShutOff));
    assert_eq!(steady.rise.get::<kilopascal>().round(), 20.0);
    assert_eq!(steady.places().unwrap()[0].place, CurvePlace::NoAir);
    let advice = plant.advice(&steady).unwrap();
    let kinds: Vec<RemedyKind> = advice.best.iter().map(|one| (&one.remedy).into()).collect();
    assert!(kinds.contains(&RemedyKind::InjectAt), "{kinds:?}");
    for one in &advice.best {
        assert!(one.steady.running.water_flow().value > 0.0);
    }
}

/// The shallow lift takes the air; the deep one starts where the shallow one is throttled or shut.
#[test]
fn a_lift_without_air_is_told_what_would_start_it() {
    let lifts = [
        Lift {
            submergence_m: 0.6,
            ..ONE
        },
        Lift {
            submergence_m: 1.3,
            at_m: 2.0,
            ..ONE
        },
    ];
    let plant = existing(&lifts, Some(blower(16.0, 12.0, 0.0, 0.0)));
    let steady = plant.steady().unwrap();
    let places: Vec<CurvePlace> = steady.places().unwrap().iter().map(|p| p.place).collect();
    assert_eq!(places[1], CurvePlace::NoAir);
    assert_ne!(places[0], CurvePlace::NoAir);
    let advice = plant.advice(&steady).unwrap();
    assert!(!advice.best.is_empty());
    for one in &advice.best {
        // Each is what the changed plant does by itself, but for the warmth of its lines, which is given here.
        let alone = match &one.remedy {
            Remedy::StartInTurn => continue,
            remedy => plant.changed(remedy).unwrap().steady().unwrap(),
        };
        let (told, alone) = (one.steady.running.water_flow(), alone.running.water_flow());
        assert!(
            ((told - alone) / told).get::<ratio>().abs() < 1e-9,
            "{:?}",
            one.remedy
        );
        assert!(told > steady.running.water_flow());
    }
    let gains: Vec<f64> = advice.best.iter().filter_map(|one| one.gain).collect();
    assert!(gains.is_sorted_by(|a, b| a >= b), "{gains:?}");
    let of_the_shallow = |one: &risewater::supply::Tried| match &one.remedy {
        Remedy::Close { lifts } | Remedy::Throttle { lifts, .. } => lifts == &[0],
        _ => false,
    };
    assert_eq!(
        advice.best.iter().filter(|one| of_the_shallow(one)).count(),
        2
    );
}

#[test]
fn ends_of_a_table_are_kept() {
    // The table ends at a flow that the lift takes at half of that rise.
    let short = existing(&[ONE], Some(blower(20.0, 2.0, 15.0, 0.0)));
    let steady = short.steady().unwrap();
    assert_eq!(steady.place, Some(BlowerPlace::PastLast));
    let (_, last) = steady.curve.as_ref().unwrap().flows();
    assert!((kg_s(steady.blown) / kg_s(last) - 1.0).abs() < 0.01);
    // It starts at more air than the lift takes at that rise.
    let late = existing(&[ONE], Some(blower(12.0, 60.0, 5.0, 40.0)));
    let steady = late.steady().unwrap();
    assert_eq!(steady.place, Some(BlowerPlace::BeforeFirst));
    assert!((steady.rise.get::<kilopascal>() - 12.0).abs() < 1e-6);
}

/// A lift whose least air, once it runs, is more than a small blower has at its pressure bubbles without pumping.
#[test]
fn a_blower_too_small_to_keep_a_lift_running() {
    let shallow = Lift {
        bore_mm: 30.0,
        submergence_m: 0.5,
        lift_m: 0.05,
        line_mm: 17.440_364_209_321_743,
        length_m: 1.0,
        ..ONE
    };
    let steady = existing(&[shallow], Some(blower(8.0, 3.0, 0.0, 0.0)))
        .steady()
        .unwrap();
    let curve = steady.curve.as_ref().unwrap();
    let off = curve.rise(steady.blown).unwrap() - steady.rise;
    assert!(off.get::<pascal>().abs() < 1e-3);
    assert!(steady.running.water_flow().value > 0.0);
}

/// A lift near its threshold swings for many turns of header and risers before it stays.
#[test]
fn a_lift_near_its_threshold_settles() {
    let lift = |bore_mm, submergence_m, lift_m, line_mm, length_m, hole_mm, at_m| Lift {
        bore_mm,
        submergence_m,
        lift_m,
        line_mm,
        length_m,
        hole_mm,
        at_m,
        ..ONE
    };
    let lifts = [
        lift(
            40.305_229_279_750_36,
            1.389_734_184_945_971,
            0.147_473_060_945_809_06,
            19.837_647_107_026_81,
            1.0,
            None,
            0.0,
        ),
        Lift {
            valve: 28.624_953_823_766_596,
            ..lift(
                79.180_923_173_758_19,
                0.789_225_186_473_198_1,
                0.05,
                14.913_334_662_680_123,
                1.0,
                Some(2.953_161_837_558_842_4),
                2.0,
            )
        },
        lift(
            39.438_649_959_166_24,
            0.831_821_237_687_800_6,
            0.084_866_046_127_698_87,
            11.213_544_759_864_007,
            5.739_294_716_541_659,
            None,
            4.0,
        ),
        lift(
            30.0,
            1.142_833_049_923_693_2,
            0.291_948_542_193_204_4,
            8.0,
            2.306_590_107_263_277_7,
            Some(3.469_553_970_115_735),
            6.0,
        ),
    ];
    let plant = existing(&lifts, Some(blower(20.0, 40.0, 0.0, 0.0)));
    let steady = plant.steady().unwrap();
    let curve = steady.curve.as_ref().unwrap();
    let off = curve.rise(steady.blown).unwrap() - steady.rise;
    assert!(off.get::<pascal>().abs() < 1e-3);
}

/// What is asked for and met asks for less power; what is missed, for more of what is missing.
#[test]
fn the_aim_follows_what_is_asked() {
    use risewater::supply::Aim;
    let mut plant = existing(&four(false), Some(blower(22.0, 90.0, 0.0, 0.0)));
    let steady = plant.steady().unwrap();
    let aim = |plant: &Existing| plant.advice(&steady).unwrap();
    assert_eq!(aim(&plant).aim, Aim::Water);
    let flow = VolumeRate::new::<liter_per_minute>;
    plant.asked = vec![Some(flow(10.0)); 4];
    let power = aim(&plant);
    assert_eq!(power.aim, Aim::Power);
    for one in &power.best {
        assert!(one.steady.air_power < steady.air_power);
        let met = |lift: &risewater::Outcome| lift.water_flow() >= flow(10.0) * (1.0 - 1e-6);
        assert!(one.steady.running.lifts.iter().all(met), "{:?}", one.remedy);
    }
    plant.asked[2] = Some(flow(1000.0));
    assert_eq!(aim(&plant).aim, Aim::Asked);
}

/// Where a blower cannot start all of eight like lifts, some run and the rest stand still, each below what starts it.
#[test]
fn a_blower_for_some_of_eight_like_lifts() {
    let lifts: Vec<Lift> = (0..8)
        .map(|n| Lift {
            submergence_m: 1.2,
            line_mm: 13.0,
            length_m: 2.0,
            at_m: 2.0 * f64::from(n),
            ..ONE
        })
        .collect();
    let plant = existing(&lifts, Some(blower(16.0, 30.0, 4.0, 0.0)));
    let steady = plant.steady().unwrap();
    let curve = steady.curve.as_ref().unwrap();
    let off = curve.rise(steady.blown).unwrap() - steady.rise;
    assert!(off.get::<pascal>().abs() < 1e-3);
    let places = steady.places().unwrap();
    let still = places.iter().filter(|one| one.place == CurvePlace::NoAir);
    let still = still.count();
    assert!((1..8).contains(&still), "{still} get no air");
    let pumping = steady.running.lifts.iter();
    let pumping = pumping.filter(|lift| lift.water_flow().value > 0.0);
    assert_eq!(pumping.count() + still, 8);
}

/// Another level is each lift with less depth and more lift, by hand.
#[test]
fn a_level_by_hand() {
    let lifts = four(true);
    let plant = existing(&lifts, Some(blower(22.0, 90.0, 0.0, 0.0)));
    let steady = plant.steady().unwrap();
    for rise in [-0.1, 0.07] {
        let moved = lifts.map(|lift| Lift {
            submergence_m: lift.submergence_m + rise,
            lift_m: lift.lift_m - rise,
            ..lift
        });
        let there = plant.at_level(&steady, m(rise)).unwrap();
        let by_hand = existing(&moved, Some(blower(22.0, 90.0, 0.0, 0.0)))
            .steady()
            .unwrap();
        let flows = |steady: &risewater::supply::Steady| -> Vec<f64> {
            let lifts = steady.running.lifts.iter();
            lifts.map(|lift| lift.water_flow().value).collect()
        };
        for (told, by_hand) in flows(&there).into_iter().zip(flows(&by_hand)) {
            assert!((told / by_hand - 1.0).abs() < 1e-7, "{told} {by_hand}");
        }
        assert_ne!(flows(&there), flows(&steady));
    }
    assert!(plant.at_level(&steady, m(-2.0)).is_err());
}

/// Three like lifts, of which the blower starts one: which is chance, and each has the same name for its like.
#[test]
fn like_lifts_are_told_as_like() {
    let like = |at_m| Lift {
        at_m,
        line_mm: 13.0,
        ..ONE
    };
    let other = Lift {
        submergence_m: 1.2,
        at_m: 6.0,
        ..ONE
    };
    let lifts = [like(0.0), like(2.0), like(4.0), other];
    let steady = existing(&lifts, Some(blower(11.0, 9.0, 0.0, 0.0)))
        .steady()
        .unwrap();
    assert_eq!(
        (0..4).map(|n| steady.like(n)).collect::<Vec<_>>(),
        [0, 0, 0, 3]
    );
    let silent = steady
        .running
        .split
        .branches
        .iter()
        .filter(|flow| kg_s(flow.air) <= 0.0)
        .count();
    assert!((1..4).contains(&silent), "{silent}");
    let hand = ATMOSPHERE + lifts[3].riser().site().water.density().value * G * 1.2;
    assert!((steady.starting_pressure(3).get::<pascal>() / hand - 1.0).abs() < 1e-12);
}

/// Where several sizes of plate give all that is asked for, the one that takes least power is told.
#[test]
fn of_plates_that_do_as_well_the_one_of_least_power_is_told() {
    let like = |at_m| Lift {
        at_m,
        line_mm: 13.0,
        length_m: 2.0,
        submergence_m: 1.2,
        ..ONE
    };
    let mut plant = existing(
        &[like(2.0), like(4.0), like(6.0)],
        Some(blower(20.0, 25.0, 6.0, 0.0)),
    );
    let flow = VolumeRate::new::<liter_per_minute>(60.0);
    plant.asked = vec![Some(flow); 3];
    let steady = plant.steady().unwrap();
    let advice = plant.advice(&steady).unwrap();
    let plates = advice
        .best
        .iter()
        .find(|one| RemedyKind::from(&one.remedy) == RemedyKind::FitHoles);
    let plates = plates.expect("plates help");
    for hole in [4.0, 5.0, 6.0, 7.0] {
        let by_hand = plant.changed(&Remedy::Throttle {
            lifts: vec![0, 1, 2],
            hole: mm(hole),
        });
        let by_hand = by_hand.unwrap().steady().unwrap();
        let met = by_hand
            .running
            .lifts
            .iter()
            .all(|lift| lift.water_flow() >= flow);
        assert!(
            !met || by_hand.air_power >= plates.steady.air_power * (1.0 - 1e-3),
            "{hole} mm"
        );
    }
}
