#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| risewater_fuzz::door::door(bytes));
