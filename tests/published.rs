//! Four models against published experiments, rig by rig.
//!
//! The expected figures are those of an independent implementation of the same equations (water at
//! 20 °C, 101.325 kPa, entrance loss 0.5, roughness 1.5 µm unless the rig says otherwise), printed to
//! a per cent and to 0.001 (those of the default on Todoroki's rig to 0.01). For the default model they are a
//! limit that our own code did not set: its rms log error may not exceed them by more than 0.02. Row
//! selection: see `risewater::published`.

use risewater::published::{Rig, Score};
use risewater::regime::flow_pattern;
use risewater::two_phase::TwoPhase;
use risewater::units::{
    DynamicViscosity, MassDensity, Ratio, ThermodynamicTemperature, Velocity,
    cubic_meter_per_second, degree_celsius, kilogram_per_cubic_meter, kilogram_per_second, meter,
    meter_per_second, pascal, pascal_second, ratio,
};
use risewater::{Friction, Model, Slip, Water};

/// Share within 20 %, mean absolute error, bias, rms of ln(predicted/measured).
type Figures = (f64, f64, f64, f64);

/// Points selected and the figures of each model of [`models`].
const RIGS: [(&str, usize, [Figures; 4]); 5] = [
    (
        "Kassab 2009, 25.4 mm, 1.75 m",
        85,
        [
            (0.14, 0.54, 0.17, 1.133),
            (0.09, 0.63, 0.54, 0.698),
            (0.12, 0.50, 0.43, 0.576),
            (0.32, 0.30, 0.14, 0.577),
        ],
    ),
    (
        "Kassab 2009, 25.4 mm, 2.75 m",
        122,
        [
            (0.55, 0.26, -0.07, 0.782),
            (0.53, 0.20, 0.19, 0.216),
            (0.93, 0.09, 0.05, 0.127),
            (0.87, 0.12, 0.06, 0.155),
        ],
    ),
    (
        "Kassab 2009, 25.4 mm, 3.75 m",
        157,
        [
            (0.69, 0.21, -0.15, 0.803),
            (0.82, 0.14, 0.11, 0.154),
            (0.93, 0.10, -0.02, 0.122),
            (0.94, 0.08, 0.03, 0.111),
        ],
    ),
    (
        "Todoroki 1973, 50.6 mm, 6.8 m",
        45,
        [
            (0.87, 0.15, -0.15, 0.174),
            (0.93, 0.07, -0.05, 0.097),
            (1.00, 0.11, -0.09, 0.131),
            (0.96, 0.10, -0.10, 0.119),
        ],
    ),
    (
        "Pickert 1932, 100 mm, 42 m",
        70,
        [
            (0.36, 0.28, 0.24, 0.317),
            (0.16, 0.41, 0.41, 0.360),
            (0.21, 0.32, 0.32, 0.288),
            (0.09, 0.44, 0.44, 0.376),
        ],
    ),
];
const MARGIN: f64 = 0.01;

fn models() -> [Model; 4] {
    let developed = |slip, friction| {
        Model::new(slip, friction).with_developing_length(Ratio::new::<ratio>(0.0))
    };
    [
        developed(Slip::Nicklin1962, Friction::SlugBody),
        developed(Slip::Nicklin1962, Friction::Homogeneous),
        developed(Slip::BhagwatGhajar2014, Friction::Friedel1979),
        Model::default().with_developing_length(Ratio::new::<ratio>(8.0)),
    ]
}

/// The default on the one of these rigs that is wider than 25.4 mm and not a well, where its 0.2 m are half
/// of 8 bores; on the others that implementation found a hundredth at most between the two.
const TODOROKI_DEFAULT: Figures = (1.00, 0.06, -0.04, 0.07);
const BETWEEN_THE_TWO: f64 = 0.01;

/// The figures of a score that are not as expected.
fn off(name: &str, score: &Score, (within, mean, bias, rms): Figures) -> Vec<String> {
    let pairs = [
        ("share within 20 %", score.within_20_percent, within),
        ("mean absolute error", score.mean_absolute_error, mean),
        ("bias", score.bias, bias),
        ("rms log error", score.rms_log_error, rms),
    ];
    pairs
        .into_iter()
        // A point near the threshold moves a figure by this much.
        .filter(|(_, got, expected)| (got - expected).abs() > MARGIN + 0.005)
        .map(|(what, got, expected)| format!("{name}, {what}: expected {expected}, got {got:.3}"))
        .collect()
}

#[test]
fn the_models_do_as_an_independent_implementation_says() {
    let mut failures = Vec::new();
    assert_eq!(Rig::all().len(), RIGS.len());
    for (rig, (name, points, figures)) in Rig::all().iter().zip(RIGS) {
        assert_eq!(rig.name, name);
        for (model, figures) in models().into_iter().zip(figures) {
            let score = Score::of(&rig.residuals(model).unwrap());
            assert_eq!(score.points, points, "{name}");
            failures.extend(off(&format!("{name}, {model}"), &score, figures));
        }
        let score = Score::of(&rig.residuals(Model::default()).unwrap());
        if name.starts_with("Todoroki") {
            failures.extend(off(&format!("{name}, default"), &score, TODOROKI_DEFAULT));
        }
        let default = score.rms_log_error;
        let limit = figures[3].3 + MARGIN + BETWEEN_THE_TWO;
        if default > limit {
            failures.push(format!(
                "{name}: rms log error {default:.3} of the default, limit {limit:.3}"
            ));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// The pattern of a measured point against the public boundaries, with gas properties written out here.
#[test]
fn patterns_are_those_of_the_measured_flows() {
    let water = Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0)).unwrap();
    let p_v = water.vapour_pressure().get::<pascal>();
    let mut compared = 0;
    for rig in Rig::all() {
        let area = std::f64::consts::FRAC_PI_4 * rig.bore.get::<meter>().powi(2);
        for (point, residual) in rig
            .points
            .iter()
            .zip(rig.residuals(Model::default()).unwrap())
        {
            let air = point.air.dry_mass_rate().get::<kilogram_per_second>();
            // ρ = (p − p_v)/(R T) + p_v/(R_v T), R 287.05 and R_v 461.5 J/(kg K) to five and four digits.
            let dry = (101_325.0 - p_v) / (287.05 * 293.15);
            let section = TwoPhase {
                bore: rig.bore,
                roughness: rig.roughness,
                liquid_velocity: Velocity::new::<meter_per_second>(
                    point.water_flow.get::<cubic_meter_per_second>() / area,
                ),
                gas_velocity: Velocity::new::<meter_per_second>(air / dry / area),
                liquid_density: water.density(),
                gas_density: MassDensity::new::<kilogram_per_cubic_meter>(
                    dry + p_v / (461.5 * 293.15),
                ),
                liquid_viscosity: water.viscosity(),
                gas_viscosity: DynamicViscosity::new::<pascal_second>(1.82e-5),
                surface_tension: water.surface_tension(),
            };
            let alpha = Slip::default().void_fraction(&section).unwrap();
            assert_eq!(
                flow_pattern(&section, alpha).unwrap(),
                residual.pattern,
                "{residual:?}"
            );
            compared += 1;
        }
    }
    assert_eq!(compared, 85 + 122 + 157 + 45 + 70);
}
