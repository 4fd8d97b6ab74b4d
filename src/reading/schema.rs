//! JSON Schema of the circuit file.
use serde_json::Value;

/// JSON Schema, draft 2020-12.
pub fn schema() -> Value {
    Value::Null
}
