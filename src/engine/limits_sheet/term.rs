//! How a value is worked out, as data that a script of a few lines can follow.

use serde::ser::SerializeSeq;
use serde::{Serialize, Serializer};

use crate::engine::points::PointKey;

/// How a value is worked out. In JSON a number stands for itself, a text for the reading of that
/// point, and a list for an operation and what it works on:
///
/// - `+`, `*`, `max`: of all that follow; `-`: the first less the second
/// - `/`: the first by the second, and nothing where that is not above zero
/// - `far`: how far the farthest lies from the mean of all
/// - the name of a table: what stands there at the value that follows, and nothing beyond its ends
#[derive(Clone, Debug, PartialEq)]
pub enum Term {
    /// A number, such as a fact of the plate; not finite where it isn't known, in JSON null.
    Number(f64),
    /// The reading of a point.
    Reading(PointKey),
    /// An operation and what it works on.
    Of(&'static str, Vec<Term>),
}

/// The operations; every other word of a list is the name of a table.
const OPERATIONS: [&str; 6] = ["+", "-", "*", "/", "max", "far"];

impl Serialize for Term {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Number(value) => serializer.serialize_f64(*value),
            Self::Reading(key) => key.serialize(serializer),
            Self::Of(operation, parts) => {
                let mut list = serializer.serialize_seq(Some(1 + parts.len()))?;
                list.serialize_element(operation)?;
                parts.iter().try_for_each(|it| list.serialize_element(it))?;
                list.end()
            }
        }
    }
}

impl Term {
    /// A fact of the plate, which may not be known.
    pub(super) fn fact(value: Option<f64>) -> Self {
        Self::Number(value.unwrap_or(f64::NAN))
    }

    pub(super) fn plus(self, other: Self) -> Self {
        Self::Of("+", vec![self, other])
    }

    pub(super) fn less(self, other: Self) -> Self {
        Self::Of("-", vec![self, other])
    }

    pub(super) fn times(self, factor: f64) -> Self {
        Self::Of("*", vec![Self::Number(factor), self])
    }

    pub(super) fn over(self, other: Self) -> Self {
        Self::Of("/", vec![self, other])
    }

    /// Every point that it reads, in the order of the sheet.
    pub(super) fn points(&self) -> Vec<PointKey> {
        let mut points = Vec::new();
        self.walk(&mut |it| {
            if let Self::Reading(key) = it {
                points.push(*key);
            }
        });
        points.sort_unstable();
        points.dedup();
        points
    }

    /// Every table that it looks into.
    pub(super) fn tables(&self) -> Vec<&'static str> {
        let mut tables = Vec::new();
        self.walk(&mut |it| match it {
            Self::Of(name, _) if !OPERATIONS.contains(name) => tables.push(*name),
            _ => {}
        });
        tables
    }

    fn walk(&self, visit: &mut dyn FnMut(&Self)) {
        visit(self);
        if let Self::Of(_, parts) = self {
            for part in parts {
                part.walk(visit);
            }
        }
    }
}
