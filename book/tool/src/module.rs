//! The library as a WebAssembly module, for the pages that compute.

use std::error::Error;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use flate2::Compression;
use flate2::write::GzEncoder;
use serde_json::Value;

/// What pages in a browser are compiled for.
const TARGET: &str = "wasm32-unknown-unknown";
/// The script that holds the module, beside the pages.
pub const SCRIPT: &str = "live-module.js";

/// Builds the module and writes it, packed and as text in a script, into a folder of pages.
pub fn write(pages: &Path) -> Result<(), Box<dyn Error>> {
    let mut packed = GzEncoder::new(Vec::new(), Compression::best());
    packed.write_all(&std::fs::read(build()?)?)?;
    let script = format!(
        "window.risewaterModule = \"{}\";\n",
        base64(&packed.finish()?)
    );
    std::fs::write(pages.join(SCRIPT), script)?;
    Ok(())
}

/// Where cargo leaves the module.
fn build() -> Result<PathBuf, Box<dyn Error>> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let mut build = Command::new(cargo);
    build.args([
        "build",
        "--quiet",
        "--locked",
        "--package",
        "risewater-live",
        "--lib",
    ]);
    build.args(["--profile", "module", "--target", TARGET]);
    build.arg("--message-format=json-render-diagnostics");
    build
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stderr(Stdio::inherit());
    let done = build.output()?;
    if !done.status.success() {
        return Err(format!(
            "the library cannot be built for pages that compute; `rustup target add {TARGET}` gets what it takes, and --still builds the book without them"
        )
        .into());
    }
    let messages = String::from_utf8_lossy(&done.stdout).into_owned();
    let files = messages
        .lines()
        .filter_map(|line| serde_json::from_str::<Value>(line).ok())
        .filter_map(|message| message["filenames"].as_array().cloned())
        .flatten();
    files
        .filter_map(|file| file.as_str().map(PathBuf::from))
        .find(|file| file.extension().is_some_and(|end| end == "wasm"))
        .ok_or_else(|| "cargo built no module".into())
}

/// Bytes as text, as RFC 4648 has it in its section 4.
fn base64(bytes: &[u8]) -> String {
    const SIGNS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let byte = |n: usize| usize::from(three.get(n).copied().unwrap_or_default());
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        for n in 0..4 {
            text.push(if n <= three.len() {
                char::from(SIGNS[bits >> (18 - 6 * n) & 63])
            } else {
                '='
            });
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::base64;

    /// The examples of RFC 4648, section 10.
    #[test]
    fn bytes_become_text() {
        let texts = ["", "f", "fo", "foo", "foob", "fooba", "foobar"].map(|t| base64(t.as_bytes()));
        let known = [
            "", "Zg==", "Zm8=", "Zm9v", "Zm9vYg==", "Zm9vYmE=", "Zm9vYmFy",
        ];
        assert_eq!(texts, known);
    }
}
