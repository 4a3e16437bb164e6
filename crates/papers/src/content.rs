//! What a file is, told by its first bytes.

use crate::{PaperError, Role};

/// What a file is that may be taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Content {
    Jpeg,
    Png,
    WebP,
    Pdf,
}

/// The first bytes of a PNG (ISO/IEC 15948, 5.2).
pub(crate) const PNG_HEAD: &[u8] = b"\x89PNG\r\n\x1a\n";
/// The first bytes of a JPEG: start of image and the beginning of the next marker (ITU-T T.81, B.1.1).
const JPEG_HEAD: &[u8] = &[0xFF, 0xD8, 0xFF];
/// The first bytes of a PDF (ISO 32000-1, 7.5.2).
pub(crate) const PDF_HEAD: &[u8] = b"%PDF-";

impl Content {
    /// Its name in a sentence.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Jpeg => "JPEG picture",
            Self::Png => "PNG picture",
            Self::WebP => "WebP picture",
            Self::Pdf => "PDF",
        }
    }

    /// What the bytes are, if the role takes it.
    pub(crate) fn of(bytes: &[u8], role: Role) -> Result<Self, PaperError> {
        let right = role.may_be();
        if bytes.is_empty() {
            return Err(PaperError::Empty { right });
        }
        let content = if bytes.starts_with(JPEG_HEAD) {
            Self::Jpeg
        } else if bytes.starts_with(PNG_HEAD) {
            Self::Png
        } else if is_riff_of(bytes, b"WEBP") {
            Self::WebP
        } else if bytes.starts_with(PDF_HEAD) {
            Self::Pdf
        } else {
            let (found, hint) = other(bytes);
            return Err(PaperError::OtherKind { found, right, hint });
        };
        if role.takes(content) {
            Ok(content)
        } else {
            let hint = "; a PDF can be kept as a receipt or as evidence";
            Err(PaperError::OtherKind { found: "a PDF", right, hint })
        }
    }
}

/// RIFF, four bytes of length, and the form (WebP container specification).
fn is_riff_of(bytes: &[u8], form: &[u8]) -> bool {
    bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(form)
}

/// A name for what isn't taken, and how to come to something that is (from memory).
fn other(bytes: &[u8]) -> (&'static str, &'static str) {
    const SAVE: &str = "; open the picture and save or share it as JPEG";
    // ISO base media: a length, "ftyp", and the brand.
    if bytes.get(4..8) == Some(b"ftyp") {
        return match bytes.get(8..12) {
            Some(b"heic" | b"heix" | b"heim" | b"heis" | b"mif1" | b"msf1" | b"hevc" | b"hevx") => (
                "a HEIC picture",
                "; set the camera to its most compatible format, or share the picture as JPEG",
            ),
            Some(b"avif" | b"avis") => ("an AVIF picture", SAVE),
            Some(_) | None => ("a film or sound", "; take a photo instead"),
        };
    }
    let starts = |head: &[u8]| bytes.starts_with(head);
    if starts(b"GIF8") {
        ("a GIF picture", SAVE)
    } else if starts(b"BM") {
        ("a BMP picture", SAVE)
    } else if starts(b"II*\0") || starts(b"MM\0*") {
        ("a TIFF or a camera's raw picture", SAVE)
    } else if starts(b"PK\x03\x04") {
        ("a ZIP file or an office document", "; write a document as PDF first")
    } else if is_riff_of(bytes, b"AVI ") {
        ("a film or sound", "; take a photo instead")
    } else {
        ("of a kind that isn't known here", "")
    }
}
