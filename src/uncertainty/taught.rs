//! What measured points have taught of each term of the law.

use std::fmt;

use super::doubt::{Cause, Doubt};
use super::posterior::Points;

/// A term of the [law of error](crate::uncertainty).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Term {
    /// The rig: all of its points are off together.
    Rig,
    /// The shape: the error changes with depth and air.
    Shape,
    /// A part that has a cause.
    Cause(Cause),
}

impl fmt::Display for Term {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Rig => f.pad("rig"),
            Self::Shape => f.pad("shape"),
            Self::Cause(source) => source.fmt(f),
        }
    }
}

/// Width of one term before and after a trial.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Taught {
    /// Which term.
    pub term: Term,
    /// Its standard deviation before.
    pub before: f64,
    /// The same after, whatever the other terms are.
    pub after: f64,
    /// What one of these standard deviations is worth in ln q at the point asked about, before and after.
    pub of_flow: [f64; 2],
}

impl Points {
    /// What the points have taught, and what is left of it in the flow at a point of their rig. A source on which no
    /// flow hangs, neither at the readings nor at the point, is left out.
    ///
    /// ```text
    /// after² = σ² − σ⁴ gᵀ (k + U)⁻¹ g
    /// ```
    ///
    /// with g the slopes at the readings, for the rig the factors F. The shape has no single number: its width is the
    /// root of its mean variance over the measured points, s₁² − k_sᵀ (k + U)⁻¹ k_s with k_s the shape's covariance
    /// between a point and the readings, each over F².
    ///
    /// # Examples
    /// ```
    /// use risewater::published::Rig;
    /// use risewater::uncertainty::{Calibration, ErrorLaw, Term};
    /// use risewater::Model;
    ///
    /// let trial = Rig::all()[3].measured()?;
    /// let riser = trial.riser_of(&trial.points()[20], Model::default())?;
    /// let known = ErrorLaw::default().with_calibration(trial).on(&riser)?;
    /// let points = known.points();
    /// let rig = points.taught(&points.readings()[0].doubt)[0];
    /// assert_eq!(rig.term, Term::Rig);
    /// assert!(rig.after < rig.before);
    /// # Ok::<(), risewater::Error>(())
    /// ```
    #[must_use]
    pub fn taught(&self, at: &Doubt) -> Vec<Taught> {
        let own = at.rig();
        let rig = self.column(|doubt| own * doubt.rig() * doubt.stretch());
        let rig = self.left(own * own, &rig);
        let mut found = vec![
            Taught::of(Term::Rig, [own, rig], at.stretch()),
            Taught::of(Term::Shape, self.shape_widths(at), at.stretch()),
        ];
        for source in Cause::ALL {
            let readings = self.readings().iter().map(|reading| &reading.doubt);
            if readings.chain([at]).all(|doubt| doubt.slope(source) == 0.0) {
                continue;
            }
            let before = source.prior();
            let widths = [before, before * self.left_open(source)];
            let worth = at.scaled(source).abs();
            found.push(Taught::of(Term::Cause(source), widths, worth));
        }
        found
    }

    /// Standard deviation of the shape's part before and after the readings, over them; at a point where there are
    /// none.
    fn shape_widths(&self, at: &Doubt) -> [f64; 2] {
        let readings = self.readings().iter().map(|reading| reading.doubt);
        let mut places: Vec<Doubt> = readings.collect();
        if places.is_empty() {
            places.push(*at);
        }
        let mean = |width: &dyn Fn(&Doubt) -> f64| {
            let sum: f64 = places
                .iter()
                .map(|at| (width(at) / at.stretch()).powi(2))
                .sum();
            (sum / places.len() as f64).sqrt()
        };
        let before = |at: &Doubt| at.shape_with(at).sqrt();
        let after = |at: &Doubt| {
            let near = self.column(|doubt| doubt.shape_with(at));
            self.left(at.shape_with(at), &near)
        };
        [mean(&before), mean(&after)]
    }
}

impl Taught {
    fn of(term: Term, [before, after]: [f64; 2], worth: f64) -> Self {
        Self {
            term,
            before,
            after,
            of_flow: [before * worth, after * worth],
        }
    }
}
