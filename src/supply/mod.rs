//! From the blower to the injector: parts of an air supply.

pub mod drill;
pub mod plate;
