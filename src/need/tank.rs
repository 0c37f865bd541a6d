//! A tank: its animals, its water, what enters and what must hold.

use super::balance::{Balance, Line, Need, Requirement};
use super::inlet::{Entering, EnteringOxygen, Inlet};
use super::interim;
use super::limits::Limits;
use super::load::{Animals, Coefficients, Load};
use crate::error::{Error, Input, NeedError, Range};
use crate::riser::ATMOSPHERE;
use crate::units::{
    AbsolutePressure, MassConcentration, MassRate, Ratio, ThermodynamicTemperature, Volume,
    VolumeRate, base, cubic_meter, degree_celsius, kilopascal, milligram_per_liter, per_mille,
    ratio,
};
use crate::water::{SALINITY, TEMPERATURE};

/// Acidities of a tank's water.
pub const PH: Range = Range::new(4.0, 11.0, "");
/// Volumes of a tank.
pub const TANK_VOLUME: Range = Range::new(1e-6, 1e6, "m3");

/// The water in a tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TankWater {
    /// Temperature.
    pub temperature: ThermodynamicTemperature,
    /// Salinity by mass: 35 g/kg is 35 per mille.
    pub salinity: Ratio,
    /// Atmospheric pressure at the site.
    pub atmosphere: AbsolutePressure,
    /// pH, for the un-ionised part of the ammonia.
    pub ph: Ratio,
}

/// A tank.
///
/// # Validity
/// Mixed and steady: its water is everywhere as it leaves. A raceway is not mixed, and its outlet has the
/// least oxygen of all. Nothing crosses the surface and nothing grows in the light.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Tank {
    /// Animals and their feed.
    pub animals: Animals,
    /// Its water.
    pub water: TankWater,
    /// What must hold.
    pub limits: Limits,
    /// What enters.
    pub inlet: Inlet,
    /// What the feed comes to.
    pub coefficients: Coefficients,
    /// Volume of water, for the turnover.
    pub volume: Option<Volume>,
}

impl Tank {
    /// A tank with the default inlet and coefficients, and no volume.
    #[must_use]
    pub fn new(animals: Animals, water: TankWater, limits: Limits) -> Self {
        Self {
            animals,
            water,
            limits,
            inlet: Inlet::default(),
            coefficients: Coefficients::default(),
            volume: None,
        }
    }

    /// The flow of water that the tank needs, limit by limit; none at all without animals.
    ///
    /// ```text
    /// oxygen           Q = R/(C_in − C)
    /// ammonia, CO₂     Q = P/(C − C_in),  or P/(E C) of water treated with efficiency E
    /// with makeup Q_m  P = Q_m (C − C_m) + E Q C
    /// turnover         Q = n V − Q_m
    /// ```
    ///
    /// | symbol | meaning |
    /// |---|---|
    /// | R, P | oxygen used; what is given off |
    /// | C, C_in, C_m | concentration in the tank (the limit), in the water that enters, in the makeup |
    /// | n, V | tank volumes in a time; volume |
    ///
    /// A limit of un-ionised ammonia C_NH3 stands for C_NH3/f of total ammonia, f being the un-ionised
    /// fraction at the tank's temperature and pH.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] or [`Error::NotFinite`] of an input by itself;
    /// [`NeedError::LimitTooTight`], [`NeedError::LimitAboveSaturation`], [`NeedError::NoLimit`],
    /// [`NeedError::NoVolume`], [`NeedError::FeedWithoutAnimals`]. An empty tank is checked as any other.
    ///
    /// # Examples
    /// See [`need`](crate::need).
    ///
    /// # References
    /// [Timmons & Ebeling](crate::references::TIMMONS_EBELING);
    /// [Losordo & Hobbs (2000)](crate::references::LOSORDO_HOBBS_2000).
    pub fn need(&self) -> Result<Need, Error> {
        self.water.check()?;
        self.inlet.check()?;
        self.limits.check()?;
        if let Some(volume) = self.volume {
            TANK_VOLUME.check(Input::TankVolume, volume.get::<cubic_meter>())?;
        }
        let load = self.animals.load(&self.coefficients)?;
        let lines = [
            self.oxygen(&load)?,
            self.ammonia(&load)?,
            self.carbon_dioxide(&load)?,
            self.turnover()?,
        ];
        let mut requirements: Vec<_> = lines.into_iter().flatten().collect();
        if self.animals.is_none() {
            for one in &mut requirements {
                one.flow = base(0.0);
            }
        }
        Ok(Need { load, requirements })
    }

    fn oxygen(&self, load: &Load) -> Result<Option<Requirement>, Error> {
        let Some(limit) = self.limits.oxygen else {
            return Ok(None);
        };
        let saturation = self.water.oxygen_saturation();
        if limit >= saturation {
            return Err(Error::Need(NeedError::LimitAboveSaturation {
                limit,
                saturation,
            }));
        }
        let entering = match self.inlet.oxygen {
            EnteringOxygen::Known(known) => known,
            EnteringOxygen::Saturated(share) => part(share, saturation),
            EnteringOxygen::Reaerated(efficiency) => limit + part(efficiency, saturation - limit),
        };
        if entering <= limit {
            return Err(Error::Need(NeedError::LimitTooTight {
                limit: Input::LeastOxygen,
                limit_value: limit,
                entering: Input::EnteringOxygen,
                entering_value: entering,
            }));
        }
        let balance = Balance {
            load: load.oxygen,
            tank: limit,
            entering,
            by_makeup: self.by_makeup(|makeup| makeup.oxygen - limit),
        };
        Ok(Some(balance.requirement(Line::Oxygen)))
    }

    fn ammonia(&self, load: &Load) -> Result<Option<Requirement>, Error> {
        let of_tan = self.limits.tan.map(|limit| (Input::TanLimit, limit));
        let of_ammonia = self.limits.ammonia.map(|limit| {
            let total: MassConcentration = (limit / self.water.ammonia_fraction()).into();
            (Input::AmmoniaLimit, total)
        });
        let (what, limit) = match (of_tan, of_ammonia) {
            (None, None) => return Ok(None),
            (Some(one), None) | (None, Some(one)) => one,
            (Some(tan), Some(ammonia)) if ammonia.1 < tan.1 => ammonia,
            (Some(tan), Some(_)) => tan,
        };
        let entering = entering(self.inlet.tan, (what, limit), Input::EnteringTan)?;
        let balance = Balance {
            load: load.tan,
            tank: limit,
            entering,
            by_makeup: self.by_makeup(|makeup| limit - makeup.tan),
        };
        Ok(Some(balance.requirement(Line::Ammonia)))
    }

    fn carbon_dioxide(&self, load: &Load) -> Result<Option<Requirement>, Error> {
        let Some(limit) = self.limits.carbon_dioxide else {
            return Ok(None);
        };
        let entering = entering(
            self.inlet.carbon_dioxide,
            (Input::CarbonDioxideLimit, limit),
            Input::EnteringCarbonDioxide,
        )?;
        let balance = Balance {
            load: load.carbon_dioxide,
            tank: limit,
            entering,
            by_makeup: self.by_makeup(|makeup| limit - makeup.carbon_dioxide),
        };
        Ok(Some(balance.requirement(Line::CarbonDioxide)))
    }

    fn turnover(&self) -> Result<Option<Requirement>, Error> {
        let Some(turnover) = self.limits.turnover else {
            return Ok(None);
        };
        let volume = self.volume.ok_or(Error::Need(NeedError::NoVolume))?;
        let makeup = self.inlet.makeup.map_or(base(0.0), |makeup| makeup.flow);
        let left: VolumeRate = turnover * volume - makeup;
        Ok(Some(Requirement {
            line: Line::Turnover,
            flow: if left > base(0.0) { left } else { base(0.0) },
            balance: None,
        }))
    }

    /// What the makeup carries of a load, from what a volume of it carries.
    fn by_makeup(&self, carried: impl Fn(super::Makeup) -> MassConcentration) -> MassRate {
        let makeup = self.inlet.makeup;
        makeup.map_or(base(0.0), |makeup| makeup.flow * carried(makeup))
    }
}

impl TankWater {
    fn check(&self) -> Result<(), Error> {
        TEMPERATURE.check(
            Input::WaterTemperature,
            self.temperature.get::<degree_celsius>(),
        )?;
        SALINITY.check(Input::Salinity, self.salinity.get::<per_mille>())?;
        ATMOSPHERE.check(
            Input::AtmosphericPressure,
            self.atmosphere.get::<kilopascal>(),
        )?;
        PH.check(Input::Ph, self.ph.get::<ratio>())?;
        Ok(())
    }

    fn oxygen_saturation(&self) -> MassConcentration {
        MassConcentration::new::<milligram_per_liter>(interim::saturation_mg_l(
            self.temperature.get::<degree_celsius>(),
            self.salinity.get::<per_mille>(),
            self.atmosphere.pascal() / 101_325.0,
        ))
    }

    fn ammonia_fraction(&self) -> Ratio {
        base(interim::ammonia_fraction(
            self.temperature.get::<degree_celsius>(),
            self.ph.get::<ratio>(),
        ))
    }
}

/// A part of a concentration.
fn part(share: Ratio, of: MassConcentration) -> MassConcentration {
    (share * of).into()
}

/// What enters of a substance that must stay below a limit.
fn entering(
    inlet: Entering,
    (what, limit): (Input, MassConcentration),
    entering: Input,
) -> Result<MassConcentration, Error> {
    let value = match inlet {
        Entering::Known(known) => known,
        Entering::Treated(efficiency) => part(Ratio::new::<ratio>(1.0) - efficiency, limit),
    };
    if value < limit {
        Ok(value)
    } else {
        Err(Error::Need(NeedError::LimitTooTight {
            limit: what,
            limit_value: limit,
            entering,
            entering_value: value,
        }))
    }
}

/// The needs of several tanks, each by itself.
#[derive(Debug, Clone, PartialEq)]
#[must_use]
pub struct TankNeeds {
    /// One for each tank, in the order given.
    pub tanks: Vec<Need>,
}

impl TankNeeds {
    /// The sum of the flows.
    #[must_use]
    pub fn flow(&self) -> VolumeRate {
        let flows = self.tanks.iter().map(Need::flow);
        flows.fold(base(0.0), |sum, flow| sum + flow)
    }
}

/// The needs of several tanks that share a supply.
///
/// # Errors
/// [`NeedError::InTank`] with the first tank that has no need, and why.
///
/// # Examples
/// ```
/// use risewater::need::needs;
/// use risewater::units::{VolumeRate, liter_per_minute};
///
/// assert_eq!(needs(&[])?.flow(), VolumeRate::new::<liter_per_minute>(0.0));
/// # Ok::<(), risewater::Error>(())
/// ```
pub fn needs(tanks: &[Tank]) -> Result<TankNeeds, Error> {
    let numbered = (1..).zip(tanks);
    let tanks = numbered.map(|(tank, given)| {
        given.need().map_err(|error| {
            let error = Box::new(error);
            Error::Need(NeedError::InTank { tank, error })
        })
    });
    Ok(TankNeeds {
        tanks: tanks.collect::<Result<_, _>>()?,
    })
}
