//! Loops of design files: by hand, against the library called by itself, and what files cannot say.

use risewater::answer::LoopAnswer;
use risewater::chart::DayFigure;
use risewater::design::{DesignFile, EXISTING_EXAMPLE, LOOP_EXAMPLE, SUPPLY_EXAMPLE};
use risewater::gas::{Conditions, Dissolved};
use risewater::report::UnitSystem;
use risewater::supply::blower::DEMO;
use risewater::units::{
    AbsolutePressure, Ratio, ThermodynamicTemperature, degree_celsius, milligram_per_liter, ratio,
};

/// One tank fed evenly, on a lift as measured.
const MEASURED: &str = r#"
[water]
temperature = "20 degC"
[loop]
meals = []
lift_flow = "100 L/min"
part = 0.25
lifts = 3
[need]
biomass = "60 kg"
feed = "1.2 kg/d"
protein = 0.4
bacteria = false
limits = "none"
least_oxygen = "5 mg/L"
volume = "8 m3"
[filter]
efficiency = 0.5
other_bacteria = 0
"#;

fn set(text: &str, changes: &[&str]) -> DesignFile {
    let changes: Vec<String> = changes.iter().map(|one| (*one).to_owned()).collect();
    DesignFile::parse_with(text, &changes).unwrap()
}

fn answer(file: &DesignFile) -> LoopAnswer {
    let design = file.water_loop().unwrap().sized().unwrap();
    LoopAnswer::of(&design.water, &design.day, &design.terms()).unwrap()
}

fn refused(text: &str, changes: &[&str]) -> String {
    set(text, changes).water_loop().unwrap_err().to_string()
}

/// Water goes round tank, filter, lifts: Q (c_tank - c_filter) = U_filter, c_in = c_filter + E (C* - c_filter) and
/// Q (c_in - c_tank) = U; ammonia P = Q e c_tank.
#[test]
fn one_tank_by_hand() {
    let found = answer(&set(MEASURED, &[]));
    let flow_m3_h = 3.0 * 0.1 * 60.0;
    let feed_g_h = 1200.0 / 24.0;
    // 0.092 of the protein is given off as ammonia nitrogen.
    let tan_g_h = 0.092 * 0.4 * feed_g_h;
    let tank = &found.tanks[0];
    let tan = tan_g_h / (flow_m3_h * 0.5);
    assert!(
        (tank.most_tan_kg_per_m3 * 1e3 - tan).abs() < 1e-9 * tan,
        "{tan}"
    );
    let g_h = |substance: &str, of: fn(&risewater::answer::LoopBudgetFacts) -> f64| {
        let budget = found.budget.iter().find(|one| one.substance == substance);
        of(budget.unwrap()) * 3.6e6
    };
    let animals = -g_h("oxygen", |one| one.animals_kg_per_s);
    let filter = -g_h("oxygen", |one| one.filter_kg_per_s);
    let air = Conditions::fresh(
        ThermodynamicTemperature::new::<degree_celsius>(20.0),
        AbsolutePressure::STANDARD_ATMOSPHERE,
    );
    let saturated = Dissolved::saturated(&air)
        .unwrap()
        .oxygen
        .get::<milligram_per_liter>();
    // c_filter = c - U_f/Q; c_in = c_filter + E (C* - c_filter) = c + U/Q.
    let behind = saturated - (animals + filter) / (flow_m3_h * 0.25);
    let oxygen = behind + filter / flow_m3_h;
    let least = tank.least_oxygen_kg_per_m3 * 1e3;
    assert!((least - oxygen).abs() < 1e-9 * oxygen, "{least} {oxygen}");
    assert!((g_h("tan", |one| one.animals_kg_per_s) - tan_g_h).abs() < 1e-9 * tan_g_h);
    // A mole of nitrogen takes 1 - 0.0244 moles of alkalinity off the loop, a mole of it is 50.04 g of CaCO3.
    let lost = tan_g_h / 14.007 * (1.0 - 0.0244) * 0.5 * 100.087;
    let alkalinity = found.alkalinity_kg_per_s.unwrap() * 3.6e6;
    assert!(
        (alkalinity - lost).abs() < 1e-3 * lost,
        "{alkalinity} {lost}"
    );
    // Of 1 g of nitrogen 4.2 to 4.6 g of oxygen, less what cells take.
    assert!(filter > 4.1 * tan_g_h && filter < 4.6 * tan_g_h, "{filter}");
    assert!(found.holds == (oxygen >= 5.0) && !found.is_ceiling);
}

/// With as many as were found every limit holds, with one fewer not.
#[test]
fn the_fewest_lifts() {
    for (text, changes) in [
        (
            MEASURED.replace("lifts = 3\n", ""),
            &["need.biomass=200 kg", "need.feed=4 kg/d"][..],
        ),
        (LOOP_EXAMPLE.replace("\nlifts = 12", ""), &[]),
    ] {
        let found = answer(&set(&text, changes));
        assert!(
            found.holds && found.lifts > 1,
            "{}",
            found.text(UnitSystem::Metric)
        );
        for (lifts, holds) in [(found.lifts, true), (found.lifts - 1, false)] {
            let lifts = format!("loop.lifts={lifts}");
            let changes: Vec<&str> = changes.iter().copied().chain([&*lifts]).collect();
            let given = answer(&set(&text, &changes));
            assert_eq!(given.holds, holds, "{lifts}");
            assert!(given.size.is_none());
        }
        let size = found.size.unwrap();
        // Fewer fail by their day, or by its mean already.
        if let Some(fails) = &size.choices[0].fewer_fails {
            assert!(size.choices[0].fewer == Some(found.lifts - 1) && fails.slack < 0.0);
        }
    }
}

/// Light in a file: less oxygen at the end of a night of more use, the same mean; the picture shades the dark, and
/// nothing where the light goes from midnight to midnight.
#[test]
fn light_of_a_file() {
    let lit = |from: &str, to: &str| {
        let keys = [
            format!("loop.light_from={from}"),
            format!("loop.light_to={to}"),
            "loop.dark_use=1.5".to_owned(),
        ];
        let file = set(MEASURED, &keys.each_ref().map(String::as_str));
        let asked = file.water_loop().unwrap();
        let outcome = asked.water.day(&asked.day).unwrap();
        let day = outcome.day().unwrap();
        let figure = DayFigure::of(&asked.water, day, &asked.day, UnitSystem::Metric).unwrap();
        let tank = &day.tanks[0];
        let mean = tank.mean.gases.oxygen.value;
        (mean, tank.least_oxygen, figure)
    };
    let (mean, least, figure) = lit("6 h", "20 h");
    assert!((least.at.value / 3600.0 - 6.0).abs() < 1e-6 && least.value.value < 0.99 * mean);
    assert!(figure.svg().unwrap().contains("dark 20:00 to 6:00"));
    assert!(figure.description.contains("dark 20:00 to 6:00"));
    let (always, least, figure) = lit("0 h", "24 h");
    assert!((always / mean - 1.0).abs() < 1e-9 && (least.value.value / mean - 1.0).abs() < 1e-9);
    assert!(!figure.description.contains("dark"));
}

/// Air that is sought too: what lies below the best efficiency comes last, each kind by its power.
#[test]
fn air_that_is_sought() {
    let text = LOOP_EXAMPLE.replace("\nlifts = 12", "");
    let text = text.replace("flow = \"70 L/min\"\nreference = \"dry_20_c\"", "");
    let found = answer(&set(&text, &["loop.meals=[]"]));
    let choices = found.size.unwrap().choices;
    assert!(choices.len() > 2 && choices[0].below_best_efficiency == Some(false));
    for pair in choices.windows(2) {
        let of = |n: usize| {
            (
                pair[n].below_best_efficiency.unwrap(),
                pair[n].air_power_w.unwrap(),
            )
        };
        assert!(of(0) <= of(1), "{pair:?}");
    }
    assert_eq!(choices[0].lifts, found.lifts);
}

/// More animals than any lifts serve are an answer: what is short, and what could live.
#[test]
fn too_many_animals() {
    let found = answer(&set(LOOP_EXAMPLE, &["rearing_tank.1.biomass=2 t"]));
    let short = found.shortage.as_ref().unwrap();
    assert!(!found.holds && found.tanks.is_empty() && short.what == "filter_overloaded");
    // The film of 700 m2 oxidises 0.6 g/(m2 d) at most; 0.092 of the protein, 45 %, is given off.
    let most_kg_s = 700.0 * 0.6e-3 / 86400.0;
    assert!((short.most_kg_per_s.unwrap() - most_kg_s).abs() < 1e-12 * most_kg_s);
    let feed_kg_d = 0.04 * 2016.0 + 0.03 * 52.0;
    let given_kg_s = 0.092 * 0.45 * feed_kg_d / 86400.0;
    assert!((short.excreted_kg_per_s.unwrap() - given_kg_s).abs() < 1e-12 * given_kg_s);
    let stock = found.stock.as_ref().unwrap();
    assert!(stock.factor < 1.0 && stock.biomass_kg < 2068.0);
    let text = found.text(UnitSystem::Metric);
    assert!(
        text.starts_with("Day     it cannot balance: ammonia"),
        "{text}"
    );
    // The search says the same.
    let text = LOOP_EXAMPLE.replace("\nlifts = 12", "");
    let found = answer(&set(&text, &["rearing_tank.1.biomass=2 t"]));
    assert_eq!(found.size.unwrap().more.as_deref(), Some("no_balance"));
}

/// What a search cannot find, and why.
#[test]
fn what_is_short() {
    let text = MEASURED.replace("lifts = 3\n", "");
    // Two lifts at most, where ten would do.
    let crowded = [
        "need.biomass=200 kg",
        "need.feed=4 kg/d",
        "loop.most_lifts=2",
    ];
    let found = answer(&set(&text, &crowded));
    let size = found.size.as_ref().unwrap();
    assert!(!found.holds && found.lifts == 2 && size.more.as_deref() == Some("at_least"));
    let enough = size.at_least.unwrap();
    let lifts = format!("loop.most_lifts={enough}");
    let found = answer(&set(&text, &[crowded[0], crowded[1], &lifts]));
    assert!(found.holds && found.lifts == enough);
    // Too little air for the riser.
    let still = LOOP_EXAMPLE.replace("\nlifts = 12", "");
    let found = answer(&set(&still, &["air.flow=1 L/min"]));
    assert_eq!(
        found.size.as_ref().unwrap().more.as_deref(),
        Some("no_water")
    );
    let said = found.text(UnitSystem::Metric);
    assert!(
        said.starts_with("Day     it cannot balance: the lifts give no water"),
        "{said}"
    );
    // More than the air has.
    let found = answer(&set(&text, &["need.least_oxygen=15 mg/L"]));
    let size = found.size.unwrap();
    assert_eq!(size.more.as_deref(), Some("mean_fails"));
    assert_eq!(size.mean_fails.unwrap().limit.to_string(), "oxygen");
}

/// Lifts of a plant are groups of one, and timers that meet stop different ones.
#[test]
fn timers_of_a_plant() {
    let loops = MEASURED.split_once("[need]").unwrap().1;
    let timer = |lifts: u32, from: &str, to: &str| {
        format!("[[timer]]\nlifts = {lifts}\nfrom = \"{from} h\"\nto = \"{to} h\"\n")
    };
    let plant = format!(
        "{EXISTING_EXAMPLE}\n[loop]\nmeals = []\n[need]{loops}{}{}{}",
        timer(1, "9", "11"),
        timer(1, "10", "12"),
        timer(1, "14", "15")
    );
    let design = set(&plant, &[]).water_loop().unwrap();
    assert_eq!(design.water.lifts.len(), 3);
    assert!(design.water.lifts.iter().all(|group| group.count == 1));
    let off: Vec<_> = design
        .day
        .timers
        .iter()
        .map(|one| (one.group, one.off))
        .collect();
    assert_eq!(off, [(0, 1), (1, 1), (0, 1)]);
    let stopped = answer(&set(&plant, &[]));
    let still = set(
        &plant
            .split_once("[[timer]]")
            .unwrap()
            .0
            .replace("[[timer]]", ""),
        &[],
    );
    let still = answer(&still);
    let least = |found: &LoopAnswer| found.least_oxygen.as_ref().unwrap().oxygen_kg_per_m3;
    assert!(least(&stopped) < least(&still));
    // More than there are.
    let many = plant.replace("lifts = 1\nfrom = \"14 h\"", "lifts = 4\nfrom = \"14 h\"");
    let many = set(&many, &[]).water_loop().unwrap();
    assert!(many.water.day(&many.day).is_err());
    // As many as there are.
    assert!(refused(&plant, &["loop.lifts=3"]).contains("as many as they are"));
}

/// Lifts of an air supply give the loop what they give the supply.
#[test]
fn lifts_of_a_supply() {
    let loops = MEASURED.split_once("[need]").unwrap().1;
    let text = format!("{SUPPLY_EXAMPLE}\n[loop]\nmeals = []\n[need]{loops}");
    let file = set(&text, &[]).with_blower_table(DEMO);
    let design = file.water_loop().unwrap();
    let supply = file.supply().unwrap();
    let running = supply.solve().unwrap().running;
    assert!(running.lifts.len() > 1 && running.lifts.len() == design.water.lifts.len());
    for (group, lift) in design.water.lifts.iter().zip(&running.lifts) {
        assert_eq!(group.flow, lift.water_flow(), "{}", group.name);
    }
}

/// Less at noon: shares of the meals as numbers or in per cent, as many as there are meals.
#[test]
fn shares_of_the_meals() {
    let meals = "loop.meals=[\"8 h\", \"12 h\", \"18 h\"]";
    let shares = |text: &str| format!("loop.meal_shares=[{text}]");
    let least = |set_: &[&str]| answer(&set(MEASURED, set_)).least_oxygen.unwrap();
    let alike = least(&[meals]);
    let third = 1.0 / 3.0;
    let written = least(&[meals, &shares(&format!("{third}, {third}, {third}"))]);
    assert!((written.oxygen_kg_per_m3 - alike.oxygen_kg_per_m3).abs() < 1e-12);
    let numbers = least(&[meals, &shares("0.4, 0.1, 0.5")]);
    let percent = least(&[meals, &shares("\"40 %\", \"10 %\", \"50 %\"")]);
    assert_eq!(numbers, percent);
    assert!((numbers.oxygen_kg_per_m3 - alike.oxygen_kg_per_m3).abs() > 1e-6);
    assert!(refused(MEASURED, &[meals, &shares("0.5, 0.5")]).contains("loop.meal_shares"));
    let wrong = set(MEASURED, &[meals, &shares("0.5, 0.2, 0.2")])
        .water_loop()
        .unwrap();
    assert!(wrong.water.day(&wrong.day).is_err());
}

/// The stock of the worst hour: with a thousandth more a limit fails, with what was found it holds.
#[test]
fn the_stock_of_the_worst_hour() {
    for (text, changes) in [
        (MEASURED, &["loop.meals=[\"8 h\", \"16 h\"]"][..]),
        (LOOP_EXAMPLE, &[]),
    ] {
        let design = set(text, changes).water_loop().unwrap();
        let found = design
            .water
            .largest_stock_of_day(&design.day)
            .unwrap()
            .unwrap();
        let mean = design.water.largest_stock().unwrap().unwrap();
        assert!(found.factor < mean.factor);
        let holds = |factor: f64| {
            let other = design.water.with_stock(Ratio::new::<ratio>(factor));
            let outcome = other.day(&design.day).unwrap();
            outcome
                .day()
                .is_some_and(|day| day.governing().is_none_or(|one| one.1.holds()))
        };
        let factor = found.factor.get::<ratio>();
        assert!(holds(factor) && !holds(1.0011 * factor), "{factor}");
    }
}

#[test]
fn what_a_file_cannot_say() {
    for (changes, words) in [
        (&["loop.at_lower_end=true"][..], "loop.at_lower_end"),
        (&["loop.passage=round"], "series"),
        (&["loop.meals=[\"25 h\"]"], "loop.meals"),
        (&["loop.oxygen_peak=0.5"], "loop.oxygen_peak"),
        (&["filter.efficiency=0"], "filter.efficiency"),
    ] {
        let changes: Vec<String> = changes.iter().map(|one| (*one).to_owned()).collect();
        let said = match DesignFile::parse_with(MEASURED, &changes) {
            Err(error) => error.to_string(),
            Ok(file) => file.water_loop().unwrap_err().to_string(),
        };
        assert!(said.contains(words), "{said}");
    }
    let twice = MEASURED.replace("[filter]", "[filter]\narea = \"700 m2\"");
    let said = DesignFile::parse(&twice).and_then(|file| file.water_loop());
    assert!(said.unwrap_err().to_string().contains("filter.area"));
    for (left_out, words) in [
        ("volume = \"8 m3\"\n", "need.volume"),
        ("part = 0.25\n", "loop.part"),
        ("meals = []\n", "loop.meals"),
        ("efficiency = 0.5\n", "filter"),
    ] {
        let less = MEASURED.replace(left_out, "");
        assert!(refused(&less, &[]).contains(words), "{left_out}");
    }
}
