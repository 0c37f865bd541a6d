use risewater::ErrorLaw;

use super::*;

const TOML: &str = "case-retrofit-fails.in/retrofit.toml";
const SCHEDULE: &str = "ASTM D1785 Sch 40";
/// The old riser, asked for what is wanted.
const OLD: Column = Column {
    bore: 0.051_99,
    submergence: 0.9,
    lift: 0.4,
    l_min: 120.0,
    density: 998.9,
    viscosity: 0.001_108,
    atmosphere_kpa: 98.47,
    vapour_kpa: 1.82,
    kelvin: 289.15,
    developing: 0.2,
};

/// A change of the table: what stands there by hand and for the tool.
struct Change {
    submergence: f64,
    lift: f64,
    size: &'static str,
    lifts: f64,
}

impl Change {
    fn riser(&self) -> risewater::riser::Riser {
        let changes = [
            format!("riser.submergence={} m", self.submergence),
            format!("riser.lift={} m", self.lift),
            format!("riser.pipe={SCHEDULE} {} in", self.size),
        ];
        design(&file(TOML), &changes).riser().unwrap()
    }

    fn row(&self) -> String {
        let riser = self.riser();
        let hand = Column {
            bore: riser.spec().dimensions.bore.get::<meter>(),
            submergence: self.submergence,
            lift: self.lift,
            l_min: OLD.l_min / self.lifts,
            ..OLD
        };
        let void = hand.void();
        let point = riser.air_for(of_l_min(hand.l_min)).unwrap();
        let power = self.lifts * point.injection_power.get::<watt>();
        let (by_hand, library) = (self.lifts * hand.air(void), self.lifts * counted(point.air));
        format!("| {void:.3} | {by_hand:.0} | {library:.1} | {power:.2} |")
    }
}

fn change(submergence: f64, lift: f64, size: &'static str, lifts: f64) -> Change {
    Change {
        submergence,
        lift,
        size,
        lifts,
    }
}

#[test]
fn givens_are_the_files() {
    let text = file(TOML);
    let value = |key: &str| said(&text, key);
    let design = design(&text, &[]);
    let size = design.riser().unwrap().spec().dimensions;
    let bore = size.bore.get::<millimeter>();
    assert_eq!(
        format!(
            "riser | {} in pipe, bore D of {bore:.2} mm",
            value("pipe").split(' ').nth(4).unwrap()
        ),
        "riser | 2 in pipe, bore D of 51.99 mm"
    );
    assert_eq!(
        format!(
            "lift H | {:.1} m, {:.1} m | blower",
            size.submergence.get::<meter>(),
            size.lift.get::<meter>()
        ),
        "lift H | 0.9 m, 0.4 m | blower"
    );
    let air = value("flow");
    assert_eq!(
        format!(
            "blower | {air} of air (dry, {} °C), holds {}",
            AirState::DRY_20_C
                .temperature
                .get::<degree_celsius>()
                .round(),
            value("max_air_pressure")
        ),
        "blower | 120 L/min of air (dry, 20 °C), holds 12 kPa"
    );
    assert_eq!(
        format!(
            "blower gives {air} and holds {}; air is the blower's {air}. The; fits the blower's {air} of; with the blower's {air} of",
            value("max_air_pressure")
        ),
        "blower gives 120 L/min and holds 12 kPa; air is the blower's 120 L/min. The; fits the blower's 120 L/min of; with the blower's 120 L/min of",
    );
    let lower = change(1.2, 0.3, "2", 1.0).lift;
    let down = format!("{:.1}", OLD.lift - lower);
    assert_eq!(
        format!(
            "tank | {} of water; the outlet may come down by {down} m",
            value("max_submergence")
        ),
        "tank | 1.4 m of water; the outlet may come down by 0.1 m"
    );
    let shelf: Vec<String> = value("pipes")
        .split(", ")
        .map(|pipe| pipe.split(' ').nth(4).unwrap().to_owned())
        .collect();
    assert_eq!(
        format!(
            "shelf | pipes of {}, {} and {} in; room",
            shelf[0], shelf[1], shelf[2]
        ),
        "shelf | pipes of 2, 2-1/2 and 3 in; room"
    );
    let wanted = value("water_flow");
    assert_eq!(
        format!(
            "faster: {wanted} instead; need for {wanted}. The water; above, for {wanted} of water"
        ),
        "faster: 120 L/min instead; need for 120 L/min. The water; above, for 120 L/min of water"
    );
    OLD.is_of(&design.site().unwrap());
    assert_eq!(
        OLD.constants().map(|row| row
            .replace(
                "water, rho",
                &format!("water ({}), rho", value("temperature"))
            )
            .replace(
                "atmosphere, p_a",
                &format!("atmosphere ({}), p_a", value("altitude"))
            )),
        [
            "density of the water (16 °C), rho | 998.9 kg/m³",
            "viscosity, mu | 0.001108 Pa s",
            "vapour pressure, p_v | 1.82 kPa",
            "temperature, T | 289.15 K",
            "atmosphere (240 m), p_a | 98.47 kPa",
            "fall, g | 9.807 m/s²",
            "dry, at | 293.15 K and 101.325 kPa",
        ]
    );
}

#[test]
fn more_air_by_hand() {
    assert_eq!(
        format!(
            "j_l = Q/A = {:.4} m/s in an area of {:.0} mm². Its",
            OLD.water(),
            1e6 * area(OLD.bore)
        ),
        "j_l = Q/A = 0.9421 m/s in an area of 2123 mm². Its"
    );
    assert_eq!(
        format!(
            "is {:.4} m, the friction factor. mu)^ {}/{} is {:.4}, and the pipe is L = S + H = {:.1} m long",
            OLD.head(),
            1.0,
            4.0,
            OLD.friction(),
            OLD.length()
        ),
        "is 0.0453 m, the friction factor. mu)^ 1/4 is 0.0218, and the pipe is L = S + H = 1.3 m long",
    );
    assert_eq!(
        format!("K T = {:.3} j_g A $$ and", OLD.factor()),
        "K T = 1.011 j_g A $$ and"
    );
    assert_eq!(
        format!("ell of {} m. That", OLD.developing),
        "ell of 0.2 m. That"
    );
    let mut least = f64::INFINITY;
    let mut row = |void: f64| {
        let terms = OLD.terms(void);
        least = least.min(terms.needed() - terms.unspread);
        format!(
            "| {void:.2} | {:.0} {}",
            OLD.air(void),
            cells(
                &[
                    terms.weight,
                    terms.unspread,
                    terms.friction,
                    terms.ends,
                    terms.needed()
                ],
                3
            )
        )
    };
    assert_eq!(
        row(0.40),
        "| 0.40 | 131 | 0.780 | 0.080 | 0.051 | 0.128 | 1.039 |"
    );
    assert_eq!(
        row(0.50),
        "| 0.50 | 210 | 0.650 | 0.100 | 0.067 | 0.158 | 0.976 |"
    );
    assert_eq!(
        row(0.60),
        "| 0.60 | 356 | 0.520 | 0.120 | 0.097 | 0.204 | 0.940 |"
    );
    assert_eq!(
        row(0.65),
        "| 0.65 | 486 | 0.455 | 0.130 | 0.124 | 0.236 | 0.944 |"
    );
    assert_eq!(
        row(0.70),
        "| 0.70 | 714 | 0.390 | 0.140 | 0.170 | 0.279 | 0.979 |"
    );
    assert!(least < OLD.submergence);
    let lowest = (1..80)
        .map(|n| OLD.terms(f64::from(n) / 100.0).needed())
        .fold(9.0, f64::min);
    assert!(lowest > OLD.submergence);
    assert_eq!(
        format!(
            "to the {} m of; below {} m. So for",
            OLD.submergence, OLD.submergence
        ),
        "to the 0.9 m of; below 0.9 m. So for"
    );

    // The flow at which the blower's air does.
    let now = (60..110).map(f64::from).find(|water| {
        let column = Column {
            l_min: water + 0.5,
            ..OLD
        };
        column.air(column.void()) > 120.0
    });
    let now = now.unwrap();
    let text = file(TOML);
    let (riser, air) = design(&text, &[]).riser_and_air().unwrap();
    let point = riser.operate(air).unwrap();
    let library = l_min(point.water_flow());
    assert_eq!(
        format!("is then {now} L/min. The library says {library:.1} L/min. For"),
        "is then 81 L/min. The library says 81.5 L/min. For"
    );
    assert_eq!(
        format!("less than {now} L/min, expect"),
        "less than 81 L/min, expect"
    );
    let peak = riser.peak().unwrap();
    let law = ErrorLaw::default().on(&riser).unwrap();
    let interval = law.predict(peak.air).unwrap().interval.unwrap();
    let two = |end: VolumeRate| format!("{:.1e}", l_min(end)).parse::<f64>().unwrap();
    assert_eq!(
        format!(
            "it says {:.1} L/min, at {:.1} L/min of air",
            l_min(peak.water_flow),
            counted(peak.air)
        ),
        "it says 111.6 L/min, at 399.9 L/min of air"
    );
    assert_eq!(
        format!(
            "peak is {} to {} L/min. That",
            two(interval.low),
            two(interval.high)
        ),
        "peak is 68 to 180 L/min. That"
    );
    let smaller = 90.0;
    let air = counted(riser.air_for(of_l_min(smaller)).unwrap().air);
    assert_eq!(
        format!("For {smaller} L/min the old riser would do, with {air:.1} L/min of air. That"),
        "For 90 L/min the old riser would do, with 145.8 L/min of air. That"
    );
}

#[test]
fn changes() {
    let text = file(TOML);
    let (depth, low) = (1.2, 0.3);
    let deeper = design(&text, &[]).riser().unwrap();
    let deeper = deeper
        .submergence_for(of_l_min(120.0), air_of(120.0), Length::new::<meter>(5.0))
        .unwrap();
    let deeper = deeper.get::<meter>();
    let holds = 12.0;
    let (density, start) = (OLD.density, OLD.density * G * 1.361 / 1e3);
    assert_eq!(
        format!(
            "depth of {deeper:.3} m, says. But. = {density} cdot {G} cdot {deeper:.3} mathrm Pa = {start:.1} mathrm kPa $$ and the blower holds {holds} kPa"
        ),
        "depth of 1.361 m, says. But. = 998.9 cdot 9.807 cdot 1.361 mathrm Pa = 13.3 mathrm kPa $$ and the blower holds 12 kPa",
    );
    assert_eq!(format!("riser, {deeper:.3} m deep"), "riser, 1.361 m deep");
    let deepest = holds * 1e3 / (density * G);
    assert_eq!(
        format!("So {deepest:.2} m is. We take {depth} m. This"),
        "So 1.22 m is. We take 1.2 m. This"
    );
    let by = OLD.lift - low;
    assert_eq!(
        format!(
            "| {depth} m deep {}",
            change(depth, OLD.lift, "2", 1.0).row()
        ),
        "| 1.2 m deep | 0.432 | 155 | 154.5 | 27.47 |"
    );
    assert_eq!(
        format!(
            "| outlet {by:.1} m lower {}",
            change(OLD.submergence, low, "2", 1.0).row()
        ),
        "| outlet 0.1 m lower | 0.556 | 279 | 289.9 | 38.40 |"
    );
    assert_eq!(
        format!(
            "down a full {:.1} m, more than allowed {}",
            2.0 * by,
            change(OLD.submergence, 0.2, "2", 1.0).row()
        ),
        "down a full 0.2 m, more than allowed | 0.421 | 145 | 145.0 | 19.21 |"
    );
    let wider = |size: &'static str| {
        let change = change(OLD.submergence, OLD.lift, size, 1.0);
        let bore = change.riser().spec().dimensions.bore.get::<millimeter>();
        format!("pipe {size} in wide ({bore:.2} mm) {}", change.row())
    };
    assert_eq!(
        wider("2-1/2"),
        "pipe 2-1/2 in wide (62.10 mm) | 0.451 | 180 | 178.5 | 24.59 |"
    );
    assert_eq!(
        wider("3"),
        "pipe 3 in wide (77.27 mm) | 0.395 | 160 | 158.9 | 22.35 |"
    );
    assert_eq!(
        format!(
            "second riser like it {}",
            change(OLD.submergence, OLD.lift, "2", 2.0).row()
        ),
        "second riser like it | 0.408 | 156 | 155.0 | 21.73 |"
    );
    let [lower, wide, second] = [
        change(depth, low, "2", 1.0),
        change(depth, OLD.lift, "3", 1.0),
        change(depth, OLD.lift, "2", 2.0),
    ];
    assert_eq!(
        format!("{depth} m deep and {by:.1} m lower {}", lower.row()),
        "1.2 m deep and 0.1 m lower | 0.365 | 113 | 112.4 | 19.99 |"
    );
    assert_eq!(
        format!("{depth} m deep and {} in wide {}", wide.size, wide.row()),
        "1.2 m deep and 3 in wide | 0.308 | 108 | 107.0 | 19.88 |"
    );
    assert_eq!(
        format!("{depth} m deep and a second riser {}", second.row()),
        "1.2 m deep and a second riser | 0.317 | 103 | 102.5 | 19.00 |"
    );
    assert_eq!(
        format!("At {depth} m depth it; both {depth} m deep: one; From {depth} m deep the"),
        "At 1.2 m depth it; both 1.2 m deep: one; From 1.2 m deep the"
    );

    let (riser, air) = design(&text, &[]).riser_and_air().unwrap();
    let outcome = riser.operate(air).unwrap();
    let now = outcome.point().unwrap();
    let best = risewater::sizing::size(&design(&text, &[]).problem().unwrap())
        .unwrap()
        .designs
        .remove(0);
    let (wanted, taken) = (
        best.water_flow_total(),
        l_min(best.air_flow_total_at_20_c()),
    );
    assert_eq!(
        format!(
            "water, L/min | {:.1} | {:.0} |",
            l_min(now.water_flow),
            l_min(wanted)
        ),
        "water, L/min | 81.5 | 120 |"
    );
    assert_eq!(
        format!("air, L/min | {:.0} | {taken:.1} |", counted(now.air)),
        "air, L/min | 120 | 102.5 |"
    );
    let (before, after) = (
        now.injection_power.get::<watt>(),
        best.injection_power_total().get::<watt>(),
    );
    assert_eq!(
        format!("air power, W | {before:.2} | {after:.2} |"),
        "air power, W | 16.57 | 19.00 |"
    );
    assert_eq!(
        format!(
            "**{:.0} % more water**, while the air power grows by {:.0} %",
            100.0 * (wanted / now.water_flow).value - 100.0,
            100.0 * (after / before - 1.0)
        ),
        "**47 % more water**, while the air power grows by 15 %",
    );
    let spare = |air: f64| 100.0 * (1.0 - air / counted(now.air));
    let of = |change: &Change| {
        spare(change.lifts * counted(change.riser().air_for(wanted / change.lifts).unwrap().air))
    };
    let fallen = |mm: f64| {
        let riser = change(depth - mm / 1e3, low + mm / 1e3, "2", 1.0).riser();
        riser.operate(now.air).unwrap().water_flow() < wanted
    };
    let fall = 15.0;
    let enough = fallen(fall);
    assert!(!fallen(10.0) && enough);
    assert_eq!(
        format!(
            "leaves {:.0} % of the blower's air unused, and a fall of the level by {fall} mm uses that up. The two risers leave {:.0} %; riser and leaves {:.0} %. But",
            of(&lower),
            of(&second),
            of(&wide)
        ),
        "leaves 6 % of the blower's air unused, and a fall of the level by 15 mm uses that up. The two risers leave 15 %; riser and leaves 11 %. But",
    );
    assert_eq!(
        format!(
            "and {} in wide** does; lift (now {} m) costs",
            wide.size, OLD.lift
        ),
        "and 3 in wide** does; lift (now 0.4 m) costs"
    );
    assert_eq!(
        format!(
            "riser, at {} m, to give {} L/min with",
            OLD.submergence, OLD.l_min
        ),
        "riser, at 0.9 m, to give 120 L/min with"
    );

    // The exercises.
    let (further, kpa) = (1.3, 13.0);
    let to_start = density * G * further / 1e3;
    assert!(to_start < kpa);
    assert_eq!(
        format!("inlet {further} m down. Which; Would {kpa} kPa from"),
        "inlet 1.3 m down. Which; Would 13 kPa from"
    );
    assert_eq!(
        format!("{density} cdot {G} cdot {further} Pa is {to_start:.1} kPa, so"),
        "998.9 cdot 9.807 cdot 1.3 Pa is 12.7 kPa, so"
    );
    let each = Column {
        submergence: depth,
        l_min: OLD.l_min / 2.0,
        ..OLD
    };
    let needed = [0.33, 0.36].map(|void| each.terms(void).needed());
    let third = each.third(0.33, 0.36);
    assert_eq!(
        format!(
            "risers, {depth} m deep, by hand. Each gives {} L/min. Try alpha = {:.2} and {:.2} first",
            each.l_min, 0.33, 0.36
        ),
        "risers, 1.2 m deep, by hand. Each gives 60 L/min. Try alpha = 0.33 and 0.36 first"
    );
    assert_eq!(
        format!(
            "j_l = {:.4} m/s, h = {:.4} m, f = {:.4} and L = {:.1} m. The tries need {:.3} and {:.3} m, so the third is {third:.3}. With p_m of {:.1} kPa that takes {:.1} L/min of air each, {:.0} L/min for both",
            each.water(),
            each.head(),
            each.friction(),
            each.length(),
            needed[0],
            needed[1],
            each.mean_kpa(),
            each.air(third),
            2.0 * each.air(third)
        ),
        "j_l = 0.4711 m/s, h = 0.0113 m, f = 0.0259 and L = 1.6 m. The tries need 1.183 and 1.144 m, so the third is 0.317. With p_m of 104.3 kPa that takes 51.6 L/min of air each, 103 L/min for both",
    );
    let void = (1..7000)
        .map(|n| f64::from(n) / 1e4)
        .find(|void| OLD.air(*void) > 120.0)
        .unwrap();
    let terms = OLD.terms(void);
    let (weight, rub, rest) = (
        1.0 - void,
        terms.friction / OLD.length(),
        terms.unspread + terms.ends,
    );
    let long = (OLD.submergence - rest) / (weight + rub);
    assert_eq!(
        format!(
            "step one, {} L/min of air at {} L/min of water makes an alpha of {void:.3}. The air. S' is {} m: per. needs {weight:.3} + {rub:.3} m for. take {rest:.3} m at any length. So L = {long:.2} m and H = {:.2} m: the outlet would have to come down by {:.2} m",
            120.0,
            OLD.l_min,
            OLD.submergence,
            long - OLD.submergence,
            OLD.length() - long
        ),
        "step one, 120 L/min of air at 120 L/min of water makes an alpha of 0.381. The air. S' is 0.9 m: per. needs 0.619 + 0.038 m for. take 0.200 m at any length. So L = 1.07 m and H = 0.17 m: the outlet would have to come down by 0.23 m",
    );
}
