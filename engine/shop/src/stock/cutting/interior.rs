//! Worths of parts that rule out more patterns.
//!
//! Many worths may prove the same bound, and a pattern that is of no use by one of them is of no use at all. A corner of
//! all such worths, which the simplex method gives, leaves many patterns that waste nothing; the mean of several corners
//! leaves only those that waste nothing at each. Corners are found by moving the demands a little, each time by other
//! shares. (Degenerate pricing and interior duals: Rousseau, Gendreau and Feillet 2007, Operations Research Letters
//! 35:660-668, from memory.)

use super::farley::Worths;
use super::generation::Generation;
use super::pricing::{Prices, Pricing};
use super::work::Work;

/// Corners that are looked for.
const CORNERS: usize = 16;
/// Share of a demand that it is moved by at most.
const SHARE: f64 = 2e-3;
/// A corner that loses more than this share of the bound is not taken.
const LOSS: f64 = 1e-6;

/// The mean of several worths that prove the bound of `worths`, or hardly less.
pub(super) fn interior(
    generation: &Generation,
    pricing: &mut dyn Pricing,
    worths: &Worths,
    work: &mut Work,
) -> Worths {
    let instance = generation.instance;
    let mut moved = generation.clone();
    let (mut sum, mut corners) = (worths.worth.clone(), 1.0);
    for corner in 1..=CORNERS {
        for (row, &demand) in instance.demands.iter().enumerate() {
            // The golden-ratio sequence again, from another place for each corner.
            let share = ((row * CORNERS + corner) as f64 * 0.618_033_988_749_894_9
                + (corner * corner) as f64 * 0.754_877_666_246_692_7)
                .fract();
            moved.master.set_right(row, f64::from(demand) * (1.0 + SHARE * (share - 0.5)));
        }
        moved.master.dual(work);
        let found = moved.solve(pricing, i64::MAX, work);
        if work.is_over() {
            break;
        }
        if found.bound as f64 > worths.bound as f64 * (1.0 - LOSS) {
            sum.iter_mut().zip(&found.worth).for_each(|(sum, worth)| *sum += worth);
            corners += 1.0;
        }
    }
    let mean: Vec<f64> = sum.iter().map(|sum| (sum / corners).floor()).collect();
    let allowed: Vec<f64> = instance.boards.iter().map(|_| 0.0).collect();
    let priced = pricing.price(Prices { worth: &mean, most: &instance.demands, allowed: &allowed }, work);
    Worths::new(instance, &instance.demands, &mean, &priced.best)
}
