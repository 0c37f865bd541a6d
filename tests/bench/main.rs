//! What a bench trial teaches and which run to make next.

#[cfg(feature = "report")]
mod fit;
#[cfg(feature = "report")]
mod lift;
mod next;
