#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| risewater_fuzz::targets::set(bytes));
