//! What is drilled, cut to marks and driven in a step, and with which tools.

use super::StepFastener;
use super::events::{Does, Move};
use super::reach::With;
use super::steps::{Drafter, unique};
use super::words::{listed, names, to_where, unique_words};
use crate::steps::opening;
use crate::words::{bit_text, counted};
use slatwork_base::{Length, sentence};
use slatwork_catalog::FastenerKind;
use slatwork_model::joints::{Bore, Drive, Fastening, HeadSeat};
use slatwork_model::{FeatureKind, Joint, Part, When};

/// Notches whose walls lean less than this from square are cut without a bevel gauge, degrees: half of what it is set to.
const SQUARE_WALL: f64 = 0.25;

impl Drafter<'_> {
    /// What the parts of a step are marked, cut and bored with.
    pub(super) fn cutting_tools(&self, moves: &[&Move]) -> Vec<String> {
        let mut tools: Vec<String> = Vec::new();
        for own in moves {
            let parts = || own.parts.iter().map(|part| &self.model.parts[*part]);
            let notches = || parts().flat_map(notch_tools).map(String::from);
            match own.does {
                Does::Held => {
                    tools.push(String::from("pencil"));
                    tools.extend(notches().filter(|tool| tool == GAUGE));
                }
                Does::TakenAway => {
                    tools.extend(notches().filter(|tool| tool != GAUGE));
                    tools.extend(parts().filter_map(trimming_tool).map(String::from));
                }
                Does::ComesIn if !own.marked.is_empty() => tools.extend(notches()),
                Does::Laid | Does::ComesIn => {}
            }
        }
        unique_words(tools)
    }

    fn bit(&self, diameter: Length) -> String {
        format!("{} bit", bit_text(diameter, self.reading.tape))
    }

    fn fastenings(&self, joints: &[usize]) -> impl Iterator<Item = &Fastening> {
        joints.iter().flat_map(|joint| &self.model.joints[*joint].fastenings)
    }

    fn drill_words(&self, what: &str, diameter: Length) -> String {
        let for_it = if what.contains(" for ") { "" } else { "for " };
        format!("{} {for_it}{}", bit_text(diameter, self.reading.tape), self.reading.purpose_text(what))
    }

    /// Holes that are marked from another board's before the two stay together: nobody could mark or bore them afterwards.
    pub(super) fn transferring(&self, joints: &[usize]) -> Vec<String> {
        let mut told: Vec<Transfer> = Vec::new();
        for one in self.fastenings(joints) {
            for bore in &one.bores {
                let When::MarkedFrom { parts } = &bore.when else { continue };
                let dowelled = one.drive == Drive::Hand;
                let at = told.iter().position(|own| own.dowelled == dowelled).unwrap_or(told.len());
                if at == told.len() {
                    told.push(Transfer { dowelled, ..Transfer::default() });
                }
                let guides = parts.iter().filter_map(|name| self.model.part_named(name));
                told[at].guides.extend(guides.map(|part| part.id.0));
                told[at].targets.push(bore.part.0);
                told[at].drills.push(self.drill_words(&bore.what, widest(bore)));
            }
        }
        let set = self.extras(joints, is_set_before);
        let set = (!set.is_empty()).then(|| format!("Set {} in their holes.", listed(&set)));
        told.into_iter().map(|own| self.transfer_words(own)).chain(set).collect()
    }

    fn transfer_words(&self, own: Transfer) -> String {
        let [guides, targets] = [&own.guides, &own.targets].map(unique);
        let it = if guides.len() == 1 { "it" } else { "them" };
        let [guides, targets] = [guides, targets].map(|parts| names(self.model, &parts));
        let drills = listed(&unique_words(own.drills));
        let marks = if own.dowelled {
            format!("Put dowel centres into the holes of {guides} and press {it} to {targets} in place")
        } else {
            format!("Hold {guides} in place and mark {targets} through the holes")
        };
        format!("{marks}; take {it} away again and bore {targets} at the marks: {drills}.")
    }

    /// What is drilled in a step; holes of the hole list that are bored at the bench are there already.
    pub(super) fn drilling(&self, joints: &[usize], fasteners: &[StepFastener]) -> Option<String> {
        let bores = || self.fastenings(joints).flat_map(|one| &one.bores);
        let marked: Vec<(&str, Length)> = bores()
            .filter(|bore| matches!(bore.when, When::MarkedFrom { .. }))
            .map(|bore| (bore.what.as_str(), widest(bore)))
            .collect();
        let all = fasteners.iter().flat_map(|own| &own.drills);
        let here = all.filter(|(what, diameter)| !marked.contains(&(what.as_str(), *diameter)));
        let drills = unique_words(here.map(|(what, diameter)| self.drill_words(what, *diameter)).collect());
        let guided = bores().any(|bore| matches!(bore.when, When::Through { .. }));
        let is_bored = bores().any(|bore| !is_drilled_here(bore));
        let together = match (guided, is_bored) {
            (false, _) => "",
            (true, true) => " through the holes that are bored already, both parts held together",
            (true, false) => ", the far part through the near one while both are held together",
        };
        (!drills.is_empty()).then(|| format!("Drill {}{together}.", listed(&drills)))
    }

    /// "Drive 4 wood screws #10, 3 1/2" long."
    pub(super) fn driving(&self, own: &StepFastener, joints: &[usize]) -> String {
        let words = self.fastener_words(own);
        match (own.drive, own.takes_nut) {
            (Drive::Driver | Drive::Hammer | Drive::Mallet, _) => format!("Drive {words}."),
            (Drive::Wrench, true) => {
                let bolted = joints.iter().copied().filter(|joint| self.has_bolts_of(*joint, own));
                let with = self.extras(&bolted.collect::<Vec<_>>(), goes_on_a_bolt);
                match (with.is_empty(), own.count) {
                    (false, _) => format!("Put in {words}, with {}, and tighten them.", listed(&with)),
                    (true, 1) => format!("Put in {words}, and tighten its nut."),
                    (true, _) => format!("Put in {words}, and tighten their nuts."),
                }
            }
            (Drive::Wrench, false) => format!("Turn in {words}."),
            (Drive::Hand, _) => format!("Push in {words}."),
        }
    }

    /// "Glue 2 dowels 1/2 in, 2" long into `rail`, to half the length."
    pub(super) fn dowelling(&self, own: &StepFastener, joints: &[usize]) -> String {
        let joints = joints.iter().map(|joint| &self.model.joints[*joint]);
        let dowelled = joints.filter(|joint| joint.fastenings.iter().any(|one| one.item == own.item));
        let into = unique(&dowelled.map(|joint| joint.parts[0].0).collect::<Vec<_>>());
        format!("Glue {} into {}, to half the length.", self.fastener_words(own), names(self.model, &into))
    }

    /// "2 carriage bolts 3/8 in, 4" long".
    pub(super) fn fastener_words(&self, own: &StepFastener) -> String {
        let words = self.catalogue.counted_words(&own.item, own.count);
        format!("{words}, {} long", self.reading.text(own.length))
    }

    /// Whether the bolts of a joint are all of one kind, and that one: its washers and nuts go with them.
    fn has_bolts_of(&self, joint: usize, own: &StepFastener) -> bool {
        self.bolts(joint).is_some_and(|(item, length)| (item, length) == (own.item.as_str(), own.length))
    }

    /// What the bolts of a joint are; nothing where it has none, or several kinds.
    fn bolts(&self, joint: usize) -> Option<(&str, Length)> {
        let all = self.model.joints[joint].fastenings.iter();
        let mut bolts = all.filter(|one| one.takes_nut()).map(|one| (one.item.as_str(), one.length));
        let first = bolts.next()?;
        bolts.all(|other| other == first).then_some(first)
    }

    /// Plugs, and what washers and nuts were not told with their bolts.
    pub(super) fn beside(&self, joints: &[usize]) -> Option<String> {
        let (told, others): (Vec<usize>, Vec<usize>) =
            joints.iter().copied().partition(|joint| self.bolts(*joint).is_some());
        let mut words = self.extras(&told, |kind| !is_set_before(kind) && !goes_on_a_bolt(kind));
        words.extend(self.extras(&others, |kind| !is_set_before(kind)));
        let plugged = self
            .fastenings(joints)
            .any(|one| matches!(one.seat, HeadSeat::Counterbored { plugged: true, .. }));
        let plug =
            if plugged { " Glue the plugs in with the grain of the face, and pare them flush." } else { "" };
        (!words.is_empty()).then(|| format!("With them {}.{plug}", listed(&words)))
    }

    /// What goes with the fasteners of joints, of the kinds that are meant, each with its count.
    fn extras(&self, joints: &[usize], is_meant: impl Fn(Option<FastenerKind>) -> bool) -> Vec<String> {
        let mut told: Vec<(&str, usize)> = Vec::new();
        for extra in joints.iter().flat_map(|joint| &self.model.joints[*joint].extras) {
            let kind = self.catalogue.find_fastener_by_id(&extra.item).map(|fastener| fastener.kind);
            if !is_meant(kind) {
                continue;
            }
            match told.iter_mut().find(|(own, _)| *own == extra.item) {
                Some((_, count)) => *count += extra.count,
                None => told.push((&extra.item, extra.count)),
            }
        }
        told.into_iter().map(|(item, count)| self.catalogue.counted_words(item, count)).collect()
    }

    /// Heads that are sunk and not plugged: that they stay so, and where they look.
    pub(super) fn open_heads(&self, joints: &[usize]) -> Option<String> {
        let open = self
            .fastenings(joints)
            .filter(|one| matches!(one.seat, HeadSeat::Counterbored { plugged: false, .. }));
        let looks = unique_words(open.map(|one| to_where(-one.direction)).collect());
        (!looks.is_empty()).then(|| format!("The sunk heads are left open; they look {}.", listed(&looks)))
    }

    /// What the driver needs beyond the usual.
    pub(super) fn odd_ways(&self, driven: &[(usize, usize, usize)]) -> Vec<String> {
        let way = |&(joint, fastening, way): &(usize, usize, usize)| &self.ways[joint][fastening][way];
        let angled = driven.iter().filter(|own| way(own).with == With::AngleDriver).count();
        let turned = driven.iter().filter(|own| way(own).turned).count();
        let mut text = Vec::new();
        if angled > 0 {
            let want = if angled == 1 { "wants" } else { "want" };
            text.push(format!("{angled} of them {want} the right-angle attachment."));
        }
        if turned > 0 {
            let go = if turned == 1 { "goes" } else { "go" };
            text.push(format!("{} {go} in from the far side, for want of room.", counted(turned, "bolt")));
        }
        text
    }

    /// Why some boards of a kind take fewer fasteners than the others: they are narrow.
    pub(super) fn fewer(&self, joints: &[usize]) -> Vec<String> {
        let all = || joints.iter().map(|joint| &self.model.joints[*joint]);
        let count = |joint: &Joint| joint.fastenings.len();
        let first = |joint: &Joint| self.model.part(joint.parts[0]);
        // Boards of one kind over bearers of one kind.
        let crossing = |own: &Joint| own.parts.iter().map(|part| self.kinds[part.0]).collect::<Vec<_>>();
        let usual = |one: &Joint| {
            let alike = all().filter(|own| own.kind == one.kind && crossing(own) == crossing(one));
            alike.max_by_key(|own| (count(own), first(own).width))
        };
        let mut told: Vec<((usize, usize), Vec<usize>)> = Vec::new();
        for joint in all().filter(|joint| count(joint) > 0) {
            let Some(other) = usual(joint) else { continue };
            if count(joint) == count(other) || first(joint).width >= first(other).width {
                continue;
            }
            let (counts, part) = ((count(joint), count(other)), joint.parts[0].0);
            match told.iter_mut().find(|(own, _)| *own == counts) {
                Some((_, parts)) => parts.extend((!parts.contains(&part)).then_some(part)),
                None => told.push((counts, vec![part])),
            }
        }
        let words = |((few, many), parts): &((usize, usize), Vec<usize>)| {
            let names = sentence(&names(self.model, parts));
            let verb = if parts.len() == 1 { "is narrow and takes" } else { "are narrow and take" };
            format!("{names} {verb} {few} at each crossing, where the others take {many}.")
        };
        told.iter().map(words).collect()
    }

    /// The fasteners of joints, of a kind and length together.
    pub(super) fn fasteners(&self, joints: &[usize]) -> Vec<StepFastener> {
        let mut list: Vec<StepFastener> = Vec::new();
        for one in self.fastenings(joints) {
            let same = |own: &StepFastener| own.item == one.item && own.length == one.length;
            let at = list.iter().position(same).unwrap_or(list.len());
            if at == list.len() {
                list.push(self.step_fastener(one));
            }
            let line = &mut list[at];
            line.count += 1;
            for bore in one.bores.iter().filter(|bore| is_drilled_here(bore)) {
                let drill = (bore.what.clone(), widest(bore));
                line.drills.extend((!line.drills.contains(&drill)).then_some(drill));
            }
        }
        list
    }

    fn step_fastener(&self, one: &Fastening) -> StepFastener {
        StepFastener {
            item: one.item.clone(),
            name: self.catalogue.item_words(&one.item),
            length: one.length,
            drive: one.drive,
            takes_nut: one.takes_nut(),
            count: 0,
            drills: Vec::new(),
        }
    }

    /// What the fasteners of a step are driven with, and the bits for their holes.
    pub(super) fn tools(&self, driven: &[(usize, usize, usize)], fasteners: &[StepFastener]) -> Vec<String> {
        let mut tools: Vec<With> =
            driven.iter().map(|&(joint, fastening, way)| self.ways[joint][fastening][way].with).collect();
        tools.sort_unstable();
        tools.dedup();
        let bits = fasteners.iter().flat_map(|own| &own.drills).map(|(_, diameter)| self.bit(*diameter));
        unique_words(tools.into_iter().map(|tool| tool.words().to_string()).chain(bits).collect())
    }
}

/// Holes of some boards that are marked from those of others.
#[derive(Default)]
struct Transfer {
    /// With dowel centres, else through holes.
    dowelled: bool,
    guides: Vec<usize>,
    targets: Vec<usize>,
    drills: Vec<String>,
}

/// Whether it is set in its hole before the boards meet: what a bolt is turned into.
fn is_set_before(kind: Option<FastenerKind>) -> bool {
    matches!(kind, Some(FastenerKind::ThreadedInsert | FastenerKind::BarrelNut))
}

fn goes_on_a_bolt(kind: Option<FastenerKind>) -> bool {
    matches!(
        kind,
        Some(
            FastenerKind::HexNut
                | FastenerKind::Washer
                | FastenerKind::WideWasher
                | FastenerKind::FenderWasher
        )
    )
}

/// Diameter of a bore where it ends.
fn widest(bore: &Bore) -> Length {
    Length::mm(2.0 * bore.hole.steps.last().map_or(0.0, |step| step.radius))
}

/// Whether a hole is drilled when its joint is made, not at the bench before.
fn is_drilled_here(bore: &Bore) -> bool {
    bore.when != When::AtBench
}

/// What a part's notches are cut with that are marked in its place: sawn where they go through, chopped where they do not.
fn notch_tools(part: &Part) -> Vec<&'static str> {
    let mut tools = Vec::new();
    for feature in &part.features {
        let (FeatureKind::Notch { regions, wall, .. }, When::MarkedFrom { .. }) =
            (&feature.kind, &feature.when)
        else {
            continue;
        };
        tools.extend((wall.as_deg().abs() > SQUARE_WALL).then_some(GAUGE));
        tools.extend(opening(part, regions).side.is_none().then_some("jigsaw"));
        tools.push("chisel");
    }
    tools
}

/// What a fitted part is trimmed with.
fn trimming_tool(part: &Part) -> Option<&'static str> {
    part.fit.as_ref().map(|fit| if fit.is_across() { "hand plane" } else { "crosscut saw" })
}

const GAUGE: &str = "bevel gauge";
