//! Tables as CSV, as a spreadsheet saves them: lines and cells, and what is wrong with them.
//!
//! Lines that start with `#` and empty lines say nothing. Cells are separated by commas, semicolons or
//! tabs; a byte order mark is passed over. Numbers have a decimal point, or a decimal comma where no comma
//! separates cells: it is read as a point. What the columns mean is with each table:
//! [`blower`](crate::supply::blower) and [`need`](crate::need).

mod fault;

use std::path::Path;

pub use fault::{TableError, TableFault, TableProblem};

use crate::file::text_of;
use crate::units::quantity::decimal_point;

/// Faults noted on the way.
#[derive(Debug, Default)]
pub(crate) struct Faults {
    list: Vec<TableFault>,
}

impl Faults {
    /// What was read, if there is nothing wrong.
    pub(crate) fn verdict<T>(mut self, read: Option<T>) -> Result<T, TableError> {
        match read {
            Some(read) if self.list.is_empty() => Ok(read),
            _ => {
                // What stands nowhere comes last.
                self.list
                    .sort_by_key(|fault| fault.line.unwrap_or(usize::MAX));
                let faults = self.list;
                Err(TableError::Faults { faults })
            }
        }
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    pub(crate) fn at(&mut self, line: usize, column: &str, value: &str, problem: TableProblem) {
        self.list.push(TableFault {
            line: Some(line),
            column: column.to_owned(),
            value: value.to_owned(),
            problem,
        });
    }

    pub(crate) fn absent(&mut self, key: &str, problem: TableProblem) {
        self.list.push(TableFault {
            line: None,
            column: key.to_owned(),
            value: String::new(),
            problem,
        });
    }
}

/// A line of the file taken apart.
pub(crate) type Line = (usize, Vec<String>);

/// The text of a table on disk.
pub(crate) fn table_text(path: &Path) -> Result<String, TableError> {
    text_of(path).map_err(|reason| TableError::Unreadable {
        path: path.to_owned(),
        reason,
    })
}

/// The cells of a line.
pub(crate) fn cells((_, cells): &Line) -> Vec<&str> {
    cells.iter().map(String::as_str).collect()
}

/// The lines that say something, with their cells; remarks and empty lines are left out.
///
/// Line by line, since the reader's own count of lines leaves out those it skips.
pub(crate) fn lines(text: &str) -> Vec<Line> {
    let text = text.trim_start_matches('\u{feff}');
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    let numbered = (1..).zip(text.split('\n'));
    // A spreadsheet may have put a remark in quotes.
    let said = numbered.filter(|(_, line)| {
        let start = line.trim_start_matches(['"', ' ', ',', ';', '\t']);
        !(start.is_empty() || start.starts_with('#'))
    });
    let said: Vec<(usize, &str)> = said.collect();
    let delimiter = said.first().map_or(b',', |(_, line)| delimiter(line));
    let mut lines = Vec::new();
    for (line, text) in said {
        let mut records = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .from_reader(text.as_bytes())
            .into_records();
        // Text in UTF-8 and rows of any length: the reader has nothing to object to.
        if let Some(Ok(record)) = records.next() {
            let cells = record.iter().map(str::trim).map(|cell| match delimiter {
                b',' => cell.to_owned(),
                _ => decimal_point(cell).into_owned(),
            });
            let cells = cells.collect();
            if !text.starts_with("sep=") {
                lines.push((line, cells));
            }
        }
    }
    lines
}

/// The separator of the first line that says something: semicolon or tab if it has one, else a comma.
fn delimiter(line: &str) -> u8 {
    let mut candidates = [b';', b'\t'].into_iter();
    let found = candidates.find(|delimiter| line.bytes().any(|byte| byte == *delimiter));
    found.unwrap_or(b',')
}

#[cfg(test)]
mod tests {
    use super::lines;

    /// As an editor counts them, whatever ends a line.
    #[test]
    fn lines_have_their_numbers() {
        let text = "# remark\n\na,b\n1,2\n\n3,4\n";
        for end in ["\n", "\r\n", "\r"] {
            let found: Vec<usize> = lines(&text.replace('\n', end))
                .iter()
                .map(|l| l.0)
                .collect();
            assert_eq!(found, [3, 4, 6], "{end:?}");
        }
    }

    #[test]
    fn decimal_commas_where_no_comma_separates() {
        let cells = |text: &str| lines(text).remove(1).1;
        assert_eq!(cells("a;b\n1,5;2,5 kPa\n"), ["1.5", "2.5 kPa"]);
        assert_eq!(cells("a\tb\n1,5\tnote 1,5\n"), ["1.5", "note 1,5"]);
        assert_eq!(cells("a,b\n\"1,5\",2\n"), ["1,5", "2"]);
    }
}
