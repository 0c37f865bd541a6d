//! The numbers of worked cases, a file a page: by hand with the constants that the page prints, and by the library.

mod case_bench_trial;
mod case_biofilter_return;
mod case_fry_raceway;
mod case_larval_tank;
mod case_nursery;
mod case_retrofit_fails;
mod case_sea_water;
mod case_six_tanks;
mod case_tall_lift;
mod case_twelve_lifts;
mod case_whole_room;

use risewater::design::DesignFile;
use risewater::units::{
    Length, Ratio, ThermodynamicTemperature, VolumeRate, degree_celsius, kelvin, kilogram_per_hour,
    kilopascal, liter_per_minute, meter, millimeter, per_mille, watt,
};
use risewater::{AirFlow, AirState, Water};

/// Acceleration of free fall as the pages round it.
const G: f64 = 9.807;

/// A file that a page's commands read.
fn file(name: &str) -> String {
    crate::read(format!("book/src/{name}"))
}

/// What a file gives a key, as a page has it.
fn said(file: &str, key: &str) -> String {
    let value = file
        .lines()
        .find_map(|line| line.strip_prefix(key)?.trim_start().strip_prefix('='));
    let value = value
        .unwrap_or_else(|| panic!("no {key}"))
        .split('#')
        .next();
    let value = value.unwrap_or_default().trim();
    value.replace(['"', '[', ']'], "").replace("degC", "°C")
}

fn l_min(flow: VolumeRate) -> f64 {
    flow.get::<liter_per_minute>()
}

fn of_l_min(flow: f64) -> VolumeRate {
    VolumeRate::new::<liter_per_minute>(flow)
}

/// Air as it is counted, dry at 20 °C and 101.325 kPa, L/min.
fn counted(air: AirFlow) -> f64 {
    l_min(air.volume_rate_at_20_c())
}

fn air_of(l_min: f64) -> AirFlow {
    AirFlow::at(of_l_min(l_min), &AirState::DRY_20_C).unwrap()
}

fn water(celsius: f64, salinity: f64) -> Water {
    let celsius = ThermodynamicTemperature::new::<degree_celsius>(celsius);
    Water::new(celsius, Ratio::new::<per_mille>(salinity)).unwrap()
}

/// A file with changes, as `--set` has them.
fn design(text: &str, changes: &[String]) -> DesignFile {
    DesignFile::parse_with(text, changes).unwrap()
}

/// Part of the lift that air which is not yet spread does not give, over the void fraction: ℓ (1 − e^(−L/ℓ)), in m.
fn unspread(bore: f64, length: f64) -> f64 {
    let developing = developing(bore);
    developing * (1.0 - (-length / developing).exp())
}

/// The developing length: the shorter of 8 bores and 0.2 m.
fn developing(bore: f64) -> f64 {
    f64::min(8.0 * bore, 0.2)
}

fn area(bore: f64) -> f64 {
    std::f64::consts::PI * bore * bore / 4.0
}

/// The slip of Nicklin et al. (1962), solved for the air, m/s.
fn gas(void: f64, water: f64, bore: f64) -> f64 {
    void * (1.2 * water + 0.35 * (G * bore * (1.0 - void)).sqrt()) / (1.0 - 1.2 * void)
}

/// A column of one lift by hand, with the constants that a page prints.
#[derive(Clone, Copy)]
struct Column {
    /// In m.
    bore: f64,
    submergence: f64,
    /// Height that the mixture climbs above the level.
    lift: f64,
    /// Water, L/min.
    l_min: f64,
    density: f64,
    viscosity: f64,
    atmosphere_kpa: f64,
    vapour_kpa: f64,
    kelvin: f64,
    /// Over what length the air spreads, m.
    developing: f64,
}

/// Terms of the submergence that a column needs, m.
struct Terms {
    gas: f64,
    weight: f64,
    unspread: f64,
    friction: f64,
    ends: f64,
}

impl Terms {
    fn needed(&self) -> f64 {
        self.weight + self.unspread + self.friction + self.ends
    }
}

impl Column {
    fn length(&self) -> f64 {
        self.submergence + self.lift
    }

    /// ℓ (1 − e^(−L/ℓ)), m.
    fn unspread(&self) -> f64 {
        self.developing * (1.0 - (-self.length() / self.developing).exp())
    }

    fn least_void(&self) -> f64 {
        self.lift / (self.length() - self.unspread())
    }

    fn water(&self) -> f64 {
        self.l_min / 60e3 / area(self.bore)
    }

    fn head(&self) -> f64 {
        self.water().powi(2) / (2.0 * G)
    }

    /// Blasius' rule.
    fn friction(&self) -> f64 {
        0.316 / (self.density * self.water() * self.bore / self.viscosity).powf(0.25)
    }

    /// The row of a try in the tables of the pages.
    fn tried(&self, void: f64) -> String {
        let terms = self.terms(void);
        let parts = [
            terms.gas,
            terms.weight,
            terms.unspread,
            terms.friction,
            terms.ends,
            terms.needed(),
        ];
        format!("| {void:.3} {}", cells(&parts, 4))
    }

    fn terms(&self, void: f64) -> Terms {
        let gas = gas(void, self.water(), self.bore);
        Terms {
            gas,
            weight: (1.0 - void) * self.length(),
            unspread: void * self.unspread(),
            friction: self.friction() * self.length() / self.bore
                * (1.0 + gas / self.water())
                * self.head(),
            ends: (1.5 + 2.0 * void / (1.0 - void)) * self.head(),
        }
    }

    /// The third try, on the straight line through two.
    fn third(&self, first: f64, second: f64) -> f64 {
        let needed = [first, second].map(|void| self.terms(void).needed());
        first + (second - first) * (needed[0] - self.submergence) / (needed[0] - needed[1])
    }

    /// The void whose column needs just the submergence.
    fn void(&self) -> f64 {
        let (mut low, mut high) = (0.01, 0.8);
        for _ in 0..60 {
            let void = 0.5 * (low + high);
            if self.terms(void).needed() > self.submergence {
                low = void;
            } else {
                high = void;
            }
        }
        low
    }

    fn mean_kpa(&self) -> f64 {
        self.atmosphere_kpa + self.density * G * self.submergence / 2e3
    }

    /// Air as it is counted over air as it is at half depth.
    fn factor(&self) -> f64 {
        (self.mean_kpa() - self.vapour_kpa) / 101.325 * 293.15 / self.kelvin
    }

    /// Air of a void as it is counted, L/min.
    fn air(&self, void: f64) -> f64 {
        self.terms(void).gas * area(self.bore) * 60e3 * self.factor()
    }

    /// The library's own numbers for the constants, rounded as pages print them.
    fn is_of(&self, site: &risewater::riser::Site) {
        let water = site.water;
        let pairs = [
            (self.density, water.density().value, 0.05),
            (self.viscosity, water.viscosity().value, 0.5e-6),
            (
                self.vapour_kpa,
                water.vapour_pressure().get::<kilopascal>(),
                0.005,
            ),
            (self.kelvin, water.temperature().get::<kelvin>(), 0.005),
            (
                self.atmosphere_kpa,
                site.atmosphere.get::<kilopascal>(),
                0.05,
            ),
        ];
        for (printed, known, half) in pairs {
            assert!((printed - known).abs() <= half, "{printed} for {known}");
        }
    }

    /// The rows of a page's table of constants.
    fn constants(&self) -> [String; 7] {
        let counted = AirState::DRY_20_C;
        [
            format!("density of the water, rho | {:.1} kg/m³", self.density),
            format!("viscosity, mu | {:.6} Pa s", self.viscosity),
            format!("vapour pressure, p_v | {:.2} kPa", self.vapour_kpa),
            format!("temperature, T | {:.2} K", self.kelvin),
            format!("atmosphere, p_a | {} kPa", self.atmosphere_kpa),
            format!("fall, g | {G} m/s²"),
            format!(
                "dry, at | {:.2} K and {:.3} kPa",
                counted.temperature.get::<kelvin>(),
                counted.pressure.get::<kilopascal>()
            ),
        ]
    }
}

/// Cells of a table's row.
fn cells(values: &[f64], digits: usize) -> String {
    let values: Vec<String> = values
        .iter()
        .map(|value| format!("{value:.digits$}"))
        .collect();
    format!("| {} |", values.join(" | "))
}
