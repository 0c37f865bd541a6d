use risewater::design::{DesignFile, EXAMPLE};
use risewater::riser::Dimensions;
use risewater::units::*;
use risewater::{AirState, DevelopingLength};

use super::assert_says;
use super::column::{
    G, Hand, P_A, P_V, RHO, area, bench, drift, flow, point, riser, section, void, water,
};

#[test]
fn properties() {
    for celsius in [5.0, 10.0, 15.0, 20.0, 25.0, 30.0] {
        let water = water(celsius);
        let [rho, mu, kpa] = [
            water.density().get::<kilogram_per_cubic_meter>(),
            1e3 * water.viscosity().get::<pascal_second>(),
            water.vapour_pressure().get::<kilopascal>(),
        ];
        match format!("{celsius:.0}").as_str() {
            "5" => assert_says!("5 | 1000.0 | 1.518 | 0.87", celsius, rho, mu, kpa),
            "10" => assert_says!("10 | 999.7 | 1.306 | 1.23", celsius, rho, mu, kpa),
            "15" => assert_says!("15 | 999.1 | 1.138 | 1.71", celsius, rho, mu, kpa),
            "20" => assert_says!("20 | 998.2 | 1.002 | 2.34", celsius, rho, mu, kpa),
            "25" => assert_says!("25 | 997.0 | 0.890 | 3.17", celsius, rho, mu, kpa),
            _ => assert_says!("30 | 995.6 | 0.797 | 4.25", celsius, rho, mu, kpa),
        }
    }
    let counted = AirState::DRY_20_C;
    assert_says!(
        "counted: 101.325 kPa and 293.15 K here",
        counted.pressure.get::<kilopascal>(),
        counted.temperature.get::<kelvin>()
    );
    assert_says!("free fall, 9.80665 m/s²", STANDARD_GRAVITY.value);
    let (most, longest) = (DevelopingLength::MOST_BORES, DevelopingLength::LONGEST_M);
    assert_says!("$8D$, but at most 0.2 m", most, longest);
    for bore in [0.012, 0.025, 0.05, 0.15] {
        let library = DevelopingLength::default().of(Length::new::<meter>(bore));
        assert!(
            (library.get::<meter>() - Hand::new(bore, 1.0, 0.1, 1.0).developing()).abs() < 1e-12
        );
    }
}

#[test]
fn bench_column() {
    let hand = Hand::new(0.05, 1.0, 0.25, 40.0);
    assert_says!(
        "Bore 50 mm, submergence 1 m, lift 0.25 m, 40 L/min of",
        1e3 * hand.bore,
        hand.submergence,
        hand.lift,
        hand.air_l_min
    );
    let celsius = bench().site().water.temperature().get::<degree_celsius>();
    assert_eq!(
        celsius,
        AirState::DRY_20_C.temperature.get::<degree_celsius>()
    );
    assert_says!("both have 20 °C, so", celsius);
    let (area, supplied) = (area(hand.bore), hand.air_l_min / 60e3);
    assert_says!(
        "$A = 0.001963$ m² and $Q_{air} = 0.000667$ m³/s",
        area,
        supplied
    );
    let (half, kilo) = (0.5, 1000.0);
    assert_says!(
        "$p_m = 101.325 + 0.5 \\times 998.2 \\times 9.80665 \\times 1/1000 = 106.22$ kPa",
        P_A,
        half,
        RHO,
        G,
        hand.submergence,
        kilo,
        hand.middle()
    );
    assert_says!(
        "$j_g = 0.000667/0.001963\\times 101.325/(106.22 - 2.34) = 0.331$ m/s",
        supplied,
        area,
        P_A,
        hand.middle(),
        P_V,
        hand.j_g()
    );
    let times = DevelopingLength::MOST_BORES;
    assert_says!(
        "$8D$ is 0.4 m, so $\\ell = 0.2$ m, and",
        times,
        times * hand.bore,
        hand.developing()
    );
    assert_says!(
        "= 0.2 \\times 0.998 = 0.200$ m",
        hand.developing(),
        hand.undeveloped() / hand.developing(),
        hand.undeveloped()
    );
    assert_says!(
        "$\\alpha_0 = 0.25/(1.25 - 0.200) = 0.238$. The",
        hand.lift,
        hand.length(),
        hand.undeveloped(),
        hand.least()
    );
    assert_says!(
        "$0.35\\sqrt{gD} = 0.245$ m/s",
        drift(hand.bore) / (G * hand.bore).sqrt(),
        drift(hand.bore)
    );
    let (a, b) = (0.26, 0.29);
    let c = hand.third(a, b);
    assert_says!("A: try 0.260 | B: try 0.290 | C: 0.277 from", a, b, c);
    let [x, y, z] = [a, b, c].map(|void| hand.at(void));
    assert_says!("$j$, m/s | 0.886 | 0.780 | 0.823", x.j, y.j, z.j);
    assert_says!("$j_l$, m/s | 0.555 | 0.448 | 0.491", x.j_l, y.j_l, z.j_l);
    assert_says!("$h$, m | 0.0157 | 0.0103 | 0.0123", x.head, y.head, z.head);
    assert_says!(
        "$f$ | 0.0245 | 0.0258 | 0.0253",
        x.factor,
        y.factor,
        z.factor
    );
    assert_says!(
        "weight, m | 0.925 | 0.887 | 0.904",
        x.weight,
        y.weight,
        z.weight
    );
    assert_says!(
        "undeveloped, m | 0.052 | 0.058 | 0.055",
        x.undeveloped,
        y.undeveloped,
        z.undeveloped
    );
    assert_says!(
        "friction, m | 0.015 | 0.012 | 0.013",
        x.friction,
        y.friction,
        z.friction
    );
    assert_says!(
        "speed, m | 0.035 | 0.024 | 0.028",
        x.speed,
        y.speed,
        z.speed
    );
    assert_says!(
        "$S'$, m | 1.027 | 0.981 | 1.000",
        x.needed(),
        y.needed(),
        z.needed()
    );
    let found = hand.flow(c);
    assert_says!(
        "$j_l A = 0.491 \\times 0.001963 = 0.00097$ m³/s, or **57.9 L/min**",
        z.j_l,
        area,
        found / 60e3,
        found
    );
    let library = flow(&bench(), 40.0);
    assert_says!(
        "**58.3 L/min**: the hand method is 0.6 % low",
        library,
        100.0 * (1.0 - found / library)
    );
}

#[test]
fn how_near() {
    let row = |mm: f64, depth: f64, lift: f64, air: f64| {
        let hand = Hand::new(mm / 1e3, depth, lift, air);
        let (found, library) = (
            hand.flow(hand.solved()),
            flow(&riser(mm / 1e3, depth, lift), air),
        );
        [
            mm,
            depth,
            lift,
            air,
            found,
            library,
            100.0 * (found / library - 1.0),
        ]
    };
    let [a, b, c, d, e, f, g] = row(50.0, 1.0, 0.25, 15.0);
    assert_says!(
        "50 mm, 1 m, 0.25 m | 15 | 15.0 | 15.2 | −1.5 %",
        a,
        b,
        c,
        d,
        e,
        f,
        g
    );
    let [a, b, c, d, e, f, g] = row(50.0, 1.0, 0.25, 40.0);
    assert_says!(
        "50 mm, 1 m, 0.25 m | 40 | 57.9 | 58.3 | −0.6 %",
        a,
        b,
        c,
        d,
        e,
        f,
        g
    );
    assert_says!("the whole difference of 0.6 %", -g);
    let [a, b, c, d, e, f, g] = row(50.0, 1.0, 0.25, 160.0);
    assert_says!(
        "50 mm, 1 m, 0.25 m | 160 | 117.1 | 117.0 | 0.1 %",
        a,
        b,
        c,
        d,
        e,
        f,
        g
    );
    let [a, b, c, d, e, f, g] = row(25.0, 0.6, 0.1, 10.0);
    assert_says!(
        "25 mm, 0.6 m, 0.1 m | 10 | 14.8 | 14.9 | −0.5 %",
        a,
        b,
        c,
        d,
        e,
        f,
        g
    );
    let [a, b, c, d, e, f, g] = row(80.0, 1.2, 0.15, 120.0);
    assert_says!(
        "80 mm, 1.2 m, 0.15 m | 120 | 263.2 | 263.5 | −0.1 %",
        a,
        b,
        c,
        d,
        e,
        f,
        g
    );
    let [a, b, c, d, e, f, g] = row(150.0, 2.0, 0.2, 500.0);
    assert_says!(
        "150 mm, 2 m, 0.2 m | 500 | 1290.1 | 1319.3 | −2.2 %",
        a,
        b,
        c,
        d,
        e,
        f,
        g
    );
    let widest = 80.0;
    let rows = [
        row(50.0, 1.0, 0.25, 15.0),
        row(50.0, 1.0, 0.25, 160.0),
        row(25.0, 0.6, 0.1, 10.0),
        row(widest, 1.2, 0.15, 120.0),
    ];
    let most = rows.iter().map(|row| row[6].abs()).fold(0.0, f64::max);
    assert_says!(
        "up to 80 mm wide and a few metres deep the two should agree within about 1.5 %",
        widest,
        most
    );
    let hand = Hand::new(0.05, 1.0, 0.25, 40.0);
    let low = point(&bench(), 40.0).foot.void_fraction.get::<ratio>();
    assert_says!(
        "hand method 2 mm of submergence",
        1e3 * (hand.solved() - low) * hand.undeveloped()
    );
    // The drift is reduced where the Laplace number is below 0.025 (Bhagwat and Ghajar).
    let laplace = (0.0727
        / (G * (RHO
            - section(50.0, 0.5, 0.3)
                .gas_density
                .get::<kilogram_per_cubic_meter>())))
    .sqrt();
    assert_says!("above 109 mm, the", 1e3 * laplace / 0.025);
    let wide = 150.0;
    let share = (1e3 * laplace / wide / 0.025_f64).powf(0.9);
    assert_says!("At 150 mm its drift is 0.75 of", wide, share);
}

#[test]
fn first_exercise() {
    let hand = Hand::new(0.04, 0.8, 0.2, 30.0);
    assert_says!(
        "Bore 40 mm, submergence 0.8 m, lift 0.2 m, air 30 L/min; water",
        1e3 * hand.bore,
        hand.submergence,
        hand.lift,
        hand.air_l_min
    );
    assert_says!(
        "$j_g = 0.392$ m/s, $0.35\\sqrt{gD} = 0.219$ m/s, $\\ell = 0.2$ m and $\\alpha_0 = 0.250$",
        hand.j_g(),
        drift(hand.bore) / (G * hand.bore).sqrt(),
        drift(hand.bore),
        hand.developing(),
        hand.least()
    );
    let (a, b) = (0.29, 0.32);
    let c = hand.third(a, b);
    let [x, y, z] = [a, b, c].map(|void| hand.at(void));
    assert_says!(
        "$\\alpha$ | 0.290 | 0.320 | 0.310 | $j_l$, m/s | 0.580 | 0.478 | 0.510 | $S'$, m | 0.826 | 0.786 | 0.799",
        a,
        b,
        c,
        x.j_l,
        y.j_l,
        z.j_l,
        x.needed(),
        y.needed(),
        z.needed()
    );
    let library = flow(
        &riser(hand.bore, hand.submergence, hand.lift),
        hand.air_l_min,
    );
    assert_says!(
        "short of 0.8 m: good enough. The flow is 38.4 L/min. The library finds 38.9 L/min",
        hand.submergence,
        hand.flow(c),
        library
    );
}

#[test]
fn second_exercise() {
    let hand = Hand::new(0.05, 1.0, 0.5, 10.0);
    assert_says!(
        "a lift of 0.5 m and 10 L/min of air",
        hand.lift,
        hand.air_l_min
    );
    let least = hand.least();
    assert_says!(
        "$\\alpha_0 = 0.5/(1.5 - 0.200) = 0.385$. With",
        hand.lift,
        hand.length(),
        hand.undeveloped(),
        least
    );
    let (j_g, c_0) = (hand.j_g(), 1.2);
    assert_says!("$j = j_g = 0.083$ m/s", j_g);
    assert_says!(
        "$\\alpha = 0.083/(1.2 \\times 0.083 + 0.245\\sqrt",
        j_g,
        c_0,
        j_g,
        drift(hand.bore)
    );
    let first = 0.3;
    let gives = (0..3).fold(first, |tried, _| void(j_g, 0.0, drift(hand.bore), tried));
    assert_says!(
        "Try 0.3 on the right, then the result, and again: $\\alpha$ comes to 0.27. That is less than 0.385,",
        first,
        gives,
        least
    );
    let dead = riser(hand.bore, hand.submergence, hand.lift)
        .operate(super::column::air(hand.air_l_min))
        .unwrap();
    assert!(matches!(dead, risewater::Outcome::BelowThreshold { .. }));
    assert_says!(
        "runs from 14.6 L/min on",
        dead.threshold()
            .unwrap()
            .volume_rate_at_20_c()
            .get::<liter_per_minute>()
    );
}

#[test]
fn third_exercise() {
    let given = DesignFile::parse(EXAMPLE).unwrap();
    let (cold, air) = (given.riser().unwrap(), given.air().unwrap());
    let Dimensions {
        bore,
        submergence,
        lift,
    } = cold.spec().dimensions;
    let celsius = cold.site().water.temperature().get::<degree_celsius>();
    // Four fifths of the way between the printed rows.
    let between = |a: f64, b: f64| a + (celsius - 10.0) / 5.0 * (b - a);
    let properties = [
        between(999.7, 999.1),
        between(0.001306, 0.001138),
        between(1.23, 1.71),
    ];
    let kelvin_of = celsius + 273.15;
    let counted = AirState::DRY_20_C.temperature;
    let hand = Hand {
        water: properties,
        atmosphere: cold.site().atmosphere.get::<kilopascal>(),
        warmth: kelvin_of / counted.get::<kelvin>(),
        ..Hand::new(
            bore.get::<meter>(),
            submergence.get::<meter>(),
            lift.get::<meter>(),
            air.volume_rate_at_20_c().get::<liter_per_minute>(),
        )
    };
    assert_says!(
        "water at 14 °C, atmosphere 98.47 kPa, bore 77.27 mm, submergence 1.2 m, lift 0.15 m, air 120 L/min counted at 20 °C",
        celsius,
        hand.atmosphere,
        1e3 * hand.bore,
        hand.submergence,
        hand.lift,
        hand.air_l_min,
        counted.get::<degree_celsius>()
    );
    let (below, above) = (10.0, 15.0);
    assert_eq!((celsius - below) / (above - below), 0.8);
    assert_says!(
        "from 10 to 15 °C: $\\rho = 999.2$ kg/m³, $\\mu = 0.001172$ Pa s, $p_v = 1.61$ kPa. Then $p_m = 104.35$ kPa",
        below,
        above,
        properties[0],
        properties[1],
        properties[2],
        hand.middle()
    );
    assert_says!(
        "= 287.15/293.15$, $j_g = 0.412$ m/s, $0.35\\sqrt{gD} = 0.305$ m/s and $\\alpha_0 = 0.130$",
        kelvin_of,
        counted.get::<kelvin>(),
        hand.j_g(),
        drift(hand.bore) / (G * hand.bore).sqrt(),
        drift(hand.bore),
        hand.least()
    );
    let (a, b) = (0.2, 0.23);
    let c = hand.third(a, b);
    let [x, y, z] = [a, b, c].map(|void| hand.at(void));
    assert_says!(
        "$\\alpha$ | 0.200 | 0.230 | 0.224 | $j_l$, m/s | 1.078 | 0.858 | 0.897 | $S'$, m | 1.266 | 1.184 | 1.199",
        a,
        b,
        c,
        x.j_l,
        y.j_l,
        z.j_l,
        x.needed(),
        y.needed(),
        z.needed()
    );
    assert_says!("flow is 252 L/min. This", hand.flow(c));
    assert_says!(
        "finds 253.6 L/min. Note",
        cold.operate(air)
            .unwrap()
            .water_flow()
            .get::<liter_per_minute>()
    );
}
