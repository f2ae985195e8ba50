//! What a reader asks of a file, and the JSON Schema that says the same.
//!
//! Shapes are recorded by the reading itself (see [`crate::document`]), so the schema cannot
//! promise a key that the reader does not know, nor forget one.

use serde_json::{Map, Value, json};

/// What may stand at one place of a file.
#[derive(Debug, Clone, Default)]
pub(crate) enum Shape {
    /// Nothing was asked yet.
    #[default]
    Unasked,
    /// A text that matches a pattern, with examples.
    Text { pattern: Option<&'static str>, examples: Vec<String> },
    /// One of these words.
    Choice(Vec<String>),
    /// True or false.
    Flag,
    /// One of several forms.
    Either(Vec<Shape>),
    /// A contact: its number, or its name.
    Contact,
    /// A whole number in a range.
    Whole { lowest: i64, highest: i64 },
    /// A number in a range.
    Number(Range),
    /// `[low, high]` or `[low, typical, high]`.
    Rising { count: usize, range: Range },
    /// Any number of the same.
    List(Box<Shape>),
    /// A table whose keys are names.
    Map { keys: Option<&'static str>, entry: Box<Shape> },
    /// A table whose keys are fixed.
    Table(TableShape),
}

impl Shape {
    /// The value that must stand there, where there is only one.
    pub(crate) fn only_value(&self) -> Option<String> {
        match self {
            Self::Whole { lowest, highest } if lowest == highest => Some(lowest.to_string()),
            Self::Choice(words) => {
                if let [word] = words.as_slice() {
                    Some(format!("\"{word}\""))
                } else {
                    None
                }
            }
            Self::Unasked
            | Self::Text { .. }
            | Self::Flag
            | Self::Either(_)
            | Self::Contact
            | Self::Whole { .. }
            | Self::Number(_)
            | Self::Rising { .. }
            | Self::List(_)
            | Self::Map { .. }
            | Self::Table(_) => None,
        }
    }
}

/// The numbers that are allowed.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Range {
    pub(crate) lowest: f64,
    pub(crate) highest: f64,
}

/// The keys of a table.
#[derive(Debug, Clone, Default)]
pub(crate) struct TableShape {
    /// Key, what it is for, what may stand there; in the order of asking.
    pub(crate) keys: Vec<(&'static str, &'static str, Shape)>,
    /// Keys that must be there.
    pub(crate) required: Vec<&'static str>,
    /// Keys that must be there unless the first one is.
    pub(crate) required_unless: Option<(&'static str, Vec<&'static str>)>,
    /// Pairs of keys that exclude each other.
    pub(crate) exclusive: Vec<(&'static str, &'static str)>,
}

/// Returns the JSON Schema (draft 2020-12) of a document.
pub(crate) fn document_schema(title: &str, root: &TableShape) -> Value {
    let mut schema = Map::new();
    schema.insert("$schema".to_owned(), json!("https://json-schema.org/draft/2020-12/schema"));
    schema.insert("title".to_owned(), json!(title));
    schema.extend(table_schema(root));
    Value::Object(schema)
}

fn table_schema(table: &TableShape) -> Map<String, Value> {
    let properties: Map<String, Value> = table
        .keys
        .iter()
        .map(|(key, doc, shape)| {
            let mut schema = Map::new();
            schema.insert("description".to_owned(), json!(doc));
            schema.extend(shape_schema(shape));
            ((*key).to_owned(), Value::Object(schema))
        })
        .collect();
    let mut schema = object(&json!({
        "type": "object",
        "properties": properties,
        "additionalProperties": false,
    }));
    if !table.required.is_empty() {
        schema.insert("required".to_owned(), json!(table.required));
    }
    if let Some((unless, required)) = &table.required_unless {
        schema.insert("anyOf".to_owned(), json!([{"required": [unless]}, {"required": required}]));
    }
    if !table.exclusive.is_empty() {
        let pairs: Vec<Value> =
            table.exclusive.iter().map(|(a, b)| json!({"not": {"required": [a, b]}})).collect();
        schema.insert("allOf".to_owned(), Value::Array(pairs));
    }
    schema
}

fn shape_schema(shape: &Shape) -> Map<String, Value> {
    let schema = match shape {
        Shape::Unasked => json!({}),
        Shape::Text { pattern, examples } => {
            let mut schema = object(&json!({"type": "string"}));
            if let Some(pattern) = pattern {
                schema.insert("pattern".to_owned(), json!(pattern));
            }
            if !examples.is_empty() {
                schema.insert("examples".to_owned(), json!(examples));
            }
            return schema;
        }
        Shape::Choice(words) => json!({"enum": words}),
        Shape::Flag => json!({"type": "boolean"}),
        Shape::Either(forms) => json!({"anyOf": forms.iter().map(shape_schema).collect::<Vec<_>>()}),
        Shape::Contact => json!({
            "anyOf": [{"type": "integer", "minimum": 1, "maximum": u8::MAX}, {"type": "string"}],
        }),
        Shape::Whole { lowest, highest } => {
            json!({"type": "integer", "minimum": lowest, "maximum": highest})
        }
        Shape::Number(range) => return number_schema(*range),
        Shape::Rising { count, range } => json!({
            "type": "array",
            "items": number_schema(*range),
            "minItems": count,
            "maxItems": count,
        }),
        Shape::List(item) => json!({"type": "array", "items": shape_schema(item)}),
        Shape::Map { keys, entry } => {
            let mut schema = object(&json!({"type": "object"}));
            if let Some(pattern) = keys {
                schema.insert("propertyNames".to_owned(), json!({"pattern": pattern}));
            }
            schema.insert("additionalProperties".to_owned(), Value::Object(shape_schema(entry)));
            return schema;
        }
        Shape::Table(table) => return table_schema(table),
    };
    object(&schema)
}

fn number_schema(range: Range) -> Map<String, Value> {
    object(&json!({"type": "number", "minimum": range.lowest, "maximum": range.highest}))
}

fn object(value: &Value) -> Map<String, Value> {
    value.as_object().cloned().unwrap_or_default()
}
