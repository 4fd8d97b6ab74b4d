//! A JSON object put together key by key.
//!
//! JSON has no infinity: a number that is not finite is remembered with its
//! path and refused when the object is printed. Where the contract has `null`
//! (a time that means never, volts of something not connected) the caller says
//! so with [`Object::number_or_null`].

use crate::quantities::{Band, Quantity};
use serde_json::{Map, Number, Value};

/// A number that JSON cannot carry.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{path}` came out as no finite number; nothing is printed rather than a wrong figure")]
pub struct NotFinite {
    /// Keys from the outermost object to the number.
    pub path: String,
}

/// A JSON object in the order its keys were added.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Object {
    map: Map<String, Value>,
    refused: Option<String>,
}

impl Object {
    /// Starts an empty object.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a number; it must be finite.
    #[must_use]
    pub fn number(mut self, key: &str, value: f64) -> Self {
        let number = self.checked(key, value);
        self.put(key, number)
    }

    /// Adds a number, or `null` for `None`; a number must be finite.
    #[must_use]
    pub fn number_or_null(self, key: &str, value: Option<f64>) -> Self {
        match value {
            Some(value) => self.number(key, value),
            None => self.put(key, Value::Null),
        }
    }

    /// Adds a count.
    #[must_use]
    pub fn count(self, key: &str, value: usize) -> Self {
        self.put(key, Value::from(value))
    }

    /// Adds text.
    #[must_use]
    pub fn text(self, key: &str, value: &str) -> Self {
        self.put(key, Value::from(value))
    }

    /// Adds text, or `null` for `None`.
    #[must_use]
    pub fn text_or_null(self, key: &str, value: Option<&str>) -> Self {
        self.put(key, Value::from(value))
    }

    /// Adds true or false.
    #[must_use]
    pub fn flag(self, key: &str, value: bool) -> Self {
        self.put(key, Value::from(value))
    }

    /// Adds a list of texts.
    #[must_use]
    pub fn texts<T: AsRef<str>>(self, key: &str, items: impl IntoIterator<Item = T>) -> Self {
        let items = items.into_iter().map(|item| Value::from(item.as_ref()));
        self.put(key, items.collect())
    }

    /// Adds a list of numbers; all must be finite.
    #[must_use]
    pub fn numbers(mut self, key: &str, items: impl IntoIterator<Item = f64>) -> Self {
        let items = items.into_iter().map(|item| self.checked(key, item));
        let list = items.collect();
        self.put(key, list)
    }

    /// Adds an object within this one.
    #[must_use]
    pub fn object(mut self, key: &str, inner: Self) -> Self {
        let value = self.taken(key, inner);
        self.put(key, value)
    }

    /// Adds an object within this one, or `null` for `None`.
    #[must_use]
    pub fn object_or_null(self, key: &str, inner: Option<Self>) -> Self {
        match inner {
            Some(inner) => self.object(key, inner),
            None => self.put(key, Value::Null),
        }
    }

    /// Adds a range as an object of its low end, typical figure and high end.
    #[must_use]
    pub fn band<Q: Quantity>(self, key: &str, band: &Band<Q>) -> Self {
        let of = Self::new()
            .number("low", band.low.si())
            .number("typical", band.typical.si())
            .number("high", band.high.si());
        self.object(key, of)
    }

    /// Adds a list of objects.
    #[must_use]
    pub fn objects(mut self, key: &str, items: impl IntoIterator<Item = Self>) -> Self {
        let list = items
            .into_iter()
            .map(|item| self.taken(key, item))
            .collect();
        self.put(key, list)
    }

    /// Adds all keys of another object.
    #[must_use]
    pub fn and(mut self, other: Self) -> Self {
        self.refused = self.refused.or(other.refused);
        self.map.extend(other.map);
        self
    }

    /// Prints the object, two blanks a level, one line break at the end.
    ///
    /// # Errors
    /// [`NotFinite`] names the first number that is infinite or not a number.
    pub fn print(self) -> Result<String, NotFinite> {
        match self.refused {
            Some(path) => Err(NotFinite { path }),
            None => Ok(format!("{:#}\n", Value::Object(self.map))),
        }
    }

    fn put(mut self, key: &str, value: Value) -> Self {
        self.map.insert(key.to_owned(), value);
        self
    }

    fn checked(&mut self, key: &str, value: f64) -> Value {
        let number = Number::from_f64(value);
        if number.is_none() {
            self.refused.get_or_insert_with(|| key.to_owned());
        }
        number.map_or(Value::Null, Value::Number)
    }

    fn taken(&mut self, key: &str, inner: Self) -> Value {
        if let Some(path) = inner.refused {
            self.refused.get_or_insert_with(|| format!("{key}.{path}"));
        }
        Value::Object(inner.map)
    }
}

#[cfg(test)]
mod tests {
    use super::Object;

    #[test]
    fn a_number_that_is_not_finite_is_refused_with_its_path() {
        let inner = Object::new().number("drop_v", f64::NAN);
        let outer = Object::new().objects("wires", [inner]).print();
        assert_eq!(outer.expect_err("nan").path, "wires.drop_v");
    }

    #[test]
    fn null_is_written_only_where_asked() {
        let text = Object::new().number_or_null("opens_latest_s", None).print();
        assert_eq!(text.expect("finite"), "{\n  \"opens_latest_s\": null\n}\n");
    }
}
