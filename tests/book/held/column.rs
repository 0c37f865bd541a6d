//! The bench column of the principles, and the hand method as the chapter has it.

use std::f64::consts::FRAC_PI_4;

use risewater::riser::{Dimensions, Riser, RiserSpec, Site};
use risewater::units::*;
use risewater::{AirFlow, AirState, Model, OperatingPoint, Water};

/// Free fall, m/s², and the standard atmosphere, kPa.
pub const G: f64 = 9.80665;
pub const P_A: f64 = 101.325;
/// Of water at 20 °C, as the pages print it: density in kg/m³, viscosity in Pa s, vapour pressure in kPa.
pub const RHO: f64 = 998.2;
pub const MU: f64 = 0.001002;
pub const P_V: f64 = 2.34;

pub fn water(celsius: f64) -> Water {
    Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(celsius)).unwrap()
}

/// A riser in fresh water of 20 °C at sea level; lengths in metres.
pub fn riser(bore: f64, submergence: f64, lift: f64) -> Riser {
    let site = Site {
        water: water(20.0),
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    };
    let [bore, submergence, lift] = [bore, submergence, lift].map(Length::new::<meter>);
    let dimensions = Dimensions {
        bore,
        submergence,
        lift,
    };
    RiserSpec::new(dimensions)
        .build(&site, Model::default())
        .unwrap()
}

pub fn bench() -> Riser {
    riser(0.05, 1.0, 0.25)
}

/// Air in litres a minute, dry, counted at 20 °C and the standard atmosphere.
pub fn air(l_min: f64) -> AirFlow {
    AirFlow::at(
        VolumeRate::new::<liter_per_minute>(l_min),
        &AirState::DRY_20_C,
    )
    .unwrap()
}

pub fn point(riser: &Riser, air_l_min: f64) -> OperatingPoint {
    *riser
        .operate(air(air_l_min))
        .unwrap()
        .point()
        .expect("it pumps")
}

/// Water in litres a minute.
pub fn flow(riser: &Riser, air_l_min: f64) -> f64 {
    let outcome = riser.operate(air(air_l_min)).unwrap();
    outcome.water_flow().get::<liter_per_minute>()
}

pub fn area(bore: f64) -> f64 {
    FRAC_PI_4 * bore * bore
}

/// Superficial velocity of a flow in litres a minute.
pub fn superficial(l_min: f64, bore: f64) -> f64 {
    l_min / 60e3 / area(bore)
}

/// The superficial velocity of air counted at the water's temperature, at a middle pressure in kPa.
pub fn gas_superficial(l_min: f64, bore: f64, middle: f64) -> f64 {
    superficial(l_min * P_A / (middle - P_V), bore)
}

/// Pressure of the water at half of a submergence, kPa.
pub fn half_depth(submergence: f64) -> f64 {
    P_A + RHO * G * submergence / 2e3
}

/// Rise of a lone long bubble after Nicklin.
pub fn drift(bore: f64) -> f64 {
    0.35 * (G * bore).sqrt()
}

/// The void fraction by hand, with a tried value in the root.
pub fn void(j_g: f64, j_l: f64, drift: f64, tried: f64) -> f64 {
    j_g / (1.2 * (j_g + j_l) + drift * (1.0 - tried).sqrt())
}

/// A cross-section with fresh water and air of 20 °C.
pub use crate::figures::bench::section;

/// A riser for the hand method; lengths in metres.
#[derive(Clone, Copy)]
pub struct Hand {
    pub bore: f64,
    pub submergence: f64,
    pub lift: f64,
    pub air_l_min: f64,
    /// Density, viscosity, vapour pressure in kPa.
    pub water: [f64; 3],
    /// kPa.
    pub atmosphere: f64,
    /// Temperature of the water over that at which the air is counted.
    pub warmth: f64,
}

/// One column of the hand method's table.
pub struct Try {
    pub j: f64,
    pub j_l: f64,
    pub head: f64,
    pub factor: f64,
    pub weight: f64,
    pub undeveloped: f64,
    pub friction: f64,
    pub speed: f64,
}

impl Try {
    pub fn needed(&self) -> f64 {
        self.weight + self.undeveloped + self.friction + self.speed
    }
}

impl Hand {
    /// In fresh water of 20 °C at sea level.
    pub fn new(bore: f64, submergence: f64, lift: f64, air_l_min: f64) -> Self {
        Self {
            bore,
            submergence,
            lift,
            air_l_min,
            water: [RHO, MU, P_V],
            atmosphere: P_A,
            warmth: 1.0,
        }
    }

    pub fn length(&self) -> f64 {
        self.submergence + self.lift
    }

    pub fn middle(&self) -> f64 {
        self.atmosphere + self.water[0] * G * self.submergence / 2e3
    }

    pub fn j_g(&self) -> f64 {
        superficial(self.air_l_min, self.bore) * P_A / (self.middle() - self.water[2]) * self.warmth
    }

    pub fn developing(&self) -> f64 {
        (8.0 * self.bore).min(0.2)
    }

    /// ℓ(1 − e^(−L/ℓ)).
    pub fn undeveloped(&self) -> f64 {
        self.developing() * (1.0 - (-self.length() / self.developing()).exp())
    }

    pub fn least(&self) -> f64 {
        self.lift / (self.length() - self.undeveloped())
    }

    pub fn at(&self, void: f64) -> Try {
        let [rho, mu, _] = self.water;
        let j = (self.j_g() / void - drift(self.bore) * (1.0 - void).sqrt()) / 1.2;
        let j_l = j - self.j_g();
        let head = j_l * j_l / (2.0 * G);
        let factor = 0.316 / (rho * j_l * self.bore / mu).powf(0.25);
        Try {
            j,
            j_l,
            head,
            factor,
            weight: (1.0 - void) * self.length(),
            undeveloped: void * self.undeveloped(),
            friction: factor * self.length() / self.bore * j / j_l * head,
            speed: (1.5 + 2.0 * void / (1.0 - void)) * head,
        }
    }

    /// On the line through two tries, to three decimals.
    pub fn third(&self, a: f64, b: f64) -> f64 {
        let [one, two] = [a, b].map(|void| self.at(void).needed());
        let void = a + (b - a) * (one - self.submergence) / (one - two);
        (1e3 * void).round() / 1e3
    }

    pub fn flow(&self, void: f64) -> f64 {
        self.at(void).j_l * area(self.bore) * 60e3
    }

    /// The void that meets the submergence, by bisection.
    pub fn solved(&self) -> f64 {
        let (mut low, mut high) = (self.least(), 0.99);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            let at = self.at(middle);
            if at.j_l > 0.0 && at.needed() > self.submergence {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    }
}
