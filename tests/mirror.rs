//! Joints of the shipped families are laid out alike to either side: where parts stand mirrored about the middle of the piece,
//! so do their screws and bolts.

mod variants;

use std::sync::Arc;

use slatwork::base::Diagnostic;
use slatwork::model::Model;
use slatwork::model::joints::{Fastening, Joint};
use slatwork::script::{ScriptKind, build};
use slatwork::solid::{Bounds, DVec3};
use slatwork::{Memory, Request, Workshop};
use variants::Dice;

const VARIANTS: usize = 30;

/// Parts whose bounds are mirror images to this stand mirrored, mm.
const SAME_PLACE: f64 = 0.02;

/// Fasteners are laid out to the same place to this, mm.
const SAME_HEAD: f64 = 0.05;

/// Metal nearer to an axis than this is in its way, mm; looked at in steps along both, mm.
const IN_THE_WAY: f64 = 12.0;
const STEP: f64 = 4.0;

/// The middle plane of a piece across.
struct Middle(f64);

impl Middle {
    fn of(model: &Model) -> Middle {
        let all = model.parts.iter().fold(Bounds::EMPTY, |all, part| all.union(&part.placed().bounds()));
        Middle((all.min.x + all.max.x) / 2.0)
    }

    fn image(&self, point: DVec3) -> DVec3 {
        DVec3::new(2.0 * self.0 - point.x, point.y, point.z)
    }

    /// The part that stands where this one's image would, itself when it lies across the middle.
    fn twin(&self, model: &Model, part: usize) -> Option<usize> {
        let own = model.parts[part].placed().bounds();
        let (low, high) = (self.image(own.min), self.image(own.max));
        let image = (DVec3::new(high.x, low.y, low.z), DVec3::new(low.x, high.y, high.z));
        model.parts.iter().position(|other| {
            let other = other.placed().bounds();
            other.min.abs_diff_eq(image.0, SAME_PLACE) && other.max.abs_diff_eq(image.1, SAME_PLACE)
        })
    }

    /// Whether another joint's metal stands where a fastener's image would: parts that have no image, such as a stile to the
    /// right of each support, may take the place.
    fn is_taken(&self, model: &Model, own: &Fastening, twin: &Joint) -> bool {
        let along = |one: &Fastening| {
            let (head, direction) = (one.head, one.direction);
            let steps = (one.length.as_mm() / STEP) as usize;
            (0..=steps).map(move |step| head + direction * (step as f64 * STEP)).collect::<Vec<_>>()
        };
        let image: Vec<DVec3> = along(own).into_iter().map(|point| self.image(point)).collect();
        let others = model.joints.iter().filter(|joint| !std::ptr::eq(*joint, twin));
        let mut metal = others.flat_map(|joint| &joint.fastenings).flat_map(along);
        metal.any(|point| image.iter().any(|own| own.distance(point) < IN_THE_WAY))
    }

    /// Whether either of two joints could not be laid out as the image of the other.
    fn is_kept_off(&self, model: &Model, joint: &Joint, twin: &Joint) -> bool {
        let taken =
            |own: &Joint, other: &Joint| own.fastenings.iter().any(|one| self.is_taken(model, one, other));
        taken(joint, twin) || taken(twin, joint)
    }

    /// The joint of the same kind between the images of a joint's parts.
    fn twin_joint<'a>(&self, model: &'a Model, twins: &[Option<usize>], joint: &Joint) -> Option<&'a Joint> {
        let mut parts: Vec<usize> =
            joint.parts.iter().map(|part| twins[part.0]).collect::<Option<Vec<usize>>>()?;
        parts.sort_unstable();
        model.joints.iter().find(|other| {
            let mut own: Vec<usize> = other.parts.iter().map(|part| part.0).collect();
            own.sort_unstable();
            own == parts && other.kind == joint.kind
        })
    }
}

/// How many joints are laid out like their images, and those that are not although they could be.
fn compared(model: &Model) -> (usize, Vec<String>) {
    let middle = Middle::of(model);
    let twins: Vec<Option<usize>> = (0..model.parts.len()).map(|part| middle.twin(model, part)).collect();
    let (mut alike, mut troubles) = (0, Vec::new());
    for joint in &model.joints {
        // A pair set slantwise is its own image turned about its middle, not mirrored.
        let twin = middle.twin_joint(model, &twins, joint).filter(|twin| twin.parts != joint.parts);
        let Some(twin) = twin else { continue };
        let has_image = |own: &Fastening| {
            let image = middle.image(own.head);
            let is_it = |other: &Fastening| {
                other.item == own.item
                    && other.length == own.length
                    && other.head.abs_diff_eq(image, SAME_HEAD)
            };
            twin.fastenings.iter().any(is_it)
        };
        let missing = joint.fastenings.iter().find(|own| !has_image(own));
        if missing.is_none() && joint.fastenings.len() == twin.fastenings.len() {
            alike += 1;
        } else if !middle.is_kept_off(model, joint, twin) {
            let names: Vec<&str> = joint.parts.iter().map(|part| model.parts[part.0].name.as_str()).collect();
            let head = missing.map(|own| own.head);
            troubles.push(format!("{} of {}: {head:?}", joint.kind, names.join(", ")));
        }
    }
    (alike, troubles)
}

fn laid_alike(family: &str) {
    let troubles = slatwork::with_stack(|| {
        let opened = Workshop::open(&Memory::default(), &Request::new(family));
        let workshop = opened.value.expect("the family is shipped and compiles");
        let library = workshop.library();
        let script =
            library.script(ScriptKind::Family, family).map_err(|_: Vec<Diagnostic>| ()).expect("shipped");
        let (inputs, values) = (variants::inputs(), variants::values(script));
        let mut dice = Dice(20_261_127);
        let (mut made, mut joints, mut troubles) = (0, 0, Vec::new());
        while made < VARIANTS {
            let point = dice.point(&values);
            let Some(parameters) = script.declared.choose(None, &point).value else { continue };
            let Some(model) = build(library, script, &parameters, &inputs).value else { continue };
            made += 1;
            let (alike, own) = compared(&model);
            joints += alike;
            troubles.extend(own.into_iter().map(|own| format!("{}: {own}", variants::words(&point))));
        }
        assert!(joints > VARIANTS * 10, "only {joints} joints of {family} are laid out like their images");
        troubles
    });
    let troubles = troubles.expect("a thread with a deep stack");
    assert!(
        troubles.is_empty(),
        "{} joints of {family} differ, such as\n{}",
        troubles.len(),
        troubles[..troubles.len().min(6)].join("\n")
    );
}

#[test]
fn porch_swings_are_laid_out_alike_to_either_side() {
    laid_alike("porch_swing");
}

#[test]
fn garden_benches_are_laid_out_alike_to_either_side() {
    laid_alike("garden_bench");
}

#[test]
fn adirondack_chairs_are_laid_out_alike_to_either_side() {
    laid_alike("adirondack_chair");
}

/// A bench of those values, and its parts whose names begin so.
fn bench(workshop: &Workshop, settings: &[(&str, &str)]) -> Arc<Model> {
    let settings: Vec<(String, String)> =
        settings.iter().map(|(name, value)| (name.to_string(), value.to_string())).collect();
    workshop.make(&settings).value.expect("it is built").model
}

fn named(model: &Model, word: &str) -> Vec<usize> {
    model.parts.iter().filter(|part| part.name.starts_with(word)).map(|part| part.id.0).collect()
}

fn benches(each: impl FnOnce(&Workshop) + Send) {
    slatwork::with_stack(|| {
        let opened = Workshop::open(&Memory::default(), &Request::new("garden_bench"));
        each(&opened.value.expect("a built-in family"));
    })
    .expect("a deep stack");
}

/// The stiles of a bench with a lengthwise back stand alike on both sides, but for the one beside a bearer in the middle, however
/// close its bearers stand.
#[test]
fn stiles_stand_alike_on_both_sides() {
    benches(|workshop| {
        let mut alone = 0;
        for width in [34, 38, 42, 46, 50, 54, 58] {
            for frame in ["2x4", "45x95"] {
                let width = format!("{width}in");
                let settings =
                    [("width", &*width), ("frame", frame), ("back", "lengthwise slats"), ("arms", "none")];
                let model = bench(workshop, &settings);
                let middle = Middle::of(&model);
                let (stiles, bearers) = (named(&model, "back stile"), named(&model, "middle bearer"));
                let twinless = stiles.iter().filter(|stile| middle.twin(&model, **stile).is_none()).count();
                assert!(twinless <= bearers.len() % 2, "{width} {frame}: {twinless} of {}", stiles.len());
                alone += twinless;
            }
        }
        assert!(alone > 0, "some have a bearer in the middle");
    });
}

/// The frames between the ends of a wide bench stand alike on both sides: legs outward of the bearers, the one in the middle of
/// three alone to one side.
#[test]
fn middle_frames_stand_alike_on_both_sides() {
    benches(|workshop| {
        for (width, frames) in [("56in", 1), ("70in", 2), ("84in", 3)] {
            for legs in ["splayed", "straight"] {
                let model = bench(workshop, &[("width", width), ("legs", legs)]);
                let middle = Middle::of(&model);
                for word in ["middle front leg", "middle rear leg", "standing bearer"] {
                    let parts = named(&model, word);
                    assert_eq!(parts.len(), frames, "{width} {legs}: {word}");
                    let twinless = parts.iter().filter(|part| middle.twin(&model, **part).is_none());
                    let expected = if word == "standing bearer" { 0..=1 } else { frames % 2..=frames % 2 };
                    assert!(expected.contains(&twinless.count()), "{width} {legs}: {word}");
                }
            }
        }
    });
}
