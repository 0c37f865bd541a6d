//! The plan for one lift: a design of a search, or a lift on a header, with no file of its own.

use risewater::answer::PlanAnswer;
use risewater::design::{DesignFile, EXAMPLE, SUPPLY_EXAMPLE};
use risewater::report::UnitSystem;
use risewater::riser::InjectorKind;
use risewater::sizing::{Design, size};
use risewater::supply::blower;
use risewater::trial::{AirGauge, DEMO_RIG, DutyAir, Plan};
use risewater::units::{Length, liter, liter_per_minute, meter, millimeter, pascal};

fn file(text: &str, set: &[&str]) -> DesignFile {
    let set: Vec<String> = set.iter().map(|&one| one.to_owned()).collect();
    DesignFile::parse_with(text, &set).unwrap()
}

/// The search of the example, and the plan for one of its designs, counted from 1.
fn plan_of(number: usize) -> (Design, Plan) {
    let file = file(EXAMPLE, &[]);
    let found = size(&file.problem().unwrap()).unwrap();
    let design = found.designs[number - 1].clone();
    let plan = file
        .bench_for(&design.riser, design.point.air)
        .unwrap()
        .plan()
        .unwrap();
    (design, plan)
}

/// A file with that riser, written out.
fn by_hand(design: &Design, plan: &Plan) -> Plan {
    let spec = design.riser.spec();
    let m = |length: Length| format!("{:.17} m", length.get::<meter>());
    let flows: Vec<String> = plan
        .runs
        .iter()
        .map(|run| {
            format!(
                "\"{:.15} L/min\"",
                run.air.volume_rate_at_20_c().get::<liter_per_minute>()
            )
        })
        .collect();
    let own = design
        .point
        .air
        .volume_rate_at_20_c()
        .get::<liter_per_minute>();
    let site = design.riser.site();
    let text = format!(
        "[water]\ntemperature = \"{:.12} K\"\n[site]\npressure = \"{:.12} Pa\"\n\
         [riser]\nbore = \"{}\"\nsubmergence = \"{}\"\nlift = \"{}\"\nlost_bore = \"{}\"\noutlet = \"plain\"\n\
         [air]\nreference = \"dry_20_c\"\nflow = \"{own:.15} L/min\"\n\
         [trial]\nair_flows = [{}]\n",
        site.water.temperature().value,
        site.atmosphere.get::<pascal>(),
        m(spec.dimensions.bore),
        m(spec.dimensions.submergence),
        m(spec.dimensions.lift),
        m(spec.lost_bore),
        flows.join(", "),
    );
    file(&text, &[]).bench().unwrap().plan().unwrap()
}

#[test]
fn the_plan_of_a_design_is_that_of_a_file_with_its_riser() {
    for number in [1, 4] {
        let (design, plan) = plan_of(number);
        assert_eq!(plan.bench.spec, *design.riser.spec());
        assert_eq!(
            (plan.order.air, plan.order.air_from),
            (design.point.air, DutyAir::Given)
        );
        let written = by_hand(&design, &plan);
        let close = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-6;
        assert_eq!(plan.runs.len(), written.runs.len());
        for (run, other) in plan.runs.iter().zip(&written.runs) {
            assert_eq!(run.label, other.label);
            assert!(close(run.water_flow.value, other.water_flow.value));
            let [own, same] = [run, other].map(|run| run.interval.unwrap());
            assert!(close(own.low.value, same.low.value) && close(own.high.value, same.high.value));
            assert_eq!(
                (run.container, run.air_gauge),
                (other.container, other.air_gauge)
            );
            assert!(close(run.duration.value, other.duration.value));
        }
        let order = |plan: &Plan| {
            plan.order
                .runs
                .iter()
                .map(|next| next.run)
                .collect::<Vec<_>>()
        };
        assert_eq!(order(&plan), order(&written));
        let [now, same] = [&plan, &written].map(|plan| plan.order.half_width.unwrap().value);
        assert!(close(now, same), "{now}, {same}");
        assert_eq!(plan.pairs.pairs, written.pairs.pairs);
    }
}

/// The runs are the lift's own air and two more, all of its own depth and lift; what `[trial]` says comes first.
#[test]
fn what_the_trial_says_is_tried() {
    let (design, plan) = plan_of(1);
    assert_eq!(plan.runs.len(), 3);
    assert!(plan.runs.iter().any(|run| run.air == design.point.air));
    for run in &plan.runs {
        assert_eq!(run.submergence, design.submergence);
        assert_eq!(run.lift, design.riser.spec().dimensions.lift);
    }
    assert!(
        plan.runs
            .windows(2)
            .all(|two| two[0].air.dry_mass_rate() < two[1].air.dry_mass_rate())
    );
    let text = format!(
        "{EXAMPLE}\n[trial]\nair_flows = [\"20 L/min\", \"30 L/min\"]\ncontainer = \"25 L\"\n"
    );
    let own = file(&text, &[])
        .bench_for(&design.riser, design.point.air)
        .unwrap();
    let own = own.plan().unwrap();
    assert_eq!(own.runs.len(), 2);
    assert_eq!(own.order.air, design.point.air);
    assert!(
        own.runs
            .iter()
            .all(|run| (run.container.unwrap().get::<liter>() - 25.0).abs() < 1e-9)
    );
}

/// A lift on the header has its own bore, depth and air, and the injector of its branch.
#[test]
fn a_lift_of_a_supply() {
    let file = file(SUPPLY_EXAMPLE, &[]).with_blower_table(blower::DEMO);
    let plant = file.supply().unwrap().plant;
    for (n, riser) in plant.manifold.risers().iter().enumerate().step_by(5) {
        let plan = file
            .bench_for(riser, plant.design[n])
            .unwrap()
            .plan()
            .unwrap();
        assert_eq!(plan.bench.spec, *riser.spec());
        assert_eq!(plan.bench.spec.injector, Some(InjectorKind::DrilledRing));
        assert_eq!(plan.order.air, plant.design[n]);
        assert!(matches!(plan.runs[0].air_gauge, Some(AirGauge::Bottle(_))));
    }
}

fn lines(plan: &Plan, units: UnitSystem) -> Vec<String> {
    let text = PlanAnswer::of(plan).text(units);
    text.lines().map(str::to_owned).collect()
}

/// Short and narrow, whatever is planned.
#[test]
fn a_plan_fits_on_a_page() {
    let many = [
        "trial.lifts={ from = \"4 cm\", to = \"16 cm\", count = 6 }",
        "trial.air_flows={ from = \"3 L/min\", to = \"150 L/min\", count = 8 }",
        "trial.container=1 L",
        "riser.injector=diffuser",
    ];
    let demo = |set: &[&str]| file(DEMO_RIG, set).bench().unwrap().plan().unwrap();
    for plan in [plan_of(1).1, demo(&[]), demo(&many)] {
        for units in [UnitSystem::Metric, UnitSystem::Us] {
            let lines = lines(&plan, units);
            let text = lines.join("\n");
            println!("{text}\n");
            assert!(lines.len() <= 35, "{} lines:\n{text}", lines.len());
            for line in &lines {
                assert!(
                    line.chars().count() <= 92,
                    "{} wide: {line}",
                    line.chars().count()
                );
            }
            for (n, start) in ["Prepare water: ", "        air: "].iter().enumerate() {
                assert!(
                    lines[n].starts_with(start) || lines[n + 1].starts_with(start),
                    "{text}"
                );
            }
        }
    }
    let text = lines(&demo(&many), UnitSystem::Metric).join("\n");
    assert!(text.contains("injector diffuser"), "{text}");
    assert!(text.contains("more: --csv has all"), "{text}");
}

/// What is at hand and does not do is told, with what does.
#[test]
fn the_wrong_vessel_is_told() {
    let plan = file(DEMO_RIG, &["trial.container=1 L", "trial.bottle=1 L"])
        .bench()
        .unwrap();
    let text = lines(&plan.plan().unwrap(), UnitSystem::Metric).join("\n");
    assert!(
        text.starts_with("Prepare water: a tub of 60 L, 3 fills a run"),
        "{text}"
    );
    // 136 L/min is the most: 0.44 s.
    assert!(
        text.contains("(the 1 L of trial.container fills in 0.44 s)"),
        "{text}"
    );
    assert!(text.contains("air: an inverted bottle of 10 L"), "{text}");
    let own = format!(
        "bore {}",
        Length::new::<millimeter>(57.0).get::<millimeter>()
    );
    assert!(text.contains(&own), "{text}");
}
