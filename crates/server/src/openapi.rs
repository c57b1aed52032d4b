//! The API's description (OpenAPI 3.1), made from the routes' own annotations, the access table, and the JSON Schema
//! of the debrief document. `schema/openapi.json` is this text; a test fails when it is stale.

use crate::access::{Rule, rule_of};
use crate::wire::Problem;
use axum::http::Method;
use serde_json::{Map, Value, json};
use std::sync::OnceLock;
use utoipa::openapi::security::{ApiKey, ApiKeyValue, HttpAuthScheme, HttpBuilder, SecurityScheme};
use utoipa::openapi::{InfoBuilder, LicenseBuilder, OpenApi, OpenApiBuilder};
use utoipa::{PartialSchema, ToSchema};

const METHODS: [&str; 5] = ["get", "post", "put", "patch", "delete"];

/// The description, pretty-printed, with a newline at the end.
#[must_use]
pub fn text() -> &'static str {
    static TEXT: OnceLock<String> = OnceLock::new();
    TEXT.get_or_init(|| serde_json::to_string_pretty(&description()).unwrap_or_default() + "\n")
}

/// The description as a value.
#[must_use]
pub fn description() -> Value {
    let (_, api) = crate::routes::all().split_for_parts();
    let mut api = head().merge_from(api);
    if let Some(components) = api.components.as_mut() {
        components
            .schemas
            .insert(Problem::name().into_owned(), Problem::schema());
        let mut below = Vec::new();
        Problem::schemas(&mut below);
        components.schemas.extend(below);
        let cookie = ApiKeyValue::with_description(
            "proofwing_session",
            "The session of a page; under TLS its name is `__Host-proofwing_session`. Everything but GET needs the \
             header `X-Proofwing-Request: 1` besides.",
        );
        components.security_schemes.insert(
            "session".into(),
            SecurityScheme::ApiKey(ApiKey::Cookie(cookie)).into(),
        );
        let token = HttpBuilder::new()
            .scheme(HttpAuthScheme::Bearer)
            .description(Some("A personal access token, `pw_…`, for scripts."))
            .build();
        components
            .security_schemes
            .insert("token".into(), SecurityScheme::Http(token).into());
    }
    let mut api = serde_json::to_value(&api).unwrap_or_default();
    for (name, schema) in document_schemas() {
        api["components"]["schemas"][name] = schema;
    }
    refer_to_document(&mut api);
    tell_who_and_what_goes_wrong(&mut api);
    name_operations(&mut api);
    api
}

fn head() -> OpenApi {
    let info = InfoBuilder::new()
        .title("Proofwing: the debrief room and the school's record")
        .version(env!("CARGO_PKG_VERSION"))
        .description(Some(format!(
            "The API of the pages and of scripts. Seconds `_s` count from a recording's first sample; times `_utc` are \
             RFC 3339; numbers are in the units of their names.\n\n{}",
            crate::wire::CAUTION
        )))
        .license(Some(LicenseBuilder::new().name("MIT OR Apache-2.0").identifier(Some("MIT OR Apache-2.0")).build()))
        .build();
    let server = utoipa::openapi::Server::new(crate::gate::BASE);
    OpenApiBuilder::new()
        .info(info)
        .servers(Some([server]))
        .build()
}

/// The debrief document's types, each a component: the pages take their types from one place.
fn document_schemas() -> Map<String, Value> {
    let mut all = Map::new();
    let document = std::iter::once(debrief::json_schema());
    for text in document.chain(crate::document::beside_the_document()) {
        let Ok(mut root) = serde_json::from_str::<Value>(&text) else {
            continue;
        };
        let Some(root) = root.as_object_mut() else {
            continue;
        };
        root.remove("$schema");
        let below = root.remove("$defs");
        let name = root
            .remove("title")
            .and_then(|title| title.as_str().map(str::to_owned))
            .unwrap_or_default();
        let name = if name.starts_with("Debrief document") {
            "Debrief".to_owned()
        } else {
            name
        };
        all.insert(name, Value::Object(root.clone()));
        if let Some(Value::Object(below)) = below {
            all.extend(below);
        }
    }
    all.extend(crate::document::hand_written());
    for schema in all.values_mut() {
        point_to_components(schema);
    }
    all
}

/// `#/$defs/X` becomes `#/components/schemas/X`.
fn point_to_components(value: &mut Value) {
    match value {
        Value::Object(map) => {
            if let Some(Value::String(target)) = map.get_mut("$ref") {
                *target = target.replace("#/$defs/", "#/components/schemas/");
            }
            map.values_mut().for_each(point_to_components);
        }
        Value::Array(items) => items.iter_mut().for_each(point_to_components),
        _ => {}
    }
}

/// Where the record's values hold parts of the document, the annotations say `Object`; here they get their names.
const PARTS: &[(&str, &str)] = &[
    (
        "/components/schemas/LessonView/properties/debrief",
        "Debrief",
    ),
    (
        "/components/schemas/LessonView/properties/briefed",
        "Briefed",
    ),
    (
        "/components/schemas/LessonView/properties/corrections/items",
        "Correction",
    ),
    (
        "/components/schemas/LessonView/properties/changes_since_signing/items",
        "Difference",
    ),
    (
        "/components/schemas/GivenMark/properties/verdict",
        "Verdict",
    ),
    (
        "/paths/~1lessons~1{id}~1debrief.json/get/responses/200/content/application~1json/schema",
        "Debrief",
    ),
    (
        "/paths/~1lessons~1{id}~1maneuvers~1{number}~1what-if/post/requestBody/content/application~1json/schema",
        "WhatIfChange",
    ),
    (
        "/paths/~1lessons~1{id}~1maneuvers~1{number}~1what-if/post/responses/200/content/application~1json/schema",
        "WhatIfTrace",
    ),
    (
        "/paths/~1lessons~1{id}~1signed~1{version}~1difference/get/responses/200/content/application~1json/schema/items",
        "Difference",
    ),
];

fn refer_to_document(api: &mut Value) {
    for (pointer, name) in PARTS {
        if let Some(place) = api.pointer_mut(pointer) {
            let description = place.get("description").cloned();
            *place = json!({"$ref": format!("#/components/schemas/{name}")});
            if let Some(description) = description {
                place["description"] = description;
            }
        }
    }
    for option in ["program", "program_then"] {
        let pointer = format!("/components/schemas/GivenMark/properties/{option}");
        if let Some(place) = api.pointer_mut(&pointer) {
            let description = place.get("description").cloned().unwrap_or_default();
            let one_of = json!([{"type": "null"}, {"$ref": "#/components/schemas/Verdict"}]);
            *place = json!({"description": description, "oneOf": one_of});
        }
    }
    let Some(acts) = api
        .pointer_mut("/components/schemas/Act/oneOf")
        .and_then(Value::as_array_mut)
    else {
        return;
    };
    for act in acts {
        for (pointer, name) in [
            ("/properties/briefed", "Briefed"),
            ("/properties/corrections/items", "Correction"),
            ("/properties/verdict", "Verdict"),
        ] {
            if let Some(place) = act.pointer_mut(pointer) {
                *place = json!({"$ref": format!("#/components/schemas/{name}")});
            }
        }
    }
}

/// Who may use a route stands in the table; what an error looks like is the same everywhere.
fn tell_who_and_what_goes_wrong(api: &mut Value) {
    let Some(paths) = api.get_mut("paths").and_then(Value::as_object_mut) else {
        return;
    };
    for (path, item) in paths {
        for method in METHODS {
            let Some(operation) = item.get_mut(method) else {
                continue;
            };
            let name = Method::from_bytes(method.to_uppercase().as_bytes()).unwrap_or_default();
            let Some(rule) = rule_of(&name, path) else {
                continue;
            };
            tell(operation, rule);
        }
    }
}

/// Functions are named within their module; over the whole description a name stands once (OpenAPI 3.1, Operation
/// Object: the id MUST be unique). So the tag goes before it: `lessons_list`, `people_change`.
fn name_operations(api: &mut Value) {
    let Some(paths) = api.get_mut("paths").and_then(Value::as_object_mut) else {
        return;
    };
    for item in paths.values_mut() {
        for method in METHODS {
            let Some(operation) = item.get_mut(method) else {
                continue;
            };
            let words = |pointer: &str| operation.pointer(pointer).and_then(Value::as_str);
            if let (Some(tag), Some(name)) = (words("/tags/0"), words("/operationId"))
                && tag != name
            {
                operation["operationId"] = json!(format!("{tag}_{name}"));
            }
        }
    }
}

fn tell(operation: &mut Value, rule: &Rule) {
    let before = operation
        .get("description")
        .and_then(Value::as_str)
        .unwrap_or_default();
    let gap = if before.is_empty() { "" } else { "\n\n" };
    operation["description"] = json!(format!("{before}{gap}Who: {}", rule.in_words()));
    operation["security"] = match (rule.anyone, rule.token) {
        (true, _) => json!([]),
        (false, true) => json!([{"session": []}, {"token": []}]),
        (false, false) => json!([{"session": []}]),
    };
    operation["responses"]["default"] = json!({
        "description": "What went wrong, and how to mend it.",
        "content": {"application/json": {"schema": {"$ref": "#/components/schemas/Problem"}}},
    });
}
