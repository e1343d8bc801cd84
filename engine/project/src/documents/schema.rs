//! JSON Schemas of all JSON documents: read by whoever reads the documents, and held to by a test.

use crate::calc::CALCULATIONS;

/// Name (`slatwork/cutlist/1`) and text of every schema of papers and of verbs; calculations have their own.
pub const SCHEMAS: [(&str, &str); 15] = [
    ("slatwork/cutlist/1", include_str!("../../schemas/cutlist.json")),
    ("slatwork/bill/1", include_str!("../../schemas/bill.json")),
    ("slatwork/purchase/1", include_str!("../../schemas/purchase.json")),
    ("slatwork/price/1", include_str!("../../schemas/price.json")),
    ("slatwork/stops/1", include_str!("../../schemas/stops.json")),
    ("slatwork/holes/1", include_str!("../../schemas/holes.json")),
    ("slatwork/shapes/1", include_str!("../../schemas/shapes.json")),
    ("slatwork/joints/1", include_str!("../../schemas/joints.json")),
    ("slatwork/steps/1", include_str!("../../schemas/steps.json")),
    ("slatwork/summary/1", include_str!("../../schemas/summary.json")),
    ("slatwork/contents/1", include_str!("../../schemas/contents.json")),
    ("slatwork/build/1", include_str!("../../schemas/build.json")),
    ("slatwork/check/1", include_str!("../../schemas/check.json")),
    ("slatwork/variant/1", include_str!("../../schemas/variant.json")),
    ("slatwork/diagnostics/1", include_str!("../../schemas/diagnostics.json")),
];

/// The names of all schemas.
pub fn schema_names() -> impl Iterator<Item = String> {
    let papers = SCHEMAS.iter().map(|(name, _)| (*name).to_string());
    papers.chain(CALCULATIONS.iter().map(|own| own.schema_name()))
}

/// The JSON Schema of that name.
pub fn schema(name: &str) -> Option<&'static str> {
    let of_calculation = || CALCULATIONS.iter().find(|own| own.schema_name() == name).map(|own| own.schema);
    SCHEMAS.iter().find(|(own, _)| *own == name).map(|(_, text)| *text).or_else(of_calculation)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::Kind as Paper;
    use crate::documents::tables::table;
    use crate::{Figures, Units};
    use serde_json::{Map, Value, json};
    use slatwork_base::Length;
    use slatwork_output::{Column, Kind};
    use slatwork_shop::{Reading, ShopPlan, Table};

    /// A plan of nothing: its tables have all columns.
    fn empty_plan() -> ShopPlan {
        ShopPlan {
            reading: Reading::default(),
            cut_list: Default::default(),
            stops: Default::default(),
            holes: Default::default(),
            shapes: Default::default(),
            bill: Default::default(),
            purchase: Default::default(),
            price: Default::default(),
        }
    }

    fn tables(kind: Paper) -> Vec<Table> {
        let plan = empty_plan();
        match kind {
            Paper::CutList => vec![plan.cut_list_table(), plan.steps_table()],
            Paper::Bill => vec![plan.bill_table(), plan.hardware_table(), plan.finishing_table()],
            Paper::Purchase => vec![plan.purchase_table(), plan.boards_table()],
            Paper::Price => plan.price.tables(),
            Paper::Stops => vec![plan.stops_table()],
            Paper::Steps => {
                let empty = slatwork_shop::Assembly::default();
                vec![empty.moves_table(), empty.words_table()]
            }
            Paper::Holes => vec![plan.holes_table(), plan.drilled_table()],
            _ => vec![
                plan.planes_table(),
                plan.notches_table(),
                plan.notch_walls_table(),
                plan.outlines_table(),
                plan.places_table(),
            ],
        }
    }

    fn object(properties: Map<String, Value>) -> Value {
        let needed: Vec<&String> = properties.keys().collect();
        json!({ "type": "object", "required": needed, "additionalProperties": false, "properties": properties })
    }

    fn properties<const N: usize>(list: [(&str, Value); N]) -> Map<String, Value> {
        list.into_iter().map(|(key, value)| (key.to_string(), value)).collect()
    }

    fn cell(column: &Column) -> Value {
        match column.kind {
            Kind::Text => json!({ "type": ["string", "null"] }),
            Kind::Count => json!({ "type": ["integer", "null"] }),
            Kind::Number { .. } | Kind::Angle => json!({ "type": ["number", "null"] }),
            Kind::Length => json!({ "oneOf": [{ "type": "null" }, length()] }),
            Kind::Flag => json!({ "type": ["boolean", "null"] }),
        }
    }

    fn length() -> Value {
        object(properties([("mm", json!({ "type": "number" })), ("tape", json!({ "type": "string" }))]))
    }

    fn rows(own: &Table) -> Value {
        let columns = table(own.clone(), Units::Inch).columns;
        let row = object(columns.iter().map(|column| (column.key.to_string(), cell(column))).collect());
        json!({ "type": "array", "items": row })
    }

    fn findings() -> Value {
        let text = json!({ "type": "string" });
        let place = json!({ "type": ["object", "null"] });
        let trace = object(properties([("place", json!({ "type": "object" })), ("remark", text.clone())]));
        let finding = object(properties([
            ("severity", json!({ "enum": ["note", "warning", "fails", "error"] })),
            ("code", json!({ "type": "string", "pattern": "^[a-z]+(-[a-z0-9]+)*$" })),
            ("message", text.clone()),
            ("place", place),
            ("trace", json!({ "type": "array", "items": trace })),
            ("help", json!({ "type": "array", "items": text })),
        ]));
        json!({ "type": "array", "items": finding })
    }

    fn values() -> Value {
        json!({ "type": "object", "additionalProperties": {
            "oneOf": [{ "type": ["string", "number", "boolean"] }, length()] } })
    }

    fn figures() -> Value {
        let example = Figures {
            size: [Length::ZERO; 3],
            parts: 0,
            sets: 0,
            mass_kg: 0.0,
            boards: 0,
            board_length: Length::ZERO,
            board_feet: 0.0,
            price_cents: None,
            price_at_least_cents: None,
            currency: String::new(),
            hardware: 0,
            labour_hours: 0.0,
            materials_cents: None,
            asking_cents: None,
            not_priced: Vec::new(),
        };
        let kind = |key: &str| match key {
            "currency" => json!({ "type": "string" }),
            "price_cents" | "price_at_least_cents" | "materials_cents" | "asking_cents" => {
                json!({ "type": ["integer", "null"] })
            }
            "not_priced" => list(json!({ "type": "string" })),
            "parts" | "sets" | "boards" | "hardware" => json!({ "type": "integer", "minimum": 0 }),
            _ => json!({ "type": "number", "minimum": 0 }),
        };
        let Value::Object(all) = example.json() else { unreachable!("figures are an object") };
        object(all.keys().map(|key| (key.clone(), kind(key))).collect())
    }

    /// As in a document of verdicts.
    fn hooks() -> Value {
        let check: Value = serde_json::from_str(schema("slatwork/check/1").unwrap()).unwrap();
        check["properties"]["hooks"].clone()
    }

    fn paper(kind: Paper) -> Value {
        let tables: Map<String, Value> =
            tables(kind).iter().map(|own| (own.name.to_string(), rows(own))).collect();
        headed([("tables", object(tables))])
    }

    /// A document of a design: what all of them say, and its own.
    fn headed<const N: usize>(own: [(&str, Value); N]) -> Value {
        let text = json!({ "type": "string" });
        let mut all = properties([
            ("schema", text.clone()),
            ("title", text.clone()),
            ("family", text),
            ("values", values()),
            ("findings", findings()),
        ]);
        all.extend(properties(own));
        object(all)
    }

    fn expected(name: &str) -> Value {
        let mut body = match name {
            "slatwork/summary/1" => headed([("figures", figures()), ("hooks", hooks())]),
            "slatwork/contents/1" => headed([("files", list(file()))]),
            "slatwork/joints/1" => headed([("joints", list(joint()))]),
            "slatwork/build/1" => build(),
            "slatwork/variant/1" => variant(),
            // Written by hand; every family's verdicts are held to it in tests/documents.rs.
            "slatwork/check/1" => return serde_json::from_str(schema(name).unwrap()).unwrap(),
            "slatwork/diagnostics/1" => {
                object(properties([("schema", json!({ "type": "string" })), ("findings", findings())]))
            }
            _ => paper(
                Paper::ALL.into_iter().find(|kind| kind.schema_name().as_deref() == Some(name)).unwrap(),
            ),
        };
        body["properties"]["schema"] = json!({ "const": name });
        let mut whole = properties([
            ("$schema", json!("https://json-schema.org/draft/2020-12/schema")),
            ("title", json!(name)),
        ]);
        let Value::Object(body) = body else { unreachable!("a schema is an object") };
        whole.extend(body);
        Value::Object(whole)
    }

    fn file() -> Value {
        let text = json!({ "type": "string" });
        object(properties([
            ("path", text.clone()),
            ("kind", text.clone()),
            ("for", text.clone()),
            ("form", text),
            ("schema", json!({ "type": ["string", "null"] })),
            ("bytes", json!({ "type": "integer", "minimum": 0 })),
        ]))
    }

    fn list(items: Value) -> Value {
        json!({ "type": "array", "items": items })
    }

    fn number_or_null() -> Value {
        json!({ "type": ["number", "null"] })
    }

    /// A point or a direction.
    fn vector() -> Value {
        numbers(3)
    }

    fn numbers(count: usize) -> Value {
        json!({ "type": "array", "items": { "type": "number" }, "minItems": count, "maxItems": count })
    }

    fn joint() -> Value {
        let text = json!({ "type": "string" });
        let whole = json!({ "type": "integer", "minimum": 1 });
        let origin =
            object(properties([("file", text.clone()), ("line", whole.clone()), ("column", whole.clone())]));
        let extra = object(properties([
            ("item", text.clone()),
            ("name", text.clone()),
            ("count", whole),
            ("length", number_or_null()),
            ("metal", text.clone()),
        ]));
        object(properties([
            ("kind", text.clone()),
            ("within", json!({ "type": ["string", "null"] })),
            ("parts", list(text)),
            ("origin", json!({ "oneOf": [{ "type": "null" }, origin] })),
            ("patch", json!({ "oneOf": [{ "type": "null" }, patch()] })),
            ("glue_mm2", number_or_null()),
            ("fastenings", list(fastening())),
            ("extras", list(extra)),
        ]))
    }

    fn patch() -> Value {
        let number = json!({ "type": "number" });
        let both = json!({ "type": "array", "items": { "type": "boolean" }, "minItems": 2, "maxItems": 2 });
        object(properties([
            ("outline", list(vector())),
            ("area_mm2", number.clone()),
            ("centre", vector()),
            ("normal", vector()),
            ("along", vector()),
            ("across", vector()),
            ("extent", numbers(2)),
            ("gap", number),
            ("on_end_grain", both),
            ("normal_to_grain", numbers(2)),
        ]))
    }

    fn fastening() -> Value {
        let (text, number) = (json!({ "type": "string" }), json!({ "type": "number" }));
        let flag = json!({ "type": "boolean" });
        let layer = object(properties([
            ("part", text.clone()),
            ("from", number.clone()),
            ("to", number.clone()),
            ("thread", number.clone()),
            ("angle_to_grain", number.clone()),
            ("to_end", number_or_null()),
            ("to_edge", number_or_null()),
        ]));
        let step = object(properties([("diameter", number.clone()), ("depth", number_or_null())]));
        let bore = object(properties([
            ("part", text.clone()),
            ("purpose", text.clone()),
            ("when", text.clone()),
            ("start", vector()),
            ("direction", vector()),
            ("steps", list(step)),
            ("countersink", number_or_null()),
            ("in_solid", flag.clone()),
        ]));
        let mut seat =
            object(properties([("how", json!({ "enum": ["proud", "countersunk", "counterbored"] }))]));
        for (key, kind) in [("diameter", &number), ("depth", &number), ("plugged", &flag)] {
            seat["properties"][key] = kind.clone();
        }
        object(properties([
            ("item", text.clone()),
            ("kind", text.clone()),
            ("diameter", number.clone()),
            ("length", number.clone()),
            ("head_diameter", number),
            ("metal", text),
            ("head", vector()),
            ("direction", vector()),
            ("tip", vector()),
            ("thread", numbers(2)),
            ("seat", seat),
            ("drive", json!({ "enum": ["driver", "wrench", "hammer", "hand"] })),
            ("takes_nut", flag),
            ("layers", list(layer)),
            ("bores", list(bore)),
        ]))
    }

    fn build() -> Value {
        let text = json!({ "type": "string" });
        let mut all = object(properties([
            ("schema", text.clone()),
            ("title", text.clone()),
            ("family", text.clone()),
            ("parts", json!({ "type": "integer", "minimum": 1 })),
            ("figures", figures()),
            ("findings", findings()),
        ]));
        // With --out the files written, without it the documents themselves.
        all["properties"]["files"] = json!({ "type": "array", "items": text });
        all["properties"]["documents"] = json!({ "type": "object" });
        all["oneOf"] = json!([{ "required": ["files"] }, { "required": ["documents"] }]);
        all
    }

    fn variant() -> Value {
        let mut own = object(properties([
            ("schema", json!({ "type": "string" })),
            ("row", json!({ "type": "integer", "minimum": 1 })),
            ("values", values()),
            ("status", json!({ "enum": ["fine", "fails", "not built"] })),
            ("rating", json!(null)),
            ("figures", json!(null)),
            ("findings", findings()),
        ]));
        let check: Value = serde_json::from_str(schema("slatwork/check/1").unwrap()).unwrap();
        own["properties"]["rating"] = json!({ "oneOf": [{ "type": "null" }, check["properties"]["rating"]] });
        own["properties"]["figures"] = json!({ "oneOf": [{ "type": "null" }, figures()] });
        own
    }

    /// The schemas that are published are those of the tables as they are. `SLATWORK_UPDATE=1` writes them anew.
    #[test]
    #[expect(clippy::disallowed_methods, reason = "a test that can write what it compares with")]
    fn published_schemas_are_those_of_the_documents() {
        for (name, published) in SCHEMAS {
            let now = format!("{:#}\n", expected(name));
            if std::env::var("SLATWORK_UPDATE").is_ok() {
                let stem = name.split('/').nth(1).unwrap();
                let path = format!("{}/schemas/{stem}.json", env!("CARGO_MANIFEST_DIR"));
                std::fs::write(path, &now).unwrap();
            } else {
                assert_eq!(
                    published, now,
                    "{name}: run the test with SLATWORK_UPDATE=1 and read what changes"
                );
            }
        }
    }

    #[test]
    fn every_kind_with_a_json_document_has_a_schema() {
        for name in Paper::ALL.into_iter().filter_map(Paper::schema_name) {
            assert!(schema(&name).is_some(), "{name}");
        }
    }
}
