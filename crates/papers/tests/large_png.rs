//! A large PNG photo is kept as a JPEG where it hides all that is behind it and that is smaller; no other PNG is.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use desk::written;
use image::{DynamicImage, ImageFormat, Rgb, RgbImage, Rgba, RgbaImage};
use papers::{Kind, LARGE_PNG, Paper, Role};

/// Side of the pictures here: grain of three bytes a pixel fills more than [`LARGE_PNG`].
const SIDE: u32 = 700;

/// A value that looks like grain, the same for the same place.
fn grain(x: u32, y: u32) -> u8 {
    let mixed = x.wrapping_mul(2_654_435_761) ^ y.wrapping_mul(2_246_822_519);
    (mixed.wrapping_mul(3_266_489_917) >> 24) as u8
}

/// A photo: soft shades with a grain in them, as a camera makes it.
fn photo() -> RgbImage {
    RgbImage::from_fn(SIDE, SIDE, |x, y| {
        let at = |shift: u32| ((x + y + shift) / 8) as u8 ^ (grain(x + shift, y) >> 3);
        Rgb([at(0), at(40), at(80)])
    })
}

#[test]
fn a_large_photo_without_clear_parts_becomes_a_smaller_jpeg() {
    let png = written(&photo().into(), ImageFormat::Png);
    assert!(png.len() >= LARGE_PNG, "{}", png.len());
    let kept = Paper::read(&png, Role::Photo).unwrap();
    assert_eq!(kept.kind(), Kind::Jpeg);
    assert!(kept.bytes().len() < png.len() / 2, "{} of {}", kept.bytes().len(), png.len());
    let shown = image::load_from_memory(kept.bytes()).unwrap();
    assert_eq!((shown.width(), shown.height()), (SIDE, SIDE));
    // With a channel of opacity that hides everything it is the same.
    let opaque = DynamicImage::from(DynamicImage::from(photo()).to_rgba8());
    assert_eq!(Paper::read(&written(&opaque, ImageFormat::Png), Role::Photo).unwrap().kind(), Kind::Jpeg);
}

#[test]
fn one_clear_pixel_keeps_it_a_png_and_so_do_a_receipt_and_evidence() {
    let mut clear: RgbaImage = DynamicImage::from(photo()).to_rgba8();
    clear.put_pixel(3, 3, Rgba([9, 9, 9, 254]));
    let png = written(&clear.into(), ImageFormat::Png);
    assert!(png.len() >= LARGE_PNG);
    assert_eq!(Paper::read(&png, Role::Photo).unwrap().kind(), Kind::Png);
    let png = written(&photo().into(), ImageFormat::Png);
    for role in [Role::Receipt, Role::Evidence] {
        assert_eq!(Paper::read(&png, role).unwrap().kind(), Kind::Png, "{}", role.word());
    }
}

#[test]
fn a_drawing_that_a_jpeg_would_make_larger_stays_as_it_is() {
    // Two values in a grain that a PNG keeps in a bit and a JPEG can't; no larger than a photo is kept.
    let side = 2400;
    let drawing = RgbImage::from_fn(side, side, |x, y| Rgb([if grain(x, y) & 1 == 1 { 255 } else { 0 }; 3]));
    let png = written(&drawing.into(), ImageFormat::Png);
    assert!(png.len() >= LARGE_PNG, "{}", png.len());
    let kept = Paper::read(&png, Role::Photo).unwrap();
    assert_eq!(kept.kind(), Kind::Png);
    assert!(
        image::load_from_memory(kept.bytes()).unwrap().to_rgb8()
            == image::load_from_memory(&png).unwrap().to_rgb8()
    );
    // What is small stays a PNG whatever it shows.
    let small = RgbImage::from_fn(60, 60, |x, y| Rgb([grain(x, y); 3]));
    let kept = Paper::read(&written(&small.into(), ImageFormat::Png), Role::Photo).unwrap();
    assert_eq!(kept.kind(), Kind::Png);
}
