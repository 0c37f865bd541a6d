//! Gases and the chain from animals to air, in the reports.

use risewater::design::{Design, EXAMPLE};
use risewater::gas::{Dissolved, Gas};
use risewater::need::{Animals, Feed, Gases, Limits, Room, RoomTank, Tank, TankWater};
use risewater::report::{FlowReport, SizeReport, UnitSystem};
use risewater::sizing::Problem;
use risewater::spread::Evidence;
use risewater::units::*;

const KNOWN: &str = "
[gas]
transfer_coefficient = \"0.02 1/s\"
transfer_temperature = \"20 degC\"
oxygen = \"4.5 mg/L\"
carbon_dioxide = \"15 mg/L\"
total_gas_pressure_limit = \"103 %\"
";

fn known() -> Design {
    let few = [
        "limits.standards=[\"ASTM D1785 Sch 40\"]".to_owned(),
        "limits.max_lifts=5".to_owned(),
    ];
    Design::parse_with(&format!("{EXAMPLE}{KNOWN}"), &few).unwrap()
}

fn sized(design: &Design) -> (Problem, SizeReport) {
    let problem = design.problem().unwrap();
    let report = SizeReport::of(&problem, 1, &Evidence::on(problem.model)).unwrap();
    (problem, report)
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
    let design = Design::parse(&text).unwrap();
    let riser = design.riser().unwrap();
    let report = FlowReport::of(&riser, design.air().unwrap(), &Evidence::on(riser.model()))
        .unwrap()
        .with_gas(&riser, &design.gas().unwrap())
        .unwrap();
    let (known, found) = report.gases.unwrap().transfer.unwrap();
    let of = |all: &Dissolved, gas| all.of(gas).get::<milligram_per_liter>();
    for gas in Gas::ALL {
        assert!(
            (of(&found.outlet, gas) / of(&known.inlet, gas) - 1.0).abs() < 1e-12,
            "{gas}"
        );
    }
}

#[test]
fn what_a_sizing_says_of_gases() {
    let design = known();
    let (problem, report) = sized(&design);
    let report = report.with_gas(&problem, &design.gas().unwrap()).unwrap();
    let json = report.json(&problem);
    let best = &json["designs"][0];
    let gas = &best["gas"];
    assert_eq!(gas["limit_source"], "given");
    assert_eq!(
        gas["assumed_saturated"],
        serde_json::json!(["nitrogen", "argon"])
    );
    let number = |key: &str| gas[key].as_f64().unwrap();
    let lifts = best["lifts"].as_f64().unwrap();
    let each = number("oxygen_added_kg_per_h_each");
    assert!((number("oxygen_added_kg_per_h_total") / (each * lifts) - 1.0).abs() < 1e-12);
    // By the water: flow times what it gained.
    let gained = gas["leaving"]["oxygen_mg_per_l"].as_f64().unwrap() - 4.5;
    let by_water = best["water_flow_l_per_min_each"].as_f64().unwrap() * gained * 60e-6;
    assert!((each / by_water - 1.0).abs() < 1e-9);
    let kilowatts = best["air_power_w_total"].as_f64().unwrap() / 1000.0;
    let per_energy = number("oxygen_kg_per_kwh_of_air_power");
    assert!((per_energy / (each * lifts / kilowatts) - 1.0).abs() < 1e-9);
    let codes: Vec<&str> = report.details[0]
        .cautions
        .iter()
        .map(risewater::Caution::code)
        .collect();
    assert!(codes.contains(&"total_gas_pressure_above"), "{codes:?}");
    for (units, words) in [
        (UnitSystem::Metric, "kg/kWh"),
        (UnitSystem::Us, "lb/(hp h)"),
    ] {
        let text = report.text(&problem, units, 3);
        assert!(
            text.contains("limit 103.0 % (given)") && text.contains(words),
            "{text}"
        );
    }
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
    let (mut problem, _) = sized(&known());
    problem.duty.water_flow = need.flow();
    let report = SizeReport::of(&problem, 1, &Evidence::on(problem.model)).unwrap();
    assert!(report.json(&problem)["chain"].is_null());
    let report = report.with_need(Some(&need));
    let chain = &report.json(&problem)["chain"];
    // 2 % a day of 150 kg; half of it oxygen.
    let number = |key: &str| chain[key].as_f64().unwrap();
    assert!((number("feed_kg_per_h") - 3.0 / 24.0).abs() < 1e-12);
    assert!((number("oxygen_kg_per_h") - 1.5 / 24.0).abs() < 1e-12);
    assert_eq!(chain["governing"], "oxygen");
    assert!((number("water_flow_l_per_min_total") / number("need_l_per_min") - 1.0).abs() < 1e-9);
    let text = report.text(&problem, UnitSystem::Metric, 3);
    assert!(
        text.contains("animals       in north, south: feed 0.1250 kg/h"),
        "{text}"
    );
}
