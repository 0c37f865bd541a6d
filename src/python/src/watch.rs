//! Work without the interpreter's lock, which an interrupt ends.

use std::panic::resume_unwind;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::Duration;

use pyo3::prelude::*;

/// Time between two looks for a signal.
const LOOK: Duration = Duration::from_millis(100);

/// Does work in another thread, and tells it to stop once Python has an exception to raise, such as `KeyboardInterrupt`.
pub fn watched<T: Send>(py: Python<'_>, work: impl FnOnce(&AtomicBool) -> T + Send) -> PyResult<T> {
    let (stop, done) = (AtomicBool::new(false), AtomicBool::new(false));
    let waiting = thread::current();
    thread::scope(|scope| {
        let worker = scope.spawn(|| {
            let found = work(&stop);
            done.store(true, Ordering::Release);
            waiting.unpark();
            found
        });
        let mut signals = Ok(());
        // A panic does not say that it is done, but ends the thread too.
        while !done.load(Ordering::Acquire) && !worker.is_finished() {
            py.detach(|| thread::park_timeout(LOOK));
            signals = py.check_signals();
            if signals.is_err() {
                stop.store(true, Ordering::Relaxed);
                break;
            }
        }
        let found = py.detach(|| worker.join());
        signals?;
        Ok(found.unwrap_or_else(|panic| resume_unwind(panic)))
    })
}
