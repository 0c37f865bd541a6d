//! The air supply: headers and lifts on them.

mod header;
mod lifts;
