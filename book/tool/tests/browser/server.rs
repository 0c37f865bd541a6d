//! Serves a folder on this machine, so that pages are opened as a reader's browser opens them.

use std::io::{BufRead, BufReader, Write};
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};

/// Serves the files of a folder until the tests end; returns its address with a slash at its end.
pub fn serve(root: &Path) -> String {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a free port");
    let address = listener.local_addr().expect("it is bound");
    let root = root.to_path_buf();
    std::thread::spawn(move || {
        for stream in listener.incoming().map_while(Result::ok) {
            let root = root.clone();
            // A browser that has gone away is no fault of the book.
            std::thread::spawn(move || drop(answer(&stream, &root)));
        }
    });
    format!("http://{address}/")
}

/// One request a connection: `GET /page.html?query HTTP/1.1`, and headers up to an empty line.
fn answer(mut stream: &TcpStream, root: &Path) -> std::io::Result<()> {
    let mut lines = BufReader::new(stream).lines().map_while(Result::ok);
    let first = lines.next().unwrap_or_default();
    lines.find(String::is_empty);
    let path = file(root, first.split(' ').nth(1).unwrap_or_default());
    let (status, body) = match std::fs::read(&path) {
        Ok(body) => ("200 OK", body),
        Err(_) => ("404 Not Found", Vec::new()),
    };
    let (kind, length) = (content(&path), body.len());
    let head = format!(
        "HTTP/1.1 {status}\r\nContent-Type: {kind}\r\nContent-Length: {length}\r\nConnection: close\r\n\r\n"
    );
    stream.write_all(head.as_bytes())?;
    stream.write_all(&body)
}

fn file(root: &Path, url: &str) -> PathBuf {
    let path = url.split(['?', '#']).next().unwrap_or_default();
    root.join(path.trim_start_matches('/'))
}

fn content(path: &Path) -> &'static str {
    match path.extension().and_then(|end| end.to_str()) {
        Some("html") => "text/html; charset=utf-8",
        Some("css") => "text/css",
        Some("js") => "text/javascript",
        Some("json") => "application/json",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("wasm") => "application/wasm",
        Some("woff2") => "font/woff2",
        _ => "application/octet-stream",
    }
}
