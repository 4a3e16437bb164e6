//! See `bodies/proof.rs`.
#![no_main]

#[path = "../bodies/proof.rs"]
mod body;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| body::run(bytes));
