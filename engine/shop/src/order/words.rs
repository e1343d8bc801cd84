//! A builder's words for what is done in a step.

use super::faults::name;
use super::needs::base_name;
use slatwork_model::Model;
use slatwork_solid::DVec3;

/// A component under this share of a direction is not told (sine of 20 degrees).
const TOLD: f64 = 0.34;

/// Where something comes from: "from above", "from above and the front".
pub(crate) fn from_where(out: DVec3) -> String {
    let sides =
        [(out.z, "above", "below"), (-out.y, "the front", "the rear"), (out.x, "the right", "the left")];
    let mut told: Vec<(f64, &str)> = sides
        .into_iter()
        .map(|(share, one, other)| if share < 0.0 { (-share, other) } else { (share, one) })
        .filter(|(share, _)| *share > TOLD)
        .collect();
    told.sort_by(|a, b| b.0.total_cmp(&a.0));
    let words: Vec<&str> = told.into_iter().map(|(_, word)| word).collect();
    format!("from {}", words.join(" and "))
}

/// Where something looks, by its nearest direction: "down", "to the rear".
pub(crate) fn to_where(out: DVec3) -> String {
    let sides = [
        (out.z, "up", "down"),
        (-out.y, "to the front", "to the rear"),
        (out.x, "to the right", "to the left"),
    ];
    let nearest = sides.into_iter().max_by(|a, b| a.0.abs().total_cmp(&b.0.abs()));
    nearest.map_or(String::new(), |(share, one, other)| String::from(if share < 0.0 { other } else { one }))
}

/// What a side, an edge or a corner that looks so is called: "upper", "rear".
pub(crate) fn side_word(out: DVec3) -> &'static str {
    let sides = [(out.z, "upper", "lower"), (-out.y, "front", "rear"), (out.x, "right", "left")];
    let nearest = sides.into_iter().max_by(|a, b| a.0.abs().total_cmp(&b.0.abs()));
    nearest.map_or("", |(share, one, other)| if share < 0.0 { other } else { one })
}

/// Names, each once: all of a few; of many of one kind their number, the first and the last.
pub(crate) fn names(model: &Model, parts: &[usize]) -> String {
    const FEW: usize = 3;
    let one_kind = |own: &[usize]| {
        let base = |part: usize| base_name(&model.parts[part].name);
        own.iter().all(|&part| base(part) == base(own[0]))
    };
    match parts {
        [] => String::new(),
        [only] => name(model, *only),
        [first, .., last] if parts.len() > FEW && one_kind(parts) => {
            let base = base_name(&model.parts[*first].name);
            let which = match &in_turn(model, parts)[..] {
                [_] => format!("{} first, {} last", name(model, *first), name(model, *last)),
                [front @ .., end] => format!("{}, then {end}", front.join(", ")),
                [] => String::new(),
            };
            format!("{} {base}s ({which})", parts.len())
        }
        many => listed(&many.iter().map(|&part| name(model, part)).collect::<Vec<_>>()),
    }
}

/// Numbered names, those that follow one another as a stretch: "`slat 1` to `slat 4`", "`slat 6`".
fn in_turn(model: &Model, parts: &[usize]) -> Vec<String> {
    let number = |part: usize| {
        let own = &model.parts[part].name;
        own.strip_prefix(base_name(own)).and_then(|rest| rest.trim().parse().ok()).unwrap_or(1_i64)
    };
    let follows = |a: &usize, b: &usize| number(*b) == number(*a) + 1;
    let stretch = |own: &[usize]| match own {
        [first, .., last] => format!("{} to {}", name(model, *first), name(model, *last)),
        _ => listed(&own.iter().map(|&part| name(model, part)).collect::<Vec<_>>()),
    };
    parts.chunk_by(follows).map(stretch).collect()
}

/// "a", "a and b", "a, b and c".
pub(crate) fn listed(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [only] => only.clone(),
        [front @ .., last] => format!("{} and {last}", front.join(", ")),
    }
}

/// Words in their order, each once.
pub(crate) fn unique_words(words: Vec<String>) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for word in words {
        if !found.contains(&word) {
            found.push(word);
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_direction_reads_as_a_builder_says_it() {
        assert_eq!(from_where(DVec3::Z), "from above");
        assert_eq!(from_where(DVec3::new(0.0, -0.95, 0.31)), "from the front");
        assert_eq!(from_where(DVec3::new(0.0, -0.7, 0.71)), "from above and the front");
        assert_eq!(from_where(DVec3::NEG_X), "from the left");
        assert_eq!(to_where(DVec3::new(0.1, 0.2, -0.97)), "down");
        assert_eq!(to_where(DVec3::new(0.1, 0.9, -0.4)), "to the rear");
        assert_eq!(side_word(DVec3::new(0.1, 0.9, -0.4)), "rear");
        assert_eq!(side_word(DVec3::new(0.1, 0.2, 0.97)), "upper");
    }
}
