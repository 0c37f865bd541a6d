use risewater::Model;
use risewater::friction::Friction;
use risewater::slip::Slip;
use risewater::units::*;

use super::assert_says;
use super::column::{
    G, P_A, P_V, RHO, area, bench, drift, flow, gas_superficial, half_depth, section, superficial,
    void,
};

/// Nicklin's constants, as the page has them.
const C_0: f64 = 1.2;
const V_D: f64 = 0.35;

#[test]
fn by_hand() {
    let (air, water, bore): (f64, f64, f64) = (40.0, flow(&bench(), 40.0), 0.05);
    assert_says!("gets 40 L/min of air and lifts 58.3 L/min of", air, water);
    let celsius = bench().site().water.temperature().get::<degree_celsius>();
    assert_says!(
        "bore 50 mm, 40 L/min of air counted dry at 20 °C and 101.325 kPa, 58.3 L/min of water at 20 °C",
        1e3 * bore,
        air,
        celsius,
        P_A,
        water,
        celsius
    );
    let (half, kilo) = (0.5, 1000.0);
    let middle = P_A + RHO * G * half / kilo;
    assert_says!(
        "$101.325 + 998.2 \\times 9.80665 \\times 0.5/1000 = 106.22$ kPa",
        P_A,
        RHO,
        G,
        half,
        kilo,
        middle
    );
    assert_eq!(middle, half_depth(2.0 * half));
    assert!((bench().site().water.vapour_pressure().get::<kilopascal>() - P_V).abs() < 0.005);
    assert_says!(
        "at 20 °C has 2.34 kPa. The air has the rest, 103.88 kPa",
        celsius,
        P_V,
        middle - P_V
    );
    let there = air * P_A / (middle - P_V);
    assert_says!(
        "$40 \\times 101.325/103.88 = 39.0$ L/min",
        air,
        P_A,
        middle - P_V,
        there
    );
    let (j_g, j_l) = (superficial(there, bore), superficial(water, bore));
    assert_says!(
        "an area of 0.001963 m². So $j_g = 0.331$ m/s, $j_l = 0.495$ m/s and $j = 0.826$ m/s",
        area(bore),
        j_g,
        j_l,
        j_g + j_l
    );
    let lone = V_D * (G * bore).sqrt();
    assert_eq!(lone, drift(bore));
    assert_says!(
        "$0.35\\sqrt{9.80665 \\times 0.05} = 0.245$ m/s",
        V_D,
        G,
        bore,
        lone
    );
    let tried: f64 = 0.3;
    let slowed = lone * (1.0 - tried).sqrt();
    let first = void(j_g, j_l, lone, tried);
    assert_says!(
        "With $\\alpha = 0.3$ the drift is $0.245\\sqrt{0.7} = 0.205$ m/s",
        tried,
        lone,
        1.0 - tried,
        slowed
    );
    assert_says!(
        "$\\alpha = 0.331/(1.2 \\times 0.826 + 0.205) = 0.277$. Put",
        j_g,
        C_0,
        j_g + j_l,
        slowed,
        first
    );
    let next = void(j_g, j_l, lone, first);
    assert_says!("right: $\\alpha = 0.276$. Further", next);
    assert!((void(j_g, j_l, lone, next) - next).abs() < 0.0005);
    assert_says!("only 28 % of", 100.0 * next);
    let without = j_g / (j_g + j_l);
    assert_says!("be $0.331/0.826 = 0.40$. Slip", j_g, j_g + j_l, without);
    // The same speed at the atmosphere's pressure.
    assert_says!("speed, 40 % of", 100.0 * without);
}

#[test]
fn closures() {
    let (bore, water, air) = (50.0, 0.495, 0.331);
    let section = section(bore, water, air);
    let void = |slip: Slip| slip.void_fraction(&section).unwrap().get::<ratio>();
    assert_says!(
        "cross-section, 0.495 m/s of water and 0.331 m/s of air in a 50 mm bore",
        water,
        air,
        bore
    );
    assert_says!("all patterns | 0.275", void(Slip::BhagwatGhajar2014));
    assert_says!("| long bubbles | 0.268", void(Slip::Nicklin1962));
    assert_says!("in narrow pipes | 0.268", void(Slip::Reinemann1990));
    assert_says!("wide pipes | 0.260", void(Slip::KataokaIshii1987));
    assert_says!("fine bubbles | 0.276", void(Slip::Bubbly));
    assert_says!("little submergence | 0.291", void(Slip::SmithDrift));
    assert_eq!(Slip::ALL.len(), 6);
    let riser = bench();
    let dimensions = riser.spec().dimensions;
    let length = dimensions.submergence + dimensions.lift;
    assert_says!(
        "column is 1.25 m high, so a hundredth of void is 12.5 mm of",
        length.get::<meter>(),
        0.01 * length.get::<millimeter>()
    );
    let budget = riser.budget(&super::column::point(&riser, 40.0));
    assert_says!(
        "only 42 mm",
        (budget.friction + budget.entrance + budget.speed).get::<millimeter>()
    );
    let (least, most) = (0.0, 3.0);
    assert_says!(
        "from 0 to 3 m/s, with the water at 0.495 m/s in a 50 mm bore",
        least,
        most,
        water,
        bore
    );
}

#[test]
fn figures_question() {
    let given = 40.0;
    let at = |&slip: &Slip| {
        let riser = bench()
            .with_model(Model::new(slip, Friction::default()))
            .unwrap();
        let top = super::column::point(&riser, given).top;
        [flow(&riser, given), top.void_fraction.get::<ratio>()]
    };
    let all: Vec<[f64; 2]> = Slip::ALL.iter().map(at).collect();
    let least = |n: usize| all.iter().map(|one| one[n]).fold(f64::MAX, f64::min);
    let most = |n: usize| all.iter().map(|one| one[n]).fold(0.0, f64::max);
    assert_says!("from 53.7 to 62.4 L/min of", least(0), most(0));
    let range = (most(0) - least(0)) / flow(&bench(), given);
    assert!((range * 7.0 - 1.0).abs() < 0.1, "a seventh: {range}");
    assert_says!("between 0.279 and 0.290", least(1), most(1));
}

#[test]
fn exercises() {
    let (wide, narrow): (f64, f64) = (0.1, 0.025);
    assert_says!(
        "in a pipe of 100 mm, by Nicklin? How fast in one of 25 mm",
        1e3 * wide,
        1e3 * narrow
    );
    assert_says!(
        "$0.35\\sqrt{9.80665\\times 0.1} = 0.347$ m/s, and $0.35\\sqrt{9.80665\\times 0.025} = 0.173$ m/s",
        V_D,
        G,
        wide,
        drift(wide),
        V_D,
        G,
        narrow,
        drift(narrow)
    );

    let (air, bore) = (80.0, 0.05);
    let water = flow(&bench(), air);
    assert_says!("air, 80 L/min, and then lifts 92.0 L/min", air, water);
    let middle = half_depth(1.0);
    let (j_g, j_l, lone) = (
        gas_superficial(air, bore, middle),
        superficial(water, bore),
        drift(bore),
    );
    assert_says!(
        "was, 0.662 m/s. The water has $j_l = 0.781$ m/s, so $j = 1.443$ m/s. Try",
        j_g,
        j_l,
        j_g + j_l
    );
    let tried: f64 = 0.35;
    let slowed = lone * (1.0 - tried).sqrt();
    let found = void(j_g, j_l, lone, tried);
    assert_says!("Try $\\alpha = 0.35$ on", tried);
    assert_says!(
        "$0.245\\sqrt{0.65} = 0.198$ m/s, and $\\alpha = 0.662/(1.2\\times 1.443 + 0.198) = 0.343$. Twice",
        lone,
        1.0 - tried,
        slowed,
        j_g,
        C_0,
        j_g + j_l,
        slowed,
        found
    );
    let before = {
        let (j_g, j_l) = (
            gas_superficial(40.0, bore, middle),
            superficial(flow(&bench(), 40.0), bore),
        );
        void(j_g, j_l, lone, 0.276)
    };
    assert_says!("from 0.276 to 0.343", before, found);

    let (air, water, bore): (f64, f64, f64) = (40.0, flow(&bench(), 40.0), 0.08);
    assert_says!(
        "A pipe of 80 mm gets the same 40 L/min of air at the same depth and lifts the same 58.3 L/min of",
        1e3 * bore,
        air,
        water
    );
    let (j_g, j_l) = (gas_superficial(air, bore, middle), superficial(water, bore));
    assert_says!(
        "area is 0.005027 m², so $j_g = 0.129$ m/s, $j_l = 0.193$ m/s and $j = 0.323$ m/s",
        area(bore),
        j_g,
        j_l,
        j_g + j_l
    );
    assert_says!(
        "$0.35\\sqrt{9.80665\\times 0.08} = 0.310$ m/s",
        V_D,
        G,
        bore,
        drift(bore)
    );
    let tried: f64 = 0.2;
    let slowed = drift(bore) * (1.0 - tried).sqrt();
    let wide = void(j_g, j_l, drift(bore), tried);
    assert_says!(
        "Try $\\alpha = 0.2$: the drift is $0.310\\sqrt{0.8} = 0.277$ m/s",
        tried,
        drift(bore),
        1.0 - tried,
        slowed
    );
    assert_says!(
        "$\\alpha = 0.129/(1.2\\times 0.323 + 0.277) = 0.195$",
        j_g,
        C_0,
        j_g + j_l,
        slowed,
        wide
    );
    let by_area = void(j_g, j_l, lone, tried);
    assert_says!(
        "pipe, 0.245 m/s, it would be $0.129/(1.2\\times 0.323 + 0.245\\sqrt{0.8}) = 0.213$",
        lone,
        j_g,
        C_0,
        j_g + j_l,
        lone,
        1.0 - tried,
        by_area
    );
    assert_says!("the fall from 0.276", before);
    let share = (before - by_area) / (before - wide);
    assert!((share - 0.75).abs() < 0.03, "{share}");
}
