//! Values that go into a statement.

/// A value for a place `$1 …` of a statement, with its type even when it is null.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Text.
    Text(Option<String>),
    /// Whole number.
    Int(Option<i64>),
    /// Number.
    Real(Option<f64>),
    /// Yes or no.
    Flag(Option<bool>),
    /// Bytes.
    Bytes(Option<Vec<u8>>),
}

/// The values of a statement: `values![id, name, 3_i64, None::<String>]`.
#[macro_export]
macro_rules! values {
    ($($value:expr),* $(,)?) => { ::std::vec::Vec::<$crate::db::Value>::from([$($crate::db::Value::from($value)),*]) };
}

macro_rules! from {
    ($($type:ty => $variant:ident, |$value:ident| $made:expr;)*) => {$(
        impl From<$type> for Value {
            fn from($value: $type) -> Value {
                Value::$variant(Some($made))
            }
        }
        impl From<Option<$type>> for Value {
            fn from(value: Option<$type>) -> Value {
                Value::$variant(value.map(|$value| $made))
            }
        }
    )*};
}

from! {
    String => Text, |value| value;
    &str => Text, |value| value.to_owned();
    &String => Text, |value| value.clone();
    i64 => Int, |value| value;
    i32 => Int, |value| i64::from(value);
    u32 => Int, |value| i64::from(value);
    f64 => Real, |value| value;
    bool => Flag, |value| value;
    Vec<u8> => Bytes, |value| value;
    &[u8] => Bytes, |value| value.to_vec();
}

impl From<&Option<String>> for Value {
    fn from(value: &Option<String>) -> Value {
        Value::Text(value.clone())
    }
}
