//! Several tanks on one header: the best set against every combination of lifts, each solved by itself; what files say.

use risewater::air::AirState;
use risewater::answer::{Answer as _, TanksAnswer};
use risewater::design::{DesignFile, EXAMPLE, FileError, SUPPLY_EXAMPLE, TANKS_EXAMPLE};
use risewater::pipe::Pipe;
use risewater::report::UnitSystem;
use risewater::riser::{Dimensions, RiserSpec, Site};
use risewater::sizing::{Design, Duty, Objective, Task, size};
use risewater::supply::blower::{Blower, DEMO, Efficiency, Machine, RatedPoint, Rating};
use risewater::supply::{AirSide, Blowers, Tank, TankSet, Tanks};
use risewater::units::*;
use risewater::{AirFlow, ErrorLaw, Model, Water};

const LOSS_PA: f64 = 1200.0;
const ATMOSPHERE_PA: f64 = 101_325.0;

fn m(length: f64) -> Length {
    Length::new::<meter>(length)
}

fn site() -> Site {
    let temperature = ThermodynamicTemperature::new::<degree_celsius>(14.0);
    Site {
        water: Water::fresh(temperature).unwrap(),
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    }
}

/// Three tanks, each with two pipes, three or four depths and one or two lifts.
fn tanks(objective: Objective) -> Tanks {
    let tank = |name: &str, flow, lift, pipes: [&str; 2], depths: &[f64]| {
        let duty = Duty {
            water_flow: VolumeRate::new::<liter_per_minute>(flow),
            lift: m(lift),
        };
        let shared = RiserSpec::new(Dimensions {
            bore: m(0.05),
            submergence: m(1.0),
            lift: m(lift),
        });
        let pipes = pipes.map(|name| std::sync::Arc::clone(&Pipe::named(name).unwrap()));
        let depths = depths.iter().copied().map(m).collect();
        let mut task = Task::new(duty, site(), shared, pipes.to_vec(), depths);
        task.max_lifts = 2;
        Tank {
            name: name.to_owned(),
            task,
        }
    };
    Tanks {
        tanks: vec![
            tank(
                "fry",
                40.0,
                0.1,
                ["ASTM D1785 Sch 40 1-1/2 in", "ASTM D1785 Sch 40 2 in"],
                &[0.4, 0.5, 0.6],
            ),
            tank(
                "grow-out",
                100.0,
                0.12,
                ["ASTM D1785 Sch 40 2 in", "ASTM D1785 Sch 40 3 in"],
                &[0.7, 0.8, 1.0],
            ),
            tank(
                "broodstock",
                50.0,
                0.4,
                ["ASTM D1785 Sch 40 1-1/2 in", "ASTM D1785 Sch 40 2 in"],
                &[0.9, 1.1, 1.3, 1.5],
            ),
        ],
        objective,
        air_side: AirSide {
            intake: AirState::DRY_20_C,
            loss: Pressure::new::<pascal>(LOSS_PA),
            efficiency: Efficiency::Unknown,
        },
        blowers: None,
    }
}

/// A tank of animals, to stand at the end of a file.
const REARED: &str = "
[need]
limits = \"warm_water\"
protein = \"50 %\"
ph = 7.5
[[rearing_tank]]
name = \"larvae\"
biomass = \"20 kg\"
feed_rate = \"3 %/d\"
[[rearing_tank]]
name = \"other\"
biomass = \"90 kg\"
feed_rate = \"3 %/d\"
";

/// One candidate: depth, number of lifts, air of all in kg/s, gauge pressure needed in Pa.
type Candidate = (f64, u32, f64, f64);

/// Every pipe, depth and number of lifts of a tank that gives its flow, each riser solved by itself.
fn candidates(task: &Task) -> Vec<Candidate> {
    let mut all = Vec::new();
    for pipe in &task.pipes {
        for depth in &task.submergences {
            let mut spec = task.riser;
            spec.dimensions = Dimensions {
                bore: pipe.bore(),
                submergence: *depth,
                lift: task.duty.lift,
            };
            let riser = spec.build(&task.site, Model::default()).unwrap();
            let start = task.site.water.density().value * 9.80665 * depth.value;
            for lifts in 1..=task.max_lifts {
                let Ok(point) = riser.air_for(task.duty.water_flow / f64::from(lifts)) else {
                    continue;
                };
                let running = point
                    .injection_pressure
                    .gauge(task.site.atmosphere)
                    .get::<pascal>();
                let air = point.air.dry_mass_rate().value * f64::from(lifts);
                all.push((depth.value, lifts, air, start.max(running)));
            }
        }
    }
    all
}

/// Adiabatic power of dry air of 20 °C and one atmosphere, with γ of 1.4 and the gas constant of dry air of ASHRAE (2005),
/// 8314.41/28.9645 J/(kg K) to six digits, as the library states it.
fn power(air_kg_per_s: f64, need_pa: f64) -> f64 {
    let over = (ATMOSPHERE_PA + need_pa + LOSS_PA) / ATMOSPHERE_PA;
    3.5 * air_kg_per_s * 287.055 * 293.15 * (over.powf(1.0 / 3.5) - 1.0)
}

/// Power, number of lifts, air and pressure of every combination, one candidate of each tank.
fn combinations(of: &[Vec<Candidate>]) -> Vec<[f64; 4]> {
    let mut sums = vec![(0_u32, 0.0_f64, 0.0_f64)];
    for own in of {
        let longer = sums.iter().flat_map(|(lifts, air, need)| {
            own.iter()
                .map(move |(_, n, kg, pa)| (lifts + n, air + kg, need.max(*pa)))
        });
        sums = longer.collect();
    }
    let whole = sums.into_iter();
    whole
        .map(|(lifts, air, need)| [power(air, need), f64::from(lifts), air, need])
        .collect()
}

fn least(all: &[[f64; 4]], of: usize) -> f64 {
    all.iter().map(|one| one[of]).fold(f64::INFINITY, f64::min)
}

fn told(set: &TankSet) -> [f64; 4] {
    [
        set.adiabatic_power.value,
        f64::from(set.lifts),
        set.air.dry_mass_rate().value,
        set.header.get::<pascal>(),
    ]
}

fn near(a: f64, b: f64) -> bool {
    (a / b - 1.0).abs() < 1e-9
}

/// Every objective, the best of all combinations and of those the one of least power.
#[test]
fn the_best_set_is_the_best_of_all_combinations() {
    for (objective, place) in [
        (Objective::AirPower, 0),
        (Objective::Lifts, 1),
        (Objective::AirFlow, 2),
        (Objective::Pressure, 3),
    ] {
        let asked = tanks(objective);
        let of: Vec<_> = asked
            .tanks
            .iter()
            .map(|tank| candidates(&tank.task))
            .collect();
        let all = combinations(&of);
        let found = asked.search().unwrap();
        let best = told(found.best().unwrap());
        let first = least(&all, place);
        assert!(near(best[place], first), "{objective}: {best:?}, {first}");
        let equal: Vec<_> = all
            .iter()
            .copied()
            .filter(|one| near(one[place], first))
            .collect();
        assert!(
            near(best[0], least(&equal, 0)),
            "{objective}: {best:?}, {} of {}",
            least(&equal, 0),
            all.len()
        );
        assert!(all.len() > 100, "{}", all.len());
    }
}

/// Each tank alone, less depth, and two blowers, by the same combinations.
#[test]
fn what_the_binding_tank_costs_is_what_combinations_say() {
    let asked = tanks(Objective::AirPower);
    let of: Vec<_> = asked
        .tanks
        .iter()
        .map(|tank| candidates(&tank.task))
        .collect();
    let found = asked.search().unwrap();
    let best = found.best().unwrap();
    let alone = found.alone().unwrap().unwrap();
    for (own, set) in of.iter().zip(&alone) {
        let least = least(&combinations(std::slice::from_ref(own)), 0);
        assert!(near(set.adiabatic_power.value, least));
    }
    let binding = found.binding(best);
    let [binding] = binding[..] else {
        panic!("{binding:?}")
    };
    assert_eq!(asked.tanks[binding.tank].name, "broodstock");
    let mut tried = 0;
    for shallower in found.shallower(best).unwrap() {
        let [(tank, depth)] = shallower.limits[..] else {
            panic!("one tank binds")
        };
        let mut held = of.clone();
        held[tank].retain(|one| one.0 <= depth.value + 1e-12);
        let all = combinations(&held);
        match shallower.best {
            Some(set) => {
                assert!(near(set.adiabatic_power.value, least(&all, 0)));
                assert!(set.adiabatic_power >= best.adiabatic_power);
                tried += 1;
            }
            None => assert!(all.is_empty()),
        }
    }
    assert!(tried > 0);
    let two = found.two_blowers(best).unwrap().unwrap();
    let mut others = of.clone();
    let own = others.remove(binding.tank);
    let both = least(&combinations(&[own]), 0) + least(&combinations(&others), 0);
    assert!(near(two.adiabatic_power().value, both));
    assert!(both < best.adiabatic_power.value);
}

/// A blower whose curve is a straight line: its highest rise, and its flow where it has none.
fn blowers(highest_kpa: f64, most_m3_h: f64) -> Blowers {
    let point = |kpa: f64, m3_h: f64| RatedPoint {
        pressure_rise: Pressure::new::<kilopascal>(kpa),
        inlet_flow: VolumeRate::new::<cubic_meter_per_hour>(m3_h),
        power: None,
    };
    let rating = Rating {
        points: vec![point(highest_kpa, 0.0), point(0.0, most_m3_h)],
        conditions: AirState::DRY_20_C,
        machine: Machine::Dynamic,
        power_kind: None,
    };
    Blowers {
        blower: Blower::new(rating).unwrap(),
        running: 1,
        standby: 0,
    }
}

/// Strong and weak blowers, every objective: which sets they feed, and the best of all combinations that they feed.
#[test]
fn the_best_set_that_a_blower_feeds_is_the_best_of_all_combinations() {
    let density = AirFlow::at(
        VolumeRate::new::<cubic_meter_per_hour>(1.0),
        &AirState::DRY_20_C,
    )
    .unwrap();
    let (mut fed, mut other, mut none) = (0, 0, 0);
    for (objective, place) in [
        (Objective::AirPower, 0),
        (Objective::Lifts, 1),
        (Objective::AirFlow, 2),
        (Objective::Pressure, 3),
    ] {
        for (highest_kpa, most_m3_h) in [
            (30.0, 40.0),
            (16.0, 40.0),
            (30.0, 15.0),
            (20.0, 16.0),
            (12.0, 60.0),
            (9.0, 9.0),
        ] {
            let mut asked = tanks(objective);
            asked.blowers = Some(blowers(highest_kpa, most_m3_h));
            let of: Vec<_> = asked
                .tanks
                .iter()
                .map(|tank| candidates(&tank.task))
                .collect();
            let gives = |need_pa: f64| {
                let share = 1.0 - 1e-3 * (need_pa + LOSS_PA) / highest_kpa;
                (share * most_m3_h * density.dry_mass_rate().value).max(0.0)
            };
            let all: Vec<_> = combinations(&of)
                .into_iter()
                .filter(|one| one[2] <= gives(one[3]))
                .collect();
            let found = asked.search().unwrap();
            for set in &found.sets {
                let (air, given) = (
                    set.air.dry_mass_rate().value,
                    gives(set.header.get::<pascal>()),
                );
                assert!(
                    (set.given.unwrap().dry_mass_rate().value - given).abs() < 1e-9,
                    "{set:?}"
                );
                assert_eq!(set.is_fed(), Some(air <= given));
            }
            let Some(best) = found.best_fed().unwrap() else {
                assert!(all.is_empty(), "{objective}, {highest_kpa}, {most_m3_h}");
                none += 1;
                continue;
            };
            let (told, first) = (told(&best), least(&all, place));
            assert!(near(told[place], first), "{objective}: {told:?}, {first}");
            let equal: Vec<_> = all
                .iter()
                .copied()
                .filter(|one| near(one[place], first))
                .collect();
            assert!(near(told[0], least(&equal, 0)), "{objective}: {told:?}");
            if found.best().unwrap().is_fed() == Some(true) {
                assert_eq!(found.best(), Some(&best));
                fed += 1;
            } else {
                other += 1;
            }
        }
    }
    assert!(fed > 2 && other > 2 && none > 2, "{fed} {other} {none}");
    assert!(
        tanks(Objective::AirPower)
            .search()
            .unwrap()
            .best_fed()
            .unwrap()
            .is_none()
    );
}

/// The set with fewest lifts of all combinations within the power, where there is one with few enough.
#[test]
fn far_fewer_lifts_for_little_power_are_named() {
    let mut asked = tanks(Objective::AirPower);
    for tank in &mut asked.tanks {
        tank.task.max_lifts = 4;
    }
    let found = asked.search().unwrap();
    let best = found.best().unwrap();
    let mut members = best.members.iter();
    assert!(members.all(|member| found.design(member).outside_data().is_empty()));
    let best = told(best);
    let inside = |design: &Design| -> Option<Candidate> {
        let air = design.point.air.dry_mass_rate().value * f64::from(design.lifts);
        let need = design.startup_pressure.get::<pascal>();
        let need = need.max(design.injection_pressure().get::<pascal>());
        let known = design.outside_data().is_empty();
        known.then_some((design.submergence.value, design.lifts, air, need))
    };
    let of: Vec<Vec<_>> = found
        .sizings
        .iter()
        .map(|one| one.designs.iter().filter_map(inside).collect())
        .collect();
    let mut within = combinations(&of);
    within.retain(|one| one[0] <= 1.15 * best[0] && one[1] <= 0.6 * best[1]);
    let fewer = found.with_fewer_lifts().unwrap();
    assert_eq!(fewer.is_some(), !within.is_empty());
    if let Some(fewer) = fewer {
        let (fewer, lifts) = (told(&fewer), least(&within, 1));
        within.retain(|one| near(one[1], lifts));
        assert!(
            near(fewer[1], lifts) && near(fewer[0], least(&within, 0)),
            "{fewer:?}"
        );
    }
    let mut all = asked.clone();
    all.objective = Objective::Lifts;
    assert_eq!(all.search().unwrap().with_fewer_lifts().unwrap(), None);
}

/// A duty that names a tank asks for what that tank needs, in a file of one duty and of several.
#[test]
fn a_duty_takes_its_flow_from_the_tank_that_it_names() {
    let text = format!("{TANKS_EXAMPLE}{REARED}");
    let text = text.replace(
        "name = \"larvae\"\nwater_flow = \"40 L/min\"           # of all lifts of this tank",
        "tank = \"larvae\"",
    );
    let read = parsed(&text, &[]);
    read.check().unwrap();
    assert!(read.needs_flow());
    let alone = REARED
        .split("[[rearing_tank]]\nname = \"other\"")
        .next()
        .unwrap();
    let alone = parsed(
        &format!("[water]\ntemperature = \"14 degC\"\n[site]\naltitude = \"240 m\"\n{alone}"),
        &[],
    );
    let need = alone.room_need().unwrap().flow();
    let asked = read.tanks_on_header().unwrap();
    assert_eq!(
        (&*asked.tanks[0].name, asked.tanks[0].task.duty.water_flow),
        ("larvae", need)
    );
    assert_eq!(
        asked.tanks[1].task.duty.water_flow,
        VolumeRate::new::<liter_per_minute>(120.0)
    );
    let one = EXAMPLE.replace("water_flow = \"600 L/min\"", "tank = \"larvae\"");
    let one = parsed(&format!("{one}{REARED}"), &[]);
    assert_eq!(one.problem().unwrap().duty.water_flow, need);
    assert_eq!(one.room_need().unwrap().tanks.len(), 1);
    // Without the key the flow of a lone duty is that of all tanks.
    let all = EXAMPLE.replace("water_flow = \"600 L/min\"", "");
    let all = parsed(&format!("{all}{REARED}"), &[]).problem().unwrap();
    assert!(all.duty.water_flow > need * 5.0);
}

/// `check` of duties with a blower asks for no lines, but reads the blower.
#[test]
fn duties_with_a_blower_need_no_header() {
    let points = "\n[blower]\npoints = [[\"0 m3/h\", \"20 kPa\"], [\"90 m3/h\", \"5 kPa\"]]\n";
    let text = format!("{TANKS_EXAMPLE}{points}");
    parsed(&text, &[]).check().unwrap();
    let blowers = parsed(&text, &[]).tanks_on_header().unwrap().blowers;
    assert_eq!(blowers.map(|blowers| blowers.running), Some(1));
    let bad = parsed(&text.replace("5 kPa\"]]", "25 kPa\"]]"), &[]);
    let said = bad.check().unwrap_err().to_string();
    assert!(
        said.contains("blower.points") && said.contains("must fall"),
        "{said}"
    );
    parsed(&format!("{EXAMPLE}{points}"), &[]).check().unwrap();
}

/// A valve takes what the header has over the lift's own running pressure, and the power that goes with it.
#[test]
fn valves_take_the_rest() {
    let asked = tanks(Objective::AirPower);
    let found = asked.search().unwrap();
    let best = found.best().unwrap();
    for member in &best.members {
        let design = found.design(member);
        let running = design.injection_pressure().get::<pascal>();
        let throttled = found.throttled(best, member).unwrap();
        assert!(near(
            throttled.pressure.value,
            best.header.get::<pascal>() - running
        ));
        let air = design.point.air.dry_mass_rate().value * f64::from(design.lifts);
        let lost = power(air, best.header.get::<pascal>()) - power(air, running);
        assert!(
            (throttled.power.value / lost - 1.0).abs() < 1e-7,
            "{throttled:?}"
        );
    }
}

fn parsed(text: &str, set: &[&str]) -> DesignFile {
    let set: Vec<String> = set.iter().map(|one| (*one).to_owned()).collect();
    DesignFile::parse_with(text, &set).unwrap()
}

fn refused(text: &str, set: &[&str]) -> String {
    let set: Vec<String> = set.iter().map(|one| (*one).to_owned()).collect();
    let read = DesignFile::parse_with(text, &set);
    let asked = read.and_then(|read| read.tanks_on_header().map(|_| ()));
    asked.map_or_else(|error: FileError| error.to_string(), |()| String::new())
}

/// One duty in two brackets is one duty, whatever is asked.
#[test]
fn one_duty_may_stand_in_two_brackets() {
    let set = [
        "limits.max_lifts=2",
        "limits.standards=[\"ASTM D1785 Sch 40\"]",
    ];
    let once = parsed(EXAMPLE, &set).problem().unwrap();
    let twice = EXAMPLE.replace("[duty]", "[[duty]]");
    assert_eq!(parsed(&twice, &set).problem().unwrap(), once);
    let named = parsed(&twice, &["duty.name=fry"]);
    named.check().unwrap();
    assert_eq!(named.tanks_on_header().unwrap().tanks[0].name, "fry");
    let lower = parsed(&twice, &["duty.lift=0.1 m"]).problem().unwrap();
    assert_eq!(lower.duty.lift, m(0.1));
    assert_eq!(
        lower,
        parsed(&twice, &["duty.1.lift=0.1 m"]).problem().unwrap()
    );
    // Alone on the header it is what `size` finds, with the power of the blower for the rank.
    let read = parsed(&twice, &set);
    let asked = read.tanks_on_header().unwrap();
    let found = asked.search().unwrap();
    let all = |designs: &[Design]| -> Vec<_> {
        let one = |design: &Design| (design.pipe.name.clone(), design.lifts, design.point.air);
        designs.iter().map(one).collect()
    };
    assert_eq!(
        all(&found.sizings[0].designs),
        all(&size(&once).unwrap().designs)
    );
}

/// What a duty says is its own; what it does not is that of all.
#[test]
fn each_duty_has_what_it_says() {
    let read = parsed(TANKS_EXAMPLE, &["duty.2.lift=0.2 m", "duty.max_lifts=3"]);
    read.check().unwrap();
    let asked = read.tanks_on_header().unwrap();
    let tasks: Vec<&Task> = asked.tanks.iter().map(|tank| &tank.task).collect();
    assert_eq!(tasks[1].duty.lift, m(0.2));
    assert_eq!(tasks[0].duty.lift, m(0.08));
    assert!(tasks.iter().all(|task| task.max_lifts == 3));
    let deepest = |task: &Task| *task.submergences.last().unwrap();
    assert_eq!((deepest(tasks[0]), deepest(tasks[4])), (m(0.5), m(1.8)));
    assert_eq!((tasks[4].level_fall, tasks[4].at_low_water), (m(0.1), true));
    assert!(!tasks[0].at_low_water);
    // Pipes of its own, and no standards of all.
    let read = parsed(
        TANKS_EXAMPLE,
        &["duty.1.pipes=[\"ASTM D1785 Sch 80 2 in\"]"],
    );
    let asked = read.tanks_on_header().unwrap();
    assert_eq!(asked.tanks[0].task.pipes.len(), 1);
    assert!(asked.tanks[1].task.pipes.len() > 1);
}

#[test]
fn what_makes_no_sense_is_refused() {
    let two = format!("{EXAMPLE}\n").replace(
        "[duty]",
        "[[duty]]\nwater_flow = \"9 L/min\"\nlift = \"0.1 m\"\n[[duty]]",
    );
    for (text, set, words) in [
        (
            TANKS_EXAMPLE,
            &["duty.9.lift=1 m"][..],
            "there is no duty 9: the file has 6 of [[duty]]",
        ),
        (
            TANKS_EXAMPLE,
            &["duty.01.lift=1 m"],
            "there is no duty 01: the file has 6 of [[duty]]",
        ),
        (
            TANKS_EXAMPLE,
            &["duty.2.name=larvae"],
            "\"larvae\" is the name of duty 1 already",
        ),
        (
            TANKS_EXAMPLE,
            &["duty.1.objective=lifts", "duty.2.objective=pressure"],
            "duty 2.objective: given beside another objective",
        ),
        (
            TANKS_EXAMPLE,
            &["duty.3.min_submergence=2 m"],
            "duty 3.max_submergence: ",
        ),
        (
            TANKS_EXAMPLE,
            &["duty.1.at_low_water=true"],
            "duty 1.level_fall: missing",
        ),
        (
            TANKS_EXAMPLE,
            &["duty.1.tank=larvae"],
            "duty 1.tank: given beside water_flow",
        ),
        (
            &TANKS_EXAMPLE.replace("water_flow = \"40 L/min\"", "tank = \"larvae\""),
            &[],
            "duty 1.tank: missing: give that tank as [[rearing_tank]]",
        ),
        (
            &format!("{TANKS_EXAMPLE}{REARED}")
                .replace("water_flow = \"40 L/min\"", "tank = \"larva\""),
            &[],
            "there is no rearing tank named \"larva\"; did you mean \"larvae\"?",
        ),
        (
            TANKS_EXAMPLE,
            &["duty.1.max_bore=5 mm"],
            "duty 1.max_bore: largest bore (5 mm) must be more than bore of the narrowest pipe",
        ),
        (
            TANKS_EXAMPLE,
            &["duty.1.min_lifts=9"],
            "must be more than smallest number of lifts (9 lifts)",
        ),
        (
            TANKS_EXAMPLE,
            &["duty.1.level_fall=3 m"],
            "tank \"larvae\": ",
        ),
        (
            &two.replace("water_flow = \"9 L/min\"\n", ""),
            &[],
            "duty 1.water_flow: missing",
        ),
        (
            &two.replace("[[duty]]\nwater_flow = \"9", "[duty.1]\nwater_flow = \"9"),
            &[],
            "",
        ),
    ] {
        let said = refused(text, set);
        assert!(
            said.contains(words) && !said.is_empty(),
            "{set:?}: {said:?} lacks {words:?}"
        );
    }
    let said = refused(&TANKS_EXAMPLE.replace("[[duty]]\n", "[duty]\n"), &[]);
    assert!(said.contains("give each of several as [[duty]]"), "{said}");
    // A question for one duty.
    let said = parsed(&two, &[]).problem().unwrap_err().to_string();
    assert!(
        said.contains("one [duty] is due here, and the file has 2 of [[duty]]"),
        "{said}"
    );
}

/// A supply without lifts of its own takes those of the best set, tank by tank.
#[test]
fn a_supply_takes_the_best_set() {
    let (before, _) = SUPPLY_EXAMPLE.split_once("\n[duty]").unwrap();
    let (_, duties) = TANKS_EXAMPLE.split_once("\n[[duty]]").unwrap();
    let (duties, _) = duties.split_once("[riser]").unwrap();
    let text = format!("{before}\n[[duty]]{duties}");
    let set = ["header.first=1 m", "header.spacing=1 m"];
    let read = parsed(&text, &set).with_blower_table(DEMO);
    read.check().unwrap();
    let asked = read.tanks_on_header().unwrap();
    let found = asked.search().unwrap();
    let best = found.best().unwrap();
    let supply = read.supply().unwrap();
    let branches = &supply.plant.manifold.header().branches;
    assert_eq!(branches.len(), usize::try_from(best.lifts).unwrap());
    let air: f64 = supply
        .plant
        .design
        .iter()
        .map(|air| air.dry_mass_rate().value)
        .sum();
    assert!(near(air, best.air.dry_mass_rate().value));
    assert_eq!(branches[0].name, "larvae 1");
    assert!(read.supply_problem().unwrap().is_none());
}

/// The text of the example: its lines in a terminal's width, with the first tank's numbers in JSON.
#[test]
fn the_answer_fits_a_terminal() {
    let read = parsed(TANKS_EXAMPLE, &[]);
    let asked = read.tanks_on_header().unwrap();
    let found = asked.search().unwrap();
    let terms = read.terms(ErrorLaw::default()).unwrap();
    let told = TanksAnswer::of(&found, found.best().unwrap(), &terms).unwrap();
    for units in [UnitSystem::Metric, UnitSystem::Us] {
        let text = told.text(units, 4);
        assert!(text.lines().count() <= 44, "{text}");
        let wide = text.lines().find(|line| line.chars().count() > 92);
        assert_eq!(wide, None);
        assert!(
            told.figure(units)
                .chart()
                .svg()
                .unwrap()
                .contains("broodstock")
        );
        assert_eq!(told.csv(units).lines().count(), 7);
    }
    let json = told.json();
    assert_eq!(json["schema"], "risewater.tanks/1");
    let total: f64 = told.tanks.iter().map(|tank| tank.throttled_power_w).sum();
    assert!(near(json["throttled_power_w"].as_f64().unwrap(), total));
}
