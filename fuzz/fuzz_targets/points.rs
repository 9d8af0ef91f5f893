#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| outwind_fuzz::points(bytes));
