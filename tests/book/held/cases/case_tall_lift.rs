use risewater::ErrorLaw;
use risewater::riser::OperatingPoint;
use risewater::uncertainty::Wanted;
use risewater::units::percent;

use super::*;

const TOML: &str = "case-tall-lift.in/tower.toml";
const FOOT: f64 = 0.3048;
/// US gallons of 231 cubic inches in a cubic foot, as the page rounds it.
const GALLONS: f64 = 7.4805;
/// Share of its displacement that a small machine of one stage delivers.
const DELIVERS: f64 = 0.8;
const WELL: Column = Column {
    bore: 0.062_10,
    submergence: 13.5,
    lift: 9.0,
    l_min: 150.0,
    density: 999.5,
    viscosity: 0.001_234,
    atmosphere_kpa: 98.47,
    vapour_kpa: 1.40,
    kelvin: 285.15,
    developing: 0.2,
};

fn at(submergence: f64) -> Column {
    Column {
        submergence,
        ..WELL
    }
}

/// Pressure under the standing water, kPa.
fn below(column: &Column) -> f64 {
    column.atmosphere_kpa + column.density * G * column.submergence / 1e3
}

/// The mean pressure of the page, and the air of a void counted with it.
fn mean(column: &Column) -> f64 {
    let below = below(column);
    (below - column.atmosphere_kpa) / (below / column.atmosphere_kpa).ln()
}

fn factor(column: &Column) -> f64 {
    (mean(column) - column.vapour_kpa) / 101.325 * 293.15 / column.kelvin
}

fn air(column: &Column) -> f64 {
    column.terms(column.void()).gas * area(column.bore) * 60e3 * factor(column)
}

/// Of the handbook: k, the logarithm, cubic feet a gallon, air delivered in L/min.
fn handbook(lift: f64, submergence: f64) -> (f64, f64, f64, f64) {
    let (l, s) = (lift / FOOT, submergence / FOOT);
    let (k, logarithm) = (3.0 + l / 700.0, (1.0 + s / 34.0).log10());
    let v = k * l / (585.0 * logarithm);
    (k, logarithm, v, DELIVERS * WELL.l_min * v * GALLONS)
}

fn riser(depth: f64) -> risewater::riser::Riser {
    design(&file(TOML), &[format!("riser.submergence={depth} m")])
        .riser()
        .unwrap()
}

#[test]
fn givens_are_the_files() {
    let text = file(TOML);
    let value = |key: &str| said(&text, key);
    assert_eq!(
        format!(
            "The lift is {} from; stands {} below the floor; lift H | {}, from; as long as {} and",
            value("lift"),
            value("lift"),
            value("lift"),
            value("lift")
        ),
        "The lift is 9 m from; stands 9 m below the floor; lift H | 9 m, from; as long as 9 m and",
    );
    let depth = value("submergence");
    assert_eq!(
        format!(
            "the submergence {depth} from; goes in at {depth}. Step; comes from {depth} of water; meets the {depth}. Counted; Air at {depth}, as; line at {depth}, and"
        ),
        "the submergence 13.5 m from; goes in at 13.5 m. Step; comes from 13.5 m of water; meets the 13.5 m. Counted; Air at 13.5 m, as; line at 13.5 m, and",
    );
    assert_eq!(
        format!(
            "fresh, {} | site | {} above",
            value("temperature"),
            value("altitude")
        ),
        "fresh, 12 °C | site | 240 m above"
    );
    let riser = riser(WELL.submergence);
    assert_eq!(
        format!(
            "pipe | {} in, bore D of {:.2} mm",
            value("pipe").split(' ').nth(4).unwrap(),
            riser.spec().dimensions.bore.get::<millimeter>()
        ),
        "pipe | 2-1/2 in, bore D of 62.10 mm",
    );
    WELL.is_of(riser.site());
    assert_eq!(
        WELL.constants(),
        [
            "density of the water, rho | 999.5 kg/m³",
            "viscosity, mu | 0.001234 Pa s",
            "vapour pressure, p_v | 1.40 kPa",
            "temperature, T | 285.15 K",
            "atmosphere, p_a | 98.47 kPa",
            "fall, g | 9.807 m/s²",
            "dry, at | 293.15 K and 101.325 kPa",
        ]
    );
    let gallon: f64 = 231.0 * 0.0254_f64.powi(3) / FOOT.powi(3);
    assert!((GALLONS * gallon - 1.0).abs() < 1e-5);
    assert_eq!(
        format!("a cubic foot | {FOOT} m; {GALLONS} US gallons"),
        "a cubic foot | 0.3048 m; 7.4805 US gallons"
    );
    let wanted = WELL.l_min;
    assert_eq!(
        format!(
            "On the floor {wanted} L/min are; for {wanted} L/min at the top; wanted, Q | {wanted} L/min at the floor; interval is {wanted} L/min, the; air for {wanted} L/min: | submergence"
        ),
        "On the floor 150 L/min are; for 150 L/min at the top; wanted, Q | 150 L/min at the floor; interval is 150 L/min, the; air for 150 L/min: | submergence",
    );
}

#[test]
fn the_handbook() {
    // The second class of the table.
    let table = |feet: f64| 65.0 - (feet - 51.0) / (100.0 - 51.0) * (65.0 - 55.0);
    let row = |submergence: f64| {
        let feet = (submergence + WELL.lift) / FOOT;
        format!(
            "| {submergence:.1} | {feet:.0} | {:.0} | {:.0} |",
            100.0 * submergence / (submergence + WELL.lift),
            table(feet)
        )
    };
    assert_eq!(row(12.0), "| 12.0 | 69 | 57 | 61 |");
    assert_eq!(row(13.5), "| 13.5 | 74 | 60 | 60 |");
    assert_eq!(row(15.0), "| 15.0 | 79 | 62 | 59 |");

    let (k, logarithm, v, air) = handbook(WELL.lift, WELL.submergence);
    assert_eq!(
        format!(
            "l is {:.2} ft and s is {:.2} ft, so k is {k:.2}, the logarithm is {logarithm:.4}, and a gallon takes {v:.3} ft³ of displacement. That is {:.2} litres for",
            WELL.lift / FOOT,
            WELL.submergence / FOOT,
            v * GALLONS
        ),
        "l is 29.53 ft and s is 44.29 ft, so k is 3.04, the logarithm is 0.3622, and a gallon takes 0.424 ft³ of displacement. That is 3.17 litres for",
    );
    assert_eq!(
        format!("needs {:.0} L/min of displacement", air / DELIVERS),
        "needs 476 L/min of displacement"
    );
    assert_eq!(
        format!("delivers only {:.0} % (common", 100.0 * DELIVERS),
        "delivers only 80 % (common"
    );
    assert_eq!(
        format!(
            "puts **{air:.0} L/min** into; fifth: {:.0} to {:.0} L/min. The; handbook's {air:.0} L/min. The",
            0.8 * air,
            1.2 * air
        ),
        "puts **381 L/min** into; fifth: 304 to 457 L/min. The; handbook's 381 L/min. The"
    );
    let (psi, inches, pound) = (14.7, 144.0, 8.34);
    assert_eq!(
        format!(
            "{:.0} ft of water are one atmosphere. With an. atmosphere of {psi} cdot {inches} pounds on. gallon of {pound} pounds the constant comes to {:.0}, near",
            psi * inches / 62.4,
            psi * inches * std::f64::consts::LN_10 / pound
        ),
        "34 ft of water are one atmosphere. With an. atmosphere of 14.7 cdot 144 pounds on. gallon of 8.34 pounds the constant comes to 584, near",
    );
    let (lift, depth) = (10.0, 12.5);
    let (k, logarithm, v, more) = handbook(lift, depth);
    assert_eq!(
        format!("lift is {lift} m, and {depth} m are"),
        "lift is 10 m, and 12.5 m are"
    );
    assert_eq!(
        format!(
            "l is {:.2} ft and s is {:.2} ft, so k is {k:.3}, the logarithm {logarithm:.4} and v is {v:.3} ft³ for a gallon. As delivered that is {more:.0} L/min, a sixth",
            lift / FOOT,
            depth / FOOT
        ),
        "l is 32.81 ft and s is 41.01 ft, so k is 3.047, the logarithm 0.3436 and v is 0.497 ft³ for a gallon. As delivered that is 446 L/min, a sixth",
    );
    assert!((more / air - 7.0 / 6.0).abs() < 0.01);
}

#[test]
fn slip_and_friction() {
    assert_eq!(
        format!(
            "p_0 is {:.1} kPa and p_m is {:.1} kPa. The water",
            below(&WELL),
            mean(&WELL)
        ),
        "p_0 is 230.8 kPa and p_m is 155.4 kPa. The water"
    );
    assert_eq!(
        format!(
            "j_l = Q/A = {:.4} m/s in an area of {:.0} mm². Its",
            WELL.water(),
            1e6 * area(WELL.bore)
        ),
        "j_l = Q/A = 0.8254 m/s in an area of 3029 mm². Its"
    );
    assert_eq!(
        format!(
            "is {:.4} m, the friction factor. mu)^ {}/{} is {:.4}, and the pipe is L = S + H = {:.1} m long",
            WELL.head(),
            1.0,
            4.0,
            WELL.friction(),
            WELL.length()
        ),
        "is 0.0347 m, the friction factor. mu)^ 1/4 is 0.0221, and the pipe is L = S + H = 22.5 m long",
    );
    let row = |void: f64| {
        let terms = WELL.terms(void);
        format!(
            "| {void:.4} | {:.4} {}",
            terms.gas,
            cells(
                &[
                    terms.weight,
                    terms.friction,
                    terms.ends,
                    terms.unspread,
                    terms.needed()
                ],
                3
            )
        )
    };
    assert_eq!(
        row(0.4200),
        "| 0.4200 | 1.0149 | 13.050 | 0.621 | 0.102 | 0.084 | 13.858 |"
    );
    assert_eq!(
        row(0.4500),
        "| 0.4500 | 1.1671 | 12.375 | 0.673 | 0.109 | 0.090 | 13.246 |"
    );
    let third = format!("{:.4}", WELL.third(0.42, 0.45)).parse().unwrap();
    assert_eq!(
        row(third),
        "| 0.4376 | 1.1015 | 12.654 | 0.650 | 0.106 | 0.088 | 13.498 |"
    );
    let counted = WELL.terms(third).gas * area(WELL.bore) * 60e3 * factor(&WELL);
    assert_eq!(
        format!(
            "K T = {:.3} j_g A = {counted:.0} mathrm L/min",
            factor(&WELL)
        ),
        "K T = 1.562 j_g A = 313 mathrm L/min"
    );

    let (deep, near) = (at(18.0), at(15.0));
    let needed = [0.35, 0.38].map(|void| deep.terms(void).needed());
    assert_eq!(
        format!(
            "row of {} m by hand. Its shaft is {} m deeper. Which",
            deep.submergence,
            deep.submergence - WELL.submergence
        ),
        "row of 18 m by hand. Its shaft is 4.5 m deeper. Which"
    );
    let (ours, first, last) = (air(&WELL), air(&near), air(&deep));
    assert_eq!(
        format!(
            "L is {} m, p_0 is {:.1} kPa and p_m is {:.1} kPa. The tries {:.2} and {:.2} need {:.3} and {:.3} m, so the third is {:.4}, and the air is {last:.1} L/min. That is {:.1} L/min less than at {} m. The first {} m of the {} m saves {:.1} L/min of it, the last three metres {:.1} L/min",
            deep.length(),
            below(&deep),
            mean(&deep),
            0.35,
            0.38,
            needed[0],
            needed[1],
            deep.third(0.35, 0.38),
            ours - last,
            WELL.submergence,
            near.submergence - WELL.submergence,
            deep.submergence - WELL.submergence,
            ours - first,
            first - last
        ),
        "L is 27 m, p_0 is 274.9 kPa and p_m is 171.9 kPa. The tries 0.35 and 0.38 need 18.340 and 17.586 m, so the third is 0.3635, and the air is 244.9 L/min. That is 67.7 L/min less than at 13.5 m. The first 1.5 m of the 4.5 m saves 28.3 L/min of it, the last three metres 39.4 L/min",
    );
    let running = riser(WELL.submergence)
        .air_for(of_l_min(WELL.l_min))
        .unwrap()
        .injection_pressure;
    assert_eq!(
        format!(
            "rho g S is {:.1} kPa. The tool prints {:.1} kPa: a",
            below(&WELL) - WELL.atmosphere_kpa,
            running.get::<kilopascal>()
                - riser(WELL.submergence)
                    .site()
                    .atmosphere
                    .get::<kilopascal>()
        ),
        "rho g S is 132.3 kPa. The tool prints 131.8 kPa: a",
    );
}

#[test]
fn how_sure() {
    let riser = riser(WELL.submergence);
    let wanted = WELL.l_min;
    let air_for = |flow: f64| riser.air_for(of_l_min(flow)).unwrap();
    let bare = air_for(wanted);
    let law = ErrorLaw::default().on(&riser).unwrap();
    let sure = law.air_for(of_l_min(wanted), Wanted::LowerEnd).unwrap();
    // Predicted over measured on Pickert's well, the geometric mean.
    let rigs = risewater::published::Rig::all();
    let logs: Vec<f64> = rigs[4]
        .residuals(riser.model())
        .unwrap()
        .iter()
        .map(risewater::published::Residual::logarithm)
        .collect();
    let many = f64::from(u32::try_from(logs.len()).unwrap());
    let factor = (logs.iter().sum::<f64>() / many).exp();
    let poor = air_for(factor * wanted);
    // Of the larger water flow only what is wanted counts.
    let share = |point: &OperatingPoint| {
        point.efficiency.get::<percent>() * wanted / l_min(point.water_flow)
    };
    let row =
        |point: &OperatingPoint| format!("| {:.0} | {:.0} % |", counted(point.air), share(point));
    assert_eq!(
        format!("library as it is {}", row(&bare)),
        "library as it is | 317 | 50 % |"
    );
    let (k, _, _, handbook) = handbook(WELL.lift, WELL.submergence);
    assert_eq!(
        format!(
            "handbook, as delivered | {handbook:.0} | {:.0} % |",
            100.0 / k / DELIVERS
        ),
        "handbook, as delivered | 381 | 41 % |"
    );
    assert_eq!(
        format!("of the interval {}", row(&sure)),
        "of the interval | 439 | 36 % |"
    );
    assert_eq!(
        format!("off as Pickert's well {}", row(&poor)),
        "off as Pickert's well | 528 | 30 % |"
    );
    assert_eq!(
        format!("that delivers **{:.0} L/min** at", counted(poor.air)),
        "that delivers **528 L/min** at"
    );
    assert_eq!(
        format!("by a factor of {factor:.2} as; predicts {factor:.2} times the"),
        "by a factor of 1.45 as; predicts 1.45 times the"
    );
    assert_eq!(
        format!(
            "pipe, says {:.0} L/min. That is {:.0} % less than",
            counted(bare.air),
            100.0 * (1.0 - counted(bare.air) / handbook)
        ),
        "pipe, says 317 L/min. That is 17 % less than"
    );
    assert!(counted(bare.air) > 0.8 * handbook && handbook < counted(sure.air));
    let interval = law.predict(bare.air).unwrap().interval.unwrap();
    let two = |end: VolumeRate| format!("{:.1e}", l_min(end)).parse::<f64>().unwrap();
    assert_eq!(
        format!(
            "air is {} to {} L/min. It",
            two(interval.low),
            two(interval.high)
        ),
        "air is 120 to 190 L/min. It"
    );
}

#[test]
fn other_depths() {
    let row = |depth: f64| {
        let riser = riser(depth);
        let point = riser.air_for(of_l_min(WELL.l_min)).unwrap();
        let gauge = point.injection_pressure.get::<kilopascal>()
            - riser.site().atmosphere.get::<kilopascal>();
        format!(
            "| {depth:.1} | {:.0} | {:.0} | {:.0} | {gauge:.0} |",
            air(&at(depth)),
            counted(point.air),
            handbook(WELL.lift, depth).3
        )
    };
    assert_eq!(row(9.0), "| 9.0 | 492 | 497 | 508 | 88 |");
    assert_eq!(row(12.0), "| 12.0 | 351 | 355 | 413 | 117 |");
    assert_eq!(row(13.5), "| 13.5 | 313 | 317 | 381 | 132 |");
    assert_eq!(row(15.0), "| 15.0 | 284 | 288 | 355 | 147 |");
    assert_eq!(row(18.0), "| 18.0 | 245 | 248 | 315 | 176 |");
}
