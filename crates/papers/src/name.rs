//! What a kept file is called.

use std::fmt;

use crate::Kind;

/// Digits of a hash in a name.
const DIGITS: usize = 64;

/// What a kept file is called: its hash and the ending of its kind. Nothing that anybody typed is in it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Name {
    sha256: String,
    kind: Kind,
}

impl Name {
    pub(crate) const fn of(sha256: String, kind: Kind) -> Self {
        Self { sha256, kind }
    }

    /// A name as it is written; `None` for any text that isn't exactly such a name, a path among them.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let (sha256, extension) = text.split_once('.')?;
        let kind = Kind::ALL.into_iter().find(|kind| kind.extension() == extension)?;
        let digits = sha256.bytes().all(|byte| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte));
        (sha256.len() == DIGITS && digits).then(|| Self::of(sha256.to_owned(), kind))
    }

    /// The SHA-256 of the file, 64 digits 0-9 a-f.
    #[must_use]
    pub fn sha256(&self) -> &str {
        &self.sha256
    }

    /// What the file is.
    #[must_use]
    pub const fn kind(&self) -> Kind {
        self.kind
    }

    /// What its preview is called.
    #[must_use]
    pub fn of_preview(&self) -> String {
        format!("{}{PREVIEW}", self.sha256)
    }

    /// Whether a text is what the preview of some file is called.
    #[must_use]
    pub fn is_preview(text: &str) -> bool {
        text.strip_suffix(PREVIEW).and_then(|sha256| Self::read(&format!("{sha256}.jpg"))).is_some()
    }
}

/// The ending of a preview.
const PREVIEW: &str = ".preview.jpg";

impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}", self.sha256, self.kind.extension())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_hash_with_a_known_ending_is_a_name() {
        let digits = "0f".repeat(32);
        for kind in Kind::ALL {
            let text = format!("{digits}.{}", kind.extension());
            let name = Name::read(&text).unwrap();
            assert_eq!((name.to_string(), name.kind()), (text, kind));
            assert!(Name::is_preview(&name.of_preview()));
            assert_eq!(Name::read(&name.of_preview()), None, "a preview is no file of its own");
        }
        for wrong in [
            String::new(),
            String::from("."),
            String::from("receipt.jpg"),
            digits.clone(),
            format!("{digits}.exe"),
            format!("{digits}.jpg.exe"),
            format!("../{digits}.jpg"),
            format!("{}/{}.jpg", &digits[..30], &digits[..33]),
            format!("{}.jpg", digits.to_uppercase()),
            format!("{}.jpg", &digits[1..]),
            format!("{digits}0.jpg"),
            format!("{}\u{e9}.jpg", &digits[2..]),
        ] {
            assert_eq!(Name::read(&wrong), None, "{wrong}");
            assert!(!Name::is_preview(&wrong), "{wrong}");
        }
    }
}
