//! Photos of a visit and the customer's signature: which fields may have one, and who may take one
//! away.

use super::refusal::Refusal;
use super::sheet;
use super::visit::VisitState;

/// The field of what the customer signed.
pub const SIGNATURE: &str = "signature";
/// Photos of a visit at most; what was taken away counts no more. Four for each block of the sheet
/// and some (judgement, no source).
pub const PHOTOS_MAX: i64 = 60;

/// Whether a field of the sheet may have photos: what is looked at, what stops the work, what was
/// done; the signature; and, with an empty name, the visit as a whole.
#[must_use]
pub fn may_have(field: &str) -> bool {
    field.is_empty() || field == SIGNATURE || of_the_sheet(field).is_some()
}

fn of_the_sheet(field: &str) -> Option<&'static str> {
    let (kind, _) = field.split_once('.')?;
    if matches!(kind, "observe" | "hazard" | "work") { sheet::words_of(field) } else { None }
}

/// What a photo shows, in words: they stand beside it and in its stead.
#[must_use]
pub fn words(field: &str) -> &'static str {
    match field {
        "" => "The visit as a whole",
        SIGNATURE => "The customer's signature",
        field => of_the_sheet(field).unwrap_or("Something that the sheet no longer has"),
    }
}

/// Every field that may have photos, in the order of the sheet, with its words.
#[must_use]
pub fn fields() -> Vec<(String, &'static str)> {
    let mut all = vec![(String::new(), words(""))];
    let keys = sheet::BLOCKS.iter().flat_map(|block| block.fields).map(|field| field.key());
    all.extend(keys.filter_map(|key| {
        let words = of_the_sheet(&key)?;
        Some((key, words))
    }));
    all.push((SIGNATURE.to_owned(), words(SIGNATURE)));
    all
}

/// Whether a customer sees it on the report behind their link. They know their own signature, and
/// whoever the link was passed on to need not have it.
#[must_use]
pub fn is_for_the_customer(field: &str) -> bool {
    field != SIGNATURE
}

/// Whether somebody may take a photo away. A report that was accepted is the office's.
///
/// # Errors
/// `AcceptedAlready`.
pub fn may_remove(state: VisitState, is_office: bool) -> Result<(), Refusal> {
    if state == VisitState::Accepted && !is_office {
        return Err(Refusal::AcceptedAlready);
    }
    Ok(())
}
