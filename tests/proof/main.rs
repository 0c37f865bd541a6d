//! The physics beyond single points: the solver against 256 bits, and laws on very many random risers and plants.
//!
//! In the ordinary run a part of the cases is drawn; `PROOF=full cargo test --release --test proof -- --nocapture`
//! draws them all. Each test prints and asserts how many cases ran.

mod big;
mod closures;
mod column;
#[path = "../laws/risers.rs"]
#[allow(dead_code, reason = "`tests/laws` needs more of them")]
mod draws;
mod plants;
mod risers;
mod solver;

/// Whether all cases are asked for.
pub(crate) fn full() -> bool {
    std::env::var("PROOF").is_ok_and(|value| value == "full")
}
