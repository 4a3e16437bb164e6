//! Secrets as words a person can type, and as the hash that is kept of them.

use sha2::{Digest as _, Sha256};

use crate::outside::Secret;

/// Letters and figures that are not taken for one another (Crockford's base 32, in small letters).
const LETTERS: &[u8; 32] = b"0123456789abcdefghjkmnpqrstvwxyz";

/// The first `length` letters of a secret, 5 bits each; at most 51.
pub(crate) fn spelled(secret: &Secret, length: usize) -> String {
    let mut out = String::with_capacity(length);
    let (mut bits, mut held) = (0_u32, 0_u32);
    let mut bytes = secret.iter();
    while out.len() < length {
        if held < 5 {
            let Some(byte) = bytes.next() else { break };
            bits = (bits << 8) | u32::from(*byte);
            held += 8;
        }
        held -= 5;
        let index = ((bits >> held) & 31) as usize;
        out.push(char::from(LETTERS.get(index).copied().unwrap_or(b'0')));
    }
    out
}

/// What was typed, as it was spelled: blanks and dashes left out, letters that look alike put right.
pub(crate) fn as_spelled(typed: &str) -> String {
    typed
        .chars()
        .filter(char::is_ascii_alphanumeric)
        .map(|c| match c.to_ascii_lowercase() {
            'o' => '0',
            'i' | 'l' => '1',
            other => other,
        })
        .collect()
}

/// The SHA-256 of a text in hexadecimal.
pub(crate) fn hash(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A text as part of an address: letters and figures as they are, all else by its bytes.
pub(crate) fn in_address(text: &str) -> String {
    let spell = |byte: u8| match byte {
        b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' => char::from(byte).to_string(),
        other => format!("%{other:02X}"),
    };
    text.bytes().map(spell).collect()
}

#[cfg(test)]
mod tests {
    use super::{as_spelled, hash, spelled};

    #[test]
    fn a_secret_is_spelled_five_bits_a_letter_and_read_back_however_it_is_typed() {
        let mut secret = [0; 32];
        secret[0] = 0b0000_1000;
        secret[1] = 0b1011_1111;
        assert_eq!(spelled(&secret, 4), "12zg");
        assert_eq!(spelled(&[0xff; 32], 99).len(), 51);
        assert_eq!(as_spelled(" IO-lz 9G"), "101z9g");
    }

    #[test]
    fn the_hash_is_sha_256() {
        // FIPS 180-4, the example "abc".
        assert_eq!(hash("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }
}
