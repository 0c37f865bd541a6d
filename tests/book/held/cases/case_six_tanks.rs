use risewater::design::TANKS_EXAMPLE;
use risewater::supply::TanksFound;

use super::*;

/// Of the givens.
const DENSITY: f64 = 999.2;
const ATMOSPHERE_KPA: f64 = 98.47;
const VAPOUR_KPA: f64 = 1.17;
const LINES_KPA: f64 = 1.5;
const EXPONENT: f64 = 1.4;

fn start_kpa(depth: f64) -> f64 {
    DENSITY * G * depth / 1e3
}

fn bracket(rise_kpa: f64) -> f64 {
    (1.0 + rise_kpa / ATMOSPHERE_KPA).powf((EXPONENT - 1.0) / EXPONENT) - 1.0
}

/// Power of a litre a minute of counted air, W, for a bracket of one.
fn of_one() -> f64 {
    EXPONENT / (EXPONENT - 1.0) * 101.325 / 60.0 * ATMOSPHERE_KPA / (ATMOSPHERE_KPA - VAPOUR_KPA)
}

/// The same at a header's pressure.
fn litre(header_kpa: f64) -> f64 {
    of_one() * bracket(header_kpa + LINES_KPA)
}

/// Asks something of the example's search, with changes.
fn search<T>(changes: &[&str], ask: impl Fn(&TanksFound) -> T) -> T {
    let changes: Vec<String> = changes.iter().map(|change| (*change).to_owned()).collect();
    let asked = design(TANKS_EXAMPLE, &changes).tanks_on_header().unwrap();
    ask(&asked.search().unwrap())
}

fn best_power(changes: &[&str]) -> f64 {
    search(changes, |found| {
        found.best().unwrap().adiabatic_power.get::<watt>()
    })
}

fn air_of_set(set: &risewater::supply::TankSet) -> f64 {
    counted(set.air)
}

#[test]
fn givens_are_the_examples() {
    let page = crate::read("book/src/case-six-tanks.md");
    assert!(page.contains(&format!("```toml\n{TANKS_EXAMPLE}```")));
    let duty = |name: &str| {
        TANKS_EXAMPLE
            .split("\n[[duty]]\n")
            .find(|duty| duty.contains(&format!("name = \"{name}\"")))
            .unwrap()
    };
    let row = |name: &str| {
        let value = |key: &str| said(duty(name), key).split(' ').next().unwrap().to_owned();
        format!(
            "| {name} | {} | {} | {} |",
            value("water_flow"),
            value("lift"),
            value("max_submergence")
        )
    };
    assert_eq!(row("larvae"), "| larvae | 40 | 0.08 | 0.5 |");
    assert_eq!(row("fry"), "| fry | 120 | 0.10 | 0.7 |");
    assert_eq!(row("fingerlings"), "| fingerlings | 250 | 0.12 | 0.9 |");
    assert_eq!(row("grow-out"), "| grow-out | 500 | 0.12 | 1.1 |");
    assert_eq!(row("quarantine"), "| quarantine | 60 | 0.15 | 0.8 |");
    let own = |key: &str| said(duty("broodstock"), key);
    let number = |key: &str| own(key).split(' ').next().unwrap().to_owned();
    assert_eq!(
        format!(
            "broodstock | {}, also with the level {} lower | {} | {} |",
            number("water_flow"),
            own("level_fall"),
            number("lift"),
            number("max_submergence")
        ),
        "broodstock | 150, also with the level 100 mm lower | 0.50 | 1.8 |",
    );
    assert_eq!(
        format!("with the level {} lower, and", own("level_fall")),
        "with the level 100 mm lower, and"
    );
    let design = design(TANKS_EXAMPLE, &[]);
    let site = design.site().unwrap();
    assert_eq!(
        format!(
            "water ({}), rho | {:.1} kg/m³ | pressure of the atmosphere ({}), p_a | {:.2} kPa",
            said(TANKS_EXAMPLE, "temperature"),
            site.water.density().value,
            said(TANKS_EXAMPLE, "altitude"),
            site.atmosphere.get::<kilopascal>()
        ),
        "water (14 °C), rho | 999.2 kg/m³ | pressure of the atmosphere (240 m), p_a | 98.47 kPa",
    );
    assert!(
        (site.water.density().value - DENSITY).abs() < 0.05
            && (site.atmosphere.get::<kilopascal>() - ATMOSPHERE_KPA).abs() < 0.01
    );
    let counted = AirState::DRY_20_C;
    assert_eq!(
        format!(
            "fall, g | {G} m/s² | air is counted dry, at | {:.2} K and {:.3} kPa",
            counted.temperature.get::<kelvin>(),
            counted.pressure.get::<kilopascal>()
        ),
        "fall, g | 9.807 m/s² | air is counted dry, at | 293.15 K and 101.325 kPa"
    );
    let asked = design.tanks_on_header().unwrap();
    let intake = asked.air_side.intake;
    let vapour = intake.humidity.value * water(20.0, 0.0).vapour_pressure().get::<kilopascal>();
    assert_eq!(
        format!(
            "intake | {:.0} °C, half saturated: {vapour:.2} kPa of",
            intake.temperature.get::<kelvin>() - 273.15
        ),
        "intake | 20 °C, half saturated: 1.17 kPa of"
    );
    assert!((vapour - VAPOUR_KPA).abs() < 0.005);
    let loss = said(TANKS_EXAMPLE, "supply_loss");
    assert_eq!(
        format!("take | {loss}, the; pressure plus {loss} for"),
        "take | 1.5 kPa, the; pressure plus 1.5 kPa for"
    );
    assert_eq!(loss, format!("{LINES_KPA} kPa"));
}

#[test]
fn pressures_and_power() {
    let row = |name: &str, depth: f64| format!("{name} | {depth} | {:.2} |", start_kpa(depth));
    assert_eq!(row("larvae", 0.5), "larvae | 0.5 | 4.90 |");
    assert_eq!(row("fry", 0.7), "fry | 0.7 | 6.86 |");
    assert_eq!(row("fingerlings", 0.9), "fingerlings | 0.9 | 8.82 |");
    assert_eq!(row("grow-out", 1.1), "grow-out | 1.1 | 10.78 |");
    assert_eq!(
        row("deep as grow-out", 1.1),
        "deep as grow-out | 1.1 | 10.78 |"
    );
    assert_eq!(row("deep as it can", 1.8), "deep as it can | 1.8 | 17.64 |");
    assert_eq!(row("quarantine", 0.8), "quarantine | 0.8 | 7.84 |");
    let (exponents, state, vapour) = (
        EXPONENT / (EXPONENT - 1.0),
        101.325 / 60.0,
        ATMOSPHERE_KPA / (ATMOSPHERE_KPA - VAPOUR_KPA),
    );
    assert_eq!(
        format!(
            "bracket give {exponents:.1} cdot {state:.3} cdot {vapour:.3} = {:.3} W. The",
            of_one()
        ),
        "bracket give 3.5 cdot 1.689 cdot 1.012 = 5.982 W. The"
    );
    assert_eq!(
        format!("p_a - {VAPOUR_KPA} mathrm kPa left"),
        "p_a - 1.17 mathrm kPa left"
    );
    let row = |header: f64| {
        format!(
            "| {header:.2} | {:.2} | {:.4} | {:.3} |",
            header + LINES_KPA,
            bracket(header + LINES_KPA),
            litre(header)
        )
    };
    assert_eq!(row(6.86), "| 6.86 | 8.36 | 0.0236 | 0.141 |");
    assert_eq!(row(10.78), "| 10.78 | 12.28 | 0.0341 | 0.204 |");
    assert_eq!(row(17.64), "| 17.64 | 19.14 | 0.0521 | 0.311 |");

    // The exercises.
    let all = search(&[], |found| air_of_set(found.best().unwrap()));
    let deeper = 1.5;
    let at = start_kpa(deeper);
    assert_eq!(
        format!("inlet {deeper} m down. Which; would the {all:.1} L/min of"),
        "inlet 1.5 m down. Which; would the 623.0 L/min of"
    );
    assert_eq!(
        format!(
            "rho g S is {at:.2} kPa, so the rise is {:.2} kPa, the bracket {:.4}, and w is {:.3} W. The six would cost {:.0} W in place of {:.0} W",
            at + LINES_KPA,
            bracket(at + LINES_KPA),
            litre(at),
            all * litre(at),
            all * litre(start_kpa(1.1))
        ),
        "rho g S is 14.70 kPa, so the rise is 16.20 kPa, the bracket 0.0445, and w is 0.266 W. The six would cost 166 W in place of 127 W",
    );
}

#[test]
fn the_search() {
    search(&[], |found| {
        let best = found.best().unwrap();
        let air = |set: &risewater::supply::TankSet, tank: usize| {
            l_min(found.design(&set.members[tank]).air_flow_total_at_20_c())
        };
        let others: f64 = [0, 1, 2, 3, 5].map(|tank| air(best, tank)).iter().sum();
        assert_eq!(
            format!("other tanks take {others:.1} L/min at"),
            "other tanks take 363.0 L/min at"
        );
        let row = |depth: f64| {
            let set = found
                .sets
                .iter()
                .find(|set| (set.header.get::<kilopascal>() - start_kpa(depth)).abs() < 0.05)
                .unwrap();
            let kept: f64 = [0, 1, 2, 3, 5].map(|tank| air(set, tank)).iter().sum();
            assert!((kept - others).abs() < 0.1);
            let power = set.adiabatic_power.get::<watt>();
            assert!((air_of_set(set) * litre(start_kpa(depth)) / power - 1.0).abs() < 1e-3);
            format!(
                "| {depth} | {:.1} | {:.1} | {:.2} | {power:.1} |",
                air(set, 4),
                air_of_set(set),
                set.header.get::<kilopascal>()
            )
        };
        assert_eq!(row(1.1), "| 1.1 | 260.0 | 623.0 | 10.78 | 127.3 |");
        assert_eq!(row(1.2), "| 1.2 | 225.9 | 588.9 | 11.76 | 129.5 |");
        assert_eq!(row(1.4), "| 1.4 | 178.4 | 541.4 | 13.72 | 135.7 |");
        assert_eq!(row(1.8), "| 1.8 | 126.4 | 489.4 | 17.64 | 152.4 |");

        let mut lost = 0.0;
        let mut row = |name: &str, tank: usize, depth: f64| {
            let air = air(best, tank);
            let (own, here) = (air * litre(start_kpa(depth)), air * litre(start_kpa(1.1)));
            lost += here - own;
            format!(
                "{name} | {air:.2} | {own:.2} | {here:.2} | {:.2} |",
                here - own
            )
        };
        assert_eq!(
            row("larvae", 0, 0.5),
            "larvae | 23.75 | 2.58 | 4.85 | 2.27 |"
        );
        assert_eq!(row("fry", 1, 0.7), "fry | 54.82 | 7.72 | 11.20 | 3.47 |");
        assert_eq!(
            row("fingerlings", 2, 0.9),
            "fingerlings | 97.38 | 16.82 | 19.89 | 3.07 |"
        );
        assert_eq!(
            row("quarantine", 5, 0.8),
            "quarantine | 32.52 | 5.10 | 6.64 | 1.54 |"
        );
        assert!((lost - 10.0).abs() < 0.5);
        let power = best.adiabatic_power.get::<watt>();
        let lifts = best.lifts;
        assert_eq!(
            format!("ten watts of {power:.0}. The tool"),
            "ten watts of 127. The tool"
        );
        assert_eq!(
            format!(
                "**{lifts} lifts on a header that holds {:.2} kPa:** the lifts of the table below, for {power:.1} W at",
                best.header.get::<kilopascal>()
            ),
            "**26 lifts on a header that holds 10.78 kPa:** the lifts of the table below, for 127.3 W at",
        );
        let depth = found.design(&best.members[4]).submergence.get::<meter>();
        let could = start_kpa(1.8);
        let deepest = could * 1e3 / (DENSITY * G);
        assert!((could - 17.64).abs() < 0.01);
        assert_eq!(
            format!("injects {depth} m deep, and not {deepest:.1} m. -"),
            "injects 1.1 m deep, and not 1.8 m. -"
        );
        let two = found
            .two_blowers(best)
            .unwrap()
            .unwrap()
            .adiabatic_power()
            .get::<watt>();
        assert_eq!(
            format!("take {two:.1} W, {:.0} % less", 100.0 * (1.0 - two / power)),
            "take 118.7 W, 7 % less"
        );
        let alone: Vec<f64> = found
            .alone()
            .unwrap()
            .unwrap()
            .iter()
            .map(|own| own.adiabatic_power.get::<watt>())
            .collect();
        assert!((alone[1] - 7.72).abs() < 0.01);

        // What valves take as the lifts run, and sets with less depth.
        let at = |kpa: f64| {
            found
                .sets
                .iter()
                .find(|set| (set.header.get::<kilopascal>() - kpa).abs() < 0.01)
                .unwrap()
        };
        let (less, least) = (1.0, 0.7);
        let [a, b] = [less, least].map(|depth| at(start_kpa(depth)).adiabatic_power.get::<watt>());
        assert_eq!(
            format!("at {less:.1} m the power is {a:.1} W. At {least} m it is {b:.1} W"),
            "at 1.0 m the power is 130.1 W. At 0.7 m it is 173.3 W"
        );
        let shallow = 0.9;
        let set = at(start_kpa(shallow));
        let (all, power) = (air_of_set(set), set.adiabatic_power.get::<watt>());
        assert_eq!(
            format!("deeper than {shallow} m. Then the search finds {all:.1} L/min of"),
            "deeper than 0.9 m. Then the search finds 786.0 L/min of"
        );
        assert_eq!(
            format!(
                "header holds {:.2} kPa, w is {:.3} W, and the power is {power:.1} W. Each",
                start_kpa(shallow),
                litre(start_kpa(shallow))
            ),
            "header holds 8.82 kPa, w is 0.173 W, and the power is 135.8 W. Each"
        );
        assert!((all * litre(start_kpa(shallow)) / power - 1.0).abs() < 1e-3);
        let quarantine = air(best, 5);
        let [own, here] = [0.8, 1.1].map(|depth| litre(start_kpa(depth)));
        assert_eq!(
            format!(
                "rise is {:.2} + {LINES_KPA} = {:.2} kPa, so w is {own:.3} W and its {quarantine:.2} L/min cost {:.2} W. On the header they cost {:.2} W, which. So {:.2} W are",
                start_kpa(0.8),
                start_kpa(0.8) + LINES_KPA,
                quarantine * own,
                quarantine * here,
                quarantine * (here - own)
            ),
            "rise is 7.84 + 1.5 = 9.34 kPa, so w is 0.157 W and its 32.52 L/min cost 5.10 W. On the header they cost 6.64 W, which. So 1.54 W are",
        );
    });
    let answer = {
        let asked = design(TANKS_EXAMPLE, &[]).tanks_on_header().unwrap();
        let found = asked.search().unwrap();
        let best = found.best().unwrap();
        risewater::answer::TanksAnswer::of(&found, best, &risewater::answer::Terms::default())
            .unwrap()
    };
    assert_eq!(
        format!("tool says {:.1} W: it", answer.throttled_power_w),
        "tool says 11.9 W: it"
    );
    let more = 3.0;
    assert_eq!(
        format!(
            "demand, {:.1} W are",
            best_power(&["duty.5.at_low_water=false"])
        ),
        "demand, 111.7 W are"
    );
    let tight = best_power(&[&format!("limits.supply_loss={more} kPa")]);
    assert_eq!(
        format!("with {more} kPa instead of {LINES_KPA} kPa the power is {tight:.1} W"),
        "with 3 kPa instead of 1.5 kPa the power is 142.1 W"
    );
}
