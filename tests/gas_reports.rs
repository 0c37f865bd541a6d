//! Gases and the chain from animals to air, in the answers.

use risewater::Caution;
use risewater::ErrorLaw;
use risewater::answer::{
    Answer, CurveAnswer, CurveTerms, FlowAnswer, SizeAnswer, SupplyAnswer, SupplyTerms, Terms,
};
use risewater::design::{DesignFile, EXAMPLE, SUPPLY_EXAMPLE};
use risewater::gas::Gas;
use risewater::need::{
    Animals, Feed, Gases, Limits, Line, Room, RoomNeed, RoomTank, Tank, TankWater,
};
use risewater::report::UnitSystem;
use risewater::sizing::{Task, size};
use risewater::supply::blower::DEMO;
use risewater::units::*;

const KNOWN: &str = "
[gas]
transfer_coefficient = \"0.02 1/s\"
transfer_temperature = \"20 degC\"
oxygen = \"4.5 mg/L\"
carbon_dioxide = \"15 mg/L\"
total_gas_pressure_limit = \"103 %\"
";

fn known() -> DesignFile {
    let few = [
        "limits.standards=[\"ASTM D1785 Sch 40\"]".to_owned(),
        "limits.max_lifts=5".to_owned(),
    ];
    DesignFile::parse_with(&format!("{EXAMPLE}{KNOWN}"), &few).unwrap()
}

fn terms(design: &DesignFile) -> Terms {
    design.terms(ErrorLaw::default()).unwrap()
}

fn sized(problem: &Task, terms: &Terms, need: Option<&RoomNeed>) -> SizeAnswer {
    let found = size(problem).unwrap();
    SizeAnswer::of(problem, &found, 1, terms, need).unwrap()
}

#[test]
fn a_coefficient_is_brought_to_the_water_s_temperature() {
    let design = known();
    let transfer = design
        .gas()
        .unwrap()
        .transfer(&design.site().unwrap())
        .unwrap()
        .unwrap();
    // 14 degC: six kelvin below.
    let expected = 0.02 / 1.024_f64.powi(6);
    assert!((transfer.coefficient.get::<hertz>() / expected - 1.0).abs() < 1e-12);
}

#[test]
fn without_transfer_the_water_leaves_as_it_enters() {
    let text = format!("{EXAMPLE}{}", KNOWN.replace("0.02 1/s", "0 1/s"));
    let design = DesignFile::parse(&text).unwrap();
    let (riser, air) = design.riser_and_air().unwrap();
    let answer = FlowAnswer::of(&riser, air, &terms(&design)).unwrap();
    let transfer = answer.gas.unwrap().transfer.unwrap();
    let (entering, leaving) = (transfer.entering, transfer.leaving);
    for (gas, left, entered) in [
        (
            "oxygen",
            leaving.oxygen_kg_per_m3,
            entering.oxygen_kg_per_m3,
        ),
        (
            "nitrogen",
            leaving.nitrogen_kg_per_m3,
            entering.nitrogen_kg_per_m3,
        ),
        ("argon", leaving.argon_kg_per_m3, entering.argon_kg_per_m3),
        (
            "carbon dioxide",
            leaving.carbon_dioxide_kg_per_m3,
            entering.carbon_dioxide_kg_per_m3,
        ),
    ] {
        assert!((left / entered - 1.0).abs() < 1e-12, "{gas}");
    }
}

#[test]
fn what_a_sizing_says_of_gases() {
    let design = known();
    let answer = sized(&design.problem().unwrap(), &terms(&design), None);
    let best = answer.best().unwrap();
    let detail = best.detail.as_ref().unwrap();
    assert_eq!(detail.gas.limit_source, "given");
    assert_eq!(detail.gas.assumed_saturated, ["nitrogen", "argon"]);
    let gas = detail.gas.transfer.as_ref().unwrap();
    let each = gas.oxygen_added_each_kg_per_s;
    let total = each * f64::from(best.lifts);
    assert!((gas.oxygen_added_total_kg_per_s / total - 1.0).abs() < 1e-12);
    // By the water: flow times what it gained over 4.5 mg/L.
    let gained = gas.leaving.oxygen_kg_per_m3 - 4.5e-3;
    let by_water = best.each.water_flow_m3_per_s * gained;
    assert!((each / by_water - 1.0).abs() < 1e-9);
    let per_energy = gas.oxygen_per_air_energy_kg_per_j.unwrap();
    assert!((per_energy / (total / best.injection_power_total_w) - 1.0).abs() < 1e-9);
    let codes: Vec<&str> = detail
        .cautions
        .iter()
        .map(risewater::Caution::code)
        .collect();
    assert!(codes.contains(&"total_gas_pressure_above"), "{codes:?}");
    for (units, words) in [
        (UnitSystem::Metric, "kg/kWh"),
        (UnitSystem::Us, "lb/(hp h)"),
    ] {
        let text = answer.full_text(units, 3);
        assert!(
            text.contains("limit 103.0 % (given)") && text.contains(words),
            "{text}"
        );
    }
}

/// 3 m deep, each command says the same of the water that leaves.
#[test]
fn one_bound_for_every_report() {
    let said = |cautions: &[Caution]| -> (f64, f64) {
        let above = cautions.iter().find_map(|one| match one {
            Caution::TotalGasPressureAbove {
                bound_percent,
                limit_percent,
            } => Some((*bound_percent, *limit_percent)),
            _ => None,
        });
        above.expect("too deep")
    };
    let design = DesignFile::parse_with(EXAMPLE, &["riser.submergence=3 m".to_owned()]).unwrap();
    let (riser, air) = design.riser_and_air().unwrap();
    let terms = terms(&design);
    // The site's own pressure; half of the depth.
    let site = design.site().unwrap();
    let weight = site.water.density().value * 9.806_65 * 3.0;
    let expected = 100.0 + 50.0 * weight / site.atmosphere.get::<pascal>();
    let flow = FlowAnswer::of(&riser, air, &terms).unwrap();
    let curve = CurveAnswer::of(
        &riser,
        &CurveTerms {
            points: 5,
            ..CurveTerms::default()
        },
        &terms,
    )
    .unwrap();
    let mut problem = design.problem().unwrap();
    problem.max_total_gas_pressure = None;
    problem.level_rise = Length::default();
    problem.submergences = vec![Length::new::<meter>(3.0)];
    problem.max_air_pressure = None;
    let size = sized(&problem, &terms, None);
    let size = size.best().unwrap().detail.as_ref().unwrap();
    for (name, (bound, limit)) in [
        ("flow", said(&flow.cautions)),
        ("curve", said(&curve.cautions)),
        ("size", said(&size.cautions)),
    ] {
        assert!(
            (bound / expected - 1.0).abs() < 1e-12,
            "{name}: {bound} {expected}"
        );
        assert!((limit - 110.0).abs() < 1e-12, "{name}");
    }
    // The example's blower does not reach so deep, so that a stricter limit stands for depth.
    let strict = "[limits]\nmax_total_gas_pressure = \"105 %\"";
    let plant = DesignFile::parse(&SUPPLY_EXAMPLE.replace("[limits]", strict))
        .unwrap()
        .with_blower_table(DEMO);
    let (bound, limit) = said(&supplied(&plant, None).cautions);
    let site = plant.site().unwrap();
    let weight = site.water.density().value * 9.806_65 * 1.2;
    let expected = 100.0 + 50.0 * weight / site.atmosphere.get::<pascal>();
    assert!((bound / expected - 1.0).abs() < 1e-12, "{bound} {expected}");
    assert!((limit - 105.0).abs() < 1e-12);
}

/// A newcomer's first design keeps to the limit that its own file has.
#[test]
fn the_example_respects_its_limit() {
    let design = DesignFile::parse(EXAMPLE).unwrap();
    let problem = design.problem().unwrap();
    let limit = problem.max_total_gas_pressure.expect("the example has one");
    let answer = sized(&problem, &terms(&design), None);
    let detail = answer.best().unwrap().detail.as_ref().unwrap();
    assert!(detail.gas.total_gas_pressure_bound.unwrap() <= limit.get::<ratio>());
    let mut codes = detail.cautions.iter().map(Caution::code);
    assert!(!codes.any(|code| code == "total_gas_pressure_above"));
}

#[test]
fn from_animals_to_air() {
    let tank = |name: &str, kg: f64| RoomTank {
        name: name.to_owned(),
        tank: Tank::new(
            Animals {
                biomass: Mass::new::<kilogram>(kg),
                feed: Feed::Share(Frequency::new::<per_day>(0.02)),
                protein: Ratio::new::<percent>(42.0),
            },
            TankWater {
                temperature: ThermodynamicTemperature::new::<degree_celsius>(25.0),
                salinity: Ratio::new::<per_mille>(0.0),
                atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
                ph: Ratio::new::<ratio>(7.5),
            },
            Limits::WARM_WATER,
        ),
        cycle: None,
    };
    let room = Room {
        tanks: vec![tank("north", 50.0), tank("south", 100.0)],
    };
    let need = room.need(Gases::of).unwrap();
    let design = known();
    let mut problem = design.problem().unwrap();
    problem.duty.water_flow = need.flow();
    let answer = |need| sized(&problem, &terms(&design), need);
    assert_eq!(answer(None).chain, None);
    let answer = answer(Some(&need));
    let load = &answer.chain.as_ref().unwrap().load;
    // 2 % a day of 150 kg; half of it oxygen.
    assert!((load.feed_kg_per_s * 86_400.0 / 3.0 - 1.0).abs() < 1e-12);
    assert!((load.oxygen_kg_per_s * 86_400.0 / 1.5 - 1.0).abs() < 1e-12);
    assert_eq!(load.governing, Some(Line::Oxygen));
    let given = answer.best().unwrap().water_flow_total_m3_per_s;
    assert!((given / load.need_m3_per_s - 1.0).abs() < 1e-9);
    let text = answer.full_text(UnitSystem::Metric, 3);
    assert!(
        text.contains("animals       150.0 kg in north, south: feed 3.000 kg/d"),
        "{text}"
    );
}

/// The example's plant in warm water, with what its animals need in place of a flow.
fn plant(kg: f64) -> DesignFile {
    let (shared, rest) = SUPPLY_EXAMPLE.split_once("[duty]").unwrap();
    let rest = rest.replace("water_flow = \"800 L/min\"\n", "");
    let gas = "[gas]\ntransfer_coefficient = \"0.02 1/s\"\ntotal_gas_pressure_limit = \"103 %\"\n";
    let need =
        "[need]\nlimits = \"warm_water\"\nprotein = \"42 %\"\nph = 7.3\nfeed_rate = \"2 %/d\"\n";
    let rearing = format!(
        "entering_saturation = \"90 %\"\ntan_removal = \"40 %\"\ncarbon_dioxide_removal = \"50 %\"\nbiomass = \"{kg} kg\"\n"
    );
    let text = format!("{shared}[duty]{rest}\n{gas}\n{need}{rearing}")
        .replace("temperature = \"14 degC\"", "temperature = \"26 degC\"");
    DesignFile::parse(&text).unwrap().with_blower_table(DEMO)
}

fn supplied(design: &DesignFile, need: Option<&RoomNeed>) -> SupplyAnswer {
    let supply = design.supply().unwrap();
    let terms = SupplyTerms {
        need,
        gas: design.gas().unwrap(),
        ..SupplyTerms::default()
    };
    SupplyAnswer::of(&supply, &supply.solve().unwrap(), &terms).unwrap()
}

fn supplied_with_need(kg: f64) -> SupplyAnswer {
    let design = plant(kg);
    supplied(&design, Some(&design.room_need().unwrap()))
}

#[test]
fn what_a_supply_says_of_gases() {
    let answer = supplied_with_need(100.0);
    let gases = || {
        answer
            .lifts
            .iter()
            .filter_map(|lift| lift.gas.as_ref().map(|gas| (lift, gas)))
    };
    // By the water: each lift's flow times what it gained.
    let by_water = gases().map(|(lift, gas)| {
        let found = gas.transfer.as_ref().unwrap();
        let gained = found.leaving.oxygen_kg_per_m3 - found.entering.oxygen_kg_per_m3;
        lift.water_flow_m3_per_s * gained
    });
    let gas = answer.gas.as_ref().unwrap();
    let total = gas.oxygen_added_kg_per_s.unwrap();
    assert!((total / by_water.sum::<f64>() - 1.0).abs() < 1e-9);
    let watts = answer.energy.as_ref().unwrap().wire_power_w;
    let per_energy = gas.oxygen_per_wire_energy_kg_per_j.unwrap();
    assert!((per_energy / (total / watts) - 1.0).abs() < 1e-9);
    assert!(per_energy < gas.oxygen_per_air_energy_kg_per_j.unwrap());
    let bounds = gases().filter_map(|(_, gas)| gas.total_gas_pressure_bound);
    let deepest = bounds.fold(0.0, f64::max);
    assert_eq!(gas.deepest.total_gas_pressure_bound, Some(deepest));
    let mut codes = answer.cautions.iter().map(Caution::code);
    assert!(codes.any(|code| code == "total_gas_pressure_above"));
    let text = answer.full_text(UnitSystem::Metric);
    assert!(text.contains("of electricity"), "{text}");
}

#[test]
fn the_tanks_water_enters_at_its_limits() {
    let design = plant(100.0);
    let limit = |line| design.room_need().unwrap().at_limit(line).unwrap();
    let known = design.gas().unwrap();
    let transfer = known.transfer(&design.site().unwrap()).unwrap().unwrap();
    assert_eq!(transfer.inlet.oxygen, limit(Line::Oxygen));
    assert_eq!(transfer.inlet.carbon_dioxide, limit(Line::CarbonDioxide));
    assert_eq!(known.at_limits(), [Gas::Oxygen, Gas::CarbonDioxide]);
    assert_eq!(known.assumed(), [Gas::Nitrogen, Gas::Argon]);
    let text = supplied_with_need(100.0).full_text(UnitSystem::Metric);
    assert!(text.contains("at the limits of [need]"), "{text}");
}

#[test]
fn a_plant_that_gives_less_than_the_animals_need() {
    let few = supplied_with_need(1.0);
    assert_eq!(few.chain.unwrap().shortfall_m3_per_s, None);
    let many = supplied_with_need(2000.0);
    let chain = many.chain.as_ref().unwrap();
    let missing = chain.load.need_m3_per_s - many.water_flow_m3_per_s;
    assert!((chain.shortfall_m3_per_s.unwrap() / missing - 1.0).abs() < 1e-9);
    // 2 % a day of 2000 kg.
    assert!((chain.load.feed_kg_per_s * 86_400.0 / 40.0 - 1.0).abs() < 1e-9);
    let text = many.full_text(UnitSystem::Us);
    assert!(text.contains("less than the animals need"), "{text}");
    assert_eq!(many.json()["schema"], "risewater.supply/4");
}
