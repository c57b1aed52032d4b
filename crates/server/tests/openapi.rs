//! The description: as committed, whole, and true of what the server answers.

mod support;

use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};
use support::{ask, cast};

const COMMITTED: &str = include_str!("../../../schema/openapi.json");

#[test]
fn prop_the_committed_description_is_this_one() {
    assert!(
        COMMITTED == server::openapi::text(),
        "schema/openapi.json is stale: run `make schema` and commit it"
    );
}

/// Every operation with its path and method.
fn operations(api: &Value) -> Vec<(String, String, Value)> {
    let mut all = Vec::new();
    for (path, item) in api["paths"].as_object().unwrap() {
        for (method, operation) in item.as_object().unwrap() {
            if operation.get("responses").is_some() {
                all.push((path.clone(), method.clone(), operation.clone()));
            }
        }
    }
    all
}

#[test]
fn val_operations_are_named_once() {
    // OpenAPI 3.1.0, Operation Object: "The id MUST be unique among all operations described in the API."
    let api = server::openapi::description();
    let mut named: BTreeMap<String, String> = BTreeMap::new();
    for (path, method, operation) in operations(&api) {
        let id = operation["operationId"]
            .as_str()
            .unwrap_or_else(|| panic!("{method} {path} has no name"));
        let before = named.insert(id.to_owned(), format!("{method} {path}"));
        assert_eq!(before, None, "{id} is also {method} {path}");
    }
    assert!(named.len() > 50, "{named:?}");
}

fn references(value: &Value, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) => {
            if let Some(Value::String(target)) = map.get("$ref") {
                found.insert(target.clone());
            }
            map.values().for_each(|value| references(value, found));
        }
        Value::Array(items) => items.iter().for_each(|value| references(value, found)),
        _ => {}
    }
}

#[test]
fn prop_every_reference_leads_somewhere_and_every_path_part_is_told() {
    let api = server::openapi::description();
    let mut found = BTreeSet::new();
    references(&api, &mut found);
    assert!(found.len() > 30, "{found:?}");
    for target in found {
        let pointer = target
            .strip_prefix('#')
            .unwrap_or_else(|| panic!("{target} leads outside"));
        assert!(api.pointer(pointer).is_some(), "{target} leads nowhere");
    }
    for (path, method, operation) in operations(&api) {
        let parts: BTreeSet<&str> = path.split(['{', '}']).skip(1).step_by(2).collect();
        let none = Vec::new();
        let told: BTreeSet<&str> = operation["parameters"]
            .as_array()
            .unwrap_or(&none)
            .iter()
            .filter(|parameter| parameter["in"] == "path")
            .filter_map(|parameter| parameter["name"].as_str())
            .collect();
        assert_eq!(parts, told, "{method} {path}");
    }
}

/// Whether a value is what a schema says, as far as the words that our description uses go: `$ref`, `oneOf`,
/// `allOf`, `type`, `enum`, `properties` (those not described are told), `required`, `items`, `additionalProperties`.
fn differs(api: &Value, schema: &Value, value: &Value, at: &str) -> Option<String> {
    if let Some(target) = schema["$ref"].as_str() {
        return differs(api, api.pointer(&target[1..]).unwrap(), value, at);
    }
    if let Some(choices) = schema["oneOf"].as_array().or(schema["anyOf"].as_array()) {
        let all: Vec<String> = choices
            .iter()
            .filter_map(|one| differs(api, one, value, at))
            .collect();
        return (all.len() == choices.len())
            .then(|| format!("{at} is none of the choices: {}", all.join("; ")));
    }
    if let Some(known) = schema["enum"].as_array() {
        return (!known.contains(value)).then(|| format!("{at}: {value} is not among {known:?}"));
    }
    let kind = match value {
        Value::Null => "null",
        Value::Bool(_) => "boolean",
        Value::Number(number) if number.is_f64() => "number",
        Value::Number(_) => "integer",
        Value::String(_) => "string",
        Value::Array(_) => "array",
        Value::Object(_) => "object",
    };
    let kinds: Vec<&str> = match &schema["type"] {
        Value::String(one) => vec![one],
        Value::Array(some) => some.iter().filter_map(Value::as_str).collect(),
        _ => Vec::new(),
    };
    let fits = kinds.contains(&kind) || (kind == "integer" && kinds.contains(&"number"));
    if !kinds.is_empty() && !fits {
        return Some(format!("{at} is {kind}, not {kinds:?}"));
    }
    if let Value::Array(items) = value {
        return items.iter().enumerate().find_map(|(index, item)| {
            differs(api, &schema["items"], item, &format!("{at}[{index}]"))
        });
    }
    if let (Value::Object(map), true) = (value, schema.is_object()) {
        return differs_in_properties(api, schema, map, at);
    }
    None
}

fn differs_in_properties(
    api: &Value,
    schema: &Value,
    map: &serde_json::Map<String, Value>,
    at: &str,
) -> Option<String> {
    let (mut known, mut required) = (BTreeMap::new(), BTreeSet::new());
    gather(api, schema, &mut known, &mut required);
    if let Some(missing) = required.iter().find(|name| !map.contains_key(*name)) {
        return Some(format!("{at} lacks {missing}"));
    }
    let others = &schema["additionalProperties"];
    map.iter().find_map(|(name, value)| {
        let at = format!("{at}.{name}");
        match known.get(name) {
            Some(below) => differs(api, below, value, &at),
            None if others.is_object() => differs(api, others, value, &at),
            None if known.is_empty() => None,
            None => Some(format!("{at} is not described")),
        }
    })
}

/// Properties of a schema and of those that it is made of.
fn gather(
    api: &Value,
    schema: &Value,
    known: &mut BTreeMap<String, Value>,
    required: &mut BTreeSet<String>,
) {
    if let Some(target) = schema["$ref"].as_str() {
        gather(api, api.pointer(&target[1..]).unwrap(), known, required);
    }
    for part in schema["allOf"].as_array().into_iter().flatten() {
        gather(api, part, known, required);
    }
    for (name, below) in schema["properties"].as_object().into_iter().flatten() {
        known.insert(name.clone(), below.clone());
    }
    let names = schema["required"].as_array().into_iter().flatten();
    required.extend(names.filter_map(Value::as_str).map(str::to_owned));
}

#[test]
fn prop_the_check_of_answers_finds_what_is_wrong() {
    let api = json!({"components": {"schemas": {"A": {
        "type": "object", "required": ["a"], "properties": {"a": {"type": ["string", "null"]}},
    }}}});
    let schema = json!({"type": "array", "items": {"$ref": "#/components/schemas/A"}});
    let told = |value: Value| differs(&api, &schema, &value, "answer").unwrap_or_default();
    assert_eq!(told(json!([{"a": "x"}, {"a": null}])), "");
    assert_eq!(told(json!([{"a": "x"}, {}])), "answer[1] lacks a");
    assert_eq!(
        told(json!([{"a": 1}])),
        "answer[0].a is integer, not [\"string\", \"null\"]"
    );
    assert_eq!(
        told(json!([{"a": "x", "b": 1}])),
        "answer[0].b is not described"
    );
    assert_eq!(told(json!({})), "answer is object, not [\"array\"]");
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_answers_are_as_described() {
    let cast = cast().await;
    let api = server::openapi::description();
    let session = cast.session(&cast.chief).await;
    let lesson = format!("/api/v1/lessons/{}", cast.lesson);
    let lesson = ask("GET", &lesson)
        .session(&session)
        .of(cast.router())
        .await
        .json();
    let maneuvers = lesson["debrief"]["maneuvers"].as_array().unwrap();
    let was = |at: usize| {
        let one = &maneuvers[at];
        json!({"kind": one["kind"], "start_s": one["start_s"], "end_s": one["end_s"]})
    };
    let end_s = maneuvers[0]["end_s"].as_f64().unwrap() + 2.0;
    let corrections = json!([
        {"do": "set", "was": was(0), "kind": was(0)["kind"], "start_s": was(0)["start_s"], "end_s": end_s},
        {"do": "remove", "was": was(1)},
    ]);
    // Something of every kind is there: a note, a token, an invitation, a job, the difference of a signed version.
    for (path, body) in [
        (
            format!("/lessons/{}/entries", cast.lesson),
            json!({"act": {"kind": "corrections", "corrections": corrections}}),
        ),
        (
            "/tokens".to_owned(),
            json!({"label": "a script", "days": 3}),
        ),
        (
            "/invites".to_owned(),
            json!({"role": "student", "name": "Ivo Lark"}),
        ),
        (
            format!("/lessons/{}/entries", cast.lesson),
            json!({"act": {"kind": "note", "id": school::new_id(), "at_s": 60.0, "text": "late power"}}),
        ),
        (
            format!("/lessons/{}/entries", cast.lesson),
            json!({"act": {"kind": "summary", "text": "Good bank.", "next": "Power first."}}),
        ),
        (
            format!("/lessons/{}/entries", cast.lesson),
            json!({"act": {"kind": "briefed", "briefed": {"recovery": "first_indication"}}}),
        ),
        ("/remark".to_owned(), json!({})),
    ] {
        let answer = ask("POST", &format!("/api/v1{path}"))
            .json(&body)
            .session(&session)
            .of(cast.router())
            .await;
        assert_eq!(answer.status, 200, "{path}: {:?}", answer.json());
        let path = if path.ends_with("/entries") {
            "/lessons/{id}/entries".to_owned()
        } else {
            path
        };
        let schema = &api["paths"][&path]["post"]["responses"]["200"]["content"]["application/json"]
            ["schema"];
        assert!(schema.is_object(), "{path}");
        assert_eq!(differs(&api, schema, &answer.json(), &path), None);
    }
    let mut looked = 0;
    for (path, method, operation) in operations(&api) {
        let schema = &operation["responses"]["200"]["content"]["application/json"]["schema"];
        if method != "get" || !schema.is_object() || path.contains("{token}") {
            continue;
        }
        let id = match path.split('/').nth(1) {
            Some("lessons") => &cast.lesson,
            Some("aircraft") => &cast.aircraft,
            _ => "faa-private",
        };
        let filled = path
            .replace("{id}", id)
            .replace("{sha256}", &cast.recording)
            .replace("{version}", "1")
            .replace("{number}", "1");
        let answer = ask("GET", &format!("/api/v1{filled}"))
            .session(&session)
            .of(cast.router())
            .await;
        assert_eq!(answer.status, 200, "{path}");
        assert_eq!(differs(&api, schema, &answer.json(), &path), None);
        looked += 1;
    }
    assert!(looked > 20, "only {looked} answers were looked at");
    // An error too.
    let wrong = ask("GET", "/api/v1/lessons/none")
        .session(&session)
        .of(cast.router())
        .await;
    let problem = json!({"$ref": "#/components/schemas/Problem"});
    assert_eq!(differs(&api, &problem, &wrong.json(), "problem"), None);
}
