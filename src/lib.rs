//! placeholder
pub mod air;
pub mod error;
pub mod references;
pub mod two_phase;
pub mod units;
pub mod water;

pub use error::Error;
