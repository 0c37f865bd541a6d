//! Cautions of an air supply, a need, an aeration test and a bench trial.

use risewater::answer::{
    ExistingAnswer, ExistingTerms, FlowAnswer, LoopAnswer, NeedAnswer, SizeAnswer, SupplyAnswer,
    SupplyTerms, Terms,
};
use risewater::design::{
    AERATION_EXAMPLE, DesignFile, EXAMPLE, EXISTING_EXAMPLE, LOOP_EXAMPLE, NEED_EXAMPLE,
    SUPPLY_EXAMPLE,
};
use risewater::gas::aeration::DEMO_READINGS;
use risewater::need;
use risewater::sizing::size;
use risewater::supply::blower::DEMO;
use risewater::transfer::Aeration;
use risewater::trial::Fit;
use risewater::uncertainty::MeasuredPoint;
use risewater::units::*;
use risewater::{AirFlow, AirState, Calibration, Caution, ErrorLaw, Model};

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
    let mut design = DesignFile::parse_with(text, &owned(set)).unwrap();
    if let Some(table) = table {
        design = design.with_blower_table(table);
    }
    let supply = design.supply().unwrap();
    let solved = supply.solve().unwrap();
    let answer = SupplyAnswer::of(&supply, &solved, &SupplyTerms::default());
    answer.unwrap().cautions
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

/// The example of a plant that stands, with another curve of its blower.
fn standing(points: &str) -> Vec<Caution> {
    let set = [format!("blower.points={points}")];
    let design = DesignFile::parse_with(EXISTING_EXAMPLE, &set).unwrap();
    let existing = design.existing().unwrap();
    let steady = existing.steady().unwrap();
    let answer = ExistingAnswer::of(&existing, &steady, &ExistingTerms::default());
    answer.unwrap().cautions
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
        (
            "past_blower_table",
            standing(r#"[["0 m3/h", "18 kPa"], ["10 m3/h", "15 kPa"]]"#),
        ),
        (
            "before_blower_table",
            standing(r#"[["60 m3/h", "12 kPa"], ["90 m3/h", "5 kPa"]]"#),
        ),
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

/// The example's loop, without the transfer coefficient of its risers or with it.
fn looped(ceiling: bool) -> Vec<Caution> {
    let tested = "transfer_coefficient = \"0.2 1/s\"";
    assert!(LOOP_EXAMPLE.contains(tested));
    let text = LOOP_EXAMPLE.replace(tested, if ceiling { "" } else { tested });
    let design = DesignFile::parse(&text).unwrap().water_loop().unwrap();
    LoopAnswer::of(&design.water, &design.day, &design.terms())
        .unwrap()
        .cautions
}

fn needed(set: &[&str]) -> Vec<Caution> {
    let rearing = DesignFile::parse_with(NEED_EXAMPLE, &owned(set))
        .unwrap()
        .with_crop_table("crop.csv", need::DEMO)
        .rearing()
        .unwrap();
    let installed = rearing.installed.as_ref();
    NeedAnswer::of(&rearing.room, &rearing.need, installed, &rearing.defaults)
        .unwrap()
        .cautions
}

fn tested() -> Vec<Caution> {
    let design = DesignFile::parse(AERATION_EXAMPLE)
        .unwrap()
        .with_readings(DEMO_READINGS);
    Aeration::of(design.aeration().unwrap()).unwrap().cautions()
}

/// Points of our own invented rig, 50 mm and a metre and a half long: at each air flow so much over what is predicted.
fn trial(depth: f64, points: &[(f64, f64)]) -> Calibration {
    let rig = spec(50.0, depth, 1.5 - depth);
    let riser = rig.build(&site(), Model::default()).unwrap();
    let point = |(n, (air, off)): (usize, &(f64, f64))| {
        let air = AirFlow::at(liters(*air), &AirState::DRY_20_C).unwrap();
        MeasuredPoint {
            run: format!("R{}", n + 1),
            submergence: rig.dimensions.submergence,
            lift: rig.dimensions.lift,
            site: site(),
            air,
            water_flow: riser.operate(air).unwrap().water_flow() * *off,
            water_standard: Ratio::new::<percent>(1.0),
            air_standard: Ratio::new::<percent>(1.0),
            submergence_standard: Length::default(),
            lift_standard: Length::default(),
            repeats: 1,
            shared: Vec::new(),
        }
    };
    Calibration::new(rig, points.iter().enumerate().map(point).collect()).unwrap()
}

/// Cautions of a riser of that rig, or of one like it, at an air flow.
fn predicted(bore_mm: f64, depth: f64, air: f64) -> Vec<Caution> {
    let riser = spec(bore_mm, depth, 1.5 - depth);
    let riser = riser.build(&site(), Model::default()).unwrap();
    let air = AirFlow::at(liters(air), &AirState::DRY_20_C).unwrap();
    let terms = Terms {
        law: ErrorLaw::default().with_calibration(trial(1.1, &[(40.0, 0.9), (60.0, 0.9)])),
        states_outlet: true,
        ..Terms::default()
    };
    FlowAnswer::of(&riser, air, &terms).unwrap().cautions
}

fn of_trials() -> Vec<(&'static str, Vec<Caution>)> {
    let airs = [40.0, 60.0, 90.0, 130.0, 190.0];
    // The middle one of five is read half as large again.
    let bad = airs.map(|air| (air, if air == 90.0 { 1.5 } else { 1.0 }));
    vec![
        ("another_rig", predicted(60.0, 1.1, 50.0)),
        // Two and a half times 60 L/min.
        ("beyond_trial_air", predicted(50.0, 1.1, 150.0)),
        // 0.3 m of 1.5 m away.
        ("beyond_trial_depth", predicted(50.0, 0.8, 50.0)),
        // 30 bores long.
        ("interval_stretched", predicted(50.0, 1.1, 50.0)),
        ("injector_unlike_rigs", porous()),
        ("reading_stands_out", fitted(&bad)),
        // A flow in L/min taken for one in gallons a minute, twice over.
        ("reading_far_off", fitted(&[(40.0, 8.0), (60.0, 8.0)])),
        (
            "reading_narrows_little",
            fitted(&[(JUST_ENOUGH, 1.0), (60.0, 1.0)]),
        ),
        ("outlet_decides", asked()),
    ]
}

/// A little more air than that at which water starts to flow in that rig, L/min.
const JUST_ENOUGH: f64 = 12.0;

/// Cautions of a trial with such points.
fn fitted(points: &[(f64, f64)]) -> Vec<Caution> {
    let law = ErrorLaw::default();
    let fit = Fit::of(trial(1.1, points), Model::default(), &law, None);
    fit.unwrap().cautions
}

/// The example with a diffuser.
fn porous() -> Vec<Caution> {
    let file = DesignFile::parse_with(EXAMPLE, &owned(&["riser.injector=diffuser"])).unwrap();
    let (riser, air) = file.riser_and_air().unwrap();
    let found = FlowAnswer::of(&riser, air, &Terms::default());
    found.unwrap().cautions
}

/// The example without its outlet.
fn asked() -> Vec<Caution> {
    let text = EXAMPLE.replace("\noutlet", "\n# outlet");
    let design = DesignFile::parse(&text).unwrap();
    assert!(!design.states_outlet());
    let problem = design.problem().unwrap();
    let terms = design.terms(ErrorLaw::default()).unwrap();
    let found = size(&problem).unwrap();
    let answer = SizeAnswer::of(&problem, &found, 1, &terms, None).unwrap();
    answer.remarks().cloned().collect()
}

/// Every code that needs a report or a trial, with the cautions of a result that earns it.
pub fn all() -> Vec<(&'static str, Vec<Caution>)> {
    let unfed = ["rearing_tank.2.feed=0 kg/d"];
    let mut found = vec![
        ("oxygen_taken_out", tested()),
        ("means_of_the_day", needed(&[])),
        ("loop_at_ceiling", looped(true)),
        ("free_carbon_dioxide", looped(false)),
        ("filter_oxygen_not_followed", looped(false)),
        ("default_from_memory", needed(&[])),
        ("unfed_animals", needed(&unfed)),
        (
            "oxygen_above_saturation",
            needed(&["need.entering_oxygen=20 mg/L"]),
        ),
        ("lifts_not_enough", needed(&["need.lifts=1"])),
    ];
    found.extend(of_supplies());
    found.extend(of_trials());
    found
}
