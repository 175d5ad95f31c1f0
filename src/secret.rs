//! Passwords and tokens as they are kept: never themselves, only their hashes.

use argon2::password_hash::{PasswordHash, PasswordHasher, PasswordVerifier, SaltString};
use argon2::{Algorithm, Argon2, Params, Version};
use sha2::{Digest, Sha256};

/// What a password hash costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cost {
    /// 19 MiB, two passes: the least that OWASP's password storage sheet names for Argon2id
    /// (from memory).
    Full,
    /// Next to nothing, for tests and the demo's well-known passwords.
    Cheap,
}

impl Cost {
    fn argon2(self) -> Argon2<'static> {
        let params = match self {
            Self::Full => Params::new(19_456, 2, 1, None),
            Self::Cheap => Params::new(8, 1, 1, None),
        };
        Argon2::new(Algorithm::Argon2id, Version::V0x13, params.unwrap_or_default())
    }
}

/// The Argon2id hash of a password with a fresh salt, in PHC form. Takes tens of milliseconds:
/// call it off the async threads.
///
/// # Errors
/// A sentence, if the library refuses; it doesn't for passwords of lawful length.
pub fn password_hash(password: &str, cost: Cost) -> Result<String, String> {
    let salt =
        SaltString::encode_b64(&crate::chance::bytes()).map_err(|fault| fault.to_string())?;
    cost.argon2()
        .hash_password(password.as_bytes(), &salt)
        .map(|hash| hash.to_string())
        .map_err(|fault| fault.to_string())
}

/// Whether a password is the one behind a hash. Without a hash as much work is done, so that the
/// time taken does not say whether an account exists.
#[must_use]
pub fn password_fits(password: &str, hash: Option<&str>, cost: Cost) -> bool {
    let Some(hash) = hash.and_then(|hash| PasswordHash::new(hash).ok()) else {
        let _same_work = password_hash(password, cost);
        return false;
    };
    Argon2::default().verify_password(password.as_bytes(), &hash).is_ok()
}

/// The SHA-256 of a token in hexadecimal: tokens are random, so they need no slow hash.
#[must_use]
pub fn token_hash(token: &str) -> String {
    hexadecimal(&Sha256::digest(token.as_bytes()))
}

/// Bytes as two hexadecimal digits each.
#[must_use]
pub fn hexadecimal(bytes: &[u8]) -> String {
    let digit = |half: u8| char::from_digit(u32::from(half), 16).unwrap_or('0');
    bytes.iter().flat_map(|byte| [digit(byte >> 4), digit(byte & 15)]).collect()
}
