//! Receipts, photos and evidence, from the bytes of a file to what is kept of it.
//!
//! [`Paper::read`] is the one door: it tells by the content what a file is, and never by its name. A picture is
//! decoded within bounds, turned upright, brought to a bound on its longer side and encoded anew. Only its pixels
//! cross over, so that nothing else of the original is left: no place, camera or date (EXIF, GPS), no editing
//! history (XMP, IPTC), no text, no second picture or film behind the first. The colour profile (ICC) goes as well:
//! a picture with wide colours looks a little paler. Of a moving picture the first frame is kept.
//!
//! A PDF is kept byte for byte after a plain look at its head and end. What it says of its maker is **not** taken
//! out, and it is never to be shown inside a page: it is handed back as a download.
//!
//! Nothing here touches a disk.
//!
//! ```
//! use papers::{Paper, PaperError, Role};
//!
//! let wrong = Paper::read(b"GIF89a...", Role::Photo).unwrap_err();
//! assert!(matches!(wrong, PaperError::OtherKind { .. }));
//! assert!(wrong.to_string().contains("right would be a JPEG, PNG or WebP picture"));
//! ```

mod content;
mod error;
mod hash;
mod kind;
mod name;
mod paper;
mod picture;
mod role;
mod whole;

pub use error::PaperError;
pub use kind::Kind;
pub use name::Name;
pub use paper::{MOST_BYTES, Paper, preview_of};
pub use picture::{JPEG_QUALITY, LARGE_PNG, MOST_MEMORY, MOST_PIXELS, PREVIEW_QUALITY, PREVIEW_SIDE};
pub use role::Role;

pub use hash::sha256;
