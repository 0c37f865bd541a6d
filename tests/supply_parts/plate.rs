//! The orifice plate: other code, its own consistency, its limits.

use risewater::error::{Error, Input};
use risewater::supply::plate::{
    BORE, DIAMETER_RATIO, HOLE, OrificePlate, PRESSURE_RATIO, PlateReading, REYNOLDS, Taps,
};
use risewater::units::{
    AbsolutePressure, DynamicViscosity, MassDensity, Pressure, kilogram_per_cubic_meter,
    kilogram_per_second, pascal, pascal_second, ratio,
};

use super::table::rows;
use super::verdict::{EIGHT_DIGITS, Verdict};
use super::{bare, mm};

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
