//! Aeration tests: how fast oxygen goes into water, from readings while it rises.
//!
//! Oxygen is taken out of the water (with sodium sulphite or nitrogen), the air is turned on, and one or
//! more probes are read while oxygen rises again. Each probe's readings are fitted by [`Reaeration`], and [`AerationTest`] brings all to 20 °C, one atmosphere and no oxygen in the water:
//!
//! ```text
//! C(t) = C* − (C* − C₀) exp(−k t)                          the fit: k, C*, C₀
//! k₂₀  = k θ^(20−T)                                        θ = 1.024
//! C*₂₀ = C* C_s,20/C_s,T,p                                 C_s: saturation at the surface
//! SOTR = V k₂₀ C*₂₀                                        mean over the probes
//! ```
//!
//! What the standard calls Ω, barometer over one atmosphere for shallow tanks, is here the pressure
//! factor of [`saturation`](super::saturation), the same at test and site; the plain ratio is up to 1 %
//! more at 70 kPa.
//!
//! # References
//! [ASCE/EWRI 2](crate::references::ASCE_EWRI_2), from memory but for the averaging over the probes.

mod efficiency;
mod field;
mod standard;

mod fit;
mod linear;
mod probes;
#[cfg(feature = "files")]
mod table;

pub use efficiency::{
    AerationEfficiency, AeratorPower, POWER, aeration_efficiency, standard_transfer_efficiency,
};
pub use field::{ALPHA, BETA, Field, field_transfer_rate};
pub use standard::{
    AERATED_VOLUME, AERATION_THETA, THETA, TRANSFER_COEFFICIENT, TRANSFER_RATE,
    coefficient_at_20_c, saturation_at_20_c, standard_transfer_rate,
};

pub use fit::{AERATION_TIME, FEWEST_READINGS, OXYGEN_READING, Reading, Reaeration};
pub use probes::{AerationTest, ProbeTransfer, StandardTransfer};
#[cfg(feature = "files")]
pub use table::{DEMO_READINGS, Probe, parse_readings};
