use risewater::answer::{SupplyAnswer, SupplyTerms};
use risewater::design::SUPPLY_EXAMPLE;
use risewater::supply::Orifice;
use risewater::supply::blower::DEMO;
use risewater::units::{AbsolutePressure, UnitSystem, degree_celsius, kilogram_per_second, ratio};

use super::*;

/// Of the givens: Pa, K, kJ/(kg K).
const ATMOSPHERE: f64 = 98.47e3;
const HEADER: f64 = 14.44e3;
const WARM: f64 = 311.15;
const GAS: f64 = 287.06;
const COEFFICIENT: f64 = 0.62;
const EXPONENT: f64 = 1.4;
const BRANCH_MM: f64 = 16.0;
const TANK: &str = "tank 1";

/// An orifice by the page's equations.
struct Plate {
    beta: f64,
    mass: f64,
    density: f64,
    fall: f64,
    expansion: f64,
    hole_mm: f64,
}

fn plate(counted_l_min: f64, guess_mm: f64, lost: f64) -> Plate {
    let mass = counted_l_min / 60e3 * 101_325.0 / (GAS * 293.15);
    let before = ATMOSPHERE + HEADER;
    let density = before / (GAS * WARM);
    let beta: f64 = guess_mm / BRANCH_MM;
    let root = (1.0 - beta.powi(4) * (1.0 - COEFFICIENT * COEFFICIENT)).sqrt();
    let narrow = COEFFICIENT * beta * beta;
    let fall = lost * (root + narrow) / (root - narrow);
    let widened = 1.0 - (1.0 - fall / before).powf(1.0 / EXPONENT);
    let expansion = 1.0 - (0.351 + 0.256 * beta.powi(4) + 0.93 * beta.powi(8)) * widened;
    let area = mass * (1.0 - beta.powi(4)).sqrt()
        / (COEFFICIENT * expansion * (2.0 * density * fall).sqrt());
    Plate {
        beta,
        mass,
        density,
        fall,
        expansion,
        hole_mm: 1e3 * (4.0 * area / std::f64::consts::PI).sqrt(),
    }
}

/// What the tool says of the example with changes.
fn told(changes: &[&str]) -> String {
    let changes: Vec<String> = changes.iter().map(|change| (*change).to_owned()).collect();
    let supply = design(SUPPLY_EXAMPLE, &changes)
        .with_blower_table(DEMO)
        .supply()
        .unwrap();
    let solved = supply.solve().unwrap();
    let answer = SupplyAnswer::of(&supply, &solved, &SupplyTerms::default()).unwrap();
    answer.full_text(UnitSystem::Metric)
}

/// A number of the first line that starts so: of its words after the start.
fn number(text: &str, start: &str, word: usize) -> f64 {
    let line = text
        .lines()
        .find(|line| line.trim_start().starts_with(start));
    let line = line
        .unwrap_or_else(|| panic!("no line {start}"))
        .trim_start();
    line[start.len()..]
        .split_whitespace()
        .nth(word)
        .unwrap()
        .parse()
        .unwrap()
}

#[test]
fn givens_are_the_examples() {
    let value = |key: &str| said(SUPPLY_EXAMPLE, key);
    let design = design(SUPPLY_EXAMPLE, &[]);
    let site = design.site().unwrap();
    assert_eq!(
        format!(
            "site | {} above the sea, atmosphere {:.2} kPa",
            value("altitude"),
            site.atmosphere.get::<kilopascal>()
        ),
        "site | 240 m above the sea, atmosphere 98.47 kPa"
    );
    assert!((site.atmosphere.get::<kilopascal>() - ATMOSPHERE / 1e3).abs() < 0.005);
    let plain = told(&[]);
    let last = number(&plain, "tank 8", 2);
    let at_tee = number(&plain, "tank 8", 7);
    assert_eq!(
        format!(
            "last tank | {at_tee} kPa gauge; air of {:.0} °C ({WARM} K)",
            WARM - 273.15
        ),
        "last tank | 14.44 kPa gauge; air of 38 °C (311.15 K)"
    );
    assert_eq!(
        value("arrival_temperature"),
        format!("{} °C", WARM - 273.15)
    );
    let counted = AirState::DRY_20_C;
    assert_eq!(
        format!(
            "tank's air | {last} L/min, counted dry at {:.2} K and {:.3} kPa",
            counted.temperature.get::<kelvin>(),
            counted.pressure.get::<kilopascal>()
        ),
        "tank's air | 28.87 L/min, counted dry at 293.15 K and 101.325 kPa"
    );
    let branch = SUPPLY_EXAMPLE.split("[branch]").nth(1).unwrap();
    assert_eq!(
        format!("branch | bore of {}", said(branch, "bore")),
        "branch | bore of 16 mm"
    );
    assert_eq!(said(branch, "bore"), format!("{BRANCH_MM} mm"));
    assert_eq!(
        format!(
            "orifice | {} lost for good; a thin sharp edge, discharge coefficient C_d of {COEFFICIENT}",
            value("least_loss")
        ),
        "orifice | 2 kPa lost for good; a thin sharp edge, discharge coefficient C_d of 0.62"
    );
    assert_eq!(
        format!("constant R of {GAS} J/(kg K), adiabatic exponent gamma of {EXPONENT}"),
        "constant R of 287.06 J/(kg K), adiabatic exponent gamma of 1.4"
    );
    let power = number(&plain, "power  ", 0);
    assert_eq!(
        format!(
            "blower | {power} W at the wire; {} {} for",
            value("price"),
            value("currency")
        ),
        "blower | 854 W at the wire; 0.25 EUR for"
    );
    let (density, used) = (
        value("density").replace("m3", "m³"),
        value("oxygen_use").replace("mg/(kg h)", "mg"),
    );
    assert_eq!(
        format!("animals | {density}, which use {used} of"),
        "animals | 40 kg/m³, which use 300 mg of"
    );
    assert_eq!(
        format!(
            "oxygen | {} now, {} at the least",
            value("oxygen"),
            value("oxygen_limit")
        ),
        "oxygen | 8 mg/L now, 5 mg/L at the least"
    );
    assert_eq!(
        format!("counts with {} at", value("intake_loss")),
        "counts with 0.3 kPa at"
    );
    let tolerance: f64 = value("tolerance").parse().unwrap();
    let percent = 100.0 * tolerance;
    assert_eq!(
        format!("tolerance of {percent} % allows; tolerance of {percent} %. Drill"),
        "tolerance of 5 % allows; tolerance of 5 %. Drill"
    );
}

#[test]
fn an_orifice_by_hand() {
    let (guess, lost) = (4.0, 2e3);
    let hole = plate(28.87, guess, lost);
    assert_eq!(
        format!("to cost {:.0} kPa. This", lost / 1e3),
        "to cost 2 kPa. This"
    );
    assert_eq!(
        format!(
            "Guess a hole of {guess} mm, so that beta is {}: | quantity",
            hole.beta
        ),
        "Guess a hole of 4 mm, so that beta is 0.25: | quantity"
    );
    assert_eq!(
        format!(
            "p/(R T) of {:.3} kg/m³ | {:.3} g/s",
            101_325.0 / (GAS * 293.15),
            1e3 * hole.mass
        ),
        "p/(R T) of 1.204 kg/m³ | 0.579 g/s"
    );
    assert_eq!(
        format!(
            "atmosphere and header | {:.1} kPa",
            (ATMOSPHERE + HEADER) / 1e3
        ),
        "atmosphere and header | 112.9 kPa"
    );
    assert_eq!(
        format!("p_1/(R T) | {:.3} kg/m³ | fall", hole.density),
        "p_1/(R T) | 1.264 kg/m³ | fall"
    );
    assert_eq!(
        format!(
            "second equation, varpi of {:.0} kPa | {:.2} kPa | factor",
            lost / 1e3,
            hole.fall / 1e3
        ),
        "second equation, varpi of 2 kPa | 2.16 kPa | factor"
    );
    assert_eq!(
        format!("third equation | {:.3} | hole", hole.expansion),
        "third equation | 0.995 | hole"
    );
    assert_eq!(
        format!("first equation | {:.2} mm", hole.hole_mm),
        "first equation | 4.02 mm"
    );

    let kpa = |pascal: f64| AbsolutePressure::new::<kilopascal>(pascal / 1e3);
    let (before, behind) = (kpa(ATMOSPHERE + HEADER), kpa(ATMOSPHERE + HEADER - lost));
    let branch = Length::new::<millimeter>(BRANCH_MM);
    let warm = ThermodynamicTemperature::new::<degree_celsius>(WARM - 273.15);
    let air = air_of(28.87);
    assert!((air.dry_mass_rate().get::<kilogram_per_second>() - hole.mass).abs() < 1e-6);
    let start = Orifice::new(Length::new::<millimeter>(guess));
    let found = start
        .sized_in_line(branch, air, (before, behind), warm)
        .unwrap()
        .unwrap();
    assert_eq!(
        format!(
            "also says {:.2} mm. The",
            found.diameter.get::<millimeter>()
        ),
        "also says 4.02 mm. The"
    );
    let drill = |mm: f64| {
        let hole = Orifice::new(Length::new::<millimeter>(mm));
        let passed = hole.air_flow_in_line(branch, before, behind, warm).unwrap();
        let more = 100.0 * (passed.dry_mass_rate() / air.dry_mass_rate()).get::<ratio>() - 100.0;
        format!("| {mm:.1} | {:.1} | {more:+.0} % |", counted(passed)).replace('-', "−")
    };
    assert_eq!(drill(3.5), "| 3.5 | 21.7 | −25 % |");
    assert_eq!(drill(3.9), "| 3.9 | 27.1 | −6 % |");
    assert_eq!(drill(4.0), "| 4.0 | 28.6 | −1 % |");
    assert_eq!(drill(4.1), "| 4.1 | 30.1 | +4 % |");
    assert_eq!(drill(4.5), "| 4.5 | 36.6 | +27 % |");

    let rise = 0.05;
    let site = design(SUPPLY_EXAMPLE, &[]).site().unwrap();
    let adds = site.water.density().value * G * rise / 1e3;
    let left = lost / 1e3 - adds;
    assert_eq!(
        format!(
            "stands {:.0} cm higher. Then {adds:.2} kPa of water",
            100.0 * rise
        ),
        "stands 5 cm higher. Then 0.49 kPa of water"
    );
    assert_eq!(
        format!("orifice of {:.0} kPa, however", lost / 1e3),
        "orifice of 2 kPa, however"
    );
    assert_eq!(
        format!(
            "- {adds:.2})/ {:.0} = {:.0} % The",
            lost / 1e3,
            100.0 - 100.0 * (left * 1e3 / lost).sqrt()
        )
        .replace(")/ ", ")/"),
        "- 0.49)/2 = 13 % The"
    );

    // The exercises.
    let (box_mm, filter_mm) = (4.2, 3.0);
    let rule = 100.0 * (box_mm / hole.hole_mm) * (box_mm / hole.hole_mm) - 100.0;
    assert_eq!(
        format!("at hand is {box_mm} mm. By. Drill {guess:.1} mm and"),
        "at hand is 4.2 mm. By. Drill 4.0 mm and"
    );
    assert_eq!(
        format!(
            "Answer /summary ({box_mm}/{:.2}). is {rule:.0} %, nearly",
            hole.hole_mm
        ),
        "Answer /summary (4.2/4.02). is 9 %, nearly"
    );
    let plain = told(&[]);
    let (air, costs) = (number(&plain, "filter 1", 2), number(&plain, "filter 1", 8));
    let costs = (100.0 * costs).round() / 100.0;
    let other = plate(air, filter_mm, 1e3 * costs);
    assert_eq!(
        format!(
            "to have {air} L/min through an orifice that must cost {costs:.2} kPa, at. Guess {filter_mm} mm first"
        ),
        "to have 23.94 L/min through an orifice that must cost 5.08 kPa, at. Guess 3 mm first"
    );
    let (found, taken) = (
        number(&plain, "filter 1", 9),
        number(&plain, "filter 1", 10),
    );
    assert_eq!(
        format!(
            "beta is {} and dot m is {:.3} g/s. The fall at the hole is {:.2} kPa, the factor varepsilon is {:.3}, and the hole is {:.2} mm. The tool has {found} mm, and takes the drill of {taken} mm",
            other.beta,
            1e3 * other.mass,
            other.fall / 1e3,
            other.expansion,
            other.hole_mm
        ),
        "beta is 0.1875 and dot m is 0.480 g/s. The fall at the hole is 5.31 kPa, the factor varepsilon is 0.988, and the hole is 2.94 mm. The tool has 2.937 mm, and takes the drill of 2.95 mm",
    );
    let tank = number(&plain, "tank 1", 10);
    assert_eq!(
        format!("drilled {tank} mm at the tanks and {taken} mm at the filters"),
        "drilled 4 mm at the tanks and 2.95 mm at the filters"
    );
}

#[test]
fn the_plant_as_it_runs() {
    let (with, without) = (told(&[]), told(&["balance.orifices=false"]));
    let both =
        |start: &str, word: usize| [number(&with, start, word), number(&without, start, word)];
    let [a, b] = both("Rise", 0);
    assert_eq!(
        format!("rise, kPa | {a} | {b} | air"),
        "rise, kPa | 14.82 | 13.11 | air"
    );
    let [a, b] = both("filter 1", 4);
    assert_eq!(
        format!("its design | {a:+.0} % | {b:+.0} % | tank"),
        "its design | +1 % | +385 % | tank"
    );
    let level = 0.05;
    let rises = format!("level of {TANK} {level} m higher");
    assert_eq!(
        format!("{} when its level rises by {level} m | gets", "tank 1"),
        "tank 1 when its level rises by 0.05 m | gets"
    );
    assert!(
        without
            .lines()
            .any(|line| line.starts_with(&rises) && line.contains("-100 %   -100 %"))
    );
    assert!(
        with.lines()
            .any(|line| line.starts_with(&rises) && line.contains("+0 %     +0 %       +5 %"))
    );
    assert_eq!(
        format!("level rises by {level} m loses all; level {level} m higher takes"),
        "level rises by 0.05 m loses all; level 0.05 m higher takes"
    );
    assert!(
        with.lines()
            .any(|line| line.starts_with("tank 1 valved off")
                && line.contains("filter 1       +1 %     +1 %"))
    );
    let shut = number(&told(&["lift.1.open=false"]), "surplus", 0);
    let open = number(&with, "surplus", 0);
    assert_eq!(
        format!("grows from {open} L/min to {shut} L/min"),
        "grows from 528.7 L/min to 558.9 L/min"
    );

    let row = |loss: &str| {
        let text = told(&[&format!("blower.intake_loss={loss} kPa")]);
        let bled = if text.contains("surplus") {
            format!("{:.1}", number(&text, "surplus", 0))
        } else {
            "none".to_owned()
        };
        let tank = |word: usize| number(&text, "tank 1", word);
        format!(
            "| {loss} | {bled} | {:.2} | {:.2} | {:.1} | {:.2} |",
            tank(3),
            tank(6),
            number(&text, "Outlet", 0),
            tank(7)
        )
    };
    assert_eq!(row("0.3"), "| 0.3 | 528.7 | 28.78 | 74.63 | 73.7 | 14.46 |");
    assert_eq!(row("1.0"), "| 1.0 | 413.0 | 28.78 | 74.63 | 82.8 | 14.46 |");
    assert_eq!(row("3.0"), "| 3.0 | 71.3 | 28.78 | 74.63 | 140.9 | 14.46 |");
    assert_eq!(row("4.0"), "| 4.0 | none | 25.35 | 60.55 | 184.7 | 13.98 |");
    let rows = ["3.0", "4.0"].map(|loss| loss.parse::<f64>().unwrap());
    assert_eq!(
        format!("With {} kPa only; At {} kPa the", rows[0], rows[1]),
        "With 3 kPa only; At 4 kPa the"
    );

    let value = |key: &str| {
        said(SUPPLY_EXAMPLE, key)
            .split(' ')
            .next()
            .unwrap()
            .parse::<f64>()
            .unwrap()
    };
    let used = value("density") * value("oxygen_use") / 1e3;
    let there = value("oxygen") - value("oxygen_limit");
    assert_eq!(
        format!(
            "{} mathrm kg/m^3 cdot {} mathrm mg/(kg h) = {used} mathrm g/(m^3 h) $$ and {} − {} = {there} g/m³ are",
            value("density"),
            value("oxygen_use"),
            value("oxygen"),
            value("oxygen_limit")
        ),
        "40 mathrm kg/m^3 cdot 300 mathrm mg/(kg h) = 12 mathrm g/(m^3 h) $$ and 8 − 5 = 3 g/m³ are",
    );
    assert_eq!(
        format!("an hour: {:.0} minutes. | way", 60.0 * there / used),
        "an hour: 15 minutes. | way"
    );
    assert!(with.contains(&format!(
        "falls to its limit in {:.0} minutes",
        60.0 * there / used
    )));
    let denser = 60.0;
    let more = used * denser / value("density");
    assert_eq!(
        format!("stock of {denser} kg/m³ is"),
        "stock of 60 kg/m³ is"
    );
    assert_eq!(
        format!("animals use {more} g/(m³ h), and there are {there} g/m³: ten"),
        "animals use 18 g/(m³ h), and there are 3 g/m³: ten"
    );

    let both = told(&["blower.running=2", "blower.standby=0"]);
    let (one, two) = (number(&with, "power  ", 0), number(&both, "power  ", 0));
    assert_eq!(
        format!("somebody takes | {one} W | one; seconds | {one} W | both; none | {two} W |"),
        "somebody takes | 854 W | one; seconds | 854 W | both; none | 1708 W |"
    );
    let (hours, kilowatts, price) = (8760.0, (two - one) / 1e3, value("price"));
    assert_eq!(
        format!(
            "costs {kilowatts} cdot {hours} cdot {price} = {:.0} EUR more",
            kilowatts * hours * price
        ),
        "costs 0.854 cdot 8760 cdot 0.25 = 1870 EUR more"
    );

    let small = told(&["balance.least_loss=0.5 kPa"]);
    assert_eq!(
        format!("falls to {} kPa. But", number(&small, "Rise", 0)),
        "falls to 13.32 kPa. But"
    );
    let taken = |up: f64| number(&small, &format!("level of {TANK} {up} m higher"), 4).abs();
    let higher = 0.1;
    assert_eq!(
        format!(
            "higher takes {} % of {}'s air, and one {higher} m higher takes all",
            taken(level),
            "tank 1"
        ),
        "higher takes 38 % of tank 1's air, and one 0.1 m higher takes all"
    );
    assert_eq!(taken(higher), 100.0);
}
