//! The work in hand: boards and groups laid on the bench, placed by how they meet, cut to each other.
//!
//! Every relation is computed at once, in the order the script says it; there is no solver. Frames: a board is placed
//! in its group's frame, a group in its parent's; [`WHOLE`] is the piece itself, whose frame is the world.
//!
//! | file | what |
//! |---|---|
//! | `direction.rs` | the six direction words |
//! | `draft.rs` | a board in the making |
//! | `fixing.rs` | where a board or group is fixed |
//! | `side.rs` | sides, ends, edges and curves asked for by where they look |
//! | `place.rs` | the relations: lie, lean, against, flush, centre, between, at |
//! | `sizes.rs` | length, rip, plane, match width, carry on |
//! | `bevel.rs` | edges bevelled against a part that leans |
//! | `diagonal.rs` | braces set out where a builder marks them |
//! | `many.rs` | copy, mirror, space |
//! | `run.rs` | slats over bearers; `layout.rs` its arithmetic |
//! | `fan.rs` | slats spread like a hand |
//! | `cope.rs` | fit round, let in, plain notches |
//! | `lap.rs` | half laps, mortises and tenons |
//! | `saw.rs` | outlines, and sets of parts cut in place by a line |
//! | `bore.rs` | holes, eyes, bolts, chains, and holes in line with them |
//! | `fasten.rs` | joints worked out |
//! | `finish.rs` | validation, and the finished model |

mod bevel;
mod bore;
mod cope;
mod diagonal;
mod direction;
mod draft;
mod fan;
mod fasten;
mod finish;
mod fixing;
mod lap;
mod layout;
mod many;
mod place;
mod run;
mod saw;
mod side;
mod sizes;

pub(crate) use finish::{SEATED, SEATED_NOISE, TOUCHING};

pub use bore::{AxisId, ChainOrder, EyeOrder, HoleOrder, Spot};
pub use cope::NotchOrder;
pub use direction::Direction;
pub use fan::FanOrder;
pub use layout::{LEAST_RIP, MOST_SLATS, ODDS, Odd, STARTS, Start, StraightLayout, StraightRun};
pub use place::setting as saw_setting;
pub use run::{BREAKING_BEND, Gap, RunOrder, Spring, TIGHTEST_BEND, sprung_line};
pub use saw::{TrimLine, TrimOrder};
pub use side::{Among, CurveRef, Side};

use crate::joints::{self, JointOrder};
use crate::{ContactKind, Defects, Hanging, HardwareUse, People, Site, Step};
use draft::Draft;
use fixing::Fixing;
use slatwork_base::{Diagnostic, Length, Origin};
use slatwork_catalog::Catalogue;
use slatwork_solid::{DAffine3, DMat3, DVec3};
use std::cell::OnceCell;
use std::sync::Arc;

/// A board on the bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BoardId(pub(crate) usize);

/// A group on the bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct GroupHandle(pub(crate) usize);

/// The whole piece.
pub const WHOLE: GroupHandle = GroupHandle(0);

/// A board or a group: whatever a relation places.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Item {
    /// A board.
    Board(BoardId),
    /// A group.
    Group(GroupHandle),
}

/// What a board is made of, as a script asks for it.
#[derive(Clone, Debug, Default)]
pub struct BoardOrder {
    /// Catalogue name of the section.
    pub stock: String,
    /// Species, if not the piece's own.
    pub wood: Option<String>,
    /// Finished length, if known.
    pub length: Option<Length>,
    /// Ripped width, if not the section's.
    pub width: Option<Length>,
    /// Planed thickness, if not the section's.
    pub thickness: Option<Length>,
    /// Whether it may be ripped from a wider section of the same thickness, where that is cheaper.
    pub from_wider: bool,
    /// Whether it is cut from a rectangle of its own, and never traced in a nest with others.
    pub alone: bool,
    /// Which defects of a board in hand it may have.
    pub defects: Defects,
    /// Strips glued edge to edge for a board wider than its section.
    pub glue_up: Option<usize>,
    /// Layers glued face to face for a board thicker than its section.
    pub laminate: Option<usize>,
}

/// A group in the making.
struct GroupDraft {
    name: String,
    parent: Option<usize>,
    rotation: DMat3,
    fixing: Fixing,
    /// A part outside was placed by one inside, or the other way round: the group may no longer move.
    tied: Option<Origin>,
}

/// Two items that are said to touch.
struct Claim {
    a: Item,
    b: Item,
    kind: ContactKind,
    origin: Origin,
}

/// A joint said.
struct JointDraft {
    order: JointOrder,
    first: BoardId,
    second: BoardId,
    origin: Origin,
}

/// What is sat on, as boards.
#[derive(Clone, Debug, Default)]
pub struct SeatOrder {
    /// Slats that carry people.
    pub on: Vec<BoardId>,
    /// Slats they lean on.
    pub back: Vec<BoardId>,
    /// Arm tops.
    pub arms: Vec<BoardId>,
    /// How many sit.
    pub places: usize,
}

/// How many parts a piece may have; far above any seat, and a fence against runaway scripts.
pub const MOST_PARTS: usize = 5_000;

/// Most boards glued into one blank (project choice; more is a panel, not a seat's part).
const MOST_STRIPS: usize = 12;

/// The work in hand.
pub struct Bench {
    catalogue: Arc<Catalogue>,
    title: String,
    wood: String,
    /// Whether boards may be traced in nests.
    nest: bool,
    boards: Vec<Draft>,
    groups: Vec<GroupDraft>,
    claims: Vec<Claim>,
    joints: Vec<JointDraft>,
    housings: Vec<cope::Housing>,
    axes: Vec<bore::Axis>,
    hardware: Vec<HardwareUse>,
    hanging: Hanging,
    seat: Option<SeatOrder>,
    steps: Vec<Step>,
    order: Vec<crate::OrderRule>,
    site: Site,
    people: People,
    findings: Vec<Diagnostic>,
}

impl Bench {
    /// An empty bench. `wood` is the species of boards that name none.
    pub fn new(catalogue: Arc<Catalogue>, title: &str, wood: &str, site: Site, people: People) -> Self {
        let whole = GroupDraft {
            name: String::from("piece"),
            parent: None,
            rotation: DMat3::IDENTITY,
            fixing: Fixing::default(),
            tied: None,
        };
        Bench {
            catalogue,
            title: title.to_string(),
            wood: wood.to_string(),
            nest: true,
            boards: Vec::new(),
            groups: vec![whole],
            claims: Vec::new(),
            joints: Vec::new(),
            housings: Vec::new(),
            axes: Vec::new(),
            hardware: Vec::new(),
            hanging: Hanging::default(),
            seat: None,
            steps: Vec::new(),
            order: Vec::new(),
            site,
            people,
            findings: Vec::new(),
        }
    }

    /// Species of boards that name none.
    pub fn set_wood(&mut self, wood: &str, origin: Origin) -> Result<(), Diagnostic> {
        self.wood = self.catalogue.species(wood).map_err(|fault| fault.at_origin(origin))?.id.clone();
        Ok(())
    }

    /// Whether boards laid from here on may be traced in nests with others.
    pub fn set_nest(&mut self, allowed: bool) {
        self.nest = allowed;
    }

    /// What the piece must suit.
    pub fn site(&self) -> &Site {
        &self.site
    }

    /// Who uses it.
    pub fn people(&self) -> &People {
        &self.people
    }

    /// The catalogue in force.
    pub fn catalogue(&self) -> &Catalogue {
        &self.catalogue
    }

    /// Adds a group inside `parent`.
    pub fn group(&mut self, parent: GroupHandle, name: &str) -> GroupHandle {
        let name = self.free_name(name, |bench, name| bench.groups.iter().any(|group| group.name == name));
        self.groups.push(GroupDraft {
            name,
            parent: Some(parent.0),
            rotation: DMat3::IDENTITY,
            fixing: Fixing::default(),
            tied: None,
        });
        GroupHandle(self.groups.len() - 1)
    }

    /// Lays a new board in a group. The first board of a group is its datum and lies at the group's origin.
    pub fn board(
        &mut self,
        group: GroupHandle,
        name: &str,
        order: &BoardOrder,
        origin: Origin,
    ) -> Result<BoardId, Diagnostic> {
        let section = self.catalogue.section(&order.stock).map_err(|fault| fault.at_origin(origin))?.clone();
        let wood = order.wood.as_deref().unwrap_or(&self.wood);
        let species = self.catalogue.species(wood).map_err(|fault| fault.at_origin(origin))?.id.clone();
        let (strips, layers) = (order.glue_up.unwrap_or(1).max(1), order.laminate.unwrap_or(1).max(1));
        if strips.max(layers) > MOST_STRIPS || (strips > 1 && layers > 1) {
            return Err(Diagnostic::error(
                "glue-up-out-of-reach",
                format!("`{name}` cannot be glued of {strips} strips and {layers} layers"),
            )
            .at_origin(origin)
            .help(format!("glue edge to edge or face to face, of at most {MOST_STRIPS}")));
        }
        let times = |length: Length, count: usize| {
            i64::try_from(count).ok().and_then(|count| length.checked_times(count)).unwrap_or(length)
        };
        let draft = Draft {
            name: self.free_board_name(name),
            group: group.0,
            species,
            length: None,
            width: times(section.width, strips),
            thickness: times(section.thickness, layers),
            section: Arc::new(section),
            from_wider: order.from_wider,
            alone: order.alone || !self.nest,
            defects: order.defects,
            strips,
            layers,
            rotation: DMat3::IDENTITY,
            fixing: Fixing::default(),
            datum: !self.boards.iter().any(|board| board.group == group.0),
            outline: None,
            across: slatwork_solid::Across::Thickness,
            end_planes: [None, None],
            edge_planes: [None, None],
            notches: Vec::new(),
            holes: Vec::new(),
            features: Vec::new(),
            softened: Vec::new(),
            fit: None,
            rough_length: None,
            rough_width: None,
            tags: 0,
            used: Vec::new(),
            origin,
            solid: OnceCell::new(),
        };
        let board = self.push(draft, origin)?;
        if let Some(length) = order.length {
            self.length(board, length, origin)?;
        }
        if let Some(width) = order.width {
            self.rip(board, width, origin)?;
        }
        if let Some(thickness) = order.thickness {
            self.plane_to(board, thickness, origin)?;
        }
        Ok(board)
    }

    fn push(&mut self, draft: Draft, origin: Origin) -> Result<BoardId, Diagnostic> {
        if self.boards.len() >= MOST_PARTS {
            return Err(Diagnostic::error("too-many-parts", format!("more than {MOST_PARTS} boards"))
                .at_origin(origin)
                .help("look for a loop that does not stop, or make the piece of several"));
        }
        self.boards.push(draft);
        Ok(BoardId(self.boards.len() - 1))
    }

    fn free_board_name(&self, name: &str) -> String {
        self.free_name(name, |bench, name| bench.boards.iter().any(|board| board.name == name))
    }

    /// The name, or with the first free number behind it.
    fn free_name(&self, name: &str, taken: impl Fn(&Bench, &str) -> bool) -> String {
        if !taken(self, name) {
            return name.to_string();
        }
        let mut number = 2usize;
        loop {
            let numbered = format!("{name} {number}");
            if !taken(self, &numbered) {
                return numbered;
            }
            number += 1;
        }
    }

    /// Name of a board or group.
    pub fn name(&self, item: Item) -> &str {
        match item {
            Item::Board(board) => &self.boards[board.0].name,
            Item::Group(group) => &self.groups[group.0].name,
        }
    }

    /// Finished length of a board so far; an error while it has none.
    pub fn length_of(&self, board: BoardId) -> Result<Length, Diagnostic> {
        self.boards[board.0].length_mm().map(Length::mm)
    }

    /// Width of a board as it is now.
    pub fn width_of(&self, board: BoardId) -> Length {
        self.boards[board.0].width
    }

    /// Thickness of a board as it is now.
    pub fn thickness_of(&self, board: BoardId) -> Length {
        self.boards[board.0].thickness
    }

    /// Boards of a group, groups inside it included, in the order they were made.
    pub fn boards_of(&self, group: GroupHandle) -> Vec<BoardId> {
        (0..self.boards.len())
            .filter(|board| self.is_inside(self.boards[*board].group, group.0))
            .map(BoardId)
            .collect()
    }

    fn is_inside(&self, mut group: usize, outer: usize) -> bool {
        loop {
            if group == outer {
                return true;
            }
            match self.groups[group].parent {
                Some(parent) => group = parent,
                None => return false,
            }
        }
    }

    /// The group's frame to world.
    fn group_pose(&self, group: usize) -> DAffine3 {
        let draft = &self.groups[group];
        let Some(parent) = draft.parent else { return DAffine3::IDENTITY };
        let solved = draft.fixing.solve(|row| self.group_anchor(group, row));
        self.group_pose(parent)
            * DAffine3::from_mat3_translation(draft.rotation, solved.translation(DVec3::ZERO))
    }

    /// Place of a group's anchor along a direction of its parent's frame, with zero translation.
    fn group_anchor(&self, group: usize, row: &fixing::Row) -> f64 {
        let local = self.groups[group].rotation.transpose() * row.normal;
        if let draft::Anchor::Taken(place) = &row.anchor {
            return *place;
        }
        let (lowest, highest) = self.group_extent(group, local);
        match &row.anchor {
            draft::Anchor::Lowest => lowest,
            draft::Anchor::Highest => highest,
            draft::Anchor::Middle => (lowest + highest) / 2.0,
            draft::Anchor::Point(point) => local.dot(*point),
            draft::Anchor::Face(_) | draft::Anchor::Taken(_) => 0.0,
        }
    }

    /// Extent of a group's boards along a direction of its own frame, mm. Boards that have no solid yet count by their
    /// box.
    fn group_extent(&self, group: usize, direction: DVec3) -> (f64, f64) {
        let to_group = self.group_pose_within(group);
        let mut extent = (f64::INFINITY, f64::NEG_INFINITY);
        for board in self.boards_of(GroupHandle(group)) {
            let draft = &self.boards[board.0];
            let pose = to_group(draft.group) * draft.pose();
            let local = pose.matrix3.transpose() * direction;
            let base = direction.dot(pose.translation);
            let (low, high) = match draft.solid() {
                Ok(solid) => solid
                    .pieces()
                    .iter()
                    .flat_map(|piece| piece.vertices())
                    .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), vertex| {
                        (low.min(local.dot(*vertex)), high.max(local.dot(*vertex)))
                    }),
                Err(_) => {
                    let size = draft.size();
                    (local.min(DVec3::ZERO).dot(size), local.max(DVec3::ZERO).dot(size))
                }
            };
            extent = (extent.0.min(base + low), extent.1.max(base + high));
        }
        if extent.0 > extent.1 { (0.0, 0.0) } else { extent }
    }

    /// Frames of the groups inside `group`, seen from it.
    fn group_pose_within(&self, group: usize) -> impl Fn(usize) -> DAffine3 + '_ {
        move |inner| {
            let mut pose = DAffine3::IDENTITY;
            let mut at = inner;
            while at != group {
                let draft = &self.groups[at];
                let solved = draft.fixing.solve(|row| self.group_anchor(at, row));
                pose =
                    DAffine3::from_mat3_translation(draft.rotation, solved.translation(DVec3::ZERO)) * pose;
                match draft.parent {
                    Some(parent) => at = parent,
                    None => break,
                }
            }
            pose
        }
    }

    /// Board axes to world.
    fn board_pose(&self, board: BoardId) -> DAffine3 {
        let draft = &self.boards[board.0];
        self.group_pose(draft.group) * draft.pose()
    }

    /// Declares that two parts meet by a kind of joint, and so that they touch. The first is fastened to the second.
    ///
    /// # Errors
    /// `unknown-joint`, `unknown-fastener`, and a part joined to itself.
    pub fn join(
        &mut self,
        order: &JointOrder,
        a: BoardId,
        b: BoardId,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        joints::kind(&order.kind).map_err(|fault| fault.at_origin(origin))?;
        if let Some(fastener) = &order.fastener {
            self.catalogue.fastener_by_id(fastener).map_err(|fault| fault.at_origin(origin))?;
        }
        if a == b {
            let name = &self.boards[a.0].name;
            return Err(Diagnostic::error("joined-to-itself", format!("`{name}` is joined to itself"))
                .at_origin(origin)
                .help("name two different boards"));
        }
        self.joints.push(JointDraft { order: order.clone(), first: a, second: b, origin });
        Ok(())
    }

    /// The same piece with nothing joined: what the work on joints is timed against.
    #[must_use]
    pub fn unjoined(mut self) -> Self {
        self.joints.clear();
        self
    }

    /// Declares a joint wherever one of `parts` touches one of `bearers`; an error when a part touches none.
    pub fn join_all(
        &mut self,
        order: &JointOrder,
        parts: &[BoardId],
        bearers: &[BoardId],
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let pairs = self.meetings(parts, bearers, origin)?;
        pairs.into_iter().try_for_each(|(part, bearer)| self.join(order, part, bearer, origin))
    }

    /// Which of `parts` touch which of `bearers`; an error when a part touches none.
    pub fn meetings(
        &self,
        parts: &[BoardId],
        bearers: &[BoardId],
        origin: Origin,
    ) -> Result<Vec<(BoardId, BoardId)>, Diagnostic> {
        let mut pairs = Vec::new();
        for part in parts {
            let before = pairs.len();
            let touched = bearers.iter().filter(|bearer| self.claimed_or_touching(*part, **bearer));
            pairs.extend(touched.map(|bearer| (*part, *bearer)));
            if pairs.len() == before {
                return Err(Diagnostic::error(
                    "joint-does-not-touch",
                    format!("`{}` touches none of the parts it is to be joined to", self.boards[part.0].name),
                )
                .at_origin(origin)
                .help("lay it `against` them or `run` it over them first"));
            }
        }
        Ok(pairs)
    }

    /// Where two boards meet as they lie now.
    ///
    /// # Errors
    /// `joint-does-not-touch`, with the distance between them.
    pub fn patch(&self, a: BoardId, b: BoardId, origin: Origin) -> Result<joints::JointPatch, Diagnostic> {
        let (first, second) = (self.part(a.0)?, self.part(b.0)?);
        joints::patch_between(&first, &second, origin)
    }

    /// Looks whether a board is still in one piece after a joint.
    ///
    /// # Errors
    /// `joint-splits-part`.
    pub fn check_whole(&self, board: BoardId, kind: &str, origin: Origin) -> Result<(), Diagnostic> {
        let draft = &self.boards[board.0];
        match draft.solid().map_err(|fault| fault.at_origin(origin))?.bodies() {
            1 => Ok(()),
            count => Err(Diagnostic::error(
                "joint-splits-part",
                format!("joint `{kind}` cuts `{}` into {count} pieces", draft.name),
            )
            .at_origin(origin)
            .help("cut less away, or end the board there")),
        }
    }

    fn claimed_or_touching(&self, a: BoardId, b: BoardId) -> bool {
        let (a, b) = (Item::Board(a), Item::Board(b));
        let claimed = |claim: &Claim| (claim.a == a && claim.b == b) || (claim.a == b && claim.b == a);
        self.claims.iter().any(claimed) || self.touching(a, b)
    }

    /// Declares that two parts touch, without placing either.
    pub fn touches(&mut self, a: Item, b: Item, origin: Origin) {
        self.claims.push(Claim { a, b, kind: ContactKind::Against, origin });
    }

    /// What is sat on.
    pub fn seat(&mut self, seat: SeatOrder) {
        self.seat = Some(seat);
    }

    /// A step in the script's words.
    pub fn step(&mut self, text: &str, origin: Origin) {
        self.steps.push(Step { text: text.to_string(), origin });
    }

    /// Says that some items stand before others are added. Groups stand for all their boards, those laid later included.
    ///
    /// # Errors
    /// `order-runs-in-a-circle`, when an item would have to come before itself.
    pub fn before(&mut self, first: &[Item], then: &[Item], origin: Origin) -> Result<(), Diagnostic> {
        let boards = |bench: &Bench, items: &[Item]| -> Vec<crate::PartId> {
            let of = |item: &Item| match item {
                Item::Board(board) => vec![*board],
                Item::Group(group) => bench.boards_of(*group),
            };
            items.iter().flat_map(of).map(|board| crate::PartId(board.0)).collect()
        };
        let rule = crate::OrderRule { first: boards(self, first), then: boards(self, then), origin };
        if let Some(part) = self.comes_before_itself(&rule) {
            let name = &self.boards[part.0].name;
            return Err(Diagnostic::error(
                "order-runs-in-a-circle",
                format!("`{name}` would have to come before itself"),
            )
            .at_origin(origin)
            .help("look at the other `before` rules that name these parts"));
        }
        self.order.push(rule);
        Ok(())
    }

    /// The part that a new rule would put before itself.
    fn comes_before_itself(&self, rule: &crate::OrderRule) -> Option<crate::PartId> {
        let mut reached: Vec<crate::PartId> = rule.then.clone();
        let mut at = 0;
        while at < reached.len() {
            let part = reached[at];
            let next = self.order.iter().filter(|own| own.first.contains(&part)).flat_map(|own| &own.then);
            let fresh: Vec<crate::PartId> = next.filter(|part| !reached.contains(part)).copied().collect();
            reached.extend(fresh);
            at += 1;
        }
        rule.first.iter().copied().find(|part| reached.contains(part))
    }

    /// Hardware or fasteners counted by name.
    pub fn hardware(
        &mut self,
        item: &str,
        count: usize,
        purpose: &str,
        origin: Origin,
    ) -> Result<(), Diagnostic> {
        let fastener = self.catalogue.find_fastener_by_id(item).map(|own| own.id.clone());
        let item = match fastener {
            Some(id) => id,
            None => self.catalogue.hardware(item).map_err(|fault| fault.at_origin(origin))?.id.clone(),
        };
        self.hardware.push(HardwareUse {
            item,
            purpose: purpose.to_string(),
            count,
            length: None,
            axis: None,
            through: None,
            origin,
        });
        Ok(())
    }

    /// Notes a finding of the script's own.
    pub fn find(&mut self, finding: Diagnostic) {
        self.findings.push(finding);
    }
}
