//! From text to a JSON value that says all that the text says: no field is given twice.

use std::cell::RefCell;
use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Number, Value};

use super::broken::broken;
use super::document::{CaseError, refusal};

/// How names begin that mean something to `serde_json` itself: an object with such a name would be
/// read as what its text says, so that a document could hide in a text.
const RESERVED: &str = "$serde_json::private::";

/// The value of a text.
///
/// # Errors
/// When it gives a field twice at any depth, for the last would silently win; when it holds what
/// no value can, such as a number beyond all range; when it is no JSON.
pub(super) fn strict_value(text: &str) -> Result<Value, CaseError> {
    let mut reader = serde_json::Deserializer::from_str(text);
    let fault = RefCell::new(None);
    let seed = Strict { place: &Place::Top, fault: &fault };
    let value = seed.deserialize(&mut reader).and_then(|it| reader.end().map(|()| it));
    match fault.into_inner() {
        Some(error) => Err(error),
        None => value.map_err(|it| broken(text, &it)),
    }
}

/// The value that a reader stands before, for a quick pass that needs no place of a fault.
pub(super) struct StrictSeed;

impl<'de> DeserializeSeed<'de> for StrictSeed {
    type Value = Value;

    fn deserialize<D: Deserializer<'de>>(self, reader: D) -> Result<Value, D::Error> {
        let fault = RefCell::new(None);
        Strict { place: &Place::Top, fault: &fault }.deserialize(reader)
    }
}

/// Where in a document, as a chain to its top, so that only a fault costs text.
enum Place<'a> {
    Top,
    Field(&'a Place<'a>, &'a str),
    Item(&'a Place<'a>, usize),
}

impl fmt::Display for Place<'_> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Top => Ok(()),
            Self::Field(Place::Top, name) => out.write_str(name),
            Self::Field(parent, name) => write!(out, "{parent}.{name}"),
            Self::Item(parent, index) => write!(out, "{parent}[{index}]"),
        }
    }
}

/// One value, with where it stands and where a fault is noted.
#[derive(Clone, Copy)]
struct Strict<'a> {
    place: &'a Place<'a>,
    fault: &'a RefCell<Option<CaseError>>,
}

impl<'de> DeserializeSeed<'de> for Strict<'_> {
    type Value = Value;

    fn deserialize<D: Deserializer<'de>>(self, reader: D) -> Result<Value, D::Error> {
        reader.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Strict<'_> {
    type Value = Value;

    fn expecting(&self, out: &mut fmt::Formatter) -> fmt::Result {
        out.write_str("a JSON value")
    }

    fn visit_unit<E: Error>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_bool<E: Error>(self, it: bool) -> Result<Value, E> {
        Ok(Value::Bool(it))
    }

    fn visit_u64<E: Error>(self, it: u64) -> Result<Value, E> {
        Ok(Value::Number(it.into()))
    }

    fn visit_i64<E: Error>(self, it: i64) -> Result<Value, E> {
        Ok(Value::Number(it.into()))
    }

    fn visit_f64<E: Error>(self, it: f64) -> Result<Value, E> {
        Number::from_f64(it).map(Value::Number).ok_or_else(|| E::custom("number out of range"))
    }

    fn visit_str<E: Error>(self, it: &str) -> Result<Value, E> {
        Ok(Value::String(it.to_owned()))
    }

    fn visit_string<E: Error>(self, it: String) -> Result<Value, E> {
        Ok(Value::String(it))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Value, A::Error> {
        let mut list = Vec::new();
        loop {
            let place = Place::Item(self.place, list.len());
            let seed = Strict { place: &place, ..self };
            match items.next_element_seed(seed)? {
                Some(item) => list.push(item),
                None => return Ok(Value::Array(list)),
            }
        }
    }

    fn visit_map<A: MapAccess<'de>>(self, mut fields: A) -> Result<Value, A::Error> {
        let mut object = Map::new();
        while let Some(name) = fields.next_key::<String>()? {
            let place = Place::Field(self.place, &name);
            let value = fields.next_value_seed(Strict { place: &place, ..self })?;
            let fault = if name.starts_with(RESERVED) {
                Some(("other names", "a name that the JSON reader keeps for itself"))
            } else {
                object.contains_key(&name).then_some(("one value", "given twice"))
            };
            if let Some((accepted, what)) = fault {
                let error = refusal(&place.to_string(), &value, accepted, what);
                *self.fault.borrow_mut() = Some(error);
                return Err(A::Error::custom(what));
            }
            object.insert(name, value);
        }
        Ok(Value::Object(object))
    }
}
