//! JSON Schema of the circuit file, draft 2020-12, made from the catalogue, so
//! that editors know what the reader knows: fields, units, words, what must be
//! there. What joins what is beyond a schema and is left to the reader.

use super::catalogue::{Field, Need, Rule, SLOT_FIELDS, Shape, Table, Takes, catalogue};
use super::patterns;
use crate::circuit::PartKind;
use crate::quantities::Dimension;
use serde_json::{Map, Value, json};

/// JSON Schema of the circuit file.
pub fn schema() -> Value {
    let mut properties = Map::new();
    for table in catalogue() {
        add_table(&mut properties, table);
    }
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "ampkeel circuit file, format 1",
        "description": "The electrical circuit of a small boat and its engine.",
        "type": "object",
        "properties": properties,
        "required": ["format"],
        "additionalProperties": false,
        "$defs": definitions(),
    })
}

/// Puts a table where the file has it.
fn add_table(properties: &mut Map<String, Value>, table: &Table) {
    match (table.shape, table.path.split_once('.')) {
        (Shape::Head, _) => {
            for field in table.fields {
                properties.insert(field.key.to_owned(), of_field(field));
            }
        }
        (Shape::Named, _) => {
            properties.insert(
                table.path.to_owned(),
                by_name(&described(table.doc, of_table(table))),
            );
        }
        (Shape::List, _) => {
            properties.insert(
                table.path.to_owned(),
                json!({ "type": "array", "items": described(table.doc, of_table(table)) }),
            );
        }
        (Shape::Single, None) => {
            properties.insert(table.path.to_owned(), described(table.doc, of_table(table)));
        }
        (Shape::Single, Some((outer, inner))) => {
            let outer = properties.entry(outer).or_insert_with(
                || json!({ "type": "object", "properties": {}, "additionalProperties": false }),
            );
            outer["properties"][inner] = described(table.doc, of_table(table));
        }
    }
}

/// An object whose keys are names.
fn by_name(value: &Value) -> Value {
    json!({ "type": "object", "propertyNames": { "$ref": "#/$defs/name" }, "additionalProperties": value })
}

fn described(doc: &str, mut schema: Value) -> Value {
    schema["description"] = json!(doc);
    schema
}

fn of_table(table: &Table) -> Value {
    let mut schema = of_fields(table.fields);
    for terminal in table.terminals.iter().chain(more_terminals(table.kind)) {
        schema["properties"][*terminal] = described(
            &format!("Terminal `{terminal}` bolted straight to another part's."),
            reference("terminal"),
        );
    }
    if table.kind.is_some_and(names_terminals) {
        // Its own terminals may be keys as well, whatever they are called.
        schema["additionalProperties"] = reference("terminal");
    }
    for rule in table.rules {
        add_rule(&mut schema, rule);
    }
    schema
}

fn names_terminals(kind: PartKind) -> bool {
    super::draft::own_key(kind).is_some()
}

fn more_terminals(kind: Option<PartKind>) -> &'static [&'static str] {
    if kind == Some(PartKind::Motor) {
        &super::draft::TWO_FIELDS
    } else {
        &[]
    }
}

fn of_fields(fields: &[Field]) -> Value {
    let properties: Map<String, Value> = fields
        .iter()
        .map(|field| (field.key.to_owned(), of_field(field)))
        .collect();
    let required: Vec<&str> = fields
        .iter()
        .filter(|field| field.need == Need::Required)
        .map(|field| field.key)
        .collect();
    json!({ "type": "object", "properties": properties, "required": required, "additionalProperties": false })
}

fn add_rule(schema: &mut Value, rule: &Rule) {
    match *rule {
        Rule::NotBoth { one, other, .. } => append(
            schema,
            "allOf",
            json!({ "not": { "required": [one, other] } }),
        ),
        Rule::Needs { field, needed } => {
            if schema["dependentRequired"].is_null() {
                schema["dependentRequired"] = json!({});
            }
            schema["dependentRequired"][field] = json!([needed]);
        }
        Rule::ExactlyOne { fields, .. } => {
            let each: Vec<Value> = fields
                .iter()
                .map(|field| json!({ "required": [field] }))
                .collect();
            schema["oneOf"] = json!(each);
        }
    }
}

fn append(schema: &mut Value, key: &str, value: Value) {
    match schema.get_mut(key).and_then(Value::as_array_mut) {
        Some(list) => list.push(value),
        None => schema[key] = json!([value]),
    }
}

fn of_field(field: &Field) -> Value {
    let mut schema = described(field.doc, of_value(field.takes));
    if let Some(example) = example(field.example) {
        schema["examples"] = json!([example]);
    }
    schema
}

/// An example as JSON; it is written as the file writes it.
fn example(text: &str) -> Option<Value> {
    let table: Value = toml::from_str(&format!("example = {text}")).ok()?;
    table.get("example").cloned()
}

fn reference(name: &str) -> Value {
    json!({ "$ref": format!("#/$defs/{name}") })
}

fn list_of(items: &Value) -> Value {
    json!({ "type": "array", "items": items })
}

fn of_value(takes: Takes) -> Value {
    match takes {
        Takes::Figure(dimension, _) => reference(&definition(dimension, "figure")),
        Takes::Range(dimension, _) => reference(&definition(dimension, "range")),
        Takes::Size => reference("size"),
        Takes::Flag => json!({ "type": "boolean" }),
        Takes::Count { least, most } => {
            json!({ "type": "integer", "minimum": least, "maximum": most })
        }
        Takes::Format => json!({ "const": 1 }),
        Takes::Text => json!({ "type": "string", "maxLength": 400 }),
        Takes::Word(words) => json!({ "enum": words() }),
        Takes::Class(kind) => json!({ "type": "string", "pattern": patterns::class(kind) }),
        Takes::OwnNames => {
            json!({ "type": "array", "items": reference("name"), "minItems": 1, "uniqueItems": true })
        }
        Takes::Positions => {
            let mut positions = by_name(&list_of(
                &json!({ "type": "string", "pattern": "^[a-z0-9]+-[a-z0-9]+$" }),
            ));
            positions["minProperties"] = json!(1);
            positions
        }
        Takes::Slots => slots(),
        Takes::Part | Takes::State => reference("name"),
        Takes::Parts => list_of(&reference("name")),
        Takes::Contacts => list_of(&reference("terminal")),
        Takes::Terminal => reference("terminal"),
        Takes::Chain => json!({ "type": "array", "items": reference("terminal"), "minItems": 2 }),
        Takes::List(inner) => list_of(&of_value(*inner)),
        Takes::OrUnknown(inner) => json!({ "anyOf": [of_value(*inner), { "const": "?" }] }),
        Takes::EachHop(inner) => json!({ "anyOf": [of_value(*inner), list_of(&of_value(*inner))] }),
        Takes::Table(fields) => of_fields(fields),
        Takes::ByPart(inner) => by_name(&of_value(*inner)),
        Takes::Settings => by_name(&reference("name")),
    }
}

fn slots() -> Value {
    json!({
        "type": "object",
        "propertyNames": { "pattern": "^[a-z0-9]+$" },
        "minProperties": 1,
        "additionalProperties": { "anyOf": [reference(&definition(Dimension::Current, "figure")), of_fields(SLOT_FIELDS)] },
    })
}

fn definition(dimension: Dimension, form: &str) -> String {
    format!("{}-{form}", dimension.word().replace(' ', "-"))
}

/// Names, terminals, sizes and one pattern a dimension.
fn definitions() -> Value {
    let mut all = Map::new();
    all.insert(
        "name".into(),
        json!({ "type": "string", "pattern": patterns::NAME, "maxLength": 64 }),
    );
    all.insert(
        "terminal".into(),
        json!({ "type": "string", "pattern": patterns::TERMINAL }),
    );
    all.insert("size".into(), json!({ "type": "string", "pattern": patterns::size(), "description": "A wire size: \"16 AWG\", \"16 SAE\", \"2/0 AWG\" or \"2.5 mm2\"." }));
    for dimension in Dimension::ALL {
        let unit = dimension.first_unit();
        let one = format!(
            "{} with its unit, like \"12 {unit}\".",
            capital(dimension.with_article())
        );
        let range =
            format!("{one} A range is written \"10 to 12 {unit}\" or \"12 {unit} +/- 10 %\".");
        let figure =
            json!({ "type": "string", "pattern": patterns::figure(dimension), "description": one });
        all.insert(definition(dimension, "figure"), figure);
        let range = json!({ "type": "string", "pattern": patterns::range(dimension), "description": range });
        all.insert(definition(dimension, "range"), range);
    }
    Value::Object(all)
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(chars).collect()
    })
}
