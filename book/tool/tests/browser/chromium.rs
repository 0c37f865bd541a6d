//! A headless Chromium, driven over the DevTools protocol: JSON through a web socket.
//!
//! The few commands in use are stable; a typed client would have to know every event of every
//! version of the browser.

use std::io::{BufRead, BufReader};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use serde_json::{Value, json};
use tungstenite::{Message, WebSocket};

/// Longest wait for an answer; a page of the book takes a fraction of a second, a page whose figures search some more.
const PATIENCE: Duration = Duration::from_mins(5);

/// Programs by which distributions call it.
const NAMES: [&str; 4] = [
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
];

/// A browser with one tab.
pub struct Chromium {
    process: Child,
    socket: WebSocket<TcpStream>,
    session: Option<String>,
    asked: u64,
    events: Vec<Value>,
}

impl Chromium {
    /// Starts it with an empty profile in `profile`.
    pub fn start(profile: &Path) -> Self {
        let _ = std::fs::remove_dir_all(profile);
        let mut process = NAMES
            .iter()
            .find_map(|name| launch(name, profile).ok())
            .unwrap_or_else(|| panic!("no browser: install Chromium, sought as {NAMES:?}"));
        let output = BufReader::new(process.stderr.take().expect("stderr is piped"));
        let mut lines = output.lines().map_while(Result::ok);
        let address = lines
            .find_map(|line| {
                line.strip_prefix("DevTools listening on ")
                    .map(str::to_owned)
            })
            .expect("Chromium ended before it told its address");
        // Keeps the pipe open and empty.
        std::thread::spawn(move || lines.for_each(drop));

        let host = address
            .trim_start_matches("ws://")
            .split('/')
            .next()
            .unwrap();
        let stream = TcpStream::connect(host).expect("Chromium listens");
        stream
            .set_read_timeout(Some(PATIENCE))
            .expect("a timeout above zero");
        let (socket, _) =
            tungstenite::client(address.as_str(), stream).expect("Chromium speaks web socket");
        let mut browser = Self {
            process,
            socket,
            session: None,
            asked: 0,
            events: Vec::new(),
        };
        let tab = browser.call("Target.createTarget", &json!({"url": "about:blank"}));
        let tab = json!({"targetId": tab["targetId"], "flatten": true});
        let session = browser.call("Target.attachToTarget", &tab);
        browser.session = session["sessionId"].as_str().map(str::to_owned);
        for domain in ["Page", "Runtime", "Network", "Log"] {
            browser.call(&format!("{domain}.enable"), &json!({}));
        }
        browser
    }

    /// Sends a command to the tab and returns its result; events that come before it are kept.
    pub fn call(&mut self, method: &str, params: &Value) -> Value {
        self.asked += 1;
        let mut message = json!({"id": self.asked, "method": method, "params": params});
        if let Some(session) = &self.session {
            message["sessionId"] = json!(session);
        }
        self.socket
            .send(Message::text(message.to_string()))
            .unwrap_or_else(|e| panic!("{method}: {e}"));
        loop {
            let answer = self.receive(method);
            if answer["id"] == self.asked {
                assert!(answer["error"].is_null(), "{method}: {}", answer["error"]);
                return answer["result"].clone();
            }
            self.events.push(answer);
        }
    }

    /// Opens a page, and waits until it and all that it asks for are loaded.
    pub fn open(&mut self, url: &str) {
        self.events.clear();
        self.call("Page.navigate", &json!({"url": url}));
        while !self
            .events
            .iter()
            .any(|event| event["method"] == "Page.loadEventFired")
        {
            let event = self.receive(url);
            self.events.push(event);
        }
    }

    /// Value of an expression in the page; a promise is awaited.
    pub fn evaluate(&mut self, expression: &str) -> Value {
        let params = json!({"expression": expression, "awaitPromise": true, "returnByValue": true});
        let answer = self.call("Runtime.evaluate", &params);
        let thrown = &answer["exceptionDetails"];
        assert!(thrown.is_null(), "in the page: {thrown}");
        answer["result"]["value"].clone()
    }

    /// What happened since the last page was opened.
    pub fn events(&self) -> &[Value] {
        &self.events
    }

    fn receive(&mut self, awaited: &str) -> Value {
        loop {
            match self.socket.read() {
                Ok(Message::Text(text)) => {
                    return serde_json::from_str(&text).expect("the protocol is JSON");
                }
                Ok(_) => {}
                Err(e) => panic!("Chromium does not answer {awaited}: {e}"),
            }
        }
    }
}

impl Drop for Chromium {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

fn launch(name: &str, profile: &Path) -> std::io::Result<Child> {
    Command::new(name)
        .args([
            "--headless",
            // It opens our own pages alone, and root, as in a container, may not use the sandbox.
            "--no-sandbox",
            "--disable-dev-shm-usage",
            "--disable-gpu",
            "--disable-extensions",
            "--disable-background-networking",
            "--no-first-run",
            "--hide-scrollbars",
            "--remote-debugging-port=0",
            // Nothing but this machine can be reached.
            "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
        ])
        .arg(format!("--user-data-dir={}", profile.display()))
        .arg("about:blank")
        .stderr(Stdio::piped())
        .stdout(Stdio::null())
        .spawn()
}
