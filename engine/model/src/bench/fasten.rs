//! Joints worked out when the piece is finished: wood cut, fasteners set, holes bored.

use super::{Bench, BoardId};
use crate::joints::{self, Drive, Fastening, HeadSeat, Joint, Layer, Said};
use crate::{Contact, ContactKind, Feature, FeatureKind, Part, PartId};
use slatwork_base::{Angle, Diagnostic, Length, maths};
use slatwork_catalog::FastenerKind;
use slatwork_solid::along;
use std::sync::Arc;

impl Bench {
    /// Lets the kinds that cut wood do so, in the order joined.
    pub(super) fn cut_joints(&mut self) -> Result<(), Diagnostic> {
        for index in 0..self.joints.len() {
            let said = &self.joints[index];
            let kind = joints::kind(&said.order.kind).map_err(|fault| fault.at_origin(said.origin))?;
            if let Some(cut) = kind.cut {
                let (order, first, second, origin) =
                    (said.order.clone(), said.first, said.second, said.origin);
                cut(self, &order, first, second, origin)?;
            }
        }
        Ok(())
    }

    /// Sets the fasteners of every joint, bores their holes, and adds the contacts that joints declare.
    pub(super) fn work_joints(
        &mut self,
        parts: &mut [Part],
        contacts: &mut Vec<Contact>,
        findings: &mut Vec<Diagnostic>,
    ) -> Vec<Joint> {
        let said: Vec<Said> = self
            .joints
            .iter()
            .map(|joint| Said {
                order: &joint.order,
                first: PartId(joint.first.0),
                second: PartId(joint.second.0),
                origin: joint.origin,
            })
            .collect();
        let worked = joints::work(parts, &self.catalogue, &said, findings);
        for joint in &worked {
            let [a, b] = joint.parts[..] else { continue };
            let (area, gap) = joint.patch.as_ref().map_or((0.0, 0.0), |patch| (patch.area, patch.gap));
            let area = if gap > 0.0 { 0.0 } else { area };
            contacts.push(Contact { a, b, kind: ContactKind::Joint, origin: joint.origin, area, gap });
        }
        self.bore_joints(parts, &worked);
        let hangers = self.hanger_joints(parts);
        worked.into_iter().chain(hangers).collect()
    }

    /// Adds the holes of fasteners to the parts' solids.
    fn bore_joints(&mut self, parts: &mut [Part], worked: &[Joint]) {
        let mut bored = vec![false; parts.len()];
        for joint in worked {
            for bore in joint.fastenings.iter().flat_map(|fastening| &fastening.bores) {
                if !bore.in_solid {
                    continue;
                }
                let part = &mut parts[bore.part.0];
                let mut hole = bore.hole.clone();
                hole.tag = self.boards[bore.part.0].next_tag();
                let square = hole.direction.abs().max_element().min(1.0);
                part.features.push(Feature {
                    kind: FeatureKind::Hole {
                        hole: hole.clone(),
                        what: bore.what.clone(),
                        lean: Angle::rad(maths::acos(square)),
                        countersink: bore.countersink,
                    },
                    when: bore.when.clone(),
                    origin: joint.origin,
                });
                part.shape.holes.push(hole);
                bored[bore.part.0] = true;
            }
        }
        for (part, _) in parts.iter_mut().zip(bored).filter(|(_, bored)| *bored) {
            part.solid = Arc::new(part.solid.bored(part.shape.holes.clone()));
            part.features.sort_by_key(|feature| feature.kind.rank());
        }
    }

    /// Eyes and chains as joints, for whoever checks and puts together.
    fn hanger_joints(&self, parts: &[Part]) -> Vec<Joint> {
        let joint = |axis: &super::bore::Axis| {
            let board = |board: &BoardId| PartId(board.0);
            let is_eye = !axis.through.is_empty();
            let hung = self.hanging.suspensions.iter().find(|one| one.eye == axis.grip.0).map(|one| one.part);
            Joint {
                kind: String::from(if is_eye { joints::HANGER_EYE } else { joints::CHAIN }),
                within: None,
                parts: if is_eye {
                    axis.through.iter().map(board).collect()
                } else {
                    hung.into_iter().collect()
                },
                patch: None,
                fastenings: if is_eye { vec![self.eye_fastening(axis, parts)] } else { Vec::new() },
                glue: None,
                extras: Vec::new(),
                origin: axis.origin,
            }
        };
        self.axes.iter().map(joint).collect()
    }

    fn eye_fastening(&self, axis: &super::bore::Axis, parts: &[Part]) -> Fastening {
        let (head, far) = axis.grip;
        let direction = (far - head).normalize_or_zero();
        let grip = head.distance(far);
        let size =
            self.catalogue.find_hardware(&axis.item).map_or_else(String::new, |item| item.size.clone());
        let length = self.shank(&size, grip);
        let layers = axis.through.iter().filter_map(|board| {
            let part = &parts[board.0];
            let span = along(&part.placed(), head - direction, far + direction).first().copied()?;
            Some(joints::layer_of(part, head, direction, (span.0 - 1.0, span.1 - 1.0), grip))
        });
        let layers: Vec<Layer> = layers.collect();
        let through: Vec<&Part> = axis.through.iter().map(|board| &parts[board.0]).collect();
        let nut = self
            .catalogue
            .fastener(FastenerKind::WideWasher, &size)
            .map_or(Length::ZERO, |washer| washer.diameter);
        Fastening {
            item: axis.item.clone(),
            kind: FastenerKind::HexBolt,
            diameter: Length::mm(axis.radius * 2.0),
            length,
            head_diameter: nut,
            metal: joints::choose::metal(&self.catalogue, &through, FastenerKind::HexBolt),
            head,
            direction,
            tip: head + direction * length.as_mm(),
            layers,
            thread: (grip, length.as_mm()),
            seat: HeadSeat::Proud,
            drive: Drive::Wrench,
            bores: Vec::new(),
        }
    }
}
