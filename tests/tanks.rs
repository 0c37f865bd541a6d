//! Several tanks on one header: the best set against every combination of lifts, each solved by itself; what files say.

use risewater::air::AirState;
use risewater::answer::{Answer as _, TanksAnswer};
use risewater::design::{DesignFile, EXAMPLE, FileError, SUPPLY_EXAMPLE, TANKS_EXAMPLE};
use risewater::pipe::Pipe;
use risewater::report::UnitSystem;
use risewater::riser::{Dimensions, RiserSpec, Site};
use risewater::sizing::{Design, Duty, Objective, Task, size};
use risewater::supply::blower::{DEMO, Efficiency};
use risewater::supply::{AirSide, Tank, TankSet, Tanks};
use risewater::units::*;
use risewater::{ErrorLaw, Model, Water};

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
    }
}

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
            &["need.biomass=1 kg"],
            "need: given beside several [[duty]]",
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
        assert!(text.lines().count() <= 40, "{text}");
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
