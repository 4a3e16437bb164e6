//! See `bodies/comps.rs`.
#![no_main]

#[path = "../bodies/comps.rs"]
mod body;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| body::run(bytes));
