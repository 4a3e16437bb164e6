//! A picture: decoded within bounds, upright, fitted, written anew.

use std::io::Cursor;

use image::codecs::jpeg::{JpegDecoder, JpegEncoder};
use image::codecs::png::{PngDecoder, PngEncoder};
use image::codecs::webp::WebPDecoder;
use image::imageops::FilterType;
use image::metadata::Orientation;
use image::{DynamicImage, GrayImage, ImageDecoder, ImageError, Limits, RgbImage};

use crate::content::Content;
use crate::{Kind, PaperError};

/// Most pixels of a picture that is decoded (judgement: phones take photos of 50 million).
pub const MOST_PIXELS: u64 = 64_000_000;
/// Most bytes that a decoder may ask for, and that a decoded picture may take (judgement: [`MOST_PIXELS`] of four
/// bytes with as much again to work in).
pub const MOST_MEMORY: u64 = 512 * 1024 * 1024;
/// Quality of a kept JPEG, of 100 (judgement: a hairline stays visible, a file has about a megabyte).
pub const JPEG_QUALITY: u8 = 88;
/// Bytes from which on an opaque PNG photo is kept as a JPEG, if that is smaller (judgement: a screenshot has less, a
/// photo of a phone many times as much).
pub const LARGE_PNG: usize = 1024 * 1024;
/// Most pixels on the longer side of a preview (judgement: sharp at half the width of a phone).
pub const PREVIEW_SIDE: u32 = 480;
/// Quality of a preview, of 100 (judgement).
pub const PREVIEW_QUALITY: u8 = 78;

/// A decoded picture, upright and fitted.
pub(crate) struct Picture {
    pixels: DynamicImage,
    kind: Kind,
}

impl Picture {
    /// Decodes the bytes; the longer side is at most `side` pixels.
    pub(crate) fn read(content: Content, bytes: &[u8], side: u32) -> Result<Self, PaperError> {
        let what = content.word();
        let failed = |error: ImageError| broken(what, &error);
        let cursor = Cursor::new(bytes);
        let pixels = match content {
            Content::Jpeg => decoded(JpegDecoder::new(cursor).map_err(failed)?, what, side),
            Content::Png => decoded(PngDecoder::with_limits(cursor, memory()).map_err(failed)?, what, side),
            Content::WebP => decoded(WebPDecoder::new(cursor).map_err(failed)?, what, side),
            Content::Pdf => Err(PaperError::Broken { what, reason: String::from("it is no picture") }),
        }?;
        let kind = match content {
            Content::Jpeg => Kind::Jpeg,
            // Pixels with holes have no place in a JPEG.
            Content::WebP if pixels.color().has_alpha() => Kind::Png,
            Content::WebP => Kind::Jpeg,
            Content::Png | Content::Pdf => Kind::Png,
        };
        Ok(Self { pixels, kind })
    }

    pub(crate) const fn kind(&self) -> Kind {
        self.kind
    }

    /// Whether every pixel hides what is behind it.
    fn is_opaque(&self) -> bool {
        !self.pixels.color().has_alpha() || self.pixels.to_rgba8().pixels().all(|pixel| pixel.0[3] == u8::MAX)
    }

    /// The file that is kept of a photo, and its kind: a large PNG without clear parts goes as a JPEG where that is
    /// smaller.
    pub(crate) fn written_as_photo(&self) -> Result<(Kind, Vec<u8>), PaperError> {
        let written = self.written()?;
        match self.kind {
            Kind::Png if written.len() >= LARGE_PNG && self.is_opaque() => {
                let photo = jpeg(&self.pixels, JPEG_QUALITY)?;
                Ok(if photo.len() < written.len() { (Kind::Jpeg, photo) } else { (Kind::Png, written) })
            }
            Kind::Png | Kind::Jpeg | Kind::Pdf => Ok((self.kind, written)),
        }
    }

    /// The file that is kept.
    pub(crate) fn written(&self) -> Result<Vec<u8>, PaperError> {
        match self.kind {
            Kind::Png => {
                let mut out = Vec::new();
                self.pixels.write_with_encoder(PngEncoder::new(&mut out)).map_err(not_written)?;
                Ok(out)
            }
            Kind::Jpeg | Kind::Pdf => jpeg(&self.pixels, JPEG_QUALITY),
        }
    }

    /// The small JPEG for lists of pictures.
    pub(crate) fn preview(&self) -> Result<Vec<u8>, PaperError> {
        jpeg(&fitted(&self.pixels, PREVIEW_SIDE), PREVIEW_QUALITY)
    }
}

/// The bound on memory alone; sides and pixels are looked at by themselves, so that the refusal can name them.
fn memory() -> Limits {
    let mut limits = Limits::no_limits();
    limits.max_alloc = Some(MOST_MEMORY);
    limits
}

fn decoded(
    mut decoder: impl ImageDecoder,
    what: &'static str,
    side: u32,
) -> Result<DynamicImage, PaperError> {
    let (width, height) = decoder.dimensions();
    if u64::from(width).saturating_mul(u64::from(height)) > MOST_PIXELS || decoder.total_bytes() > MOST_MEMORY
    {
        return Err(PaperError::TooManyPixels { width, height });
    }
    decoder.set_limits(memory()).map_err(|error| broken(what, &error))?;
    // A picture whose EXIF can't be read is taken as it lies.
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let pixels = DynamicImage::from_decoder(decoder).map_err(|error| broken(what, &error))?;
    // Fitted first: turning makes a copy.
    let mut pixels = fitted_or_same(pixels, side);
    pixels.apply_orientation(orientation);
    Ok(pixels)
}

/// What a decoder says, as a refusal.
fn broken(what: &'static str, error: &ImageError) -> PaperError {
    match error {
        ImageError::IoError(io) if io.kind() == std::io::ErrorKind::UnexpectedEof => {
            PaperError::CutOff { what }
        }
        ImageError::IoError(_)
        | ImageError::Decoding(_)
        | ImageError::Encoding(_)
        | ImageError::Parameter(_)
        | ImageError::Limits(_)
        | ImageError::Unsupported(_) => PaperError::Broken { what, reason: error.to_string() },
    }
}

fn not_written(error: ImageError) -> PaperError {
    PaperError::NotWritten { reason: error.to_string() }
}

/// Sides in the same proportion with the longer one at the bound, each at least one pixel; the same sides where
/// they keep the bound.
fn sides(width: u32, height: u32, bound: u32) -> (u32, u32) {
    let longer = width.max(height);
    if longer <= bound {
        return (width, height);
    }
    let scaled = |side: u32| {
        let (side, bound, longer) = (u64::from(side), u64::from(bound), u64::from(longer));
        u32::try_from((side * bound + longer / 2) / longer).unwrap_or(u32::MAX).max(1)
    };
    (scaled(width), scaled(height))
}

fn fitted_or_same(pixels: DynamicImage, bound: u32) -> DynamicImage {
    if pixels.width().max(pixels.height()) <= bound { pixels } else { fitted(&pixels, bound) }
}

/// First averaged over whole pixels down to twice the bound, which needs little memory, then filtered.
fn fitted(pixels: &DynamicImage, bound: u32) -> DynamicImage {
    let to = sides(pixels.width(), pixels.height(), bound);
    if to == (pixels.width(), pixels.height()) {
        return pixels.clone();
    }
    let (width, height) = sides(pixels.width(), pixels.height(), bound.saturating_mul(2));
    if (width, height) == (pixels.width(), pixels.height()) {
        return pixels.resize_exact(to.0, to.1, FilterType::Triangle);
    }
    pixels.thumbnail_exact(width, height).resize_exact(to.0, to.1, FilterType::Triangle)
}

/// A JPEG of the pixels, with holes filled white; grey stays grey.
fn jpeg(pixels: &DynamicImage, quality: u8) -> Result<Vec<u8>, PaperError> {
    let mut out = Vec::new();
    let encoder = JpegEncoder::new_with_quality(&mut out, quality);
    if pixels.color().has_color() {
        on_white(pixels).write_with_encoder(encoder).map_err(not_written)?;
    } else {
        on_white_grey(pixels).write_with_encoder(encoder).map_err(not_written)?;
    }
    Ok(out)
}

fn on_white(pixels: &DynamicImage) -> RgbImage {
    if !pixels.color().has_alpha() {
        return pixels.to_rgb8();
    }
    let from = pixels.to_rgba8();
    let mut onto = RgbImage::new(from.width(), from.height());
    for (to, from) in onto.pixels_mut().zip(from.pixels()) {
        let [red, green, blue, alpha] = from.0;
        to.0 = [red, green, blue].map(|value| over_white(value, alpha));
    }
    onto
}

fn on_white_grey(pixels: &DynamicImage) -> GrayImage {
    if !pixels.color().has_alpha() {
        return pixels.to_luma8();
    }
    let from = pixels.to_luma_alpha8();
    let mut onto = GrayImage::new(from.width(), from.height());
    for (to, from) in onto.pixels_mut().zip(from.pixels()) {
        let [value, alpha] = from.0;
        to.0 = [over_white(value, alpha)];
    }
    onto
}

/// A value seen over white through its opacity, both of 255.
fn over_white(value: u8, alpha: u8) -> u8 {
    const FULL: u32 = 255;
    let (value, alpha) = (u32::from(value), u32::from(alpha));
    let mixed = (value * alpha + FULL * (FULL - alpha) + FULL / 2) / FULL;
    u8::try_from(mixed).unwrap_or(u8::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sides_keep_their_proportion_and_never_vanish() {
        assert_eq!(sides(4000, 3000, 2400), (2400, 1800));
        assert_eq!(sides(3000, 4000, 2400), (1800, 2400));
        assert_eq!(sides(2400, 1, 2400), (2400, 1));
        assert_eq!(sides(60_000, 1, 2400), (2400, 1));
        assert_eq!(sides(u32::MAX, u32::MAX, 480), (480, 480));
        assert_eq!(sides(0, 0, 480), (0, 0));
    }

    #[test]
    fn what_is_clear_is_seen_as_white() {
        assert_eq!([over_white(0, 0), over_white(0, 255), over_white(200, 255)], [255, 0, 200]);
        assert_eq!(over_white(0, 128), 127);
    }
}
