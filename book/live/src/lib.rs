//! The door between a page of the book and the library: a JSON request in, a JSON reply out.
//!
//! As WebAssembly it has two functions, and asks the page for one: `page.progress(tried, of)`, which a search calls as it goes. [`room`] makes a place for the request, [`ask`] answers it there.
//! [`reply`] is the same for Rust.
//!
//! ```
//! use risewater_live::reply;
//!
//! let request = br#"{"ask": "flow", "set": {"riser.bore": "80 mm"}, "options": {"fields": ["water_flow_m3_per_s"]}}"#;
//! let reply: serde_json::Value = serde_json::from_slice(&reply(request)).unwrap();
//! assert!(reply["fields"]["water_flow_m3_per_s"].as_str().unwrap().ends_with(" L/min"));
//! ```
//!
//! A request has the name of what is asked, the text of a design `file` (without one, the tool's example of that question),
//! values to `set` in it as `--set` takes them, `tables` that the file names, `units` ("metric" or "us") and [`Options`].
//!
//! A good reply has `answer`, exactly what the tool's `--json` gives (of a search, with [`Options::detailed`]); `said`, its first lines in words; `cautions`; and what the
//! options ask for, but for pictures that the answer has nothing to draw in: `undrawn` says why. A bad one has `fault`: a list of what is wrong, with the key and the line where they are known.

mod asks;
mod page;
mod reply;
mod request;

use std::cell::RefCell;

pub use request::{Options, Reading, Request};

thread_local! {
    /// Request and reply, one after the other.
    static PLACE: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
}

/// The reply to a request; any bytes get one.
#[must_use]
pub fn reply(request: &[u8]) -> Vec<u8> {
    let reply = match Request::read(request) {
        Ok(request) => asks::answer(&request).unwrap_or_else(reply::Faults::json),
        Err(fault) => fault.json(),
    };
    reply.to_string().into_bytes()
}

/// Makes the place for a request at least so many bytes long, and says where it is.
#[allow(unsafe_code, reason = "a name that the page calls")]
#[unsafe(no_mangle)]
pub extern "C" fn room(len: usize) -> *mut u8 {
    PLACE.with_borrow_mut(|place| {
        if place.len() < len {
            place.resize(len, 0);
        }
        place.as_mut_ptr()
    })
}

/// Answers the request of so many bytes that stands in the place, and says how long the reply is that then does.
#[allow(unsafe_code, reason = "a name that the page calls")]
#[unsafe(no_mangle)]
pub extern "C" fn ask(len: usize) -> usize {
    PLACE.with_borrow_mut(|place| {
        let reply = reply(place.get(..len).unwrap_or_default());
        place.clear();
        place.extend_from_slice(&reply);
        reply.len()
    })
}
