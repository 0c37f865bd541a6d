use super::*;

const TOML: &str = "case-fry-raceway.in/fry-raceway.toml";
const SCHEDULE: &str = "ASTM D1785 Sch 40";

/// One of six lifts, as the page takes it.
const ONE: Column = Column {
    bore: 0.035,
    submergence: 0.45,
    lift: 0.05,
    l_min: 15.0,
    density: 999.5,
    viscosity: 0.001_234,
    atmosphere_kpa: 99.18,
    vapour_kpa: 1.40,
    kelvin: 285.15,
    developing: 0.2,
};

fn riser(level: f64, lost_mm: f64) -> risewater::riser::Riser {
    sized("1-1/4", level, lost_mm)
}

fn sized(size: &str, level: f64, lost_mm: f64) -> risewater::riser::Riser {
    let changes = [
        format!("riser.pipe={SCHEDULE} {size} in"),
        format!("riser.submergence={} m", 0.45 + level),
        format!("riser.lift={} m", 0.05 - level),
        format!("riser.lost_bore={lost_mm} mm"),
    ];
    design(&file(TOML), &changes).riser().unwrap()
}

fn air_each(riser: &risewater::riser::Riser, water: f64) -> f64 {
    counted(riser.air_for(of_l_min(water)).unwrap().air)
}

#[test]
fn givens_and_duty() {
    let text = file(TOML);
    let value = |key: &str| said(&text, key);
    let (long, wide, deep, turnover): (f64, f64, f64, f64) = (6.0, 0.6, 0.5, 3.0);
    let liters = long * wide * deep * 1000.0;
    let duty = liters * turnover / 60.0;
    assert_eq!(
        format!(
            "raceway | {long} m long, {wide} m wide, {deep} m deep | turnover | {turnover} volumes an hour"
        ),
        "raceway | 6 m long, 0.6 m wide, 0.5 m deep | turnover | 3 volumes an hour"
    );
    assert_eq!(
        format!(
            "fresh, {}; site {} above",
            value("temperature"),
            value("altitude")
        ),
        "fresh, 12 °C; site 180 m above"
    );
    assert_eq!(
        format!(
            "let in {} below; S' is more than {}, the",
            value("max_submergence"),
            value("max_submergence")
        ),
        "let in 0.45 m below; S' is more than 0.45 m, the"
    );
    assert_eq!(
        format!("lift H | {}, to the", value("lift")),
        "lift H | 0.05 m, to the"
    );
    assert_eq!(
        format!(
            "rise by {} | growth; bore by {} before",
            value("level_fall"),
            value("fouling")
        ),
        "rise by 10 mm | growth; bore by 2 mm before"
    );
    assert_eq!(value("level_fall"), value("level_rise"));
    assert_eq!(
        format!("that holds {} At this", value("max_air_pressure")),
        "that holds 8 kPa At this"
    );
    assert_eq!(value("water_flow"), format!("{duty:.0} L/min"));
    assert_eq!(
        format!(
            "holds {long} cdot {wide} cdot {deep} m³, which is {liters:.0} L, and at {turnover} volumes an hour {duty:.0} L/min go"
        ),
        "holds 6 cdot 0.6 cdot 0.5 m³, which is 1800 L, and at 3 volumes an hour 90 L/min go",
    );
    assert_eq!(
        format!(
            "moves at {:.0} mm/s past",
            1e3 * duty / 60e3 / (wide * deep)
        ),
        "moves at 5 mm/s past"
    );
    assert_eq!(
        format!(
            "bore of {:.0} mm; the. gives a sixth: {:.0} L/min; bore D of {:.0} mm | air",
            1e3 * ONE.bore,
            duty / 6.0,
            1e3 * ONE.bore
        ),
        "bore of 35 mm; the. gives a sixth: 15 L/min; bore D of 35 mm | air"
    );

    let site = design(&text, &[]).site().unwrap();
    ONE.is_of(&site);
    assert_eq!(
        ONE.constants(),
        [
            "density of the water, rho | 999.5 kg/m³",
            "viscosity, mu | 0.001234 Pa s",
            "vapour pressure, p_v | 1.40 kPa",
            "temperature, T | 285.15 K",
            "atmosphere, p_a | 99.18 kPa",
            "fall, g | 9.807 m/s²",
            "dry, at | 293.15 K and 101.325 kPa",
        ]
    );
    let middles = (1e3 * wide / (7.0 + 0.5) / 10.0).floor() * 10.0;
    assert_eq!(
        format!("behind the screen, {middles:.0} mm from middle"),
        "behind the screen, 80 mm from middle"
    );
    let fewer = 2.5;
    let less = liters * fewer / 60.0;
    assert_eq!(
        format!(
            "and {fewer} volumes an hour are enough. How many lifts of {} L/min does; Answer {liters:.0} cdot {fewer}/{:.0} is {:.0} L/min: five lifts, with {:.0} L/min of air",
            ONE.l_min,
            60.0,
            less,
            5.0 * ONE.air(ONE.void())
        ),
        "and 2.5 volumes an hour are enough. How many lifts of 15 L/min does; Answer 1800 cdot 2.5/60 is 75 L/min: five lifts, with 35 L/min of air",
    );
}

#[test]
fn one_lift_by_hand() {
    assert_eq!(
        format!(
            "area A of {:.1} mm² and a length L = S + H = {} m. This",
            1e6 * area(ONE.bore),
            ONE.length()
        ),
        "area A of 962.1 mm² and a length L = S + H = 0.5 m. This"
    );
    assert_eq!(
        format!(
            "j_l = Q/A | {:.4} m/s | its. j_l^2/2g | {:.5} m | friction",
            ONE.water(),
            ONE.head()
        ),
        "j_l = Q/A | 0.2598 m/s | its. j_l^2/2g | 0.00344 m | friction",
    );
    assert_eq!(
        format!(
            "mu)^ {}/{} | {:.4} | pressure. rho g S | {:.1} kPa | Near",
            1.0,
            4.0,
            ONE.friction(),
            ONE.mean_kpa()
        ),
        "mu)^ 1/4 | 0.0341 | pressure. rho g S | 101.4 kPa | Near",
    );
    let (most, longest) = (
        risewater::DevelopingLength::MOST_BORES,
        risewater::DevelopingLength::LONGEST_M,
    );
    assert_eq!(
        format!(
            "for that, ell: {most} bores, but at most {longest} m. Here it is {} m. The air",
            ONE.developing
        ),
        "for that, ell: 8 bores, but at most 0.2 m. Here it is 0.2 m. The air"
    );
    assert!(most * ONE.bore > longest);
    assert_eq!(
        format!("-L/ ell = {:.3} m. This", ONE.unspread()),
        "-L/ ell = 0.184 m. This"
    );
    let row = |void| ONE.tried(void);
    assert_eq!(
        row(0.170),
        "| 0.170 | 0.1065 | 0.4150 | 0.0312 | 0.0024 | 0.0066 | 0.4551 |"
    );
    assert_eq!(
        row(0.200),
        "| 0.200 | 0.1303 | 0.4000 | 0.0367 | 0.0025 | 0.0069 | 0.4461 |"
    );
    let third = format!("{:.3}", ONE.third(0.170, 0.200)).parse().unwrap();
    assert_eq!(
        row(third),
        "| 0.187 | 0.1198 | 0.4065 | 0.0343 | 0.0025 | 0.0067 | 0.4500 |"
    );
    let in_pipe = ONE.terms(third).gas * area(ONE.bore) * 60e3;
    let air = ONE.air(third);
    assert_eq!(
        format!("Its j_g A is {in_pipe:.2} L/min of air as"),
        "Its j_g A is 6.91 L/min of air as"
    );
    assert_eq!(
        format!(
            "K T = {:.3} j_g A = {air:.1} mathrm L/min for each lift, and **{:.0} L/min** for",
            ONE.factor(),
            6.0 * air
        ),
        "K T = 1.014 j_g A = 7.0 mathrm L/min for each lift, and **42 L/min** for"
    );
    assert_eq!(
        format!(
            "H/(L - {:.3}), which is {:.3}. Between",
            ONE.unspread(),
            ONE.least_void()
        ),
        "H/(L - 0.184), which is 0.158. Between"
    );
}

#[test]
fn how_many_lifts() {
    let library = riser(0.0, 0.0);
    let row = |lifts: f64| {
        let water = 90.0 / lifts;
        let hand = Column {
            l_min: water,
            ..ONE
        };
        let void = hand.void();
        let each = air_each(&library, water);
        format!(
            "| {lifts} | {water} | {void:.3} | {:.1} | {each:.1} | {:.1} |",
            hand.air(void),
            lifts * each
        )
    };
    assert_eq!(row(3.0), "| 3 | 30 | 0.288 | 20.6 | 21.3 | 63.8 |");
    assert_eq!(row(4.0), "| 4 | 22.5 | 0.225 | 11.7 | 11.8 | 47.3 |");
    assert_eq!(row(6.0), "| 6 | 15 | 0.187 | 7.0 | 7.0 | 41.9 |");
    assert_eq!(row(8.0), "| 8 | 11.25 | 0.175 | 5.4 | 5.4 | 43.0 |");
    assert_eq!(row(12.0), "| 12 | 7.5 | 0.166 | 4.2 | 4.1 | 49.3 |");
    assert_eq!(row(24.0), "| 24 | 3.75 | 0.160 | 3.1 | 3.1 | 73.5 |");

    // One for all.
    let wide = sized("3", 0.0, 0.0);
    let bore = wide.spec().dimensions.bore.get::<millimeter>();
    let air = wide.air_for(of_l_min(90.0)).unwrap().air;
    let all = 6.0 * air_each(&library, 15.0);
    assert_eq!(
        format!(
            "One riser of {} in pipe, with a bore of {bore:.2} mm, would. duty with {:.1} L/min of air, an eighth",
            "3",
            counted(air)
        ),
        "One riser of 3 in pipe, with a bore of 77.27 mm, would. duty with 47.4 L/min of air, an eighth"
    );
    assert!((counted(air) / all - 1.125).abs() < 0.01);
    let eight = Column {
        bore: bore / 1e3,
        developing: 8.0 * bore / 1e3,
        ..ONE
    };
    let short = Column {
        bore: bore / 1e3,
        ..ONE
    };
    assert_eq!(
        format!(
            "eight bores, {:.2} m, in place of {} m, the least void rises from {:.3} to {:.3}. Then",
            eight.developing,
            short.developing,
            short.least_void(),
            eight.least_void()
        ),
        "eight bores, 0.62 m, in place of 0.2 m, the least void rises from 0.158 to 0.318. Then",
    );
    let longer = |size: &str| {
        let changes = [
            format!("riser.pipe={SCHEDULE} {size} in"),
            "riser.submergence=0.45 m".to_owned(),
            "riser.lift=0.05 m".to_owned(),
            "model.developing_length=8".to_owned(),
        ];
        design(&file(TOML), &changes).riser().unwrap()
    };
    let left = longer("3").operate(air).unwrap().water_flow();
    assert!((l_min(left) / 90.0 - 0.2).abs() < 0.01);
    let each = library.air_for(of_l_min(15.0)).unwrap().air;
    let left = longer("1-1/4").operate(each).unwrap().water_flow();
    assert!((l_min(left) / 15.0 - 0.8).abs() < 0.01);
    let interval = |riser: &risewater::riser::Riser, air| {
        let law = risewater::ErrorLaw::default();
        let interval = law
            .on(riser)
            .unwrap()
            .predict(air)
            .unwrap()
            .interval
            .unwrap();
        [interval.low, interval.high]
            .map(|end| format!("{:.1e}", l_min(end)).parse::<f64>().unwrap())
    };
    let ([a, b], [c, d]) = (interval(&wide, air), interval(&library, each));
    assert_eq!(
        format!(
            "gives between {a} and {b} L/min, and each of the six between {c} and {d} L/min, where it should give {:.0} L/min",
            ONE.l_min
        ),
        "gives between 19 and 270 L/min, and each of the six between 7.9 and 28 L/min, where it should give 15 L/min"
    );
    let next = 4.0 * air_each(&sized("1-1/2", 0.0, 0.0), 22.5);
    assert_eq!(
        format!(
            "next one, {} in, four lifts take {next:.1} L/min of air",
            "1-1/2"
        ),
        "next one, 1-1/2 in, four lifts take 42.8 L/min of air"
    );
    let bore = library.spec().dimensions.bore.get::<millimeter>();
    assert_eq!(
        format!(
            "lifts of {} in pipe, whose bore is {bore:.2} mm: one",
            "1-1/4"
        ),
        "lifts of 1-1/4 in pipe, whose bore is 34.54 mm: one"
    );
}

#[test]
fn something_wrong() {
    let set = riser(0.0, 0.0).air_for(of_l_min(15.0)).unwrap().air;
    let row = |lifts: f64, share: f64, fall_mm: f64, lost_mm: f64| {
        let air = AirFlow::from_dry_mass(share * set.dry_mass_rate()).unwrap();
        let water = lifts
            * l_min(
                riser(-fall_mm / 1e3, lost_mm)
                    .operate(air)
                    .unwrap()
                    .water_flow(),
            );
        format!("{water:.1} | {:.0} |", 100.0 * water / 90.0)
    };
    let (fall, little, much) = (10.0, 2.0, 8.0);
    assert_eq!(
        format!("nothing | {} level", row(6.0, 1.0, 0.0, 0.0)),
        "nothing | 90.0 | 100 | level"
    );
    assert_eq!(
        format!(
            "level lower by {fall} mm | {} growth",
            row(6.0, 1.0, fall, 0.0)
        ),
        "level lower by 10 mm | 71.8 | 80 | growth"
    );
    assert_eq!(
        format!(
            "a little: {little} mm | {} growth",
            row(6.0, 1.0, 0.0, little)
        ),
        "a little: 2 mm | 89.4 | 99 | growth"
    );
    assert_eq!(
        format!("much: {much} mm | {} one", row(6.0, 1.0, 0.0, much)),
        "much: 8 mm | 79.2 | 88 | one"
    );
    assert_eq!(
        format!("shared out | {}", row(5.0, 1.2, 0.0, 0.0)),
        "shared out | 88.2 | 98 |"
    );
    assert_eq!(
        format!("let off | {}", row(5.0, 1.0, 0.0, 0.0)),
        "let off | 75.0 | 83 |"
    );
    assert_eq!(
        format!(
            "and the level lower by {fall} mm | {}",
            row(5.0, 1.0, fall, 0.0)
        ),
        "and the level lower by 10 mm | 59.8 | 66 |"
    );

    // Seven lifts, of which six do the duty at the low level.
    let low = riser(-fall / 1e3, 0.0);
    let each = air_each(&low, 15.0);
    assert_eq!(
        format!(
            "{each:.1} L/min of air each**. is **{:.0} L/min** of air",
            7.0 * each
        ),
        "8.6 L/min of air each**. is **60 L/min** of air"
    );
    let water = low.operate(air_of(each)).unwrap().water_flow();
    assert_eq!(
        format!("six give {:.0} L/min", 6.0 * l_min(water)),
        "six give 90 L/min"
    );
    let problem = design(&file(TOML), &[]).problem().unwrap();
    let best = risewater::sizing::size(&problem).unwrap().designs.remove(0);
    let sure = risewater::ErrorLaw::default().on(&best.riser).unwrap();
    let sure = sure
        .air_for(of_l_min(15.0), risewater::uncertainty::Wanted::LowerEnd)
        .unwrap();
    let more = 6.0 * (counted(sure.air) - air_each(&riser(0.0, 0.0), 15.0));
    assert_eq!(
        format!("it takes {more:.1} L/min more, which"),
        "it takes 49.7 L/min more, which"
    );

    let under = ONE.density * G * ONE.submergence / 1e3 / ONE.atmosphere_kpa;
    assert_eq!(
        format!(
            "stand under {} m of water, at. at most: {:.1} % total gas",
            ONE.submergence,
            100.0 * (1.0 + under / 2.0)
        ),
        "stand under 0.45 m of water, at. at most: 102.2 % total gas"
    );

    // The exercises.
    let fallen = Column {
        submergence: 0.44,
        lift: 0.06,
        ..ONE
    };
    let needed = [0.21, 0.23].map(|void| fallen.terms(void).needed());
    let third = fallen.third(0.21, 0.23);
    assert_eq!(
        format!(
            "falls by {:.0} mm, and",
            1e3 * (ONE.submergence - fallen.submergence)
        ),
        "falls by 10 mm, and"
    );
    assert_eq!(
        format!("for its {} L/min, by", fallen.l_min),
        "for its 15 L/min, by"
    );
    assert_eq!(
        format!(
            "L stays {} m, while S is {} m. The tries {:.2} and {:.2} need {:.4} and {:.4} m, so the third is {third:.3}. Its j_g is {:.4} m/s, and the air {:.1} L/min. The tool says {:.3} L/min",
            fallen.length(),
            fallen.submergence,
            0.21,
            0.23,
            needed[0],
            needed[1],
            fallen.terms(third).gas,
            fallen.air(third),
            air_each(&riser(-0.01, 0.0), 15.0)
        ),
        "L stays 0.5 m, while S is 0.44 m. The tries 0.21 and 0.23 need 0.4431 and 0.4371 m, so the third is 0.220. Its j_g is 0.1477 m/s, and the air 8.6 L/min. The tool says 8.588 L/min",
    );
    let pit = Column {
        submergence: 0.8,
        ..ONE
    };
    let needed = [0.10, 0.13].map(|void| pit.terms(void).needed());
    let third = pit.third(0.10, 0.13);
    assert_eq!(
        format!(
            "L is {:.2} m, ell -L/ ell is {:.3} m and p_m is {:.1} kPa. The tries are {:.2} and {:.2}; they need {:.4} and {:.4} m, so the third is {third:.3}. That takes {:.1} L/min of air",
            pit.length(),
            pit.unspread(),
            pit.mean_kpa(),
            0.10,
            0.13,
            needed[0],
            needed[1],
            pit.air(third)
        ),
        "L is 0.85 m, ell -L/ ell is 0.197 m and p_m is 103.1 kPa. The tries are 0.10 and 0.13; they need 0.7941 and 0.7750 m, so the third is 0.091. That takes 3.1 L/min of air",
    );
    let power = |column: &Column| {
        let air = 6.0 * column.air(column.void()) / 60.0;
        101.325 * air * column.kelvin / 293.15
            * (1.0 + column.density * G * column.submergence / 1e3 / column.atmosphere_kpa).ln()
    };
    let library = riser(0.35, 0.0);
    let library = design(
        &file(TOML),
        &[
            "riser.pipe=ASTM D1785 Sch 40 1-1/4 in".to_owned(),
            format!(
                "riser.submergence={} m",
                library.spec().dimensions.submergence.get::<meter>()
            ),
            "riser.lift=0.05 m".to_owned(),
        ],
    );
    let point = library.riser().unwrap().air_for(of_l_min(15.0)).unwrap();
    assert_eq!(
        format!(
            "lifts take {:.2} W at {} m, and {:.2} W at {} m. So the deeper. tool says {:.4} W for",
            power(&pit),
            pit.submergence,
            power(&ONE),
            ONE.submergence,
            point.injection_power.get::<watt>()
        ),
        "lifts take 2.31 W at 0.8 m, and 3.01 W at 0.45 m. So the deeper. tool says 0.3802 W for",
    );
    assert_eq!(
        format!(
            "go in {} m below the level, the. would take {:.1} L/min of air each, less",
            pit.submergence,
            pit.air(third)
        ),
        "go in 0.8 m below the level, the. would take 3.1 L/min of air each, less"
    );
    assert_eq!(
        format!("go in {} m below the level. How", pit.submergence),
        "go in 0.8 m below the level. How"
    );
}
