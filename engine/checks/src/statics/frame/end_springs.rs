//! Springs and releases between a member's ends and its nodes, condensed exactly.
//!
//! A spring `s` in series with freedom `r` of a stiffness `k`: with m = 1 / (k_rr + s) the inner freedom gives way by
//! m (s u - k_rc u_c - f). A release is s = 0 and comes out exactly zero.

use super::model::EndSprings;

/// What is left of a freedom's stiffness when the freedoms released before it leave nothing: rounding of a dozen operations
/// on figures of the size of the original, with room for slenderness.
const NOTHING_LEFT: f64 = 1e-10;

/// Figures between the twelve freedoms of a member's ends (0..6 at its start, 6..12 at its end): what stretches it, twists it
/// and bends it in either plane has nothing to do with each other.
#[derive(Clone, Copy)]
pub(super) struct Groups {
    pub(super) along: [[f64; 2]; 2],
    pub(super) twist: [[f64; 2]; 2],
    /// In the plane of y, then of z.
    pub(super) bend: [[[f64; 4]; 4]; 2],
}

/// The freedoms of each group, in their order there.
const ALONG: [usize; 2] = [0, 6];
const TWIST: [usize; 2] = [3, 9];
const BEND: [[usize; 4]; 2] = [[1, 5, 7, 11], [2, 4, 8, 10]];

/// A member stiffness behind its end springs, and how loads on the member come through them.
pub(super) struct Condensed {
    pub(super) stiffness: Groups,
    /// Nodal loads = `carry` x loads at the member's own ends; `None` when all ends are rigid.
    pub(super) carry: Option<Box<Groups>>,
}

/// Condenses; `Err` names the freedom (0..12) that is left without any hold inside the member.
pub(super) fn condense(mut stiffness: Groups, springs: &[EndSprings; 2]) -> Result<Condensed, usize> {
    let springs = springs.as_flattened();
    if springs.iter().all(Option::is_none) {
        return Ok(Condensed { stiffness, carry: None });
    }
    let along = condense_group(&mut stiffness.along, ALONG, springs)?;
    let twist = condense_group(&mut stiffness.twist, TWIST, springs)?;
    let [y, z] = &mut stiffness.bend;
    let bend = [condense_group(y, BEND[0], springs)?, condense_group(z, BEND[1], springs)?];
    Ok(Condensed { stiffness, carry: Some(Box::new(Groups { along, twist, bend })) })
}

/// Condenses one group in place; how loads come through.
fn condense_group<const N: usize>(
    stiffness: &mut [[f64; N]; N],
    freedoms: [usize; N],
    springs: &[Option<f64>],
) -> Result<[[f64; N]; N], usize> {
    let mut carry = core::array::from_fn(|r| core::array::from_fn(|c| if r == c { 1.0 } else { 0.0 }));
    let original: [f64; N] = core::array::from_fn(|r| stiffness[r][r]);
    for (r, freedom) in freedoms.into_iter().enumerate() {
        let Some(spring) = springs[freedom] else { continue };
        let whole = stiffness[r][r] + spring;
        if whole <= NOTHING_LEFT * original[r] {
            return Err(freedom);
        }
        let column: [f64; N] = core::array::from_fn(|c| stiffness[c][r]);
        for (c, row) in stiffness.iter_mut().enumerate() {
            for (d, value) in row.iter_mut().enumerate() {
                *value = match (c == r, d == r) {
                    (false, false) => *value - column[c] * column[d] / whole,
                    (true, true) => spring * column[r] / whole,
                    (true, false) => column[d] * (spring / whole),
                    (false, true) => column[c] * (spring / whole),
                };
            }
        }
        let inner: [f64; N] = carry[r];
        for (c, row) in carry.iter_mut().enumerate() {
            let (own, share) = if c == r { (0.0, spring / whole) } else { (1.0, -column[c] / whole) };
            row.iter_mut().zip(inner).for_each(|(value, inner)| *value = own * *value + share * inner);
        }
    }
    Ok(carry)
}

impl Groups {
    /// Twelve figures times these.
    pub(super) fn times(&self, values: &[f64; 12]) -> [f64; 12] {
        let mut product = [0.0; 12];
        put_group(&mut product, values, &self.along, ALONG);
        put_group(&mut product, values, &self.twist, TWIST);
        self.bend.iter().zip(BEND).for_each(|(own, at)| put_group(&mut product, values, own, at));
        product
    }
}

fn put_group<const N: usize>(
    product: &mut [f64; 12],
    values: &[f64; 12],
    own: &[[f64; N]; N],
    at: [usize; N],
) {
    for (row, freedom) in own.iter().zip(at) {
        product[freedom] = row.iter().zip(at).map(|(share, from)| share * values[from]).sum();
    }
}
