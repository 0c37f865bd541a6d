//! placeholder
pub mod air;
#[cfg(feature = "files")]
pub mod design;
pub mod error;
mod name;
pub mod pipe;
pub mod references;
pub mod two_phase;
pub mod units;
pub mod water;

pub use error::Error;
