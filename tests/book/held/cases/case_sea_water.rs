use risewater::air::pressure_at_altitude;

use super::*;

const TOML: &str = "case-sea-water.in/broodstock.toml";
/// Of dry air, kJ/(kg K).
const GAS: f64 = 0.287_06;
const COAST: Column = Column {
    bore: 0.077_27,
    submergence: 1.2,
    lift: 0.15,
    l_min: 120.0,
    density: 1026.8,
    viscosity: 0.001_40,
    atmosphere_kpa: 101.3,
    vapour_kpa: 1.20,
    kelvin: 283.15,
    developing: 0.2,
};
const INLAND: Column = Column {
    density: 997.3,
    viscosity: 0.000_91,
    atmosphere_kpa: 85.6,
    vapour_kpa: 2.99,
    kelvin: 297.15,
    ..COAST
};

fn inland() -> [String; 3] {
    [
        "water.salinity=0 g/kg".to_owned(),
        "water.temperature=24 degC".to_owned(),
        "site.altitude=1400 m".to_owned(),
    ]
}

/// Dry air in a cubic metre of bubbles half-way down, and that which its depth's pressure feeds at the intake, kg.
fn dense(column: &Column) -> f64 {
    (column.mean_kpa() - column.vapour_kpa) / GAS / column.kelvin
}

fn intake(column: &Column) -> f64 {
    column.atmosphere_kpa / GAS / column.kelvin
}

#[test]
fn givens_and_properties() {
    let text = file(TOML);
    let riser = design(&text, &[]).riser().unwrap();
    let away = design(&text, &inland()).riser().unwrap();
    let (sea, fresh) = (riser.site().water, away.site().water);
    let degrees = |water: &Water| water.temperature().get::<degree_celsius>();
    let salt = |water: &Water| water.salinity().get::<per_mille>();
    assert_eq!(
        format!(
            "salinity | {:.0} g/kg | {:.0} g/kg",
            salt(&sea),
            salt(&fresh)
        ),
        "salinity | 35 g/kg | 0 g/kg"
    );
    assert_eq!(
        format!(
            "temperature T | {:.0} °C ({:.2} K) | {:.0} °C ({:.2} K)",
            degrees(&sea),
            COAST.kelvin,
            degrees(&fresh),
            INLAND.kelvin
        ),
        "temperature T | 10 °C (283.15 K) | 24 °C (297.15 K)",
    );
    let high = 1400.0;
    let barometer = |m: f64| {
        pressure_at_altitude(Length::new::<meter>(m))
            .unwrap()
            .get::<kilopascal>()
    };
    let (low_kpa, high_kpa) = (barometer(0.0), barometer(high));
    assert_eq!(
        format!("altitude | {} | {high} m | bore", said(&text, "altitude")),
        "altitude | 0 m | 1400 m | bore"
    );
    let size = riser.spec().dimensions;
    let name = said(&text, "pipe");
    assert_eq!(
        format!(
            "bore D | {} in pipe, {:.2} mm | the",
            name.split(' ').nth(4).unwrap(),
            size.bore.get::<millimeter>()
        ),
        "bore D | 3 in pipe, 77.27 mm | the",
    );
    assert_eq!(
        format!(
            "submergence S, lift H | {:.1} m, {:.2} m | the",
            size.submergence.get::<meter>(),
            size.lift.get::<meter>()
        ),
        "submergence S, lift H | 1.2 m, 0.15 m | the",
    );
    assert_eq!(
        format!(
            "air | {} | the; How many litres a minute are the {} of",
            said(&text, "mass_flow"),
            said(&text, "mass_flow")
        ),
        "air | 6 kg/h | the; How many litres a minute are the 6 kg/h of"
    );
    assert_eq!(
        format!("library, with {} of air", said(&text, "mass_flow")),
        "library, with 6 kg/h of air"
    );
    assert_eq!(
        format!("returns {} L/min. A second", COAST.l_min),
        "returns 120 L/min. A second"
    );
    let row = |name: &str, value: &dyn Fn(&Water) -> f64, digits: usize, unit: &str| {
        format!(
            "{name} | {:.digits$} {unit} | {:.digits$} {unit} |",
            value(&sea),
            value(&fresh)
        )
    };
    assert_eq!(
        row("density, rho", &|w| w.density().value, 1, "kg/m³"),
        "density, rho | 1026.8 kg/m³ | 997.3 kg/m³ |"
    );
    assert_eq!(
        row("viscosity, mu", &|w| 1e3 * w.viscosity().value, 2, "mPa s"),
        "viscosity, mu | 1.40 mPa s | 0.91 mPa s |"
    );
    assert_eq!(
        row(
            "surface tension",
            &|w| 1e3 * w.surface_tension().value,
            1,
            "mN/m"
        ),
        "surface tension | 75.3 mN/m | 72.1 mN/m |"
    );
    assert_eq!(
        row(
            "vapour pressure, p_v",
            &|w| w.vapour_pressure().get::<kilopascal>(),
            2,
            "kPa"
        ),
        "vapour pressure, p_v | 1.20 kPa | 2.99 kPa |"
    );
    assert_eq!(
        format!("atmosphere, p_a | {low_kpa:.1} kPa | {high_kpa:.1} kPa |"),
        "atmosphere, p_a | 101.3 kPa | 85.6 kPa |"
    );
    assert_eq!(
        format!(
            "which at {high} m is {:.1} kPa too; curve at {high} m.",
            COAST.atmosphere_kpa - INLAND.atmosphere_kpa
        ),
        "which at 1400 m is 15.7 kPa too; curve at 1400 m.",
    );
    for (column, riser) in [(COAST, &riser), (INLAND, &away)] {
        let viscosity = riser.site().water.viscosity().value;
        assert!((column.viscosity - viscosity).abs() < 0.5e-5);
        Column {
            viscosity,
            ..column
        }
        .is_of(riser.site());
    }
}

#[test]
fn steps_by_hand() {
    let long = COAST.length();
    assert_eq!(
        format!(
            "For {} L/min in an area A of {:.0} mm² the. at j_l = Q/A = {:.4} m/s, and",
            COAST.l_min,
            1e6 * area(COAST.bore),
            COAST.water()
        ),
        "For 120 L/min in an area A of 4689 mm² the. at j_l = Q/A = 0.4265 m/s, and",
    );
    assert_eq!(
        format!("is {:.5} m with g of {G} m/s². The", COAST.head()),
        "is 0.00927 m with g of 9.807 m/s². The"
    );
    assert_eq!(
        format!(
            "mu)^ {}/{} = {:.4}. The pipe is L = S + H = {long:.2} m long",
            1.0,
            4.0,
            COAST.friction()
        ),
        "mu)^ 1/4 = 0.0253. The pipe is L = S + H = 1.35 m long"
    );
    assert_eq!(
        format!(
            "ell of {} m. This. -L/ ell is {:.3} m. Try",
            COAST.developing,
            COAST.unspread()
        ),
        "ell of 0.2 m. This. -L/ ell is 0.200 m. Try"
    );
    let first = 0.150;
    let terms = COAST.terms(first);
    assert_eq!(
        format!(
            "| {first:.3} {}",
            cells(
                &[
                    terms.gas,
                    terms.weight,
                    terms.unspread,
                    terms.friction,
                    terms.ends,
                    terms.needed()
                ],
                4
            )
        ),
        "| 0.150 | 0.1450 | 1.1475 | 0.0300 | 0.0055 | 0.0172 | 1.2002 |",
    );
    let volume = terms.gas * area(COAST.bore);
    assert_eq!(
        format!(
            "it needs {:.4} m, and there are {} m. The air is j_g A, or {:.1} L/min at",
            terms.needed(),
            COAST.submergence,
            volume * 60e3
        ),
        "it needs 1.2002 m, and there are 1.2 m. The air is j_g A, or 40.8 L/min at",
    );
    assert_eq!(
        format!(
            "factor is {:.4} and the same try needs {:.4} m. So",
            INLAND.friction(),
            INLAND.terms(first).needed()
        ),
        "factor is 0.0229 and the same try needs 1.1996 m. So"
    );
    assert_eq!(
        format!("R = {:.2} mathrm J/(kg", 1e3 * GAS),
        "R = 287.06 mathrm J/(kg"
    );
    let row = |words: &str, digits: usize, unit: &str, value: &dyn Fn(&Column) -> f64| {
        format!(
            "{words} | {:.digits$} {unit} | {:.digits$} {unit} |",
            value(&COAST),
            value(&INLAND)
        )
    };
    let mass = |column: &Column| 3600.0 * volume * dense(column);
    assert_eq!(
        row("half-way, p_m", 1, "kPa", &Column::mean_kpa),
        "half-way, p_m | 107.3 kPa | 91.5 kPa |"
    );
    assert_eq!(
        row("metre of bubbles", 3, "kg", &dense),
        "metre of bubbles | 1.306 kg | 1.037 kg |"
    );
    assert_eq!(
        format!(
            "air for {} L/min of water | {:.2} kg/h | {:.2} kg/h |",
            COAST.l_min,
            mass(&COAST),
            mass(&INLAND)
        ),
        "air for 120 L/min of water | 3.20 kg/h | 2.54 kg/h |"
    );
    assert_eq!(
        format!(
            "{:.0} % of the mass",
            100.0 * dense(&INLAND) / dense(&COAST)
        ),
        "79 % of the mass"
    );
    assert_eq!(
        format!(
            "{:.3} kg/m³ at the coast, at {:.0} °C, and {:.3} kg/m³ inland, at {:.0} °C. So",
            intake(&COAST),
            COAST.kelvin - 273.15,
            intake(&INLAND),
            INLAND.kelvin - 273.15
        ),
        "1.246 kg/m³ at the coast, at 10 °C, and 1.004 kg/m³ inland, at 24 °C. So",
    );
    let taken = |column: &Column| mass(column) / 60.0 / intake(column) * 1e3;
    assert_eq!(
        format!(
            "takes in {:.0} L/min at the coast and {:.0} L/min inland. That",
            taken(&COAST),
            taken(&INLAND)
        ),
        "takes in 43 L/min at the coast and 42 L/min inland. That"
    );
    let bound = |column: &Column| {
        100.0 * (1.0 + 0.5 * column.density * G * column.submergence / 1e3 / column.atmosphere_kpa)
    };
    assert_eq!(
        format!(
            "at most: {:.0} % at the coast and {:.0} % inland",
            bound(&COAST),
            bound(&INLAND)
        ),
        "at most: 106 % at the coast and 107 % inland"
    );

    // The exercises.
    let liters = |column: &Column| 6.0 / 60.0 / intake(column) * 1e3;
    assert_eq!(
        format!(
            "five: at the coast {:.0} L/min, inland {:.0} L/min.",
            liters(&COAST),
            liters(&INLAND)
        ),
        "five: at the coast 80 L/min, inland 100 L/min."
    );
    let cold = water(10.0, 0.0);
    let third = Column {
        density: 999.7,
        vapour_kpa: 1.23,
        kelvin: COAST.kelvin,
        ..INLAND
    };
    let changes = [
        "water.salinity=0 g/kg".to_owned(),
        "site.altitude=1400 m".to_owned(),
    ];
    let text = file(TOML);
    let ask = |changes: &[String]| {
        design(&text, changes)
            .riser()
            .unwrap()
            .air_for(of_l_min(120.0))
            .unwrap()
            .air
            .dry_mass_rate()
            .get::<kilogram_per_hour>()
    };
    assert_eq!(
        format!(
            "of {:.0} °C, would; has {:.0} °C, with a density of {:.1} kg/m³ and a vapour pressure of {:.2} kPa. Which",
            cold.temperature().get::<degree_celsius>(),
            third.kelvin - 273.15,
            cold.density().value,
            cold.vapour_pressure().get::<kilopascal>()
        ),
        "of 10 °C, would; has 10 °C, with a density of 999.7 kg/m³ and a vapour pressure of 1.23 kPa. Which",
    );
    assert_eq!(
        format!(
            "stands inland at {} m too. take for {} L/min?",
            1400.0, third.l_min
        ),
        "stands inland at 1400 m too. take for 120 L/min?"
    );
    assert_eq!(
        format!(
            "pressure is {:.1} kPa, so a cubic metre of bubbles holds {:.3} kg of. the air {:.2} kg/h: between. The tool says {:.3} kg/h",
            third.mean_kpa(),
            dense(&third),
            mass(&third),
            ask(&changes)
        ),
        "pressure is 91.5 kPa, so a cubic metre of bubbles holds 1.110 kg of. the air 2.72 kg/h: between. The tool says 2.697 kg/h",
    );
    let given = 3.20;
    let gas = given / 3600.0 / dense(&INLAND) / area(INLAND.bore);
    let at = |l_min: f64| {
        let column = Column { l_min, ..INLAND };
        let void = (0..50).fold(0.2, |void: f64, _| {
            gas / (1.2 * (column.water() + gas) + 0.35 * (G * column.bore * (1.0 - void)).sqrt())
        });
        (void, column.terms(void).needed())
    };
    let (asked, more) = (120.0, 150.0);
    let ((light, low), (void, met)) = (at(asked), at(more));
    assert_eq!(
        format!(
            "asked for {asked} L/min and gets the coast's {given:.2} kg/h by. at flows of {asked} and of {more} L/min. Which S' meets {} m?",
            INLAND.submergence
        ),
        "asked for 120 L/min and gets the coast's 3.20 kg/h by. at flows of 120 and of 150 L/min. Which S' meets 1.2 m?",
    );
    assert_eq!(
        format!(
            "fills {:.1} L/min in the pipe, so j_g is {gas:.4} m/s. At {asked} L/min the slip gives alpha = {light:.3}, and S' is only {low:.3} m: the",
            gas * area(INLAND.bore) * 60e3
        ),
        "fills 51.4 L/min in the pipe, so j_g is 0.1827 m/s. At 120 L/min the slip gives alpha = 0.182, and S' is only 1.165 m: the",
    );
    let mut wrong = inland().to_vec();
    wrong.push(format!("air.mass_flow={given} kg/h"));
    let (riser, air) = design(&text, &wrong).riser_and_air().unwrap();
    let water = l_min(riser.operate(air).unwrap().water_flow());
    assert_eq!(
        format!(
            "With {more} L/min alpha is {void:.3}, and S' comes to {met:.3} m. So about {more} L/min flow, a. The tool says {water:.1} L/min"
        ),
        "With 150 L/min alpha is 0.161, and S' comes to 1.200 m. So about 150 L/min flow, a. The tool says 151.0 L/min",
    );
}

#[test]
fn one_change_at_a_time() {
    let text = file(TOML);
    let row = |name: &str, changes: &[String]| {
        let design = design(&text, changes);
        let outcome = design
            .riser()
            .unwrap()
            .operate(design.air().unwrap())
            .unwrap();
        let point = outcome.point().unwrap();
        let pressure = point.injection_pressure.get::<kilopascal>()
            - design.site().unwrap().atmosphere.get::<kilopascal>();
        format!("{name} | {:.1} | {pressure:.2} |", l_min(point.water_flow))
    };
    let all = inland();
    let one = |n: usize| std::slice::from_ref(&all[n]);
    let changed = |n: usize| all[n].split('=').nth(1).unwrap().replace("degC", "°C");
    assert_eq!(row("coast", &[]), "coast | 201.4 | 11.69 |");
    assert_eq!(row("no salt", one(0)), "no salt | 201.7 | 11.38 |");
    assert_eq!(row(&changed(1), one(1)), "24 °C | 210.5 | 11.61 |");
    assert_eq!(row(&changed(2), one(2)), "1400 m | 221.9 | 11.60 |");
    assert_eq!(row("all three", &all), "all three | 231.8 | 11.23 |");
}
