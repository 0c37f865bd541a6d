//! Sections, tables, figures: the few shapes that the sheet is made of.

use maud::{Markup, PreEscaped, html};

use crate::chart::{Chart, ChartError};

/// A section of the sheet.
pub(super) struct Section {
    pub id: &'static str,
    pub title: &'static str,
    pub body: Markup,
    /// Whether it starts on a page of its own.
    pub new_page: bool,
}

/// Text in the signs of a printed page.
pub(super) fn signs(text: &str) -> String {
    text.replace("degC", "°C")
        .replace("degF", "°F")
        .replace("m3", "m³")
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
    let class = |column: &Column| (*column == Numbers).then_some("n");
    html! {
        div.scroll role="region" tabindex="0" aria-label=(caption) {
            table {
                caption { (signs(caption)) }
                thead { tr {
                    @for (head, column) in heads {
                        th scope="col" class=[class(column)] { (signs(head)) }
                    }
                } }
                tbody {
                    @for row in rows {
                        tr {
                            @for (n, (cell, (_, column))) in row.iter().zip(heads).enumerate() {
                                @if n == 0 {
                                    th scope="row" class=[class(column)] { (signs(cell)) }
                                } @else {
                                    td class=[class(column)] { (signs(cell)) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Names with their values, in rows of two and a remark.
pub(super) fn facts(caption: &str, rows: Vec<(&str, String, &str)>) -> Markup {
    html! {
        table.facts {
            caption { (signs(caption)) }
            tbody {
                @for (name, value, remark) in rows {
                    tr {
                        th scope="row" { (signs(name)) }
                        td {
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
    let (wide, narrow) = (chart.svg()?, chart.narrow_svg()?);
    Ok(html! {
        figure {
            div.wide { (PreEscaped(wide)) }
            div.narrow { (PreEscaped(narrow)) }
        }
    })
}

/// Heads of a table: words first, then numbers.
pub(super) fn numbers<'a>(first: &'a str, others: &[&'a str]) -> Vec<(&'a str, Column)> {
    let others = others.iter().map(|head| (*head, Numbers));
    [(first, Words)].into_iter().chain(others).collect()
}
