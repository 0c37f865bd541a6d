//! Two lifts at two depths of an invented farm at 1650 m, read from a file: states with and without air, the
//! temperature at the blower's outlet, levels, parts, cautions.

use risewater::caution::Caution;
use risewater::design::DesignFile;
use risewater::supply::{
    Change, Compression, Header, Manifold, Part, Running, Shift, SolvedSupply, Supply,
};
use risewater::units::{
    AbsolutePressure, Length, UnitSystem, degree_celsius, kelvin, kilogram_per_second, meter,
    pascal, ratio,
};

const FARM: &str = r#"
[model]
developing_length = 8
[water]
temperature = "18 degC"
[site]
altitude = "1650 m"
[blower]
table = "blower.csv"
[main_line]
bore = "50 mm"
length = "12 m"
[header]
bore = "50 mm"
first = "2 m"
spacing = "1.2 m"
[branch]
bore = "19 mm"
length = "1.8 m"
[balance]
orifices = false
[riser]
bore = "100 mm"
lift = "200 mm"
[[lift]]
submergence = "1.1 m"
water_flow = "250 L/min"
[[lift]]
submergence = "0.8 m"
water_flow = "150 L/min"
"#;

/// A made-up side channel blower, and one of a tenth of its flow.
fn table(share: f64) -> String {
    let points = [
        (28.0, 60.0, 4300.0),
        (24.0, 140.0, 3700.0),
        (20.0, 220.0, 3150.0),
        (15.0, 310.0, 2600.0),
        (10.0, 400.0, 2150.0),
        (5.0, 470.0, 1800.0),
        (0.0, 530.0, 1500.0),
    ];
    let rows = points.map(|(kpa, flow, power)| format!("{kpa},{},{}", share * flow, share * power));
    format!(
        "intake_state,dry_20_c\nmachine,dynamic\npower_kind,wire\n\
         pressure_rise_kPa,inlet_flow_m3_per_h,power_W\n{}\n",
        rows.join("\n")
    )
}

fn farm(keys: &[&str], more: &str, share: f64) -> Supply {
    let keys: Vec<String> = keys.iter().map(|key| (*key).to_owned()).collect();
    let design = DesignFile::parse_with(&format!("{FARM}{more}"), &keys).unwrap();
    let design = design.with_blower_table(table(share));
    design.supply().unwrap()
}

fn solved(keys: &[&str], more: &str, share: f64) -> (Supply, SolvedSupply) {
    let supply = farm(keys, more, share);
    let solved = supply.solve().unwrap();
    (supply, solved)
}

fn kg_s(running: &Running, lift: usize) -> f64 {
    let air = running.split.branches[lift].air.dry_mass_rate();
    air.get::<kilogram_per_second>()
}

fn pa(pressure: AbsolutePressure) -> f64 {
    pressure.get::<pascal>()
}

/// Every lift with air stands at the pressures that its riser and its branch have at that air, and one without
/// has less pressure in the header than in its water.
fn is_steady(manifold: &Manifold, running: &Running) {
    for (n, flow) in running.split.branches.iter().enumerate() {
        if !manifold.header().branches[n].open {
            continue;
        }
        let rest = pa(manifold.water_at_rest()[n]);
        if kg_s(running, n) == 0.0 {
            assert!(pa(flow.header_pressure) < rest, "lift {}", n + 1);
            continue;
        }
        let outcome = manifold.risers()[n].operate(flow.air).unwrap();
        let foot = outcome
            .point()
            .map_or(rest, |point| pa(point.injection_pressure));
        let water = pa(flow.water_pressure);
        assert!(
            (water / foot - 1.0).abs() < 1e-8,
            "lift {}: {water} {foot}",
            n + 1
        );
        let branch = &manifold.header().branches[n];
        let alone = Header::new(manifold.header().pipe, vec![branch.clone()]);
        let alone = alone.with_feed(branch.distance);
        let split = alone
            .split_at(flow.header_pressure, &[flow.water_pressure])
            .unwrap();
        let found = split.air.dry_mass_rate().get::<kilogram_per_second>();
        assert!(
            (found / kg_s(running, n) - 1.0).abs() < 1e-5,
            "lift {}",
            n + 1
        );
    }
}

fn all_levels(solved: &SolvedSupply, rise_m: f64) -> &Shift {
    let wanted = |shift: &&Shift| matches!(shift.change, Change::AllLevels(rise) if (rise.get::<meter>() - rise_m).abs() < 1e-12);
    solved.shifts.iter().find(wanted).unwrap()
}

/// With all levels 0.1 m higher the deep lift stays on less pressure than its water has at rest: a jump of its air
/// lies at that pressure. Every change of the farm has a steady answer.
#[test]
fn a_lift_may_run_below_the_pressure_that_starts_it() {
    let (_, solved) = solved(&[], "", 1.0);
    for shift in &solved.shifts {
        let running = shift.running.as_ref().unwrap();
        is_steady(&solved.manifold.changed(shift.change).unwrap(), running);
    }
    let higher = all_levels(&solved, 0.1);
    let running = higher.running.as_ref().unwrap();
    let manifold = solved.manifold.changed(higher.change).unwrap();
    assert!(running.lifts[0].point().is_some());
    assert!(running.split.branches[0].header_pressure < manifold.water_at_rest()[0]);
    assert!(higher.stopped(&solved.running).is_empty());
}

/// Lifts that lose their air are told, and the others go on.
#[test]
fn a_lift_that_loses_its_air_is_told() {
    let keys = [
        "balance.orifices=true",
        "balance.least_loss=0.2 kPa",
        "branch.bore=22 mm",
    ];
    let (_, solved) = solved(&keys, "", 1.0);
    let told: Vec<&Shift> = solved
        .shifts
        .iter()
        .filter(|shift| shift.stopped(&solved.running) == [0])
        .collect();
    assert!(!told.is_empty());
    for shift in told {
        let running = shift.running.as_ref().unwrap();
        let manifold = solved.manifold.changed(shift.change).unwrap();
        is_steady(&manifold, running);
        assert!(running.lifts[0].point().is_none() && running.lifts[1].point().is_some());
        let hit = shift.hardest_hit(&solved.running).unwrap();
        assert_eq!((hit.0, hit.1.get::<ratio>()), (0, 0.0));
    }
}

/// The lift hit hardest is the one that loses most water.
#[test]
fn the_hardest_hit_loses_most_water() {
    let (_, solved) = solved(&[], "", 1.0);
    for shift in &solved.shifts {
        let running = shift.running.as_ref().unwrap();
        let lost = |n: usize| solved.running.lifts[n].water_flow() - running.lifts[n].water_flow();
        let (hit, _) = shift.hardest_hit(&solved.running).unwrap();
        let closed = |n: usize| matches!(shift.change, Change::ValvedOff { lift } if lift == n);
        for other in (0..2).filter(|n| !closed(*n)) {
            assert!(lost(hit) >= lost(other), "{:?}", shift.change);
        }
    }
}

/// T2 = T1 {1 + [(p2/p1)^(2/7) − 1]/η}, with η the adiabatic power over that of the table, both at the rise that
/// the blower gives.
#[test]
fn the_outlet_has_the_temperature_of_the_rise_that_the_blower_gives() {
    let (supply, solved) = solved(&[], "", 0.1);
    let operation = solved.operation.as_ref().unwrap();
    assert!(operation.shortfall.is_some());
    let (intake, air) = (solved.duty.intake, solved.running.split.air);
    let rise = operation.curve.rise(air).unwrap();
    let power = operation.curve.power(air).unwrap().unwrap();
    let adiabatic = Compression::new(air, &intake, rise)
        .unwrap()
        .adiabatic_power();
    let heating = (1.0 + rise.get::<pascal>() / pa(intake.pressure)).powf(2.0 / 7.0) - 1.0;
    let expected =
        intake.temperature.get::<kelvin>() * (1.0 + heating * power.value / adiabatic.value);
    let outlet = solved.outlet_temperature.get::<kelvin>();
    // The rounds end at 1e-7 K.
    assert!((outlet - expected).abs() < 1e-5, "{outlet} {expected}");
    assert!(rise < solved.duty.running_rise);
    assert!(solved.outlet_temperature < solved.duty.discharge_temperature);
    // The lines are as warm as the air in them.
    assert!(supply.plant.arrival.is_none());
    let header = solved.manifold.header();
    for line in [solved.main, header.pipe, header.branches[1].line] {
        assert!((line.temperature.get::<kelvin>() - outlet).abs() < 1e-5);
    }
    // And the blower's curve meets the lines' losses at that temperature.
    let discharge = solved
        .main
        .inlet(air, solved.running.split.pressure)
        .unwrap()
        .inlet;
    let needed = discharge - intake.pressure;
    assert!((needed.value / rise.value - 1.0).abs() < 1e-8);
}

#[test]
fn air_arrives_as_hot_as_it_leaves_unless_a_file_says_otherwise() {
    // An efficiency of 0.15 heats the air beyond what plastic stands.
    let keys = ["balance.orifices=true", "balance.least_loss=4 kPa"];
    let hot = |given: &[&str]| {
        let mut design = keys.to_vec();
        design.extend_from_slice(given);
        let text = FARM.replace("table = \"blower.csv\"", "wire_efficiency = 0.15");
        let design: Vec<String> = design.iter().map(|key| (*key).to_owned()).collect();
        let supply = DesignFile::parse_with(&text, &design)
            .unwrap()
            .supply()
            .unwrap();
        let solved = supply.solve().unwrap();
        let parts = supply.parts(&solved, UnitSystem::Metric);
        (solved, parts)
    };
    let (found, parts) = hot(&[]);
    assert_eq!(found.arrival_temperature, found.outlet_temperature);
    let told = |found: &SolvedSupply| {
        let told = |c: &&Caution| matches!(c, Caution::HeaderTooHot { given: false, .. });
        found.cautions.iter().find(told).is_some()
    };
    assert!(found.outlet_temperature.get::<degree_celsius>() > 60.0 && told(&found));
    let plastic = |part: &Part| part.what.starts_with("pipe ");
    assert!(!parts.iter().any(plastic));
    // Cooled on its way, only the main line is hot.
    let (cooled, parts) = hot(&["blower.arrival_temperature=30 degC"]);
    assert!((cooled.arrival_temperature.get::<degree_celsius>() - 30.0).abs() < 1e-9);
    assert!(!told(&cooled));
    let runs = |what: &str| -> Vec<String> {
        let parts = parts.iter().filter(|part| part.what.starts_with(what));
        parts.map(|part| part.place.clone()).collect()
    };
    assert_eq!(
        runs("metal pipe, or hose rated for"),
        ["main line, up to where the air has cooled to 43 degC"]
    );
    assert_eq!(runs("pipe "), ["header", "branches"]);
}

#[test]
fn levels_are_those_of_the_tank() {
    let rises = |more: &str| -> Vec<f64> {
        let changes = farm(&[], more, 1.0).level_changes;
        changes.iter().map(Length::get::<meter>).collect()
    };
    assert_eq!(rises(""), [-0.10, -0.05, 0.05, 0.10]);
    assert_eq!(rises("[tank]\nlevel_rise = \"0.2 m\"\n"), [0.2]);
    assert_eq!(
        rises("[tank]\nlevel_rise = \"0.2 m\"\nlevel_fall = \"3 cm\"\n"),
        [-0.03, 0.2]
    );
    let (_, solved) = solved(&[], "[tank]\nlevel_fall = \"3 cm\"\n", 1.0);
    assert_eq!(solved.shifts.len(), 1 + 2 * 2);
}

/// Many lifts off their design are one caution, and so are orifices wider than the standard's.
#[test]
fn lifts_alike_are_one_caution() {
    let lifts: String = (0..4)
        .map(|_| "[[lift]]\nsubmergence = \"1.1 m\"\nwater_flow = \"250 L/min\"\n")
        .collect();
    let keys = [
        "balance.orifices=true",
        "balance.least_loss=0.1 kPa",
        "balance.tolerance=0.001",
        "balance.drills=metric",
    ];
    let (supply, solved) = solved(&keys, &lifts, 1.0);
    let off = solved.cautions.iter().filter_map(|caution| match caution {
        Caution::AirOffDesign { lifts, off, .. } => Some((*lifts, *off)),
        _ => None,
    });
    let off: Vec<(usize, f64)> = off.collect();
    let shares = supply.plant.shares(&solved.running);
    let by_hand = shares.iter().map(|share| share.get::<ratio>() - 1.0);
    let by_hand: Vec<f64> = by_hand.filter(|off| off.abs() > 0.001).collect();
    let worst = by_hand
        .iter()
        .fold(0.0_f64, |most, off| most.max(off.abs()));
    assert!(by_hand.len() > 1);
    assert_eq!(off.len(), 1);
    assert_eq!((off[0].0, off[0].1.abs()), (by_hand.len(), worst));
    let wide = solved.cautions.iter().filter_map(|caution| match caution {
        Caution::OrificeWide {
            lifts, over_bore, ..
        } => Some((*lifts, *over_bore)),
        _ => None,
    });
    let wide: Vec<(usize, f64)> = wide.collect();
    let branches = solved.manifold.header().branches.iter();
    let over = branches.map(|b| (b.orifice.unwrap().diameter / b.line.bore).get::<ratio>());
    let over: Vec<f64> = over.filter(|over| *over > 0.75).collect();
    assert!(over.len() > 1);
    assert_eq!(wide.len(), 1);
    assert_eq!(wide[0].0, over.len());
    assert_eq!(wide[0].1, over.iter().copied().fold(0.0, f64::max));
    assert_eq!(solved.orifices_extrapolated(), Some(true));
}

/// `[riser]` holds what all lifts share, and the lifts the rest: nothing is wrong with that.
#[test]
fn a_file_of_lifts_passes_its_check() {
    let design = DesignFile::parse(FARM)
        .unwrap()
        .with_blower_table(table(1.0));
    assert_eq!(design.check(), Ok(()));
    // Without the lifts the riser is one to be placed.
    let alone = FARM.split("[[lift]]").next().unwrap();
    let design = DesignFile::parse(alone)
        .unwrap()
        .with_blower_table(table(1.0));
    assert!(
        design
            .check()
            .unwrap_err()
            .to_string()
            .contains("riser.submergence")
    );
}
