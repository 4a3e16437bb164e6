//! A file as it is kept.

use crate::content::{Content, PDF_HEAD};
use crate::picture::Picture;
use crate::whole::is_whole;
use crate::{Kind, Name, PaperError, Role, sha256};

/// Most bytes of a file that is taken (judgement: a phone's largest photo has about 25 MB).
pub const MOST_BYTES: usize = 32 * 1024 * 1024;

/// A file as it is kept: cleaned, upright and bounded. It can be made in no other way than by [`Paper::read`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Paper {
    role: Role,
    name: Name,
    bytes: Vec<u8>,
    preview: Option<Vec<u8>>,
}

impl Paper {
    /// Makes of the bytes of a file what is kept of it. The same bytes in the same role always come to the same.
    ///
    /// A JPEG stays a JPEG, a PNG a PNG with exactly its pixels unless it has to be made smaller; a WebP becomes a
    /// JPEG, or a PNG where it has clear parts. A PNG photo of [`LARGE_PNG`](crate::LARGE_PNG) bytes or more without
    /// clear parts becomes a JPEG where that is smaller. The longer side is at most [`Role::longer_side`] pixels.
    ///
    /// # Errors
    /// When the file is empty, has more than [`MOST_BYTES`] or [`MOST_PIXELS`](crate::MOST_PIXELS), is of a kind
    /// that the role doesn't take, is cut off, or can't be decoded.
    pub fn read(bytes: &[u8], role: Role) -> Result<Self, PaperError> {
        if bytes.len() > MOST_BYTES {
            return Err(PaperError::TooLong { bytes: bytes.len() });
        }
        let content = Content::of(bytes, role)?;
        let (kind, bytes, preview) = match content {
            Content::Pdf => {
                has_version(bytes)?;
                whole(content, bytes)?;
                (Kind::Pdf, bytes.to_vec(), None)
            }
            Content::Jpeg | Content::Png | Content::WebP => {
                let picture = read_picture(content, bytes, role.longer_side())?;
                let (kind, bytes) = match role {
                    Role::Photo => picture.written_as_photo()?,
                    Role::Receipt | Role::Evidence => (picture.kind(), picture.written()?),
                };
                (kind, bytes, Some(picture.preview()?))
            }
        };
        let name = Name::of(sha256(&bytes), kind);
        Ok(Self { role, name, bytes, preview })
    }

    /// What it is for.
    #[must_use]
    pub const fn role(&self) -> Role {
        self.role
    }

    /// What it is.
    #[must_use]
    pub const fn kind(&self) -> Kind {
        self.name.kind()
    }

    /// What its file is called.
    #[must_use]
    pub const fn name(&self) -> &Name {
        &self.name
    }

    /// The bytes that are kept.
    #[must_use]
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// A small JPEG of it; none of a PDF.
    #[must_use]
    pub fn preview(&self) -> Option<&[u8]> {
        self.preview.as_deref()
    }
}

/// The preview of a file that was kept before, made anew; none of a PDF.
///
/// # Errors
/// When the bytes aren't what [`Paper::read`] makes.
pub fn preview_of(bytes: &[u8]) -> Result<Option<Vec<u8>>, PaperError> {
    // Evidence takes every kind, at the largest side.
    match Content::of(bytes, Role::Evidence)? {
        Content::Pdf => Ok(None),
        content @ (Content::Jpeg | Content::Png | Content::WebP) => {
            read_picture(content, bytes, Role::Evidence.longer_side())?.preview().map(Some)
        }
    }
}

/// What the head says too much of is refused before anything else, as it is the clearest reason.
fn read_picture(content: Content, bytes: &[u8], side: u32) -> Result<Picture, PaperError> {
    let picture = Picture::read(content, bytes, side);
    match picture {
        Err(too_many @ PaperError::TooManyPixels { .. }) => Err(too_many),
        Ok(_) | Err(_) => whole(content, bytes).and(picture),
    }
}

fn whole(content: Content, bytes: &[u8]) -> Result<(), PaperError> {
    if is_whole(content, bytes) { Ok(()) } else { Err(PaperError::CutOff { what: content.word() }) }
}

/// The version that stands in the head of a PDF (ISO 32000-1, 7.5.2).
fn has_version(bytes: &[u8]) -> Result<(), PaperError> {
    match bytes.get(PDF_HEAD.len()..).and_then(<[u8]>::first_chunk::<3>) {
        Some([b'1' | b'2', b'.', b'0'..=b'9']) => Ok(()),
        Some(_) | None => Err(PaperError::Broken {
            what: Content::Pdf.word(),
            reason: String::from("its head names no version such as 1.7"),
        }),
    }
}
