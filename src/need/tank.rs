//! A tank: its animals, its water, what enters and what must hold.

use super::balance::{Balance, Line, Need, NeededFlow};
use super::gases::Gases;
use super::inlet::{Entering, EnteringOxygen, Inlet};
use super::limits::Limits;
use super::load::{Animals, Coefficients, Load};
use crate::error::{Error, Input, NeedError, range};
use crate::riser::ATMOSPHERE;
use crate::units::{
    AbsolutePressure, MassConcentration, MassRate, Ratio, ThermodynamicTemperature, Volume,
    VolumeRate, base, cubic_meter, degree_celsius, kilopascal, per_mille, ratio,
};
use crate::water::{SALINITY, TEMPERATURE};

range!(PH, 4 to 11, "Acidities of a tank's water.");
range!(TANK_VOLUME, 1e-6 to 1e6 "m3", "Volumes of a tank.");

/// The water in a tank: what its [`Gases`] depend on.
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
    /// ammonia, CO₂     Q = P/(C − C_in),  or P/(E (C − C_a)) of water treated with efficiency E
    /// with makeup Q_m  P = Q_m (C − C_m) + E Q (C − C_a)
    /// turnover         Q = n V − Q_m
    /// ```
    ///
    /// | symbol | meaning |
    /// |---|---|
    /// | R, P | oxygen used; what is given off |
    /// | C, C_in, C_m | concentration in the tank (the limit), in the water that enters, in the makeup |
    /// | C_a | carbon dioxide at equilibrium with air; 0 of ammonia |
    /// | n, V | tank volumes in a time; volume |
    ///
    /// A limit of un-ionised ammonia C_NH3 stands for C_NH3/f of total ammonia, f being the un-ionised
    /// fraction. The gases must be those of the tank's own water.
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
    pub fn need(&self, gases: &Gases) -> Result<Need, Error> {
        let load = self.check()?;
        gases.check()?;
        let lines = [
            self.oxygen(&load, gases)?,
            self.ammonia(&load, gases)?,
            self.carbon_dioxide(&load, gases)?,
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

    /// The load, of a tank in which nothing is wrong by itself, whatever its gases.
    pub(super) fn check(&self) -> Result<Load, Error> {
        self.water.check()?;
        self.inlet.check()?;
        self.limits.check()?;
        if let Some(volume) = self.volume {
            TANK_VOLUME.check(Input::TankVolume, volume.get::<cubic_meter>())?;
        }
        self.turnover()?;
        self.animals.load(&self.coefficients)
    }

    fn oxygen(&self, load: &Load, gases: &Gases) -> Result<Option<NeededFlow>, Error> {
        let Some(limit) = self.limits.oxygen else {
            return Ok(None);
        };
        let saturation = gases.oxygen_saturation;
        let entering = match self.inlet.oxygen {
            EnteringOxygen::Known(known) => known,
            EnteringOxygen::Saturated(share) => part(share, saturation),
            EnteringOxygen::Reaerated(efficiency) => limit + part(efficiency, saturation - limit),
        };
        if entering <= limit {
            let reaerated = matches!(self.inlet.oxygen, EnteringOxygen::Reaerated(_));
            if limit >= saturation && (reaerated || entering <= saturation) {
                return Err(Error::Need(NeedError::LimitAboveSaturation {
                    limit,
                    saturation,
                }));
            }
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

    fn ammonia(&self, load: &Load, gases: &Gases) -> Result<Option<NeededFlow>, Error> {
        let of_tan = self.limits.tan.map(|limit| (Input::TanLimit, limit));
        let of_ammonia = match (self.limits.ammonia, gases.ammonia_fraction) {
            (None, _) => None,
            (Some(limit), Some(fraction)) => {
                let total: MassConcentration = (limit / fraction).into();
                Some((Input::AmmoniaLimit, total))
            }
            (Some(_), None) => return Err(Error::Need(NeedError::AmmoniaUnknown)),
        };
        let (what, limit) = match (of_tan, of_ammonia) {
            (None, None) => return Ok(None),
            (Some(one), None) | (None, Some(one)) => one,
            (Some(tan), Some(ammonia)) if ammonia.1 < tan.1 => ammonia,
            (Some(tan), Some(_)) => tan,
        };
        let entering = entering(self.inlet.tan, (what, limit), Input::EnteringTan, base(0.0))?;
        let balance = Balance {
            load: load.tan,
            tank: limit,
            entering,
            by_makeup: self.by_makeup(|makeup| limit - makeup.tan),
        };
        Ok(Some(balance.requirement(Line::Ammonia)))
    }

    fn carbon_dioxide(&self, load: &Load, gases: &Gases) -> Result<Option<NeededFlow>, Error> {
        let Some(limit) = self.limits.carbon_dioxide else {
            return Ok(None);
        };
        let entering = entering(
            self.inlet.carbon_dioxide,
            (Input::CarbonDioxideLimit, limit),
            Input::EnteringCarbonDioxide,
            gases.carbon_dioxide_of_air,
        )?;
        let balance = Balance {
            load: load.carbon_dioxide,
            tank: limit,
            entering,
            by_makeup: self.by_makeup(|makeup| limit - makeup.carbon_dioxide),
        };
        Ok(Some(balance.requirement(Line::CarbonDioxide)))
    }

    fn turnover(&self) -> Result<Option<NeededFlow>, Error> {
        let Some(turnover) = self.limits.turnover else {
            return Ok(None);
        };
        let volume = self.volume.ok_or(Error::Need(NeedError::NoVolume))?;
        let makeup = self.inlet.makeup.map_or(base(0.0), |makeup| makeup.flow);
        let left: VolumeRate = turnover * volume - makeup;
        Ok(Some(NeededFlow {
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
}

/// A part of a concentration.
fn part(share: Ratio, of: MassConcentration) -> MassConcentration {
    (share * of).into()
}

/// What enters of a substance that must stay below a limit; `least` is as far as treatment goes.
fn entering(
    inlet: Entering,
    (what, limit): (Input, MassConcentration),
    entering: Input,
    least: MassConcentration,
) -> Result<MassConcentration, Error> {
    let value = match inlet {
        Entering::Known(known) => known,
        Entering::Treated(efficiency) => limit - part(efficiency, limit - least),
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
