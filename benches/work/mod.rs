//! What is measured: the same work for the clock and for the instruction count.

pub mod need;
pub mod recirculation;
#[path = "../../tests/table/riser_case.rs"]
mod riser_case;
pub mod supply;
#[path = "../../tests/table/mod.rs"]
mod table;

use risewater::pipe::Pipe;
use risewater::riser::{Dimensions, OperatingPoint, Outcome, Site};
use risewater::sizing::{Duty, Task, depths};
use risewater::uncertainty::{Calibration, ErrorLaw, MeasuredPoint, Predictor};
use risewater::units::{
    AbsolutePressure, GaugePressure, Length, Ratio, ThermodynamicTemperature, VolumeRate,
    cubic_meter_per_second, degree_celsius, kilopascal, liter_per_minute, meter, millimeter,
    percent, ratio,
};
use risewater::{AirFlow, AirState, Curve, Model, Riser, RiserSpec, Water};

/// A riser with the air that it is given.
#[derive(Debug, Clone)]
pub struct Case {
    /// What it stands for.
    pub name: String,
    /// The riser.
    pub riser: Riser,
    /// The air.
    pub air: AirFlow,
    /// Water flow of an independent implementation, where there is one, L/min.
    pub expected_l_per_min: Option<f64>,
}

fn fresh_water() -> Site {
    let water = Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(14.0)).unwrap();
    Site {
        water,
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    }
}

fn case(name: &str, bore_mm: f64, submergence_m: f64, lift_m: f64, air_l_per_min: f64) -> Case {
    let dimensions = Dimensions {
        bore: Length::new::<millimeter>(bore_mm),
        submergence: Length::new::<meter>(submergence_m),
        lift: Length::new::<meter>(lift_m),
    };
    let riser = RiserSpec::new(dimensions)
        .build(&fresh_water(), Model::default())
        .unwrap();
    let air = AirFlow::at(
        VolumeRate::new::<liter_per_minute>(air_l_per_min),
        &AirState::DRY_20_C,
    )
    .unwrap();
    Case {
        name: name.to_owned(),
        riser,
        air,
        expected_l_per_min: None,
    }
}

/// The usual riser of a hatchery.
pub fn hatchery() -> Case {
    case("hatchery", 76.2, 1.0, 0.1, 100.0)
}

/// 200 air flows for it, evenly spaced.
pub fn two_hundred_flows() -> Vec<AirFlow> {
    let flow = |n| {
        AirFlow::at(
            VolumeRate::new::<liter_per_minute>(20.0 + 2.0 * f64::from(n)),
            &AirState::DRY_20_C,
        )
    };
    (1..=200).map(|n| flow(n).unwrap()).collect()
}

/// A riser of 40 m, in which the air expands to three times its volume.
pub fn deep() -> Case {
    case("deep", 100.0, 25.0, 15.0, 1000.0)
}

/// The cases of `tests/data/riser_cases.csv` in which water flows.
pub fn riser_cases() -> Vec<Case> {
    let rows = table::rows("riser_cases.csv");
    let cases = rows.iter().enumerate().map(|(n, row)| riser_case(n, row));
    cases
        .filter(|case| case.expected_l_per_min > Some(0.0))
        .collect()
}

fn riser_case(n: usize, row: &table::Row) -> Case {
    let (riser, air, water_l_min) = riser_case::riser_case(row);
    Case {
        name: format!("{n:02} {} {}", row.text("slip"), row.text("friction")),
        riser,
        air,
        expected_l_per_min: Some(water_l_min),
    }
}

/// A sizing as large as that of the example design file: 600 L/min lifted by 0.15 m, pipes of one
/// standard, depths to 1.4 m by 0.05 m, up to eight lifts; no depth exceeds the air pressure.
pub fn sizing() -> Task {
    let m = Length::new::<meter>;
    let duty = Duty {
        water_flow: VolumeRate::new::<liter_per_minute>(600.0),
        lift: m(0.15),
    };
    let shared = RiserSpec::new(Dimensions {
        bore: m(0.05),
        submergence: m(1.0),
        lift: duty.lift,
    });
    let pipes = Pipe::of_standards(&["ASTM D1785"]).unwrap();
    let submergences = depths(None, m(1.4), Some(m(0.05))).unwrap();
    let mut problem = Task::new(duty, fresh_water(), shared, pipes, submergences);
    problem.max_lifts = 8;
    problem.max_air_pressure = Some(GaugePressure::new::<kilopascal>(18.0));
    problem.peak_reserve = Ratio::new::<ratio>(0.1);
    problem
}

/// 200 points of a made-up rig, four depths by fifty air flows.
pub fn bench() -> Calibration {
    let riser = hatchery().riser;
    let mut rig = *riser.spec();
    let mut points = Vec::new();
    for n in 0..200_u32 {
        rig.dimensions.submergence = Length::new::<meter>(0.85 + 0.1 * f64::from(n / 50));
        let air = VolumeRate::new::<liter_per_minute>(60.0 + 5.0 * f64::from(n % 50));
        let air = AirFlow::at(air, &AirState::DRY_20_C).unwrap();
        let stood = riser.with_spec(rig).unwrap();
        // A fifth less than predicted, read 2 % off in turn.
        let off = 0.8 * [1.02, 0.98, 1.01, 0.99, 1.0][n as usize % 5];
        points.push(MeasuredPoint {
            run: n.to_string(),
            submergence: rig.dimensions.submergence,
            lift: rig.dimensions.lift,
            site: *riser.site(),
            air,
            water_flow: stood.operate(air).unwrap().water_flow() * off,
            water_standard: Ratio::new::<percent>(1.5),
            air_standard: Ratio::new::<percent>(2.0),
            submergence_standard: Length::new::<meter>(0.001),
            lift_standard: Length::new::<meter>(0.001),
            repeats: 3,
            shared: Vec::new(),
        });
    }
    Calibration::new(rig, points).unwrap()
}

/// The law with those points, and the curve of 60 points that is to be predicted by it.
pub fn trial() -> (ErrorLaw, Riser, Vec<OperatingPoint>) {
    let law = ErrorLaw::default().with_calibration(bench());
    let riser = hatchery().riser;
    let curve = Curve::of(&riser, 60).unwrap().points;
    (law, riser, curve)
}

/// A curve and the interval at each of its points, before any trial; the sum of the intervals' widths, m³/s.
pub fn curve_with_intervals(riser: &Riser, points: usize) -> f64 {
    let predictor = ErrorLaw::default().on(riser).unwrap();
    let curve = predictor.curve(points).unwrap();
    width(&predictor, &curve.points)
}

/// Conditions on the points and predicts the curve; the sum of its intervals' widths, m³/s.
pub fn predict((law, riser, curve): &(ErrorLaw, Riser, Vec<OperatingPoint>)) -> f64 {
    let predictor = law.on(riser).unwrap();
    assert_eq!(predictor.places().len(), 200);
    width(&predictor, curve)
}

fn width(predictor: &Predictor, points: &[OperatingPoint]) -> f64 {
    let widths = points.iter().map(|point| {
        let found = predictor.of_outcome(Outcome::Pumping(*point), point.air);
        let interval = found.unwrap().interval.unwrap();
        (interval.high - interval.low).get::<cubic_meter_per_second>()
    });
    widths.sum()
}
