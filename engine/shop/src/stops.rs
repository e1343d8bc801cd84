//! What can be cut at one setting: equal lengths at one stop, equal widths at one fence, equal angles at one scale.

use crate::holes::box_size;
use crate::purchase::{Purchase, Source};
use crate::steps::for_all;
use crate::words::{BoardSide, counted, part_names, part_words};
use slatwork_base::{Angle, Length, Tape};
use slatwork_model::{Blank, BoardEnd, FeatureKind, Hand, Model, Part, PartSet, SetId, Setting};
use slatwork_solid::HalfSpace;

/// Angles closer than this are one setting: a fair saw's scale is read to a tenth of a degree at best, with a protractor.
const SAME_SETTING: f64 = 0.1;

/// What is cut at a setting.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StopItem {
    /// The set.
    pub set: SetId,
    /// Its mark.
    pub mark: String,
    /// Its parts, as the script names them; for a strip of a glued blank, the strip's name.
    pub name: String,
    /// Stock section; at the rip fence the section of the boards that are ripped.
    pub section: String,
    /// How many pieces; at the rip fence of all that the boards are for.
    pub count: usize,
    /// The exact measure.
    pub exact: Length,
    /// For mirrored pairs: "cut 2 left, 2 right (flip)".
    pub pair: Option<String>,
    /// What the layout of the boards adds: into how many strips they are ripped; that a part is nested, or not cut from its own
    /// section.
    pub boards: Option<String>,
}

impl StopItem {
    /// All that is to be noted.
    pub fn note(&self) -> Option<String> {
        let notes: Vec<&str> = [&self.pair, &self.boards].into_iter().flatten().map(String::as_str).collect();
        (!notes.is_empty()).then(|| notes.join("; "))
    }
}

/// A stop, or a fence, at one place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stop {
    /// Where it is set, as the tape reads.
    pub mark: Length,
    /// Shortest exact measure of what is cut there.
    pub least: Length,
    /// Longest exact measure of what is cut there.
    pub most: Length,
    /// What is cut there.
    pub items: Vec<StopItem>,
}

/// All stops at one setting of mitre scale and blade.
#[derive(Clone, Debug, PartialEq)]
pub struct CrosscutSetting {
    /// Mitre from square, without its sign: a board turned over or end for end takes the other sign.
    pub mitre: Angle,
    /// Tilt from square, without its sign.
    pub bevel: Angle,
    /// Stops, the longest first. Measured from long point to long point.
    pub stops: Vec<Stop>,
}

/// Ends cut at one setting, no stop used.
#[derive(Clone, Debug, PartialEq)]
pub struct FirstEnds {
    /// Which end.
    pub side: BoardSide,
    /// Mitre from square, without its sign.
    pub mitre: Angle,
    /// Tilt from square, without its sign.
    pub bevel: Angle,
    /// Set, mark, name and count.
    pub items: Vec<StopItem>,
}

/// Edges bevelled at one tilt of the blade.
#[derive(Clone, Debug, PartialEq)]
pub struct BevelSetting {
    /// Tilt from square, without its sign.
    pub bevel: Angle,
    /// What is cut at it, with the edge.
    pub items: Vec<(StopItem, BoardSide)>,
}

/// All settings of the shop, gathered over the sets.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct StopPlan {
    /// Rip fence, the widest first: strips and boards narrower than their section.
    pub fences: Vec<Stop>,
    /// Bevel rips, the flattest first.
    pub bevels: Vec<BevelSetting>,
    /// Datum ends that are not square, cut first; far ends too, of boards that are cut long.
    pub first_ends: Vec<FirstEnds>,
    /// Crosscuts to a stop, square ones first, then by angle.
    pub crosscuts: Vec<CrosscutSetting>,
}

/// Gathers the settings. What is ripped, and from what, is seen from the boards.
pub(crate) fn stop_plan(
    model: &Model,
    purchase: &Purchase,
    pairs: &[Option<String>],
    tape: Tape,
) -> StopPlan {
    let mut plan = StopPlan::default();
    for (set, pair) in model.sets.iter().zip(pairs) {
        let Some(&first) = set.parts.first() else { continue };
        let item = Gathering { model, set, part: model.part(first), pair, purchase };
        gather_rips(&mut plan, &item, tape);
        gather_bevels(&mut plan, &item);
        gather_crosscuts(&mut plan, &item, tape);
    }
    sort(&mut plan);
    plan
}

struct Gathering<'a> {
    model: &'a Model,
    set: &'a PartSet,
    part: &'a Part,
    pair: &'a Option<String>,
    purchase: &'a Purchase,
}

impl Gathering<'_> {
    fn item(&self, exact: Length) -> StopItem {
        let paired = matches!(self.set.hand, Hand::PairWith(_));
        StopItem {
            set: self.set.id,
            mark: self.set.mark.clone(),
            name: part_words(&part_names(self.set.parts.iter().map(|id| self.model.part(*id)))),
            section: self.part.section.clone(),
            count: self.set.parts.len(),
            exact,
            pair: if paired { self.pair.clone() } else { None },
            boards: self.other_boards(),
        }
    }

    /// `12 from 1x8`, `from nests on 2x6`; what is cut from boards of its own section to a rectangle is not named.
    fn other_boards(&self) -> Option<String> {
        let sources = self.purchase.sources(&self.set.mark, None);
        let is_other = |source: &&Source| source.is_nested || source.section != self.part.section;
        let told = |source: &Source| match sources.len() {
            1 => format!("from {}", source.words()),
            _ => format!("{} from {}", source.pieces, source.words()),
        };
        let other: Vec<String> = sources.iter().filter(is_other).map(told).collect();
        let is_told = self.part.blank == Blank::Solid && !other.is_empty();
        is_told.then(|| other.join(", ") + &for_all(if sources.len() > 1 { self.purchase.pieces } else { 1 }))
    }

    /// What the boards that a set is ripped from ask of the fence; of glued blanks, the boards of the strips of these names.
    fn put_fences(&self, plan: &mut StopPlan, strips: Option<&[&str]>, width: Length, tape: Tape) {
        let own = self.item(width);
        let name = strips.and_then(<[&str]>::first).map_or(own.name.clone(), |name| (*name).to_string());
        for source in self.purchase.sources(&self.set.mark, strips).into_iter().filter(|own| own.is_ripped) {
            let strips = counted(source.strips, "strip") + &for_all(self.purchase.pieces);
            let item = StopItem {
                name: name.clone(),
                section: source.section,
                count: source.pieces,
                boards: Some(format!("in {strips}")),
                ..own.clone()
            };
            put(&mut plan.fences, item, tape);
        }
    }

    fn end_setting(&self, end: BoardEnd) -> Setting {
        let cut = self.part.features.iter().find_map(|feature| match feature.kind {
            FeatureKind::EndCut { end: own, setting, .. } if own == end => Some(setting),
            _ => None,
        });
        cut.unwrap_or_default()
    }
}

fn gather_rips(plan: &mut StopPlan, gathering: &Gathering, tape: Tape) {
    match &gathering.part.blank {
        Blank::Solid => gathering.put_fences(plan, None, gathering.part.rough_width, tape),
        Blank::GluedUp { strips, .. } => {
            for (place, strip) in strips.iter().enumerate() {
                let blanks = gathering.set.parts.iter().map(|id| &gathering.model.part(*id).blank);
                let alike = blanks.filter_map(|blank| match blank {
                    Blank::GluedUp { strips, .. } => strips.get(place),
                    Blank::Solid => None,
                });
                let names: Vec<&str> = alike.map(|strip| strip.name.as_str()).collect();
                gathering.put_fences(plan, Some(&names), strip.width, tape);
            }
        }
    }
}

fn gather_bevels(plan: &mut StopPlan, gathering: &Gathering) {
    for feature in &gathering.part.features {
        let FeatureKind::BevelRip { edge, angle, .. } = feature.kind else { continue };
        let entry = (gathering.item(gathering.part.width), BoardSide::edge(edge));
        match plan.bevels.iter_mut().find(|setting| same(setting.bevel, angle)) {
            Some(setting) => setting.items.push(entry),
            None => plan.bevels.push(BevelSetting { bevel: angle.abs(), items: vec![entry] }),
        }
    }
}

/// Boards cut long for a curved or fitted end are cut square to their rough length, and their other ends at their settings with no
/// stop; the far ends of all others to a stop.
fn gather_crosscuts(plan: &mut StopPlan, gathering: &Gathering, tape: Tape) {
    let part = gathering.part;
    put_end(plan, gathering, BoardEnd::Low);
    if part.rough_length > part.length {
        put_end(plan, gathering, BoardEnd::High);
        put_crosscut(plan, Setting::default(), gathering.item(part.rough_length), tape);
    } else {
        let setting = gathering.end_setting(BoardEnd::High);
        put_crosscut(plan, setting, gathering.item(long_length(part)), tape);
    }
}

/// An end that is not square.
fn put_end(plan: &mut StopPlan, gathering: &Gathering, end: BoardEnd) {
    let Setting { mitre, bevel } = gathering.end_setting(end);
    if same(mitre, Angle::ZERO) && same(bevel, Angle::ZERO) {
        return;
    }
    let (side, item) = (BoardSide::end(end), gathering.item(gathering.part.length));
    let is_set =
        |ends: &&mut FirstEnds| ends.side == side && same(ends.mitre, mitre) && same(ends.bevel, bevel);
    match plan.first_ends.iter_mut().find(is_set) {
        Some(ends) => ends.items.push(item),
        None => {
            let (mitre, bevel) = (mitre.abs(), bevel.abs());
            plan.first_ends.push(FirstEnds { side, mitre, bevel, items: vec![item] });
        }
    }
}

fn put_crosscut(plan: &mut StopPlan, setting: Setting, item: StopItem, tape: Tape) {
    let (mitre, bevel) = (setting.mitre, setting.bevel);
    let place = plan.crosscuts.iter().position(|own| same(own.mitre, mitre) && same(own.bevel, bevel));
    let place = place.unwrap_or_else(|| {
        plan.crosscuts.push(CrosscutSetting { mitre: mitre.abs(), bevel: bevel.abs(), stops: Vec::new() });
        plan.crosscuts.len() - 1
    });
    put(&mut plan.crosscuts[place].stops, item, tape);
}

/// Length over the long points: the longest of the four corner lines between the ends. The same whichever way the board
/// lies, and for both of a mirrored pair; that is where the stop stands.
fn long_length(part: &Part) -> Length {
    let cut_at = |end: BoardEnd| {
        part.features.iter().find_map(|feature| match &feature.kind {
            FeatureKind::EndCut { end: own, plane, .. } if *own == end => Some(*plane),
            _ => None,
        })
    };
    let (low, high) = (cut_at(BoardEnd::Low), cut_at(BoardEnd::High));
    let at = |plane: Option<HalfSpace>, square: f64, y: f64, z: f64| {
        plane
            .map_or(square, |plane| (plane.offset - plane.normal.y * y - plane.normal.z * z) / plane.normal.x)
    };
    let size = box_size(part);
    let lines = [(0.0, 0.0), (size.y, 0.0), (0.0, size.z), (size.y, size.z)];
    let longest = lines.map(|(y, z)| at(high, size.x, y, z).min(size.x) - at(low, 0.0, y, z).max(0.0));
    let longest = longest.into_iter().fold(0.0, f64::max);
    if longest > 0.0 { Length::mm(longest) } else { part.length }
}

/// Same setting whatever the sign: the board is turned over for the other.
fn same(a: Angle, b: Angle) -> bool {
    (a.abs() - b.abs()).abs().as_deg() <= SAME_SETTING
}

/// Puts an item to the stop at its mark on the tape.
fn put(stops: &mut Vec<Stop>, item: StopItem, tape: Tape) {
    let (mark, exact) = (tape.read(item.exact).mark, item.exact);
    match stops.iter_mut().find(|stop| stop.mark == mark) {
        Some(stop) => {
            stop.least = stop.least.min(exact);
            stop.most = stop.most.max(exact);
            match stop.items.iter_mut().find(|own| is_same(own, &item)) {
                Some(own) => own.count += item.count,
                None => stop.items.push(item),
            }
        }
        None => stops.push(Stop { mark, least: exact, most: exact, items: vec![item] }),
    }
}

fn is_same(a: &StopItem, b: &StopItem) -> bool {
    (a.set, &a.name, &a.section) == (b.set, &b.name, &b.section)
}

fn sort(plan: &mut StopPlan) {
    let longest_first = |stops: &mut Vec<Stop>| stops.sort_by_key(|stop| std::cmp::Reverse(stop.mark));
    longest_first(&mut plan.fences);
    plan.crosscuts.iter_mut().for_each(|setting| longest_first(&mut setting.stops));
    let by_angle = |a: (Angle, Angle), b: (Angle, Angle)| {
        let first = a.0.as_deg().total_cmp(&b.0.as_deg());
        first.then(a.1.as_deg().total_cmp(&b.1.as_deg()))
    };
    plan.crosscuts.sort_by(|a, b| by_angle((a.mitre, a.bevel), (b.mitre, b.bevel)));
    plan.first_ends
        .sort_by(|a, b| a.side.cmp(&b.side).then(by_angle((a.mitre, a.bevel), (b.mitre, b.bevel))));
    plan.bevels.sort_by(|a, b| a.bevel.as_deg().total_cmp(&b.bevel.as_deg()));
}
