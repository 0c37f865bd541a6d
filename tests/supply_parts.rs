//! Parts of an air supply against tables of other code and against what must hold: friction factor, fittings,
//! drills, orifice plate.
//!
//! Values are rounded to the digits printed, and that sets the tolerance.

#[path = "closures/verdict.rs"]
mod verdict;

mod table;

use risewater::error::{Error, Input};
use risewater::friction::colebrook_factor;
use risewater::pipe::bore_change::{contraction, enlargement};
use risewater::pipe::fittings::Fitting;
use risewater::references::Trust;
use risewater::supply::drill::{DrillSize, DrillSystem, INCH, METRIC};
use risewater::supply::plate::{
    BORE, DIAMETER_RATIO, HOLE, OrificePlate, PRESSURE_RATIO, PlateReading, REYNOLDS, Taps,
};
use risewater::units::{
    AbsolutePressure, DynamicViscosity, Length, MassDensity, Pressure, Ratio, inch,
    kilogram_per_cubic_meter, kilogram_per_second, meter, millimeter, pascal, pascal_second, ratio,
};
use table::rows;
use verdict::{EIGHT_DIGITS, Verdict};

fn bare(number: f64) -> Ratio {
    Ratio::new::<ratio>(number)
}

fn mm(number: f64) -> Length {
    Length::new::<millimeter>(number)
}

/// Half a unit of the last digit that a table prints to eight, less where trailing zeros are not printed.
fn printed(text: &str) -> f64 {
    EIGHT_DIGITS * text.parse::<f64>().unwrap() + f64::EPSILON
}

/// Left out: Haaland (a first guess here, two rows in its own file), Swamee & Jain and Blasius, which nothing uses.
#[test]
fn colebrook_and_laminar_factors() {
    let mut verdict = Verdict::default();
    for row in rows("friction.csv") {
        let tolerance = match row.text("quantity") {
            "darcy_f_colebrook" | "darcy_f_clamond" => EIGHT_DIGITS,
            "darcy_f_laminar" => f64::EPSILON,
            _ => continue,
        };
        let eps = row.optional("eD").unwrap_or(0.0);
        let got = colebrook_factor(bare(row.number("Re")), bare(eps)).unwrap();
        let what = format!("{} Re {} ε/D {eps}", row.text("id"), row.text("Re"));
        verdict.relative(&what, row.number("value"), got.get::<ratio>(), tolerance);
    }
    verdict.finish(2 * 30 + 3);
}

/// The library's label of a fitting, and ours. Its "Elbow, Used as" and "Elbow, Elbow" are tees used as elbows.
const LABELS: &[(&str, Fitting)] = &[
    (
        "Elbow, 90°, Standard (R/D = 1), Screwed",
        Fitting::Elbow90Threaded,
    ),
    (
        "Elbow, 90°, Standard (R/D = 1), Flanged/welded",
        Fitting::Elbow90Flanged,
    ),
    (
        "Elbow, 90°, Long-radius (R/D = 1.5), All types",
        Fitting::Elbow90LongRadius,
    ),
    (
        "Elbow, Used as, Standard, Screwed",
        Fitting::TeeBranchThreaded,
    ),
    (
        "Elbow, Elbow, Long-radius, Screwed",
        Fitting::TeeBranchLongRadius,
    ),
    (
        "Elbow, Elbow, Standard, Flanged/welded",
        Fitting::TeeBranchFlanged,
    ),
    (
        "Elbow, Elbow, Stub-in type branch",
        Fitting::TeeBranchStubIn,
    ),
    ("Tee, Run, Screwed", Fitting::TeeRunThreaded),
    ("Tee, Through, Flanged or welded", Fitting::TeeRunFlanged),
    ("Tee, Tee, Stub-in type branch", Fitting::TeeRunStubIn),
    (
        "Elbow, 90°, threaded, standard, (r/D = 1)",
        Fitting::Elbow90Threaded,
    ),
    (
        "Elbow, 90°, flanged, welded, bends, (r/D = 1)",
        Fitting::Elbow90Flanged,
    ),
    (
        "Tee, Through-branch, (as elbow), threaded, (r/D = 1)",
        Fitting::TeeBranchThreaded,
    ),
    (
        "Tee, Through-branch,(as elbow), (r/D = 1.5)",
        Fitting::TeeBranchLongRadius,
    ),
    (
        "Tee, Through-branch, (as elbow), flanged, (r/D = 1)",
        Fitting::TeeBranchFlanged,
    ),
    (
        "Tee, Through-branch, (as elbow), stub-in branch",
        Fitting::TeeBranchStubIn,
    ),
    (
        "Tee, Run-through, threaded, (r/D = 1)",
        Fitting::TeeRunThreaded,
    ),
    (
        "Tee, Run-through, flanged, (r/D = 1)",
        Fitting::TeeRunFlanged,
    ),
    ("Tee, Run-through, stub-in branch", Fitting::TeeRunStubIn),
];

/// Rows of `friction.csv` on losses that are not Hooper's or Darby's, with their number and why they are not here.
const LEFT_OUT: &[(&str, usize, &str)] = &[
    ("K_entrance_sharp_flush", 6, "in tests/pipes.rs"),
    ("K_entrance_reentrant", 25, "in tests/pipes.rs"),
    ("K_entrance_rounded", 3, "in tests/pipes.rs"),
    ("K_exit_to_tank", 1, "in tests/pipes.rs"),
    ("K_mitre_90", 1, "in tests/pipes.rs"),
    (
        "K_entrance_flush_pipe_oblique",
        5,
        "no such inlet in the library",
    ),
    (
        "K_Crane",
        9,
        "from memory, and a third method for the same elbows and tees",
    ),
    (
        "K_bend90_smooth",
        3,
        "r/D = 0.5 in tests/pipes.rs; the library has no other bend",
    ),
];

#[test]
fn every_fitting_of_the_table() {
    let mut verdict = Verdict::default();
    let mut left_out = vec![0; LEFT_OUT.len()];
    for row in rows("friction.csv") {
        let quantity = row.text("quantity");
        if !quantity.starts_with("K_") {
            continue;
        }
        if let Some(at) = LEFT_OUT
            .iter()
            .position(|(start, ..)| quantity.starts_with(start))
        {
            left_out[at] += 1;
            continue;
        }
        let (method, rest) = quantity.split_once('[').unwrap();
        let (label, size) = rest.rsplit_once(']').unwrap();
        let (_, fitting) = *LABELS
            .iter()
            .find(|(of_table, _)| *of_table == label)
            .unwrap_or_else(|| panic!("{label}"));
        let size_in: f64 = size
            .split_once('=')
            .unwrap()
            .1
            .trim_end_matches("in")
            .parse()
            .unwrap();
        let (reynolds, size) = (bare(row.number("Re")), Length::new::<inch>(size_in));
        let got = match method {
            "K_Hooper2K" => fitting.loss(reynolds, size),
            "K_Darby3K" => fitting.three_k().unwrap().loss(reynolds, size),
            _ => panic!("{method}"),
        };
        let what = format!("{} {quantity}", row.text("id"));
        let got = got.unwrap().get::<ratio>();
        let half = printed(row.text("value"));
        let expected = row.number("value");
        verdict.within(&what, expected - half, got, expected + half);
    }
    verdict.finish(30 + 27);
    for ((start, count, why), found) in LEFT_OUT.iter().zip(left_out) {
        assert_eq!(found, *count, "{start}: {why}");
    }
}

/// Examples in the documentation of `fluids`: Hooper's globe valve, 6.15 at 2 in and Re = 1e4.
#[test]
fn a_valve_of_other_code() {
    let globe = Fitting::GlobeValve.loss(bare(1e4), Length::new::<inch>(2.0));
    approx::assert_relative_eq!(globe.unwrap().get::<ratio>(), 6.15, max_relative = 1e-12);
}

#[test]
fn fittings_are_named_and_fall_with_flow_and_size() {
    for (n, fitting) in Fitting::ALL.iter().enumerate() {
        assert_eq!(fitting.name().parse(), Ok(*fitting));
        assert!(
            Fitting::ALL[..n]
                .iter()
                .all(|other| other.name() != fitting.name())
        );
        let loss = |re, bore| fitting.loss(bare(re), mm(bore)).unwrap().get::<ratio>();
        assert!(loss(1e3, 25.0) >= loss(1e5, 25.0) && loss(1e5, 25.0) >= loss(1e5, 100.0));
        assert!(loss(1e5, 25.0) > 0.0);
        assert!(fitting.reference().trust == Trust::Read || !fitting.name().starts_with("tee"));
    }
    for bad in [f64::NAN, f64::INFINITY, 0.0, -1.0] {
        assert!(Fitting::GateValve.loss(bare(bad), mm(50.0)).is_err());
        assert!(Fitting::GateValve.loss(bare(1e5), mm(bad)).is_err());
        assert!(
            Fitting::GateValve
                .three_k()
                .unwrap()
                .loss(bare(1e5), mm(bad))
                .is_err()
        );
        assert!(contraction(mm(bad), mm(50.0)).is_err() && enlargement(mm(20.0), mm(bad)).is_err());
    }
    // The same bore loses nothing; from a wide tank a contraction is a flush entrance.
    assert_eq!(contraction(mm(50.0), mm(50.0)).unwrap().get::<ratio>(), 0.0);
    assert_eq!(enlargement(mm(50.0), mm(50.0)).unwrap().get::<ratio>(), 0.0);
    assert!((contraction(mm(1.0), mm(3000.0)).unwrap().get::<ratio>() - 0.5).abs() < 1e-6);
    assert!(matches!(
        enlargement(mm(50.0), mm(20.0)),
        Err(Error::Inconsistent {
            larger: Input::WiderBore,
            ..
        })
    ));
}

#[test]
fn drills_rise_and_are_found() {
    // BS 328: 230 sizes if 25.25, 25.5 and 25.75 mm are counted. Inch: E is 1/4 in.
    for (system, count, range) in [
        (DrillSystem::Metric, 230 - 3, METRIC),
        (DrillSystem::Inch, 80 + 26 + 64 - 1, INCH),
    ] {
        let sizes = system.sizes();
        assert_eq!(sizes.len(), count);
        assert!(
            sizes
                .windows(2)
                .all(|pair| pair[0].diameter < pair[1].diameter)
        );
        let get = |length: Length| match system {
            DrillSystem::Metric => length.get::<millimeter>(),
            DrillSystem::Inch => length.get::<inch>(),
        };
        approx::assert_relative_eq!(get(sizes[0].diameter), range.min, max_relative = 1e-15);
        approx::assert_relative_eq!(
            get(sizes[count - 1].diameter),
            range.max,
            max_relative = 1e-15
        );
        for size in sizes {
            assert_eq!(DrillSize::nearest(size.diameter, system), Ok(size));
            assert_eq!(DrillSize::below(size.diameter, system), Some(size));
            assert_eq!(DrillSize::above(size.diameter, system), Some(size));
            assert_eq!(DrillSize::named(&size.name), Ok(size));
            assert_eq!(size.system, system);
        }
        for pair in sizes.windows(2) {
            // Just off the middle of the areas.
            let middle = |factor: f64| {
                let (a, b) = (
                    pair[0].diameter.get::<meter>(),
                    pair[1].diameter.get::<meter>(),
                );
                Length::new::<meter>(((a * a + b * b) / 2.0).sqrt() * factor)
            };
            assert_eq!(DrillSize::nearest(middle(1.0 - 1e-9), system), Ok(&pair[0]));
            assert_eq!(DrillSize::nearest(middle(1.0 + 1e-9), system), Ok(&pair[1]));
            assert_eq!(DrillSize::below(middle(1.0), system), Some(&pair[0]));
            assert_eq!(DrillSize::above(middle(1.0), system), Some(&pair[1]));
        }
        for bad in [f64::NAN, f64::INFINITY, 0.0, -1.0, 0.1, 25.5] {
            assert!(DrillSize::nearest(mm(bad), system).is_err(), "{bad}");
        }
        assert_eq!(DrillSize::below(mm(0.1), system), None);
        assert_eq!(DrillSize::above(mm(26.0), system), None);
        assert_eq!(DrillSize::below(mm(f64::NAN), system), None);
    }
}

#[test]
fn fractions_of_an_inch_are_exact() {
    let mut found = 0;
    for size in DrillSystem::Inch.sizes() {
        let Some(fraction) = size.name.strip_suffix(" in") else {
            continue;
        };
        let (over, under) = fraction.split_once('/').unwrap_or((fraction, "1"));
        let exact = over.parse::<f64>().unwrap() / under.parse::<f64>().unwrap();
        assert_eq!(size.diameter, Length::new::<inch>(exact), "{fraction}");
        found += 1;
    }
    assert_eq!(found, 64);
}

/// Sizes as open lists of tap and clearance drills print them: number 7 for 1/4-20, 21 for 10-32, 29 for 8-32, 36 for
/// 6-32, 50 for 2-56, letter F for 5/16-18, Q for 3/8-24, U for 7/16-14; and the ends of both series.
#[test]
fn drills_of_known_size() {
    for (name, inches) in [
        ("#80", "0.0135"),
        ("#50", "0.0700"),
        ("#36", "0.1065"),
        ("#29", "0.1360"),
        ("#21", "0.1590"),
        ("#10", "0.1935"),
        ("#7", "0.2010"),
        ("#3", "0.2130"),
        ("#1", "0.2280"),
        ("A", "0.2340"),
        ("E", "0.2500"),
        ("F", "0.2570"),
        ("Q", "0.3320"),
        ("U", "0.3680"),
        ("Z", "0.4130"),
    ] {
        let diameter = DrillSize::named(name).unwrap().diameter;
        assert_eq!(format!("{:.4}", diameter.get::<inch>()), inches, "{name}");
    }
}

/// The density of S071 is printed to six digits; the header gives the gas that it is of.
fn reading(upstream_pa: f64, differential_pa: f64) -> PlateReading {
    PlateReading {
        upstream: AbsolutePressure::new::<pascal>(upstream_pa),
        differential: Pressure::new::<pascal>(differential_pa),
        density: MassDensity::new::<kilogram_per_cubic_meter>(upstream_pa / (287.052_87 * 293.15)),
        viscosity: DynamicViscosity::new::<pascal_second>(1.820_57e-5),
        isentropic_exponent: bare(1.4),
    }
}

fn plate(bore_mm: f64, hole_mm: f64, taps: Taps) -> OrificePlate {
    OrificePlate {
        pipe_bore: mm(bore_mm),
        hole: mm(hole_mm),
        taps,
    }
}

/// S071 of `air_supply.csv`; and two examples in the documentation of `fluids`: C of a plate with flange taps, and ε.
#[test]
fn plate_of_other_code() {
    let mut verdict = Verdict::default();
    for row in rows("air_supply.csv") {
        if row.text("quantity") != "orifice_plate_ISO5167_mass_flow" {
            continue;
        }
        let flow = plate(52.5, 30.0, Taps::Corner)
            .flow(&reading(105e3, 1e3))
            .unwrap();
        let got = flow.mass_rate.get::<kilogram_per_second>();
        verdict.relative(row.text("id"), row.number("value"), got, EIGHT_DIGITS);
    }
    let flange = plate(73.91, 22.2, Taps::Flange);
    // Re = 4 m/(π D μ) of 0.12 kg/s and 1.85e-5 Pa s.
    let reynolds = 4.0 * 0.12 / (std::f64::consts::PI * 0.07391 * 1.85e-5);
    let c = flange
        .discharge_coefficient(bare(reynolds))
        .unwrap()
        .get::<ratio>();
    verdict.relative("C", 0.599_032_627_716_365_9, c, 1e-14);
    let epsilon = plate(73.9, 22.2, Taps::Flange)
        .expansibility(bare(0.99), bare(1.4))
        .unwrap();
    verdict.relative("ε", 0.997_473_905_734_342_5, epsilon.get::<ratio>(), 1e-14);
    verdict.finish(3);
}

/// The flow found is that of its own coefficient, and rises with the reading; the taps differ by what they read.
#[test]
fn plate_flow_is_consistent() {
    for taps in Taps::ALL {
        assert_eq!(taps.name().parse(), Ok(*taps));
        for (bore, hole) in [(52.5, 30.0), (100.0, 20.0), (200.0, 149.0), (71.0, 40.0)] {
            let plate = plate(bore, hole, *taps);
            let mut last = 0.0;
            for differential in [2e3, 5e3, 10e3, 20e3] {
                let flow = plate.flow(&reading(110e3, differential)).unwrap();
                let c = plate.discharge_coefficient(flow.reynolds).unwrap();
                approx::assert_relative_eq!(
                    c.get::<ratio>(),
                    flow.discharge_coefficient.get::<ratio>(),
                    max_relative = 1e-14
                );
                assert!(
                    (0.57..0.65).contains(&c.get::<ratio>()),
                    "{bore} {hole}: {c:?}"
                );
                let rate = flow.mass_rate.get::<kilogram_per_second>();
                let reynolds = 4.0 * rate / (std::f64::consts::PI * 1.820_57e-5 * bore / 1000.0);
                approx::assert_relative_eq!(
                    flow.reynolds.get::<ratio>(),
                    reynolds,
                    max_relative = 1e-13
                );
                assert!(rate > last);
                last = rate;
            }
        }
    }
}

#[test]
fn plate_limits() {
    let out = |plate: OrificePlate, reading: &PlateReading| match plate.flow(reading) {
        Err(Error::OutOfRange { what, range, .. }) => (what, range),
        other => panic!("{other:?}"),
    };
    let good = reading(105e3, 1e3);
    let corner = |bore, hole| plate(bore, hole, Taps::Corner);
    assert_eq!(out(corner(49.0, 25.0), &good), (Input::MeterBore, BORE));
    assert_eq!(out(corner(1001.0, 300.0), &good), (Input::MeterBore, BORE));
    assert_eq!(out(corner(60.0, 12.0), &good), (Input::PlateHole, HOLE));
    assert_eq!(
        out(corner(60.0, 46.0), &good),
        (Input::DiameterRatio, DIAMETER_RATIO)
    );
    assert_eq!(
        out(corner(200.0, 15.0), &good),
        (Input::DiameterRatio, DIAMETER_RATIO)
    );
    for differential in [-1.0, 27e3] {
        let found = out(corner(52.5, 30.0), &reading(105e3, differential));
        assert_eq!(found, (Input::PressureRatio, PRESSURE_RATIO));
    }
    for differential in [0.0, 1.0] {
        let found = out(corner(52.5, 30.0), &reading(105e3, differential));
        assert_eq!(found.0, Input::ReynoldsNumber);
    }
    // ISO 5167-2, 5.3.1: 5000; 16000 β²; 170 β² D.
    let least = |plate: OrificePlate| plate.reynolds_range().unwrap().min;
    assert_eq!(least(corner(50.0, 28.0)), REYNOLDS.min);
    approx::assert_relative_eq!(least(corner(100.0, 70.0)), 7840.0, max_relative = 1e-12);
    approx::assert_relative_eq!(
        least(plate(500.0, 250.0, Taps::Flange)),
        21_250.0,
        max_relative = 1e-12
    );
    assert!(
        corner(50.0, 37.5).reynolds_range().is_ok()
            && corner(1000.0, 100.0).reynolds_range().is_ok()
    );
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert!(corner(bad, 30.0).flow(&good).is_err() && corner(52.5, bad).flow(&good).is_err());
        let corner = corner(52.5, 30.0);
        assert!(corner.flow(&reading(bad, 1e3)).is_err());
        assert!(corner.flow(&reading(105e3, bad)).is_err());
        assert!(corner.discharge_coefficient(bare(bad)).is_err());
        assert!(corner.expansibility(bare(bad), bare(1.4)).is_err());
        assert!(corner.expansibility(bare(0.9), bare(bad)).is_err());
        let viscosity = DynamicViscosity::new::<pascal_second>(bad);
        assert!(corner.flow(&PlateReading { viscosity, ..good }).is_err());
        let density = MassDensity::new::<kilogram_per_cubic_meter>(bad);
        assert!(corner.flow(&PlateReading { density, ..good }).is_err());
    }
}
