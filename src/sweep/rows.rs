//! Rows, a chunk at a time: what changes from one to the next is built anew, and nothing else.

use std::ops::Range;

use super::tally::Tally;
use super::{Asked, CHUNK_ROWS, KeyValues, Options, Refusal, Sweep, VARIED};
use crate::air::AirFlow;
use crate::caution::Caution;
use crate::error::Error;
use crate::keys::described;
use crate::model::Model;
use crate::riser::{OperatingPoint, Outcome, Riser, RiserSpec, Series, Site};
use crate::uncertainty::{Interval, Predictor, Wanted};
use crate::units::{Length, base};

/// What a combination of values gives.
#[derive(Debug, Default)]
pub(super) struct Row {
    pub outcome: &'static str,
    pub water_flow_m3_per_s: Option<f64>,
    pub interval: Option<Interval>,
    pub air_kg_per_s: Option<f64>,
    pub startup_pa: Option<f64>,
    pub point: Option<OperatingPoint>,
    /// Codes with spaces between.
    pub cautions: String,
}

/// Rows that lie side by side.
#[derive(Debug)]
pub(super) struct Chunk {
    /// Of each row, which value each key has.
    pub digits: Vec<usize>,
    pub rows: Vec<Row>,
    pub tally: Tally,
    /// Of each error the first row that has it, where they are asked for.
    pub refusals: Vec<Refusal>,
}

/// A row without any result, of an error.
fn refused(error: &Error) -> Row {
    Row {
        outcome: error.code(),
        ..Row::default()
    }
}

impl Chunk {
    /// Keeps an error where it is the first of its code.
    fn keep(&mut self, row: u64, error: Error) {
        if self
            .refusals
            .iter()
            .all(|one| one.error.code() != error.code())
        {
            self.refusals.push(Refusal { row, error });
        }
    }
}

/// What is built of the values, as far as they allow.
struct Built<'a> {
    sweep: &'a Sweep,
    values: KeyValues,
    digits: Vec<usize>,
    site: Option<Result<Site, Error>>,
    model: Model,
    spec: Option<RiserSpec>,
    placed: Option<Result<Placed, Error>>,
}

/// A riser, ready for its air.
struct Placed {
    riser: Riser,
    /// One air flow after another; none where the air stays as it is, for which the first would take longer.
    series: Option<Series>,
    /// Whether a row was solved of it.
    used: bool,
    predictor: Option<Predictor>,
}

impl Sweep {
    /// The rows of a chunk by its number; fewer where it is told to end.
    pub(super) fn chunk(&self, number: u64, asked: Asked, options: &Options) -> Chunk {
        let first = number * CHUNK_ROWS;
        let last = first.saturating_add(CHUNK_ROWS).min(self.rows);
        let mut built = Built::at(self, first);
        let rows = usize::try_from(last - first).unwrap_or_default();
        let mut chunk = Chunk {
            digits: Vec::with_capacity(self.axes.len() * rows),
            rows: Vec::with_capacity(rows),
            tally: Tally::default(),
            refusals: Vec::new(),
        };
        for number in first..last {
            if options.stopped() {
                break;
            }
            if number > first {
                built.step();
            }
            let row = built.row(number, asked).unwrap_or_else(|error| {
                let row = refused(&error);
                chunk.keep(number, error);
                row
            });
            chunk.tally.count(number, &row);
            chunk.digits.extend(&built.digits);
            chunk.rows.push(row);
        }
        chunk
    }

    /// The chunks of a part, by their numbers.
    pub(super) fn chunks(&self, part: u64) -> Range<u64> {
        let of_part = super::PART_ROWS / CHUNK_ROWS;
        let first = part * of_part;
        first..self.rows.div_ceil(CHUNK_ROWS).min(first + of_part)
    }
}

impl<'a> Built<'a> {
    fn at(sweep: &'a Sweep, row: u64) -> Self {
        let mut built = Self {
            sweep,
            values: sweep.base.clone(),
            digits: sweep.digits(row),
            site: None,
            model: Model::default(),
            spec: None,
            placed: None,
        };
        for place in 0..built.digits.len() {
            built.put(place);
        }
        built.build([true; VARIED.len()]);
        built
    }

    /// The value of a key, where the values are.
    fn put(&mut self, place: usize) {
        if let Some(axis) = self.sweep.axes.get(place)
            && let Some(value) = axis.value(self.digits[place])
        {
            self.values.put(axis.place(), value);
        }
    }

    /// The next row.
    fn step(&mut self) {
        let mut changed = [false; VARIED.len()];
        for (place, axis) in self.sweep.axes.iter().enumerate().rev() {
            let before = self.digits[place];
            self.digits[place] += 1;
            if self.sweep.side_by_side && axis.is_same(before, self.digits[place]) {
                continue;
            }
            let wraps = !self.sweep.side_by_side && self.digits[place] == axis.len();
            if wraps {
                self.digits[place] = 0;
            }
            self.put(place);
            if let Some(section) = axis.section() {
                changed[section] = true;
            }
            if !wraps && !self.sweep.side_by_side {
                break;
            }
        }
        self.build(changed);
    }

    /// Builds what hangs on sections that have changed.
    fn build(&mut self, [water, site, riser, model, _]: [bool; VARIED.len()]) {
        if water || site {
            self.site = described::site(&self.values, &self.values);
        }
        if model {
            self.model = described::model(&self.values);
        }
        if riser {
            self.spec = self.values.riser();
        }
        if water || site || riser || model {
            self.placed = self.placed();
        }
    }

    fn placed(&self) -> Option<Result<Placed, Error>> {
        let (site, spec) = (self.site.clone()?, self.spec?);
        let riser = site.and_then(|site| spec.build(&site, self.model));
        Some(riser.and_then(|riser| Placed::of(&riser, self.sweep)))
    }

    /// The row of these values; one without an outcome where a key is missing, which a design file refuses before.
    fn row(&mut self, number: u64, asked: Asked) -> Result<Row, Error> {
        if self.sweep.side_by_side {
            let mut cells = self.sweep.axes.iter().zip(&self.digits);
            cells.try_for_each(|(axis, digit)| axis.check(*digit))?;
        }
        let Some(placed) = &mut self.placed else {
            return Ok(Row::default());
        };
        let placed = placed.as_mut().map_err(|error| error.clone())?;
        let air = match asked {
            Asked::Flow => described::air_flow(&self.values),
            Asked::AirFor(wanted) => {
                let place = usize::try_from(number).unwrap_or(usize::MAX);
                Some(placed.air_for(wanted.get(place).copied().unwrap_or(f64::NAN)))
            }
            Asked::Peak => Some(placed.peak()),
        };
        match air {
            Some(air) => placed.row(air?, self.sweep),
            None => Ok(Row::default()),
        }
    }
}

impl Placed {
    fn of(riser: &Riser, sweep: &Sweep) -> Result<Self, Error> {
        let law = &sweep.law;
        let predicted = sweep.intervals || law.calibration().is_some();
        Ok(Self {
            riser: *riser,
            series: (!sweep.side_by_side && sweep.air_varies()).then(|| riser.series()),
            used: false,
            predictor: predicted.then(|| law.on(riser)).transpose()?,
        })
    }

    /// The air for a water flow in m³/s.
    fn air_for(&self, wanted: f64) -> Result<AirFlow, Error> {
        let wanted = base(wanted);
        let point = match &self.predictor {
            Some(predictor) => predictor.air_for(wanted, Wanted::Predicted)?,
            None => self.riser.air_for(wanted)?,
        };
        Ok(point.air)
    }

    /// The air of the most water.
    fn peak(&self) -> Result<AirFlow, Error> {
        let point = match &self.predictor {
            Some(predictor) => predictor.peak()?,
            None => self.riser.peak()?,
        };
        Ok(point.air)
    }

    fn row(&mut self, air: AirFlow, sweep: &Sweep) -> Result<Row, Error> {
        // Which rows side by side have the same riser is not known before.
        if sweep.side_by_side && self.used && self.series.is_none() {
            self.series = Some(self.riser.series());
        }
        self.used = true;
        let model = match &mut self.series {
            Some(series) => series.next(air)?,
            None => self.riser.operate(air)?,
        };
        let (outcome, interval) = match &self.predictor {
            Some(predictor) if sweep.intervals => {
                let found = predictor.of_outcome(model, air)?;
                (found.outcome, found.interval)
            }
            Some(predictor) => (predictor.calibrated(model)?, None),
            None => (model, None),
        };
        let depth = self.riser.spec().dimensions.submergence;
        Ok(Row {
            outcome: outcome.name(),
            water_flow_m3_per_s: Some(outcome.water_flow().value),
            interval,
            air_kg_per_s: Some(air.kg_per_s()),
            startup_pa: Some(self.riser.site().startup_pressure(depth).0.value),
            cautions: codes(&self.cautions(&outcome, air, sweep)?),
            point: outcome.point().copied(),
        })
    }

    fn cautions(
        &self,
        outcome: &Outcome,
        air: AirFlow,
        sweep: &Sweep,
    ) -> Result<Vec<Caution>, Error> {
        let mut cautions = self.riser.cautions(outcome);
        if let Some(predictor) = self.predictor.as_ref().filter(|_| sweep.intervals) {
            cautions.extend(predictor.cautions(air)?);
        }
        if let Some(point) = outcome.point() {
            let gases = sweep.gas.of(&self.riser, point, Length::default())?;
            cautions.extend(gases.cautions());
        }
        Ok(cautions)
    }
}

fn codes(cautions: &[Caution]) -> String {
    let mut text = String::new();
    for caution in cautions {
        let code = caution.code();
        // One that is told twice, of foot and top say, has one code.
        if !text.split(' ').any(|known| known == code) {
            if !text.is_empty() {
                text.push(' ');
            }
            text += code;
        }
    }
    text
}
