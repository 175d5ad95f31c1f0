//! The only place that draws lots: ids and secret tokens.

use std::sync::atomic::{AtomicU32, Ordering};

use rand::TryRngCore;
use rand::rngs::OsRng;
use time::OffsetDateTime;
use uuid::{Builder, Uuid};

static MADE: AtomicU32 = AtomicU32::new(0);

/// An id that sorts by the time of its making (UUID version 7). Ids are not secrets.
#[must_use]
pub fn id(at: OffsetDateTime) -> Uuid {
    let millis = u64::try_from(at.unix_timestamp_nanos() / 1_000_000).unwrap_or(0);
    let mut lots = [0; 10];
    fill(&mut lots);
    // What is made one after the other in one second sorts so: a count stands before the lots.
    let [_, high, middle, low] = MADE.fetch_add(1, Ordering::Relaxed).to_be_bytes();
    lots[..4].copy_from_slice(&[high >> 4, (high << 4) | (middle >> 4), middle & 0x0f, low]);
    Builder::from_unix_timestamp_millis(millis, &lots).into_uuid()
}

/// A secret of 128 bits as 32 hexadecimal digits.
#[must_use]
pub fn token() -> String {
    crate::secret::hexadecimal(&bytes())
}

/// Sixteen random bytes.
#[must_use]
pub fn bytes() -> [u8; 16] {
    let mut lots = [0; 16];
    fill(&mut lots);
    lots
}

/// A password that can be read aloud: four groups of four letters and digits, none of which
/// looks like another.
#[must_use]
pub fn password() -> String {
    const LETTERS: &[u8] = b"abcdefghjkmnpqrstuvwxyz23456789";
    let letters: Vec<char> =
        bytes().iter().map(|lot| char::from(LETTERS[usize::from(*lot) % LETTERS.len()])).collect();
    letters.chunks(4).map(|group| group.iter().collect::<String>()).collect::<Vec<_>>().join("-")
}

fn fill(lots: &mut [u8]) {
    #[expect(clippy::expect_used, reason = "a machine without randomness can keep no secret")]
    OsRng.try_fill_bytes(lots).expect("the operating system gives random bytes");
}
