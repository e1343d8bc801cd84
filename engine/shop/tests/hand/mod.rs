//! A small bench made by hand, so that the shop is tested without scripts: known parts, known sizes, known hardware.

#![allow(dead_code, reason = "each test binary uses its own share of the workshop")]

use slatwork_base::{Angle, Length, Origin};
use slatwork_catalog::Catalogue;
use slatwork_catalog::FastenerKind;
use slatwork_model::joints::{Drive, Fastening, HeadSeat, JointPatch, Metal};
use slatwork_model::{
    Blank, BoardEnd, Feature, FeatureKind, Group, GroupId, HardwareUse, Joint, Model, NotchPurpose, Part,
    PartId, SetId, Setting, Softened, When, find_sets,
};
use slatwork_solid::{
    DAffine3, DVec2, DVec3, HalfSpace, Hole, HoleStep, Notch, Path, Profile, Shape, Tag, Tolerance, Vertex,
    build,
};
use std::sync::Arc;

/// An inch in mm.
pub(crate) const INCH: f64 = 25.4;

/// A board in the making.
pub(crate) struct Board {
    pub(crate) name: String,
    pub(crate) section: String,
    pub(crate) shape: Shape,
    pub(crate) size: [Length; 3],
    pub(crate) rough_length: Option<Length>,
    pub(crate) blank: Blank,
    pub(crate) from_wider: bool,
    pub(crate) alone: bool,
    pub(crate) defects: slatwork_model::Defects,
    pub(crate) fit: Option<slatwork_model::Fit>,
    pub(crate) features: Vec<Feature>,
    pub(crate) softened: Vec<Softened>,
    pub(crate) at: DVec3,
    tags: u32,
}

/// A board of a section with finished sizes in inches.
pub(crate) fn board(name: &str, section: &str, length: f64, width: f64, thickness: f64) -> Board {
    Board {
        name: name.to_string(),
        section: section.to_string(),
        shape: Shape::board(length * INCH, width * INCH, thickness * INCH),
        size: [length, width, thickness].map(Length::inch),
        rough_length: None,
        blank: Blank::Solid,
        from_wider: false,
        alone: false,
        defects: slatwork_model::Defects::None,
        fit: None,
        features: Vec::new(),
        softened: Vec::new(),
        at: DVec3::ZERO,
        tags: 16,
    }
}

impl Board {
    fn feature(mut self, kind: FeatureKind, when: When) -> Self {
        self.features.push(Feature { kind, when, origin: Origin::NOWHERE });
        self
    }

    fn tag(&mut self) -> Tag {
        self.tags += 16;
        Tag(self.tags)
    }

    /// Stands with its origin here, mm.
    pub(crate) fn at(mut self, x: f64, y: f64, z: f64) -> Self {
        self.at = DVec3::new(x, y, z);
        self
    }

    /// An end cut through (`x`, 0, 0) inches, leaning by slopes in width and thickness.
    pub(crate) fn end_cut(mut self, end: BoardEnd, x: f64, mitre: f64, bevel: f64) -> Self {
        let sign = if end == BoardEnd::High { 1.0 } else { -1.0 };
        let (across, through) = (Angle::deg(mitre).tan(), Angle::deg(bevel).tan());
        // The kept wood ends at x + across y + through z at the far end, and begins at x - across y - through z at the datum end.
        let vector = DVec3::new(sign, -across, -through);
        let normal = vector.normalize();
        let tag = self.tag();
        let plane = HalfSpace { normal, offset: normal.x * x * INCH, tag };
        self.shape.cuts.push(plane);
        let setting = Setting { mitre: Angle::deg(mitre), bevel: Angle::deg(bevel) };
        self.feature(FeatureKind::EndCut { end, setting, plane }, When::AtBench)
    }

    /// A hole through the marked face at inches from the datum end and edge.
    pub(crate) fn hole(
        mut self,
        (x, y): (f64, f64),
        diameter: f64,
        depth: Option<f64>,
        direction: DVec3,
        what: &str,
        when: When,
    ) -> Self {
        let tag = self.tag();
        let direction = direction.normalize();
        let hole = Hole {
            start: DVec3::new(x * INCH, y * INCH, self.shape.high),
            direction,
            steps: vec![HoleStep {
                radius: diameter * INCH / 2.0,
                depth: depth.map_or(f64::INFINITY, |d| d * INCH),
            }],
            tag,
        };
        self.shape.holes.push(hole.clone());
        let lean = Angle::rad(slatwork_base::maths::acos(-direction.z));
        self.feature(FeatureKind::Hole { hole, what: what.to_string(), lean, countersink: None }, when)
    }

    /// A notch right through: inches from the datum end, along, from the datum edge, across.
    pub(crate) fn notch(
        mut self,
        x: f64,
        along: f64,
        y: f64,
        across: f64,
        purpose: NotchPurpose,
        when: When,
    ) -> Self {
        let tag = self.tag();
        let side = |normal: DVec3, offset: f64| HalfSpace { normal, offset: offset * INCH, tag };
        let open = |edge: f64| if edge <= 0.0 { -0.1 } else { edge };
        let width = self.size[1].as_inch();
        let far = if y + across >= width { y + across + 0.1 } else { y + across };
        let notch = Notch {
            planes: vec![
                side(DVec3::NEG_X, -x),
                side(DVec3::X, x + along),
                side(DVec3::NEG_Y, -open(y)),
                side(DVec3::Y, far),
                side(DVec3::NEG_Z, 1.0),
                side(DVec3::Z, self.size[2].as_inch() + 1.0),
            ],
        };
        self.shape.notches.push(notch.clone());
        let kind = FeatureKind::Notch {
            regions: vec![notch],
            purpose,
            from_end: Length::inch(x),
            along: Length::inch(along),
            from_edge: Length::inch(y),
            across: Length::inch(across),
            depth: self.size[2],
            wall: Angle::ZERO,
            clearance: Length::inch(0.0625),
        };
        self.feature(kind, when)
    }

    /// The walls across the board of the last notch lean: they lie nearer to the far end on the marked face.
    pub(crate) fn leaned(mut self, degrees: f64) -> Self {
        let (sin, cos) = (Angle::deg(degrees).sin(), Angle::deg(degrees).cos());
        let leaning = |plane: &HalfSpace| match plane.normal.x {
            0.0 => *plane,
            sign => HalfSpace {
                normal: DVec3::new(cos * sign, 0.0, -sin * sign),
                offset: plane.offset * cos,
                ..*plane
            },
        };
        let lean = |notch: &Notch| Notch { planes: notch.planes.iter().map(leaning).collect() };
        let last = self.features.last_mut().expect("a notch");
        let FeatureKind::Notch { regions, along, wall, .. } = &mut last.kind else { panic!("no notch") };
        *regions = regions.iter().map(lean).collect();
        *along += Length::mm(self.size[2].as_mm() * sin / cos);
        *wall = Angle::deg(degrees);
        let shaped = self.shape.notches.last_mut().expect("a notch");
        *shaped = lean(shaped);
        self
    }

    /// The upper edge arched between its ends by a bulge; cut from a longer blank.
    pub(crate) fn arched(mut self, ends: f64, bulge: f64) -> Self {
        let (length, low) = (self.size[0].as_mm(), ends * INCH);
        let tag = self.tag();
        let corner = |x: f64, y: f64, bulge: f64, tag| Vertex { point: DVec2::new(x, y), bulge, tag };
        self.shape.profile = Profile {
            vertices: vec![
                corner(0.0, 0.0, 0.0, Tag::LOW_EDGE),
                corner(length, 0.0, 0.0, Tag::HIGH_END),
                corner(length, low, bulge, tag),
                corner(0.0, low, 0.0, Tag::LOW_END),
            ],
        };
        self.rough_length = Some(self.size[0] + Length::inch(1.0));
        let line = Path::arc(DVec2::new(length, low), DVec2::new(0.0, low), bulge);
        self.feature(FeatureKind::Outline { line, what: String::from("crest") }, When::AtBench)
    }

    /// Edges rounded over.
    pub(crate) fn soften(mut self, edges: &str, radius: f64, length: f64) -> Self {
        let (radius, length) = (Length::inch(radius), Length::inch(length));
        self.softened.push(Softened { edges: edges.to_string(), radius, length });
        self.feature(FeatureKind::Soften { edges: edges.to_string(), radius, length }, When::AtBench)
    }

    fn part(self, id: usize) -> Part {
        let solid = build(&self.shape, &Tolerance::default()).expect("the workshop's boards are solids");
        let [length, width, thickness] = self.size;
        Part {
            id: PartId(id),
            name: self.name,
            group: GroupId(0),
            section: self.section,
            species: String::from("white_oak"),
            blank: self.blank,
            from_wider: self.from_wider,
            alone: self.alone,
            defects: self.defects,
            length,
            width,
            thickness,
            rough_length: self.rough_length.unwrap_or(length),
            rough_width: width,
            fit: self.fit,
            features: self.features,
            softened: self.softened,
            shape: self.shape,
            solid: Arc::new(solid),
            pose: DAffine3::from_translation(self.at),
            set: SetId(0),
            origin: Origin::NOWHERE,
        }
    }
}

/// A model of boards, with sets found.
pub(crate) fn model(boards: Vec<Board>) -> Model {
    let mut parts: Vec<Part> = boards.into_iter().enumerate().map(|(id, board)| board.part(id)).collect();
    let sets = find_sets(&mut parts);
    Model {
        title: String::from("Harbour stool"),
        groups: vec![Group { name: String::from("piece"), parent: None, pose: DAffine3::IDENTITY }],
        parts,
        sets,
        ..Model::default()
    }
}

/// Hardware by name.
pub(crate) fn hardware(item: &str, count: usize, length: Option<Length>) -> HardwareUse {
    HardwareUse {
        item: item.to_string(),
        purpose: String::from("hanging"),
        count,
        length,
        axis: None,
        through: None,
        origin: Origin::NOWHERE,
    }
}

/// A joint with so many screws of a length.
pub(crate) fn joint(kind: &str, a: usize, b: usize, fastener: &str, count: usize) -> Joint {
    let screw = Fastening {
        item: fastener.to_string(),
        kind: FastenerKind::WoodScrew,
        diameter: Length::mm(4.166),
        length: Length::inch(2.0),
        head_diameter: Length::mm(8.4),
        metal: Metal::Stainless,
        head: DVec3::ZERO,
        direction: DVec3::NEG_Z,
        tip: DVec3::new(0.0, 0.0, -50.8),
        layers: Vec::new(),
        thread: (17.0, 50.8),
        seat: HeadSeat::Proud,
        drive: Drive::Driver,
        bores: Vec::new(),
    };
    let patch = JointPatch {
        corners: Vec::new(),
        area: 0.0,
        centre: DVec3::ZERO,
        normal: DVec3::NEG_Z,
        along: DVec3::X,
        across: DVec3::Y,
        extent: (0.0, 0.0),
        gap: 0.0,
        on_end: [false, false],
    };
    Joint {
        kind: kind.to_string(),
        within: None,
        parts: vec![PartId(a), PartId(b)],
        patch: Some(patch),
        fastenings: vec![screw; count],
        glue: None,
        extras: Vec::new(),
        origin: Origin::NOWHERE,
    }
}

/// A yard with three lengths of 1x4 and 2x4 oak, priced, and one offcut on the rack; 1/8 in kerfs, 1/2 in trims.
pub(crate) fn catalogue() -> Catalogue {
    let text = r#"
[tools]
crosscut_kerf = "1/8in"
rip_kerf = "1/8in"
end_trim = "1/2in"

[[stock]]
section = "1x4"
species = "white_oak"
lengths = ["8ft", "10ft", "12ft"]
cents = [800, 1000, 1200]

[[stock]]
section = "2x4"
species = "white_oak"
lengths = ["8ft", "12ft"]
cents = [1200, 1700]

[[offcut]]
section = "2x4"
species = "white_oak"
length = "20in"
count = 1
"#;
    let outcome = Catalogue::shared().overlay_toml("workshop.toml", text);
    outcome.value.unwrap_or_else(|| panic!("{:?}", outcome.diagnostics))
}
