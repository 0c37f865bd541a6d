use super::assert_says;
use super::column::{G, MU, P_A, P_V, RHO, area, drift};
use super::lesson::{AIRS, hand, void};

#[test]
fn sheet() {
    let one = hand(AIRS[0]);
    let celsius = super::column::bench().site().water.temperature().value - 273.15;
    assert_says!(
        "Water at 20 °C: $\\rho = 998.2$ kg/m³, $\\mu = 0.001002$ Pa s. Bore $D = 0.04$ m, area $A = 0.001257$ m², $S = 0.8$ m, $L = 1$ m",
        celsius,
        RHO,
        MU,
        one.bore,
        area(one.bore),
        one.submergence,
        one.length()
    );
    let [a, b, c] = AIRS;
    let [p, q, r] = AIRS.map(void);
    assert_says!("air, L/min | 16 | 22 | 30 |", a, b, c);
    assert_says!("given | 0.268 | 0.285 | 0.309 |", p, q, r);
    let [x, y, z] = AIRS.map(|l_min| hand(l_min).j_g());
    assert_says!("given | 0.209 | 0.287 | 0.392 |", x, y, z);
    let at = one.at(void(AIRS[0]));
    let c_0 = (one.j_g() / void(AIRS[0]) - drift(one.bore) * (1.0 - void(AIRS[0])).sqrt()) / at.j;
    assert_says!(
        "(j_g/\\alpha - 0.219\\sqrt{1-\\alpha}\\big)/1.2",
        drift(one.bore),
        c_0
    );
    assert_says!("h = j_l^2/(19.61)$, m |", 2.0 * G);
    let blasius = at.factor * (RHO * at.j_l * one.bore / MU).powf(0.25);
    assert_says!(
        "$f = 0.316/(39850\\,j_l)",
        blasius,
        (RHO * one.bore / MU / 10.0).round() * 10.0
    );
    assert_says!("undeveloped $0.1987\\,\\alpha$, m", one.undeveloped());
    assert_says!("friction $25\\,f\\,h", one.length() / one.bore);
    assert_says!("must be 0.8 m |", one.submergence);
    assert_says!("L/min: $75.4\\,j_l$ |", 60e3 * area(one.bore));
    let (bucket, bottle, barometer) = (10.0, 5.0, one.atmosphere);
    assert_says!(
        "Water $= 600/t$ L/min. Air $= 293/t$ L/min (10 L and 5 L; 20 °C and 101.3 kPa)",
        60.0 * bucket,
        60.0 * bottle * (barometer - P_V) / P_A,
        bucket,
        bottle,
        celsius,
        barometer
    );
    let (least, most) = (8.0, 40.0);
    assert_says!("from 8 L/min of air to 40 L/min, and", least, most);
    assert!(least < most);
}
