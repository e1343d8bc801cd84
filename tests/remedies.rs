//! Remedies on two hundred spoiled variants: each one offered passes on a re-run, and none smaller does, by brute force over
//! the declared steps.

#[allow(dead_code, reason = "what other tests take of it")]
mod variants;

use slatwork::checks::{Case, Conditions, Verdict, judge};
use slatwork::project::remedy::{Candidate, Change, Remedy, Trial, candidates, search};
use slatwork::script::{Parameter, ParameterKind, Value};
use slatwork::{Catalogue, Length, Memory, Request, Severity, Workshop};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Mutex, PoisonError};
use variants::Dice;

type Settings = Vec<(String, String)>;

/// A family to spoil.
struct Spoiled {
    script: &'static str,
    /// Changes of its declarations: few woods and coarser steps, so that variants share what was tried of them.
    coarser: &'static [(&'static str, &'static str)],
    /// Values that spoil it, alone or two together.
    by: &'static [(&'static str, &'static [&'static str])],
    /// How many variants of it are tried.
    variants: usize,
}

const WOOD: (&str, &str) = (
    r#"f.wood("wood", "white oak")"#,
    r#"f.wood("wood", "white oak").among(["white oak", "black locust", "western red cedar", "southern pine", "douglas fir", "western hemlock"])"#,
);
const WEAKER: &[&str] = &["western red cedar", "southern pine", "douglas fir", "western hemlock"];

const FAMILIES: [Spoiled; 3] = [
    Spoiled {
        script: include_str!("../scripts/families/porch_swing.rhai"),
        coarser: &[
            WOOD,
            ("between(3.feet, 7.feet).step(inch(\"1/8\"))", "between(3.feet, 7.feet).step(2.inch)"),
            ("between(16.inch, 26.inch).step(inch(\"1/8\"))", "between(16.inch, 26.inch).step(1.inch)"),
        ],
        by: &[
            ("width", &["72in", "78in", "80in", "82in", "84in"]),
            ("wood", WEAKER),
            ("slats", &["1x4", "5/4x3", "19x89"]),
            ("back_slats", &["1x3", "5/4x3", "19x89"]),
            ("back", &["lengthwise slats"]),
            ("arms", &["none"]),
            ("seat", &["flat"]),
            ("back_height", &["24in", "26in"]),
        ],
        variants: 68,
    },
    Spoiled {
        script: include_str!("../scripts/families/garden_bench.rhai"),
        coarser: &[
            WOOD,
            ("between(28.inch, 92.inch).step(inch(\"1/8\"))", "between(28.inch, 92.inch).step(2.inch)"),
            ("between(16.inch, 20.inch).step(inch(\"1/8\"))", "between(16.inch, 20.inch).step(1.inch)"),
        ],
        by: &[
            ("width", &["58in", "66in", "76in", "84in", "90in", "92in"]),
            ("wood", WEAKER),
            ("slats", &["1x4", "5/4x3", "19x89"]),
            ("middle_legs", &["none"]),
            ("back", &["lengthwise slats"]),
            ("arms", &["none"]),
            ("seat", &["flat"]),
            ("legs", &["straight"]),
            ("back_height", &["20in"]),
        ],
        variants: 66,
    },
    Spoiled {
        script: include_str!("../scripts/families/adirondack_chair.rhai"),
        coarser: &[
            WOOD,
            (
                "between(21.inch, 24.inch).step(inch(\"1/8\"))",
                "between(21.inch, 24.inch).step(inch(\"1/2\"))",
            ),
            ("between(26.inch, 34.inch).step(inch(\"1/8\"))", "between(26.inch, 34.inch).step(1.inch)"),
            ("between(14.deg, 20.deg).step(0.5.deg)", "between(14.deg, 20.deg).step(1.deg)"),
        ],
        by: &[
            ("seat_width", &["23in", "24in"]),
            ("wood", WEAKER),
            ("back_slats", &["1x4", "19x89", "1x6"]),
            ("back_slat_count", &["5", "6", "8", "9"]),
            ("back_height", &["32in", "33in", "34in"]),
            ("brackets", &["no"]),
            ("back", &["straight", "spread fan"]),
            ("seat", &["flat"]),
            ("fall", &["18deg", "20deg"]),
        ],
        variants: 66,
    },
];

/// One family with whatever was tried of it, so that nothing is tried twice.
struct Tried {
    workshop: Workshop,
    trials: Mutex<BTreeMap<String, Option<Trial>>>,
}

impl Tried {
    fn of(family: &Spoiled) -> Tried {
        let script = family.coarser.iter().fold(family.script.to_string(), |script, (from, to)| {
            assert!(script.contains(from), "`{from}` is not in the script");
            script.replacen(from, to, 1)
        });
        let world = Memory::of([("families/spoiled.rhai", script.as_str())]);
        let workshop = Workshop::open(&world, &Request::new("spoiled"));
        Tried { workshop: workshop.value.expect("it compiles"), trials: Mutex::default() }
    }

    /// One variant made and judged, once.
    fn trial(&self, settings: &Settings) -> Option<Trial> {
        let values = self.workshop.declared().read(None, settings).value?;
        let key = values.iter().map(|(name, value)| format!("{name}={value};")).collect::<String>();
        let known = || self.trials.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(trial) = known().get(&key) {
            return trial.clone();
        }
        let trial = Trial::of(&self.workshop, settings, Conditions::default(), &BTreeSet::new());
        known().insert(key, trial.clone());
        trial
    }
}

/// Variants that fail, each spoiled by one or two values, drawn by dice.
fn spoiled(tried: &Tried, family: &Spoiled) -> Vec<(Settings, Trial)> {
    let mut dice = Dice(family.variants as u64);
    let mut seen = BTreeSet::new();
    let mut found = Vec::new();
    while found.len() < family.variants {
        let drawn: BTreeMap<&str, &str> = (0..2)
            .map(|_| {
                let (name, values) = family.by[dice.below(family.by.len())];
                (name, values[dice.below(values.len())])
            })
            .collect();
        let settings: Settings =
            drawn.into_iter().map(|(name, value)| (name.to_string(), value.to_string())).collect();
        if !seen.insert(settings.clone()) {
            continue;
        }
        let trial = tried.trial(&settings).filter(|trial| !trial.failing.is_empty());
        found.extend(trial.map(|trial| (settings, trial)));
    }
    found
}

/// Made and judged without the search: nothing fails.
fn passes(workshop: &Workshop, settings: &Settings) -> bool {
    let made = workshop.make(settings);
    let piece = made.value.expect("it is built");
    let verdicts = judge(&Case::new(&piece.model, workshop.catalogue()));
    !verdicts.iter().any(Verdict::fails)
        && made.diagnostics.iter().all(|own| own.severity < Severity::Failure)
}

/// Whether values of a parameter have an order, so that some are nearer than others.
fn is_ordered(parameter: &Parameter) -> bool {
    !matches!(parameter.kind, ParameterKind::Choice | ParameterKind::YesNo | ParameterKind::Wood)
}

/// The values of a parameter that are fewer declared steps from the present one, by its declaration alone.
fn smaller(parameter: &Parameter, change: &Change) -> Vec<Value> {
    let mut values = parameter.values(1_000);
    values
        .sort_by_key(|own| if let Value::Text(name) = own { Some(thickness_and_width(name)) } else { None });
    let place = |sought: &Value| values.iter().position(|own| own.to_string() == sought.to_string());
    let now = place(&change.now).expect("on the raster");
    assert_eq!(place(&change.then).expect("on the raster").abs_diff(now), change.steps, "{change:?}");
    let near = |at: &usize| *at != now && at.abs_diff(now) < change.steps;
    (0..values.len()).filter(near).map(|at| values[at].clone()).collect()
}

fn thickness_and_width(section: &str) -> (Length, Length) {
    let section = Catalogue::shared().section(section).expect("a section");
    (section.thickness, section.width)
}

/// None smaller does; of words, which are all a step away, none cheaper.
fn is_smallest(tried: &Tried, settings: &Settings, now: &Trial, remedy: &Remedy) {
    let change = &remedy.change;
    let parameter = &tried.workshop.declared().parameters[&change.parameter];
    let instead = |then: Value| {
        let other = [&settings[..], &[Change { then, ..change.clone() }.setting()]].concat();
        tried.trial(&other).filter(|trial| trial.mends(now))
    };
    if is_ordered(parameter) {
        let near = smaller(parameter, change);
        let doing = near.into_iter().find(|then| instead(then.clone()).is_some());
        assert_eq!(doing, None, "{settings:?}: smaller than {remedy:?}");
    } else {
        let others = parameter.values(100).into_iter().filter(|own| *own != change.now);
        let costs: Vec<Option<i64>> = others.filter_map(instead).map(|trial| trial.cost.cents).collect();
        let paid = now.cost.cents.zip(remedy.cents).map(|(now, more)| now + more);
        assert_eq!(costs.into_iter().min(), Some(paid), "{settings:?}: cheaper than {remedy:?}");
    }
}

/// Most variants tried for one: the changes of few parameters to some steps.
const MOST: usize = 12;

/// What spoils it, and for half of them one parameter more by dice, so that each search is short; each is turned by itself, whatever the others
/// are.
fn some(all: Vec<Candidate>, settings: &Settings, dice: &mut Dice) -> Vec<Candidate> {
    let spoils = |own: &Candidate| settings.iter().any(|(name, _)| *name == own.parameter);
    let (mut chosen, mut others): (Vec<_>, Vec<_>) = all.into_iter().partition(spoils);
    if !others.is_empty() && dice.below(2) == 0 {
        chosen.push(others.remove(dice.below(others.len())));
    }
    chosen
}

/// The remedies offered, each of which holds.
fn offered(family: &Spoiled) -> Vec<Remedy> {
    let tried = Tried::of(family);
    let mut dice = Dice(7);
    let mut offered = Vec::new();
    for (settings, now) in spoiled(&tried, family) {
        let values = tried.workshop.declared().read(None, &settings).value.expect("it was read before");
        let bearing = candidates(&values, tried.workshop.catalogue(), &now.concerned);
        assert!(!bearing.is_empty(), "{settings:?}: nothing bears on it");
        let turned = some(bearing, &settings, &mut dice);
        let attempt = |change: &Change| tried.trial(&[&settings[..], &[change.setting()]].concat());
        let found = search(&now, turned, MOST, attempt);
        for remedy in &found.offered {
            let again = [&settings[..], &[remedy.change.setting()]].concat();
            assert!(passes(&tried.workshop, &again), "{settings:?}: {remedy:?} does not pass");
            is_smallest(&tried, &settings, &now, remedy);
        }
        offered.extend(found.offered);
    }
    offered
}

#[test]
fn remedies_of_two_hundred_spoiled_variants_pass_and_none_smaller_does() {
    let all: Vec<Remedy> = std::thread::scope(|scope| {
        let seek = |family| move || slatwork::with_stack(|| offered(family)).expect("a deep stack");
        let running: Vec<_> = FAMILIES.iter().map(|family| scope.spawn(seek(family))).collect();
        running.into_iter().flat_map(|own| own.join().expect("all of it holds")).collect()
    });
    assert_eq!(FAMILIES.iter().map(|own| own.variants).sum::<usize>(), 200);
    let far = all.iter().filter(|own| own.change.steps > 1).count();
    assert!(all.len() >= 100 && far >= 10, "{} remedies, {far} of more than a step", all.len());
}

/// What a family says its parameters govern are parts that it has, at its usual values or with one choice made otherwise.
#[test]
fn what_parameters_govern_is_there() {
    for family in &FAMILIES {
        let world = Memory::of([("families/spoiled.rhai", family.script)]);
        let names = slatwork::with_stack(|| {
            let workshop = Workshop::open(&world, &Request::new("spoiled")).value.expect("it compiles");
            let choices = workshop.declared().parameters.values().filter(|own| !is_ordered(own));
            let listed = choices
                .flat_map(|own| own.values(9).into_iter().map(|value| (own.name.clone(), value.to_string())));
            let wide = [("width", "84in"), ("width", "90in")]
                .map(|(name, value)| (name.to_string(), value.to_string()));
            let made = listed.chain(wide).filter_map(|setting| workshop.make(&[setting]).value);
            let parts = made
                .flat_map(|made| made.model.parts.iter().map(|part| part.name.clone()).collect::<Vec<_>>());
            let names: BTreeSet<String> = parts
                .map(|name| name.trim_end_matches(|own: char| own.is_ascii_digit() || own == ' ').to_string())
                .collect();
            for parameter in workshop.declared().parameters.values() {
                for called in &parameter.governs {
                    let end = format!(" {called}");
                    let there = names.iter().any(|name| name == called || name.ends_with(&end));
                    assert!(there, "`{}` governs `{called}`, which no part is called", parameter.name);
                }
            }
            names.len()
        });
        assert!(names.expect("a deep stack") > 10);
    }
}
