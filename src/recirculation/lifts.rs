//! Groups of lifts: how much water they lift, and what they do to its gases.

use super::Solutes;
use super::plain::{Affine, M3_H, TAN};
use crate::error::{Error, Input, range};
use crate::gas::{Conditions, Dissolved, Gas, saturation};
use crate::need::LIFT_COUNT;
use crate::riser::{OperatingPoint, Riser, Site};
use crate::transfer::{GasTerms, GasTransfer, Pass, TRANSFER_COEFFICIENT};
use crate::units::{Frequency, Ratio, VolumeRate, base, hertz, ratio};

/// Step of the slopes, over what enters; the balance of a riser is so nearly straight that it hardly matters.
const STEP: f64 = 1e-3;
/// Least step, g/m³.
const LEAST_STEP: f64 = 1e-3;

range!(TRANSFER_UNITS, 1e-12 to 1e4, "Transfer units of a pass, N = k_L a V_riser/Q.");
range!(GAS_LOADING, 0 to 1e9, "Loadings s = β Q/G of a pass, β the concentration in water over that in gas.");

/// Part of the distance to equilibrium that a pass covers while it uses up its bubbles, at one pressure.
///
/// ```text
/// E = (1 − e^(−N(1+s)))/(1+s)
/// ```
///
/// For a lift of which a test gave N; where its riser is known, [`LiftExchange::Riser`] has the falling pressure and
/// the change of the bubbles' composition as well. 1/(1+s) is the ceiling.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`TRANSFER_UNITS`] or [`GAS_LOADING`], [`Error::NotFinite`].
///
/// # Examples
/// ```
/// use risewater::recirculation::pass_part;
/// use risewater::units::{Ratio, ratio};
///
/// // So much gas that it stays as it is: 1 − e^(−0.3)
/// let part = pass_part(Ratio::new::<ratio>(0.3), Ratio::new::<ratio>(0.0))?;
/// assert_eq!(format!("{:.4}", part.get::<ratio>()), "0.2592");
/// # Ok::<(), risewater::Error>(())
/// ```
pub fn pass_part(transfer_units: Ratio, loading: Ratio) -> Result<Ratio, Error> {
    let n = TRANSFER_UNITS.check(Input::TransferUnits, transfer_units.get::<ratio>())?;
    let s = GAS_LOADING.check(Input::GasLoading, loading.get::<ratio>())?;
    Ok(base(-(-n * (1.0 + s)).exp_m1() / (1.0 + s)))
}

/// Weight of the foot in the equilibrium that a pass goes towards while its pressure falls evenly, with so much gas that
/// it stays as it is.
///
/// ```text
/// C*_eff = C*_top + w (C*_foot − C*_top)         w = 1/N − 1/(e^N − 1)
/// ```
///
/// ½ of a trace of exchange, nothing of an endless one: its water leaves in equilibrium with the outlet.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`TRANSFER_UNITS`], [`Error::NotFinite`].
pub fn foot_weight(transfer_units: Ratio) -> Result<Ratio, Error> {
    let n = TRANSFER_UNITS.check(Input::TransferUnits, transfer_units.get::<ratio>())?;
    // The series where the difference would lose its digits: its next term is N⁵/30 240.
    let w = if n < 1e-2 {
        0.5 - n / 12.0 + n.powi(3) / 720.0
    } else {
        1.0 / n - 1.0 / n.exp_m1()
    };
    Ok(base(w))
}

/// What a lift does to the gases of its water.
#[derive(Debug, Clone, PartialEq)]
pub enum LiftExchange {
    /// The axial balance of a riser that runs.
    Riser(Box<RiserExchange>),
    /// A part of the distance to an equilibrium, as a test of the lift found it.
    Part {
        /// E in the order of [`Gas::ALL`].
        part: [Ratio; 4],
        /// C*, what an endless exchange would end at.
        equilibrium: Dissolved,
    },
}

/// A riser at its operating point.
#[derive(Debug, Clone, PartialEq)]
pub struct RiserExchange {
    riser: Riser,
    point: OperatingPoint,
    transfer: GasTransfer,
    ceiling: bool,
    pass: Pass,
}

impl RiserExchange {
    /// With the riser's own coefficient; without one, water that leaves in equilibrium with the bubbles at the mouth,
    /// which no riser can exceed in what it strips, and which an aeration test would replace.
    ///
    /// # Errors
    /// As [`GasTerms::transfer`] and [`Riser::transfer`].
    pub fn of(riser: &Riser, point: &OperatingPoint, terms: &GasTerms) -> Result<Self, Error> {
        let ceiling = terms.coefficient.is_none();
        let most = Frequency::new::<hertz>(TRANSFER_COEFFICIENT.max);
        let given = GasTerms {
            coefficient: terms.coefficient.or(Some(most)),
            ..*terms
        };
        // The inlet is that of the loop, whatever is given here.
        let site = riser.site();
        let inlet = Conditions::of(&site.water, site.atmosphere);
        let found = given.transfer(site)?.map(|found| found.coefficient);
        let transfer = GasTransfer {
            coefficient: found.filter(|_| !ceiling).unwrap_or(most),
            diffusion_exponent: terms.diffusion_exponent,
            inlet: Dissolved::saturated(&inlet)?,
            carbon_dioxide_of_air: terms.carbon_dioxide_of_air,
        };
        Ok(Self {
            riser: *riser,
            point: *point,
            pass: riser.pass(point, &transfer)?,
            transfer,
            ceiling,
        })
    }

    /// Whether no coefficient was given, so that all that follows is a ceiling.
    #[must_use]
    pub fn is_ceiling(&self) -> bool {
        self.ceiling
    }

    /// The riser.
    #[must_use]
    pub fn riser(&self) -> &Riser {
        &self.riser
    }

    /// Its operating point.
    #[must_use]
    pub fn point(&self) -> &OperatingPoint {
        &self.point
    }

    /// The way of its water and bubbles.
    #[must_use]
    pub fn pass(&self) -> &Pass {
        &self.pass
    }

    /// In other water, at the flows and pressures of its operating point; the coefficient grows by θ.
    pub(super) fn in_water(&self, air: &Conditions) -> Result<Self, Error> {
        let water = crate::water::Water::new(air.temperature, air.salinity)?;
        let site = Site {
            water,
            atmosphere: self.riser.site().atmosphere,
        };
        let riser = self.riser.spec().build(&site, self.riser.model())?;
        let terms = GasTerms {
            coefficient: (!self.ceiling).then_some(self.transfer.coefficient),
            coefficient_temperature: Some(self.riser.site().water.temperature()),
            diffusion_exponent: self.transfer.diffusion_exponent,
            carbon_dioxide_of_air: self.transfer.carbon_dioxide_of_air,
            ..GasTerms::default()
        };
        Self::of(&riser, &self.point, &terms)
    }
}

/// Lifts that are alike.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct LiftGroup {
    /// Name of the group.
    pub name: String,
    /// How many run.
    pub count: u32,
    /// Water of each.
    pub flow: VolumeRate,
    /// What each does to its gases.
    pub exchange: LiftExchange,
    /// The tank that they alone feed, counted from 0; none where their water is common to all tanks.
    pub tank: Option<usize>,
}

impl LiftGroup {
    /// Lifts whose water is common to all tanks.
    #[must_use]
    pub fn new(name: &str, count: u32, flow: VolumeRate, exchange: LiftExchange) -> Self {
        Self {
            name: name.to_owned(),
            count,
            flow,
            exchange,
            tank: None,
        }
    }

    /// The same, so many.
    pub(super) fn counted(&self, count: u32) -> Self {
        Self {
            count,
            ..self.clone()
        }
    }

    /// Risers at an operating point, with the water that they lift there.
    ///
    /// # Errors
    /// As [`RiserExchange::of`].
    pub fn of_riser(
        name: &str,
        count: u32,
        riser: &Riser,
        point: &OperatingPoint,
        terms: &GasTerms,
    ) -> Result<Self, Error> {
        let exchange = RiserExchange::of(riser, point, terms)?;
        let exchange = LiftExchange::Riser(Box::new(exchange));
        Ok(Self::new(name, count, point.water_flow, exchange))
    }

    /// Feeding one tank alone, counted from 0.
    #[must_use]
    pub fn for_tank(mut self, tank: usize) -> Self {
        self.tank = Some(tank);
        self
    }

    pub(super) fn check(&self) -> Result<(), Error> {
        if self.count > 0 {
            LIFT_COUNT.check(Input::LiftCount, f64::from(self.count))?;
        }
        super::check_flow(Input::LiftFlow, self.flow)?;
        if let LiftExchange::Part { part, equilibrium } = &self.exchange {
            for one in part {
                crate::gas::FRACTION.check(Input::PassPart, one.get::<ratio>())?;
            }
            Solutes::of(*equilibrium).plain()?;
        }
        Ok(())
    }

    /// Water of each, m³/h.
    pub(super) fn flow_m3_h(&self) -> f64 {
        self.flow.value / M3_H
    }
}

impl LiftExchange {
    /// The same part of the distance to an equilibrium for all gases.
    #[must_use]
    pub fn part(part: Ratio, equilibrium: Dissolved) -> Self {
        Self::Part {
            part: [part; 4],
            equilibrium,
        }
    }

    /// Whether it is a ceiling for want of a coefficient.
    #[must_use]
    pub fn is_ceiling(&self) -> bool {
        matches!(self, Self::Riser(riser) if riser.is_ceiling())
    }

    /// Whether what leaves is a straight line of what enters.
    pub(super) fn is_straight(&self) -> bool {
        matches!(self, Self::Part { .. })
    }

    /// What leaves, g/m³.
    pub(super) fn outlet(&self, inlet: [f64; TAN]) -> [f64; TAN] {
        match self {
            Self::Riser(riser) => riser.pass.outlet_g_per_m3(inlet),
            Self::Part { part, equilibrium } => {
                let end = plain(equilibrium);
                std::array::from_fn(|i| inlet[i] + part[i].value * (end[i] - inlet[i]))
            }
        }
    }

    /// The straight line through what leaves at an inlet.
    pub(super) fn affine(&self, at: [f64; TAN]) -> Affine {
        let out = self.outlet(at);
        let mut slope = [[0.0; TAN]; TAN];
        match self {
            Self::Riser(_) => {
                for j in 0..TAN {
                    let step = (STEP * at[j]).max(LEAST_STEP);
                    let mut moved = at;
                    moved[j] += step;
                    let there = self.outlet(moved);
                    for i in 0..TAN {
                        slope[i][j] = (there[i] - out[i]) / step;
                    }
                }
            }
            Self::Part { part, .. } => {
                for i in 0..TAN {
                    slope[i][i] = 1.0 - part[i].value;
                }
            }
        }
        Affine { at, out, slope }
    }

    /// The same lift in other water; an equilibrium by saturation with air before and after.
    pub(super) fn in_water(&self, before: &Conditions, after: &Conditions) -> Result<Self, Error> {
        match self {
            Self::Riser(riser) => Ok(Self::Riser(Box::new(riser.in_water(after)?))),
            Self::Part { part, equilibrium } => Ok(Self::Part {
                part: *part,
                equilibrium: scaled(equilibrium, before, after)?,
            }),
        }
    }
}

/// An equilibrium in other water: in proportion to saturation with air.
pub(super) fn scaled(
    equilibrium: &Dissolved,
    before: &Conditions,
    after: &Conditions,
) -> Result<Dissolved, Error> {
    let of = |gas: Gas| -> Result<_, Error> {
        let factor: Ratio = saturation(gas, after)? / saturation(gas, before)?;
        Ok(equilibrium.of(gas) * factor.get::<ratio>())
    };
    Ok(Dissolved {
        oxygen: of(Gas::Oxygen)?,
        nitrogen: of(Gas::Nitrogen)?,
        argon: of(Gas::Argon)?,
        carbon_dioxide: of(Gas::CarbonDioxide)?,
    })
}

fn plain(dissolved: &Dissolved) -> [f64; TAN] {
    Gas::ALL.map(|gas| dissolved.of(gas).value / super::plain::G_M3)
}
