//! The passphrase that lets other devices in: only its salted hash is kept.

use argon2::Argon2;
use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher as _, PasswordVerifier as _};

use crate::WebError;
use crate::outside::Secret;

/// Fewest characters of a passphrase (judgement; four short words).
pub(crate) const LEAST_CHARACTERS: usize = 12;
/// Bytes of the salt (published: RFC 9106, section 3.1).
const SALT_BYTES: usize = 16;

/// The hash of a passphrase as a PHC string, argon2id with the crate's default costs.
///
/// # Errors
/// When it is too short or can't be hashed.
pub(crate) fn hashed(passphrase: &str, secret: &Secret) -> Result<String, WebError> {
    let found = passphrase.chars().count();
    if found < LEAST_CHARACTERS {
        return Err(WebError::ShortPassphrase { found, least: LEAST_CHARACTERS });
    }
    let hash = |e: argon2::password_hash::Error| WebError::Hash(e.to_string());
    let salt = secret.get(..SALT_BYTES).unwrap_or(secret);
    let hashed: PasswordHash =
        Argon2::default().hash_password_with_salt(passphrase.as_bytes(), salt).map_err(hash)?;
    Ok(hashed.to_string())
}

/// Whether a passphrase is the one of this hash.
pub(crate) fn is(passphrase: &str, hash: &str) -> bool {
    PasswordHash::new(hash)
        .is_ok_and(|hash| Argon2::default().verify_password(passphrase.as_bytes(), &hash).is_ok())
}

#[cfg(test)]
mod tests {
    use super::{hashed, is};
    use crate::WebError;

    #[test]
    fn only_the_same_passphrase_opens_and_the_hash_does_not_hold_it() {
        let hash = hashed("four plain words here", &[7; 32]).expect("long enough");
        assert!(hash.starts_with("$argon2id$") && !hash.contains("plain"));
        assert!(is("four plain words here", &hash));
        assert!(!is("four plain words her", &hash));
        assert!(!is("", &hash) && !is("four plain words here", "no hash"));
    }

    #[test]
    fn a_short_passphrase_is_refused_with_what_would_be_right() {
        let refused = hashed("teacup", &[7; 32]).expect_err("six characters");
        assert_eq!(refused, WebError::ShortPassphrase { found: 6, least: 12 });
    }
}
