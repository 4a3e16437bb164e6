//! Files made byte by byte: segments, chunks and EXIF as their publications lay them out.

#![allow(dead_code, reason = "not every test file uses every part")]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::io::Cursor;

use image::{DynamicImage, ImageFormat, Rgb, RgbImage};

/// The maker's name in the EXIF made here; it must not survive.
pub const MAKER: &str = "Kitchen Table Cameras";
/// Degrees, minutes and hundredths of seconds of the latitude in the EXIF made here.
pub const LATITUDE: [(u32, u32); 3] = [(39, 1), (45, 1), (3217, 100)];

/// EXIF 2.3 in a little-endian TIFF 6.0 structure: the maker (tag 271), the orientation (tag 274), and a pointer
/// (tag 34853) to GPS tags 1 and 2, latitude and its letter.
pub fn exif(orientation: u16) -> Vec<u8> {
    const ASCII: u16 = 2;
    const SHORT: u16 = 3;
    const LONG: u16 = 4;
    const RATIONAL: u16 = 5;
    let mut out = b"II*\0".to_vec();
    out.extend(8_u32.to_le_bytes());
    let entry = |tag: u16, kind: u16, count: u32, value: [u8; 4]| {
        let mut entry = tag.to_le_bytes().to_vec();
        entry.extend(kind.to_le_bytes());
        entry.extend(count.to_le_bytes());
        entry.extend(value);
        entry
    };
    let maker_at = 8 + 2 + 3 * 12 + 4;
    let maker = format!("{MAKER}\0");
    let gps_at = maker_at + maker.len() as u32;
    let latitude_at = gps_at + 2 + 2 * 12 + 4;
    out.extend(3_u16.to_le_bytes());
    out.extend(entry(271, ASCII, maker.len() as u32, maker_at.to_le_bytes()));
    let [low, high] = orientation.to_le_bytes();
    out.extend(entry(274, SHORT, 1, [low, high, 0, 0]));
    out.extend(entry(34853, LONG, 1, gps_at.to_le_bytes()));
    out.extend(0_u32.to_le_bytes());
    out.extend(maker.as_bytes());
    out.extend(2_u16.to_le_bytes());
    out.extend(entry(1, ASCII, 2, *b"N\0\0\0"));
    out.extend(entry(2, RATIONAL, 3, latitude_at.to_le_bytes()));
    out.extend(0_u32.to_le_bytes());
    out.extend(latitude());
    out
}

/// The latitude as it lies in the file.
pub fn latitude() -> Vec<u8> {
    LATITUDE.iter().flat_map(|(over, under)| [over.to_le_bytes(), under.to_le_bytes()].concat()).collect()
}

/// A picture whose left half is red and whose right half is blue.
pub fn red_and_blue(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(
        width,
        height,
        |x, _| if x < width / 2 { Rgb([220, 20, 20]) } else { Rgb([20, 20, 220]) },
    )
}

pub fn written(picture: &DynamicImage, format: ImageFormat) -> Vec<u8> {
    let mut out = Cursor::new(Vec::new());
    picture.write_to(&mut out, format).unwrap();
    out.into_inner()
}

pub fn decoded(bytes: &[u8]) -> DynamicImage {
    image::load_from_memory(bytes).unwrap()
}

/// A JPEG with a segment of an application after its first two bytes (ITU-T T.81, B.2.4.6).
pub fn with_segment(jpeg: &[u8], number: u8, body: &[u8]) -> Vec<u8> {
    let length = u16::try_from(body.len() + 2).unwrap();
    [&jpeg[..2], &[0xFF, 0xE0 + number], &length.to_be_bytes(), body, &jpeg[2..]].concat()
}

/// A JPEG with EXIF (EXIF 2.3, 4.5.4: APP1 that begins with "Exif", 0, 0).
pub fn jpeg_with_exif(picture: RgbImage, orientation: u16) -> Vec<u8> {
    let jpeg = written(&picture.into(), ImageFormat::Jpeg);
    with_segment(&jpeg, 1, &[b"Exif\0\0".as_slice(), &exif(orientation)].concat())
}

/// The markers of a JPEG up to its first scan.
pub fn markers(jpeg: &[u8]) -> Vec<u8> {
    let (mut at, mut out) = (2, Vec::new());
    loop {
        assert_eq!(jpeg[at], 0xFF);
        out.push(jpeg[at + 1]);
        if jpeg[at + 1] == 0xDA {
            return out;
        }
        at += 2 + usize::from(u16::from_be_bytes([jpeg[at + 2], jpeg[at + 3]]));
    }
}

/// A chunk of a PNG with its check sum (ISO/IEC 15948, 5.3 and annex D).
pub fn chunk(name: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let body = [name.as_slice(), data].concat();
    let sum = !body.iter().fold(u32::MAX, |sum, &byte| {
        (0..8).fold(
            sum ^ u32::from(byte),
            |sum, _| {
                if sum & 1 == 1 { 0xEDB8_8320 ^ (sum >> 1) } else { sum >> 1 }
            },
        )
    });
    let length = u32::try_from(data.len()).unwrap();
    [&length.to_be_bytes(), body.as_slice(), &sum.to_be_bytes()].concat()
}

/// A PNG with chunks after its first.
pub fn with_chunks(png: &[u8], chunks: &[Vec<u8>]) -> Vec<u8> {
    const HEAD: usize = 8 + 25;
    [&png[..HEAD], &chunks.concat(), &png[HEAD..]].concat()
}

/// The names of the chunks of a PNG.
pub fn chunks(png: &[u8]) -> Vec<String> {
    let (mut at, mut out) = (8, Vec::new());
    while at < png.len() {
        let length = u32::from_be_bytes(png[at..at + 4].try_into().unwrap()) as usize;
        out.push(String::from_utf8(png[at + 4..at + 8].to_vec()).unwrap());
        at += 12 + length;
    }
    out
}

/// The head of a PNG that says it is so large, in colours of eight bits, and a little data.
pub fn png_that_claims(width: u32, height: u32) -> Vec<u8> {
    let head = [width.to_be_bytes().as_slice(), &height.to_be_bytes(), &[8, 2, 0, 0, 0]].concat();
    [
        b"\x89PNG\r\n\x1a\n".as_slice(),
        &chunk(b"IHDR", &head),
        &chunk(b"IDAT", &[0x78, 0x9c, 0x63, 0, 0, 0, 1, 0, 1]),
        &chunk(b"IEND", &[]),
    ]
    .concat()
}

pub fn holds(bytes: &[u8], part: &[u8]) -> bool {
    bytes.windows(part.len()).any(|here| here == part)
}

/// A WebP of one pixel in lossy coding.
pub const LOSSY_WEBP: &[u8] = &[
    0x52, 0x49, 0x46, 0x46, 0x22, 0x00, 0x00, 0x00, 0x57, 0x45, 0x42, 0x50, 0x56, 0x50, 0x38, 0x20, 0x16,
    0x00, 0x00, 0x00, 0x30, 0x01, 0x00, 0x9d, 0x01, 0x2a, 0x01, 0x00, 0x01, 0x00, 0x0e, 0xc0, 0xfe, 0x25,
    0xa4, 0x00, 0x03, 0x70, 0x00, 0x00, 0x00, 0x00,
];

/// A PDF of one empty page, with what it says of its maker.
pub const PDF: &[u8] = b"%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n\
2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj\n3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 72 72]>>endobj\n\
4 0 obj<</Author(A clerk)>>endobj\ntrailer<</Root 1 0 R/Info 4 0 R>>\n%%EOF\n";
