use risewater::riser::Riser;
use risewater::units::*;
use risewater::{AirState, OperatingPoint};

use super::assert_says;
use super::column::{G, P_A, RHO, air, area, bench, flow, point, superficial};

/// Mean void fraction over the height, by the trapezium rule.
fn mean_void(riser: &Riser, point: &OperatingPoint) -> f64 {
    let rows = riser.profile(point, 129).unwrap();
    let length = rows[rows.len() - 1].height;
    let parts = rows.windows(2).map(|pair| {
        let mean = 0.5 * (pair[0].void_fraction + pair[1].void_fraction);
        mean * ((pair[1].height - pair[0].height) / length)
    });
    parts.sum::<Ratio>().get::<ratio>()
}

#[test]
fn givens() {
    let riser = bench();
    let spec = riser.spec().dimensions;
    let [bore, depth, lift] = [spec.bore, spec.submergence, spec.lift].map(|l| l.get::<meter>());
    assert_says!("$D$ | 50 mm", 1e3 * bore);
    assert_says!("$S$ | 1 m", depth);
    assert_says!("up to the outlet | $H$ | 0.25 m", lift);
    assert_says!("of the riser | $L = S + H$ | 1.25 m", depth + lift);
    let celsius = AirState::DRY_20_C.temperature.get::<degree_celsius>();
    let kpa = AirState::DRY_20_C.pressure.get::<kilopascal>();
    let l_min = air(40.0).volume_rate_at_20_c().get::<liter_per_minute>();
    assert_says!(
        "counted at 20 °C and 101.325 kPa | $Q_{air}$ | 40 L/min",
        celsius,
        kpa,
        l_min
    );
    let water = riser.site().water;
    let density = water.density().get::<kilogram_per_cubic_meter>();
    let degrees = water.temperature().get::<degree_celsius>();
    assert_says!(
        "fresh, at 20 °C: its density | $\\rho$ | 998.2 kg/m³",
        degrees,
        density
    );
    assert_eq!(riser.site().atmosphere.get::<kilopascal>(), P_A);
    assert_says!("With $\\alpha = 0.2$ a fifth", lift / (depth + lift));
    let water = flow(&riser, 40.0);
    assert_says!("it lifts **58.3 L/min** of", water);
    assert_says!(
        "an area of 0.001963 m², so 58.3 L/min of water is $j_l = 0.495$ m/s",
        area(bore),
        water,
        superficial(water, bore)
    );
    assert_says!("free fall, 9.80665 m/s²", STANDARD_GRAVITY.value);
    let entrance = riser.spec().entrance_loss.get::<ratio>();
    assert_says!("K_{in} = 0.5$, common practice", entrance);
    assert_says!(
        "\\alpha = 0.25/1.25 = 0.2$. When",
        lift,
        depth + lift,
        lift / (depth + lift)
    );
}

#[test]
fn budget() {
    let riser = bench();
    let at = point(&riser, 40.0);
    let (void, length) = (mean_void(&riser, &at), 1.25);
    let budget = riser.budget(&at);
    let mm = |height: Length| height.get::<millimeter>();
    let j_l = at
        .foot
        .liquid_superficial_velocity
        .get::<meter_per_second>();
    let head = j_l * j_l / (2.0 * G);
    let mixture = 1e3 * (1.0 - void) * length;
    let air = mm(budget.weight) - mixture;
    assert!(air > 0.0 && air < 1.0, "{air}");
    // The tool counts the speed of the water that comes in with the speeding up.
    let coming_in = mm(budget.entrance) + 1e3 * head;
    let speeding = mm(budget.speed) - 1e3 * head;
    assert_says!("\\alpha)L$ | 904 mm", mixture);
    assert_says!("dev}/\\rho g$ | 54 mm", mm(budget.developing));
    assert_says!("FL/\\rho g$ | 13 mm", mm(budget.friction));
    assert_says!("j_l^2/2g$ | 19 mm", coming_in);
    assert_says!("\\alpha_2)$ | 10 mm", speeding);
    assert_says!(
        "$S$ | **1000 mm**",
        mixture + air + mm(budget.developing) + mm(budget.friction) + coming_in + speeding
    );
    let mouth = at.top.void_fraction.get::<ratio>();
    assert_says!(
        "\\alpha = 0.2764$, $\\alpha_2 = 0.285$ and $j_l = 0.4945$ m/s from",
        void,
        mouth,
        j_l
    );
    assert_says!(
        "$0.7236 \\times 1.25 = 0.9045$ m",
        1.0 - void,
        length,
        (1.0 - void) * length
    );
    let by = 2.0;
    let falls = 1e3 * by * head * mouth / (1.0 - mouth);
    assert!((falls - speeding).abs() < 0.2);
    assert_says!(
        "$0.4945^2/(2 \\times 9.80665) = 0.01247$ m",
        j_l,
        by,
        G,
        head
    );
    let times = 1.0 + riser.spec().entrance_loss.get::<ratio>();
    assert_says!(
        "$1.5 \\times 0.01247 = 0.0187$ m",
        times,
        head,
        times * head
    );
    assert_says!(
        "$2 \\times 0.01247 \\times 0.285/0.715 = 0.0099$ m",
        by,
        head,
        mouth,
        1.0 - mouth,
        by * head * mouth / (1.0 - mouth)
    );
}

#[test]
fn figures_question() {
    let riser = bench();
    let (a, b, c, d) = (40.0, 160.0, 200.0, 300.0);
    let [e, f, g, h] = [a, b, c, d].map(|l_min| flow(&riser, l_min));
    assert!((f / e - 2.0).abs() < 0.02, "doubles");
    assert_says!("From 40 to 160 L/min of", a, b);
    assert_says!(
        "from 58.3 to 117.0 L/min. From 200 to 300 L/min of",
        e,
        f,
        c,
        d
    );
    assert_says!("by 3 % only", 100.0 * (h / g - 1.0));
    let [low, high] = [a, d].map(|l_min| riser.budget(&point(&riser, l_min)));
    assert!(high.weight < low.weight && high.friction > low.friction);
    assert!(high.speed > low.speed && high.developing > low.developing);
}

/// The two ends of the figure.
#[test]
fn share_of_the_weight() {
    let riser = bench();
    let share = |l_min: f64| 100.0 * (1.25 - 1.25 * mean_void(&riser, &point(&riser, l_min)));
    let (least, most) = (15.0, 600.0);
    assert_says!("between 15 and 600 L/min", least, most);
    assert_says!("falls from 95 to 39 %", share(least), share(most));
}

#[test]
fn drag() {
    let riser = bench();
    let at = point(&riser, 40.0);
    let friction = riser.budget(&at).friction.get::<meter>() * RHO * G / 1.25;
    let void = mean_void(&riser, &at);
    assert_says!(
        "\\alpha = 0.276$ and a friction of 101 Pa/m",
        void,
        friction
    );
    let (void, friction): (f64, f64) = (0.276, 101.0);
    let weight = (1.0 - void) * RHO * G;
    let carry = weight + friction;
    assert_says!(
        "$0.724\\times 998.2\\times 9.80665 = 7087$ N",
        1.0 - void,
        RHO,
        G,
        weight
    );
    assert_says!(
        "there are 7188 N to carry. Drag carries $0.276\\times 7188 = 1984$ N",
        carry,
        void,
        carry,
        void * carry
    );
    assert_says!("the rest, 5204 N, on", carry - void * carry);
    assert!(void * carry / carry > 0.25 && void < 0.3);
}

#[test]
fn first_and_second_exercise() {
    let (length, depth) = (2.0, 1.5);
    let lift = length - depth;
    assert_says!("is 2 m long and stands 1.5 m deep", length, depth);
    assert_says!("$H = 2 - 1.5 = 0.5$ m", length, depth, lift);
    assert_says!("H/L = 0.5/2 = 0.25$: a", lift, length, lift / length);
    let (down, length) = (0.05, 1.25);
    let (depth, lift) = (1.0 - down, 0.25 + down);
    assert_says!("drawn down by 50 mm. The", 1e3 * down);
    assert_says!(
        "falls to 0.95 m and the lift grows to 0.3 m. The length stays 1.25 m",
        depth,
        lift,
        length
    );
    assert_says!(
        "\\alpha = 0.3/1.25 = 0.24$, up from 0.2. A",
        lift,
        length,
        lift / length,
        (lift - down) / length
    );
}

#[test]
fn third_exercise() {
    let riser = bench();
    let l_min = 160.0;
    let at = point(&riser, l_min);
    let (void, mouth) = (mean_void(&riser, &at), at.top.void_fraction.get::<ratio>());
    let water = flow(&riser, l_min);
    assert_says!(
        "With 160 L/min of air the bench column lifts 117.0 L/min of",
        l_min,
        water
    );
    assert_says!(
        "fraction is 0.4491, and at the mouth it is 0.457. Find",
        void,
        mouth
    );
    let (by, part): (f64, f64) = (2.0, 1.0 + riser.spec().entrance_loss.get::<ratio>());
    let j_l = superficial(water, 0.05);
    let head = j_l * j_l / (by * G);
    let (weight, entrance, speed) = (
        (1.0 - void) * 1.25,
        part * head,
        by * head * mouth / (1.0 - mouth),
    );
    assert_says!(
        "$0.00195/0.001963 = 0.993$ m/s",
        water / 60e3,
        area(0.05),
        j_l
    );
    assert_says!("$0.993^2/(2\\times 9.80665) = 0.0503$ m", j_l, by, G, head);
    assert_says!(
        "$0.5509 \\times 1.25$ | 0.689",
        1.0 - void,
        1.25 * water / water,
        weight
    );
    assert_says!("$1.5 \\times 0.0503$ | 0.075", part, head, entrance);
    assert_says!(
        "$2 \\times 0.0503 \\times 0.457/0.543$ | 0.085",
        by,
        head,
        mouth,
        1.0 - mouth,
        speed
    );
    let left = 1.0 - weight - entrance - speed;
    assert_says!("left of the metre | 0.151", left);
    let budget = riser.budget(&at);
    let rest = (budget.developing + budget.friction).get::<meter>();
    assert!((left - rest).abs() < 0.0015, "{left} {rest}");
    let since = 40.0;
    let earlier = riser.budget(&point(&riser, since));
    assert_says!("grown most since 40 L/min", since);
    let before = earlier.speed.get::<millimeter>()
        - 1e3 * superficial(flow(&riser, 40.0), 0.05).powi(2) / (2.0 * G);
    assert_says!("from 10 mm to 85 mm. The", before, 1e3 * speed);
    let grown = [
        (earlier.developing, budget.developing),
        (earlier.friction, budget.friction),
    ];
    assert!(
        grown
            .iter()
            .all(|(old, new)| (*new - *old).get::<millimeter>() < 1e3 * speed - before)
    );
    let fallen = weight / ((1.0 - mean_void(&riser, &point(&riser, 40.0))) * 1.25);
    assert_says!("by 24 %, and", 100.0 * (1.0 - fallen));
}
