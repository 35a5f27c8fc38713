//! JSON Schema (2020-12) of the three files, made from the tables of keys, for editors.

use serde_json::{Map, Value, json};

use super::keys::{DESIGN, FIT, Key, Kind, NameOf, SHOP, Shape, Takes};
use super::model::FileKind;

/// The schema of one of the files.
pub fn schema(kind: FileKind) -> Value {
    let (keys, title) = match kind {
        FileKind::Design => (DESIGN, "design.toml of a Gusset job"),
        FileKind::Fit => (FIT, "fits/NAME.toml of a Gusset job"),
        FileKind::Shop => (SHOP, "shop.toml of a Gusset job"),
    };
    let mut schema = table(keys);
    schema.insert(
        "$schema".into(),
        json!("https://json-schema.org/draft/2020-12/schema"),
    );
    schema.insert("title".into(), json!(title));
    Value::Object(schema)
}

fn table(keys: &[Key]) -> Map<String, Value> {
    let mut properties = Map::new();
    for key in keys {
        let mut value = takes(&key.takes);
        if let Value::Object(object) = &mut value {
            object.insert("description".into(), json!(key.says));
        }
        if key.name == "gusset" {
            value = json!({ "const": 1, "description": key.says });
        }
        properties.insert(key.name.into(), value);
    }
    let needed: Vec<&str> = keys.iter().filter(|key| key.must).map(|key| key.name).collect();
    let mut out = Map::new();
    out.insert("type".into(), json!("object"));
    out.insert("properties".into(), Value::Object(properties));
    out.insert("additionalProperties".into(), json!(false));
    if !needed.is_empty() {
        out.insert("required".into(), json!(needed));
    }
    out
}

fn shape(shape: &Shape) -> Value {
    Value::Object(table(shape.keys))
}

const NAME_PATTERN: &str = "^[A-Za-z][A-Za-z0-9_]{0,63}$";
const LINE_PATTERN: &str = "^ *[A-Za-z][A-Za-z0-9_]{0,63} *- *[A-Za-z][A-Za-z0-9_]{0,63} *$";

fn takes(what: &Takes) -> Value {
    match what {
        Takes::Text | Takes::Thread | Takes::Stock => json!({ "type": "string" }),
        Takes::Flag => json!({ "type": "boolean" }),
        Takes::Number => json!({ "type": "number" }),
        Takes::Whole => json!({ "type": "integer" }),
        Takes::Sum(kind) => json!({
            "type": ["string", "number"],
            "examples": [match kind {
                Kind::Length => "1-1/8 in",
                Kind::Angle => "25 deg",
                Kind::Mass => "0.9 kg",
                Kind::Force => "250 N",
                Kind::Moment => "20 N m",
                Kind::Stiffness => "400 N/mm",
                Kind::TurnStiffness => "25 N m/deg",
                Kind::PerLength => "1000 N/mm",
                Kind::Any => "28.5 mm",
            }],
        }),
        Takes::Rate(rate) => json!({ "type": "string", "examples": [rate.example()] }),
        Takes::Name(_) => json!({ "type": "string", "pattern": NAME_PATTERN }),
        Takes::Line => json!({ "type": "string", "pattern": LINE_PATTERN }),
        Takes::Word(words) => json!({ "enum": words }),
        Takes::Direction => json!({ "anyOf": [
            { "enum": ["x", "y", "z", "+x", "+y", "+z", "-x", "-y", "-z"] },
            { "type": "array", "items": { "type": "number" }, "minItems": 3, "maxItems": 3 },
        ] }),
        Takes::Corner => json!({ "type": "string", "pattern": "^ *(round|chamfer|notch) " }),
        Takes::List { of, least, most } => {
            json!({ "type": "array", "items": takes(of), "minItems": least, "maxItems": most })
        }
        Takes::Pair(first, second) => {
            json!({ "type": "array", "prefixItems": [takes(first), takes(second)], "minItems": 2, "maxItems": 2 })
        }
        Takes::Table(keys) => Value::Object(table(keys)),
        Takes::Shapes(shapes) => json!({ "anyOf": shapes.iter().map(shape).collect::<Vec<_>>() }),
        Takes::Named { of, key } => {
            let pattern = match key {
                NameOf::Thing | NameOf::Known(_) => NAME_PATTERN,
                NameOf::Line => LINE_PATTERN,
            };
            json!({ "type": "object", "patternProperties": { pattern: takes(of) }, "additionalProperties": false })
        }
        Takes::Either(options) => json!({ "anyOf": options.iter().map(takes).collect::<Vec<_>>() }),
    }
}
