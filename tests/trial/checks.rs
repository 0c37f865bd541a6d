//! Flow measurements against rows of tests/data/uncertainty_checks.csv.
//!
//! Tolerance: half a unit of the eighth digit, which is how the rows are written; where the vapour
//! pressure enters, 9.2e-7 of it more, the stated distance of the library's fit from IAPWS-95.

use risewater::air::AirState;
use risewater::trial::{DisplacedAir, Instruments, WeighedWater};
use risewater::units::{
    AbsolutePressure, Length, Mass, MassDensity, Time, cubic_meter_per_second, kilogram,
    kilogram_per_cubic_meter, liter, meter, pascal, second,
};
use risewater::water::saturation_vapour_pressure;

use crate::table::{Row, rows};
use crate::{celsius, fill, fresh, kpa, liters, seconds};

/// Distance of the vapour pressure from IAPWS-95, relative (see `saturation_vapour_pressure`).
const FIT: f64 = 9.2e-7;

fn row(id: &str) -> Row {
    rows("uncertainty_checks.csv")
        .into_iter()
        .find(|row| row.text("id") == id)
        .unwrap()
}

struct Checks(Vec<String>);

impl Checks {
    fn check(&mut self, id: &str, got: f64, more: f64) {
        let expected = row(id).number("value");
        let tolerance = 0.500_001 * 10f64.powf(expected.abs().log10().floor() - 7.0) + more;
        if got.is_nan() || (got - expected).abs() > tolerance {
            let relative = got / expected - 1.0;
            self.0.push(format!(
                "{id}: expected {expected}, got {got}, off by {relative:e}"
            ));
        }
    }

    fn verdict(self) {
        assert!(self.0.is_empty(), "{}", self.0.join("\n"));
    }
}

/// V = 20 L in 24 s, read once; u(V) = √((0.1/√3)² + 0.05²) L, u(t) = √(0.1² + 0.1²) s.
#[test]
fn one_bucket() {
    let exact_watch = Instruments::default().with_watch_step(Time::new::<second>(0.0));
    let reading = fill(20.0, &[24.0]).with_repeatability(Time::new::<second>(0.0));
    let flow = reading.water_flow(&exact_watch).unwrap().value;
    let mut checks = Checks(Vec::new());
    // The rows are in L/s.
    checks.check(
        "U016",
        1e3 * flow.value.get::<cubic_meter_per_second>(),
        0.0,
    );
    checks.check(
        "U017",
        1e3 * flow.standard.get::<cubic_meter_per_second>(),
        0.0,
    );
    checks.verdict();
}

/// The factor of a water of 998.207 kg/m³ and air of 1.199 kg/m³.
#[test]
fn buoyancy() {
    let mut caught = WeighedWater::new(Mass::new::<kilogram>(10.0), seconds(&[20.0]), fresh(20.0));
    caught.air_density = MassDensity::new::<kilogram_per_cubic_meter>(1.199);
    let density = caught.water.density().get::<kilogram_per_cubic_meter>();
    let volume = caught.volume().unwrap().get::<liter>();
    let mut checks = Checks(Vec::new());
    checks.check("U021", volume * 1e-3 * density / 10.0, 0.0);
    checks.verdict();
}

/// Vapour pressure, dry pressure and normal volume of four bottles.
#[test]
fn bottles() {
    // T degC, barometer kPa, level m, and the first of three rows
    let bottles = [
        (22.0, 100.0, 0.0, 22),
        (22.0, 100.0, 0.1, 25),
        (22.0, 100.0, -0.05, 28),
        (30.0, 90.0, 0.1, 31),
    ];
    let mut checks = Checks(Vec::new());
    for (t, p, h, first) in bottles {
        let id = |n: usize| format!("U0{}", first + n);
        let inputs = format!(
            "T={t:.1} degC; p_bar={} Pa; h={}",
            1e3 * p,
            if h == 0.0 {
                "0.0".into()
            } else {
                format!("{h}")
            }
        );
        assert!(row(&id(0)).text("inputs").starts_with(&inputs), "{inputs}");
        let bottle = DisplacedAir::new(
            liters(6.0),
            seconds(&[12.0, 12.0]),
            celsius(t),
            kpa(p),
            fresh(t),
        )
        .with_level_difference(Length::new::<meter>(h));
        let p_v = saturation_vapour_pressure(celsius(t))
            .unwrap()
            .get::<pascal>();
        let p_d = bottle.dry_pressure().unwrap().get::<pascal>();
        let normal = bottle.air_flow(&Instruments::default()).unwrap();
        let normal = normal
            .volume_rate_at(&AirState::NORMAL_DIN_1343)
            .unwrap()
            .value;
        // Normal volume of each volume in the bottle: 6 L in 12 s is 5e-4 m³/s.
        let factor = normal.get::<cubic_meter_per_second>() / 5e-4;
        checks.check(&id(0), p_v, FIT * p_v);
        checks.check(&id(1), p_d, FIT * p_v);
        checks.check(&id(2), factor, FIT * factor * p_v / p_d);
    }
    checks.verdict();
}

/// 273.15 K and one atmosphere, so that the rows above do not hang on our own constants.
#[test]
fn the_normal_state() {
    assert_eq!(AirState::NORMAL_DIN_1343.temperature, celsius(0.0));
    assert_eq!(
        AirState::NORMAL_DIN_1343.pressure,
        AbsolutePressure::STANDARD_ATMOSPHERE
    );
}

/// Every row of the file is in one of the two places named in main.rs.
#[test]
fn no_row_is_left_out() {
    assert_eq!(rows("uncertainty_checks.csv").len(), 33);
}
