//! What a bench trial teaches and which run to make next.

#![cfg(feature = "trial")]

#[cfg(feature = "report")]
mod fit;
mod next;
