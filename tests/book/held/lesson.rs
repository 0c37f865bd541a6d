use risewater::Riser;
use risewater::design::DesignFile;
use risewater::trial::{Instruments, parse_runs, reduce};
use risewater::units::*;

use super::super::read;
use super::assert_says;
use super::column::{G, Hand, P_A, P_V, RHO, air, drift};

/// Barometer of the classroom, kPa.
const BAROMETER: f64 = 101.3;

fn lift(set: &[&str]) -> Riser {
    let set: Vec<String> = set.iter().map(ToString::to_string).collect();
    DesignFile::parse_with(&read("book/src/lesson.in/lesson.toml"), &set)
        .unwrap()
        .riser()
        .unwrap()
}

fn flow(riser: &Riser, l_min: f64) -> f64 {
    riser
        .operate(air(l_min))
        .unwrap()
        .water_flow()
        .get::<liter_per_minute>()
}

pub fn hand(l_min: f64) -> Hand {
    Hand {
        atmosphere: BAROMETER,
        ..Hand::new(0.04, 0.8, 0.2, l_min)
    }
}

pub const AIRS: [f64; 3] = [16.0, 22.0, 30.0];

/// To three decimals, as the sheet gives it.
pub fn void(l_min: f64) -> f64 {
    (1e3 * hand(l_min).solved()).round() / 1e3
}

/// Mean times of bucket and bottle, and the flows of water and air, by run.
fn reduced() -> Vec<[f64; 4]> {
    let sheet = read("book/src/lesson.in/lesson.csv");
    let rows = sheet.lines().skip(2).map(|line| {
        let cells: Vec<f64> = line
            .split(',')
            .skip(1)
            .map(|cell| cell.parse().unwrap())
            .collect();
        let mean = |at: usize| cells[at..at + 3].iter().sum::<f64>() / 3.0;
        let (bucket, bottle) = (mean(3), mean(7));
        [
            bucket,
            bottle,
            600.0 / bucket,
            300.0 / bottle * (BAROMETER - P_V) / P_A,
        ]
    });
    rows.collect()
}

#[test]
fn preparation() {
    let riser = lift(&[]);
    let spec = riser.spec().dimensions;
    let [bore, depth, up] =
        [spec.bore, spec.submergence, spec.lift].map(|length| length.get::<meter>());
    assert_says!("bore 40 mm, 1 m long", 1e3 * bore, depth + up);
    assert_says!("stands 0.8 m in water and spills 0.2 m above", depth, up);
    let (bucket, wide, bottle) = (10.0, 1.0, 5.0);
    assert_says!(
        "a tank at least 1 m² wide and 0.9 m deep",
        wide,
        depth + 0.1
    );
    let falls = bucket / 1e3 / wide * 1e3;
    assert_says!(
        "two lines on the tank, 5 mm above and 5 mm below",
        falls / 2.0,
        falls / 2.0
    );
    assert_says!("pump for 30 L/min, with", AIRS[2]);
    let bottles = AIRS.map(|l_min| 60.0 * 5.0 * (BAROMETER - P_V) / P_A / l_min);
    assert_says!(
        "takes 18, 13 and 10 s. That is 16, 22 and 30 L/min of",
        bottles[0],
        bottles[1],
        bottles[2],
        AIRS[0],
        AIRS[1],
        AIRS[2]
    );
    let higher = lift(&["riser.submergence=0.79 m", "riser.lift=0.21 m"]);
    let raised = depth - higher.spec().dimensions.submergence.get::<meter>();
    let off = 1.0 - flow(&higher, AIRS[0]) / flow(&riser, AIRS[0]);
    assert_says!(
        "tube 10 mm too high, group A measures 8 % less",
        1e3 * raised,
        100.0 * off
    );
    assert_says!("marked at 10 L, a bottle marked at 5 L", bucket, bottle);
    assert_says!(
        "fill of 10 L lowers a tank of 1 m² by 10 mm",
        bucket,
        wide,
        falls
    );
    let steps = [4.0, 8.0, 3.0, 16.0, 5.0, 6.0, 3.0];
    let ends: Vec<f64> = steps
        .iter()
        .scan(0.0, |sum, step| {
            *sum += step;
            Some(*sum)
        })
        .collect();
    assert_says!("| 0 to 4 | **Ask", ends[0] - steps[0], ends[0]);
    assert_says!("| 4 to 12 | **Predict", ends[0], ends[1]);
    assert_says!("| 12 to 15 | **Measure", ends[1], ends[2]);
    assert_says!("| 15 to 31 | **Run", ends[2], ends[3]);
    assert_says!("| 31 to 36 | **Reduce", ends[3], ends[4]);
    assert_says!("| 36 to 42 | **Compare", ends[4], ends[5]);
    assert_says!("| 42 to 45 | **Say", ends[5], ends[6]);
    // A minute to settle, and twenty seconds beside each of six fills: within the time of the step.
    let fills: f64 = reduced()
        .iter()
        .map(|row| 1.0 + 3.0 * (row[0] + row[1] + 2.0 * 20.0) / 60.0)
        .sum();
    assert!(fills < steps[3], "{fills}");
}

#[test]
fn predict() {
    let celsius = lift(&[]).site().water.temperature().get::<degree_celsius>();
    let hands = AIRS.map(hand);
    let one = &hands[0];
    assert_says!(
        "water at 20 °C, atmosphere 101.3 kPa, and for every air flow $0.35\\sqrt{gD} = 0.219$ m/s, $\\ell = 0.2$ m and $L = 1$ m",
        celsius,
        BAROMETER,
        drift(one.bore) / (G * one.bore).sqrt(),
        drift(one.bore),
        one.developing(),
        one.length()
    );
    assert_says!("come to 0.8 m", one.submergence);
    let [a, b, c] = AIRS;
    let [p, q, r] = AIRS.map(void);
    let tries = [0, 1, 2].map(|n| hands[n].at(void(AIRS[n])));
    let [x, y, z] = &tries;
    assert_says!(
        "air, L/min | 16 | 22 | 30 | $\\alpha$ given | 0.268 | 0.285 | 0.309",
        a,
        b,
        c,
        p,
        q,
        r
    );
    assert_says!(
        "$j_g$, m/s | 0.209 | 0.287 | 0.392",
        hands[0].j_g(),
        hands[1].j_g(),
        hands[2].j_g()
    );
    assert_says!(
        "$j$, m/s | 0.494 | 0.686 | 0.905 | $j_l$, m/s | 0.285 | 0.398 | 0.513 | $S'$, m | 0.800 | 0.800 | 0.800",
        x.j,
        y.j,
        z.j,
        x.j_l,
        y.j_l,
        z.j_l,
        x.needed(),
        y.needed(),
        z.needed()
    );
    assert_says!(
        "water, L/min | 21.5 | 30.0 | 38.7",
        hands[0].flow(p),
        hands[1].flow(q),
        hands[2].flow(r)
    );
    assert_says!(
        "| $h$, m | 0.0041 | 0.0081 | 0.0134 | $f$ | 0.0306 | 0.0282 | 0.0264",
        x.head,
        y.head,
        z.head,
        x.factor,
        y.factor,
        z.factor
    );
    assert_says!(
        "weight, m | 0.732 | 0.715 | 0.691 | undeveloped, m | 0.053 | 0.057 | 0.061",
        x.weight,
        y.weight,
        z.weight,
        x.undeveloped,
        y.undeveloped,
        z.undeveloped
    );
    assert_says!(
        "friction, m | 0.005 | 0.010 | 0.016 | entrance and speed, m | 0.009 | 0.019 | 0.032",
        x.friction,
        y.friction,
        z.friction,
        x.speed,
        y.speed,
        z.speed
    );
    let riser = lift(&[]);
    let (half, twice, low) = (15.0, 60.0, 8.0);
    assert_says!(
        "From 15 to 30 L/min of air nearly: the library finds 20.0 and 38.9 L/min of water. From 30 to 60 L/min not at all: it finds 56.2 L/min. And from 8 to 16 L/min the water grows more than threefold, from 6.4 to 21.7 L/min",
        half,
        c,
        flow(&riser, half),
        flow(&riser, c),
        c,
        twice,
        flow(&riser, twice),
        low,
        a,
        flow(&riser, low),
        flow(&riser, a)
    );
    let starts = riser
        .threshold()
        .unwrap()
        .unwrap()
        .volume_rate_at_20_c()
        .get::<liter_per_minute>();
    assert_says!("starts at 5.0 L/min of", starts);
    assert!(flow(&riser, a) > 3.0 * flow(&riser, low));
}

#[test]
fn readings() {
    let (bucket, bottle, minutes) = (10.0, 5.0, 60.0);
    assert_says!("$Q = 10/t \\times 60$. The", bucket, minutes);
    let celsius = lift(&[]).site().water.temperature().get::<degree_celsius>();
    assert_says!(
        "pressure of 2.34 kPa at 20 °C the dry air, counted at 101.325 kPa, is $5/t \\times 60 \\times (101.3 - 2.34)/101.325$. The",
        P_V,
        celsius,
        P_A,
        bottle,
        minutes,
        BAROMETER,
        P_V,
        P_A
    );
    let [a, b, c] = &reduced()[..] else {
        panic!("three runs")
    };
    assert_says!(
        "mean, s | 30.90 | 21.73 | 16.83 | water, L/min | 19.4 | 27.6 | 35.6",
        a[0],
        b[0],
        c[0],
        a[2],
        b[2],
        c[2]
    );
    assert_says!(
        "mean, s | 18.83 | 13.43 | 10.17 | air, L/min | 15.6 | 21.8 | 28.8",
        a[1],
        b[1],
        c[1],
        a[3],
        b[3],
        c[3]
    );
    let sheet = read("book/src/lesson.in/lesson.csv");
    let page = super::super::numbers::words_of(&read("book/src/lesson.md")).join(" ");
    for line in sheet.lines().skip(2) {
        let cells: Vec<&str> = line.split(',').collect();
        for times in [&cells[4..7], &cells[8..11]] {
            assert!(page.contains(&times.join(" ")), "{times:?}");
        }
    }
    let times = |n: usize, at: usize| -> Vec<f64> {
        let line = sheet.lines().nth(2 + n).unwrap();
        line.split(',')
            .skip(at)
            .take(3)
            .map(|cell| cell.parse().unwrap())
            .collect()
    };
    let [p, q, r] = [0, 1, 2].map(|n| times(n, 4));
    assert_says!(
        "bucket, s | 31.1, 30.4, 31.2 | 22.2, 21.3, 21.7 | 16.8, 16.8, 16.9",
        p[0],
        p[1],
        p[2],
        q[0],
        q[1],
        q[2],
        r[0],
        r[1],
        r[2]
    );
    let [p, q, r] = [0, 1, 2].map(|n| times(n, 8));
    assert_says!(
        "bottle, s | 18.5, 18.9, 19.1 | 13.3, 13.5, 13.5 | 10.3, 10.0, 10.2",
        p[0],
        p[1],
        p[2],
        q[0],
        q[1],
        q[2],
        r[0],
        r[1],
        r[2]
    );
    // The tool's own reduction of the same sheet.
    let runs = reduce(&parse_runs(&sheet).unwrap(), &Instruments::default()).unwrap();
    assert_eq!(runs.len(), 3);
}

#[test]
fn compare() {
    let riser = lift(&[]);
    let rows = reduced();
    let predicted: Vec<f64> = rows.iter().map(|row| flow(&riser, row[3])).collect();
    let over: Vec<f64> = rows
        .iter()
        .zip(&predicted)
        .map(|(row, flow)| row[2] / flow)
        .collect();
    assert_says!(
        "predicts 20.9, 30.0 and 37.8 L/min. The class measured 0.93, 0.92 and 0.94 of that",
        predicted[0],
        predicted[1],
        predicted[2],
        over[0],
        over[1],
        over[2]
    );
    let mean = over.iter().sum::<f64>() / 3.0;
    assert!((mean - 0.93).abs() < 0.005, "some seven per cent less");
}

#[test]
fn questions() {
    let rows = reduced();
    let bucket = 10.0;
    let wrong = 32.2;
    let right = [22.2, 21.3, 21.7];
    let mean = (wrong + right[1] + right[2]) / 3.0;
    assert_says!("is read as 32.2 s. Which", wrong);
    assert_says!(
        "would be 25.07 s and the flow 23.9 L/min in place of 27.6 L/min. One time is 10 s longer",
        mean,
        60.0 * bucket / mean,
        rows[1][2],
        wrong - right[0]
    );
    let high = 5.0;
    let really = bucket * (1.0 + high / 100.0);
    assert_says!("mark is 5 % too high: it really holds 10.5 L", high, really);
    assert_says!("read 5 % too low", 100.0 * (1.0 - bucket / really));
    assert_says!(
        "once: 10.5 L of water is 10.48 kg",
        really,
        really * RHO / 1e3
    );
    let fall = 3.0 * bucket;
    let low = lift(&["riser.submergence=0.77 m", "riser.lift=0.23 m"]);
    let spec = low.spec().dimensions;
    assert_says!(
        "falls by 30 mm. Find the flow of group A with a submergence of 0.77 m and a lift of 0.23 m, with",
        fall,
        spec.submergence.get::<meter>(),
        spec.lift.get::<meter>()
    );
    assert_says!(
        "At 16 L/min of air it gives 16.8 L/min in place of 21.7 L/min. The",
        AIRS[0],
        flow(&low, AIRS[0]),
        flow(&lift(&[]), AIRS[0])
    );
}
