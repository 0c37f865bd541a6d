//! Equations of a chapter: LaTeX between dollar signs becomes MathML.

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
        let pieces = match mode {
            DisplayMode::Block => vec![&**latex],
            DisplayMode::Inline => pieces(latex),
        };
        let pieces: Vec<String> = pieces
            .into_iter()
            .map(|piece| mathml(piece, mode))
            .collect::<Result<_, _>>()?;
        out.push_str(&pieces.join(" "));
        done = place.end;
    }
    out.push_str(&markdown[done..]);
    Ok(out)
}

/// Length of an inline equation that stays in one piece.
const SHORT: usize = 30;

/// A long inline equation in pieces, so that a narrow page can break its line: before each sign of equality or product that stands
/// in no bracket.
fn pieces(latex: &str) -> Vec<&str> {
    let mut pieces = Vec::new();
    let (mut depth, mut from) = (0, 0);
    for (at, c) in latex.char_indices() {
        match c {
            '{' | '(' | '[' => depth += 1,
            '}' | ')' | ']' => depth -= 1,
            _ => {}
        }
        let rest = &latex[at..];
        let breaks =
            depth == 0 && at > from && (rest.starts_with("= ") || rest.starts_with("\\times"));
        if breaks && latex.len() > SHORT {
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
    let events = pulldown_latex::Parser::new(latex, &storage)
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
    Ok(match mode {
        DisplayMode::Block => format!("<div class=\"equation\">{text}</div>"),
        DisplayMode::Inline => text,
    })
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
        assert!(page.contains("<div class=\"equation\"><math display=\"block\""));
    }

    #[test]
    fn a_long_inline_equation_can_break() {
        let page = typeset(
            r"So $p_m = 101.325 + 0.5 \times (998.2 \times 9.8) = 106.22$ kPa and $j = 3$.",
        )
        .unwrap();
        assert_eq!(page.matches("<math").count(), 5);
        let found = pieces(r"x_{a = 3} = 1 \times (2 \times 3)\quad\text{and so on}");
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
