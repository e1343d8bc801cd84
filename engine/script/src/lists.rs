//! Lists in scripts: sorting, sums and extremes of lengths and other measures.
//!
//! Rhai's own `sort` knows only its own types, and hides an error that happens inside a comparison. These sort by
//! merging, so that an inconsistent comparison gives some order and never a panic.

use crate::host::{HostResult, raise};
use crate::measures::Mass;
use crate::modules::Subject;
use crate::numbers::as_number;
use core::cmp::Ordering;
use rhai::{Array, Dynamic, FnPtr, ImmutableString, NativeCallContext, Variant};
use slatwork_base::{Angle, Area, Diagnostic, Length};

/// The words about lists.
pub(crate) fn subject() -> Subject {
    let mut subject = Subject::new(
        "Lists",
        "Lists stand in square brackets, are counted from 0, and hold at most 4096 values. `list[-1]` is the last.",
    );
    known(&mut subject);
    sorting(&mut subject);
    extremes(&mut subject);
    subject
}

/// The list words of the language that a family is likely to need.
fn known(subject: &mut Subject) {
    for (signature, doc) in [
        ("len(list: list) -> whole number", "How many values it holds. Example: `let n = slats.len();`"),
        ("push(list: list, value: value)", "Adds a value at the end. Example: `posts.push(post);`"),
        (
            "pop(list: list) -> value",
            "Takes the last value away and gives it. Example: `let last = posts.pop();`",
        ),
        (
            "insert(list: list, at: whole number, value: value)",
            "Puts a value in at a place. Example: `posts.insert(0, first);`",
        ),
        (
            "remove(list: list, at: whole number) -> value",
            "Takes the value at a place away and gives it. Example: `let first = posts.remove(0);`",
        ),
        (
            "contains(list: list, value: value) -> yes/no",
            "Whether a value is among them. Example: `if widths.contains(3.inch) { print(\"yes\"); }`",
        ),
        (
            "map(list: list, function: function) -> list",
            "A list of what the function makes of each value. Example: `let widths = slats.map(|s| s.width);`",
        ),
        (
            "filter(list: list, function: function) -> list",
            "A list of the values for which the function says true. \
             Example: `let wide = slats.filter(|s| s.width > 3.inch);`",
        ),
        ("reverse(list: list)", "Turns the order round, in place. Example: `slats.reverse();`"),
        (
            "extract(list: list, from: whole number, count: whole number) -> list",
            "A list of some values, counted from a place. Example: `let inner = slats.extract(1, 3);`",
        ),
        (
            "keys(map: map) -> list",
            "The names in a map, in alphabetical order. Example: `let names = parts.keys();`",
        ),
        (
            "values(map: map) -> list",
            "The values of a map, in the order of names. Example: `let all = parts.values();`",
        ),
    ] {
        subject.known(signature, doc);
    }
}

fn sorting(subject: &mut Subject) {
    subject.function(
        "sort(list: list)",
        "Sorts in place, least first: lengths, angles, weights, areas, numbers or texts. Equal values keep their \
         order. Refuses a list of unlike values. Example: `widths.sort();`",
        |ctx: NativeCallContext, list: &mut Array| -> HostResult<()> {
            *list = sorted(std::mem::take(list), &mut |a, b| ordered(&ctx, a, b))?;
            Ok(())
        },
    );
    subject.function(
        "sort_by(list: list, compare: function)",
        "Sorts in place by a function of two values that gives a negative number when the first comes first, zero \
         when they are equal, a positive number otherwise, or true when the first comes first. \
         Example: `slats.sort_by(|a, b| if a.width < b.width { -1 } else { 1 });`",
        sort_by,
    );
    subject.form("sort", sort_by);
    let descending = |ctx: NativeCallContext, list: &mut Array| -> HostResult<()> {
        *list = sorted(std::mem::take(list), &mut |a, b| Ok(ordered(&ctx, a, b)?.reverse()))?;
        Ok(())
    };
    subject.function(
        "sort_desc(list: list)",
        "Sorts in place, greatest first, by the rules of sort. Example: `lengths.sort_desc();`",
        descending,
    );
}

fn sort_by(ctx: NativeCallContext, list: &mut Array, compare: FnPtr) -> HostResult<()> {
    let mut ask = |a: &Dynamic, b: &Dynamic| -> HostResult<Ordering> {
        let answer = compare.call_raw(&ctx, None, [a.clone(), b.clone()])?;
        if let Ok(first) = answer.as_bool() {
            return Ok(if first { Ordering::Less } else { Ordering::Greater });
        }
        let number = as_number(&answer).and_then(|number| number.partial_cmp(&0.0));
        number.ok_or_else(|| {
            let message =
                format!("the comparison of a sort must give a number or true or false, not {answer}");
            raise(&ctx, Diagnostic::error("cannot-sort", message))
        })
    };
    *list = sorted(std::mem::take(list), &mut ask)?;
    Ok(())
}

/// Merge sort whose comparison may fail.
fn sorted(
    mut list: Array,
    compare: &mut dyn FnMut(&Dynamic, &Dynamic) -> HostResult<Ordering>,
) -> HostResult<Array> {
    if list.len() < 2 {
        return Ok(list);
    }
    let right = list.split_off(list.len() / 2);
    let left = sorted(list, compare)?;
    let right = sorted(right, compare)?;
    let mut merged = Array::with_capacity(left.len() + right.len());
    let (mut left, mut right) = (left.into_iter().peekable(), right.into_iter().peekable());
    while let (Some(a), Some(b)) = (left.peek(), right.peek()) {
        let from_right = compare(a, b)? == Ordering::Greater;
        merged.extend(if from_right { right.next() } else { left.next() });
    }
    merged.extend(left);
    merged.extend(right);
    Ok(merged)
}

/// The order of two like values.
fn ordered(ctx: &NativeCallContext, a: &Dynamic, b: &Dynamic) -> HostResult<Ordering> {
    let order = as_number(a)
        .zip(as_number(b))
        .and_then(|(a, b)| a.partial_cmp(&b))
        .or_else(|| like::<Length>(a, b))
        .or_else(|| like::<Angle>(a, b))
        .or_else(|| like::<Mass>(a, b))
        .or_else(|| like::<Area>(a, b))
        .or_else(|| like::<ImmutableString>(a, b))
        .or_else(|| like::<char>(a, b))
        .or_else(|| like::<bool>(a, b));
    order.ok_or_else(|| {
        let words = [a, b].map(|value| crate::host::with_article(&crate::host::type_word(ctx, value)));
        let message = format!("{} and {} have no order", words[0], words[1]);
        raise(ctx, Diagnostic::error("cannot-sort", message).help("sort lists of one kind of value"))
    })
}

fn like<T: Variant + Clone + PartialOrd>(a: &Dynamic, b: &Dynamic) -> Option<Ordering> {
    let (a, b) = (a.read_lock::<T>()?, b.read_lock::<T>()?);
    a.partial_cmp(&*b)
}

fn extremes(subject: &mut Subject) {
    subject.function(
        "max(list: list) -> value",
        "The greatest of a list, by the rules of sort; also `max(a, b)`. Refuses an empty list. \
         Example: `let widest = widths.max();`",
        |ctx: NativeCallContext, list: Array| extreme(&ctx, list, Ordering::Greater),
    );
    subject.function(
        "min(list: list) -> value",
        "The least of a list, by the rules of sort; also `min(a, b)`. Refuses an empty list. \
         Example: `let narrowest = widths.min();`",
        |ctx: NativeCallContext, list: Array| extreme(&ctx, list, Ordering::Less),
    );
    subject.function(
        "sum(list: list) -> value",
        "The values of a list added up. Refuses an empty list, as the sum of nothing has no unit. \
         Example: `let total = [3.inch, 2.feet].sum();`",
        |ctx: NativeCallContext, list: Array| -> HostResult<Dynamic> {
            let mut values = list.into_iter();
            let first = values.next().ok_or_else(|| empty(&ctx))?;
            values.try_fold(first, |sum, value| ctx.call_native_fn::<Dynamic>("+", (sum, value)))
        },
    );
}

fn extreme(ctx: &NativeCallContext, list: Array, wanted: Ordering) -> HostResult<Dynamic> {
    let mut values = list.into_iter();
    let first = values.next().ok_or_else(|| empty(ctx))?;
    values
        .try_fold(first, |best, value| Ok(if ordered(ctx, &value, &best)? == wanted { value } else { best }))
}

fn empty(ctx: &NativeCallContext) -> Box<rhai::EvalAltResult> {
    raise(ctx, Diagnostic::error("empty-list", "this list is empty"))
}
