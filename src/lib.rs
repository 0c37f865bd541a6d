//! placeholder
pub mod air;
pub mod error;
pub mod friction;
pub mod references;
pub mod regime;
pub mod slip;
pub mod two_phase;
pub mod units;
pub mod water;

pub use error::Error;
