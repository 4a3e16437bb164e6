//! EXIF 2.3 (CIPA DC-008, JEITA CP-3451C), 4.6.4 A, tag 274, Orientation: where row 0 and column 0 of the stored
//! picture lie in the scene.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use desk::*;
use image::{DynamicImage, ImageFormat, Rgb, RgbImage};
use papers::{Paper, Role};
use proptest::prelude::*;

/// A side of the scene.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Side {
    Top,
    Right,
    Bottom,
    Left,
}
use Side::*;

/// The value, then the side of the scene at which row 0 lies, then that of column 0.
const TABLE: [(u16, Side, Side); 8] = [
    (1, Top, Left),
    (2, Top, Right),
    (3, Bottom, Right),
    (4, Bottom, Left),
    (5, Left, Top),
    (6, Right, Top),
    (7, Right, Bottom),
    (8, Left, Bottom),
];

/// The scene by the table, worked out pixel by pixel: a row or column whose number counts away from a side.
fn scene<P: Copy>(stored: &[Vec<P>], row_0: Side, column_0: Side) -> Vec<Vec<P>> {
    let (rows, columns) = (stored.len(), stored[0].len());
    let on_its_side = matches!(row_0, Left | Right);
    let (high, wide) = if on_its_side { (columns, rows) } else { (rows, columns) };
    let mut out = vec![vec![stored[0][0]; wide]; high];
    for (row, line) in stored.iter().enumerate() {
        for (column, &pixel) in line.iter().enumerate() {
            let (mut x, mut y) = (0, 0);
            for (count, side) in [(row, row_0), (column, column_0)] {
                match side {
                    Top => y = count,
                    Bottom => y = high - 1 - count,
                    Left => x = count,
                    Right => x = wide - 1 - count,
                }
            }
            out[y][x] = pixel;
        }
    }
    out
}

fn rows(picture: &RgbImage) -> Vec<Vec<Rgb<u8>>> {
    picture.rows().map(|row| row.copied().collect()).collect()
}

#[test]
fn every_orientation_is_turned_as_the_table_says() {
    let stored = RgbImage::from_fn(3, 2, |x, y| Rgb([10 + 40 * x as u8, 10 + 90 * y as u8, 7]));
    let png = written(&stored.clone().into(), ImageFormat::Png);
    for (value, row_0, column_0) in TABLE {
        let file = with_chunks(&png, &[chunk(b"eXIf", &exif(value))]);
        let kept = decoded(Paper::read(&file, Role::Photo).unwrap().bytes()).to_rgb8();
        assert_eq!(rows(&kept), scene(&rows(&stored), row_0, column_0), "orientation {value}");
    }
    for value in [0, 9, 255, u16::MAX] {
        let file = with_chunks(&png, &[chunk(b"eXIf", &exif(value))]);
        let kept = decoded(Paper::read(&file, Role::Photo).unwrap().bytes()).to_rgb8();
        assert_eq!(kept, stored, "no such orientation: taken as it lies");
    }
}

/// A WebP with EXIF: a head that says so (bit 3), the picture, and a chunk EXIF (WebP container specification).
#[test]
fn a_webp_is_turned_as_well() {
    let stored = red_and_blue(64, 32);
    let plain = written(&stored.into(), ImageFormat::WebP);
    let exif = exif(6);
    let mut body = b"WEBPVP8X\x0a\0\0\0\x08\0\0\0".to_vec();
    body.extend([63, 0, 0, 31, 0, 0]);
    body.extend(&plain[12..]);
    body.extend(b"EXIF");
    body.extend(u32::try_from(exif.len()).unwrap().to_le_bytes());
    body.extend(&exif);
    if exif.len() % 2 == 1 {
        body.push(0);
    }
    let length = u32::try_from(body.len()).unwrap();
    let webp = [b"RIFF".as_slice(), &length.to_le_bytes(), &body].concat();
    let kept = Paper::read(&webp, Role::Photo).unwrap();
    assert!(!holds(kept.bytes(), MAKER.as_bytes()));
    let upright = decoded(kept.bytes()).to_rgb8();
    assert_eq!(upright.dimensions(), (32, 64));
    assert!(upright.get_pixel(16, 8).0[0] > 180, "what lay left is up");
}

/// A picture of every kind of pixels that a PNG may hold and a decoder gives.
fn any_picture() -> impl Strategy<Value = DynamicImage> {
    (1_u32..9, 1_u32..9, 0_usize..8, any::<u64>()).prop_map(|(width, height, kind, seed)| {
        let mut state = seed | 1;
        let mut next = || {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            state
        };
        let mut picture = match kind {
            0 => DynamicImage::new_luma8(width, height),
            1 => DynamicImage::new_luma_a8(width, height),
            2 => DynamicImage::new_rgb8(width, height),
            3 => DynamicImage::new_rgba8(width, height),
            4 => DynamicImage::new_luma16(width, height),
            5 => DynamicImage::new_luma_a16(width, height),
            6 => DynamicImage::new_rgb16(width, height),
            _ => DynamicImage::new_rgba16(width, height),
        };
        match &mut picture {
            DynamicImage::ImageLuma8(one) => one.iter_mut().for_each(|value| *value = next() as u8),
            DynamicImage::ImageLumaA8(one) => one.iter_mut().for_each(|value| *value = next() as u8),
            DynamicImage::ImageRgb8(one) => one.iter_mut().for_each(|value| *value = next() as u8),
            DynamicImage::ImageRgba8(one) => one.iter_mut().for_each(|value| *value = next() as u8),
            DynamicImage::ImageLuma16(one) => one.iter_mut().for_each(|value| *value = next() as u16),
            DynamicImage::ImageLumaA16(one) => one.iter_mut().for_each(|value| *value = next() as u16),
            DynamicImage::ImageRgb16(one) => one.iter_mut().for_each(|value| *value = next() as u16),
            DynamicImage::ImageRgba16(one) => one.iter_mut().for_each(|value| *value = next() as u16),
            _ => unreachable!("no other kind is made above"),
        }
        picture
    })
}

/// The pixels as whole numbers, row by row, each with the bytes of its kind of pixel.
fn exact(picture: &DynamicImage) -> Vec<Vec<Vec<u8>>> {
    let size = usize::from(picture.color().bytes_per_pixel());
    let row = size * picture.width() as usize;
    picture.as_bytes().chunks(row).map(|line| line.chunks(size).map(<[u8]>::to_vec).collect()).collect()
}

proptest! {
    #[test]
    fn a_png_keeps_exactly_its_pixels_turned_upright(picture in any_picture(), turn in 0_usize..8) {
        let (value, row_0, column_0) = TABLE[turn];
        let file = with_chunks(&written(&picture, ImageFormat::Png), &[chunk(b"eXIf", &exif(value))]);
        let kept = Paper::read(&file, Role::Receipt).unwrap();
        let kept = decoded(kept.bytes());
        prop_assert_eq!(kept.color(), picture.color());
        let stored: Vec<Vec<Vec<u8>>> = exact(&picture);
        let numbers: Vec<Vec<(usize, usize)>> = (0..stored.len())
            .map(|row| (0..stored[0].len()).map(|column| (row, column)).collect())
            .collect();
        let upright: Vec<Vec<Vec<u8>>> = scene(&numbers, row_0, column_0)
            .into_iter()
            .map(|line| line.into_iter().map(|(row, column)| stored[row][column].clone()).collect())
            .collect();
        prop_assert_eq!(exact(&kept), upright);
    }
}
