//! The split of a header against a case done by hand and against a dense Newton iteration.

use nalgebra::{DMatrix, DVector};
use risewater::air::AirFlow;
use risewater::error::{Error, Input};
use risewater::pipe::colebrook_factor;
use risewater::supply::{AirLine, Branch, Header, Injector, Orifice};
use risewater::units::{
    AbsolutePressure, Length, MassRate, Pressure, Ratio, ThermodynamicTemperature, degree_celsius,
    kilogram_per_second, kilopascal, meter, millimeter, pascal, ratio,
};

const R: f64 = 287.055;

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn kpa(value: f64) -> AbsolutePressure {
    AbsolutePressure::new::<kilopascal>(value)
}

/// Flow through a plate in a line of bore `bore` from p1 to the pressure `left` behind it, after ISO 5167-2 with
/// C = 0.62, written apart from the library.
fn plate(d: f64, bore: f64, p1: f64, left: f64, rt: f64) -> f64 {
    let (c, beta) = (0.62, d / bore);
    let root = (1.0 - beta.powi(4) * (1.0 - c * c)).sqrt();
    let x = (1.0 - left / p1) * (root + c * beta.powi(2)) / (root - c * beta.powi(2));
    let epsilon = 1.0
        - (0.351 + 0.256 * beta.powi(4) + 0.93 * beta.powi(8)) * (1.0 - (1.0 - x).powf(1.0 / 1.4));
    let area = std::f64::consts::PI / 4.0 * d * d;
    c / (1.0 - beta.powi(4)).sqrt() * epsilon * area * p1 * (2.0 * x / rt).sqrt()
}

/// Two orifices on a header that loses nothing, by the formula of each.
#[test]
fn two_branches_by_hand() {
    let line = AirLine::new(mm(100.0), m(0.0));
    let hole = |d: f64| Orifice::new(mm(d)).with_discharge(Ratio::new::<ratio>(0.62));
    let header = Header::new(
        line,
        vec![
            Branch::new("shallow", m(1.0), line).with_orifice(hole(4.0)),
            Branch::new("deep", m(2.0), line).with_orifice(hole(5.0)),
        ],
    );
    let split = header
        .split_at(kpa(120.0), &[kpa(115.0), kpa(118.0)])
        .unwrap();
    let by_hand = |d_m: f64, p1: f64, p2: f64| plate(d_m, 0.1, p1, p2, R * 293.15);
    // The header has no length, only its wide bore.
    let expected = [
        by_hand(0.004, 120_000.0, 115_000.0),
        by_hand(0.005, 120_000.0, 118_000.0),
    ];
    for (branch, expected) in split.branches.iter().zip(expected) {
        let got = branch.air.dry_mass_rate().get::<kilogram_per_second>();
        assert!((got / expected - 1.0).abs() < 1e-5, "{got} {expected}");
    }
    let sum: f64 = split
        .branches
        .iter()
        .map(|b| b.air.dry_mass_rate().get::<kilogram_per_second>())
        .sum();
    assert!((split.air.dry_mass_rate().get::<kilogram_per_second>() / sum - 1.0).abs() < 1e-15);
}

/// A header of branches that differ in bore, depth and distance.
fn uneven(n: usize) -> (Header, Vec<AbsolutePressure>) {
    let branches = (0..n)
        .map(|i| {
            let x = i as f64;
            let line = AirLine::new(mm(12.0 + 2.0 * (x % 4.0)), m(1.5 + 0.3 * (x % 3.0)))
                .with_loss(Ratio::new::<ratio>(2.0 + x % 2.0));
            let branch = Branch::new(format!("lift {}", i + 1), m(2.0 + 1.5 * x), line)
                .with_orifice(Orifice::new(mm(3.0 + 0.4 * (x % 5.0))));
            if i % 3 == 0 {
                let ring = Orifice::new(mm(2.0)).with_holes(20);
                branch.with_injector(Injector::DrilledRing(ring))
            } else {
                branch
            }
        })
        .collect();
    let pipe = AirLine::new(mm(40.0), m(0.0))
        .with_temperature(ThermodynamicTemperature::new::<degree_celsius>(35.0));
    let header = Header::new(pipe, branches).with_tee_run_loss(Ratio::new::<ratio>(0.15));
    let water = (0..n).map(|i| kpa(112.0 + 0.7 * (i % 4) as f64)).collect();
    (header, water)
}

/// The same header as a system of equations in all flows and pressures, written apart from the library:
/// unknowns ṁ_i and p_i, Newton's method with a dense Jacobian by differences.
#[allow(clippy::too_many_lines, reason = "a system of equations in one place")]
fn dense(header: &Header, water: &[AbsolutePressure], feed_pa: f64) -> Vec<f64> {
    let n = header.branches.len();
    let sutherland = |t: f64| 1.458e-6 * t.powf(1.5) / (t + 110.4);
    // p1² − p2² − G (f L/D + K + 2 ln(p1/p2)), over p2²
    let pipe = |p1: f64, p2: f64, flow: f64, line: &AirLine, length: f64, k: f64| {
        let d = line.bore.get::<meter>();
        let t = line.temperature.get::<risewater::units::kelvin>();
        let flux = flow / (std::f64::consts::PI / 4.0 * d * d);
        let re = (flux * d / sutherland(t)).abs().max(1e-3);
        let eps = line.roughness.get::<meter>() / d;
        let f = colebrook_factor(Ratio::new::<ratio>(re), Ratio::new::<ratio>(eps))
            .unwrap()
            .get::<ratio>();
        let g = flux * flux * R * t;
        (p1 * p1 - p2 * p2 - g * (f * length / d + k + 2.0 * (p1 / p2).ln())) / (p2 * p2)
    };
    let hole = |orifice: &Orifice, p1: f64, p2: f64, t: f64| {
        let d = orifice.diameter.get::<meter>();
        let area = std::f64::consts::PI / 4.0 * d * d * f64::from(orifice.holes);
        let r = p2 / p1;
        0.62 * area
            * (2.0 * p1 * p1 / (R * t) * 3.5 * (r.powf(2.0 / 1.4) - r.powf(2.4 / 1.4))).sqrt()
    };
    // Unknowns of branch i: flow, header pressure, pressure after the orifice, before the injector.
    let residual = |x: &DVector<f64>| {
        let mut out = DVector::zeros(4 * n);
        let mut flow = (0..n).map(|i| x[4 * i]).sum::<f64>() * 1e-3;
        let (mut before, mut at) = (feed_pa, 0.0);
        for (i, branch) in header.branches.iter().enumerate() {
            let (m_i, p, after, end) = (
                x[4 * i] * 1e-3,
                x[4 * i + 1] * 1e5,
                x[4 * i + 2] * 1e5,
                x[4 * i + 3] * 1e5,
            );
            let place = branch.distance.get::<meter>();
            let k = header.tee_run_loss.get::<ratio>();
            out[4 * i] = pipe(before, p, flow, &header.pipe, place - at, k);
            let t = branch.line.temperature.get::<risewater::units::kelvin>();
            let line = &branch.line;
            let d = branch.orifice.unwrap().diameter.get::<meter>();
            let passed = plate(d, line.bore.get::<meter>(), p, after, R * t);
            out[4 * i + 1] = passed * 1e3 - m_i * 1e3;
            out[4 * i + 2] = pipe(
                after,
                end,
                m_i,
                line,
                line.length.get::<meter>(),
                line.loss.get::<ratio>(),
            );
            let wet = water[i].get::<pascal>();
            out[4 * i + 3] = match &branch.injector {
                Injector::DrilledRing(ring) => hole(ring, end, wet, t) * 1e3 - m_i * 1e3,
                _ => (end - wet) / 1e5,
            };
            flow -= m_i;
            (before, at) = (p, place);
        }
        out
    };
    let mut x = DVector::zeros(4 * n);
    for i in 0..n {
        let wet = water[i].get::<pascal>();
        let share = |w: f64| (wet + w * (feed_pa - wet)) / 1e5;
        x[4 * i] = 0.5;
        x[4 * i + 1] = share(0.95);
        x[4 * i + 2] = share(0.4);
        x[4 * i + 3] = match &header.branches[i].injector {
            Injector::DrilledRing(_) => share(0.2),
            _ => wet / 1e5,
        };
    }
    for _ in 0..100 {
        let r = residual(&x);
        let mut jacobian = DMatrix::zeros(4 * n, 4 * n);
        for c in 0..4 * n {
            let h = 1e-7 * x[c];
            let mut y = x.clone();
            y[c] += h;
            let up = residual(&y);
            y[c] -= 2.0 * h;
            let down = residual(&y);
            for row in 0..4 * n {
                jacobian[(row, c)] = (up[row] - down[row]) / (2.0 * h);
            }
        }
        let step = jacobian.lu().solve(&r).unwrap();
        let mut damp = 1.0;
        let size = r.norm();
        while damp > 1e-6 {
            let next = residual(&(&x - damp * &step)).norm();
            if next.is_finite() && next < size {
                break;
            }
            damp *= 0.5;
        }
        x -= damp * &step;
        if (damp * step).amax() < 1e-13 {
            break;
        }
    }
    let left = residual(&x).amax();
    assert!(
        left < 1e-11,
        "the reference itself did not settle: {left:e}"
    );
    (0..n).map(|i| x[4 * i] * 1e-3).collect()
}

#[test]
fn a_dense_newton_iteration_agrees() {
    for n in [2, 5, 12] {
        let (header, water) = uneven(n);
        let split = header.split_at(kpa(122.0), &water).unwrap();
        let expected = dense(&header, &water, 122_000.0);
        let mut worst = 0.0_f64;
        for (branch, expected) in split.branches.iter().zip(&expected) {
            let got = branch.air.dry_mass_rate().get::<kilogram_per_second>();
            worst = worst.max((got / expected - 1.0).abs());
        }
        println!("{n} branches: worst difference {worst:.1e}");
        assert!(worst < 1e-8, "{n}: {worst:e}");
        // Pressures close as well: what a branch needs is what its tee has.
        for branch in &split.branches {
            let need = branch.water_pressure
                + branch.injector_loss
                + branch.check_valve_loss
                + branch.line_loss
                + branch.orifice_loss;
            let off = need.get::<pascal>() / branch.header_pressure.get::<pascal>() - 1.0;
            assert!(off.abs() < 1e-9, "{off:e}");
        }
    }
}

#[test]
fn a_feed_in_the_middle_is_two_arms() {
    let line = AirLine::new(mm(14.0), m(2.0));
    let hole = Orifice::new(mm(4.0));
    let branch = |x: f64| Branch::new(format!("{x}"), m(x), line).with_orifice(hole);
    let pipe = AirLine::new(mm(30.0), m(0.0));
    let both = Header::new(
        pipe,
        vec![branch(4.0), branch(8.0), branch(12.0), branch(16.0)],
    )
    .with_feed(m(10.0));
    let one = Header::new(pipe, vec![branch(2.0), branch(6.0)]);
    let water = [kpa(113.0); 4];
    let (whole, arm) = (
        both.split_at(kpa(118.0), &water).unwrap(),
        one.split_at(kpa(118.0), &water).unwrap(),
    );
    let air = |b: &risewater::supply::BranchFlow| b.air.dry_mass_rate();
    assert_eq!(air(&whole.branches[1]), air(&arm.branches[0]));
    assert_eq!(air(&whole.branches[3]), air(&arm.branches[1]));
    assert_eq!(air(&whole.branches[0]), air(&whole.branches[3]));
}

/// Closing a branch at a fixed header pressure never lowers the others' air; the sum is the sum.
#[test]
fn closing_a_branch_leaves_the_others_at_least_their_air() {
    let (header, water) = uneven(12);
    let before = header.split_at(kpa(121.0), &water).unwrap();
    for closed in 0..12 {
        let mut changed = header.clone();
        changed.branches[closed].open = false;
        let after = changed.split_at(kpa(121.0), &water).unwrap();
        assert_eq!(
            after.branches[closed].air.dry_mass_rate(),
            MassRate::new::<kilogram_per_second>(0.0)
        );
        for n in (0..12).filter(|n| *n != closed) {
            let (old, new) = (before.branches[n].air, after.branches[n].air);
            // Far beyond rounding where the header is shared at all.
            assert!(
                new.dry_mass_rate() >= old.dry_mass_rate() * (1.0 - 1e-11),
                "{closed} {n}"
            );
        }
    }
}

#[test]
fn an_orifice_as_wide_as_its_line_is_refused() {
    let line = AirLine::new(mm(16.0), m(2.0));
    let branch = |hole| Branch::new("wide", m(1.0), line).with_orifice(hole);
    let is_wide = |hole| matches!(branch(hole).check(), Err(Error::HoleTooWide { .. }));
    assert!(is_wide(Orifice::new(mm(16.0))) && !is_wide(Orifice::new(mm(15.9))));
    // Four holes of 8 mm have the area of one of 16 mm.
    assert!(is_wide(Orifice::new(mm(8.0)).with_holes(4)));
    assert!(!is_wide(Orifice::new(mm(7.9)).with_holes(4)));
}

#[test]
fn no_hole_passes_air_to_a_pressure_as_high() {
    let air = AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(1e-3)).unwrap();
    let warm = ThermodynamicTemperature::new::<degree_celsius>(30.0);
    let hole = Orifice::new(mm(5.0));
    let refused = |error: Option<Error>| {
        matches!(
            error,
            Some(Error::Inconsistent {
                larger: Input::UpstreamPressure,
                smaller: Input::LinePressure,
                ..
            })
        )
    };
    for (left, passes) in [(110.0, true), (120.0, false), (125.0, false)] {
        let (before, left) = (kpa(120.0), kpa(left));
        let free = hole.sized(air, before, left, warm);
        let in_line = hole.sized_in_line(mm(50.0), air, (before, left), warm);
        assert_eq!(free.is_ok(), passes);
        assert_eq!(in_line.is_ok(), passes);
        assert!(passes || refused(free.err()) && refused(in_line.err()));
    }
}

#[test]
fn a_branch_deeper_than_the_pressure_takes_nothing() {
    let (header, mut water) = uneven(5);
    water[2] = kpa(130.0);
    let split = header.split_at(kpa(121.0), &water).unwrap();
    assert_eq!(
        split.branches[2].air.dry_mass_rate(),
        MassRate::new::<kilogram_per_second>(0.0)
    );
    assert!(split.branches[4].air > split.branches[2].air);
}

#[test]
fn orifices_give_the_design_air() {
    let (header, water) = uneven(12);
    let design: Vec<AirFlow> = (0..12)
        .map(|i| {
            AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(
                4e-4 + 5e-5 * f64::from(i % 4),
            ))
            .unwrap()
        })
        .collect();
    let least = Pressure::new::<kilopascal>(1.5);
    let balanced = header
        .balanced(&design, &water, Orifice::new(mm(1.0)), least)
        .unwrap();
    let split = balanced.header.split_at(balanced.pressure, &water).unwrap();
    let mut smallest = f64::INFINITY;
    for (branch, design) in split.branches.iter().zip(&design) {
        let off = (branch.air.dry_mass_rate() / design.dry_mass_rate()).get::<ratio>() - 1.0;
        assert!(off.abs() < 1e-9, "{off:e}");
        smallest = smallest.min(branch.orifice_loss.get::<kilopascal>());
    }
    assert!((smallest - 1.5).abs() < 1e-6, "{smallest}");
}

/// Without orifices to size: the lowest pressure that leaves no branch short, found against a plain scan.
#[test]
fn pressure_for_a_design_leaves_no_branch_short() {
    let (header, water) = uneven(12);
    let air = AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(6e-4)).unwrap();
    let pressure = header.pressure_for(&[air; 12], &water).unwrap();
    let least = |pressure: AbsolutePressure| {
        let split = header.split_at(pressure, &water).unwrap();
        let shares = split.branches.iter().map(|b| {
            let share: Ratio = b.air.dry_mass_rate() / air.dry_mass_rate();
            share.get::<ratio>()
        });
        shares.fold(f64::INFINITY, f64::min)
    };
    assert!((least(pressure) - 1.0).abs() < 1e-9, "{}", least(pressure));
    assert!(least(pressure + Pressure::new::<pascal>(-1.0)) < 1.0);
}
