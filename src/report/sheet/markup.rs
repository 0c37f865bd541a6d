//! Sections, tables, figures: the few shapes that the sheet is made of.

use maud::{Markup, PreEscaped, html};

use crate::chart::{Chart, ChartError, LiftDrawing};
use crate::report::UnitSystem;
use crate::report::kind;
use crate::report::number::short;

/// Rows of a table that is not broken between pages.
const SHORT: usize = 8;

/// Signs of a cell of words that is not broken into lines.
const ONE_LINE: usize = 14;

/// The same for paper and wide screens.
const WIDE_LINE: usize = 36;

/// A section of the sheet.
pub(super) struct Section {
    pub id: &'static str,
    pub title: &'static str,
    pub body: Markup,
    /// Whether a screen shows it folded; paper has it open.
    pub folded: bool,
}

/// Text in the signs of a printed page.
pub(super) fn signs(text: &str) -> String {
    text.replace("degC", "°C")
        .replace("degF", "°F")
        .replace("m3", "m³")
}

/// A number as it was given: four digits, without zeros at the end.
pub(super) fn given(value: f64) -> String {
    let text = short(value);
    if text.contains('.') && !text.contains('e') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// What a column holds.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Column {
    /// Words, to the left.
    Words,
    /// Numbers, to the right.
    Numbers,
}

use Column::{Numbers, Words};

/// A table under its own caption; on a narrow screen it scrolls in its box.
pub(super) fn table(
    caption: &str,
    heads: &[(&str, Column)],
    rows: impl IntoIterator<Item = Vec<String>>,
) -> Markup {
    let heads_class = |column: &Column| (*column == Numbers).then_some("n");
    let class = |column: &Column, cell: &str| match column {
        Numbers => Some("n"),
        Words if cell.chars().count() <= ONE_LINE => Some("s"),
        Words => (cell.chars().count() <= WIDE_LINE).then_some("m"),
    };
    let rows: Vec<_> = rows.into_iter().collect();
    html! {
        // A short table stays on one page.
        div.table.short[rows.len() <= SHORT] {
            h3 { (signs(caption)) }
            div.scroll role="region" tabindex="0" aria-label=(signs(caption)) {
                table {
                    thead { tr {
                        @for (head, column) in heads {
                            th scope="col" class=[heads_class(column)] { (signs(head)) }
                        }
                    } }
                    tbody {
                        @for row in rows {
                            tr {
                                @for (n, (cell, (_, column))) in row.iter().zip(heads).enumerate() {
                                    @if n == 0 {
                                        th scope="row" class=[class(column, cell)] { (shown(cell, *column)) }
                                    } @else {
                                        td class=[class(column, cell)] { (shown(cell, *column)) }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Rows as a table of the columns that stand on pages.
pub(super) fn html_table<'r, R: 'r>(
    caption: &str,
    columns: &[kind::Column<R>],
    rows: impl IntoIterator<Item = &'r R>,
    units: UnitSystem,
) -> Markup {
    let shown: Vec<(String, &kind::Column<R>)> = columns
        .iter()
        .filter_map(|column| Some((column.page_title(units)?, column)))
        .collect();
    let heads: Vec<(&str, Column)> = shown
        .iter()
        .map(|(title, column)| {
            (
                title.as_str(),
                if column.is_words() { Words } else { Numbers },
            )
        })
        .collect();
    let rows = rows.into_iter().map(|row| {
        let cells = shown.iter().map(|(_, column)| column.page_cell(row, units));
        cells.collect()
    });
    table(caption, &heads, rows)
}

/// A cell in the signs of a printed page: a number below zero with its proper sign.
fn shown(cell: &str, column: Column) -> String {
    let cell = signs(cell);
    match cell.strip_prefix('-') {
        Some(rest) if column == Numbers => format!("\u{2212}{rest}"),
        _ => cell,
    }
}

/// Names with their values and a remark on each.
pub(super) fn facts(caption: &str, rows: Vec<(&str, String, &str)>) -> Markup {
    html! {
        div.table.short {
            h3 { (signs(caption)) }
            dl.facts {
                @for (name, value, remark) in rows {
                    div {
                        dt { (signs(name)) }
                        dd {
                            span.value { (signs(&value)) }
                            @if !remark.is_empty() { " " span.remark { (signs(remark)) } }
                        }
                    }
                }
            }
        }
    }
}

/// A picture, drawn once for wide and once for narrow screens; paper has the wide one.
pub(super) fn figure(chart: &Chart) -> Result<Markup, ChartError> {
    Ok(drawn([chart.svg()?, chart.narrow_svg()?]))
}

/// The same of a picture that is drawn already, wide and narrow.
pub(super) fn drawn([wide, narrow]: [String; 2]) -> Markup {
    html! {
        figure {
            div.wide { (PreEscaped(wide)) }
            div.narrow { (PreEscaped(narrow)) }
        }
    }
}

/// Words, and a narrow chart beside them where there is room.
pub(super) fn beside(words: &Markup, chart: &Chart) -> Result<Markup, ChartError> {
    Ok(html! {
        div.pair {
            (words)
            figure { (PreEscaped(chart.narrow_svg()?)) }
        }
    })
}

/// A drawing, and a narrow chart beside it where there is room.
pub(super) fn pair(drawing: &LiftDrawing, chart: &Chart) -> Result<Markup, ChartError> {
    Ok(html! {
        div.pair {
            figure { (PreEscaped(drawing.svg()?)) }
            figure { (PreEscaped(chart.narrow_svg()?)) }
        }
    })
}
