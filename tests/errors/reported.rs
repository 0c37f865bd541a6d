//! Cautions of an air supply, a need, an aeration test and a calibration.

use risewater::design::{AERATION_EXAMPLE, Design, NEED_EXAMPLE, SUPPLY_EXAMPLE};
use risewater::gas::aeration::DEMO_READINGS;
use risewater::need;
use risewater::report::{AerationReport, NeedReport, SupplyReport};
use risewater::supply::blower::DEMO;
use risewater::trial::{Calibration, FitPoint, FitTerms, Parameter, Uncertain};
use risewater::units::*;
use risewater::{AirFlow, AirState, Caution, Model};

use crate::{liters, site, spec};

fn owned(set: &[&str]) -> Vec<String> {
    set.iter().map(|&one| one.to_owned()).collect()
}

/// The example's plant with a blower's table and some values replaced.
fn blown(table: &str, set: &[&str]) -> Vec<Caution> {
    supplied(SUPPLY_EXAMPLE, Some(table), set)
}

/// The example's plant without a blower, so that its header has whatever pressure the lifts need.
fn unblown(set: &[&str]) -> Vec<Caution> {
    let (before, rest) = SUPPLY_EXAMPLE.split_once("[blower]").unwrap();
    let (_, after) = rest.split_once("[main_line]").unwrap();
    supplied(&format!("{before}[main_line]{after}"), None, set)
}

fn supplied(text: &str, table: Option<&str>, set: &[&str]) -> Vec<Caution> {
    let mut design = Design::parse_with(text, &owned(set)).unwrap();
    if let Some(table) = table {
        design = design.with_blower_table(table);
    }
    let report = SupplyReport::of(design.supply().unwrap(), None, Vec::new()).unwrap();
    report.all_cautions().cloned().collect()
}

/// The demo's blower with hardly more pressure than the deepest lift's water at rest.
fn weak() -> String {
    let flat = [
        ("22.0", "12.6"),
        ("18.6", "12.4"),
        ("15.0", "12.2"),
        ("11.0", "12.0"),
    ];
    flat.iter().fold(DEMO.to_owned(), |table, (old, new)| {
        let (old, new) = (format!("\n{old},"), format!("\n{new},"));
        assert!(table.contains(&old), "{table}");
        table.replace(&old, &new)
    })
}

fn of_supplies() -> Vec<(&'static str, Vec<Caution>)> {
    let as_it_is = blown(DEMO, &[]);
    let no_orifices = "balance.orifices=false";
    let deep = "lift.1.submergence=1.5 m";
    let reference = "air.reference=dry_20_c";
    let no_air = [no_orifices, deep, reference, "lift.1.air_flow=0 L/min"];
    let curve = r#"branch.diffuser_loss=[["5 L/min", "0.5 kPa"], ["10 L/min", "0.8 kPa"]]"#;
    let drilled = "injector = \"drilled_ring\"\nholes = 24\nhole_diameter = \"1.5 mm\"\n";
    let porous = SUPPLY_EXAMPLE.replace(drilled, "injector = \"diffuser\"\n");
    let porous = porous.replace("[balance]", "[air]\nreference = \"dry_20_c\"\n\n[balance]");
    vec![
        ("check_valve_alone", as_it_is.clone()),
        ("oxygen_runs_out", as_it_is.clone()),
        ("intake_air", as_it_is.clone()),
        ("dead_head", as_it_is.clone()),
        ("noise", as_it_is),
        ("blower_below_water", blown(DEMO, &["blower.height=-1 m"])),
        ("no_standby", blown(DEMO, &["blower.standby=0"])),
        (
            "hot_discharge",
            blown(DEMO, &["blower.intake_temperature=40 degC"]),
        ),
        (
            "header_too_hot",
            blown(DEMO, &["blower.arrival_temperature=70 degC"]),
        ),
        ("efficiency_unknown", unblown(&[])),
        ("fast_air", unblown(&["main_line.bore=20 mm"])),
        ("lift_without_air", unblown(&no_air)),
        (
            "orifice_wide",
            unblown(&["branch.bore=5 mm", "balance.least_loss=0.01 kPa"]),
        ),
        ("air_off_design", unblown(&["balance.tolerance=0.001"])),
        ("branch_choked", unblown(&["lift.1.submergence=30 m"])),
        ("beyond_loss_curve", supplied(&porous, Some(DEMO), &[curve])),
        ("soft_balance", unblown(&[no_orifices])),
        ("some_lifts_do_not_start", blown(&weak(), &[no_orifices])),
    ]
}

fn needed(set: &[&str]) -> Vec<Caution> {
    let rearing = Design::parse_with(NEED_EXAMPLE, &owned(set))
        .unwrap()
        .with_crop_table("crop.csv", need::DEMO)
        .rearing()
        .unwrap();
    NeedReport::of(&rearing.room, rearing.installed.as_ref(), &rearing.defaults)
        .unwrap()
        .cautions()
}

fn tested() -> Vec<Caution> {
    let design = Design::parse(AERATION_EXAMPLE)
        .unwrap()
        .with_readings(DEMO_READINGS);
    AerationReport::of(design.aeration().unwrap())
        .unwrap()
        .cautions()
}

/// Points of our own invented rig: 50 mm, a metre and a half long, read off by so much at each air flow.
fn points(depths: &[f64], airs: &[f64], off: impl Fn(usize) -> f64) -> Vec<FitPoint> {
    let mut points = Vec::new();
    for depth in depths {
        for (n, air) in airs.iter().enumerate() {
            let spec = spec(50.0, *depth, 1.5 - depth);
            let air = AirFlow::at(liters(*air), &AirState::DRY_20_C).unwrap();
            let riser = spec.build(&site(), Model::default()).unwrap();
            let flow = riser.operate(air).unwrap().water_flow() * off(n).exp();
            points.push(FitPoint {
                spec,
                site: site(),
                air,
                air_standard: Ratio::new::<percent>(2.0),
                submergence_standard: Length::new::<meter>(0.0),
                lift_standard: Length::new::<meter>(0.0),
                water_flow: Uncertain::new(flow, flow * 0.015),
            });
        }
    }
    points
}

fn fitted(points: &[FitPoint], parameters: &[Parameter]) -> Calibration {
    Calibration::of(points, Model::default(), parameters, &FitTerms::default()).unwrap()
}

fn of_calibrations() -> Vec<(&'static str, Vec<Caution>)> {
    let airs = [40.0, 60.0, 90.0, 130.0, 190.0];
    let one = |off: f64| points(&[1.1], &airs, |_| off);
    let two = points(&[1.1, 1.2], &airs, |_| 0.0);
    let five = points(&[0.9, 1.0, 1.1, 1.2, 1.3], &airs, |n| {
        if n % 2 == 0 { 0.05 } else { -0.05 }
    });
    let (length, distribution) = (Parameter::DevelopingLength, Parameter::DistributionFactor);
    let drift = [Parameter::DriftFactor];
    // Longer than the rig by half, at its share of water and its air.
    let longer = spec(50.0, 1.65, 0.6);
    let rig = fitted(&two, &drift).rig;
    vec![
        ("beyond_calibration", rig.cautions(&longer, two[1].air)),
        // Both take water away, at every depth.
        (
            "parameters_trade_off",
            fitted(&five, &[length, distribution]).cautions,
        ),
        // More water than without any loss at the entrance.
        (
            "parameter_at_bound",
            fitted(&one(0.5), &[Parameter::EntranceLoss]).cautions,
        ),
        // Less than a third of the water predicted: the drift that does so does hardly less when it grows.
        ("flat_objective", fitted(&one(-1.2), &drift).cautions),
        ("one_setting", fitted(&one(0.0), &drift).cautions),
    ]
}

/// Every code that needs a report or a trial, with the cautions of a result that earns it.
pub fn all() -> Vec<(&'static str, Vec<Caution>)> {
    let unfed = ["rearing_tank.2.feed=0 kg/d"];
    let mut found = vec![
        ("oxygen_taken_out", tested()),
        ("means_of_the_day", needed(&[])),
        ("default_from_memory", needed(&[])),
        ("unfed_animals", needed(&unfed)),
        (
            "oxygen_above_saturation",
            needed(&["need.entering_oxygen=20 mg/L"]),
        ),
        ("lifts_not_enough", needed(&["need.lifts=1"])),
    ];
    found.extend(of_supplies());
    found.extend(of_calibrations());
    found
}
