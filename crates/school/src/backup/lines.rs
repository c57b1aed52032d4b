//! A row as a line of JSON: an object by column. Bytes are base64; numbers with a fraction are text, so that they
//! come back as exactly the same number from any JSON reader.

use crate::db::{Kind, Table, Value};
use crate::error::{Result, SchoolError};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde_json::{Map, Value as Json};

/// Writes a row and a line end.
pub(crate) fn write(text: &mut String, table: &Table, values: &[Value]) -> Result<()> {
    let mut object = Map::new();
    for ((name, _), value) in table.columns.iter().zip(values) {
        object.insert((*name).to_owned(), json(value));
    }
    text.push_str(&serde_json::to_string(&object)?);
    text.push('\n');
    Ok(())
}

/// Reads the columns `names` of a line.
pub(crate) fn read(line: &str, table: &Table, names: &[String]) -> Result<Vec<Value>> {
    let object: Map<String, Json> =
        serde_json::from_str(line).map_err(|error| broken(table, &error.to_string()))?;
    names
        .iter()
        .map(|name| {
            let (_, kind) = table
                .columns
                .iter()
                .find(|(known, _)| known == name)
                .ok_or_else(|| broken(table, &format!("it has no column `{name}`")))?;
            let json = object.get(name).unwrap_or(&Json::Null);
            value(json, *kind).ok_or_else(|| broken(table, &format!("`{name}` holds {json}")))
        })
        .collect()
}

fn broken(table: &Table, what: &str) -> SchoolError {
    SchoolError::invalid(
        "backup",
        format!(
            "A row of `{}` in the backup cannot be read: {what}.",
            table.name
        ),
        "Take another backup.",
    )
}

fn json(value: &Value) -> Json {
    match value {
        Value::Text(value) => value.clone().into(),
        Value::Int(value) => (*value).into(),
        Value::Real(value) => value.map(|value| format!("{value:?}")).into(),
        Value::Flag(value) => (*value).into(),
        Value::Bytes(value) => value.as_ref().map(|value| STANDARD.encode(value)).into(),
    }
}

fn value(json: &Json, kind: Kind) -> Option<Value> {
    if json.is_null() {
        return Some(match kind {
            Kind::Text => Value::Text(None),
            Kind::Int => Value::Int(None),
            Kind::Real => Value::Real(None),
            Kind::Flag => Value::Flag(None),
            Kind::Bytes => Value::Bytes(None),
        });
    }
    Some(match kind {
        Kind::Text => Value::from(json.as_str()?),
        Kind::Int => Value::from(json.as_i64()?),
        Kind::Real => Value::from(json.as_str()?.parse::<f64>().ok()?),
        Kind::Flag => Value::from(json.as_bool()?),
        Kind::Bytes => Value::from(STANDARD.decode(json.as_str()?).ok()?),
    })
}
