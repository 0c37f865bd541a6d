//! The biofilter: how fast it oxidises ammonia, and what size a duty asks for.

use super::nitrification::{BOUND_PER_NITROGEN, PerNitrogen};
use super::plain::{G_H, G_M3, M3, M3_H};
use crate::error::{Error, Input, range};
use crate::need::{COEFFICIENT, EFFICIENCY};
use crate::units::{
    Area, MassConcentration, MassFlux, MassRate, Ratio, ThermodynamicTemperature, Volume,
    VolumeRate, base, cubic_meter, degree_celsius, gram_per_hour, gram_per_square_meter_day,
    milligram_per_liter, ratio, square_meter,
};

range!(FILTER_AREA, 0 to 1e9 "m2", "Areas that a film grows on.");
range!(FILTER_RATE, 1e-6 to 1e4 "g/(m2 d)", "Rates of nitrification on an area, as nitrogen.");
range!(FILTER_VOLUME, 0 to 1e6 "m3", "Volumes of water in a filter; with 0 it passes at once.");
range!(HALF_SATURATION, 1e-3 to 1e3 "mg/L", "Half saturations.");
range!(FILTER_THETA, 0.9 to 1.2, "Temperature factors of a filter's rate; below 1 where oxygen limits it.");
range!(FILTER_OXYGEN, 0 to 1e9 "g/h", "Oxygen of other bacteria in a filter.");
range!(NITROGEN_YIELD, -10 to 20 "g/g", "Masses of oxygen and carbon dioxide for nitrogen.");

/// How water goes through a filter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Through {
    /// Mixed: all of the film meets the water that leaves.
    Mixed,
    /// In a plug: from what enters down to what leaves.
    Plug,
}

/// How the rate follows the ammonia S.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RateLaw {
    /// A pass removes a share of what enters, whatever it is: N = E Q S.
    Pass {
        /// E.
        efficiency: Ratio,
    },
    /// r S/(K + S) on an area: of first order far below K, of none far above
    /// ([Zhu & Chen (1999)](crate::references::ZHU_CHEN_1999) have r 1.86 g/(m² d) and K near 2 mg/L at 27 °C with a
    /// threshold of 0.07 mg/L, which is left out here; from memory).
    Monod {
        /// Area of the film.
        area: Area,
        /// r, at much ammonia.
        most: MassFlux,
        /// K.
        half_saturation: MassConcentration,
        /// How water goes through.
        through: Through,
    },
    /// k √S on an area, as where ammonia must diffuse into a film, up to r where there is a limit
    /// ([Eding et al. (2006)](crate::references::EDING_2006): r 0.2 to 0.7 g/(m² d) in trickling filters, from memory).
    HalfOrder {
        /// Area of the film.
        area: Area,
        /// Rate at 1 mg/L, k.
        rate_at_1_mg_per_l: MassFlux,
        /// r; none where the law holds at any S.
        most: Option<MassFlux>,
        /// How water goes through.
        through: Through,
    },
}

/// A biofilter.
///
/// # Validity
/// Oxygen does not limit the rate: see to it that enough is left after the filter. Nitrite does not pile up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Biofilter {
    /// Its rate, at [`Biofilter::rate_temperature`]; a share of a pass holds at any temperature.
    pub law: RateLaw,
    /// Temperature of the rates on an area; the loop's own where there is none.
    pub rate_temperature: Option<ThermodynamicTemperature>,
    /// Factor of those rates for each kelvin. Films: 1.01 to 1.04, from memory and doubtful.
    pub theta: Ratio,
    /// Volume of its water, mixed; 0 where it passes at once. A mixed law holds for the water in the filter, the
    /// others for what enters.
    pub volume: Volume,
    /// What nitrification takes and gives.
    pub per_nitrogen: PerNitrogen,
    /// Oxygen that other bacteria take, even over the day; see
    /// [`OTHER_BACTERIA_PER_FEED`](super::defaults::OTHER_BACTERIA_PER_FEED).
    pub other_oxygen: MassRate,
    /// Carbon dioxide that they give off, over that oxygen.
    pub other_carbon_dioxide: Ratio,
}

/// A filter's law in g/m³, m³/h and g/h.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum PlainLaw {
    Pass(f64),
    Monod {
        most: f64,
        half: f64,
        through: Through,
    },
    HalfOrder {
        k: f64,
        most: f64,
        through: Through,
    },
}

/// A filter in g/m³, m³, m³/h and g/h.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PlainFilter {
    pub law: PlainLaw,
    pub volume: f64,
    pub oxygen_per_n: f64,
    pub carbon_dioxide_per_n: f64,
    pub other_oxygen: f64,
    pub other_carbon_dioxide: f64,
}

impl Biofilter {
    /// A filter that passes water at once, at the loop's temperature, without other bacteria.
    #[must_use]
    pub const fn new(law: RateLaw, per_nitrogen: PerNitrogen) -> Self {
        Self {
            law,
            rate_temperature: None,
            theta: base(1.0),
            volume: base(0.0),
            per_nitrogen,
            other_oxygen: base(0.0),
            other_carbon_dioxide: base(0.0),
        }
    }

    /// With other bacteria, that breathe by a respiratory quotient of 1.
    #[must_use]
    pub fn with_other_bacteria(mut self, oxygen: MassRate) -> Self {
        self.other_oxygen = oxygen;
        // 44.009/31.998
        self.other_carbon_dioxide = base(BOUND_PER_NITROGEN * 14.007 / 31.998);
        self
    }

    /// Nitrogen that it oxidises of water that comes to it with so much ammonia.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside the ranges beside it, [`Error::NotFinite`].
    ///
    /// # Examples
    /// ```
    /// use risewater::recirculation::{Base, Biofilter, Nitrification, RateLaw, Through};
    /// use risewater::units::*;
    ///
    /// let temperature = ThermodynamicTemperature::new::<degree_celsius>(20.0);
    /// let yields = Nitrification::with_cells(Ratio::new::<ratio>(0.0244), Base::Bicarbonate)?;
    /// let filter = Biofilter::new(
    ///     RateLaw::Monod {
    ///         area: Area::new::<square_meter>(800.0),
    ///         most: MassFlux::new::<gram_per_square_meter_day>(0.45),
    ///         half_saturation: MassConcentration::new::<milligram_per_liter>(1.9),
    ///         through: Through::Mixed,
    ///     },
    ///     yields.at_filter(),
    /// );
    /// // Never more than 800 m² × 0.45 g/(m² d) = 360 g/d
    /// let much = filter.nitrified(
    ///     MassConcentration::new::<milligram_per_liter>(500.0),
    ///     VolumeRate::new::<cubic_meter_per_hour>(60.0),
    ///     temperature,
    /// )?;
    /// assert!(much.get::<gram_per_day>() < 360.0 && much.get::<gram_per_day>() > 355.0);
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn nitrified(
        &self,
        entering: MassConcentration,
        flow: VolumeRate,
        temperature: ThermodynamicTemperature,
    ) -> Result<MassRate, Error> {
        super::TAN.check(Input::EnteringTan, entering.get::<milligram_per_liter>())?;
        super::check_flow(Input::WaterFlow, flow)?;
        let plain = self.plain(temperature)?;
        Ok(base(
            plain
                .law
                .nitrified(entering.value / G_M3, flow.value / M3_H)
                * G_H,
        ))
    }

    /// In plain numbers, at a loop's temperature, checked.
    pub(super) fn plain(
        &self,
        temperature: ThermodynamicTemperature,
    ) -> Result<PlainFilter, Error> {
        let theta = FILTER_THETA.check(Input::FilterTheta, self.theta.get::<ratio>())?;
        let own = self.rate_temperature.unwrap_or(temperature);
        let own_c = own.get::<degree_celsius>();
        crate::gas::TEMPERATURE.check(Input::FilterRateTemperature, own_c)?;
        // θ^(T − T_r)
        let factor = theta.powf(temperature.get::<degree_celsius>() - own_c);
        let total = |area: Area, rate: MassFlux| -> Result<f64, Error> {
            let area = FILTER_AREA.check(Input::FilterArea, area.get::<square_meter>())?;
            let rate = rate.get::<gram_per_square_meter_day>();
            FILTER_RATE.check(Input::FilterRate, rate)?;
            Ok(factor * area * rate / 24.0)
        };
        let law = match self.law {
            RateLaw::Pass { efficiency } => {
                PlainLaw::Pass(EFFICIENCY.check(Input::TanRemoval, efficiency.get::<ratio>())?)
            }
            RateLaw::Monod {
                area,
                most,
                half_saturation,
                through,
            } => PlainLaw::Monod {
                most: total(area, most)?,
                half: HALF_SATURATION.check(
                    Input::HalfSaturation,
                    half_saturation.get::<milligram_per_liter>(),
                )?,
                through,
            },
            RateLaw::HalfOrder {
                area,
                rate_at_1_mg_per_l,
                most,
                through,
            } => PlainLaw::HalfOrder {
                k: total(area, rate_at_1_mg_per_l)?,
                most: most.map_or(Ok(f64::INFINITY), |most| total(area, most))?,
                through,
            },
        };
        let oxygen_per_n = self.per_nitrogen.oxygen.get::<ratio>();
        let carbon_dioxide_per_n = self.per_nitrogen.carbon_dioxide.get::<ratio>();
        for value in [oxygen_per_n, carbon_dioxide_per_n] {
            NITROGEN_YIELD.check(Input::NitrificationYield, value)?;
        }
        let other_oxygen = self.other_oxygen.get::<gram_per_hour>();
        FILTER_OXYGEN.check(Input::FilterOxygen, other_oxygen)?;
        let other = self.other_carbon_dioxide.get::<ratio>();
        COEFFICIENT.check(Input::CarbonDioxidePerOxygen, other)?;
        Ok(PlainFilter {
            law,
            volume: FILTER_VOLUME.check(Input::FilterVolume, self.volume.get::<cubic_meter>())?,
            oxygen_per_n,
            carbon_dioxide_per_n,
            other_oxygen,
            other_carbon_dioxide: other * other_oxygen,
        })
    }
}

impl PlainLaw {
    /// Most that the filter can ever take, g/h.
    pub fn most(self) -> f64 {
        match self {
            Self::Pass(_) => f64::INFINITY,
            Self::Monod { most, .. } => most,
            Self::HalfOrder { k, most, .. } => {
                if k > 0.0 {
                    most
                } else {
                    0.0
                }
            }
        }
    }

    /// Nitrogen of a flow that enters with S, g/h.
    pub fn nitrified(self, s: f64, q: f64) -> f64 {
        if q <= 0.0 || s <= 0.0 {
            return 0.0;
        }
        match self {
            Self::Pass(efficiency) => efficiency * q * s,
            Self::Monod {
                most,
                half,
                through: Through::Mixed,
            } => {
                // Q (S − S_f) = R S_f/(K + S_f)  →  S_f² + (K + R/Q − S) S_f − S K = 0
                let b = half + most / q - s;
                let root = (b * b + 4.0 * s * half).sqrt();
                let left = if b > 0.0 {
                    2.0 * s * half / (b + root)
                } else {
                    0.5 * (root - b)
                };
                most * left / (half + left)
            }
            Self::Monod {
                most,
                half,
                through: Through::Plug,
            } => {
                if most / q < 0.5 * s {
                    return q * little(s, half, most / q);
                }
                // (S_o − S) + K ln(S_o/S) = −R/Q: with w = S_o/K,  w + ln w = S/K + ln(S/K) − R/(K Q)
                let z = s / half + (s / half).ln() - most / (half * q);
                q * (s - half * omega(z)).max(0.0)
            }
            Self::HalfOrder {
                k,
                most,
                through: Through::Mixed,
            } => {
                // Q (S − S_f) = k √S_f
                let b = k / q;
                let root = 2.0 * s / (b + (b * b + 4.0 * s).sqrt());
                (k * root).min(most)
            }
            Self::HalfOrder {
                k,
                most,
                through: Through::Plug,
            } => {
                // Down to (r/k)² at the rate r, from there √S falls with k/(2Q).
                let bend = if most.is_finite() && k > 0.0 {
                    (most / k).powi(2)
                } else {
                    f64::INFINITY
                };
                let share = if s > bend {
                    (q * (s - bend) / most).min(1.0)
                } else {
                    0.0
                };
                let from = s.min(bend);
                let by_most = if share > 0.0 { share * most } else { 0.0 };
                let left = (from.sqrt() - k * (1.0 - share) / (2.0 * q)).max(0.0);
                let by_root = if share < 1.0 {
                    q * (from - left * left)
                } else {
                    0.0
                };
                by_most + by_root
            }
        }
    }

    /// Nitrogen of water that stays mixed in the filter at S while it enters with another, g/h.
    pub fn nitrified_in(self, entering: f64, inside: f64, q: f64) -> f64 {
        let inside = inside.max(0.0);
        match self {
            Self::Monod {
                most,
                half,
                through: Through::Mixed,
            } => most * inside / (half + inside),
            Self::HalfOrder {
                k,
                most,
                through: Through::Mixed,
            } => (k * inside.sqrt()).min(most),
            _ => self.nitrified(entering, q),
        }
    }
}

/// What a plug takes of much ammonia, δ = S − S_o, without a difference of two large numbers: δ − K ln(1 − δ/S) = R/Q.
fn little(s: f64, half: f64, most: f64) -> f64 {
    // Convex, and above its root at R/Q: Newton's method comes down to it.
    let mut taken = most;
    for _ in 0..40 {
        let residual = taken - half * (-taken / s).ln_1p() - most;
        let step = residual / (1.0 + half / (s - taken));
        taken -= step;
        if step.abs() <= 1e-16 * most {
            break;
        }
    }
    taken
}

/// Wright's ω: the root of w + ln w = z.
fn omega(z: f64) -> f64 {
    let mut w = if z > 1.0 {
        z - z.ln()
    } else {
        (z - z.exp().min(1.0)).exp()
    };
    // Below that, ω = e^z to the last digit.
    if z < -40.0 {
        return z.exp();
    }
    for _ in 0..40 {
        // Newton for ln w, which converges from any side.
        let residual = w + w.ln() - z;
        let factor = residual / (1.0 + w);
        w *= (-factor).exp();
        if factor.abs() < 1e-16 {
            break;
        }
    }
    w
}

/// What a first size of a filter is taken from, at one concentration of ammonia everywhere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FilterDuty {
    /// Ammonia that the animals excrete.
    pub tan: MassRate,
    /// Share of it that is oxidised elsewhere: in pipes, on walls, in the water.
    pub passive: Ratio,
    /// Ammonia that the tanks' water may hold.
    pub tan_limit: MassConcentration,
    /// Nitrate nitrogen that it may hold; new water must carry it off.
    pub nitrate_limit: MassConcentration,
    /// Share of the ammonia that a pass removes.
    pub efficiency: Ratio,
    /// Rate on an area at that ammonia.
    pub rate: MassFlux,
    /// Area of a cubic metre of filter.
    pub area_of_cubic_meter: Area,
}

range!(NITRATE_LIMIT, 1e-3 to 10_000 "mg/L", "Limits of nitrate nitrogen.");
range!(SPECIFIC_SURFACE, 1 to 10_000 "m2/m3", "Areas of a volume of filter.");

/// A first size of a filter.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct FilterSize {
    /// New water that keeps the nitrate at its limit.
    pub makeup: VolumeRate,
    /// Ammonia that is left for the filter.
    pub load: MassRate,
    /// Flow through it.
    pub flow: VolumeRate,
    /// Its area.
    pub area: Area,
    /// Its volume.
    pub volume: Volume,
}

impl FilterDuty {
    /// The steps of a first design, in their usual order.
    ///
    /// ```text
    /// Q_m = P/(S + S_NO3)     load = P (1 − p) − Q_m S     Q = load/(E S)     A = load/r     V = A/a
    /// ```
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside the ranges beside it, [`Error::NotFinite`].
    ///
    /// # References
    /// The order as in [Losordo & Hobbs (2000)](crate::references::LOSORDO_HOBBS_2000), from memory; balances.
    pub fn size(&self) -> Result<FilterSize, Error> {
        let tan = self.tan.get::<gram_per_hour>();
        super::GIVEN_RATE.check(Input::TankUptake, tan)?;
        let passive = crate::gas::FRACTION.check(Input::TanRemoval, self.passive.get::<ratio>())?;
        let s = crate::need::LIMIT
            .check(Input::TanLimit, self.tan_limit.get::<milligram_per_liter>())?;
        let nitrate = self.nitrate_limit.get::<milligram_per_liter>();
        NITRATE_LIMIT.check(Input::NitrateLimit, nitrate)?;
        let efficiency = EFFICIENCY.check(Input::TanRemoval, self.efficiency.get::<ratio>())?;
        let rate = self.rate.get::<gram_per_square_meter_day>();
        FILTER_RATE.check(Input::FilterRate, rate)?;
        let specific = self.area_of_cubic_meter.get::<square_meter>();
        SPECIFIC_SURFACE.check(Input::SpecificSurface, specific)?;
        let makeup = tan / (s + nitrate);
        let load = (tan * (1.0 - passive) - makeup * s).max(0.0);
        let area = 24.0 * load / rate;
        Ok(FilterSize {
            makeup: base(makeup * M3_H),
            load: base(load * G_H),
            flow: base(load / (efficiency * s) * M3_H),
            area: base(area),
            volume: base(area / specific * M3),
        })
    }
}
