//! Builds the book of risewater.
//!
//! ```text
//! cargo run -p risewater-book               builds the pages into book/book
//! cargo run -p risewater-book -- --still    the same without the library in WebAssembly, so that nothing computes
//! cargo run -p risewater-book -- --figures  draws the figures again into book/src/figures
//! ```
//!
//! It also answers as a preprocessor of mdBook, so that a plain `mdbook build book` sets the
//! equations too.

mod desk;
#[path = "../../figures/mod.rs"]
mod figures;
mod live;
mod maths;
mod module;
mod pictures;

use std::error::Error;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use mdbook_driver::MDBook;
use mdbook_preprocessor::book::{Book, BookItem};
use mdbook_preprocessor::{Preprocessor, PreprocessorContext, parse_input};

/// The equations, pictures, live figures and links to the desk of the book; the name is that of its table in book.toml.
struct Pages;

impl Preprocessor for Pages {
    // The trait has it so.
    #[allow(clippy::unnecessary_literal_bound)]
    fn name(&self) -> &str {
        "risewater-book"
    }

    fn run(
        &self,
        context: &PreprocessorContext,
        mut book: Book,
    ) -> mdbook_preprocessor::errors::Result<Book> {
        let error = mdbook_preprocessor::errors::Error::msg;
        let figures = live::Figures::read(&root()).map_err(error)?;
        let folder = context.root.join(&context.config.book.src);
        let mut faults = Vec::new();
        book.for_each_mut(|item| {
            if let BookItem::Chapter(chapter) = item {
                let page = maths::typeset(&desk::kept(&chapter.content))
                    .and_then(|page| pictures::in_both(&page, &folder))
                    .and_then(|page| figures.place(&page));
                match page {
                    Ok(page) => chapter.content = page,
                    Err(fault) => faults.push(format!("{}: {fault}", chapter.name)),
                }
            }
        });
        if faults.is_empty() {
            Ok(book)
        } else {
            Err(error(faults.join("\n")))
        }
    }
}

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let done = match arguments[..] {
        [] => build(true),
        ["--still"] => build(false),
        ["--figures"] => draw(),
        // As mdBook asks a preprocessor: may it serve this renderer, and then a book on standard input.
        ["--preprocess", "supports", "html"] => Ok(()),
        ["--preprocess", "supports", _] => return ExitCode::FAILURE,
        ["--preprocess"] => preprocess(),
        _ => Err("arguments: none to build the book, --still to build it without the library in its pages, or --figures to draw its figures again".into()),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("error: {error}");
            ExitCode::FAILURE
        }
    }
}

/// The folder that holds book.toml.
fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Builds the pages, and the library that computes in them unless they are to be still.
fn build(computes: bool) -> Result<(), Box<dyn Error>> {
    let mut book = MDBook::load(root())?;
    book.with_preprocessor(Pages);
    book.build()?;
    if computes {
        module::write(&root().join("book"))?;
    }
    println!("built {}", root().join("book/index.html").display());
    Ok(())
}

fn draw() -> Result<(), Box<dyn Error>> {
    let folder = root().join("src/figures");
    std::fs::create_dir_all(folder.join(pictures::NARROW))?;
    for (name, picture) in figures::all()? {
        std::fs::write(folder.join(name), picture.wide)?;
        if let Some(narrow) = picture.narrow {
            std::fs::write(folder.join(pictures::NARROW).join(name), narrow)?;
        }
        println!("drew {}", folder.join(name).display());
    }
    Ok(())
}

fn preprocess() -> Result<(), Box<dyn Error>> {
    let (context, book) = parse_input(std::io::stdin())?;
    let book = Pages.run(&context, book)?;
    serde_json::to_writer(std::io::stdout(), &book)?;
    Ok(())
}
