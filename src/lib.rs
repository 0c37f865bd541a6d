//! placeholder
pub mod air;
pub mod error;
pub mod references;
pub mod units;
pub mod water;
