use risewater::regime::taitel_1980::{
    BUBBLE_SLUG_VOID_FRACTION, PACKING_VOID_FRACTION, dispersed_bubble_velocity,
    minimum_bubbly_bore,
};
use risewater::regime::{FlowPattern, flow_pattern};
use risewater::slip::Slip;
use risewater::two_phase::TwoPhase;
use risewater::units::*;
use risewater::{Curve, DevelopingLength, Model, OperatingPoint};

use super::assert_says;
use super::column::{
    G, P_A, P_V, RHO, area, bench, drift, flow, gas_superficial, half_depth, point, riser, section,
    superficial, void, water,
};

#[test]
fn rules() {
    let (factor, sigma): (f64, f64) = (19.0, 0.0727);
    let least = factor * (sigma / (RHO * G)).sqrt();
    let fresh = bench().site().water;
    assert!((fresh.surface_tension().get::<newton_per_meter>() - sigma).abs() < 5e-5);
    let celsius = fresh.temperature().get::<degree_celsius>();
    assert_says!("water at 20 °C |", celsius);
    assert_says!("tension of the water | 0.0727 N/m", sigma);
    assert_says!("density of the water | 998.2 kg/m³", RHO);
    assert_says!(
        "D_{min} = 19\\sqrt{0.0727/(998.2\\times 9.80665)} = 0.0518$ m",
        factor,
        sigma,
        RHO,
        G,
        least
    );
    assert_says!("\\quad \\alpha > 0.25", BUBBLE_SLUG_VOID_FRACTION);
    assert_says!("stays below 0.52. In", PACKING_VOID_FRACTION);
    let bore = 50.0;
    assert_says!("is 50 mm wide", bore);
    let at = section(bore, 0.495, 0.331);
    let library = minimum_bubbly_bore(&at).unwrap();
    // The page leaves out the density of the air.
    assert!((library.get::<meter>() - least).abs() < 1e-4 && at.bore < library);
    let fast = dispersed_bubble_velocity(&at).unwrap();
    assert_says!("a mixture of 3.5 m/s", fast.get::<meter_per_second>());
    let speed =
        |p: &OperatingPoint| p.top.gas_superficial_velocity + p.top.liquid_superficial_velocity;
    for point in Curve::of(&bench(), 48).unwrap().points {
        assert_eq!(
            [point.foot.pattern, point.top.pattern],
            [FlowPattern::Slug; 2]
        );
    }
    let peak = bench().peak().unwrap();
    assert!(speed(&peak) > fast);
    assert!(peak.top.void_fraction.get::<ratio>() > PACKING_VOID_FRACTION);
    let mut dispersed = 0;
    for rig in risewater::published::Rig::all() {
        for one in rig.residuals(Model::default()).unwrap() {
            if one.pattern == FlowPattern::Bubbly && one.bore_mm < library.get::<millimeter>() {
                assert!(one.submergence_ratio > 0.69 && one.length_in_bores > 100.0);
                dispersed += 1;
            }
        }
    }
    assert_eq!(dispersed, 2);
}

#[test]
fn four_patterns_in_a_wide_pipe() {
    let pattern = |section: &TwoPhase| {
        flow_pattern(section, Slip::default().void_fraction(section).unwrap()).unwrap()
    };
    let at = |j_g: f64| pattern(&section(80.0, 0.495, j_g));
    assert_eq!(
        [0.05, 0.331, 10.0, 20.0].map(at),
        [
            FlowPattern::Bubbly,
            FlowPattern::Slug,
            FlowPattern::Churn,
            FlowPattern::Annular
        ]
    );
}

#[test]
fn map() {
    let wide = riser(0.08, 1.0, 0.25);
    let bore = wide.spec().dimensions.bore.get::<millimeter>();
    assert_says!("A pipe of 80 mm is", bore);
    assert_says!("in a bore of 80 mm: superficial", bore);
    let curve = Curve::of(&wide, 32).unwrap();
    let start = curve.points[0].top;
    assert_says!(
        "void fraction of 0.246, because",
        start.void_fraction.get::<ratio>()
    );
    assert_eq!(start.pattern, FlowPattern::Bubbly);
    assert_eq!(curve.peak.top.pattern, FlowPattern::Slug);
    // Where it turns to slug flow at the mouth.
    let (mut low, mut high) = (27.0, 200.0);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if point(&wide, middle).top.pattern == FlowPattern::Bubbly {
            low = middle;
        } else {
            high = middle;
        }
    }
    assert_says!("From 51 L/min of", high);
    let beyond = |p: &&OperatingPoint| p.air.volume_rate_at_20_c().get::<liter_per_minute>() > high;
    assert!(
        curve
            .points
            .iter()
            .filter(beyond)
            .all(|p| p.top.pattern == FlowPattern::Slug)
    );
    let twice = 2.0 * DevelopingLength::default().of(wide.spec().dimensions.bore);
    let twice = wide
        .with_model(Model::default().with_developing_length(twice))
        .unwrap();
    let first = Curve::of(&twice, 32).unwrap().points[0].top;
    assert_eq!(first.pattern, FlowPattern::Slug);
    assert_says!("start at 0.29, and", first.void_fraction.get::<ratio>());
}

#[test]
fn figures_question() {
    let least = 1e3 * 19.0 * (0.0727_f64 / (RHO * G)).sqrt();
    assert_says!(
        "$D_{min}$, 51.8 mm, and the void at the top must stay below 0.25",
        least,
        BUBBLE_SLUG_VOID_FRACTION
    );
    // The most air, to 5 L/min, with which the top is bubbly.
    let most = |bore: f64| {
        let column = riser(bore / 1e3, 1.0, 0.25);
        let bubbly = |l_min: &f64| point(&column, *l_min).top.pattern == FlowPattern::Bubbly;
        let air = (5..=60).map(|n| 5.0 * f64::from(n));
        let air = air.filter(|l_min| flow(&column, *l_min) > 0.0);
        air.take_while(bubbly).last().unwrap()
    };
    let (a, b, c) = (60.0, 80.0, 160.0);
    assert_says!("A pipe of 60 mm may get 25 L/min of", a, most(a));
    assert_says!(
        "80 mm 50 L/min, and one of 160 mm 210 L/min",
        b,
        most(b),
        c,
        most(c)
    );
}

#[test]
fn exercises() {
    let cold = water(5.0);
    let (factor, sigma, rho): (f64, f64, f64) = (
        19.0,
        0.0749,
        cold.density().get::<kilogram_per_cubic_meter>(),
    );
    assert!((cold.surface_tension().get::<newton_per_meter>() - sigma).abs() < 5e-5);
    assert_says!(
        "Water at 5 °C has a surface tension of 0.0749 N/m and a density of 1000.0 kg/m³",
        cold.temperature().get::<degree_celsius>(),
        sigma,
        rho
    );
    assert_says!(
        "D_{min} = 19\\sqrt{0.0749/(1000.0\\times 9.80665)} = 0.0525$ m. Cold",
        factor,
        sigma,
        rho,
        G,
        factor * (sigma / (rho * G)).sqrt()
    );

    let (air, carried, bore) = (40.0, flow(&bench(), 40.0), 0.08);
    let middle = half_depth(1.0);
    let (j_g, j_l, lone) = (
        gas_superficial(air, bore, middle),
        superficial(carried, bore),
        drift(bore),
    );
    let found = void(j_g, j_l, lone, 0.2);
    assert_says!(
        "A riser of 80 mm gets 40 L/min of air and carries 58.3 L/min of water. Its void fraction by hand is 0.195",
        1e3 * bore,
        air,
        carried,
        found
    );
    let least = 1e3 * factor * (0.0727 / (RHO * G)).sqrt();
    let limit = BUBBLE_SLUG_VOID_FRACTION;
    assert_says!("than 51.8 mm and the void is below 0.25, so", least, limit);
    let slowed = lone * (1.0 - limit).sqrt();
    let c_0 = 1.2;
    assert_says!(
        "$\\alpha = 0.25$. The drift is then $0.310\\sqrt{0.75} = 0.268$ m/s, and with $j_l = 0.193$ m/s",
        limit,
        lone,
        1.0 - limit,
        slowed,
        j_l
    );
    assert_says!(
        "$0.25\\,(1.2\\,j_g + 1.2 \\times 0.193 + 0.268) = j_g$",
        limit,
        c_0,
        c_0,
        j_l,
        slowed
    );
    let left = 1.0 - limit * c_0;
    let sum = c_0 * j_l + slowed;
    let j_g = limit * sum / left;
    assert_says!(
        "$0.7\\,j_g = 0.25 \\times 0.500$ and $j_g = 0.179$ m/s",
        left,
        limit,
        sum,
        j_g
    );
    let there = j_g * area(bore) * 60e3;
    assert_says!(
        "of 0.005027 m² that is 53.9 L/min at half depth, where the air has 103.88 kPa. Counted at 101.325 kPa it is 55.2 L/min",
        area(bore),
        there,
        middle - P_V,
        P_A,
        there * (middle - P_V) / P_A
    );

    let (wide, one, needed) = (riser(bore, 1.0, 0.25), 50.0, 100.0);
    let (quiet, loud) = (flow(&wide, one), flow(&wide, 2.0 * one));
    assert_says!(
        "need 100 L/min, and each 80 mm riser may get 50 L/min of air. The library gives 52.1 L/min of",
        needed,
        1e3 * bore,
        one,
        quiet
    );
    assert_says!(
        "with 100 L/min of air would give 140.5 L/min. What",
        2.0 * one,
        loud
    );
    assert!(quiet < needed && 2.0 * quiet > needed);
    assert_says!(
        "give 104.2 L/min and take 100 L/min of air. One pulsing riser gives 140.5 L/min with",
        2.0 * quiet,
        2.0 * one,
        loud
    );
    assert!((2.0 * quiet / loud - 0.75).abs() < 0.02);
    assert_eq!(point(&wide, one).top.pattern, FlowPattern::Bubbly);
}
