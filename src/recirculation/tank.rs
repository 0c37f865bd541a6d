//! A tank of a loop: its animals, its water, what meets its surface.

use super::Solutes;
use super::nitrification::BOUND_PER_NITROGEN;
use super::plain::{G_H, G_M3, Held, M3_H, PlainTank, SPECIES, TAN, plain_rate};
use crate::error::{Error, Input, range};
use crate::gas::aeration::{ALPHA, BETA, Field, THETA, field_transfer_rate};
use crate::gas::{Conditions, Dissolved, Gas, saturation, transfer_coefficient_ratio};
use crate::need::{Limits, Load, MAKEUP_FLOW, TANK_VOLUME};
use crate::sizing::TOTAL_GAS_PRESSURE;
use crate::units::{
    MassConcentration, MassRate, Ratio, Volume, VolumeRate, base, cubic_meter,
    cubic_meter_per_hour, gram_per_hour, liter_per_minute, ratio,
};

range!(GIVEN_RATE, 0 to 1e9 "g/h", "Rates at which animals take oxygen or give off carbon dioxide and ammonia.");
range!(SURFACE_EXCHANGE, 0 to 1e6 "m3/h", "Exchanges K_s V at a surface: volumes that a time brings to equilibrium.");
range!(FLOW_SHARE, 0 to 1e6, "Shares of the common water; only their ratios count.");

/// What the animals of a tank take and give off, mean of the day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TankLoad {
    /// Oxygen taken by the animals alone: bacteria are the filter's.
    pub oxygen: MassRate,
    /// Carbon dioxide respired, in full. What the excreted ammonia binds of it is taken off by the balance, 3.14 g for
    /// each g of nitrogen: with less than that, the free carbon dioxide of the balance can fall below zero.
    pub carbon_dioxide: MassRate,
    /// Ammonia excreted, as nitrogen.
    pub tan: MassRate,
}

impl TankLoad {
    /// No animals.
    pub const NONE: Self = Self {
        oxygen: base(0.0),
        carbon_dioxide: base(0.0),
        tan: base(0.0),
    };

    /// That of feed. It must be the load of animals alone
    /// ([`Coefficients::ANIMALS`](crate::need::Coefficients::ANIMALS)): the filter's bacteria count by themselves.
    #[must_use]
    pub fn of(load: &Load) -> Self {
        Self {
            oxygen: load.oxygen,
            carbon_dioxide: load.carbon_dioxide,
            tan: load.tan,
        }
    }
}

/// Exchange of gases with the air at a surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surface {
    /// K_s V in the order of [`Gas::ALL`]: the coefficient of the surface times the tank's volume.
    pub exchange: [VolumeRate; 4],
    /// What the water would come to; equilibrium with the loop's air where there is none.
    pub equilibrium: Option<Dissolved>,
}

impl Surface {
    /// From the exchange of oxygen, in air: other gases by the ratio of their diffusion coefficients to a power
    /// of 0.5 to 1.
    ///
    /// # Errors
    /// As [`transfer_coefficient_ratio`].
    pub fn of_oxygen(exchange: VolumeRate, diffusion_exponent: Ratio) -> Result<Self, Error> {
        let mut all = [exchange; 4];
        for (one, gas) in all.iter_mut().zip(Gas::ALL) {
            *one = exchange * transfer_coefficient_ratio(gas, diffusion_exponent)?;
        }
        Ok(Self {
            exchange: all,
            equilibrium: None,
        })
    }
}

/// Another aerator than lifts, by its standard rate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aerator {
    /// SOTR: oxygen at 20 °C, one atmosphere and none in the water.
    pub standard_rate: MassRate,
    /// α.
    pub alpha: Ratio,
    /// β.
    pub beta: Ratio,
    /// θ.
    pub theta: Ratio,
    /// Exponent that carries it to other gases. None where it brings oxygen alone, which leaves carbon dioxide and
    /// nitrogen on the side of caution: bubbles of a diffuser fill with carbon dioxide long before they reach the
    /// surface.
    pub diffusion_exponent: Option<Ratio>,
}

impl Aerator {
    /// In clean water, oxygen alone.
    #[must_use]
    pub const fn clean(standard_rate: MassRate) -> Self {
        Self {
            standard_rate,
            alpha: base(1.0),
            beta: base(1.0),
            theta: THETA,
            diffusion_exponent: None,
        }
    }
}

/// New water that enters a tank; as much of the tank's own leaves by the overflow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TankMakeup {
    /// Its flow.
    pub flow: VolumeRate,
    /// What it holds.
    pub holds: Solutes,
}

/// A tank of a loop.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct LoopTank {
    /// Its name.
    pub name: String,
    /// Water in it, mixed.
    pub volume: Volume,
    /// Its animals, mean of the day.
    pub load: TankLoad,
    /// What must hold; [`Limits::NONE`] where nothing must.
    pub limits: Limits,
    /// Largest total gas pressure over the barometer's.
    pub total_gas_pressure: Option<Ratio>,
    /// Its share of the water that is common to all tanks, over the others'; of no account in series.
    pub share: Ratio,
    /// New water.
    pub makeup: Option<TankMakeup>,
    /// Exchange at the surface.
    pub surface: Option<Surface>,
    /// Other aerators.
    pub aerators: Vec<Aerator>,
}

impl LoopTank {
    /// A tank with a share of 1, without limits, new water, exchange at the surface or other aerators.
    #[must_use]
    pub fn new(name: &str, volume: Volume, load: TankLoad) -> Self {
        Self {
            name: name.to_owned(),
            volume,
            load,
            limits: Limits::NONE,
            total_gas_pressure: None,
            share: base(1.0),
            makeup: None,
            surface: None,
            aerators: Vec::new(),
        }
    }

    /// With limits.
    #[must_use]
    pub fn with_limits(mut self, limits: Limits) -> Self {
        self.limits = limits;
        self
    }

    /// With a largest total gas pressure.
    #[must_use]
    pub fn with_total_gas_pressure(mut self, most: Ratio) -> Self {
        self.total_gas_pressure = Some(most);
        self
    }

    /// With another share of the common water.
    #[must_use]
    pub fn with_share(mut self, share: Ratio) -> Self {
        self.share = share;
        self
    }

    /// With new water.
    #[must_use]
    pub fn with_makeup(mut self, makeup: TankMakeup) -> Self {
        self.makeup = Some(makeup);
        self
    }

    /// With exchange at the surface.
    #[must_use]
    pub fn with_surface(mut self, surface: Surface) -> Self {
        self.surface = Some(surface);
        self
    }

    /// With one more aerator.
    #[must_use]
    pub fn with_aerator(mut self, aerator: Aerator) -> Self {
        self.aerators.push(aerator);
        self
    }

    /// In plain numbers, checked.
    pub(super) fn plain(&self, air: &Conditions) -> Result<PlainTank, Error> {
        let volume = TANK_VOLUME.check(Input::TankVolume, self.volume.get::<cubic_meter>())?;
        let rate = |what: MassRate| -> Result<f64, Error> {
            plain_rate(GIVEN_RATE, Input::TankUptake, what.get::<gram_per_hour>())
        };
        let (oxygen, respired, tan) = (
            rate(self.load.oxygen)?,
            rate(self.load.carbon_dioxide)?,
            rate(self.load.tan)?,
        );
        self.limits.check_each()?;
        if let Some(most) = self.total_gas_pressure {
            TOTAL_GAS_PRESSURE.check(Input::TotalGasPressureLimit, most.get::<ratio>())?;
        }
        let share = FLOW_SHARE.check(Input::FlowShare, self.share.get::<ratio>())?;
        let mut tank = PlainTank {
            volume,
            by_oxygen: [-oxygen, 0.0, 0.0, respired, 0.0],
            by_ammonia: [0.0, 0.0, 0.0, -BOUND_PER_NITROGEN * tan, tan],
            makeup_flow: 0.0,
            makeup: [0.0; SPECIES],
            surface: Exchanged::default(),
            aerators: Exchanged::default(),
            share,
        };
        if let Some(makeup) = &self.makeup {
            MAKEUP_FLOW.check(Input::MakeupFlow, makeup.flow.get::<liter_per_minute>())?;
            tank.makeup_flow = makeup.flow.value / M3_H;
            tank.makeup = makeup.holds.plain()?;
        }
        if let Some(surface) = &self.surface {
            let equilibrium = match &surface.equilibrium {
                Some(given) => Solutes::of(*given).plain()?,
                None => Solutes::of(Dissolved::saturated(air)?).plain()?,
            };
            for (i, exchange) in surface.exchange.iter().enumerate() {
                let k = exchange.get::<cubic_meter_per_hour>();
                SURFACE_EXCHANGE.check(Input::SurfaceExchange, k)?;
                tank.surface.add(i, k, equilibrium[i]);
            }
        }
        for aerator in &self.aerators {
            aerator.add(air, &mut tank.aerators)?;
        }
        Ok(tank)
    }
}

impl Aerator {
    /// K = α SOTR θ^(T−20)/C_s,20 towards β C_s of fresh water, which is [`field_transfer_rate`] by two
    /// points of a straight line.
    fn add(&self, air: &Conditions, to: &mut Exchanged) -> Result<(), Error> {
        ALPHA.check(Input::AerationAlpha, self.alpha.get::<ratio>())?;
        BETA.check(Input::AerationBeta, self.beta.get::<ratio>())?;
        let field = |oxygen: MassConcentration| {
            let mut field = Field::clean(air.temperature, air.pressure, oxygen)
                .with_alpha(self.alpha)
                .with_beta(self.beta);
            field.theta = self.theta;
            field
        };
        let one: MassConcentration = base(G_M3);
        let at_none = field_transfer_rate(self.standard_rate, &field(base(0.0)))?.value / G_H;
        let at_one = field_transfer_rate(self.standard_rate, &field(one))?.value / G_H;
        let k = at_none - at_one;
        if k <= 0.0 {
            return Ok(());
        }
        to.add(Gas::Oxygen as usize, k, at_none / k);
        if let Some(exponent) = self.diffusion_exponent {
            for gas in [Gas::Nitrogen, Gas::Argon, Gas::CarbonDioxide] {
                let share = transfer_coefficient_ratio(gas, exponent)?.get::<ratio>();
                to.add(gas as usize, k * share, saturation(gas, air)?.value / G_M3);
            }
        }
        Ok(())
    }
}

/// Exchange with the air: gas i enters at K_i (C*_i − C_i).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Exchanged {
    /// K_i, m³/h.
    pub k: [f64; TAN],
    /// K_i C*_i, g/h.
    pub brought: [f64; TAN],
}

impl Exchanged {
    fn add(&mut self, gas: usize, k: f64, equilibrium: f64) {
        self.k[gas] += k;
        self.brought[gas] += k * equilibrium;
    }

    /// What comes to water that holds so much, g/h.
    pub fn to(&self, held: &Held) -> Held {
        std::array::from_fn(|i| {
            if i < TAN {
                self.brought[i] - self.k[i] * held[i]
            } else {
                0.0
            }
        })
    }
}
