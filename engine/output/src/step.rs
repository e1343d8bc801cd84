//! Solids as STEP, ISO 10303-21 with the schema of AP214: an assembly of one product for each part, each a manifold solid
//! of planes and true cylinders, in its place, in millimetres.
//!
//! The file says no time and no author, so that the same piece gives the same bytes.

use crate::number::decimal;
use crate::scene::{SolidNode, SolidScene};
use slatwork_base::Outcome;
use slatwork_solid::{DVec3, EdgeCurve, ExactSolid, Surface};
use std::fmt::Write;

/// Writes a scene of solids. The faults `scene-mesh-missing` and `scene-not-finite`.
pub fn write(scene: &SolidScene) -> Outcome<Vec<u8>> {
    if let Some(fault) = scene.fault() {
        return Outcome::failed(fault);
    }
    let mut file = File::default();
    let context = file.context();
    let frame = file.frame(DVec3::ZERO, DVec3::Z, DVec3::X);
    let root = file.product(&context, &scene.name, "");
    let shape = file.entity(format_args!("SHAPE_REPRESENTATION('',(#{frame}),#{})", context.geometry));
    file.entity(format_args!("SHAPE_DEFINITION_REPRESENTATION(#{},#{shape})", root.shape));
    for node in &scene.nodes {
        let solid = &scene.solids[node.solid];
        let brep = Writer { file: &mut file, node, solid }.solid();
        let own = file.product(&context, &node.name, &remark(solid));
        let geometry = context.geometry;
        let part = file
            .entity(format_args!("ADVANCED_BREP_SHAPE_REPRESENTATION('',(#{frame},#{brep}),#{geometry})"));
        file.entity(format_args!("SHAPE_DEFINITION_REPRESENTATION(#{},#{part})", own.shape));
        file.put_into(&root, &own, (shape, part), frame, &node.name);
    }
    Outcome::fine(file.finish(&scene.name))
}

/// What a reader should know of a solid.
fn remark(solid: &ExactSolid) -> String {
    match solid.faceted {
        0 => String::new(),
        1 => String::from("one round surface meets another and is in facets"),
        count => format!("{count} round surfaces meet others and are in facets"),
    }
}

/// Numbers of what all products share.
struct Context {
    product: usize,
    definition: usize,
    geometry: usize,
}

/// Numbers of a product's definition and of its shape.
struct Product {
    definition: usize,
    shape: usize,
}

/// The entities so far.
#[derive(Default)]
struct File {
    data: String,
    count: usize,
}

impl File {
    fn entity(&mut self, text: std::fmt::Arguments<'_>) -> usize {
        self.count += 1;
        let written = writeln!(self.data, "#{}={text};", self.count);
        debug_assert!(written.is_ok(), "writing into a String cannot fail");
        self.count
    }

    fn context(&mut self) -> Context {
        let application = self.entity(format_args!(
            "APPLICATION_CONTEXT('core data for automotive mechanical design processes')"
        ));
        self.entity(format_args!(
            "APPLICATION_PROTOCOL_DEFINITION('international standard','automotive_design',2000,#{application})"
        ));
        let product = self.entity(format_args!("PRODUCT_CONTEXT('',#{application},'mechanical')"));
        let definition = self
            .entity(format_args!("PRODUCT_DEFINITION_CONTEXT('part definition',#{application},'design')"));
        let length = self.entity(format_args!("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))"));
        let angle = self.entity(format_args!("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))"));
        let solid = self.entity(format_args!("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())"));
        let accuracy = self.entity(format_args!(
            "UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(1.E-6),#{length},'distance_accuracy_value','')"
        ));
        let geometry = self.entity(format_args!(
            "(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((#{accuracy}))\
             GLOBAL_UNIT_ASSIGNED_CONTEXT((#{length},#{angle},#{solid}))REPRESENTATION_CONTEXT('',''))"
        ));
        Context { product, definition, geometry }
    }

    fn product(&mut self, context: &Context, name: &str, remark: &str) -> Product {
        let (name, remark) = (string(name), string(remark));
        let product =
            self.entity(format_args!("PRODUCT('{name}','{name}','{remark}',(#{}))", context.product));
        self.entity(format_args!("PRODUCT_RELATED_PRODUCT_CATEGORY('part',$,(#{product}))"));
        let formation = self.entity(format_args!("PRODUCT_DEFINITION_FORMATION('','',#{product})"));
        let definition =
            self.entity(format_args!("PRODUCT_DEFINITION('design','',#{formation},#{})", context.definition));
        let shape = self.entity(format_args!("PRODUCT_DEFINITION_SHAPE('','',#{definition})"));
        Product { definition, shape }
    }

    /// Puts a part, which lies in its place already, into the whole.
    fn put_into(
        &mut self,
        root: &Product,
        own: &Product,
        (whole, part): (usize, usize),
        frame: usize,
        name: &str,
    ) {
        let use_of = self.entity(format_args!(
            "NEXT_ASSEMBLY_USAGE_OCCURRENCE('{}','{}','',#{},#{},$)",
            self.count + 1,
            string(name),
            root.definition,
            own.definition
        ));
        let shape = self.entity(format_args!("PRODUCT_DEFINITION_SHAPE('','',#{use_of})"));
        let stays = self.entity(format_args!("ITEM_DEFINED_TRANSFORMATION('','',#{frame},#{frame})"));
        let relation = self.entity(format_args!(
            "(REPRESENTATION_RELATIONSHIP('','',#{part},#{whole})\
             REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION(#{stays})SHAPE_REPRESENTATION_RELATIONSHIP())"
        ));
        self.entity(format_args!("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION(#{relation},#{shape})"));
    }

    fn point(&mut self, point: DVec3) -> usize {
        self.entity(format_args!("CARTESIAN_POINT('',({}))", triple(point, PLACES)))
    }

    fn direction(&mut self, direction: DVec3) -> usize {
        self.entity(format_args!("DIRECTION('',({}))", triple(direction, DIRECTION_PLACES)))
    }

    /// A place with its z axis and its x axis.
    fn frame(&mut self, origin: DVec3, z: DVec3, x: DVec3) -> usize {
        let (origin, z, x) = (self.point(origin), self.direction(z), self.direction(x));
        self.entity(format_args!("AXIS2_PLACEMENT_3D('',#{origin},#{z},#{x})"))
    }

    fn finish(self, name: &str) -> Vec<u8> {
        let name = string(name);
        let head = format!(
            "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\n\
             FILE_NAME('{name}','1970-01-01T00:00:00',(''),(''),'slatwork','slatwork','');\n\
             FILE_SCHEMA(('AUTOMOTIVE_DESIGN {{ 1 0 10303 214 1 1 1 1 }}'));\nENDSEC;\nDATA;\n"
        );
        format!("{head}{}ENDSEC;\nEND-ISO-10303-21;\n", self.data).into_bytes()
    }
}

/// Decimals of a coordinate in mm, and of a direction's component.
const PLACES: usize = 11;
const DIRECTION_PLACES: usize = 16;

/// Axes that differ by less are those of a circle, mm.
const ROUND: f64 = 1e-9;

/// A number as the standard wants it: with a point.
fn real(value: f64, places: usize) -> String {
    let text = decimal(value, places);
    if text.contains('.') { text } else { format!("{text}.") }
}

fn triple(point: DVec3, places: usize) -> String {
    point.to_array().map(|value| real(value, places)).join(",")
}

fn list(numbers: &[usize]) -> String {
    numbers.iter().map(|number| format!("#{number}")).collect::<Vec<_>>().join(",")
}

/// A text between apostrophes: what is not plain is written by its code (ISO 10303-21, 6.4.3), control characters are dropped.
fn string(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars().filter(|c| !c.is_control()) {
        match c {
            '\'' => out.push_str("''"),
            '\\' => out.push_str("\\\\"),
            ' '..='~' => out.push(c),
            _ => out.push_str(&match u32::from(c) {
                code if code < 0x1_0000 => format!("\\X2\\{code:04X}\\X0\\"),
                code => format!("\\X4\\{code:08X}\\X0\\"),
            }),
        }
    }
    out
}

struct Writer<'a> {
    file: &'a mut File,
    node: &'a SolidNode,
    solid: &'a ExactSolid,
}

impl Writer<'_> {
    fn solid(&mut self) -> usize {
        let mirrored = self.node.pose.matrix3.determinant() < 0.0;
        let places: Vec<usize> = self.solid.corners.iter().map(|corner| self.point(*corner)).collect();
        let corners: Vec<usize> =
            places.iter().map(|point| self.file.entity(format_args!("VERTEX_POINT('',#{point})"))).collect();
        let mut edges = Vec::with_capacity(self.solid.edges.len());
        for edge in &self.solid.edges {
            let ends = [edge.from, edge.to].map(|corner| corner as usize);
            let curve = match edge.curve {
                EdgeCurve::Line => self.line(places[ends[0]], ends.map(|end| self.solid.corners[end])),
                EdgeCurve::Round { centre, major, minor } => self.round(centre, major, minor),
            };
            edges.push(self.file.entity(format_args!(
                "EDGE_CURVE('',#{},#{},#{curve},.T.)",
                corners[ends[0]], corners[ends[1]]
            )));
        }
        let mut faces = Vec::with_capacity(self.solid.faces.len());
        for face in &self.solid.faces {
            let bounds: Vec<usize> = face.loops.iter().map(|own| self.bound(own, &edges, mirrored)).collect();
            let (surface, sense) = self.surface(&face.surface);
            faces.push(
                self.file.entity(format_args!("ADVANCED_FACE('',({}),#{surface},{sense})", list(&bounds))),
            );
        }
        let shell = self.file.entity(format_args!("CLOSED_SHELL('',({}))", list(&faces)));
        self.file.entity(format_args!("MANIFOLD_SOLID_BREP('{}',#{shell})", string(&self.node.name)))
    }

    fn point(&mut self, point: DVec3) -> usize {
        self.file.point(self.node.pose.transform_point3(point))
    }

    fn turned(&self, direction: DVec3) -> DVec3 {
        self.node.pose.transform_vector3(direction)
    }

    fn line(&mut self, from: usize, [a, b]: [DVec3; 2]) -> usize {
        let way = self.file.direction(self.turned(b - a).normalize_or(DVec3::X));
        let vector = self.file.entity(format_args!("VECTOR('',#{way},1.)"));
        self.file.entity(format_args!("LINE('',#{from},#{vector})"))
    }

    fn round(&mut self, centre: DVec3, major: DVec3, minor: DVec3) -> usize {
        let centre = self.node.pose.transform_point3(centre);
        let (major, minor) = (self.turned(major), self.turned(minor));
        let frame = self.file.frame(centre, major.cross(minor).normalize(), major.normalize());
        let [long, short] = [major, minor].map(|axis| real(axis.length(), PLACES));
        if major.length() - minor.length() < ROUND {
            return self.file.entity(format_args!("CIRCLE('',#{frame},{long})"));
        }
        self.file.entity(format_args!("ELLIPSE('',#{frame},{long},{short})"))
    }

    /// A border; seen in a mirror it runs the other way.
    fn bound(&mut self, edges_of: &[(u32, bool)], edges: &[usize], mirrored: bool) -> usize {
        let mut run = edges_of.to_vec();
        if mirrored {
            run.reverse();
        }
        let mut oriented = Vec::with_capacity(run.len());
        for (edge, forward) in run {
            let sense = if forward == mirrored { ".F." } else { ".T." };
            let edge = edges[edge as usize];
            oriented.push(self.file.entity(format_args!("ORIENTED_EDGE('',*,*,#{edge},{sense})")));
        }
        let ring = self.file.entity(format_args!("EDGE_LOOP('',({}))", list(&oriented)));
        self.file.entity(format_args!("FACE_BOUND('',#{ring},.T.)"))
    }

    /// A surface, and whether its own normal points out of the wood.
    fn surface(&mut self, surface: &Surface) -> (usize, &'static str) {
        match *surface {
            Surface::Plane { normal, offset } => {
                let origin = self.node.pose.transform_point3(normal * offset);
                let across = self.turned(normal.any_orthonormal_vector());
                let frame = self.file.frame(origin, self.turned(normal), across);
                (self.file.entity(format_args!("PLANE('',#{frame})")), ".T.")
            }
            Surface::Cylinder { origin, axis, radius, hollow } => {
                let origin = self.node.pose.transform_point3(origin);
                let across = self.turned(axis.any_orthonormal_vector());
                let frame = self.file.frame(origin, self.turned(axis), across);
                let radius = real(radius, PLACES);
                let sense = if hollow { ".F." } else { ".T." };
                (self.file.entity(format_args!("CYLINDRICAL_SURFACE('',#{frame},{radius})")), sense)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_a_point_and_texts_are_plain() {
        assert_eq!(real(12.0, 3), "12.");
        assert_eq!(real(-0.0, 3), "0.");
        assert_eq!(real(0.5, 3), "0.5");
        assert_eq!(string("it's a\\b\n"), "it''s a\\\\b");
        assert_eq!(string("½"), "\\X2\\00BD\\X0\\");
    }
}
