//! The solver against the balance in 256 bits, on hard risers of many kinds.
//!
//! Water rises with less than the balance asks for and falls with more, so what is left of the submergence must change
//! its sign between q (1 − 1e-10) and q (1 + 1e-10) around the library's q. No root finder stands between.

use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use risewater::riser::{BrinkHead, Dimensions, InjectorKind, Outlet, Site};
use risewater::units::*;
use risewater::water::WaterProperties;
use risewater::{
    AirFlow, DevelopingLength, Friction, Model, OperatingPoint, Outcome, Riser, RiserSpec, Slip,
    Water,
};

use crate::big::{Big, big};
use crate::column::Column;

/// Relative error that a water flow may have.
const ERROR: f64 = 1e-10;

/// Roundings of f64 between the inputs and the balance: some three hundred operations on terms as large as the pressures,
/// half a last place each.
const ROUNDINGS: f64 = 300.0 * 0.5 * f64::EPSILON;

/// How closely the pressure at the foot is found, relative: its last step is a part in 1e11, along slopes that are off by some
/// per cent (`src/riser/ends.rs`).
const FOOT: f64 = 0.05 * 1e-11;

/// Cases of each kind, and how many risers are drawn for one that pumps, at most.
const CASES: usize = 24;
const FEW_CASES: usize = 1;
const DRAWS: usize = 100;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Tall,
    Shallow,
    Narrow,
    Wide,
    Bend,
    AboveOnset,
    AtOnset,
    Peak,
    MuchAir,
    Choked,
    Altitude,
    Hot,
    ColdSalt,
    Developing,
    Losses,
    Elbow,
    Mouth,
    OpenTube,
    FineDiffuser,
    LowSubmergence,
    OtherClosures,
}

const KINDS: [Kind; 21] = [
    Kind::Tall,
    Kind::Shallow,
    Kind::Narrow,
    Kind::Wide,
    Kind::Bend,
    Kind::AboveOnset,
    Kind::AtOnset,
    Kind::Peak,
    Kind::MuchAir,
    Kind::Choked,
    Kind::Altitude,
    Kind::Hot,
    Kind::ColdSalt,
    Kind::Developing,
    Kind::Losses,
    Kind::Elbow,
    Kind::Mouth,
    Kind::OpenTube,
    Kind::FineDiffuser,
    Kind::LowSubmergence,
    Kind::OtherClosures,
];

fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn k(value: f64) -> Ratio {
    Ratio::new::<ratio>(value)
}

fn kilograms(per_second: f64) -> AirFlow {
    AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(per_second)).unwrap()
}

fn mass(air: AirFlow) -> f64 {
    air.dry_mass_rate().get::<kilogram_per_second>()
}

struct Draw(StdRng);

impl Draw {
    fn even(&mut self, low: f64, high: f64) -> f64 {
        self.0.random_range(low..high)
    }

    /// Evenly spread in the logarithm.
    fn log(&mut self, low: f64, high: f64) -> f64 {
        self.even(low.ln(), high.ln()).exp()
    }

    fn one<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.0.random_range(0..of.len())]
    }

    fn site(&mut self, kind: Kind) -> Site {
        let celsius = ThermodynamicTemperature::new::<degree_celsius>;
        let kilopascals = if kind == Kind::Altitude {
            self.even(30.0, 60.0)
        } else {
            self.even(60.0, 105.0)
        };
        let atmosphere = AbsolutePressure::new::<kilopascal>(kilopascals);
        let water = match kind {
            // 60 to 95 °C, in the ranges of its properties there, up to near boiling.
            Kind::Hot => Water::from_properties(WaterProperties {
                temperature: celsius(self.even(60.0, 95.0)),
                density: MassDensity::new::<kilogram_per_cubic_meter>(self.even(960.0, 985.0)),
                viscosity: DynamicViscosity::new::<pascal_second>(self.even(3e-4, 5e-4)),
                surface_tension: SurfaceTension::new::<newton_per_meter>(self.even(0.06, 0.067)),
                vapour_pressure: AbsolutePressure::new::<kilopascal>(
                    kilopascals * self.even(0.2, 0.9),
                ),
                salinity: k(0.0),
            }),
            Kind::ColdSalt => Water::new(
                celsius(self.even(0.0, 4.0)),
                Ratio::new::<per_mille>(self.even(20.0, 42.0)),
            ),
            _ => Water::fresh(celsius(self.even(0.0, 40.0))),
        };
        Site {
            water: water.unwrap(),
            atmosphere,
        }
    }

    fn model(&mut self, kind: Kind, bore: f64) -> Model {
        let slip = match kind {
            Kind::FineDiffuser => Slip::Bubbly,
            Kind::LowSubmergence => Slip::SmithDrift,
            Kind::OtherClosures => self.one(&[
                Slip::Nicklin1962,
                Slip::Reinemann1990,
                Slip::KataokaIshii1987,
            ]),
            _ => Slip::default(),
        };
        let friction = if kind == Kind::OtherClosures {
            self.one(Friction::ALL)
        } else {
            Friction::default()
        };
        let developing = if kind == Kind::Developing {
            let bores = k(self.even(0.0, (25.0 / bore).min(100.0)));
            let length = m(self.log(0.01, 25.0));
            self.one(&[k(0.0).into(), bores.into(), length.into()])
        } else {
            DevelopingLength::default()
        };
        Model::new(slip, friction).with_developing_length(developing)
    }

    fn outlet(&mut self, kind: Kind, submergence: f64) -> Outlet {
        let loss = match kind {
            Kind::Losses => k(self.log(0.1, 100.0)),
            _ => k(self.one(&[0.0, 0.0, 0.5, 1.5])),
        };
        match kind {
            Kind::Elbow => Outlet::Elbow {
                loss,
                bore: self.one(&[None, Some(m(0.05)), Some(m(0.2))]),
                head: self.one(&[BrinkHead::Mixture, BrinkHead::ClearWater]),
            },
            Kind::Mouth => {
                let depth = m(self.even(0.0, 0.5) * submergence);
                let head = m(self.even(0.0, 0.1) * submergence);
                self.one(&[
                    Outlet::Submerged { depth, loss },
                    Outlet::OpenTop { head, loss },
                ])
            }
            _ => Outlet::Plain { loss },
        }
    }

    fn riser(&mut self, kind: Kind) -> Riser {
        let bore = match kind {
            Kind::Narrow => self.log(0.001, 0.006),
            Kind::Wide => self.log(0.3, 3.0),
            // La = 0.025 D in water of 0 to 40 °C: 106 to 111 mm.
            Kind::Bend => self.even(0.105, 0.112),
            Kind::Shallow => self.log(0.012, 0.1),
            _ => self.log(0.010, 0.3),
        };
        let submergence = match kind {
            Kind::Tall => self.log(100.0, 700.0),
            Kind::Shallow => self.log(0.03, 0.3),
            Kind::Narrow => self.log(0.2, 200.0),
            _ => self.log(0.2, 60.0),
        };
        let share = match kind {
            Kind::LowSubmergence => self.even(0.15, 0.4),
            // Where the water takes up much of the air.
            Kind::Choked => self.even(0.8, 1.0),
            _ => self.even(0.35, 1.0),
        };
        let outlet = self.outlet(kind, submergence);
        let below = match outlet {
            Outlet::Submerged { depth, .. } => depth.value,
            _ => 0.0,
        };
        let mut spec = RiserSpec::new(Dimensions {
            bore: m(bore),
            submergence: m(submergence),
            lift: m(submergence * (1.0 / share - 1.0) - below),
        })
        .with_roughness(m(self.log(1.5e-6, 2e-4).min(0.02 * bore)))
        .with_entrance_loss(k(self.even(0.0, 2.0)))
        .with_suction_length(m(self.one(&[0.0, 0.5, 3.0])))
        .with_outlet(outlet);
        match kind {
            Kind::Losses => {
                spec = spec
                    .with_entrance_loss(k(self.log(1.0, 100.0)))
                    .with_suction_length(m(self.log(1.0, 1000.0)))
                    .with_roughness(m(self.even(0.001, 0.09) * bore));
                spec.injector_loss = k(self.log(0.1, 100.0));
            }
            Kind::OpenTube => {
                spec = spec
                    .with_air_line(m(self.even(0.1, 0.7) * bore))
                    .with_lost_bore(m(self.even(0.0, 0.1) * bore))
                    .with_injector(InjectorKind::OpenTube);
            }
            Kind::FineDiffuser => spec = spec.with_injector(InjectorKind::Diffuser),
            _ => {}
        }
        let (site, model) = (self.site(kind), self.model(kind, bore));
        spec.build(&site, model).unwrap()
    }

    /// A riser that pumps, its operating point, and whether its mouth is choked.
    fn case(&mut self, kind: Kind) -> Option<(Riser, OperatingPoint, bool)> {
        let riser = self.riser(kind);
        let bore = riser.spec().dimensions.bore.value;
        let area = std::f64::consts::FRAC_PI_4 * bore * bore;
        let speed = |velocity: f64| 1.2 * velocity * area;
        let threshold = || riser.threshold().unwrap().map(mass).filter(|kg| *kg > 0.0);
        let peak = || riser.peak().ok().map(|point| mass(point.air));
        let air = match kind {
            Kind::AboveOnset => threshold()? * (1.0 + self.log(1e-4, 0.1)),
            Kind::AtOnset => threshold()? * (1.0 + self.log(1e-9, 1e-4)),
            Kind::Peak => {
                let off = self.log(1e-7, 0.1);
                peak()? * (1.0 + self.one(&[off, -off]))
            }
            Kind::MuchAir => peak()? * self.log(2.0, 100.0),
            Kind::Choked => speed(self.log(100.0, 400.0)),
            _ => speed(self.log(1e-2, 50.0)),
        };
        match riser.operate(kilograms(air)).unwrap() {
            Outcome::Pumping(point) if kind != Kind::Choked => Some((riser, point, false)),
            Outcome::Choked(point) => Some((riser, point, true)),
            _ => None,
        }
    }
}

/// Relative error of the library's flow, and what is left of a flow at best: roundings of the pressures over how steeply the
/// balance falls with the flow.
fn error(riser: &Riser, point: &OperatingPoint, choked: bool) -> (f64, f64) {
    let column = Column::of(riser, point);
    let p1 = point.foot.pressure.get::<pascal>();
    let q = big(point.water_flow.value);
    let excess = |off: f64| -> Big {
        let balance = column.balance(&(&q * (big(1.0) + big(off))), p1);
        // At the very onset of choking either may be said.
        assert!(balance.choked == choked || off != 0.0);
        balance.excess
    };
    let (mut low, mut high) = (-ERROR, ERROR);
    let (mut f_low, mut f_high) = (excess(low), excess(high));
    let slope = (&f_high - &f_low).rounded() / (high - low);
    assert!(slope < 0.0, "more water needs less: {slope}");
    let roundings = (ROUNDINGS + FOOT) * column.size() / -slope;
    // Further out, where the sign does not change between them.
    while !f_low.is_positive() {
        (high, f_high) = (low, f_low);
        low *= 10.0;
        f_low = excess(low);
    }
    while f_high.is_positive() {
        (low, f_low) = (high, f_high);
        high *= 10.0;
        f_high = excess(high);
    }
    // The root lies between; so near, the balance is a straight line.
    let share = (&f_low / (&f_low - &f_high)).rounded();
    (low + share * (high - low), roundings)
}

#[test]
fn the_solver_meets_the_balance_in_256_bits() {
    let cases = if crate::full() { CASES } else { FEW_CASES };
    let (mut ran, mut loose, mut worst, mut failures) = (0, 0, 0.0_f64, Vec::new());
    println!(
        "kind              cases  drawn   largest error  without ill-conditioned  ill-conditioned"
    );
    for (n, kind) in KINDS.into_iter().enumerate() {
        let mut draw = Draw(StdRng::seed_from_u64(1963 + n as u64));
        let (mut told, mut drawn, mut most, mut most_well, mut ill) = (0, 0, 0.0_f64, 0.0_f64, 0);
        while told < cases {
            drawn += 1;
            assert!(drawn <= DRAWS * cases, "{kind:?}: too few pump");
            let Some((riser, point, choked)) = draw.case(kind) else {
                continue;
            };
            told += 1;
            let (error, roundings) = error(&riser, &point, choked);
            most = most.max(error.abs());
            if roundings > ERROR {
                ill += 1;
            } else {
                most_well = most_well.max(error.abs());
            }
            if error.abs() > ERROR.max(roundings) {
                failures.push(format!(
                    "{kind:?} {error:.1e}, roundings {roundings:.1e}: {:?}, {}, {:?}",
                    riser.spec(),
                    riser.model(),
                    point.air
                ));
            }
        }
        println!(
            "{:<17} {told:>5} {drawn:>6}   {most:>13.1e}  {most_well:>23.1e}  {ill:>15}",
            format!("{kind:?}")
        );
        ran += told;
        loose += ill;
        worst = worst.max(most_well);
    }
    println!(
        "{ran} cases in which water flows, {loose} of them ill-conditioned; largest error of the others {worst:.1e}"
    );
    assert_eq!(ran, KINDS.len() * cases);
    assert!(
        failures.is_empty(),
        "{} fail:\n{}",
        failures.len(),
        failures.join("\n")
    );
}
