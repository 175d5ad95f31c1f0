//! Which kind of picture some bytes are, by what they say and never by a name; and whether they are
//! all there.

/// The pictures that are read and written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PictureKind {
    /// ITU-T T.81.
    Jpeg,
    /// Portable Network Graphics.
    Png,
}

/// How a JPEG begins: start of image, and the first byte of the next marker (T.81, B.1.1.3).
const JPEG_START: &[u8] = &[0xff, 0xd8, 0xff];
/// How a PNG begins (PNG specification, 5.2).
const PNG_START: &[u8] = &[0x89, b'P', b'N', b'G', 0x0d, 0x0a, 0x1a, 0x0a];

/// The kind of some bytes, by how they begin.
#[must_use]
pub fn kind_of(bytes: &[u8]) -> Option<PictureKind> {
    if bytes.starts_with(JPEG_START) {
        Some(PictureKind::Jpeg)
    } else if bytes.starts_with(PNG_START) {
        Some(PictureKind::Png)
    } else {
        None
    }
}

impl PictureKind {
    /// Its media type: in the store and in answers.
    #[must_use]
    pub fn media_type(self) -> &'static str {
        match self {
            Self::Jpeg => "image/jpeg",
            Self::Png => "image/png",
        }
    }

    /// The kind of that media type.
    #[must_use]
    pub fn of_media_type(text: &str) -> Option<Self> {
        [Self::Jpeg, Self::Png].into_iter().find(|kind| kind.media_type() == text)
    }

    /// How names of such files end.
    #[must_use]
    pub fn ending(self) -> &'static str {
        match self {
            Self::Jpeg => "jpg",
            Self::Png => "png",
        }
    }

    /// Whether the file goes to its end. The decoder would show what is missing of a JPEG as grey;
    /// that of a PNG says so itself.
    pub(super) fn is_whole(self, bytes: &[u8]) -> bool {
        self == Self::Png || jpeg_ends(bytes)
    }
}

const STUFFED: u8 = 0x00;
const STANDALONE: u8 = 0x01;
const RESTARTS: std::ops::RangeInclusive<u8> = 0xd0..=0xd7;
const START_OF_IMAGE: u8 = 0xd8;
const END_OF_IMAGE: u8 = 0xd9;
const FILL: u8 = 0xff;

/// Whether a JPEG's own end of image comes, and not just that of a preview inside one of its
/// segments, which are stepped over (T.81, B.1.1). What follows behind the end is let be.
fn jpeg_ends(bytes: &[u8]) -> bool {
    let mut at = JPEG_START.len() - 1;
    while let Some(next) = bytes.get(at..).and_then(|rest| memchr::memchr(FILL, rest)) {
        at += next + 1;
        let Some(&marker) = bytes.get(at) else { return false };
        match marker {
            // The byte is looked at again: it may begin a marker.
            FILL => {}
            STUFFED | STANDALONE | START_OF_IMAGE => at += 1,
            marker if RESTARTS.contains(&marker) => at += 1,
            END_OF_IMAGE => return true,
            _ => {
                let Some(&[high, low]) = bytes.get(at + 1..at + 3) else { return false };
                at += 1 + usize::from(u16::from_be_bytes([high, low]));
            }
        }
    }
    false
}
