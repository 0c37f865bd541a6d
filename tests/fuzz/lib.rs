//! What the fuzz targets do, compiled once for all of them.

pub mod door;
pub mod targets;
