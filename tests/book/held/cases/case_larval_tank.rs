use risewater::AirFlow;

use super::*;

const TOML: &str = "case-larval-tank.in/larval-tank.toml";

// The constants that the page prints.
const DENSITY: f64 = 1023.6;
const TENSION: f64 = 0.0740;
const VAPOUR_KPA: f64 = 2.03;
const ATMOSPHERE_KPA: f64 = 101.2;
const KELVIN: f64 = 291.15;

/// A lift by the page's steps.
struct Lift {
    bore: f64,
    submergence: f64,
    lift: f64,
    l_min: f64,
}

impl Lift {
    fn of(bore_mm: f64) -> Self {
        Self {
            bore: bore_mm / 1e3,
            submergence: 0.45,
            lift: 0.03,
            l_min: 1.25,
        }
    }

    fn spread(&self) -> f64 {
        self.submergence + self.lift - unspread(self.bore, self.submergence + self.lift)
    }

    fn void(&self) -> f64 {
        self.lift / self.spread()
    }

    fn water(&self) -> f64 {
        self.l_min / 60e3 / area(self.bore)
    }

    fn gas(&self) -> f64 {
        gas(self.void(), self.water(), self.bore)
    }

    fn mean_kpa(&self) -> f64 {
        ATMOSPHERE_KPA + DENSITY * G * self.submergence / 2e3
    }

    fn factor(&self) -> f64 {
        (self.mean_kpa() - VAPOUR_KPA) / 101.325 * 293.15 / KELVIN
    }

    fn air(&self) -> f64 {
        self.gas() * area(self.bore) * 60e3 * self.factor()
    }

    fn still(&self) -> Self {
        Self {
            l_min: 0.0,
            ..*self
        }
    }
}

#[test]
fn givens_are_the_files() {
    let text = file(TOML);
    let value = |key: &str| said(&text, key);
    assert_eq!(
        format!(
            "sea water, {}, {} | site | {} above",
            value("temperature"),
            value("salinity"),
            value("altitude")
        ),
        "sea water, 18 °C, 33 g/kg | site | 10 m above",
    );
    assert_eq!(
        format!(
            "air let in {} below the running level; outlet {} above that",
            value("submergence"),
            value("lift")
        ),
        "air let in 0.45 m below the running level; outlet 0.03 m above that",
    );
    assert_eq!(
        format!("weight of {} of water", value("submergence")),
        "weight of 0.45 m of water"
    );
    assert_eq!(
        format!(
            "Four lifts of {} bore; In the pipe of {}, whose",
            value("bore"),
            value("bore")
        ),
        "Four lifts of 20 mm bore; In the pipe of 20 mm, whose"
    );
    let flow = value("flow");
    assert_eq!(
        format!("file's {flow} still; Since {flow} is"),
        "file's 0.5 L/min still; Since 0.5 L/min is"
    );
    let shelf = [20.0, 25.0, 32.0].map(Lift::of);
    let [a, b, c] = shelf.map(|lift| 1e3 * lift.bore);
    assert_eq!(
        format!("shelf | {a:.0}, {b:.0} and {c:.0} mm"),
        "shelf | 20, 25 and 32 mm"
    );
    assert_eq!(
        format!("| {a:.0} mm | {b:.0} mm | {c:.0} mm |"),
        "| 20 mm | 25 mm | 32 mm |"
    );
    assert_eq!(
        format!(
            "For the pipe of {a:.0} mm that; pipe of {a:.0} mm then take; pipe of {a:.0} mm need now; pipe of {a:.0} mm the root; pipe of {a:.0} mm, ell is"
        ),
        "For the pipe of 20 mm that; pipe of 20 mm then take; pipe of 20 mm need now; pipe of 20 mm the root; pipe of 20 mm, ell is",
    );
}

#[test]
fn constants_are_the_librarys() {
    let site = design(&file(TOML), &[]).site().unwrap();
    let water = site.water;
    let degrees = water.temperature().get::<kelvin>();
    let constants = [
        format!(
            "density of the water, rho | {:.1} kg/m³",
            water.density().value
        ),
        format!(
            "surface tension, sigma | {:.4} N/m",
            water.surface_tension().value
        ),
        format!(
            "vapour pressure, p_v | {:.2} kPa",
            water.vapour_pressure().get::<kilopascal>()
        ),
        format!("temperature, T | {degrees:.2} K"),
        format!(
            "atmosphere, p_a | {:.1} kPa",
            site.atmosphere.get::<kilopascal>()
        ),
    ];
    assert_eq!(
        constants,
        [
            "density of the water, rho | 1023.6 kg/m³",
            "surface tension, sigma | 0.0740 N/m",
            "vapour pressure, p_v | 2.03 kPa",
            "temperature, T | 291.15 K",
            "atmosphere, p_a | 101.2 kPa",
        ]
    );
    assert_eq!(
        [DENSITY, TENSION, VAPOUR_KPA, KELVIN, ATMOSPHERE_KPA],
        [1023.6, 0.074, 2.03, 291.15, 101.2]
    );
    let counted = AirState::DRY_20_C;
    assert_eq!(
        format!(
            "fall, g | {G} m/s²; dry, at | {:.2} K and {:.3} kPa",
            counted.temperature.get::<kelvin>(),
            counted.pressure.get::<kilopascal>()
        ),
        "fall, g | 9.807 m/s²; dry, at | 293.15 K and 101.325 kPa",
    );
    assert_eq!(
        format!(
            "dry and at {:.0} °C it",
            counted.temperature.get::<kelvin>() - 273.15
        ),
        "dry and at 20 °C it"
    );
}

#[test]
fn steps_by_hand() {
    let (liters, hours, lifts): (f64, f64, f64) = (600.0, 2.0, 4.0);
    let minutes = 60.0 * hours;
    let each = liters / minutes / lifts;
    assert_eq!(
        format!("tank | {liters} L, one volume in {hours} h"),
        "tank | 600 L, one volume in 2 h"
    );
    assert_eq!(
        format!("share {liters} L in {minutes} minutes"),
        "share 600 L in 120 minutes"
    );
    assert_eq!(
        format!(
            "frac{{ {liters} mathrm L }}{{ {lifts} cdot {minutes} mathrm min }} = {each} mathrm{{ L/min }} = {:.1} mathrm{{ cm^3/s }}",
            each / 0.06
        ),
        "frac{ 600 mathrm L }{ 4 cdot 120 mathrm min } = 1.25 mathrm{ L/min } = 20.8 mathrm{ cm^3/s }",
    );

    let small = Lift::of(20.0);
    assert_eq!(each, small.l_min);
    let (water, long) = (small.water(), small.submergence + small.lift);
    assert_eq!(
        format!(
            "area is {:.1} mm², the; at j_l = Q/A = {water:.4} m/s",
            1e6 * area(small.bore)
        ),
        "area is 314.2 mm², the; at j_l = Q/A = 0.0663 m/s"
    );
    let head = 1e3 * water * water / (2.0 * G);
    assert_eq!(
        format!(
            "j_l^2/2g, is {head:.1} mm. the {:.0} mm of lift",
            1e3 * small.lift
        ),
        "j_l^2/2g, is 0.2 mm. the 30 mm of lift"
    );
    // Laminar, and of both phases.
    let friction = 64.0 / (DENSITY * water * small.bore / 1.125e-3) * long / small.bore
        * (1.0 + small.gas() / water)
        * head;
    assert!(friction < 0.5);
    assert_eq!(format!("L = S + H = {long} m"), "L = S + H = 0.48 m");
    let (most, longest) = (
        risewater::DevelopingLength::MOST_BORES,
        risewater::DevelopingLength::LONGEST_M,
    );
    assert_eq!(
        format!("It is {most} bores but at most {longest} m. Then"),
        "It is 8 bores but at most 0.2 m. Then"
    );
    let length = developing(small.bore);
    assert_eq!(
        format!(
            "ell is {length} m. Then e^{{ -L/ell }} = e^{{ -{:.0} }} = {:.4}, the bracket takes {:.3} m off",
            long / length,
            (-long / length).exp(),
            unspread(small.bore, long)
        ),
        "ell is 0.16 m. Then e^{ -L/ell } = e^{ -3 } = 0.0498, the bracket takes 0.152 m off",
    );
    assert_eq!(
        format!(
            "alpha frac{{ {} }}{{ {long} - {:.3} }} = {:.3}",
            small.lift,
            unspread(small.bore, long),
            small.void()
        ),
        "alpha frac{ 0.03 }{ 0.48 - 0.152 } = 0.091",
    );
    let root = 0.35 * (G * small.bore * (1.0 - small.void())).sqrt();
    assert_eq!(
        format!(
            "root term is {root:.3} m/s, and j_g comes to {:.4} m/s. that is {:.2} L/min of air, at",
            small.gas(),
            small.gas() * area(small.bore) * 60e3
        ),
        "root term is 0.148 m/s, and j_g comes to 0.0234 m/s. that is 0.44 L/min of air, at",
    );
    assert_eq!(
        format!("rho g S = {:.1} mathrm{{ kPa }}", small.mean_kpa()),
        "rho g S = 103.5 mathrm{ kPa }"
    );
    assert_eq!(
        format!("mathrm{{ K }}{{ T }} = {:.3} j_g A", small.factor()),
        "mathrm{ K }{ T } = 1.008 j_g A"
    );

    let row = |words: &str, digits: usize, value: &dyn Fn(&Lift) -> f64| {
        let values = [20.0, 25.0, 32.0].map(|bore| format!("{:.digits$}", value(&Lift::of(bore))));
        format!("{words} | {} |", values.join(" | "))
    };
    assert_eq!(
        row("developing length ell, m", 3, &|lift| developing(lift.bore)),
        "developing length ell, m | 0.160 | 0.200 | 0.200 |"
    );
    assert_eq!(
        row("-L/ ell, m", 3, &|lift| unspread(lift.bore, long)),
        "-L/ ell, m | 0.152 | 0.182 | 0.182 |"
    );
    assert_eq!(
        row("void alpha", 3, &Lift::void),
        "void alpha | 0.091 | 0.101 | 0.101 |"
    );
    assert_eq!(
        row("area A, mm²", 1, &|lift| 1e6 * area(lift.bore)),
        "area A, mm² | 314.2 | 490.9 | 804.2 |"
    );
    assert_eq!(
        row("water j_l, m/s", 4, &Lift::water),
        "water j_l, m/s | 0.0663 | 0.0424 | 0.0259 |"
    );
    assert_eq!(
        row("air j_g, m/s", 4, &Lift::gas),
        "air j_g, m/s | 0.0234 | 0.0246 | 0.0248 |"
    );
    assert_eq!(
        row("air, L/min", 2, &Lift::air),
        "air, L/min | 0.44 | 0.73 | 1.21 |"
    );

    let (still, wide) = (small.still(), Lift::of(32.0));
    assert_eq!(
        format!("that gives {:.2} L/min, two thirds of", still.air()),
        "that gives 0.29 L/min, two thirds of"
    );
    assert!((still.air() / small.air() - 2.0 / 3.0).abs() < 0.03);
    let threshold = wide.still().air();
    assert_eq!(
        format!(
            "pipe of {:.0} mm it gives {threshold:.2} L/min, which is {:.0} % of its air",
            1e3 * wide.bore,
            100.0 * threshold / wide.air()
        ),
        "pipe of 32 mm it gives 1.03 L/min, which is 86 % of its air",
    );
    assert_eq!(
        format!("the hand found {:.2}. The hand", small.air()),
        "the hand found 0.44. The hand"
    );

    let above = DENSITY * G * small.submergence / 1e3 / ATMOSPHERE_KPA;
    assert_eq!(
        format!(
            "of water: {:.1} % of the atmosphere. At",
            100.0 * (1.0 + above)
        ),
        "of water: 104.5 % of the atmosphere. At"
    );
    assert_eq!(
        format!("at most, {:.1} % total gas", 100.0 * (1.0 + above / 2.0)),
        "at most, 102.2 % total gas"
    );
    let screen = 100.0;
    let creep = |l_min: f64| 1e3 * l_min / 60e3 / (screen * 1e-4);
    assert_eq!(
        format!(
            "Through {screen} cm² of screen the water creeps at {:.1} mm/s",
            creep(each)
        ),
        "Through 100 cm² of screen the water creeps at 2.1 mm/s"
    );

    // The exercises.
    let longer = 3.0 / hours;
    let slow = each / longer;
    assert_eq!(
        format!(
            "screen of {screen} cm²? Answer. So Q = {each}/{longer}, which is {slow:.2} L/min. Through the screen: {slow:.2}/{:.0} litres a second over {screen} cm² is {:.1} mm/s",
            minutes / hours,
            creep(slow)
        ),
        "screen of 100 cm²? Answer. So Q = 1.25/1.5, which is 0.83 L/min. Through the screen: 0.83/60 litres a second over 100 cm² is 1.4 mm/s",
    );
    let deep = Lift {
        submergence: 0.6,
        ..Lift::of(20.0)
    };
    let long = deep.submergence + deep.lift;
    assert_eq!(
        format!(
            "go in {:.2} m below the level. pipe of {:.0} mm then take for {} L/min, by",
            deep.submergence,
            1e3 * deep.bore,
            deep.l_min
        ),
        "go in 0.60 m below the level. pipe of 20 mm then take for 1.25 L/min, by",
    );
    assert_eq!(
        format!(
            "L is {long:.2} m and -L/ ell is {:.3} m, so alpha = {}/{:.3} = {:.3}. The law of slip gives j_g = {:.4} m/s",
            unspread(deep.bore, long),
            deep.lift,
            deep.spread(),
            deep.void(),
            deep.gas()
        ),
        "L is 0.63 m and -L/ ell is 0.157 m, so alpha = 0.03/0.473 = 0.063. The law of slip gives j_g = 0.0158 m/s",
    );
    assert_eq!(
        format!(
            "is now {:.1} kPa. That takes {:.2} L/min of air, a third",
            deep.mean_kpa(),
            deep.air()
        ),
        "is now 104.2 kPa. That takes 0.30 L/min of air, a third"
    );
    let low = Lift {
        submergence: 0.44,
        lift: 0.04,
        ..Lift::of(20.0)
    };
    assert_eq!(
        format!("falls by {:.0} mm, and", 1e3 * (low.lift - small.lift)),
        "falls by 10 mm, and"
    );
    assert_eq!(
        format!(
            "S = {} m and H = {} m, while L is as before. So alpha = {}/{:.3} = {:.3}, a third",
            low.submergence,
            low.lift,
            low.lift,
            low.spread(),
            low.void()
        ),
        "S = 0.44 m and H = 0.04 m, while L is as before. So alpha = 0.04/0.328 = 0.122, a third",
    );
    let start = low.still();
    assert_eq!(
        format!(
            "j_g = {:.4} m/s, which is {:.2} L/min. Since",
            start.gas(),
            start.air()
        ),
        "j_g = 0.0208 m/s, which is 0.39 L/min. Since"
    );
}

#[test]
fn narrow_tubes() {
    let row = |mm: f64| {
        let bore = mm / 1e3;
        let sigma = TENSION / (DENSITY * G * bore * bore);
        let bracket = 1.0 - 3.18 * sigma - 14.77 * sigma * sigma;
        let rise = 0.352 * bracket * (G * bore).sqrt();
        format!("| {mm} mm | {sigma:.3} | {bracket:.2} | {rise:.2} m/s |")
    };
    assert_eq!(row(8.0), "| 8 mm | 0.115 | 0.44 | 0.04 m/s |");
    assert_eq!(row(12.0), "| 12 mm | 0.051 | 0.80 | 0.10 m/s |");
    assert_eq!(row(20.0), "| 20 mm | 0.018 | 0.94 | 0.15 m/s |");
    assert_eq!(row(32.0), "| 32 mm | 0.007 | 0.98 | 0.19 m/s |");
    let small = Lift::of(20.0);
    assert_eq!(
        format!("At {:.0} mm surface", 1e3 * small.bore),
        "At 20 mm surface"
    );
}

#[test]
fn tables_of_the_library() {
    let text = file(TOML);
    let riser = |changes: &[String]| design(&text, changes).riser().unwrap();
    let percent_less = 10.0;
    let row = |mm: f64| {
        let riser = riser(&[format!("riser.bore={mm} mm")]);
        let air = riser.air_for(of_l_min(1.25)).unwrap().air;
        let start = riser.threshold().unwrap().unwrap();
        let less =
            AirFlow::from_dry_mass((1.0 - percent_less / 100.0) * air.dry_mass_rate()).unwrap();
        let water = riser.operate(less).unwrap().water_flow();
        format!(
            "| {mm} | {:.2} | {:.2} | {:.2} |",
            counted(air),
            counted(start),
            l_min(water)
        )
    };
    assert_eq!(row(20.0), "| 20 | 0.49 | 0.31 | 0.87 |");
    assert_eq!(row(25.0), "| 25 | 0.79 | 0.60 | 0.68 |");
    assert_eq!(row(32.0), "| 32 | 1.27 | 1.09 | 0.32 |");
    assert_eq!(
        format!("with {percent_less} % less air, L/min"),
        "with 10 % less air, L/min"
    );

    let air = design(&text, &[]).air().unwrap();
    // What the level falls by, what the inlet rises by, and growth on the wall, all in mm.
    let water = |level: f64, inlet: f64, growth: f64| {
        let riser = riser(&[
            format!("riser.submergence={} mm", 450.0 - level - inlet),
            format!("riser.lift={} mm", 30.0 + level),
            format!("riser.lost_bore={} mm", 2.0 * growth),
        ]);
        l_min(riser.operate(air).unwrap().water_flow())
    };
    let (level, inlet, growth) = (10.0, 100.0, 2.0);
    assert_eq!(
        format!("none | {:.2} | level", water(0.0, 0.0, 0.0)),
        "none | 1.32 | level"
    );
    assert_eq!(
        format!("lower by {level} mm | {:.2} |", water(level, 0.0, 0.0)),
        "lower by 10 mm | 0.29 |"
    );
    assert_eq!(
        format!("says {:.2} L/min of water", water(level, 0.0, 0.0)),
        "says 0.29 L/min of water"
    );
    assert_eq!(
        format!("higher by {level} mm | {:.2} |", water(-level, 0.0, 0.0)),
        "higher by 10 mm | 2.84 |"
    );
    assert_eq!(
        format!(
            "higher by {} m | {:.2} |",
            inlet / 1e3,
            water(0.0, inlet, 0.0)
        ),
        "higher by 0.1 m | 0.18 |"
    );
    assert_eq!(
        format!(
            "growth {growth} mm thick, all round | {:.2} |",
            water(0.0, 0.0, growth)
        ),
        "growth 2 mm thick, all round | 2.20 |"
    );
    let itself = riser(&[]).operate(air).unwrap().water_flow();
    assert!((l_min(itself) - water(0.0, 0.0, 0.0)).abs() < 1e-9);

    let tool = counted(riser(&[]).air_for(of_l_min(1.25)).unwrap().air);
    assert_eq!(
        format!("tool wants {tool:.2} L/min where"),
        "tool wants 0.49 L/min where"
    );
    let set = "riser.submergence=0.6 m".to_owned();
    let deep = counted(
        riser(std::slice::from_ref(&set))
            .air_for(of_l_min(1.25))
            .unwrap()
            .air,
    );
    assert_eq!(
        format!("{set}, says {deep:.2} L/min"),
        "riser.submergence=0.6 m, says 0.33 L/min"
    );
}
