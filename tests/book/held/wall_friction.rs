use risewater::friction::Friction;
use risewater::riser::Riser;
use risewater::slip::Slip;
use risewater::units::*;
use risewater::{Curve, Model};

use super::assert_says;
use super::column::{
    G, MU, RHO, bench, flow, gas_superficial, half_depth, riser, section, superficial, water,
};

/// Blasius' rule: Reynolds number, its fourth root, factor, friction in Pa/m.
fn blasius(j_l: f64, j: f64, bore: f64) -> [f64; 4] {
    let reynolds = RHO * j_l * bore / MU;
    let root = reynolds.powf(0.25);
    let factor = 0.316 / root;
    [
        reynolds,
        root,
        factor,
        factor * RHO * j_l * j / (2.0 * bore),
    ]
}

/// Thousands and hundreds, as the pages set apart.
fn apart(value: f64) -> (f64, f64) {
    let rounded = (value / 100.0).round();
    ((rounded / 10.0).floor(), 100.0 * (rounded % 10.0))
}

#[test]
fn by_hand() {
    let (j_l, j, bore, length): (f64, f64, f64, f64) = (0.495, 0.826, 0.05, 1.25);
    let at_20 = bench().site().water;
    assert_eq!(at_20, water(20.0));
    let found = superficial(flow(&bench(), 40.0), bore);
    let air = gas_superficial(40.0, bore, half_depth(1.0));
    assert_says!("$j_l = 0.495$ m/s and $j = 0.826$ m/s", found, found + air);
    assert_says!(
        "at 20 °C has a density of 998.2 kg/m³ and a viscosity of 0.001002 Pa s",
        at_20.temperature().get::<degree_celsius>(),
        at_20.density().value,
        at_20.viscosity().value
    );
    let [reynolds, root, factor, friction] = blasius(j_l, j, bore);
    let (thousands, hundreds) = apart(reynolds);
    assert_says!(
        "$998.2 \\times 0.495 \\times 0.05/0.001002 = 24\\,700$",
        RHO,
        j_l,
        bore,
        MU,
        thousands,
        hundreds
    );
    let (k, by) = (0.316, 2.0);
    assert_says!(
        "root is 12.53, so $f = 0.316/12.53 = 0.0252$",
        root,
        k,
        root,
        factor
    );
    assert_says!(
        "$0.0252 \\times 998.2 \\times 0.495 \\times 0.826/(2 \\times 0.05) = 103$ Pa/m",
        factor,
        RHO,
        j_l,
        j,
        by,
        bore,
        friction
    );
    let head = friction * length / (RHO * G);
    assert_says!(
        "the 1.25 m of riser: $103 \\times 1.25/(998.2 \\times 9.80665) = 0.013$ m",
        length,
        friction,
        length,
        RHO,
        G,
        head
    );
    assert_says!("takes 13 mm of", 1e3 * head);
}

#[test]
fn closures() {
    let (water, bore) = (0.495, 50.0);
    let section = section(bore, water, 0.331);
    let void = Slip::default().void_fraction(&section).unwrap();
    let metre = Length::new::<meter>(1.0);
    let gradient =
        |friction: Friction| (friction.gradient(&section, void).unwrap() * metre).get::<pascal>();
    assert_eq!(Friction::ALL.len(), 3);
    assert_says!("one fluid | 101 Pa/m", gradient(Friction::Homogeneous));
    assert_says!("plugs rub | 108 Pa/m", gradient(Friction::SlugBody));
    let most = gradient(Friction::Friedel1979);
    assert_says!("measurements | 187 Pa/m", most);
    assert_says!("even 187 Pa/m is", most);
    let (least, fast) = (0.0, 3.0);
    assert_says!(
        "from 0 to 3 m/s, with the water at 0.495 m/s in a 50 mm bore",
        least,
        fast,
        water,
        bore
    );
    let share = most * 1.25 / (RHO * G);
    assert!(share > 0.02 && share < 0.025);
}

#[test]
fn widths() {
    let wanted = bench()
        .operate(super::column::air(40.0))
        .unwrap()
        .water_flow();
    assert_says!("to lift 58.3 L/min of", wanted.get::<liter_per_minute>());
    let needs = |mm: f64| {
        let found = riser(mm / 1e3, 1.0, 0.25).air_for(wanted).unwrap();
        [
            mm,
            found.air.volume_rate_at_20_c().get::<liter_per_minute>(),
        ]
    };
    let [[a, b], [c, d], [e, f], [g, h], [i, j]] = [40.0, 45.0, 50.0, 63.0, 80.0].map(needs);
    assert_says!(
        "40 | 52 | 45 | 43 | 50 | 40 | 63 | 42 | 80 | 53",
        a,
        b,
        c,
        d,
        e,
        f,
        g,
        h,
        i,
        j
    );
    let narrow = 35.0;
    let most = Curve::of(&riser(narrow / 1e3, 1.0, 0.25), 4)
        .unwrap()
        .peak
        .water_flow;
    assert_says!("A pipe of 35 mm cannot", narrow);
    assert!(most < wanted);
}

#[test]
fn figures_question() {
    let (rough, wide) = (0.1, 52.0);
    let mut wall = *bench().spec();
    wall.roughness = Length::new::<millimeter>(rough);
    let wall = wall.build(bench().site(), Model::default()).unwrap();
    let wider = riser(wide / 1e3, 1.0, 0.25);
    let (small, large) = (40.0, 150.0);
    let at = |l_min: f64| {
        [
            flow(&bench(), l_min),
            flow(&wall, l_min),
            flow(&wider, l_min),
        ]
    };
    let ([a, b, c], [d, e, f]) = (at(large), at(small));
    assert_says!(
        "At 150 L/min of air the smooth column lifts 115.3 L/min",
        large,
        a
    );
    assert_says!(
        "A wall of 0.1 mm roughness lowers this to 111.9 L/min, and a smooth pipe of 52 mm raises it to 122.7 L/min",
        rough,
        b,
        wide,
        c
    );
    let most = 100.0 * (1.0 - e / d).max(f / d - 1.0);
    assert_says!(
        "At 40 L/min of air neither changes it by more than 1 %",
        small,
        most
    );
}

#[test]
fn exercises() {
    let (air, bore, by, k): (f64, f64, f64, f64) = (80.0, 0.05, 2.0, 0.316);
    let j_l = superficial(flow(&bench(), air), bore);
    let j = j_l + gas_superficial(air, bore, half_depth(1.0));
    assert_says!(
        "gets 80 L/min of air. Then $j_l = 0.781$ m/s and $j = 1.443$ m/s",
        air,
        j_l,
        j
    );
    let [reynolds, root, factor, friction] = blasius(0.781, 1.443, bore);
    let (thousands, hundreds) = apart(reynolds);
    assert_says!(
        "$\\mathrm{Re} = 998.2 \\times 0.781 \\times 0.05/0.001002 = 38\\,900$, its fourth root is 14.04, and $f = 0.0225$",
        RHO,
        j_l,
        bore,
        MU,
        thousands,
        hundreds,
        root,
        factor
    );
    assert_says!(
        "$F = 0.0225 \\times 998.2 \\times 0.781 \\times 1.443/(2 \\times 0.05) = 253$ Pa/m",
        factor,
        RHO,
        j_l,
        j,
        by,
        bore,
        friction
    );
    assert!((friction / 103.0 - 2.5).abs() < 0.1);

    let (bore, length) = (0.04, 1.25);
    let narrow = riser(bore, 1.0, 0.25);
    let wanted = bench()
        .operate(super::column::air(40.0))
        .unwrap()
        .water_flow();
    let air = narrow
        .air_for(wanted)
        .unwrap()
        .air
        .volume_rate_at_20_c()
        .get::<liter_per_minute>();
    let carried = wanted.get::<liter_per_minute>();
    assert_says!(
        "In a 40 mm pipe the water of the bench column, 58.3 L/min, needs 52 L/min of",
        1e3 * bore,
        carried,
        air
    );
    let j_l = superficial(carried, bore);
    let j = j_l + gas_superficial(air, bore, half_depth(1.0));
    assert_says!("riser of 1.25 m as", length);
    assert_says!("$j_l = 0.773$ m/s and $j = 1.446$ m/s. By", j_l, j);
    let [reynolds, root, factor, friction] = blasius(j_l, j, bore);
    let (thousands, hundreds) = apart(reynolds);
    assert_says!(
        "$\\mathrm{Re} = 998.2 \\times 0.773 \\times 0.04/0.001002 = 30\\,800$, $f = 0.316/13.25 = 0.0239$ and",
        RHO,
        j_l,
        bore,
        MU,
        thousands,
        hundreds,
        k,
        root,
        factor
    );
    assert_says!(
        "$F = 0.0239 \\times 998.2 \\times 0.773 \\times 1.446/(2 \\times 0.04) = 333$ Pa/m",
        factor,
        RHO,
        j_l,
        j,
        by,
        bore,
        friction
    );
    let head = friction * length / (RHO * G);
    assert_says!(
        "$333 \\times 1.25/(998.2 \\times 9.80665) = 0.042$ m",
        friction,
        length,
        RHO,
        G,
        head
    );
    let wide = blasius(0.495, 0.826, 0.05)[3] * length / (RHO * G);
    assert_says!("the 50 mm pipe, 13 mm", 50.0 * wide / wide, 1e3 * wide);
    assert_says!("costs 29 mm of", 1e3 * (head - wide));

    let of = |riser: &Riser| [flow(riser, 40.0), flow(riser, 160.0)];
    let (rough, lost) = (0.1, 2.0);
    let (mut wall, mut fouled) = (*bench().spec(), *bench().spec());
    wall.roughness = Length::new::<millimeter>(rough);
    fouled.lost_bore = Length::new::<millimeter>(lost);
    let [wall, fouled] =
        [wall, fouled].map(|spec| spec.build(bench().site(), Model::default()).unwrap());
    let ([a, b], [c, d], [e, f]) = (of(&bench()), of(&wall), of(&fouled));
    let (small, large) = (40.0, 160.0);
    assert_says!(
        "wall of 0.1 mm roughness. Then make the wall smooth again and the bore 2 mm narrower",
        rough,
        lost
    );
    assert_says!("at 40 L/min of air, and which at 160 L/min", small, large);
    assert_says!(
        "water at 40 L/min, L/min | water at 160 L/min, L/min | clean | 58.3 | 117.0",
        small,
        large,
        a,
        b
    );
    assert_says!("wall of 0.1 mm roughness | 57.7 | 113.5", rough, c, d);
    assert_says!("2 mm of bore lost | 57.5 | 109.1", lost, e, f);
}
