//! The people of the company and what each may do.

use serde::{Deserialize, Serialize};

/// What somebody does for the company.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Runs the company: may do everything.
    Owner,
    /// Runs the office: everything but people, limits and money rules.
    Dispatcher,
    /// Does the visits: sees those given to them and what stands behind them.
    Technician,
}

impl Role {
    /// All of them, the one with the most rights first.
    pub const ALL: [Self; 3] = [Self::Owner, Self::Dispatcher, Self::Technician];

    /// The word in the store and in addresses.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Owner => "owner",
            Self::Dispatcher => "dispatcher",
            Self::Technician => "technician",
        }
    }

    /// The role of that word.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|role| role.key() == key)
    }

    /// Whether this role may do the office's work: customers, agreements, bookings.
    #[must_use]
    pub fn runs_the_office(self) -> bool {
        self != Self::Technician
    }
}

/// The shortest password that is taken (NIST SP 800-63B, from memory: length is what counts).
pub const PASSWORD_LETTERS_MIN: usize = 10;
/// Longer ones cost the hash time without being better.
pub const PASSWORD_LETTERS_MAX: usize = 200;

/// Why a password is not good enough, or nothing.
#[must_use]
pub fn password_fault(password: &str) -> Option<String> {
    let letters = password.chars().count();
    if letters < PASSWORD_LETTERS_MIN {
        return Some(format!(
            "The password has {letters} characters; at least {PASSWORD_LETTERS_MIN} are needed. \
             A few words are easy to remember."
        ));
    }
    (letters > PASSWORD_LETTERS_MAX)
        .then(|| format!("The password is longer than {PASSWORD_LETTERS_MAX} characters."))
}

/// Text as the search box compares it: small letters, no marks, single spaces.
#[must_use]
pub fn folded(text: &str) -> String {
    text.to_lowercase().split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Only the digits, as phone numbers are compared.
#[must_use]
pub fn digits(text: &str) -> String {
    text.chars().filter(char::is_ascii_digit).collect()
}
