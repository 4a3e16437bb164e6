//! Whether a file goes on to its own end. A decoder may fill a picture that was cut off with grey and be content;
//! evidence with its lower half grey is none.

use crate::content::{Content, PNG_HEAD};

/// Bytes at the end of a PDF in which its mark of the end is looked for (PDF Reference 1.7, appendix H,
/// implementation note to 3.4.4).
const PDF_END_WITHIN: usize = 1024;

/// Whether the bytes go on to the end that the format marks. What comes after that end doesn't matter.
pub(crate) fn is_whole(content: Content, bytes: &[u8]) -> bool {
    match content {
        Content::Jpeg => jpeg(bytes),
        Content::Png => png(bytes),
        Content::WebP => webp(bytes),
        Content::Pdf => pdf(bytes),
    }
}

/// A big-endian number of two bytes.
fn two(bytes: &[u8], at: usize) -> Option<usize> {
    let &[high, low] = bytes.get(at..at.checked_add(2)?)? else { return None };
    Some(usize::from(u16::from_be_bytes([high, low])))
}

/// Walks the segments to the end of the image (ITU-T T.81, B.1). Segments are skipped by their length, since a
/// small picture inside one has an end of its own.
fn jpeg(bytes: &[u8]) -> bool {
    const END_OF_IMAGE: u8 = 0xD9;
    const START_OF_SCAN: u8 = 0xDA;
    let mut at = 2;
    loop {
        // Between segments lies nothing but fill bytes; a decoder skips whatever else is there, and so does this.
        let Some(marker) = next_marker(bytes, &mut at) else { return false };
        match marker {
            END_OF_IMAGE => return true,
            // Temporary, restart and start of image have no length.
            0x01 | 0xD0..=0xD8 => {}
            _ => {
                let Some(length) = two(bytes, at) else { return false };
                let Some(next) = at.checked_add(length.max(2)) else { return false };
                at = next;
                if marker == START_OF_SCAN {
                    skip_scan(bytes, &mut at);
                }
            }
        }
    }
}

/// The next marker at or after a place; the place is then behind it.
fn next_marker(bytes: &[u8], at: &mut usize) -> Option<u8> {
    loop {
        let here = bytes.get(*at..)?;
        let found = here.iter().position(|&byte| byte == 0xFF)?;
        let after = here.get(found..)?.iter().position(|&byte| byte != 0xFF)?;
        let marker = *here.get(found.checked_add(after)?)?;
        *at = at.checked_add(found)?.checked_add(after)?.checked_add(1)?;
        if marker != 0 {
            return Some(marker);
        }
    }
}

/// Goes over coded data, in which only a stuffed zero or a restart follows 0xFF.
fn skip_scan(bytes: &[u8], at: &mut usize) {
    while let Some(rest) = bytes.get(*at..) {
        let Some(found) = rest.iter().position(|&byte| byte == 0xFF) else {
            *at = bytes.len();
            return;
        };
        match rest.get(found.saturating_add(1)) {
            Some(0x00 | 0xD0..=0xD7) => *at = at.saturating_add(found).saturating_add(2),
            Some(_) | None => {
                *at = at.saturating_add(found);
                return;
            }
        }
    }
}

/// Walks the chunks to the last one (ISO/IEC 15948, 5.3).
fn png(bytes: &[u8]) -> bool {
    let mut at = PNG_HEAD.len();
    loop {
        let Some((&[a, b, c, d, ref name @ ..], _)) =
            bytes.get(at..).and_then(<[u8]>::split_first_chunk::<8>)
        else {
            return false;
        };
        let length = usize::try_from(u32::from_be_bytes([a, b, c, d])).unwrap_or(usize::MAX);
        // Length and name, the data, and the check sum.
        let Some(next) = at.checked_add(12).and_then(|at| at.checked_add(length)) else { return false };
        if next > bytes.len() {
            return false;
        }
        if name == b"IEND" {
            return true;
        }
        at = next;
    }
}

/// The length that stands in the head of the container, and its own eight bytes (WebP container specification).
fn webp(bytes: &[u8]) -> bool {
    let Some(&[a, b, c, d]) = bytes.get(4..8) else { return false };
    let said = usize::try_from(u32::from_le_bytes([a, b, c, d])).unwrap_or(usize::MAX);
    bytes.len() >= said.saturating_add(8)
}

/// The mark of the end, near the end.
fn pdf(bytes: &[u8]) -> bool {
    let tail = bytes.get(bytes.len().saturating_sub(PDF_END_WITHIN)..).unwrap_or_default();
    tail.windows(5).any(|mark| mark == b"%%EOF")
}
