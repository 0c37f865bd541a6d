use std::f64::consts::FRAC_PI_4;

use risewater::design::{DesignFile, EXISTING_EXAMPLE, SUPPLY_EXAMPLE};
use risewater::pipe::Pipe;
use risewater::supply::blower::DEMO;
use risewater::supply::{Injector, LEVEL_CHANGES_M};
use risewater::units::*;

use super::assert_says;
use super::column::G;

fn plant() -> risewater::supply::Supply {
    DesignFile::parse(SUPPLY_EXAMPLE)
        .unwrap()
        .with_blower_table(DEMO)
        .supply()
        .unwrap()
}

fn kpa(pressure: Pressure) -> f64 {
    pressure.get::<kilopascal>()
}

fn liters(flow: VolumeRate) -> f64 {
    flow.get::<liter_per_minute>()
}

/// The name in inches of a schedule 40 pipe with a bore.
fn inches(bore: Length) -> f64 {
    let of = |pipe: &&risewater::pipe::Pipe| {
        pipe.name.starts_with("ASTM D1785 Sch 40") && pipe.bore() == bore
    };
    let pipe = Pipe::catalogue()
        .iter()
        .map(AsRef::as_ref)
        .find(of)
        .unwrap();
    pipe.name.rsplit(' ').nth(1).unwrap().parse().unwrap()
}

#[test]
fn figures_question() {
    let at = |metres: f64| {
        let set = [format!("branch.length={metres} m")];
        let existing = DesignFile::parse_with(EXISTING_EXAMPLE, &set)
            .unwrap()
            .existing()
            .unwrap();
        existing.steady().unwrap().running
    };
    let (short, long) = (3.0, 15.0);
    let (before, after) = (at(short), at(long));
    assert_says!("lines of 15 m in place of 3 m the", long, short);
    let air =
        1.0 - (after.split.air.dry_mass_rate() / before.split.air.dry_mass_rate()).get::<ratio>();
    assert_says!("gives 18 % less air", 100.0 * air);
    assert!(after.split.pressure > before.split.pressure);
    let water = (after.water_flow() / before.water_flow()).get::<ratio>() - 1.0;
    assert_says!("grows by 1.5 %", 100.0 * water);
    let of = |n: usize| after.lifts[n].water_flow() > before.lifts[n].water_flow();
    assert_eq!([of(0), of(1), of(2)], [true, true, false]);
}

#[test]
fn givens() {
    let supply = plant();
    let plant = &supply.plant;
    let (header, risers) = (plant.manifold.header(), plant.manifold.risers());
    let alike = |n: usize| {
        let count = risers
            .iter()
            .filter(|riser| riser.spec() == risers[n].spec())
            .count();
        f64::from(u32::try_from(count).unwrap())
    };
    let of = |n: usize| {
        let spec = risers[n].spec().dimensions;
        let water = risers[n].operate(plant.design[n]).unwrap().water_flow();
        (
            alike(n),
            inches(spec.bore),
            spec.submergence.get::<meter>(),
            spec.lift.get::<meter>(),
            liters(water),
        )
    };
    let (count, size, depth, lift, water) = of(0);
    assert_says!(
        "| 8 lifts, pipe 3 in, injected 1.2 m deep, lift 0.15 m, 75 L/min of water each",
        count,
        size,
        depth,
        lift,
        water
    );
    let (count, size, depth, lift, water) = of(8);
    assert_says!(
        "| 4 lifts of 2 in pipe, air in at 0.9 m, lift 0.15 m, 50 L/min each",
        count,
        size,
        depth,
        lift,
        water
    );
    let end = header
        .branches
        .iter()
        .map(|branch| branch.distance.get::<meter>())
        .fold(0.0, f64::max);
    assert_says!("| 2 in pipe, 22 m long", inches(header.pipe.bore), end);
    assert_says!(
        "| 18 m of 2 in pipe with",
        plant.main.length.get::<meter>(),
        inches(plant.main.bore)
    );
    let Injector::DrilledRing(ring) = &header.branches[0].injector else {
        panic!("no ring")
    };
    let line = |n: usize| header.branches[n].line.length.get::<meter>();
    assert_says!(
        "bore 16 mm, 2.5 m to the tanks and 1.8 m to the filters, each with a check valve and a ring of 24 holes of 1.5 mm",
        header.branches[0].line.bore.get::<millimeter>(),
        line(0),
        line(8),
        f64::from(ring.holes),
        ring.diameter.get::<millimeter>()
    );
    assert_says!(
        "| 25 °C, through a filter that costs 0.3 kPa",
        plant.outside.temperature.get::<degree_celsius>(),
        kpa(plant.intake_loss)
    );
    let site = risers[0].site();
    assert_says!(
        "fresh, 14 °C, 999.2 kg/m³; atmosphere 98.47 kPa",
        site.water.temperature().get::<degree_celsius>(),
        site.water.density().get::<kilogram_per_cubic_meter>(),
        site.atmosphere.get::<kilopascal>()
    );
    let [tank, filter] = [0, 8].map(|n| liters(plant.design[n].volume_rate_at_20_c()));
    assert_says!(
        "tank takes **28.9 L/min** and a filter **23.9 L/min**",
        tank,
        filter
    );
    let set = ["lift.3.submergence=1.1 m".to_owned()];
    let other = DesignFile::parse_with(SUPPLY_EXAMPLE, &set)
        .unwrap()
        .with_blower_table(DEMO)
        .supply()
        .unwrap();
    let depth = |riser: &risewater::Riser| riser.spec().dimensions.submergence;
    let changed: Vec<usize> = (0..risers.len())
        .filter(|n| depth(&other.plant.manifold.risers()[*n]) != depth(&risers[*n]))
        .collect();
    assert_eq!(changed.len(), 1);
    let place = f64::from(u32::try_from(changed[0] + 1).unwrap());
    assert_eq!(place, 3.0);
    assert_says!(
        "--set \"lift.3.submergence=1.1 m\"",
        depth(&other.plant.manifold.risers()[changed[0]]).get::<meter>()
    );
}

#[test]
fn the_way_of_the_air() {
    let solved = plant().solve().unwrap();
    let duty = &solved.duty;
    let exact = &duty.manifold;
    let tank = &solved.running.split.branches[0];
    let site = exact.risers()[0].site();
    let atmosphere = site.atmosphere.get::<kilopascal>();
    // By hand, the ring.
    let Injector::DrilledRing(ring) = &exact.header().branches[0].injector else {
        panic!("no ring")
    };
    let (holes, hole, c_d) = (
        f64::from(ring.holes),
        ring.diameter.get::<millimeter>(),
        ring.discharge.get::<ratio>(),
    );
    assert_says!("$C_d$ | 0.62, thin", c_d);
    let (gas, gamma) = (287.05287, 1.4);
    assert_says!(
        "gas constant of air, 287.05 J/(kg K); ratio of its specific heats, 1.4 |",
        gas,
        gamma
    );
    let mass = tank.air.dry_mass_rate().get::<kilogram_per_second>();
    let counted = P_REF / (gas * 293.15);
    let volume = liters(tank.air.volume_rate_at_20_c());
    assert_says!(
        "Its 28.8 L/min of air, at 1.204 kg/m³, are 0.000578 kg/s",
        volume,
        counted,
        mass
    );
    let area = FRAC_PI_4 * hole * hole;
    let open = holes * c_d * area;
    assert_says!(
        "A hole of 1.5 mm has $a = 1.767$ mm², so $n\\,C_d\\,a = 24 \\times 0.62 \\times 1.767 = 26.3$ mm²",
        hole,
        area,
        holes,
        c_d,
        area,
        open
    );
    let arrives = duty.arrival_temperature;
    let water = tank.water_pressure.get::<kilopascal>();
    let near = 10.0 * (water / 10.0).round();
    let (warm, kelvin_of) = (arrives.get::<degree_celsius>(), arrives.get::<kelvin>());
    assert_says!("has some 110 kPa and 38 °C, so", near, warm);
    let density = 1e3 * near / (gas * kelvin_of);
    assert_says!(
        "$110/(0.28705 \\times 311.15) = 1.23$ kg/m³",
        near,
        gas / 1e3,
        kelvin_of,
        density
    );
    let two = 2.0;
    let loss = (mass / (1e-6 * open)).powi(2) / (two * density);
    assert_says!(
        "$(0.000578/0.0000263)^2/(2 \\times 1.23) = 196$ Pa, or **0.20 kPa**",
        mass,
        1e-6 * open,
        two,
        density,
        loss,
        kpa(tank.injector_loss)
    );

    let start = kpa(duty.startup_rise);
    let (main, intake) = (kpa(duty.main_flow.loss()), kpa(plant().plant.intake_loss));
    assert_says!("at the intake | 0.30 |", intake);
    assert_says!("main line | 0.06 |", main);
    assert_says!("of a tank | 2.02 |", kpa(tank.orifice_loss));
    assert_says!("and branch | 0.03 |", kpa(tank.line_loss));
    assert_says!(
        "check valve | 0.50 | ring | 0.20",
        kpa(tank.check_valve_loss),
        kpa(tank.injector_loss)
    );
    let depth = exact.risers()[0]
        .spec()
        .dimensions
        .submergence
        .get::<meter>();
    let all = intake
        + main
        + kpa(tank.orifice_loss)
        + kpa(tank.line_loss)
        + kpa(tank.check_valve_loss)
        + kpa(tank.injector_loss)
        + water
        - atmosphere;
    assert_says!(
        "1.2 m deep, while the lift runs | 11.71 | **together** | **14.8**",
        depth,
        water - atmosphere,
        all
    );
    let (air, rise) = (
        liters(duty.air.volume_rate_at_20_c()),
        kpa(duty.running_rise),
    );
    assert!((all - rise).abs() < 0.1, "{all} {rise}");
    assert_says!("bring 326.7 L/min of air against 14.8 kPa. A", air, rise);
    assert_says!(
        "bring **326.7 L/min** of air against **14.8 kPa**. To start it takes **12.6 kPa**: the",
        air,
        rise,
        start
    );
    let rho = site.water.density().get::<kilogram_per_cubic_meter>();
    let kilo = 1000.0;
    let still = rho * G * depth / kilo;
    assert_says!(
        "$999.2 \\times 9.80665 \\times 1.2/1000 = 11.76$ kPa, the check valve's 0.5 kPa and the filter's 0.3 kPa",
        rho,
        G,
        depth,
        kilo,
        still,
        kpa(tank.check_valve_loss),
        intake
    );
    assert!((still + kpa(tank.check_valve_loss) + intake - start).abs() < 0.01);
    assert_says!(
        "may reach **74 °C**, because",
        duty.discharge_temperature.get::<degree_celsius>()
    );
    assert_says!("arrival_temperature = \"38 degC\"", warm);
    let energy = solved.energy.unwrap();
    assert_says!(
        "takes **854 W** at the wire, for **56 W** in the air and **20 W** of",
        energy.wire_power.get::<watt>(),
        energy.ideal_power.get::<watt>(),
        energy.useful_power.get::<watt>()
    );
    assert!((energy.useful_power / energy.wire_power).get::<percent>() < 2.5);
}

/// 20 °C and the standard atmosphere, at which air is counted, Pa.
const P_REF: f64 = 101_325.0;

#[test]
fn plates() {
    let solved = plant().solve().unwrap();
    let hole = |n: usize| {
        solved.duty.manifold.header().branches[n]
            .orifice
            .unwrap()
            .diameter
            .get::<millimeter>()
    };
    let drilled = solved.drilled.as_ref().unwrap();
    let drills: Vec<f64> = drilled
        .drills
        .iter()
        .flatten()
        .map(|drill| drill.name.trim_end_matches(" mm").parse().unwrap())
        .collect();
    assert_says!(
        "holes of **4.01 mm** to **4.02 mm** for the tanks, so a drill of **4 mm** does",
        hole(0),
        hole(7),
        drills[0]
    );
    assert!(drills[..8].iter().all(|drill| *drill == drills[0]));
    assert_says!(
        "finds **2.94 mm**, and the next drill is **2.95 mm**. Behind",
        hole(8),
        drills[8]
    );
    let risers = solved.manifold.risers();
    let weighs = |head: f64| {
        risers[0]
            .site()
            .water
            .density()
            .get::<kilogram_per_cubic_meter>()
            * G
            * head
            / 1e3
    };
    let depth = |n: usize| risers[n].spec().dimensions.submergence.get::<meter>();
    let less = depth(0) - depth(8);
    assert_says!(
        "stand in 0.3 m less water, which is 2.9 kPa. So",
        less,
        weighs(less)
    );
    let asked = kpa(plant().plant.balancing.unwrap().least_loss);
    assert_says!(
        "that costs 2 kPa or more. The hole of a tank is sized for 2 kPa. At",
        asked,
        asked
    );
    assert_says!("The plates cost 2 kPa on", asked);
    let moved = LEVEL_CHANGES_M[2];
    let step = weighs(moved);
    assert_says!(
        "throw 2 kPa away?** Because levels move: 5 cm of water is 0.49 kPa. The",
        asked,
        100.0 * moved,
        step
    );
    let takes = |plate: f64, rise: f64| 100.0 * (1.0 - (1.0 - rise / plate).sqrt());
    assert_says!(
        "level 5 cm higher | level 10 cm higher",
        100.0 * moved,
        200.0 * moved
    );
    let soft = asked / 4.0;
    let all = moved / moved;
    assert_says!(
        "| 2 kPa | $1 - \\sqrt{1 - 0.49/2}$: 13 % less air | 29 % less",
        asked,
        all,
        all,
        step,
        asked,
        takes(asked, step),
        takes(asked, 2.0 * step)
    );
    assert_says!("| 0.5 kPa | 86 % less | no air", soft, takes(soft, step));
    assert!(2.0 * step > soft);
    assert_says!("With a plate of 0.5 kPa the", soft);
    assert_says!("levels fall by 5 cm, a", 100.0 * moved);
}

#[test]
fn exercises() {
    let solved = plant().solve().unwrap();
    let rho = solved.manifold.risers()[0]
        .site()
        .water
        .density()
        .get::<kilogram_per_cubic_meter>();
    let (plate, moved) = (1.0, 0.05);
    let step = rho * G * moved / 1e3;
    let takes = |plate: f64| 1.0 - (1.0 - step / plate).sqrt();
    assert_says!(
        "A plate costs 1 kPa. The level of its tank rises by 5 cm, that is by 0.49 kPa",
        plate,
        100.0 * moved,
        step
    );
    assert_says!(
        "$1 - \\sqrt{1 - 0.49/1} = 0.286$: 29 % less. A plate of 2 kPa would pass 13 % less",
        plate,
        plate,
        step,
        plate,
        takes(plate),
        100.0 * takes(plate),
        2.0 * plate,
        100.0 * takes(2.0 * plate)
    );

    let (depth, kilo, valve, intake) = (1.5, 1000.0, 0.5, 0.3);
    let still = rho * G * depth / kilo;
    let holds = 15.0;
    let too_weak = holds < still + valve + intake;
    assert!(too_weak);
    assert_says!("the air goes in 1.5 m deep. Find", depth);
    assert_says!("holds 15 kPa start", holds);
    assert_says!(
        "$999.2 \\times 9.80665 \\times 1.5/1000 = 14.70$ kPa of water, 0.5 kPa for the check valve and 0.3 kPa for the filter: 15.5 kPa. A blower of 15 kPa never",
        rho,
        G,
        depth,
        kilo,
        still,
        valve,
        intake,
        still + valve + intake,
        holds
    );
    assert_eq!(
        kpa(solved.running.split.branches[0].check_valve_loss),
        valve
    );

    let power = solved.duty.specification.adiabatic_power.get::<watt>();
    let wire = solved.energy.unwrap().wire_power.get::<watt>();
    let (efficiency, price, hours) = (0.45, 0.25, 24.0 * 365.0);
    let (small, saved) = (power / efficiency, wire - power / efficiency);
    assert_says!(
        "takes 89.6 W, compressed adiabatically. A smaller blower with its motor has an efficiency of 45 % and",
        power,
        100.0 * efficiency
    );
    assert_says!("at 0.25 EUR for", price);
    let energy = saved * hours / 1e3;
    assert_says!(
        "$89.6/0.45 = 199$ W, so it saves $854 - 199 = 655$ W. In 8760 h that is 5737 kWh, or 1434 EUR",
        power,
        efficiency,
        small,
        wire,
        small,
        saved,
        hours,
        energy,
        energy * price
    );
}
