//! Random variants of the shipped families, the same on every machine, for tests that try many.

use slatwork::base::Length;
use slatwork::catalog::Catalogue;
use slatwork::script::{Inputs, Script, Value};
use slatwork::{People, Site};
use std::sync::Arc;

/// A value for each of some parameters.
pub(crate) type Point = Vec<(String, Value)>;

/// A small generator of our own (the constants are Knuth's MMIX ones).
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn below(&mut self, count: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap_or(0) % count
    }

    /// One value of each parameter.
    pub(crate) fn point(&mut self, values: &[(String, Vec<Value>)]) -> Point {
        values.iter().map(|(name, values)| (name.clone(), values[self.below(values.len())].clone())).collect()
    }
}

/// Values of each parameter: all that can be listed, whole millimetres among them, or the usual one.
pub(crate) fn values(script: &Script) -> Vec<(String, Vec<Value>)> {
    let listed = script.declared.parameters.iter().map(|(name, parameter)| {
        let mut values = parameter.values(100_000);
        if parameter.takes_millimetres()
            && let (Some(Value::Length(least)), Some(Value::Length(most))) = (values.first(), values.last())
        {
            let marks = (least.as_mm().ceil() as i64)..=(most.as_mm().floor() as i64);
            values.extend(marks.map(|mm| Value::Length(Length::nm(mm * 1_000_000))));
        }
        (name.clone(), if values.is_empty() { vec![parameter.default.clone()] } else { values })
    });
    listed.collect()
}

/// The built-in catalogue, nowhere in particular, for anybody.
pub(crate) fn inputs() -> Inputs {
    Inputs { catalogue: Arc::clone(Catalogue::shared()), site: Site::default(), people: People::default() }
}

/// "width=5ft arms=none".
pub(crate) fn words(point: &Point) -> String {
    point.iter().map(|(name, value)| format!("{name}={value}")).collect::<Vec<_>>().join(" ")
}
