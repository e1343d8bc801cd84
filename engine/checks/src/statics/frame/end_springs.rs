//! Springs and releases between a member's ends and its nodes, condensed exactly.
//!
//! A spring `s` in series with freedom `r` of a stiffness `k`: with m = 1 / (k_rr + s) the inner freedom gives way by
//! m (s u - k_rc u_c - f). A release is s = 0 and comes out exactly zero.

use super::model::EndSprings;

pub(super) type Matrix12 = [[f64; 12]; 12];

/// What is left of a freedom's stiffness when the freedoms released before it leave nothing: rounding of a dozen operations
/// on figures of the size of the original, with room for slenderness.
const NOTHING_LEFT: f64 = 1e-10;

/// A member stiffness behind its end springs, and how loads on the member come through them.
pub(super) struct Condensed {
    pub(super) stiffness: Matrix12,
    /// Nodal loads = `carry` x loads at the member's own ends; `None` when all ends are rigid.
    pub(super) carry: Option<Box<Matrix12>>,
}

/// Condenses; `Err` names the freedom (0..12) that is left without any hold inside the member.
pub(super) fn condense(mut stiffness: Matrix12, springs: &[EndSprings; 2]) -> Result<Condensed, usize> {
    let mut carry: Option<Box<Matrix12>> = None;
    let original: [f64; 12] = std::array::from_fn(|r| stiffness[r][r]);
    for (r, spring) in springs.as_flattened().iter().enumerate() {
        let Some(spring) = *spring else { continue };
        let whole = stiffness[r][r] + spring;
        if whole <= NOTHING_LEFT * original[r] {
            return Err(r);
        }
        let column: [f64; 12] = std::array::from_fn(|c| stiffness[c][r]);
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
        let carry = carry.get_or_insert_with(identity);
        let inner = carry[r];
        for (c, row) in carry.iter_mut().enumerate() {
            let (own, share) = if c == r { (0.0, spring / whole) } else { (1.0, -column[c] / whole) };
            row.iter_mut().zip(inner).for_each(|(value, inner)| *value = own * *value + share * inner);
        }
    }
    Ok(Condensed { stiffness, carry })
}

fn identity() -> Box<Matrix12> {
    Box::new(std::array::from_fn(|r| std::array::from_fn(|c| if r == c { 1.0 } else { 0.0 })))
}
