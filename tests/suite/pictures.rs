//! Pictures for tests: made here, with what cameras write into theirs, and some that are none.

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::PngEncoder;
use image::{DynamicImage, ImageFormat, Rgb, RgbImage, Rgba, RgbaImage};

/// Red on its left half, blue on its right.
pub fn halves(width: u32, height: u32) -> RgbImage {
    let red = |x| x < width / 2;
    RgbImage::from_fn(width, height, |x, _| Rgb(if red(x) { [220, 20, 20] } else { [20, 20, 220] }))
}

pub fn jpeg(picture: &RgbImage) -> Vec<u8> {
    let mut bytes = Vec::new();
    picture
        .write_with_encoder(JpegEncoder::new_with_quality(&mut bytes, 90))
        .expect("it is written");
    bytes
}

pub fn png(picture: &DynamicImage) -> Vec<u8> {
    let mut bytes = Vec::new();
    picture.write_with_encoder(PngEncoder::new(&mut bytes)).expect("it is written");
    bytes
}

/// A small photo, different for each number.
pub fn photo(number: u8) -> Vec<u8> {
    jpeg(&RgbImage::from_pixel(40, 30, Rgb([number.wrapping_mul(40), 90, 40])))
}

/// A black line on a clear ground, as a script may draw it.
pub fn signature() -> Vec<u8> {
    let line = |x: u32, y: u32| if x / 2 == y { [0, 0, 0, 255] } else { [0, 0, 0, 0] };
    png(&RgbaImage::from_fn(300, 150, |x, y| Rgba(line(x, y))).into())
}

/// A latitude that is easily found again: 12° 34′ 56″, each a fraction of one.
const LATITUDE: [u32; 6] = [12, 1, 34, 1, 56, 1];

/// The latitude as it lies in a file.
pub fn latitude() -> Vec<u8> {
    LATITUDE.iter().flat_map(|it| it.to_le_bytes()).collect()
}

/// The same JPEG with what a phone writes into it: how it was held (EXIF's number) and where it was.
pub fn with_exif(jpeg: &[u8], orientation: u16) -> Vec<u8> {
    let entry = |tag: u16, kind: u16, count: u32, value: u32| {
        let mut bytes = Vec::new();
        bytes.extend(tag.to_le_bytes());
        bytes.extend(kind.to_le_bytes());
        bytes.extend(count.to_le_bytes());
        bytes.extend(value.to_le_bytes());
        bytes
    };
    let mut tiff = b"II*\0".to_vec();
    tiff.extend(8_u32.to_le_bytes());
    // The first directory at 8: two entries, 30 bytes; that of the place at 38, its latitude at 68.
    tiff.extend(2_u16.to_le_bytes());
    tiff.extend(entry(0x0112, 3, 1, u32::from(orientation)));
    tiff.extend(entry(0x8825, 4, 1, 38));
    tiff.extend(0_u32.to_le_bytes());
    tiff.extend(2_u16.to_le_bytes());
    tiff.extend(entry(1, 2, 2, u32::from(b'N')));
    tiff.extend(entry(2, 5, 3, 68));
    tiff.extend(0_u32.to_le_bytes());
    tiff.extend(latitude());
    let mut segment = b"Exif\0\0".to_vec();
    segment.extend(tiff);
    let length = u16::try_from(segment.len() + 2).expect("a short segment");
    let mut bytes = jpeg[..2].to_vec();
    bytes.extend([0xff, 0xe1]);
    bytes.extend(length.to_be_bytes());
    bytes.extend(segment);
    bytes.extend(&jpeg[2..]);
    bytes
}

/// A PNG that says it is huge and is a hundred bytes.
pub fn bomb(width: u32, height: u32, bits: u8) -> Vec<u8> {
    let mut header = Vec::new();
    header.extend(width.to_be_bytes());
    header.extend(height.to_be_bytes());
    // Red, green, blue and alpha; the only compression, filter and order.
    header.extend([bits, 6, 0, 0, 0]);
    let mut bytes = vec![0x89, b'P', b'N', b'G', 0x0d, 0x0a, 0x1a, 0x0a];
    for (name, body) in [(b"IHDR", header), (b"IDAT", vec![0x78, 0x9c, 0x03, 0, 0, 0, 0, 1])] {
        bytes.extend(u32::try_from(body.len()).expect("a short chunk").to_be_bytes());
        let start = bytes.len();
        bytes.extend(name);
        bytes.extend(body);
        let sum = crc(&bytes[start..]);
        bytes.extend(sum.to_be_bytes());
    }
    bytes
}

/// The sum of a PNG's chunk (PNG specification, annex D).
fn crc(bytes: &[u8]) -> u32 {
    let mut sum = u32::MAX;
    for byte in bytes {
        sum ^= u32::from(*byte);
        for _ in 0..8 {
            sum = if sum & 1 == 1 { 0xedb8_8320 ^ (sum >> 1) } else { sum >> 1 };
        }
    }
    !sum
}

/// Decodes what was kept, as whoever looks at it does.
pub fn looked_at(bytes: &[u8], format: ImageFormat) -> RgbImage {
    image::load(Cursor::new(bytes), format).expect("it can be looked at").into_rgb8()
}
