use risewater::riser::PartFull;
use risewater::{DevelopingLength, ErrorLaw, Friction, Slip};

use super::*;

const TOML: &str = "case-biofilter-return.in/biofilter-return.toml";
/// Energy above the invert at the brink, m.
const BRINK: f64 = 0.0671;
/// The riser as the page takes it: the mixture climbs the lift and the head at the brink.
const ONE: Column = Column {
    bore: 0.076,
    submergence: 1.2,
    lift: 0.1 + BRINK,
    l_min: 111.0,
    density: 997.3,
    viscosity: 0.000_911,
    atmosphere_kpa: 100.6,
    vapour_kpa: 2.99,
    kelvin: 297.15,
    developing: 0.2,
};

/// A depth in a level pipe: angle, area, width, ratio and energy, in m.
struct Section {
    angle: f64,
    area: f64,
    width: f64,
    ratio: f64,
    energy: f64,
}

fn section(bore: f64, depth: f64) -> Section {
    let flow = ONE.l_min / 60e3;
    let angle = 2.0 * (1.0 - 2.0 * depth / bore).acos();
    let area = bore * bore / 8.0 * (angle - angle.sin());
    let width = bore * (angle / 2.0).sin();
    Section {
        angle,
        area,
        width,
        ratio: flow * flow * width / (G * area.powi(3)),
        energy: depth + area / (2.0 * width),
    }
}

#[test]
fn givens_are_the_files() {
    let text = file(TOML);
    let value = |key: &str| said(&text, key);
    let each = ONE.l_min;
    assert_eq!(
        format!("{:.0} L/min in all, {each} L/min for each", 3.0 * each),
        "333 L/min in all, 111 L/min for each"
    );
    assert_eq!(
        format!("holds {:.0} m³ of", 3.0 * each * 60.0 / 2.0 / 1e3),
        "holds 10 m³ of"
    );
    assert_eq!(
        format!(
            "fresh, {}; site {} above",
            value("temperature"),
            value("altitude")
        ),
        "fresh, 24 °C; site 60 m above"
    );
    assert_eq!(format!("bore D of {}", value("bore")), "bore D of 76 mm");
    assert_eq!(
        format!(
            "let in {} below; invert {} above",
            value("submergence"),
            value("lift")
        ),
        "let in 1.2 m below; invert 0.10 m above"
    );
    assert_eq!(
        format!(
            "loss coefficient {} The; coefficient of {} is",
            value("outlet_loss"),
            value("outlet_loss")
        ),
        "loss coefficient 0.94 The; coefficient of 0.94 is"
    );
    ONE.is_of(&design(&text, &[]).site().unwrap());
    let mut constants = ONE.constants();
    constants[3] = constants[3].replace("T |", "T_w |");
    assert_eq!(
        constants,
        [
            "density of the water, rho | 997.3 kg/m³",
            "viscosity, mu | 0.000911 Pa s",
            "vapour pressure, p_v | 2.99 kPa",
            "temperature, T_w | 297.15 K",
            "atmosphere, p_a | 100.6 kPa",
            "fall, g | 9.807 m/s²",
            "dry, at | 293.15 K and 101.325 kPa",
        ]
    );
}

#[test]
fn the_brink_by_hand() {
    assert_eq!(
        format!("Our Q is {:.2} L/s", ONE.l_min / 60.0),
        "Our Q is 1.85 L/s"
    );
    let row = |depth: f64| {
        let here = section(ONE.bore, depth);
        format!(
            "| {:.1} mm | {:.3} | {:.0} mm² | {:.1} mm | {:.3} |",
            depth * 1e3,
            here.angle,
            here.area * 1e6,
            here.width * 1e3,
            here.ratio
        )
    };
    assert_eq!(
        row(0.0400),
        "| 40.0 mm | 3.247 | 2420 mm² | 75.9 mm | 1.868 |"
    );
    assert_eq!(
        row(0.0500),
        "| 50.0 mm | 3.784 | 3165 mm² | 72.1 mm | 0.794 |"
    );
    assert_eq!(
        row(0.0471),
        "| 47.1 mm | 3.625 | 2953 mm² | 73.8 mm | 1.000 |"
    );
    let here = section(ONE.bore, 0.0471);
    let head = |bore_mm: f64, flow: VolumeRate| {
        let pipe = PartFull::of_bore(Length::new::<millimeter>(bore_mm)).unwrap();
        pipe.critical_head(flow).get::<millimeter>()
    };
    let library = head(1e3 * ONE.bore, of_l_min(ONE.l_min));
    assert_eq!(
        format!("{:.3} | {:.1} mm | So", here.ratio, here.energy * 1e3),
        "1.000 | 67.1 mm | So"
    );
    assert_eq!(format!("{library:.1} {:.1}", 1e3 * BRINK), "67.1 67.1");
    assert_eq!(
        format!("climb {:.3} m, and not {:.1} m", ONE.lift, ONE.lift - BRINK),
        "climb 0.167 m, and not 0.1 m"
    );

    let row = |bore_mm: f64| {
        let pipe = PartFull::of_bore(Length::new::<millimeter>(bore_mm)).unwrap();
        let full = pipe.largest_flow();
        let ours = of_l_min(ONE.l_min);
        format!(
            "| {bore_mm:.0} mm | {:.0} L/min | {:.1} mm | {:.1} mm |",
            l_min(full),
            head(bore_mm, full),
            head(bore_mm, ours)
        )
    };
    assert_eq!(row(60.0), "| 60 mm | 118 L/min | 80.9 mm | 77.5 mm |");
    assert_eq!(row(76.0), "| 76 mm | 212 L/min | 102.5 mm | 67.1 mm |");
    assert_eq!(row(100.0), "| 100 mm | 422 L/min | 134.8 mm | 59.7 mm |");
    assert_eq!(row(150.0), "| 150 mm | 1163 L/min | 202.2 mm | 52.1 mm |");
    let full = [60.0, 76.0, 100.0].map(|bore| {
        l_min(
            PartFull::of_bore(Length::new::<millimeter>(bore))
                .unwrap()
                .largest_flow(),
        )
    });
    assert_eq!(
        format!(
            "runs full: {:.0}, {:.0} and {:.0} L/min. figures",
            full[0], full[1], full[2]
        ),
        "runs full: 118, 212 and 422 L/min. figures"
    );

    // The exercises.
    let thrice = 3.0 * 10.0 * 1e3 / 60.0;
    assert_eq!(
        format!(
            "pipe of {:.0} mm still. Answer {} cdot {} mathrm m^3/h is {thrice:.0} L/min: {:.0} L/min for each. up to {:.0} L/min, so",
            1e3 * ONE.bore,
            3.0,
            10.0,
            thrice / 3.0,
            full[1]
        ),
        "pipe of 76 mm still. Answer 3 cdot 10 mathrm m^3/h is 500 L/min: 167 L/min for each. up to 212 L/min, so",
    );
    let wide = 0.1;
    let tries = [0.040, 0.045].map(|depth| (1e3 * depth, section(wide, depth).ratio));
    let there = section(wide, 0.0433);
    assert_eq!(
        format!(
            "pipe of {:.0} mm, by trying depths of {:.0} and {:.0} mm first. Answer The ratios are {:.3} and {:.3}, so",
            1e3 * wide,
            tries[0].0,
            tries[1].0,
            tries[0].1,
            tries[1].1
        ),
        "pipe of 100 mm, by trying depths of 40 and 45 mm first. Answer The ratios are 1.354 and 0.862, so",
    );
    let depth = 43.3;
    let again = section(wide, depth / 1e3);
    assert_eq!(
        format!(
            "At {depth} mm the ratio is {:.3}, with an area of {:.0} mm² and a width of {:.1} mm. The energy is {:.1} mm, as",
            again.ratio,
            there.area * 1e6,
            there.width * 1e3,
            there.energy * 1e3
        ),
        "At 43.3 mm the ratio is 0.999, with an area of 3259 mm² and a width of 99.1 mm. The energy is 59.7 mm, as",
    );
}

#[test]
fn one_riser_by_hand() {
    assert_eq!(
        format!(
            "E_c = {:.3} m long. The pipe's area is {:.0} mm². This",
            ONE.length(),
            1e6 * area(ONE.bore)
        ),
        "E_c = 1.367 m long. The pipe's area is 4536 mm². This"
    );
    assert_eq!(
        format!(
            "j_l = Q/A | {:.4} m/s | its. j_l^2/2g | {:.5} m | friction",
            ONE.water(),
            ONE.head()
        ),
        "j_l = Q/A | 0.4078 m/s | its. j_l^2/2g | 0.00848 m | friction",
    );
    assert_eq!(
        format!("mu)^ {}/{} | {:.4} | pressure", 1.0, 4.0, ONE.friction()),
        "mu)^ 1/4 | 0.0233 | pressure"
    );
    assert_eq!(
        format!("rho g S | {:.1} kPa | Near", ONE.mean_kpa()),
        "rho g S | 106.5 kPa | Near"
    );
    let (most, longest) = (DevelopingLength::MOST_BORES, DevelopingLength::LONGEST_M);
    assert_eq!(
        format!(
            "It is {most} bores but at most {longest} m, here {} m, and ell. -L/ ell comes to {:.3} m. This",
            ONE.developing,
            ONE.unspread()
        ),
        "It is 8 bores but at most 0.2 m, here 0.2 m, and ell. -L/ ell comes to 0.200 m. This",
    );
    assert_eq!(
        format!("S' is more than {} m, take", ONE.submergence),
        "S' is more than 1.2 m, take"
    );
    let row = |void| ONE.tried(void);
    assert_eq!(
        row(0.150),
        "| 0.150 | 0.1405 | 1.1620 | 0.0300 | 0.0048 | 0.0157 | 1.2125 |"
    );
    assert_eq!(
        row(0.170),
        "| 0.170 | 0.1633 | 1.1347 | 0.0340 | 0.0050 | 0.0162 | 1.1898 |"
    );
    let third = format!("{:.3}", ONE.third(0.150, 0.170)).parse().unwrap();
    assert_eq!(
        row(third),
        "| 0.161 | 0.1529 | 1.1470 | 0.0322 | 0.0049 | 0.0160 | 1.2000 |"
    );
    let air = ONE.air(third);
    assert_eq!(
        format!("T_w = {:.3} j_g A = {air:.0} mathrm L/min", ONE.factor()),
        "T_w = 1.008 j_g A = 42 mathrm L/min"
    );
    assert_eq!(
        format!("a void of {third:.2} and an air flow of {air:.0} L/min"),
        "a void of 0.16 and an air flow of 42 L/min"
    );
    let bare = Column {
        lift: ONE.lift - BRINK,
        ..ONE
    };
    let void = bare.void();
    assert_eq!(
        format!(
            "give a void of {void:.3} and only {:.0} L/min of air",
            bare.air(void)
        ),
        "give a void of 0.108 and only 26 L/min of air"
    );

    // The head as clear water: a shorter column that carries it.
    let needed = [0.16, 0.18].map(|void| bare.terms(void).needed() + BRINK);
    let third = 0.16 + 0.02 * (needed[0] - ONE.submergence) / (needed[0] - needed[1]);
    assert_eq!(
        format!(
            "L is {:.1} m, and {BRINK} m is added to each S'. The tries {:.2} and {:.2} then need {:.4} and {:.4} m, so the third is {third:.3}, with a j_g of {:.4} m/s. That is {:.0} L/min. The",
            bare.length(),
            0.16,
            0.18,
            needed[0],
            needed[1],
            bare.terms(third).gas,
            bare.air(third)
        ),
        "L is 1.3 m, and 0.0671 m is added to each S'. The tries 0.16 and 0.18 then need 1.2116 and 1.1903 m, so the third is 0.171, with a j_g of 0.1644 m/s. That is 45 L/min. The",
    );
}

#[test]
fn tables_of_the_library() {
    let text = file(TOML);
    let air = |changes: &[String]| {
        let riser = design(&text, changes).riser().unwrap();
        counted(riser.air_for(of_l_min(ONE.l_min)).unwrap().air)
    };
    let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
    for slip in Slip::ALL {
        for friction in Friction::ALL {
            let air = air(&[
                format!("model.slip={slip}"),
                format!("model.friction={friction}"),
            ]);
            (least, most) = (least.min(air), most.max(air));
        }
    }
    let clear = "riser.outlet_brink=clear_water".to_owned();
    let plain = [
        "riser.outlet=plain".to_owned(),
        "riser.outlet_loss=0".to_owned(),
    ];
    let bores = DevelopingLength::MOST_BORES;
    let ours = air(&[]);
    assert_eq!(
        format!(
            "gets {ours:.1} L/min, near the {:.0} L/min by hand. as above | {ours:.1} | head",
            ONE.air(ONE.void())
        ),
        "gets 41.7 L/min, near the 42 L/min by hand. as above | 41.7 | head"
    );
    let clear = air(&[clear]);
    assert_eq!(
        format!(
            "clear water | {clear:.1} | of; more air: {clear:.1} L/min. -; times the {clear:.1} L/min for; tool says {clear:.1} L/min"
        ),
        "clear water | 44.9 | of; more air: 44.9 L/min. -; times the 44.9 L/min for; tool says 44.9 L/min"
    );
    assert_eq!(
        format!("the least | {least:.1} | of"),
        "the least | 36.8 | of"
    );
    assert_eq!(
        format!("the most | {most:.1} | plain"),
        "the most | 50.8 | plain"
    );
    assert_eq!(
        format!("same height | {:.1} | developing", air(&plain)),
        "same height | 26.2 | developing"
    );
    assert_eq!(
        format!(
            "length of {bores} bores | {:.1} |",
            air(&[format!("model.developing_length={bores}")])
        ),
        "length of 8 bores | 64.1 |"
    );
    let riser = design(&text, &[]).riser().unwrap();
    let law = ErrorLaw::default().on(&riser).unwrap();
    let wanted = of_l_min(ONE.l_min);
    let sure = law
        .air_for(wanted, risewater::uncertainty::Wanted::LowerEnd)
        .unwrap();
    let bare = law
        .air_for(wanted, risewater::uncertainty::Wanted::Predicted)
        .unwrap();
    let interval = law.predict(bare.air).unwrap().interval.unwrap();
    let two = |end: VolumeRate| format!("{:.1e}", l_min(end)).parse::<f64>().unwrap();
    assert_eq!(
        format!(
            "flow with {ours:.1} L/min of air is {} to {} L/min, four",
            two(interval.low),
            two(interval.high)
        ),
        "flow with 41.7 L/min of air is 63 to 200 L/min, four",
    );
    assert_eq!(
        format!("With {:.0} L/min of air, twice", counted(sure.air)),
        "With 83 L/min of air, twice"
    );

    let water = |changes: &[String]| {
        let (riser, air) = design(&text, changes).riser_and_air().unwrap();
        format!("{:.0}", l_min(riser.operate(air).unwrap().water_flow()))
    };
    let (higher, lower, wider) = (20.0, 50.0, 100.0);
    let invert = format!("riser.lift={} mm", 100.0 + higher);
    let level = [
        format!("riser.submergence={} mm", 1200.0 - lower),
        format!("riser.lift={} mm", 100.0 + lower),
    ];
    let pipe = format!("riser.outlet_bore={wider} mm");
    let given = counted(design(&text, &[]).air().unwrap());
    assert_eq!(
        format!("change, at {given:.0} L/min of air"),
        "change, at 42 L/min of air"
    );
    assert_eq!(
        format!("none | {} | invert", water(&[])),
        "none | 112 | invert"
    );
    assert_eq!(
        format!("invert higher by {higher} mm | {} |", water(&[invert])),
        "invert higher by 20 mm | 101 |"
    );
    assert_eq!(
        format!("level lower by {lower} mm | {} |", water(&level)),
        "level lower by 50 mm | 82 |"
    );
    assert_eq!(
        format!(
            "pipe wider, of {wider} mm | {} |; level pipe of {wider} mm: not",
            water(&[pipe])
        ),
        "pipe wider, of 100 mm | 116 |; level pipe of 100 mm: not"
    );
    assert_eq!(
        format!("same height | {} |", water(&plain)),
        "same height | 165 |"
    );
}
