//! The height quadrature against an adaptive integrator.
//!
//! The reference integrates the same integrand in the logarithm of the gas pressure by adaptive
//! Simpson steps with Richardson's correction, and takes dM/dp from a fourth-order central
//! difference: no node, weight or split in common with `Column::mean_gradient`.

use super::column::{AT_REST, Carried, Column, Section};
use super::search::Onset;
use super::{BrinkHead, Dimensions, Outlet, RiserSpec, Site};
use crate::error::Solve;
use crate::units::{
    AbsolutePressure, GRAVITY_M_PER_S2, Length, Ratio, ThermodynamicTemperature, degree_celsius,
    kilopascal, meter, ratio,
};
use crate::{Friction, Model, Slip, Water};

/// Asked of the reference, relative to the whole.
const TOLERANCE: f64 = 1e-12;

struct Reference<'a> {
    column: &'a Column,
    j_l: f64,
    flux: f64,
    tolerance: f64,
}

impl Reference<'_> {
    fn momentum(&self, u: f64) -> f64 {
        self.column
            .section(self.j_l, self.flux, self.column.p_v + u.exp())
            .m
    }

    /// (1 + dM/dp)/W dp/du at u = ln(p − p_v).
    fn integrand(&self, u: f64) -> f64 {
        let h = 4e-4;
        let slope = (8.0 * (self.momentum(u + h) - self.momentum(u - h))
            - (self.momentum(u + 2.0 * h) - self.momentum(u - 2.0 * h)))
            / (12.0 * h);
        let s = self
            .column
            .section(self.j_l, self.flux, self.column.p_v + u.exp());
        (u.exp() + slope) / self.column.gradient(&s)
    }

    fn simpson(&self, (a, b): (f64, f64), [fa, fm, fb]: [f64; 3], whole: f64, depth: u32) -> f64 {
        let m = 0.5 * (a + b);
        let (fl, fr) = (self.integrand(0.5 * (a + m)), self.integrand(0.5 * (m + b)));
        let (left, right) = (
            (m - a) / 6.0 * (fa + 4.0 * fl + fm),
            (b - m) / 6.0 * (fm + 4.0 * fr + fb),
        );
        let off = left + right - whole;
        if depth == 0 || off.abs() <= 15.0 * self.tolerance * (b - a) {
            return left + right + off / 15.0;
        }
        self.simpson((a, m), [fa, fl, fm], left, depth - 1)
            + self.simpson((m, b), [fm, fr, fb], right, depth - 1)
    }
}

/// The height that the quadrature says.
fn height_m(carried: &Carried) -> f64 {
    carried.difference_pa / carried.gradient_pa_per_m
}

fn adaptive(column: &Column, flux: f64, carried: &Carried) -> Option<f64> {
    let (foot, top): (Section, Section) = carried.ends?;
    let (a, b) = ((top.p - column.p_v).ln(), (foot.p - column.p_v).ln());
    if b <= a {
        return None;
    }
    let tolerance = TOLERANCE * height_m(carried).abs() / (b - a);
    let reference = Reference {
        column,
        j_l: top.j_l,
        flux,
        tolerance,
    };
    // Sixteen pieces to begin with: no feature hides between the first points.
    let pieces = 16;
    let at = |n: i32| a + (b - a) * f64::from(n) / f64::from(pieces);
    let piece = |n: i32| {
        let (l, r) = (at(n), at(n + 1));
        let f = [l, 0.5 * (l + r), r].map(|u| reference.integrand(u));
        reference.simpson((l, r), f, (r - l) / 6.0 * (f[0] + 4.0 * f[1] + f[2]), 22)
    };
    Some((0..pieces).map(piece).sum())
}

/// Splitmix64: the same risers on every machine.
pub(super) struct Draw(pub u64);

impl Draw {
    fn bits(&mut self) -> u32 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        u32::try_from((z ^ (z >> 31)) >> 32).unwrap()
    }

    fn uniform(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * f64::from(self.bits()) / 4_294_967_296.0
    }

    fn logarithmic(&mut self, low: f64, high: f64) -> f64 {
        self.uniform(low.ln(), high.ln()).exp()
    }

    fn of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.bits() as usize % all.len()]
    }
}

/// Bores in mm, lengths in m and submergence ratios of a class of risers.
pub(super) struct Class {
    name: &'static str,
    bore_mm: (f64, f64),
    length_m: (f64, f64),
    submergence_ratio: (f64, f64),
    /// Largest relative error of the height.
    limit: f64,
}

pub(super) const CLASSES: [Class; 3] = [
    Class {
        name: "hatchery",
        bore_mm: (25.0, 150.0),
        length_m: (0.3, 3.0),
        submergence_ratio: (0.5, 1.0),
        limit: 1e-10,
    },
    Class {
        name: "well",
        bore_mm: (50.0, 150.0),
        length_m: (60.0, 100.0),
        submergence_ratio: (0.4, 0.95),
        limit: 1e-9,
    },
    Class {
        name: "crossing",
        bore_mm: (3.0, 12.0),
        length_m: (20.0, 100.0),
        submergence_ratio: (0.4, 0.95),
        limit: 1e-8,
    },
];

pub(super) fn column(class: &Class, draw: &mut Draw) -> Column {
    let length = draw.uniform(class.length_m.0, class.length_m.1);
    let submergence = length * draw.uniform(class.submergence_ratio.0, class.submergence_ratio.1);
    let loss = Ratio::new::<ratio>(draw.of(&[0.0, 1.5]));
    let outlets = [
        Outlet::Plain { loss },
        Outlet::Elbow {
            loss,
            bore: None,
            head: BrinkHead::Mixture,
        },
    ];
    let temperature = draw.uniform(0.0, 40.0);
    let site = Site {
        water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(temperature)).unwrap(),
        atmosphere: AbsolutePressure::new::<kilopascal>(draw.uniform(60.0, 105.0)),
    };
    let model = Model::new(draw.of(Slip::ALL), draw.of(Friction::ALL))
        .with_developing_length(Ratio::new::<ratio>(draw.of(&[0.0, 8.0])));
    RiserSpec::new(Dimensions {
        bore: Length::new::<meter>(1e-3 * draw.logarithmic(class.bore_mm.0, class.bore_mm.1)),
        submergence: Length::new::<meter>(submergence),
        lift: Length::new::<meter>(length - submergence),
    })
    .with_outlet(draw.of(&outlets))
    .build(&site, model)
    .unwrap()
    .column
}

/// Operating points from just above the threshold to three times the peak's air.
fn check(class: &Class, columns: usize) {
    let mut draw = Draw(2026);
    let mut failures = Vec::new();
    let (mut points, mut worst) = (0, 0.0f64);
    for n in 0..columns {
        let column = column(class, &mut draw);
        let Onset::At(threshold) = column.onset(AT_REST, Solve::Threshold, None).unwrap() else {
            continue;
        };
        let Onset::At(peak) = column.peak().unwrap() else {
            continue;
        };
        for _ in 0..4 {
            let flux = draw.logarithmic(threshold.max(1e-4 * peak), 3.0 * peak);
            let Some((j_l, carried)) = column.water_velocity(flux).unwrap() else {
                continue;
            };
            if carried.choked {
                continue;
            }
            let Some(reference) = adaptive(&column, flux, &carried) else {
                continue;
            };
            let off = (height_m(&carried) / reference - 1.0).abs();
            points += 1;
            worst = worst.max(off);
            if off > class.limit {
                let (foot, top) = carried.ends.unwrap();
                let scale = column.rho_l * column.d_m / column.mu_l;
                failures.push(format!(
                    "{off:.1e}: column {n}, {} {}, {:.1} mm, {:.1} m, j_l {j_l:.3}, p1/p2 {:.2}, M2/p2 {:.1e}, Re {:.0} to {:.0}",
                    column.slip.closure, column.friction, 1e3 * column.d_m, carried.needed_m, foot.p / top.p, top.m / top.p,
                    foot.j() * scale, top.j() * scale
                ));
            }
        }
    }
    println!("{}: {points} points, worst {worst:.1e}", class.name);
    assert!(points > columns, "{}: only {points} points", class.name);
    failures.sort();
    assert!(
        failures.is_empty(),
        "{}: {} of {points} fail:\n{}",
        class.name,
        failures.len(),
        failures.join("\n")
    );
}

#[test]
fn hatchery_heights_agree_to_1e_10() {
    check(&CLASSES[0], 300);
}

#[test]
fn well_heights_agree_to_1e_9() {
    check(&CLASSES[1], 300);
}

#[test]
fn heights_across_the_transition_agree_to_1e_8() {
    check(&CLASSES[2], 300);
}

/// The drift of Kataoka and Ishii bends where a pipe is 30 Laplace lengths √(σ/(g Δρ)) wide. Δρ falls by some permille down
/// a well, so that the pipe is as wide somewhere within.
#[test]
fn heights_across_a_bend_of_the_drift_agree_to_1e_10() {
    let site = Site {
        water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(15.0)).unwrap(),
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    };
    let model = Model::new(Slip::KataokaIshii1987, Friction::default());
    let well = |bore_m: f64| {
        let dimensions = Dimensions {
            bore: Length::new::<meter>(bore_m),
            submergence: Length::new::<meter>(60.0),
            lift: Length::new::<meter>(10.0),
        };
        let spec = RiserSpec::new(dimensions);
        spec.build(&site, model).unwrap().column
    };
    let Column { sigma, rho_l, .. } = well(0.08);
    let without_gas = 30.0 * (sigma / (GRAVITY_M_PER_S2 * rho_l)).sqrt();
    let mut across = 0;
    for n in 0..20 {
        let column = well(without_gas * (1.0 + 2e-4 * f64::from(n)));
        let Onset::At(peak) = column.peak().unwrap() else {
            panic!("no peak");
        };
        for share in [0.1, 1.0] {
            let (_, carried) = column.water_velocity(share * peak).unwrap().unwrap();
            let (foot, top) = carried.ends.unwrap();
            let wide = |s: &Section| {
                let difference = rho_l - column.gas_density(s.p);
                column.d_m > 30.0 * (sigma / (GRAVITY_M_PER_S2 * difference)).sqrt()
            };
            if wide(&foot) == wide(&top) {
                continue;
            }
            across += 1;
            let reference = adaptive(&column, share * peak, &carried).unwrap();
            let off = (height_m(&carried) / reference - 1.0).abs();
            assert!(off < 1e-10, "{off:.1e} in {} m", column.d_m);
        }
    }
    assert!(across >= 10, "{across}");
}
