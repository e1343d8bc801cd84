//! JSON Schemas of all JSON documents: read by whoever reads the documents, and held to by a test.

/// Name (`slatwork/cutlist/1`) and text of every schema.
pub const SCHEMAS: [(&str, &str); 10] = [
    ("slatwork/cutlist/1", include_str!("../../schemas/cutlist.json")),
    ("slatwork/bill/1", include_str!("../../schemas/bill.json")),
    ("slatwork/purchase/1", include_str!("../../schemas/purchase.json")),
    ("slatwork/stops/1", include_str!("../../schemas/stops.json")),
    ("slatwork/holes/1", include_str!("../../schemas/holes.json")),
    ("slatwork/shapes/1", include_str!("../../schemas/shapes.json")),
    ("slatwork/summary/1", include_str!("../../schemas/summary.json")),
    ("slatwork/build/1", include_str!("../../schemas/build.json")),
    ("slatwork/variant/1", include_str!("../../schemas/variant.json")),
    ("slatwork/diagnostics/1", include_str!("../../schemas/diagnostics.json")),
];

/// The JSON Schema of that name.
pub fn schema(name: &str) -> Option<&'static str> {
    SCHEMAS.iter().find(|(own, _)| *own == name).map(|(_, text)| *text)
}
