//! placeholder
pub mod air;
#[cfg(feature = "chart")]
pub mod chart;
pub mod error;
pub mod references;
pub mod two_phase;
pub mod units;
pub mod water;

pub use error::Error;
