//! What is measured: the same work for the clock and for the instruction count.

pub mod need;
#[path = "../../tests/table/riser_case.rs"]
mod riser_case;
pub mod supply;
#[path = "../../tests/table/mod.rs"]
mod table;

use risewater::pipe::Pipe;
use risewater::riser::{Dimensions, Site};
use risewater::sizing::{Duty, Problem, depths};
use risewater::units::{
    AbsolutePressure, GaugePressure, Length, Ratio, ThermodynamicTemperature, VolumeRate,
    degree_celsius, kilopascal, liter_per_minute, meter, millimeter, ratio,
};
use risewater::{AirFlow, AirState, Model, Riser, RiserSpec, Water};

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
pub fn sizing() -> Problem {
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
    let mut problem = Problem::new(duty, fresh_water(), shared, pipes, submergences);
    problem.max_lifts = 8;
    problem.max_air_pressure = Some(GaugePressure::new::<kilopascal>(18.0));
    problem.peak_reserve = Ratio::new::<ratio>(0.1);
    problem
}

/// 200 points of a made-up rig, four depths by fifty air flows.
#[cfg(feature = "trial")]
pub fn bench() -> Vec<risewater::trial::FitPoint> {
    use risewater::trial::{FitPoint, Uncertain};
    use risewater::units::{Length, Ratio, VolumeRate, liter_per_minute, meter, percent, ratio};
    use risewater::{AirFlow, AirState, Model};

    let riser = hatchery().riser;
    let truth = Model::default().with_drift_factor(Ratio::new::<ratio>(1.2));
    (0..200)
        .map(|n| {
            let mut spec = *riser.spec();
            spec.dimensions.submergence = Length::new::<meter>(0.8 + 0.1 * f64::from(n / 50));
            let air = VolumeRate::new::<liter_per_minute>(60.0 + 5.0 * f64::from(n % 50));
            let air = AirFlow::at(air, &AirState::DRY_20_C).unwrap();
            let real = spec.build(riser.site(), truth).unwrap();
            let water = real.operate(air).unwrap().water_flow();
            // Readings off by 2 % in turn.
            let water =
                water * [1.02, 0.98, 1.01, 0.99, 1.0][usize::try_from(n).unwrap_or_default() % 5];
            FitPoint {
                spec,
                site: *riser.site(),
                air,
                air_standard: Ratio::new::<percent>(2.0),
                submergence_standard: Length::new::<meter>(0.001),
                lift_standard: Length::new::<meter>(0.001),
                water_flow: Uncertain::new(water, water * 0.015),
            }
        })
        .collect()
}

/// Two parameters fitted to them.
#[cfg(feature = "trial")]
pub fn fit(points: &[risewater::trial::FitPoint]) -> risewater::trial::Calibration {
    use risewater::trial::{Calibration, FitTerms, Parameter};
    let parameters = [Parameter::EntranceLoss, Parameter::DriftFactor];
    Calibration::of(
        points,
        risewater::Model::default(),
        &parameters,
        &FitTerms::cautious(),
    )
    .unwrap()
}

/// The parameters chosen for them.
#[cfg(feature = "trial")]
pub fn choose(points: &[risewater::trial::FitPoint]) -> risewater::trial::Calibration {
    use risewater::trial::{Calibration, FitTerms};
    Calibration::best(points, risewater::Model::default(), &FitTerms::cautious()).unwrap()
}
