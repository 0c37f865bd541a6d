//! The closure for low submergence ratios, `smith_drift`, against experiments below 0.4 and above it, beside the
//! default.
//!
//! Water at 20 °C, 101.325 kPa, entrance loss 0.5. Rows with water and air above zero; roughness as in
//! `risewater::published`. Near the threshold: water below 30 % of the peak of its series (same rig, depth and lift), with less
//! air than there; elsewhere above it.

#[path = "table/mod.rs"]
mod table;

use risewater::riser::{Dimensions, Riser, RiserSpec, Site};
use risewater::uncertainty::Doubt;
use risewater::units::{
    AbsolutePressure, Length, MassRate, Ratio, ThermodynamicTemperature, VolumeRate,
    degree_celsius, kilogram_per_hour, liter_per_minute, meter, micrometer, millimeter, ratio,
};
use risewater::{AirFlow, AirState, Friction, Model, Slip, Water};

use table::rows;

/// Water at 20 °C as in the derived columns of the files, kg/L.
const WATER: f64 = 0.9982;

/// One measured point.
struct Point {
    length_m: f64,
    submergence_ratio: f64,
    roughness: Length,
    dimensions: Dimensions,
    air: AirFlow,
    water_l_per_min: f64,
    /// Its water over the most of its series.
    share_of_peak: f64,
    /// Whether it has less air than that most.
    rising: bool,
}

impl Point {
    fn riser(&self, model: Model) -> Riser {
        let site = Site {
            water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0)).unwrap(),
            atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
        };
        RiserSpec::new(self.dimensions)
            .with_roughness(self.roughness)
            .build(&site, model)
            .unwrap()
    }

    /// Predicted over measured water flow.
    fn ratio(&self, model: Model) -> f64 {
        let riser = self.riser(model);
        let flow = riser.operate(self.air).unwrap().water_flow();
        flow.get::<liter_per_minute>() / self.water_l_per_min
    }

    /// Predicted less measured water flow, over the peak.
    fn off(&self, model: Model) -> f64 {
        (self.ratio(model) - 1.0) * self.share_of_peak
    }

    fn near_the_threshold(&self) -> bool {
        self.rising && self.share_of_peak < 0.3
    }
}

fn points(file: &str, roughness_um: f64) -> Vec<Point> {
    let by_mass = file.starts_with("kassab");
    let read = |row: table::Row| {
        let (water, air) = if by_mass {
            let mass = MassRate::new::<kilogram_per_hour>(row.number("air_flow_kg_h"));
            let water = row.number("water_flow_kg_h") / WATER / 60.0;
            (water, AirFlow::from_dry_mass(mass))
        } else {
            let free = row.number("air_flow_free_l_min_derived");
            let flow = VolumeRate::new::<liter_per_minute>(free);
            let water = row.number("water_flow_l_min_derived");
            (water, AirFlow::at(flow, &AirState::DRY_20_C))
        };
        let meters = |column| Length::new::<meter>(row.number(column));
        Point {
            length_m: row.number("total_length_m"),
            submergence_ratio: row.number("submergence_ratio"),
            roughness: Length::new::<micrometer>(roughness_um),
            dimensions: Dimensions {
                bore: Length::new::<millimeter>(row.number("pipe_id_mm")),
                submergence: meters("injection_depth_m"),
                lift: meters("lift_m"),
            },
            air: air.unwrap(),
            water_l_per_min: water,
            share_of_peak: 1.0,
            rising: false,
        }
    };
    let mut points: Vec<Point> = rows(file).into_iter().map(read).collect();
    points.retain(|p| p.water_l_per_min > 0.0 && p.air.dry_mass_rate().value > 0.0);
    for n in 0..points.len() {
        let own = points[n].dimensions;
        let peak = points
            .iter()
            .filter(|p| p.dimensions == own)
            .max_by(|a, b| a.water_l_per_min.total_cmp(&b.water_l_per_min))
            .unwrap();
        let (most, air) = (peak.water_l_per_min, peak.air.dry_mass_rate());
        points[n].share_of_peak = points[n].water_l_per_min / most;
        points[n].rising = points[n].air.dry_mass_rate() < air;
    }
    points
}

fn kassab() -> Vec<Point> {
    points("kassab_2009.csv", 1.5)
}

/// Roughness over bore about 0.002 (text of the paper).
fn todoroki() -> Vec<Point> {
    points("todoroki_1973.csv", 0.002 * 50_600.0)
}

/// New cast iron is assumed by the paper that reports it.
fn pickert() -> Vec<Point> {
    points("pickert_1932.csv", 260.0)
}

fn smith() -> Model {
    Model::new(Slip::SmithDrift, Friction::Homogeneous)
}

fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, n) = values.fold((0.0, 0.0), |(sum, n), value| (sum + value, n + 1.0));
    sum / n
}

/// Bias and rms of ln(predicted/measured), a ratio below 0.05 counted as 0.05, and the share within 20 % in per cent.
type Figures = (f64, f64, f64);

/// The points of a riser between two submergence ratios, the upper one not included; their number, and the figures of
/// the default and of `smith_drift`, by an independent implementation with a developing length of 8 bores, printed
/// to 0.01 and to a per cent.
const TABLE: [(&str, f64, f64, f64, usize, Figures, Figures); 7] = [
    (
        "Kassab",
        3.75,
        0.3,
        0.4,
        23,
        (-0.48, 0.54, 0.0),
        (-0.15, 0.20, 74.0),
    ),
    (
        "Kassab",
        3.75,
        0.2,
        0.25,
        54,
        (-1.86, 1.98, 0.0),
        (-0.18, 0.61, 15.0),
    ),
    (
        "Kassab",
        3.75,
        0.4,
        1.0,
        157,
        (0.02, 0.11, 94.0),
        (-0.02, 0.10, 97.0),
    ),
    (
        "Kassab",
        1.75,
        0.4,
        1.0,
        85,
        (0.04, 0.58, 32.0),
        (0.10, 0.42, 46.0),
    ),
    (
        "Kassab",
        2.75,
        0.4,
        1.0,
        122,
        (0.04, 0.15, 87.0),
        (0.02, 0.13, 94.0),
    ),
    (
        "Todoroki",
        6.8,
        0.4,
        1.0,
        45,
        (-0.11, 0.12, 96.0),
        (-0.14, 0.14, 100.0),
    ),
    (
        "Pickert",
        42.0,
        0.4,
        1.0,
        70,
        (0.36, 0.38, 9.0),
        (0.34, 0.35, 6.0),
    ),
];

#[test]
fn both_do_as_an_independent_implementation_says() {
    let rigs = [
        ("Kassab", kassab()),
        ("Todoroki", todoroki()),
        ("Pickert", pickert()),
    ];
    let eight = Ratio::new::<ratio>(8.0);
    let mut failures = Vec::new();
    for (rig, length_m, low, high, count, default, drift) in TABLE {
        let (_, points) = rigs.iter().find(|(name, _)| *name == rig).unwrap();
        let chosen: Vec<&Point> = points
            .iter()
            .filter(|p| p.length_m == length_m && p.share_of_peak > 0.3)
            .filter(|p| p.submergence_ratio >= low && p.submergence_ratio < high)
            .collect();
        assert_eq!(chosen.len(), count, "{rig}, {length_m} m, from {low}");
        for (model, (bias, rms, within)) in [(Model::default(), default), (smith(), drift)] {
            let model = model.with_developing_length(eight);
            let ratios: Vec<f64> = chosen.iter().map(|p| p.ratio(model)).collect();
            let logarithms = || ratios.iter().map(|one| one.max(0.05).ln());
            let inside = ratios.iter().filter(|one| (*one - 1.0).abs() <= 0.2);
            // Half a printed digit; one point may lie on the edge of the 20 %.
            let one = 100.0 / count as f64;
            let figures = [
                ("bias", mean(logarithms()), bias, 0.005),
                ("rms", mean(logarithms().map(|x| x * x)).sqrt(), rms, 0.005),
                (
                    "within 20 %",
                    one * inside.count() as f64,
                    within,
                    0.5 + one,
                ),
            ];
            for (what, got, expected, half) in figures {
                if (got - expected).abs() > half {
                    failures.push(format!(
                        "{rig} {length_m} m, {low}, {}: {what} {got:.4}, {expected}",
                        model.slip
                    ));
                }
            }
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// What keeps it from being the default, at the default's developing length: on one of two laboratories it is worse from a
/// submergence ratio of 0.4 on, and near the threshold on both, with too much water. Where this fails it may be asked
/// again.
#[test]
fn it_is_no_better_a_default() {
    let models = [Model::default(), smith()];
    let from = |points: Vec<Point>| -> Vec<Point> {
        points
            .into_iter()
            .filter(|p| p.submergence_ratio >= 0.4)
            .collect()
    };
    let (kassab, todoroki) = (from(kassab()), from(todoroki()));
    let error = |points: &[Point], model: Model| {
        let far = points.iter().filter(|p| p.share_of_peak > 0.3);
        mean(far.map(|p| (p.ratio(model) - 1.0).abs()))
    };
    // The independent implementation: 5.7 and 7.8 %.
    let [default, drift] = models.map(|model| 100.0 * error(&todoroki, model));
    assert!(
        (default - 5.7).abs() < 0.05 && (drift - 7.8).abs() < 0.05,
        "{default} {drift}"
    );
    let [default, drift] = models.map(|model| error(&kassab, model));
    assert!(drift < default);
    for (name, points) in [("Kassab", &kassab), ("Todoroki", &todoroki)] {
        let near = || points.iter().filter(|p| p.near_the_threshold());
        let [default, drift] = models.map(|model| mean(near().map(|p| p.off(model).abs())));
        let high = mean(near().map(|p| p.off(smith())));
        assert!(near().count() >= 8);
        assert!(
            drift > default && high > 0.0,
            "{name}: {default} {drift} {high}"
        );
    }
}

/// The 80 % interval of the law of error, with 0.05 for the reading of the figures, is stated to hold 81 to 85 % of the
/// points. It does on the riser behind it from 0.4 down; of those below 0.4 alone it holds fewer, all at 0.3 and about two
/// in three from 0.2 to 0.23.
#[test]
fn its_interval_holds_at_and_below_0_4() {
    let points = kassab();
    let chosen = points
        .iter()
        .filter(|p| p.length_m == 3.75 && p.submergence_ratio <= 0.4 && p.share_of_peak > 0.3);
    let inside = chosen.clone().filter(|p| {
        let riser = p.riser(smith());
        let outcome = riser.operate(p.air).unwrap();
        let doubt = Doubt::of(&riser, outcome.point().unwrap()).unwrap();
        p.ratio(smith()).ln().abs() <= 1.2816 * doubt.standard().hypot(0.05)
    });
    let share = inside.count() as f64 / chosen.count() as f64;
    assert!((0.81..=0.85).contains(&share), "{share}");
}
