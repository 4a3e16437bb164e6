//! What is kept of a picture are its pixels, upright, and nothing else.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use desk::*;
use image::{DynamicImage, GrayAlphaImage, GrayImage, ImageFormat, LumaA, Rgb, Rgba, RgbaImage};
use papers::*;

#[test]
fn a_photo_with_place_and_camera_keeps_neither_and_is_turned() {
    let photo = jpeg_with_exif(red_and_blue(64, 32), 6);
    for part in [b"Exif".as_slice(), MAKER.as_bytes(), &latitude()] {
        assert!(holds(&photo, part), "the photo to begin with has it");
    }
    let kept = Paper::read(&photo, Role::Photo).unwrap();
    assert_eq!(kept.kind(), Kind::Jpeg);
    for bytes in [kept.bytes(), kept.preview().unwrap()] {
        for part in [b"Exif".as_slice(), b"GPS", MAKER.as_bytes(), &latitude()] {
            assert!(!holds(bytes, part));
        }
        let applications: Vec<u8> =
            markers(bytes).into_iter().filter(|marker| (0xE1..=0xEF).contains(marker)).collect();
        assert_eq!(applications, [0_u8; 0], "no segment of an application but the plain head");
        assert!(!markers(bytes).contains(&0xFE), "no comment");
        // Row 0 was the right side of the scene: what lies left in the file is up in the scene.
        let upright = decoded(bytes).to_rgb8();
        assert_eq!(upright.dimensions(), (32, 64));
        let (up, down) = (upright.get_pixel(16, 8).0, upright.get_pixel(16, 56).0);
        assert!(up[0] > 180 && up[2] < 60, "{up:?} is red");
        assert!(down[2] > 180 && down[0] < 60, "{down:?} is blue");
    }
}

#[test]
fn history_profile_comment_and_what_lies_behind_the_picture_are_gone() {
    let mut photo = written(&red_and_blue(64, 32).into(), ImageFormat::Jpeg);
    photo = with_segment(&photo, 1, b"http://ns.adobe.com/xap/1.0/\0<x:xmpmeta>kitchen</x:xmpmeta>");
    photo = with_segment(&photo, 2, b"ICC_PROFILE\0\x01\x01profile of a screen");
    photo = with_segment(&photo, 13, b"Photoshop 3.0\08BIM kitchen");
    photo.extend(b"\0\0\0\x18ftypmp42 three seconds of the kitchen");
    let kept = Paper::read(&photo, Role::Evidence).unwrap();
    for part in [b"xmp".as_slice(), b"ICC_PROFILE", b"8BIM", b"kitchen", b"ftyp"] {
        assert!(holds(&photo, part));
        assert!(!holds(kept.bytes(), part));
    }
}

#[test]
fn a_png_keeps_its_head_its_pixels_and_its_end() {
    let plain = written(&red_and_blue(6, 4).into(), ImageFormat::Png);
    let png = with_chunks(
        &plain,
        &[
            chunk(b"gAMA", &45_455_u32.to_be_bytes()),
            chunk(b"tEXt", b"Author\0A. Person"),
            chunk(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0<x/>"),
            chunk(b"tIME", &[7, 234, 3, 7, 10, 0, 0]),
            chunk(b"eXIf", &exif(1)),
        ],
    );
    assert_eq!(decoded(&png), decoded(&plain), "the chunks are well made");
    let kept = Paper::read(&png, Role::Receipt).unwrap();
    assert_eq!(kept.kind(), Kind::Png);
    let mut names = chunks(kept.bytes());
    names.dedup();
    assert_eq!(names, ["IHDR", "IDAT", "IEND"]);
    assert_eq!(decoded(kept.bytes()), decoded(&plain));
}

#[test]
fn what_a_file_is_goes_by_its_content() {
    let picture: DynamicImage = red_and_blue(8, 8).into();
    let clear: DynamicImage = RgbaImage::from_pixel(8, 8, Rgba([9, 9, 9, 0])).into();
    let kind = |bytes: &[u8]| Paper::read(bytes, Role::Evidence).unwrap().kind();
    assert_eq!(kind(&written(&picture, ImageFormat::Jpeg)), Kind::Jpeg);
    assert_eq!(kind(&written(&picture, ImageFormat::Png)), Kind::Png);
    assert_eq!(kind(&written(&picture, ImageFormat::WebP)), Kind::Jpeg);
    assert_eq!(kind(LOSSY_WEBP), Kind::Jpeg);
    assert_eq!(kind(&written(&clear, ImageFormat::WebP)), Kind::Png);
    assert_eq!(kind(PDF), Kind::Pdf);
}

#[test]
fn a_pdf_is_kept_byte_for_byte_without_a_preview_and_is_no_photo() {
    for role in [Role::Receipt, Role::Evidence] {
        let kept = Paper::read(PDF, role).unwrap();
        assert_eq!((kept.bytes(), kept.preview(), kept.role()), (PDF, None, role));
        assert!(!kept.kind().shows_in_place());
    }
    let error = Paper::read(PDF, Role::Photo).unwrap_err();
    assert!(error.to_string().contains("a PDF can be kept as a receipt"), "{error}");
    assert_eq!(preview_of(PDF), Ok(None));
}

#[test]
fn the_longer_side_keeps_its_bound_and_the_proportion_stays() {
    let wide: DynamicImage = GrayImage::new(6600, 20).into();
    let (jpeg, png) = (written(&wide, ImageFormat::Jpeg), written(&wide, ImageFormat::Png));
    let size = |bytes: &[u8]| (decoded(bytes).width(), decoded(bytes).height());
    for bytes in [&jpeg, &png] {
        let photo = Paper::read(bytes, Role::Photo).unwrap();
        assert_eq!(size(photo.bytes()), (2400, 7));
        assert_eq!(size(photo.preview().unwrap()), (480, 1));
        assert_eq!(size(Paper::read(bytes, Role::Receipt).unwrap().bytes()), (3200, 10));
    }
    let large = written(&red_and_blue(2700, 1800).into(), ImageFormat::Jpeg);
    let photo =
        Paper::read(&with_segment(&large, 1, &[b"Exif\0\0".as_slice(), &exif(8)].concat()), Role::Photo);
    let photo = photo.unwrap();
    assert_eq!(size(photo.bytes()), (1600, 2400), "fitted and turned");
    // Column 0 was the bottom of the scene.
    let upright = decoded(photo.bytes()).to_rgb8();
    let (up, down) = (upright.get_pixel(800, 600).0, upright.get_pixel(800, 1800).0);
    assert!(up[2] > 180 && up[0] < 60 && down[0] > 180 && down[2] < 60, "{up:?} is blue, {down:?} red");
}

#[test]
fn a_small_picture_is_not_made_larger() {
    for (width, height) in [(30, 20), (300, 200), (480, 470)] {
        let png = written(&red_and_blue(width, height).into(), ImageFormat::Png);
        let kept = Paper::read(&png, Role::Photo).unwrap();
        for bytes in [kept.bytes(), kept.preview().unwrap()] {
            assert_eq!((decoded(bytes).width(), decoded(bytes).height()), (width, height));
        }
    }
}

#[test]
fn clear_parts_are_white_in_the_preview() {
    let black: DynamicImage = RgbaImage::from_pixel(16, 16, Rgba([0, 0, 0, 0])).into();
    let grey: DynamicImage = GrayAlphaImage::from_pixel(16, 16, LumaA([0, 0])).into();
    for clear in [black, grey] {
        let kept = Paper::read(&written(&clear, ImageFormat::Png), Role::Photo).unwrap();
        assert_eq!(decoded(kept.bytes()), clear);
        assert_eq!(decoded(kept.preview().unwrap()).to_rgb8().get_pixel(8, 8), &Rgb([255, 255, 255]));
    }
}

#[test]
fn the_same_bytes_come_to_the_same_file_and_its_name_is_its_hash() {
    let photo = jpeg_with_exif(red_and_blue(64, 32), 3);
    let (once, again) =
        (Paper::read(&photo, Role::Photo).unwrap(), Paper::read(&photo, Role::Photo).unwrap());
    assert_eq!(once, again);
    assert_eq!(once.name().to_string(), format!("{}.jpg", sha256(once.bytes())));
    // Another place in the EXIF, the same pixels.
    let elsewhere: Vec<u8> = photo.iter().copied().chain(*b"behind").collect();
    assert_eq!(Paper::read(&elsewhere, Role::Photo).unwrap(), once);
}

#[test]
fn a_preview_is_made_anew_from_what_is_kept() {
    for format in [ImageFormat::Jpeg, ImageFormat::Png] {
        let kept = Paper::read(&written(&red_and_blue(900, 600).into(), format), Role::Receipt).unwrap();
        let again = preview_of(kept.bytes()).unwrap().unwrap();
        let preview = decoded(&again);
        assert_eq!((preview.width(), preview.height()), (480, 320));
        if format == ImageFormat::Png {
            assert_eq!(again, kept.preview().unwrap(), "a PNG loses nothing");
        }
    }
}
