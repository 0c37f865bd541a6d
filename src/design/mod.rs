//! Design files: text with units to typed input.

pub mod quantity;
