//! [`Assembly`] as plain tables.

use super::{Assembly, AssemblyStep};
use crate::table::{Column, Table, Unit, Value};

/// A direction's component: a pure number.
const RATIO: Unit = Unit::Number { unit: "", decimals: 6 };

fn columns(list: &[(&'static str, &'static str, Unit)]) -> Vec<Column> {
    list.iter().map(|&(key, title, unit)| Column { key, title, unit }).collect()
}

impl Assembly {
    /// One row for each part and step, in the order in which parts are moved; steps that move nothing have one row.
    /// `direction_*` points from the part's place to where it starts, `start` is how far; a part that lies there first has
    /// neither. Rows of a step with the same `body` move together. What is held stands there until it is taken away; `marked_from`
    /// names the parts that it is marked from, between semicolons.
    pub fn moves_table(&self) -> Table {
        let columns = columns(&[
            ("step", "step", Unit::Count),
            ("on", "on", Unit::Text),
            ("does", "does", Unit::Text),
            ("part", "part", Unit::Text),
            ("body", "with", Unit::Text),
            ("direction_x", "right", RATIO),
            ("direction_y", "rear", RATIO),
            ("direction_z", "up", RATIO),
            ("start", "from", Unit::Length),
            ("marked_from", "marked from", Unit::Text),
            ("joints", "joints", Unit::Count),
            ("fasteners", "fasteners", Unit::Count),
            ("tools", "tools", Unit::Text),
            ("clamps", "clamps", Unit::Count),
            ("cure", "minutes in clamps", Unit::Number { unit: "minutes", decimals: 0 }),
        ]);
        let rows = self.steps.iter().flat_map(step_rows).collect();
        Table { name: "assembly", title: "how the piece is put together", columns, rows }
    }

    /// One row for each sentence of each step.
    pub fn words_table(&self) -> Table {
        let columns = columns(&[
            ("step", "step", Unit::Count),
            ("what", "what", Unit::Text),
            ("words", "words", Unit::Text),
        ]);
        let said = self
            .said
            .iter()
            .map(|words| vec![Value::Empty, Value::from("maker"), Value::from(words.as_str())]);
        let rows = self.steps.iter().flat_map(|step| {
            let row = move |what: &str, words: &str| {
                vec![Value::from(step.number), Value::from(what), Value::from(words)]
            };
            let title = std::iter::once(row("title", &step.title));
            let text = step.text.iter().map(move |words| row("do", words));
            title.chain(text).chain(step.checks.iter().map(move |words| row("check", words)))
        });
        Table {
            name: "assembly_words",
            title: "the steps in words",
            columns,
            rows: said.chain(rows).collect(),
        }
    }
}

fn step_rows(step: &AssemblyStep) -> Vec<Vec<Value>> {
    let fasteners: usize = step.fasteners.iter().map(|own| own.count).sum();
    let tail = || {
        vec![
            Value::from(fasteners),
            Value::from(step.tools.join(", ")),
            Value::from(step.clamps),
            Value::from(step.cure_minutes as f64),
        ]
    };
    let empty = |count: usize| vec![Value::Empty; count];
    if step.parts.is_empty() {
        let head = vec![Value::from(step.number), Value::from(step.on.as_str()), Value::from("in place")];
        return vec![[head, empty(7), vec![Value::from(step.joints.len())], tail()].concat()];
    }
    let row = |own: &super::PartMove| {
        let head = vec![
            Value::from(step.number),
            Value::from(step.on.as_str()),
            Value::from(own.does.word()),
            Value::from(own.name.as_str()),
            Value::from(own.body.clone()),
        ];
        let way = match own.out {
            Some(out) => {
                vec![Value::from(out.x), Value::from(out.y), Value::from(out.z), Value::from(own.start)]
            }
            None => empty(4),
        };
        let marked = (!own.marked_from.is_empty()).then(|| own.marked_from.join("; "));
        [head, way, vec![Value::from(marked), Value::from(own.joints.len())], tail()].concat()
    };
    step.parts.iter().map(row).collect()
}
