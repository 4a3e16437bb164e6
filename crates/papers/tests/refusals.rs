//! What is not taken is refused with a reason and with what would be right.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use desk::*;
use image::{DynamicImage, ImageFormat};
use papers::*;
use proptest::prelude::*;

fn refused(bytes: &[u8], role: Role) -> PaperError {
    let error = Paper::read(bytes, role).unwrap_err();
    assert!(error.to_string().contains("right would be"), "{error}");
    error
}

#[test]
fn an_empty_file_is_refused() {
    assert!(matches!(refused(&[], Role::Photo), PaperError::Empty { .. }));
}

#[test]
fn a_file_with_too_many_bytes_is_refused_before_it_is_looked_at() {
    let mut photo = jpeg_with_exif(red_and_blue(8, 8), 1);
    photo.resize(MOST_BYTES, 0);
    Paper::read(&photo, Role::Photo).unwrap();
    photo.push(0);
    let error = refused(&photo, Role::Photo);
    assert_eq!(error, PaperError::TooLong { bytes: MOST_BYTES + 1 });
    assert!(error.to_string().contains("33 MB, more than the 32 MB"), "{error}");
}

#[test]
fn what_is_neither_picture_nor_pdf_is_named() {
    for (bytes, words) in [
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic".as_slice(), "HEIC"),
        (b"\0\0\0\x18ftypavif", "AVIF"),
        (b"\0\0\0\x18ftypmp42", "a film"),
        (b"\0\0\0\x18ftyp", "a film"),
        (b"GIF89a", "GIF"),
        (b"BM\0\0", "BMP"),
        (b"II*\0", "TIFF"),
        (b"PK\x03\x04", "ZIP"),
        (b"RIFF\0\0\0\0AVI ", "a film"),
        (b"RIFF\0\0\0\0WAVE", "isn't known"),
        (b"<svg xmlns=\"http://www.w3.org/2000/svg\"><script/></svg>", "isn't known"),
        (b"<!doctype html>", "isn't known"),
        (b" %PDF-1.7 %%EOF", "isn't known"),
        (b"\0", "isn't known"),
        (b"\xFF\xD8", "isn't known"),
    ] {
        for role in Role::ALL {
            let error = refused(bytes, role);
            assert!(matches!(error, PaperError::OtherKind { .. }), "{error:?}");
            assert!(error.to_string().contains(words), "{error}");
        }
    }
}

#[test]
fn a_picture_that_claims_to_be_huge_is_refused_by_its_head() {
    let png = png_that_claims(60_000, 60_000);
    let error = refused(&png, Role::Receipt);
    assert_eq!(error, PaperError::TooManyPixels { width: 60_000, height: 60_000 });
    assert!(error.to_string().contains("60000 x 60000"), "{error}");
    assert!(matches!(
        refused(&png_that_claims(64_000_001, 1), Role::Photo),
        PaperError::TooManyPixels { .. }
    ));
    // The height and width of a JPEG stand in its frame (ITU-T T.81, B.2.2), after its length and precision.
    let mut jpeg = written(&red_and_blue(16, 16).into(), ImageFormat::Jpeg);
    let frame = jpeg.windows(2).position(|two| two == [0xFF, 0xC0]).unwrap();
    jpeg[frame + 5..frame + 9].copy_from_slice(&[0xFF, 0xDC, 0xFF, 0xDC]);
    let error = refused(&jpeg, Role::Photo);
    assert_eq!(error, PaperError::TooManyPixels { width: 65_500, height: 65_500 });
    // The sides of an extended WebP, each less one, stand in three bytes (WebP container specification).
    let mut webp = b"RIFF\x16\0\0\0WEBPVP8X\x0a\0\0\0\0\0\0\0".to_vec();
    webp.extend([0xFE, 0x3F, 0, 0xFE, 0x3F, 0]);
    refused(&webp, Role::Photo);
}

#[test]
fn a_file_cut_off_anywhere_is_refused() {
    let picture: DynamicImage = red_and_blue(24, 16).into();
    let mut photo = jpeg_with_exif(red_and_blue(24, 16), 6);
    // A small picture inside the head, as cameras put it there, has an end of its own.
    photo = with_segment(&photo, 2, &written(&picture, ImageFormat::Jpeg));
    let files = [
        photo,
        written(&picture, ImageFormat::Png),
        written(&picture, ImageFormat::WebP),
        LOSSY_WEBP.to_vec(),
        PDF[..PDF.len() - 1].to_vec(),
    ];
    for file in files {
        Paper::read(&file, Role::Evidence).unwrap();
        for length in 0..file.len() {
            refused(&file[..length], Role::Evidence);
        }
        let most = &file[..file.len() - 1];
        let error = refused(most, Role::Evidence);
        assert!(matches!(error, PaperError::CutOff { .. }), "{error:?}");
    }
}

#[test]
fn a_pdf_without_a_version_is_refused() {
    for pdf in [b"%PDF-".as_slice(), b"%PDF-x.y\n%%EOF", b"%PDF-9.1\n%%EOF", b"%PDF-17\n%%EOF"] {
        let error = refused(pdf, Role::Receipt);
        assert!(error.to_string().contains("version"), "{error}");
    }
    Paper::read(b"%PDF-2.0\n%%EOF", Role::Receipt).unwrap();
}

#[test]
fn a_png_whose_pixels_are_damaged_is_refused() {
    let mut png = written(&red_and_blue(24, 16).into(), ImageFormat::Png);
    let data = png.windows(4).position(|name| name == b"IDAT").unwrap();
    png[data + 9] ^= 0x55;
    assert!(matches!(refused(&png, Role::Photo), PaperError::Broken { .. } | PaperError::CutOff { .. }));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    /// Whatever is changed in a file, it is taken or refused with a reason; and what is taken is again taken.
    #[test]
    fn a_damaged_file_is_taken_or_refused_in_words(
        which in 0_usize..5,
        at in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..12),
        cut in prop::option::of(any::<prop::sample::Index>()),
    ) {
        let picture: DynamicImage = red_and_blue(24, 16).into();
        let mut bytes = match which {
            0 => jpeg_with_exif(red_and_blue(24, 16), 6),
            1 => with_chunks(&written(&picture, ImageFormat::Png), &[chunk(b"eXIf", &exif(6))]),
            2 => written(&picture, ImageFormat::WebP),
            3 => LOSSY_WEBP.to_vec(),
            _ => PDF.to_vec(),
        };
        for (index, byte) in at {
            let index = index.index(bytes.len());
            bytes[index] = byte;
        }
        if let Some(cut) = cut {
            bytes.truncate(cut.index(bytes.len()));
        }
        for role in Role::ALL {
            match Paper::read(&bytes, role) {
                Ok(kept) => {
                    prop_assert_eq!(Paper::read(kept.bytes(), Role::Evidence).unwrap().kind(), kept.kind());
                }
                Err(error) => prop_assert!(error.to_string().contains("right would be"), "{}", error),
            }
        }
    }

    #[test]
    fn any_bytes_are_taken_or_refused_in_words(bytes in prop::collection::vec(any::<u8>(), 0..200), which in 0_usize..5) {
        let heads: [&[u8]; 5] = [b"", b"\xFF\xD8\xFF", b"\x89PNG\r\n\x1a\n", b"RIFF\x40\0\0\0WEBP", b"%PDF-1.7"];
        let bytes = [heads[which], &bytes].concat();
        if let Err(error) = Paper::read(&bytes, Role::Receipt) {
            prop_assert!(error.to_string().contains("right would be"), "{}", error);
        }
    }
}
