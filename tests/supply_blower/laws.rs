//! What must hold for any blower.

use crate::{air, blower, intake, kpa, point, points, rating};
use approx::assert_relative_eq;
use proptest::prelude::*;
use risewater::air::{AirFlow, AirState, pressure_at_altitude};
use risewater::supply::Compression;
use risewater::supply::blower::{Bank, Blower, Machine, PowerKind, RatedPoint, SiteCurve};
use risewater::units::{
    Length, MassRate, Ratio, ThermodynamicTemperature, cubic_meter_per_hour, degree_celsius,
    kilogram_per_second, kilopascal, meter, percent, ratio, watt,
};

const MACHINES: [Machine; 2] = [Machine::Dynamic, Machine::PositiveDisplacement];

fn kg_per_s(flow: AirFlow) -> f64 {
    flow.dry_mass_rate().get::<kilogram_per_second>()
}

/// Air at a part of a curve's flows.
fn within(curve: &SiteCurve, part: f64) -> AirFlow {
    let (first, last) = curve.flows();
    let (first, last) = (kg_per_s(first), kg_per_s(last));
    AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(
        first + part * (last - first),
    ))
    .unwrap()
}

fn speed(n: f64) -> Ratio {
    Ratio::new::<ratio>(n)
}

/// Moist air at an altitude.
fn site(altitude_m: f64, t_c: f64, humidity_percent: f64) -> AirState {
    AirState {
        temperature: ThermodynamicTemperature::new::<degree_celsius>(t_c),
        pressure: pressure_at_altitude(Length::new::<meter>(altitude_m)).unwrap(),
        humidity: Ratio::new::<percent>(humidity_percent),
    }
}

/// Points with flow rising and pressure falling by random steps.
fn tables() -> impl Strategy<Value = Vec<RatedPoint>> {
    let steps = prop::collection::vec((0.01..50.0f64, 1e-3..5.0f64, 0.0..2000.0f64), 2..12);
    (steps, 0.0..20.0f64, 0.0..5.0f64).prop_map(|(steps, start, foot)| {
        let mut rise = foot + steps.iter().map(|(_, fall, _)| fall).sum::<f64>();
        let mut flow = start;
        let mut points = Vec::new();
        for (step, fall, power) in steps {
            points.push(point(rise, flow, power));
            flow += step;
            rise -= fall;
        }
        points
    })
}

proptest! {
    #[test]
    fn power_lies_between_its_bounds(
        flow in 0.1..5000.0f64, rise in 0.01..200.0f64, t_c in -40.0..60.0f64,
        altitude in 0.0..5000.0f64, efficiency in 0.01..1.0f64,
    ) {
        let air = air(flow, &AirState::NORMAL_DIN_1343);
        let compression = Compression::new(air, &site(altitude, t_c, 40.0), kpa(rise)).unwrap();
        let isothermal = compression.isothermal_power();
        let adiabatic = compression.adiabatic_power();
        prop_assert!(isothermal < adiabatic);
        prop_assert!(adiabatic < compression.inlet_flow() * kpa(rise));
        prop_assert!(compression.shaft_power(speed(efficiency)).unwrap() > isothermal);
        let hotter = compression.discharge_temperature(speed(efficiency)).unwrap();
        prop_assert!(hotter >= compression.discharge_temperature(speed(1.0)).unwrap());
    }

    #[test]
    fn thinner_or_moister_air_takes_more_volume(
        low in 0.0..5000.0f64, higher in 0.0..3000.0f64, humidity in 0.0..100.0f64,
    ) {
        let air = air(100.0, &AirState::NORMAL_DIN_1343);
        let inlet = |altitude, humidity| {
            Compression::new(air, &site(altitude, 20.0, humidity), kpa(10.0)).unwrap().inlet_flow()
        };
        prop_assert!(inlet(low + higher, humidity) >= inlet(low, humidity));
        prop_assert!(inlet(low, humidity) >= inlet(low, 0.0));
        // And a machine of one volume brings less air there.
        for machine in MACHINES {
            let last = |altitude| {
                let curve = blower(machine).at(&site(altitude, 20.0, humidity)).unwrap();
                kg_per_s(curve.flows().1)
            };
            prop_assert!(last(low + higher) <= last(low));
        }
    }

    #[test]
    fn curves_are_monotone_where_tables_are(points in tables()) {
        let blower = Blower::new(rating(points.clone(), Machine::Dynamic)).unwrap();
        let curve = blower.at(&AirState::DRY_20_C).unwrap();
        let (highest, lowest) = curve.rises();
        let slack = 1e-14 * highest.get::<kilopascal>();
        let mut before = f64::INFINITY;
        for i in 0..=500 {
            let rise = curve.rise(within(&curve, f64::from(i) / 500.0)).unwrap();
            let rise = rise.get::<kilopascal>();
            prop_assert!(rise <= before + slack, "{i}: {rise} after {before}");
            before = rise;
        }
        // The last flow is rounded, and the curve may be steep there: up to three times the steepest chord.
        let steepest = points
            .windows(2)
            .map(|p| {
                ((p[0].pressure_rise - p[1].pressure_rise).get::<kilopascal>()
                    / (p[1].inlet_flow - p[0].inlet_flow).value)
                    .abs()
            })
            .fold(0.0, f64::max);
        let last_flow = points[points.len() - 1].inlet_flow.value;
        let steep = 3.0 * steepest * 8.0 * f64::EPSILON * last_flow;
        prop_assert!((before - lowest.get::<kilopascal>()).abs() <= slack + steep);
        // Through every point; power never beyond that of the two points beside it.
        let state = AirState::DRY_20_C;
        for pair in points.windows(2) {
            let at = |p: &RatedPoint| AirFlow::at(p.inlet_flow, &state).unwrap();
            let rise = curve.rise(at(&pair[0])).unwrap();
            prop_assert!((rise - pair[0].pressure_rise).get::<kilopascal>().abs() <= 1e-9);
            let (from, to) = (kg_per_s(at(&pair[0])), kg_per_s(at(&pair[1])));
            let ends = [pair[0], pair[1]].map(|p| p.power.unwrap().get::<watt>());
            for i in 1..20 {
                let mass = from + f64::from(i) / 20.0 * (to - from);
                let air = AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(mass));
                let power = curve.power(air.unwrap()).unwrap().unwrap().get::<watt>();
                prop_assert!(power >= ends[0].min(ends[1]) - 1e-9);
                prop_assert!(power <= ends[0].max(ends[1]) + 1e-9);
            }
        }
    }

    #[test]
    fn flow_and_pressure_lead_back_to_each_other(points in tables(), part in 0.0..1.0f64) {
        let curve = Blower::new(rating(points, Machine::Dynamic)).unwrap();
        let curve = curve.at(&site(1200.0, 5.0, 70.0)).unwrap();
        let rise = curve.rise(within(&curve, part)).unwrap();
        let again = curve.rise(curve.air_flow(rise).unwrap()).unwrap();
        // Flat stretches let the flow go, never the pressure: 1e-9 of the drop between two points.
        let scale = curve.rises().0.get::<kilopascal>();
        prop_assert!((again - rise).get::<kilopascal>().abs() <= 2e-9 * scale);
    }

    #[test]
    fn blowers_in_parallel_add_their_flows(n in 1..=100u32, part in 0.0..1.0f64) {
        for machine in MACHINES {
            let one = blower(machine).at(&site(800.0, 15.0, 50.0)).unwrap();
            let air = within(&one, part);
            let rise = one.rise(air).unwrap();
            let many = one.in_parallel(n).unwrap();
            let times = f64::from(n);
            prop_assert!((kg_per_s(many.air_flow(rise).unwrap())
                / (times * kg_per_s(one.air_flow(rise).unwrap()).max(1e-12)) - 1.0).abs() < 1e-9
                || part < 1e-9);
            let power = |curve: &SiteCurve, air| curve.power(air).unwrap().unwrap().get::<watt>();
            let together = AirFlow::from_dry_mass(air.dry_mass_rate() * times).unwrap();
            prop_assert!((power(&many, together) / (times * power(&one, air)) - 1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn the_speed_found_passes_through_the_duty(part in 0.01..0.99f64, n in 0.3..1.8f64) {
        for machine in MACHINES {
            let curve = blower(machine).at(&site(300.0, 25.0, 60.0)).unwrap();
            let turned = curve.at_speed(speed(n)).unwrap();
            let air = within(&turned, part);
            let rise = turned.rise(air).unwrap();
            let found = curve.speed_for(air, rise).unwrap();
            prop_assert!((found.get::<ratio>() / n - 1.0).abs() < 1e-8, "{found:?} for {n}");
            let got = curve.at_speed(found).unwrap().rise(air).unwrap();
            prop_assert!((got - rise).get::<kilopascal>().abs() < 1e-7);
        }
    }
}

#[test]
fn at_its_own_conditions_a_blower_is_its_table() {
    for machine in MACHINES {
        let curve = blower(machine).at(&AirState::DRY_20_C).unwrap();
        for rated in points() {
            let air = AirFlow::at(rated.inlet_flow, &AirState::DRY_20_C).unwrap();
            let rise = curve.rise(air).unwrap();
            assert_relative_eq!(
                rise.get::<kilopascal>(),
                rated.pressure_rise.get::<kilopascal>(),
                epsilon = 1e-9
            );
            assert_eq!(curve.power(air).unwrap(), rated.power);
            let back = curve.air_flow(rated.pressure_rise).unwrap();
            assert_relative_eq!(kg_per_s(back), kg_per_s(air), epsilon = 1e-9);
        }
        assert_eq!(curve.power_kind(), Some(PowerKind::Wire));
        assert_eq!(curve.machine(), machine);
    }
}

#[test]
fn thin_air_by_kind_of_machine() {
    // Four fifths of the pressure at the same temperature: four fifths of the density.
    let thin = intake(20.0, 0.8 * 101.325);
    let inlet = air(60.0, &thin);
    let at = |machine| blower(machine).at(&thin).unwrap();
    let dynamic = at(Machine::Dynamic);
    let rise = dynamic.rise(inlet).unwrap().get::<kilopascal>();
    assert_relative_eq!(rise, 0.8 * 15.0, max_relative = 1e-9);
    let power = dynamic.power(inlet).unwrap().unwrap().get::<watt>();
    assert_relative_eq!(power, 0.8 * 880.0, max_relative = 1e-9);
    let displacement = at(Machine::PositiveDisplacement);
    let rise = displacement.rise(inlet).unwrap().get::<kilopascal>();
    assert_relative_eq!(rise, 15.0, max_relative = 1e-9);
    let power = displacement.power(inlet).unwrap().unwrap().get::<watt>();
    assert_relative_eq!(power, 880.0, max_relative = 1e-9);
}

#[test]
fn warm_air_within_the_stated_difference_from_constant_work() {
    // Work per mass c_p T1 [(p2/p1)^(2/7) − 1] kept from 20 to 40 °C, at shut-off.
    let (cold, warm) = (293.15, 313.15);
    let work = (cold / warm) * ((1.0 + 22.0 / 101.325_f64).powf(2.0 / 7.0) - 1.0);
    let expected = 101.325 * ((1.0 + work).powf(3.5) - 1.0);
    let curve = blower(Machine::Dynamic).at(&intake(40.0, 101.325)).unwrap();
    let (highest, _) = curve.rises();
    // The difference that the docs of Blower::at state.
    assert_relative_eq!(highest.get::<kilopascal>(), expected, max_relative = 5e-3);
}

#[test]
fn speed_by_kind_of_machine() {
    let state = AirState::DRY_20_C;
    let full = air(60.0, &state);
    let half = air(30.0, &state);
    for (machine, rise, power) in [
        (Machine::Dynamic, 0.25, 0.125),
        (Machine::PositiveDisplacement, 1.0, 0.5),
    ] {
        let curve = blower(machine).at(&state).unwrap();
        let turned = curve.at_speed(speed(0.5)).unwrap();
        let ratio_of = |a: f64, b: f64| a / b;
        let (slow, fast) = (turned.rise(half).unwrap(), curve.rise(full).unwrap());
        assert_relative_eq!(ratio_of(slow.value, fast.value), rise, max_relative = 1e-12);
        let watts = |c: &SiteCurve, air| c.power(air).unwrap().unwrap().get::<watt>();
        let got = ratio_of(watts(&turned, half), watts(&curve, full));
        assert_relative_eq!(got, power, max_relative = 1e-12);
    }
}

#[test]
fn a_bank_with_and_without_its_standby() {
    let curve = blower(Machine::Dynamic).at(&AirState::DRY_20_C).unwrap();
    let flow = |curve: SiteCurve| {
        let air = curve.air_flow(kpa(15.0)).unwrap();
        let flow = air.volume_rate_at(&AirState::DRY_20_C).unwrap();
        flow.get::<cubic_meter_per_hour>().round()
    };
    for (running, standby, [all, failed, replaced]) in [
        (3, 1, [180.0, 120.0, 180.0]),
        (3, 0, [180.0, 120.0, 120.0]),
        (1, 2, [60.0, 0.0, 60.0]),
        (1, 0, [60.0, 0.0, 0.0]),
    ] {
        let curve = curve.clone();
        let bank = Bank {
            curve,
            running,
            standby,
        };
        assert_eq!(flow(bank.together().unwrap()), all);
        assert_eq!(bank.after_failure().unwrap().map_or(0.0, flow), failed);
        assert_eq!(bank.with_standby().unwrap().map_or(0.0, flow), replaced);
    }
}
