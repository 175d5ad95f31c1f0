//! What a page must know of each measure: words, unit, decimals, readings, scale.

mod measure_table;

pub use measure_table::MEASURES;

/// A measure as people see it.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasureInfo {
    /// Key in the assessment.
    pub key: &'static str,
    /// Plain words.
    pub label: &'static str,
    /// Unit for people; empty for a plain ratio.
    pub unit: &'static str,
    /// Decimals for people.
    pub decimals: usize,
    /// Readings that it can be worked out from.
    pub points: &'static [&'static str],
    /// Ends of the scale on which it is always drawn.
    pub scale: (f64, f64),
}

/// The measure of this key.
#[must_use]
pub fn measure(key: &str) -> Option<&'static MeasureInfo> {
    MEASURES.iter().find(|it| it.key == key)
}
