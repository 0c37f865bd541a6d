#![doc = include_str!("../README.md")]
#![cfg_attr(docsrs, feature(doc_cfg))]
#![cfg_attr(
    not(all(feature = "files", feature = "report")),
    allow(
        dead_code,
        unused_imports,
        reason = "some helpers serve files or reports alone"
    )
)]

// Its macros call each other by bare names.
#[macro_use]
extern crate uom as uom_with_macros;

pub mod air;
#[cfg(feature = "report")]
pub mod answer;
pub mod caution;
#[cfg(feature = "report")]
pub mod chart;
#[cfg(test)]
mod check_table;
mod curve;
#[cfg(feature = "files")]
pub mod design;
pub mod error;
#[cfg(feature = "files")]
pub mod file;
pub mod friction;
pub mod gas;
pub mod keys;
pub mod measurement;
mod model;
mod name;
pub mod need;
pub mod pipe;
pub mod prelude;
pub mod published;
pub mod recirculation;
pub mod references;
pub mod regime;
#[cfg(feature = "report")]
pub mod report;
pub mod riser;
pub mod sizing;
pub mod slip;
mod solve;
pub mod supply;
#[cfg(feature = "sweep")]
pub mod sweep;
#[cfg(feature = "files")]
pub mod table;
pub mod transfer;
pub mod trial;
pub mod two_phase;
pub mod uncertainty;
pub mod units;
pub mod water;

pub use air::{AirFlow, AirState};
pub use caution::Caution;
pub use curve::Curve;
pub use error::Error;
pub use friction::Friction;
pub use model::{DEVELOPING_BORES, DEVELOPING_LENGTH, DevelopingLength, Model};
pub use pipe::Pipe;
pub use riser::{OperatingPoint, Outcome, Riser, RiserSpec};
pub use slip::Slip;
pub use uncertainty::{Calibration, ErrorLaw, Interval};
#[doc(no_inline)]
pub use uom;
pub use water::Water;

/// The chapters of the book: `cargo test` compiles and runs their Rust.
#[cfg(all(doctest, feature = "files", feature = "report"))]
mod book {
    #[doc = include_str!("../book/src/desk.md")]
    mod desk {}
    #[doc = include_str!("../book/src/introduction.md")]
    mod introduction {}
    #[doc = include_str!("../book/src/why-it-lifts.md")]
    mod why_it_lifts {}
    #[doc = include_str!("../book/src/void-and-slip.md")]
    mod void_and_slip {}
    #[doc = include_str!("../book/src/flow-patterns.md")]
    mod flow_patterns {}
    #[doc = include_str!("../book/src/wall-friction.md")]
    mod wall_friction {}
    #[doc = include_str!("../book/src/hand-method.md")]
    mod hand_method {}
    #[doc = include_str!("../book/src/working-range.md")]
    mod working_range {}
    #[doc = include_str!("../book/src/depth-ratio.md")]
    mod depth_ratio {}
    #[doc = include_str!("../book/src/short-risers.md")]
    mod short_risers {}
    #[doc = include_str!("../book/src/duty.md")]
    mod duty {}
    #[doc = include_str!("../book/src/one-riser.md")]
    mod one_riser {}
    #[doc = include_str!("../book/src/need.md")]
    mod need {}
    #[doc = include_str!("../book/src/loop.md")]
    mod water_loop {}
    #[doc = include_str!("../book/src/air-side.md")]
    mod air_side {}
    #[doc = include_str!("../book/src/how-well.md")]
    mod how_well {}
    #[doc = include_str!("../book/src/evidence-rigs.md")]
    mod evidence_rigs {}
    #[doc = include_str!("../book/src/evidence-closures.md")]
    mod evidence_closures {}
    #[doc = include_str!("../book/src/evidence-numerics.md")]
    mod evidence_numerics {}
    #[doc = include_str!("../book/src/evidence-sources.md")]
    mod evidence_sources {}
    #[doc = include_str!("../book/src/bench.md")]
    mod bench {}
    #[doc = include_str!("../book/src/lesson.md")]
    mod lesson {}
    #[doc = include_str!("../book/src/lesson-sheet.md")]
    mod lesson_sheet {}
    #[doc = include_str!("../book/src/case-bench-trial.md")]
    mod case_bench_trial {}
    #[doc = include_str!("../book/src/case-larval-tank.md")]
    mod case_larval_tank {}
    #[doc = include_str!("../book/src/case-fry-raceway.md")]
    mod case_fry_raceway {}
    #[doc = include_str!("../book/src/case-biofilter-return.md")]
    mod case_biofilter_return {}
    #[doc = include_str!("../book/src/case-sea-water.md")]
    mod case_sea_water {}
    #[doc = include_str!("../book/src/case-twelve-lifts.md")]
    mod case_twelve_lifts {}
    #[doc = include_str!("../book/src/case-six-tanks.md")]
    mod case_six_tanks {}
    #[doc = include_str!("../book/src/case-tall-lift.md")]
    mod case_tall_lift {}
    #[doc = include_str!("../book/src/case-retrofit-fails.md")]
    mod case_retrofit_fails {}
    #[doc = include_str!("../book/src/case-whole-room.md")]
    mod case_whole_room {}
    #[doc = include_str!("../book/src/case-nursery.md")]
    mod case_nursery {}
    #[doc = include_str!("../book/src/design-file.md")]
    mod design_file {}
    #[doc = include_str!("../book/src/answers.md")]
    mod answers {}
    #[doc = include_str!("../book/src/commands.md")]
    mod commands {}
    #[doc = include_str!("../book/src/many-cases.md")]
    mod many_cases {}
    #[doc = include_str!("../book/src/units.md")]
    mod units {}
    #[doc = include_str!("../book/src/errors.md")]
    mod errors {}
    #[doc = include_str!("../book/src/glossary.md")]
    mod glossary {}
    #[doc = include_str!("../book/src/symbols.md")]
    mod symbols {}
    #[doc = include_str!("../book/src/index-of-terms.md")]
    mod index_of_terms {}
    #[doc = include_str!("../book/src/safety.md")]
    mod safety {}
    #[doc = include_str!("../book/src/changes.md")]
    mod changes {}
}
