//! Pictures, bytes in and bytes out: what somebody sent is read within bounds, turned upright, made
//! small enough, and written anew, so that nothing but the picture is kept. No I/O.

mod kinds;

use std::io::Cursor;

use image::codecs::jpeg::{JpegDecoder, JpegEncoder};
use image::codecs::png::{CompressionType, FilterType as RowFilter, PngDecoder, PngEncoder};
use image::imageops::{self, FilterType};
use image::metadata::Orientation;
use image::{DynamicImage, GrayImage, ImageDecoder, ImageError, ImageResult, Limits};
use image::{ExtendedColorType, Rgb, RgbImage};

pub use kinds::{PictureKind, kind_of};

/// The largest file that is read: the biggest that today's phones write as JPEG (judgement, no
/// source), many times what our own script sends.
pub const SENT_BYTES_MAX: usize = 12 * 1024 * 1024;
/// The most pixels: the sensors of today's phones (judgement, no source).
pub const PIXELS_MAX: u64 = 50_000_000;
/// The longest side; with it a strip that is one pixel high is refused too.
pub const SENT_SIDE_MAX: u32 = 12_000;
/// Long side of a photo that is kept: a nameplate stays legible (judgement, no source).
pub const PHOTO_SIDE_MAX: u32 = 1_600;
/// The largest signature that is kept.
pub const SIGNATURE_SIDES_MAX: (u32, u32) = (1_200, 600);
/// Of 100: above that files grow quicker than they look better (common practice, no source).
const JPEG_QUALITY: u8 = 80;
/// What a decoder may allocate: the most pixels in four channels, and some room.
const DECODER_BYTES_MAX: u64 = 4 * PIXELS_MAX + 32 * 1024 * 1024;

/// What a picture is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// It shows something: kept as JPEG.
    Photo,
    /// Lines on white: kept as a grey PNG.
    Signature,
}

/// A picture as it is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// The file.
    pub bytes: Vec<u8>,
    /// What kind of file.
    pub kind: PictureKind,
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
}

/// Why a picture is not taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotTaken {
    /// Nothing was sent.
    #[error("There is no picture in it. Choose a photo first.")]
    Empty,
    /// Too many bytes.
    #[error(
        "This picture is larger than {} MB. Send a smaller one; {PHOTO_SIDE_MAX} pixels on the \
         long side are kept anyway.",
        SENT_BYTES_MAX / 1024 / 1024
    )]
    TooLarge,
    /// Neither JPEG nor PNG by its content, whatever its name says.
    #[error(
        "This file is neither a JPEG nor a PNG picture. Set the camera to JPEG, or send a PNG."
    )]
    NotAPicture,
    /// Too many pixels.
    #[error(
        "This picture has {width} × {height} pixels. At most {SENT_SIDE_MAX} on a side and {} \
         million in all are accepted.",
        PIXELS_MAX / 1_000_000
    )]
    TooManyPixels {
        /// Pixels across.
        width: u32,
        /// Pixels down.
        height: u32,
    },
    /// The file ends too early, or is not what it begins as.
    #[error("This picture is cut off or damaged. Take or choose it once more.")]
    Damaged,
}

/// Reads a picture and writes it anew for its purpose.
///
/// # Errors
/// With a sentence for whoever sent it. Nothing is decoded before its size was looked at.
pub fn keep(sent: &[u8], purpose: Purpose) -> Result<Kept, NotTaken> {
    if sent.is_empty() {
        return Err(NotTaken::Empty);
    }
    if sent.len() > SENT_BYTES_MAX {
        return Err(NotTaken::TooLarge);
    }
    let kind = kind_of(sent).ok_or(NotTaken::NotAPicture)?;
    if !kind.is_whole(sent) {
        return Err(NotTaken::Damaged);
    }
    let picture = match kind {
        PictureKind::Jpeg => decoded(JpegDecoder::new(Cursor::new(sent)), purpose),
        PictureKind::Png => decoded(PngDecoder::with_limits(Cursor::new(sent), limits()), purpose),
    }?;
    let kept = match purpose {
        Purpose::Photo => photo(&picture),
        Purpose::Signature => signature(&picture),
    };
    // Writing into memory fails for no picture within the bounds.
    kept.map_err(|_| NotTaken::Damaged)
}

/// Bounds what a decoder allocates; the sides are looked at here, for the sentence.
fn limits() -> Limits {
    let mut limits = Limits::default();
    limits.max_alloc = Some(DECODER_BYTES_MAX);
    limits
}

/// The picture, small enough, upright, on white where it was transparent.
fn decoded(
    decoder: ImageResult<impl ImageDecoder>,
    purpose: Purpose,
) -> Result<RgbImage, NotTaken> {
    let mut decoder = decoder.map_err(|_| NotTaken::Damaged)?;
    let (width, height) = decoder.dimensions();
    let pixels = u64::from(width) * u64::from(height);
    let is_too_long = width > SENT_SIDE_MAX || height > SENT_SIDE_MAX;
    // Twice the bytes a pixel are as bad as twice the pixels.
    if is_too_long || pixels > PIXELS_MAX || decoder.total_bytes() > DECODER_BYTES_MAX {
        return Err(NotTaken::TooManyPixels { width, height });
    }
    decoder.set_limits(limits()).map_err(|_| NotTaken::Damaged)?;
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let whole = DynamicImage::from_decoder(decoder).map_err(|fault| match fault {
        ImageError::Limits(_) => NotTaken::TooManyPixels { width, height },
        _ => NotTaken::Damaged,
    })?;
    let bounds = match purpose {
        Purpose::Photo => (PHOTO_SIDE_MAX, PHOTO_SIDE_MAX),
        Purpose::Signature if is_on_its_side(orientation) => {
            (SIGNATURE_SIDES_MAX.1, SIGNATURE_SIDES_MAX.0)
        }
        Purpose::Signature => SIGNATURE_SIDES_MAX,
    };
    // Turned after it was made small: that needs the less memory.
    let mut small = shrunk(whole, bounds);
    small.apply_orientation(orientation);
    Ok(on_white(small))
}

fn is_on_its_side(orientation: Orientation) -> bool {
    use Orientation::{Rotate90, Rotate90FlipH, Rotate270, Rotate270FlipH};
    matches!(orientation, Rotate90 | Rotate90FlipH | Rotate270 | Rotate270FlipH)
}

/// The same within bounds, with its sides in proportion; never larger than it was.
fn shrunk(picture: DynamicImage, (across, down): (u32, u32)) -> DynamicImage {
    if picture.width() <= across && picture.height() <= down {
        return picture;
    }
    // First to twice the size by whole pixels, which is quick and needs little memory.
    let twice = (across * 2, down * 2);
    let picture = if picture.width() > twice.0 || picture.height() > twice.1 {
        picture.thumbnail(twice.0, twice.1)
    } else {
        picture
    };
    picture.resize(across, down, FilterType::Triangle)
}

fn on_white(picture: DynamicImage) -> RgbImage {
    if !picture.color().has_alpha() {
        return picture.into_rgb8();
    }
    let clear = picture.into_rgba8();
    RgbImage::from_fn(clear.width(), clear.height(), |x, y| {
        let [red, green, blue, alpha] = clear.get_pixel(x, y).0;
        let over = |ink: u8| {
            let mixed = u32::from(ink) * u32::from(alpha) + 255 * (255 - u32::from(alpha));
            u8::try_from(mixed / 255).unwrap_or(u8::MAX)
        };
        Rgb([over(red), over(green), over(blue)])
    })
}

fn photo(picture: &RgbImage) -> ImageResult<Kept> {
    let mut bytes = Vec::new();
    let (width, height) = picture.dimensions();
    JpegEncoder::new_with_quality(&mut bytes, JPEG_QUALITY).encode(
        picture.as_raw(),
        width,
        height,
        ExtendedColorType::Rgb8,
    )?;
    Ok(Kept { bytes, kind: PictureKind::Jpeg, width, height })
}

fn signature(picture: &RgbImage) -> ImageResult<Kept> {
    let grey: GrayImage = imageops::grayscale(picture);
    let mut bytes = Vec::new();
    let encoder =
        PngEncoder::new_with_quality(&mut bytes, CompressionType::Default, RowFilter::Adaptive);
    grey.write_with_encoder(encoder)?;
    let (width, height) = grey.dimensions();
    Ok(Kept { bytes, kind: PictureKind::Png, width, height })
}
