//! See `bodies/amounts.rs`.
#![no_main]

#[path = "../bodies/amounts.rs"]
mod body;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| body::run(bytes));
