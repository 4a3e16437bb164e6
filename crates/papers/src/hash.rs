//! The fingerprint of bytes.

use sha2::{Digest, Sha256};

/// The SHA-256 of bytes (FIPS 180-4) as 64 digits 0-9 a-f.
#[must_use]
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}
