//! [`Links`]: which directed edge of which face lies beside which.

/// The directed edges of faces that close.
pub(crate) struct Links {
    /// Where each starts.
    origins: Vec<u32>,
    faces: Vec<u32>,
    /// The next one round the same ring.
    nexts: Vec<u32>,
    /// The same edge, seen from the face beside it.
    twins: Vec<u32>,
    /// For each corner, the edges that leave it.
    leaving: Vec<Vec<u32>>,
}

impl Links {
    /// `None` where an edge is not met by just one in the other direction.
    pub(crate) fn new(faces: &[&[Vec<u32>]], corners: usize) -> Option<Self> {
        let mut links = Links {
            origins: Vec::new(),
            faces: Vec::new(),
            nexts: Vec::new(),
            twins: Vec::new(),
            leaving: vec![Vec::new(); corners],
        };
        for (face, ring) in
            faces.iter().enumerate().flat_map(|(face, rings)| rings.iter().map(move |r| (face, r)))
        {
            let first = links.origins.len() as u32;
            let count = ring.len() as u32;
            for (at, corner) in (0..count).zip(ring) {
                links.leaving.get_mut(*corner as usize)?.push(first + at);
                links.origins.push(*corner);
                links.faces.push(face as u32);
                links.nexts.push(first + (at + 1) % count);
            }
        }
        links.pair()?;
        Some(links)
    }

    fn pair(&mut self) -> Option<()> {
        let mut keyed: Vec<(u32, u32, bool, u32)> = (0..self.origins.len() as u32)
            .map(|half| {
                let (from, to) =
                    (self.origins[half as usize], self.origins[self.nexts[half as usize] as usize]);
                (from.min(to), from.max(to), from < to, half)
            })
            .collect();
        keyed.sort_unstable();
        self.twins = vec![u32::MAX; self.origins.len()];
        for run in keyed.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)) {
            let [one, other] = run else { return None };
            if one.2 == other.2 {
                return None;
            }
            self.twins[one.3 as usize] = other.3;
            self.twins[other.3 as usize] = one.3;
        }
        Some(())
    }

    pub(crate) fn count(&self) -> usize {
        self.origins.len()
    }

    pub(crate) fn origin(&self, half: usize) -> usize {
        self.origins[half] as usize
    }

    pub(crate) fn face(&self, half: usize) -> usize {
        self.faces[half] as usize
    }

    pub(crate) fn twin(&self, half: usize) -> usize {
        self.twins[half] as usize
    }

    /// Faces with an edge that leaves a corner.
    pub(crate) fn faces_round(&self, corner: usize) -> Vec<usize> {
        self.leaving[corner].iter().map(|half| self.face(*half as usize)).collect()
    }

    /// For each face the number of what it belongs to: faces beside each other over the same cylinder belong together.
    pub(crate) fn patches(&self, cylinder: impl Fn(usize) -> Option<usize>) -> Vec<usize> {
        let count = self.faces.last().map_or(0, |last| *last as usize + 1);
        let mut beside: Vec<Vec<usize>> = vec![Vec::new(); count];
        for half in 0..self.count() {
            let (one, other) = (self.face(half), self.face(self.twin(half)));
            if cylinder(one).is_some() && cylinder(one) == cylinder(other) {
                beside[one].push(other);
            }
        }
        let mut patch = vec![usize::MAX; count];
        let mut number = 0;
        for face in 0..count {
            if patch[face] != usize::MAX {
                continue;
            }
            let mut waiting = vec![face];
            while let Some(own) = waiting.pop() {
                if patch[own] == usize::MAX {
                    patch[own] = number;
                    waiting.extend(&beside[own]);
                }
            }
            number += 1;
        }
        patch
    }

    /// The borders that follow one another round what a border's face belongs to.
    pub(crate) fn border_ring(&self, first: usize, borders: &[bool]) -> Vec<usize> {
        let mut ring = vec![first];
        loop {
            let mut next = self.nexts[ring[ring.len() - 1]] as usize;
            // Inner edges are passed round the corner; a corner has no more edges than there are.
            for _ in 0..self.count() {
                if borders[next] {
                    break;
                }
                next = self.nexts[self.twin(next)] as usize;
            }
            if next == first || ring.len() > self.count() {
                return ring;
            }
            ring.push(next);
        }
    }
}
