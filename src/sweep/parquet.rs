//! Rows as columns of Parquet: a file a part, each with one group of rows.

use std::borrow::Cow;
use std::fs::File;
use std::path::Path;
use std::sync::Arc;

use parquet::basic::Compression;
use parquet::column::reader::get_typed_column_reader;
use parquet::data_type::{ByteArray, ByteArrayType, DataType, DoubleType};
use parquet::errors::ParquetError;
use parquet::file::properties::WriterProperties;
use parquet::file::reader::{FileReader, RowGroupReader, SerializedFileReader};
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::parser::parse_message_type;
use parquet::schema::types::ColumnPath;

use super::columns::{CAUTIONS, OUTCOME, Value, WATER_FLOW};
use super::rows::{Chunk, Row};
use super::tally::Tally;
use super::{PART_ROWS, Sweep};

/// A column of a chunk.
#[derive(Debug)]
pub(super) enum Column {
    Numbers(Vec<f64>, Levels),
    Names(Vec<ByteArray>, Levels),
}

/// Of each row, 1 where it has a value and 0 where it has none; of a column that always has one, nothing.
type Levels = Option<Vec<i16>>;

impl Sweep {
    /// The columns of a chunk.
    pub(super) fn columns_of(&self, chunk: &Chunk) -> Vec<Column> {
        let width = self.axes.len().max(1);
        let keys = self.axes.iter().enumerate().map(|(place, axis)| {
            let digits = chunk.digits.iter().skip(place).step_by(width);
            match axis.names() {
                None => Column::Numbers(digits.map(|digit| axis.number(*digit)).collect(), None),
                Some(names) => {
                    let name = |digit: &usize| names.get(*digit).map_or("", String::as_str);
                    Column::Names(shared(digits.map(name).map(Cow::from)), None)
                }
            }
        });
        let results = self.results().map(|column| match column.value {
            Value::Number(value) => {
                let (values, levels) = there(&chunk.rows, value);
                Column::Numbers(values, levels)
            }
            Value::Name(value) => {
                let (values, levels) = there(&chunk.rows, value);
                Column::Names(shared(values.into_iter()), levels)
            }
        });
        keys.chain(results).collect()
    }

    /// The names and types of all columns.
    fn schema(&self) -> String {
        let line = |is_due: bool, is_number: bool, name: &str| {
            let due = if is_due { "required" } else { "optional" };
            if is_number {
                format!("  {due} double {name};\n")
            } else {
                format!("  {due} binary {name} (UTF8);\n")
            }
        };
        let keys = self.axes.iter();
        let keys = keys.map(|axis| line(true, axis.names().is_none(), &axis.column()));
        let results = self.results();
        let results = results
            .map(|column| line(false, matches!(column.value, Value::Number(_)), column.name));
        let lines: String = keys.chain(results).collect();
        format!("message sweep {{\n{lines}}}")
    }

    /// Writes a part to a place.
    pub(super) fn parquet(&self, place: &Path, chunks: &[Vec<Column>]) -> Result<(), ParquetError> {
        let made_by = concat!("risewater ", env!("CARGO_PKG_VERSION"));
        let mut properties = WriterProperties::builder()
            .set_created_by(made_by.to_owned())
            .set_compression(Compression::SNAPPY);
        // Hardly a number of a result stands twice.
        for column in self.results() {
            if let Value::Number(_) = column.value {
                let path = ColumnPath::from(column.name);
                properties = properties.set_column_dictionary_enabled(path, false);
            }
        }
        let schema = Arc::new(parse_message_type(&self.schema())?);
        let file = File::create(place)?;
        let mut writer = SerializedFileWriter::new(file, schema, Arc::new(properties.build()))?;
        let mut group = writer.next_row_group()?;
        let mut place = 0;
        while let Some(mut column) = group.next_column()? {
            for chunk in chunks {
                match chunk.get(place) {
                    Some(Column::Numbers(values, levels)) => {
                        let own = column.typed::<DoubleType>();
                        own.write_batch(values, levels.as_deref(), None)?;
                    }
                    Some(Column::Names(values, levels)) => {
                        let own = column.typed::<ByteArrayType>();
                        own.write_batch(values, levels.as_deref(), None)?;
                    }
                    None => {}
                }
            }
            column.close()?;
            place += 1;
        }
        group.close()?;
        writer.close()?;
        Ok(())
    }

    /// What a part comes to that is there already; none where it is not whole.
    pub(super) fn part_there(&self, part: u64, place: &Path) -> Option<Tally> {
        let reader = SerializedFileReader::new(File::open(place).ok()?).ok()?;
        let first = part * PART_ROWS;
        let due = (self.rows - first).min(PART_ROWS);
        if reader.metadata().num_row_groups() != 1 {
            return None;
        }
        let group = reader.get_row_group(0).ok()?;
        let columns = self.columns();
        let place = |name: &str| columns.iter().position(|column| column == name);
        let count = usize::try_from(due).ok()?;
        let outcomes = read::<ByteArrayType>(&*group, place(OUTCOME)?, count)?;
        let water = read::<DoubleType>(&*group, place(WATER_FLOW)?, count)?;
        let cautions = read::<ByteArrayType>(&*group, place(CAUTIONS)?, count)?;
        let mut tally = Tally::default();
        let text = |name: &Option<ByteArray>| match name {
            Some(name) => name.as_utf8().ok().map(str::to_owned),
            None => Some(String::new()),
        };
        for (row, ((outcome, water), cautions)) in
            (first..).zip(outcomes.iter().zip(&water).zip(&cautions))
        {
            tally.add(row, &text(outcome)?, *water, &text(cautions)?);
        }
        Some(tally)
    }
}

/// All values of a column of so many rows.
fn read<T: DataType>(
    group: &dyn RowGroupReader,
    place: usize,
    count: usize,
) -> Option<Vec<Option<T::T>>> {
    let mut reader = get_typed_column_reader::<T>(group.get_column_reader(place).ok()?);
    let (mut values, mut levels) = (Vec::new(), Vec::new());
    let more = count + 1;
    reader
        .read_records(more, Some(&mut levels), None, &mut values)
        .ok()?;
    let mut values = values.into_iter();
    let all: Vec<_> = levels
        .iter()
        .map(|level| (*level > 0).then(|| values.next()).flatten())
        .collect();
    (all.len() == count).then_some(all)
}

/// The values of rows that have one, and which do.
fn there<'a, T>(rows: &'a [Row], value: fn(&'a Row) -> Option<T>) -> (Vec<T>, Levels) {
    let mut levels = Vec::with_capacity(rows.len());
    let mut values = Vec::with_capacity(rows.len());
    for row in rows {
        let found = value(row);
        levels.push(i16::from(found.is_some()));
        values.extend(found);
    }
    (values, Some(levels))
}

/// Names, of which those that are the same as the one before share its bytes.
fn shared<'a>(names: impl Iterator<Item = Cow<'a, str>>) -> Vec<ByteArray> {
    let mut all: Vec<ByteArray> = Vec::new();
    for name in names {
        let same = all.last().filter(|last| last.data() == name.as_bytes());
        let next = same.map_or_else(|| ByteArray::from(&*name), ByteArray::clone);
        all.push(next);
    }
    all
}
