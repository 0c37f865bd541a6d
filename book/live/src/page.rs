//! What the page does for the library.

#[cfg(target_arch = "wasm32")]
mod asked_for {
    #[allow(unsafe_code, reason = "a function of the page")]
    #[link(wasm_import_module = "page")]
    unsafe extern "C" {
        pub safe fn progress(tried: usize, of: usize);
    }
}

/// Tells the page how far a search is: candidates tried, and candidates in all. Without a page nobody is told.
#[cfg(target_arch = "wasm32")]
pub(crate) use asked_for::progress;

#[cfg(not(target_arch = "wasm32"))]
pub(crate) fn progress(_tried: usize, _of: usize) {}
