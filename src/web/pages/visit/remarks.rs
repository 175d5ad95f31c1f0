//! The owner's remarks on a sheet, in words.

use super::field_words;
use crate::store::Remark;

/// What the owner wrote when a sheet last went back.
pub(in crate::web) fn last_remarks(remarks: &[Remark]) -> impl Iterator<Item = &Remark> {
    let newest = remarks.first().map(|it| it.at);
    remarks.iter().filter(move |it| Some(it.at) == newest)
}

/// A remark of the owner, with the field that it is about.
pub(in crate::web) fn remark_words(remark: &Remark) -> String {
    let field = remark.field.split_once('.').and_then(|it| field_words(it.1));
    match field {
        Some(field) if remark.field.starts_with("as_left.") => {
            format!("{field}, as left: {}", remark.text)
        }
        Some(field) => format!("{field}: {}", remark.text),
        None => remark.text.clone(),
    }
}
