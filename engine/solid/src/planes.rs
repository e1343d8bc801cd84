//! [`PlaneTable`]: the planes of a board, each once.

use crate::DVec3;
use crate::tolerance::{SAME_NORMAL, SAME_OFFSET};

/// The planes of a board; planes that coincide, seen from either side, are one.
#[derive(Clone, Debug, Default)]
pub(crate) struct PlaneTable {
    normals: Vec<DVec3>,
    offsets: Vec<f64>,
}

impl PlaneTable {
    /// The index of a plane, and whether the table holds it the other way round; added when new.
    pub(crate) fn place(&mut self, normal: DVec3, offset: f64) -> (u32, bool) {
        let same = |index: &usize| {
            let (have, at) = (self.normals[*index], self.offsets[*index]);
            let sign = if have.dot(normal) < 0.0 { -1.0 } else { 1.0 };
            (at * sign - offset).abs() < SAME_OFFSET
                && (have * sign - normal).length_squared() < SAME_NORMAL * SAME_NORMAL
        };
        if let Some(index) = (0..self.normals.len()).rev().find(same) {
            return (index as u32, self.normals[index].dot(normal) < 0.0);
        }
        self.normals.push(normal);
        self.offsets.push(offset);
        (self.normals.len() as u32 - 1, false)
    }

    /// The plane's normal as the table holds it.
    pub(crate) fn normal(&self, index: u32) -> DVec3 {
        self.normals[index as usize]
    }

    /// The plane's offset along [`PlaneTable::normal`].
    pub(crate) fn offset(&self, index: u32) -> f64 {
        self.offsets[index as usize]
    }
}
