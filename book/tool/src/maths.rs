//! Equations of a chapter: LaTeX between dollar signs becomes MathML.

use std::fmt::Write;

use pulldown_cmark::{Event, Options, Parser};
use pulldown_latex::config::{DisplayMode, RenderConfig};
use pulldown_latex::{Storage, mathml};

/// A chapter with its equations as MathML, or the first equation that cannot be read.
///
/// Code spans and fenced code keep their dollar signs.
pub fn typeset(markdown: &str) -> Result<String, String> {
    let options = Options::ENABLE_MATH | Options::ENABLE_TABLES;
    let mut out = String::with_capacity(markdown.len());
    let mut done = 0;
    for (event, place) in Parser::new_ext(markdown, options).into_offset_iter() {
        let (latex, mode) = match &event {
            Event::DisplayMath(latex) => (latex, DisplayMode::Block),
            Event::InlineMath(latex) => (latex, DisplayMode::Inline),
            _ => continue,
        };
        out.push_str(&markdown[done..place.start]);
        let one = |piece: &&str| mathml(piece, mode);
        match mode {
            DisplayMode::Inline => {
                let set: Result<Vec<_>, _> = inline_pieces(latex).iter().map(one).collect();
                out.push_str(&set?.join(" "));
            }
            DisplayMode::Block => {
                out.push_str("<div class=\"equation\">");
                for part in parts(latex) {
                    let set: Result<String, _> = display_pieces(part).iter().map(one).collect();
                    let _ = write!(out, "<div>{}</div>", set?);
                }
                out.push_str("</div>");
            }
        }
        done = place.end;
    }
    out.push_str(&markdown[done..]);
    Ok(out)
}

/// Length of an inline equation that stays in one piece.
const SHORT: usize = 30;
/// The same of one that stands by itself.
const SHORT_ALONE: usize = 60;
/// What stands between equations on one line.
const APART: &str = "\\qquad";

/// A long inline equation in pieces, so that a narrow page can break its line.
fn inline_pieces(latex: &str) -> Vec<&str> {
    if latex.len() <= SHORT {
        return vec![latex];
    }
    cut(latex, |rest| {
        rest.starts_with("= ") || rest.starts_with("\\times")
    })
}

/// Equations that stand beside each other, and one below the other where there is no room.
fn parts(latex: &str) -> Vec<&str> {
    let cut = cut(latex, |rest| rest.starts_with(APART));
    let bare = cut
        .into_iter()
        .map(|part| part.trim_start_matches(APART).trim());
    bare.filter(|part| !part.is_empty()).collect()
}

/// A long equation of a line of its own in pieces, likewise.
fn display_pieces(latex: &str) -> Vec<&str> {
    if latex.len() <= SHORT_ALONE {
        return vec![latex];
    }
    cut(latex, |rest| {
        rest.starts_with("= ") || rest.starts_with("+ ")
    })
}

/// An equation cut before each sign that stands in no bracket; one of several lines stays whole.
fn cut(latex: &str, before: impl Fn(&str) -> bool) -> Vec<&str> {
    if latex.contains("\\begin") {
        return vec![latex];
    }
    let mut pieces = Vec::new();
    let (mut depth, mut from) = (0, 0);
    for (at, c) in latex.char_indices() {
        match c {
            '{' | '(' | '[' => depth += 1,
            '}' | ')' | ']' => depth -= 1,
            _ => {}
        }
        if depth == 0 && at > from && before(&latex[at..]) {
            pieces.push(&latex[from..at]);
            from = at;
        }
    }
    pieces.push(&latex[from..]);
    pieces
}

/// One equation, on one line: a blank line would end the HTML for Markdown.
fn mathml(latex: &str, mode: DisplayMode) -> Result<String, String> {
    let faulty = |error: &dyn std::fmt::Display| format!("{error}, in the equation {latex}");
    let storage = Storage::new();
    // A sign at the front of a piece keeps its distance from what is before it.
    let cut_there = latex.starts_with(['=', '+']) || latex.starts_with("\\times");
    let set = format!("{}{latex}", if cut_there { "{} " } else { "" });
    let events = pulldown_latex::Parser::new(&set, &storage)
        .collect::<Result<Vec<_>, _>>()
        .map_err(|e| faulty(&e))?;
    let config = RenderConfig {
        display_mode: mode,
        ..RenderConfig::with_annotation(latex.trim())
    };
    let mut text = String::new();
    let good = events.into_iter().map(Ok::<_, std::convert::Infallible>);
    mathml::push_mathml(&mut text, good, config).map_err(|e| faulty(&e))?;
    // The writer escapes the entity of `\ ` once too often.
    let text = text
        .replace("&amp;nbsp;", "\u{a0}")
        .replace("&nbsp;", "\u{a0}")
        .replace('\n', " ");
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equations_become_mathml_and_code_stays() {
        let page =
            typeset("Start $p$\n\n```console\n$ risewater size\n```\n\n$$\np = \\rho g S\n$$\n")
                .unwrap();
        assert!(page.contains("$ risewater size"));
        assert_eq!(page.matches("<math").count(), 2);
        assert!(page.contains("<div class=\"equation\"><div><math display=\"block\""));
    }

    #[test]
    fn equations_beside_each_other_can_part() {
        assert_eq!(
            parts(r"a = b \qquad\qquad c \qquad\text{with } d"),
            ["a = b", "c", r"\text{with } d"]
        );
        let long = r"\dot m = \frac{a + b}{c} + \left(d + e\right) = 123 \cdot 456 \cdot 789";
        assert_eq!(display_pieces(long).len(), 4);
        assert_eq!(display_pieces("a = b + c").len(), 1);
        let lines = r"\begin{aligned} a &= b \qquad c \\ d &= e + f + g + h + i + j + k + l + m + n \end{aligned}";
        assert_eq!((parts(lines).len(), display_pieces(lines).len()), (1, 1));
    }

    #[test]
    fn a_long_inline_equation_can_break() {
        let page = typeset(
            r"So $p_m = 101.325 + 0.5 \times (998.2 \times 9.8) = 106.22$ kPa and $j = 3$.",
        )
        .unwrap();
        assert_eq!(page.matches("<math").count(), 5);
        let found = inline_pieces(r"x_{a = 3} = 1 \times (2 \times 3)\quad\text{and so on}");
        assert_eq!(
            found,
            [
                "x_{a = 3} ",
                "= 1 ",
                r"\times (2 \times 3)\quad\text{and so on}"
            ]
        );
    }

    #[test]
    fn an_unknown_command_is_an_error() {
        assert!(typeset("$$\\nosuch{x}$$").unwrap_err().contains("nosuch"));
    }
}
