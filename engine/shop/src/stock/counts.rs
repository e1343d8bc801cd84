//! [`Lattice`]: all ways of taking some of each part, numbered.

/// Counts of parts from none to all, each way a number: mixed radix, so that taking one part off is a subtraction.
#[derive(Clone, Debug)]
pub(in crate::stock) struct Lattice {
    counts: Vec<usize>,
    strides: Vec<usize>,
    size: usize,
}

impl Lattice {
    /// The ways of taking up to `counts`; `None` when there are more than `most`.
    pub(in crate::stock) fn new(counts: &[usize], most: usize) -> Option<Self> {
        let mut size = 1_usize;
        let mut strides = Vec::with_capacity(counts.len());
        for &count in counts {
            strides.push(size);
            size = size.checked_mul(count.checked_add(1)?).filter(|&size| size <= most)?;
        }
        Some(Lattice { counts: counts.to_vec(), strides, size })
    }

    /// How many ways.
    pub(in crate::stock) fn size(&self) -> usize {
        self.size
    }

    /// How many of a part a way takes.
    pub(in crate::stock) fn count(&self, way: usize, part: usize) -> usize {
        way / self.strides[part] % (self.counts[part] + 1)
    }

    /// What one of a part adds to a way.
    pub(in crate::stock) fn stride(&self, part: usize) -> usize {
        self.strides[part]
    }

    /// All of a way.
    pub(in crate::stock) fn counts(&self, way: usize) -> Vec<usize> {
        (0..self.counts.len()).map(|part| self.count(way, part)).collect()
    }

    /// The number of a way, none larger than the lattice's.
    pub(in crate::stock) fn way(&self, counts: &[usize]) -> usize {
        counts.iter().zip(&self.strides).map(|(count, stride)| count * stride).sum()
    }

    /// All ways within a way, itself and none included, in rising order.
    pub(in crate::stock) fn within(&self, way: usize) -> Vec<usize> {
        let mut ways = vec![0];
        for (part, &stride) in self.strides.iter().enumerate() {
            let below = ways.len();
            for taken in 1..=self.count(way, part) {
                ways.extend_from_within(..below);
                let from = ways.len() - below;
                ways[from..].iter_mut().for_each(|way| *way += taken * stride);
            }
        }
        ways
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ways_are_numbered_within_each_other() {
        let lattice = Lattice::new(&[2, 0, 3], 100).unwrap();
        assert_eq!(lattice.size(), 12);
        for way in 0..lattice.size() {
            assert_eq!(lattice.way(&lattice.counts(way)), way);
            let within = lattice.within(way);
            let expected: Vec<usize> = (0..lattice.size())
                .filter(|&other| (0..3).all(|part| lattice.count(other, part) <= lattice.count(way, part)))
                .collect();
            assert_eq!(within, expected);
        }
        assert!(Lattice::new(&[usize::MAX], 100).is_none() && Lattice::new(&[9, 9, 9], 999).is_none());
    }
}
