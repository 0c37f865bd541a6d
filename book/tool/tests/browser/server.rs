//! Serves a folder on this machine, so that pages are opened as a reader's browser opens them.

use std::fs::File;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use tiny_http::{Header, Response, Server};

/// A server of one folder; it ends when it is dropped.
pub struct Folder {
    server: Arc<Server>,
    /// Address with a slash at its end.
    pub address: String,
}

impl Folder {
    pub fn serve(root: &Path) -> Self {
        let server = Arc::new(Server::http("127.0.0.1:0").expect("a free port"));
        let address = format!("http://{}/", server.server_addr());
        let (listener, root) = (Arc::clone(&server), root.to_path_buf());
        std::thread::spawn(move || {
            for request in listener.incoming_requests() {
                let path = file(&root, request.url());
                // A browser that has gone away is no fault of the book.
                let _ = match File::open(&path) {
                    Ok(open) => {
                        request.respond(Response::from_file(open).with_header(content(&path)))
                    }
                    Err(_) => request.respond(Response::empty(404)),
                };
            }
        });
        Self { server, address }
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        self.server.unblock();
    }
}

fn file(root: &Path, url: &str) -> PathBuf {
    let path = url.split(['?', '#']).next().unwrap_or_default();
    root.join(path.trim_start_matches('/'))
}

fn content(path: &Path) -> Header {
    let kind = match path.extension().and_then(|end| end.to_str()) {
        Some("html") => "text/html; charset=utf-8",
        Some("css") => "text/css",
        Some("js") => "text/javascript",
        Some("json") => "application/json",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("wasm") => "application/wasm",
        Some("woff2") => "font/woff2",
        _ => "application/octet-stream",
    };
    Header::from_bytes("Content-Type", kind).expect("a header of plain letters")
}
