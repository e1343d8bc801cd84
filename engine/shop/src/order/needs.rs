//! What has to come before what, and what should: rules of the script, parts marked from others, what is laid last.

use slatwork_model::{FeatureKind, Hand, Model, Part, When};
use std::collections::HashMap;

/// Why a part comes before another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Why {
    /// A rule of the script, by its index.
    Rule(usize),
    /// The later part is marked from the earlier one.
    Marked,
}

/// One part before another.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Need {
    pub(crate) first: usize,
    pub(crate) then: usize,
    pub(crate) why: Why,
}

/// What has to come before what.
pub(crate) fn needs(model: &Model, named: &HashMap<&str, usize>) -> Vec<Need> {
    let rules = model.order.iter().enumerate().flat_map(|(index, rule)| {
        let pairs = rule.first.iter().flat_map(|first| rule.then.iter().map(move |then| (first.0, then.0)));
        pairs.map(move |(first, then)| Need { first, then, why: Why::Rule(index) })
    });
    let marks = model.parts.iter().flat_map(|part| {
        let from = marked_from(part).into_iter().filter_map(|name| named.get(name).copied());
        from.map(|first| Need { first, then: part.id.0, why: Why::Marked })
    });
    rules.chain(marks).filter(|need| need.first != need.then).collect()
}

/// Names of what a part's notches are marked from, each once: it is held there before it is cut. Holes so marked are pricked
/// through when their joint is made, and need no fit of their own.
pub(crate) fn marked_from(part: &Part) -> Vec<&str> {
    let mut names: Vec<&str> = Vec::new();
    for feature in part.features.iter().filter(|feature| matches!(feature.kind, FeatureKind::Notch { .. })) {
        if let When::MarkedFrom { parts } = &feature.when {
            names.extend(
                parts.iter().map(String::as_str).filter(|name| !names.contains(name)).collect::<Vec<_>>(),
            );
        }
    }
    names
}

/// When a part should come, other things being equal: lower first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Rank {
    /// Frames, then what is sat on, then arms (trade practice: seat slats once the frames are joined, arms last).
    class: u8,
    /// Parts of one kind together, by the first of them.
    kind: usize,
    /// What is trimmed to fit comes last of its kind.
    fitted: bool,
    part: usize,
}

/// The rank of each part.
pub(crate) fn ranks(model: &Model, kinds: &[usize]) -> Vec<Rank> {
    let class = |part: usize| {
        let seat = model.seat.as_ref();
        let among = |ids: &[slatwork_model::PartId]| ids.iter().any(|id| id.0 == part);
        match seat {
            Some(seat) if among(&seat.arms) => ARMS,
            Some(seat) if among(&seat.on) => SEAT,
            _ => FRAME,
        }
    };
    // A script may name one of a pair only.
    let mut of_kind = vec![FRAME; model.parts.len()];
    for (part, &kind) in kinds.iter().enumerate() {
        of_kind[kind] = of_kind[kind].max(class(part));
    }
    (0..model.parts.len())
        .map(|part| Rank {
            class: of_kind[kinds[part]],
            kind: kinds[part],
            fitted: model.parts[part].fit.is_some(),
            part,
        })
        .collect()
}

const FRAME: u8 = 0;
const SEAT: u8 = 1;
const ARMS: u8 = 2;

impl Rank {
    /// Whether it is laid on joined frames rather than with its own group.
    pub(crate) fn is_late(self) -> bool {
        self.class != FRAME
    }
}

/// Parts of one kind: of one set, of a pair of sets, or of one name but for its number. Each part has the index of the
/// first of its kind.
pub(crate) fn kinds(model: &Model) -> Vec<usize> {
    let mut kind: Vec<usize> = (0..model.parts.len()).collect();
    let mut by_name: HashMap<(&str, usize), usize> = HashMap::new();
    let mut by_set: HashMap<(usize, usize), usize> = HashMap::new();
    for (index, part) in model.parts.iter().enumerate() {
        let of_name = *by_name.entry((base_name(&part.name), part.group.0)).or_insert(index);
        let of_set = *by_set.entry((pair_of(model, part), part.group.0)).or_insert(index);
        kind[index] = kind[of_name].min(kind[of_set]);
    }
    kind
}

/// The set of a part; of a mirrored pair the first.
fn pair_of(model: &Model, part: &Part) -> usize {
    match model.sets.get(part.set.0).map(|set| set.hand) {
        Some(Hand::PairWith(mate)) => part.set.0.min(mate.0),
        _ => part.set.0,
    }
}

/// A name without the number behind it.
pub(crate) fn base_name(name: &str) -> &str {
    match name.rsplit_once(' ') {
        Some((base, number)) if number.bytes().all(|digit| digit.is_ascii_digit()) => base,
        _ => name,
    }
}

#[cfg(test)]
mod tests {
    use super::base_name;

    #[test]
    fn a_number_is_no_part_of_the_kind() {
        assert_eq!(base_name("seat slat 12"), "seat slat");
        assert_eq!(base_name("arm"), "arm");
        assert_eq!(base_name("rail of 2x4"), "rail of 2x4");
    }
}
