//! From text to a case in one pass, for documents in which nothing is wrong.
//!
//! Whatever the schema would refuse ends this pass without a word: the slow way then reads the
//! text as a value and says what is wrong. The suite holds both ways against each other.

use std::borrow::Cow;
use std::fmt;

use serde::de::value::StrDeserializer;
use serde::de::{
    DeserializeSeed, Deserializer, Error, IntoDeserializer, MapAccess, SeqAccess, Visitor,
};
use serde::{Deserialize, forward_to_deserialize_any};

use super::Case;
use super::document::{point_range, without_nulls};
use super::schema::{DOCUMENT, Field, Kind};
use super::strict::StrictSeed;
use crate::engine::points::{self, POINTS, Point};
use crate::engine::refrigerant;

/// The case of a text, or nothing where anything at all is out of the ordinary.
pub(super) fn quick_case(text: &str) -> Option<Case> {
    let mut reader = serde_json::Deserializer::from_str(text);
    let inner = &mut reader;
    let document = Checked { inner, kind: &Kind::Object(DOCUMENT), blank: Blank::Refused };
    let case = Case::deserialize(document).ok()?;
    reader.end().ok()?;
    Some(case)
}

/// Whether null may stand for a fact that is not known.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Blank {
    Allowed,
    Refused,
}

/// Nobody reads it: the slow way says what is wrong.
fn out_of_the_ordinary<E: Error>() -> E {
    E::custom("out of the ordinary")
}

/// A reader that lets through only what the schema accepts.
struct Checked<D> {
    inner: D,
    kind: &'static Kind,
    blank: Blank,
}

impl<'de, D: Deserializer<'de>> Deserializer<'de> for Checked<D> {
    type Error = D::Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, D::Error> {
        let inner = self.inner;
        match self.kind {
            Kind::Text => inner.deserialize_str(visitor),
            Kind::Choice(_) | Kind::Refrigerant | Kind::PointKey => {
                visitor.visit_str(&word(inner, self.kind)?)
            }
            Kind::Number(low, high, _) => {
                let number = f64::deserialize(inner)?;
                if !(*low..=*high).contains(&number) {
                    return Err(out_of_the_ordinary());
                }
                visitor.visit_f64(number)
            }
            Kind::Whole(low, high) => {
                let number = u64::deserialize(inner)?;
                if !(*low..=*high).contains(&number) {
                    return Err(out_of_the_ordinary());
                }
                visitor.visit_u64(number)
            }
            Kind::List(of) => inner.deserialize_seq(CheckedList { inner: visitor, of }),
            Kind::OrBlank(_) => Err(out_of_the_ordinary()),
            Kind::Readings | Kind::Uncertainties | Kind::Minutes => {
                let (kind, given) = (self.kind, Given::default());
                let points = CheckedPoints { inner: visitor, kind, given, from: 0, number: 0.0 };
                inner.deserialize_map(points)
            }
            Kind::Object(fields) => {
                let (given, from) = (Given::default(), 0);
                let object = CheckedObject { inner: visitor, fields, given, from, current: 0 };
                inner.deserialize_map(object)
            }
            Kind::AnyObject | Kind::WordOrObject => {
                let value = StrictSeed.deserialize(inner)?;
                let may_be_a_word = matches!(self.kind, Kind::WordOrObject);
                if !(value.is_object() || may_be_a_word && value.is_string()) {
                    return Err(out_of_the_ordinary());
                }
                // As the slow way does: nulls inside of a list stay.
                let value =
                    if self.blank == Blank::Allowed { without_nulls(&value) } else { value };
                value.into_deserializer().deserialize_any(visitor).map_err(D::Error::custom)
            }
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, D::Error> {
        let (kind, blank) = match self.kind {
            Kind::OrBlank(of) => (*of, Blank::Allowed),
            kind => (kind, self.blank),
        };
        self.inner.deserialize_option(CheckedOption { visitor, kind, blank })
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _name: &'static str,
        _variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, D::Error> {
        let word = word(self.inner, self.kind)?;
        visitor.visit_enum(StrDeserializer::new(&word))
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit
        unit_struct newtype_struct seq tuple tuple_struct map struct identifier ignored_any
    }
}

/// A text that the kind accepts.
fn word<'de, D: Deserializer<'de>>(inner: D, kind: &Kind) -> Result<Cow<'de, str>, D::Error> {
    let word = inner.deserialize_str(Text)?;
    let fits = match kind {
        Kind::Choice(words) => words.contains(&word.as_ref()),
        Kind::Refrigerant => refrigerant::table(&word).is_some(),
        Kind::PointKey => points::point(&word).is_some(),
        _ => false,
    };
    if fits { Ok(word) } else { Err(out_of_the_ordinary()) }
}

/// Where a name stands in a list; people and programs mostly keep the order of the list, so that
/// the search goes on behind the last find.
fn place_of<T>(list: &[T], from: usize, name: &str, named: fn(&T) -> &str) -> Option<usize> {
    let (before, after) = list.split_at_checked(from)?;
    let is_it = |it: &T| named(it) == name;
    let later = after.iter().position(is_it).map(|it| from + it);
    later.or_else(|| before.iter().position(is_it))
}

/// Takes a text, borrowed where nothing in it is escaped.
struct Text;

impl<'de> Visitor<'de> for Text {
    type Value = Cow<'de, str>;

    fn expecting(&self, out: &mut fmt::Formatter) -> fmt::Result {
        out.write_str("text")
    }

    fn visit_borrowed_str<E>(self, it: &'de str) -> Result<Self::Value, E> {
        Ok(Cow::Borrowed(it))
    }

    fn visit_str<E>(self, it: &str) -> Result<Self::Value, E> {
        Ok(Cow::Owned(it.to_owned()))
    }
}

/// Finds a name in a list without keeping it.
struct Named<'a, T> {
    list: &'a [T],
    from: usize,
    name: fn(&T) -> &str,
}

impl<'de, T> DeserializeSeed<'de> for Named<'_, T> {
    type Value = usize;

    fn deserialize<D: Deserializer<'de>>(self, reader: D) -> Result<usize, D::Error> {
        reader.deserialize_str(self)
    }
}

impl<T> Visitor<'_> for Named<'_, T> {
    type Value = usize;

    fn expecting(&self, out: &mut fmt::Formatter) -> fmt::Result {
        out.write_str("a known name")
    }

    fn visit_str<E: Error>(self, it: &str) -> Result<usize, E> {
        place_of(self.list, self.from, it, self.name).ok_or_else(|| E::custom("no such name"))
    }
}

/// Which names of a list were given, so that none is given twice.
#[derive(Clone, Copy, Default)]
struct Given(u128);

impl Given {
    /// Notes a name; a list too long for the set is left to the slow way.
    fn note<E: Error>(&mut self, index: usize) -> Result<(), E> {
        let bit = u32::try_from(index).ok().and_then(|it| 1_u128.checked_shl(it));
        let bit = bit.filter(|it| self.0 & it == 0).ok_or_else(out_of_the_ordinary)?;
        self.0 |= bit;
        Ok(())
    }

    fn has(self, index: usize) -> bool {
        u32::try_from(index).is_ok_and(|it| self.0.checked_shr(it).is_some_and(|it| it & 1 == 1))
    }
}

struct CheckedOption<V> {
    visitor: V,
    kind: &'static Kind,
    blank: Blank,
}

impl<'de, V: Visitor<'de>> Visitor<'de> for CheckedOption<V> {
    type Value = V::Value;

    fn expecting(&self, out: &mut fmt::Formatter) -> fmt::Result {
        self.visitor.expecting(out)
    }

    fn visit_unit<E: Error>(self) -> Result<V::Value, E> {
        self.visit_none()
    }

    fn visit_none<E: Error>(self) -> Result<V::Value, E> {
        match self.blank {
            Blank::Allowed => self.visitor.visit_none(),
            Blank::Refused => Err(E::custom("null")),
        }
    }

    fn visit_some<D: Deserializer<'de>>(self, inner: D) -> Result<V::Value, D::Error> {
        self.visitor.visit_some(Checked { inner, kind: self.kind, blank: self.blank })
    }
}

/// A list whose items are all of one kind.
struct CheckedList<V> {
    inner: V,
    of: &'static Kind,
}

impl<'de, V: Visitor<'de>> Visitor<'de> for CheckedList<V> {
    type Value = V::Value;

    fn expecting(&self, out: &mut fmt::Formatter) -> fmt::Result {
        self.inner.expecting(out)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, items: A) -> Result<V::Value, A::Error> {
        self.inner.visit_seq(CheckedList { inner: items, of: self.of })
    }
}

impl<'de, A: SeqAccess<'de>> SeqAccess<'de> for CheckedList<A> {
    type Error = A::Error;

    fn next_element_seed<S: DeserializeSeed<'de>>(
        &mut self,
        inner: S,
    ) -> Result<Option<S::Value>, A::Error> {
        self.inner.next_element_seed(Checked { inner, kind: self.of, blank: Blank::Refused })
    }
}

impl<'de, S: DeserializeSeed<'de>> DeserializeSeed<'de> for Checked<S> {
    type Value = S::Value;

    fn deserialize<D: Deserializer<'de>>(self, reader: D) -> Result<S::Value, D::Error> {
        self.inner.deserialize(Checked { inner: reader, kind: self.kind, blank: self.blank })
    }
}

/// An object of named fields: each known, none twice, those required all there.
struct CheckedObject<V> {
    inner: V,
    fields: &'static [Field],
    given: Given,
    from: usize,
    current: usize,
}

impl<'de, V: Visitor<'de>> Visitor<'de> for CheckedObject<V> {
    type Value = V::Value;

    fn expecting(&self, out: &mut fmt::Formatter) -> fmt::Result {
        self.inner.expecting(out)
    }

    fn visit_map<A: MapAccess<'de>>(self, entries: A) -> Result<V::Value, A::Error> {
        let Self { inner, fields, given, from, current } = self;
        inner.visit_map(CheckedObject { inner: entries, fields, given, from, current })
    }
}

impl<'de, A: MapAccess<'de>> MapAccess<'de> for CheckedObject<A> {
    type Error = A::Error;

    fn next_key_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, A::Error> {
        let next = Named { list: self.fields, from: self.from, name: |it| it.name };
        let Some(index) = self.inner.next_key_seed(next)? else {
            let mut fields = self.fields.iter().enumerate();
            let is_whole = fields.all(|(index, it)| !it.is_required || self.given.has(index));
            return if is_whole { Ok(None) } else { Err(out_of_the_ordinary()) };
        };
        self.given.note(index)?;
        self.from = index + 1;
        self.current = index;
        let name = self.fields.get(index).ok_or_else(out_of_the_ordinary)?.name;
        seed.deserialize(StrDeserializer::new(name)).map(Some)
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, inner: S) -> Result<S::Value, A::Error> {
        let field = self.fields.get(self.current).ok_or_else(out_of_the_ordinary)?;
        let blank = if field.is_required { Blank::Refused } else { Blank::Allowed };
        self.inner.next_value_seed(Checked { inner, kind: &field.kind, blank })
    }
}

/// Numbers by point key, each within what the kind takes there; null is a reading not taken.
struct CheckedPoints<V> {
    inner: V,
    kind: &'static Kind,
    given: Given,
    from: usize,
    number: f64,
}

impl<'de, V: Visitor<'de>> Visitor<'de> for CheckedPoints<V> {
    type Value = V::Value;

    fn expecting(&self, out: &mut fmt::Formatter) -> fmt::Result {
        self.inner.expecting(out)
    }

    fn visit_map<A: MapAccess<'de>>(self, entries: A) -> Result<V::Value, A::Error> {
        let Self { inner, kind, given, from, number } = self;
        inner.visit_map(CheckedPoints { inner: entries, kind, given, from, number })
    }
}

impl<'de, A: MapAccess<'de>> MapAccess<'de> for CheckedPoints<A> {
    type Error = A::Error;

    fn next_key_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, A::Error> {
        loop {
            let list = POINTS.iter().as_slice();
            let next = Named { list, from: self.from, name: |it: &Point| it.key };
            let Some(index) = self.inner.next_key_seed(next)? else { return Ok(None) };
            self.given.note(index)?;
            self.from = index + 1;
            let Some(number) = self.inner.next_value::<Option<f64>>()? else { continue };
            let point = POINTS.get(index).ok_or_else(out_of_the_ordinary)?;
            let (low, high) = point_range(self.kind, point);
            if !(low..=high).contains(&number) {
                return Err(out_of_the_ordinary());
            }
            self.number = number;
            return seed.deserialize(StrDeserializer::new(point.key)).map(Some);
        }
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, A::Error> {
        seed.deserialize(self.number.into_deserializer())
    }
}
