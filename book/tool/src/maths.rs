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
        out.push_str(&mathml(latex, mode)?);
        done = place.end;
    }
    out.push_str(&markdown[done..]);
    Ok(out)
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
    fn an_unknown_command_is_an_error() {
        assert!(typeset("$$\\nosuch{x}$$").unwrap_err().contains("nosuch"));
    }
}
