use risewater::design::{DesignFile, EXAMPLE};
use risewater::friction::Friction;
use risewater::published::Rig;
use risewater::riser::Riser;
use risewater::slip::Slip;
use risewater::units::*;
use risewater::{DevelopingLength, ErrorLaw, Model};

use super::assert_says;
use super::column::{bench, flow, point, riser};

const BORES: f64 = DevelopingLength::MOST_BORES;
const LONGEST: f64 = DevelopingLength::LONGEST_M;

fn with(riser: &Riser, length: impl Into<DevelopingLength>) -> Riser {
    riser
        .with_model(Model::default().with_developing_length(length))
        .unwrap()
}

fn metres(length: f64) -> Length {
    Length::new::<meter>(length)
}

/// ℓ(1 − e^(−L/ℓ)) over ℓ.
fn part(length: f64, developing: f64) -> f64 {
    1.0 - (-length / developing).exp()
}

#[test]
fn by_hand() {
    let (bore, length) = (0.05, 1.25);
    let developing = DevelopingLength::default().of(metres(bore)).get::<meter>();
    let void = point(&bench(), 40.0).foot.void_fraction.get::<ratio>();
    let head = void * developing * part(length, developing);
    assert_says!(
        "Eight bores are 0.4 m, so $\\ell = 0.2$ m. The library's $\\alpha_1$ is 0.2682. As",
        BORES * bore,
        developing,
        void
    );
    assert_says!(
        "$0.2682\\times 0.2\\times 0.998 = 0.054$ m: a",
        void,
        developing,
        part(length, developing),
        head
    );
    assert!((head * 20.0 - 1.0).abs() < 0.1, "a twentieth");
    let bores = |rig: &Rig| (rig.length / rig.bore).get::<ratio>();
    assert_says!(
        "library holds has 69 bores",
        Rig::all().iter().map(bores).fold(f64::MAX, f64::min)
    );
    assert_says!("column has 25 bores", length / bore);
}

#[test]
fn other_lengths() {
    let given = 40.0;
    assert_says!("at 40 L/min of", given);
    let row = |length: f64| [length, flow(&with(&bench(), metres(length)), given)];
    let [[a, b], [c, d], [e, f], [g, h]] = [0.0, 0.1, LONGEST, 0.4].map(row);
    assert_says!("0 m | 71.6 L/min", a, b);
    assert_says!("0.1 m | 65.1 L/min", c, d);
    assert_says!("0.2 m | 58.3 L/min", e, f);
    assert_says!("0.4 m | 44.3 L/min | 8 bores", g, h, g / 0.05);
    assert_eq!(f, flow(&bench(), given));
    for &slip in Slip::ALL {
        for &friction in Friction::ALL {
            let other = flow(
                &bench().with_model(Model::new(slip, friction)).unwrap(),
                given,
            );
            assert!(other < b && other > h, "{slip} {friction}");
        }
    }
    assert_says!("and with 0.2 m. The", LONGEST);
    assert_says!("line with 0.2 m is", LONGEST);
    let rig = &Rig::all()[0];
    let ratio_of =
        |p: &risewater::published::PublishedPoint| (p.submergence / rig.length).get::<ratio>();
    let deepest = rig.points.iter().map(ratio_of).fold(0.0, f64::max);
    assert_says!(
        "1.75 m of 25.4 mm at a submergence ratio of 0.57, without",
        rig.length.get::<meter>(),
        rig.bore.get::<millimeter>(),
        deepest
    );
    let flat = rig.points.iter().filter(|p| {
        ratio_of(p) > 0.56 && p.air.volume_rate_at_20_c().get::<liter_per_minute>() > 30.0
    });
    let flat: Vec<f64> = flat
        .map(|p| p.water_flow.get::<liter_per_minute>())
        .collect();
    let mean = flat.iter().sum::<f64>() / f64::from(u32::try_from(flat.len()).unwrap());
    assert_says!("off near 10 L/min", mean);
}

#[test]
fn figures_question() {
    let (given, deep) = (40.0, 3.0);
    let both = |depth: f64| {
        let riser = riser(0.05, depth, 0.25);
        let none = flow(&with(&riser, metres(0.0)), given);
        [flow(&with(&riser, metres(LONGEST)), given), none]
    };
    let ([a, b], [c, d]) = (both(1.0), both(deep));
    let more = |from: f64, to: f64| 100.0 * (to / from - 1.0);
    assert_says!(
        "rises from 58.3 to 71.6 L/min, by 23 %. With 3 m of",
        a,
        b,
        more(a, b),
        deep
    );
    assert_says!("rises from 132.2 to 137.1 L/min, by 4 %", c, d, more(c, d));
}

#[test]
fn evidence() {
    let error = |rig: &Rig, length: DevelopingLength| {
        let model = Model::default().with_developing_length(length);
        let all = rig.residuals(model).unwrap();
        let squares: f64 = all.iter().map(|one| one.logarithm().powi(2)).sum();
        (squares / f64::from(u32::try_from(all.len()).unwrap())).sqrt()
    };
    let row = |n: usize| {
        let rig = &Rig::all()[n];
        let bores = Ratio::new::<ratio>(BORES).into();
        [
            rig.bore.get::<millimeter>(),
            error(rig, metres(0.0).into()),
            error(rig, metres(LONGEST).into()),
            error(rig, bores),
        ]
    };
    let [[a, b, c, d], [e, f, g, h], [i, j, k, l], [m, n, o, p]] = [0, 1, 2, 3].map(row);
    assert_says!("none | 0.2 m | 8 bores |", LONGEST, BORES);
    assert_says!(
        "shortest of Kassab | 25.4 | 0.679 | 0.577 | 0.576",
        a,
        b,
        c,
        d
    );
    assert_says!(
        "middle of Kassab | 25.4 | 0.244 | 0.155 | 0.155",
        e,
        f,
        g,
        h
    );
    assert_says!(
        "longest of Kassab | 25.4 | 0.196 | 0.112 | 0.111",
        i,
        j,
        k,
        l
    );
    assert_says!("Todoroki | 50.6 | 0.086 | 0.072 | 0.119", m, n, o, p);
    assert_says!("The **8 bores** come", BORES);
    assert_says!("tell 8 bores from 0.2 m. Todoroki's", BORES, LONGEST);
    assert_says!("say 0.2 m or less", LONGEST);
    assert_says!("says more than 0.2 m: the", LONGEST);
    assert_says!(
        "agree with 8 bores; a length of 0.2 m would",
        BORES,
        LONGEST
    );
    assert_says!(
        "a bore of 25 mm the rule gives 8 bores, and wider pipes get 0.2 m",
        1e3 * LONGEST / BORES,
        BORES,
        LONGEST
    );
}

#[test]
fn hatchery() {
    let (bore, depth, lift, given) = (0.077, 1.2, 0.15, 120.0);
    let wide = riser(bore, depth, lift);
    let eight = with(&wide, Ratio::new::<ratio>(BORES));
    assert_says!(
        "lift of 77 mm, 1.2 m deep, with 0.15 m of lift and 120 L/min of air gives 253 L/min of",
        1e3 * bore,
        depth,
        lift,
        given,
        flow(&wide, given)
    );
    assert_says!("If 8 bores were", BORES);
    assert_says!("give 190 L/min", flow(&eight, given));
}

#[test]
fn an_injector_widens_the_interval_alone() {
    let asked = |set: &[&str]| {
        let set: Vec<String> = set.iter().map(ToString::to_string).collect();
        let (riser, air) = DesignFile::parse_with(EXAMPLE, &set)
            .unwrap()
            .riser_and_air()
            .unwrap();
        let found = ErrorLaw::default()
            .on(&riser)
            .unwrap()
            .predict(air)
            .unwrap();
        (found.outcome.water_flow(), found.interval.unwrap())
    };
    let silent = asked(&[]);
    assert_eq!(silent, asked(&["riser.injector=drilled_ring"]));
    let diffuser = asked(&["riser.injector=diffuser"]);
    assert_eq!(silent.0, diffuser.0);
    assert!(diffuser.1.low < silent.1.low && diffuser.1.high > silent.1.high);
}

#[test]
fn exercises() {
    let of = |bore: f64| DevelopingLength::default().of(metres(bore)).get::<meter>();
    let [a, b, c] = [0.02, 0.025, 0.1];
    assert_says!(
        "pipes of 20 mm, 25 mm and 100 mm",
        1e3 * a,
        1e3 * b,
        1e3 * c
    );
    assert_says!(
        "are 0.16 m, 0.2 m and 0.8 m. So $\\ell$ is 0.16 m, 0.2 m and 0.2 m",
        BORES * a,
        BORES * b,
        BORES * c,
        of(a),
        of(b),
        of(c)
    );

    let (bore, depth, lift, given) = (0.077, 1.2, 0.15, 120.0);
    let (wide, length, eight) = (riser(bore, depth, lift), depth + lift, BORES * bore);
    let void = point(&wide, given).foot.void_fraction.get::<ratio>();
    let head = |developing: f64| void * developing * part(length, developing);
    assert_says!(
        "lift of 77 mm is 1.35 m long and has a void of 0.216 at",
        1e3 * bore,
        length,
        void
    );
    assert_says!(
        "with 0.2 m and with eight bores? Compare with its lift of 0.15 m",
        LONGEST,
        lift
    );
    assert_says!(
        "With 0.2 m: $0.216 \\times 0.2 \\times 0.999 = 0.043$ m. Eight bores are 0.616 m: $0.216 \\times 0.616 \\times 0.888 = 0.118$ m",
        LONGEST,
        void,
        LONGEST,
        part(length, LONGEST),
        head(LONGEST),
        eight,
        void,
        eight,
        part(length, eight),
        head(eight)
    );
    let more = head(eight) - head(LONGEST);
    assert_says!("is 75 mm, half", 1e3 * more);
    assert!((more / lift - 0.5).abs() < 0.05);

    let thrice = 3.0;
    let long = riser(bore, thrice * depth, thrice * lift);
    let both =
        |riser: &Riser, l_min: f64| [flow(riser, l_min), flow(&with(riser, metres(eight)), l_min)];
    let [[p, q], [r, s]] = [both(&wide, given), both(&long, thrice * given)];
    assert_says!(
        "3.6 m deep, 0.45 m of lift. At 360 L/min of",
        thrice * depth,
        thrice * lift,
        thrice * given
    );
    assert_says!(
        "finds 522 L/min with 0.2 m and 488 L/min with",
        r,
        LONGEST,
        s
    );
    assert_says!(
        "by 7 %, where it was 25 %. The",
        100.0 * (1.0 - s / r),
        100.0 * (1.0 - q / p)
    );
}
