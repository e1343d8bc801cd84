//! Pricing of boards that are crosscut into sections and ripped.
//!
//! Over lengths, per lane (strips of one width): the parts worth most, V_w(l). A section l long is worth the most that a
//! set of strips abreast adds up to, sum V_w(l); the sets go by the sums of widths that can be reached. Sections and parts as
//! wide as the board then fill the length (Gilmore and Gomory 1965, Operations Research 13:94-120, from memory).
//!
//! In this a part wanted once may lie in two strips. So that no more of it pays, each part's worth is eased by a multiplier
//! that grows while fillings hold too many (a Lagrangian relaxation, by subgradients): the bound holds for any multipliers.

use super::super::farley::Worths;
use super::super::greedy::Rest;
use super::super::pattern::{Packing, Pattern};
use super::super::pricing::{Priced, Prices, Pricing};
use super::super::work::Work;
use super::abreast::{Abreast, Each};
use super::enumeration::enumerate;
use super::fill::{Cutting, Frame, Piece, counts, fill, length};
use super::first_fit::first_fit;
use super::front::{Front, Item};
use super::yard::{Lane, Yard};
use std::collections::BTreeMap;

/// Steps of the multipliers in one round of pricing (project choice).
const STEPS_A_ROUND: usize = 30;
/// The same where the bound is to be shown (project choice).
const STEPS_OF_PROOF: usize = 300;
/// Steps shrink by this when the bound does not fall.
const SHRINK: f64 = 0.7;

/// Prices boards; keeps how each pattern it gave is cut.
pub(super) struct Ripped<'a> {
    yard: &'a Yard,
    abreast: Vec<Abreast>,
    /// How patterns are cut.
    pub cuttings: BTreeMap<Pattern, Cutting>,
    /// What is taken off the parts' worths on each board.
    relief: Vec<Vec<i64>>,
    /// What was shown for worths that were made sure of: multipliers go on from where they were, so another time shows another.
    sure: BTreeMap<Vec<i64>, Vec<Shown>>,
}

/// What no filling of a board passes, and why.
pub(super) struct Shown {
    /// No board with no more than is wanted is worth more.
    pub best: i64,
    /// The multipliers.
    pub relief: Vec<i64>,
}

/// The most that boards of one width are worth at given worths of parts.
struct Fillings {
    /// Parts along each lane.
    lanes: Vec<Front>,
    /// What all parts of each lane are worth.
    all: Vec<i64>,
    /// Lengths of sections that pay.
    sections: Vec<i64>,
    /// Sections by index, then parts that take the whole width.
    along: Front,
}

impl<'a> Ripped<'a> {
    pub(super) fn new(yard: &'a Yard) -> Self {
        let (boards, parts) = (yard.instance.boards.len(), yard.instance.sizes.len());
        Ripped {
            yard,
            abreast: yard.planks.iter().map(Abreast::of).collect::<Option<_>>().unwrap_or_default(),
            cuttings: BTreeMap::new(),
            relief: vec![vec![0; parts]; boards],
            sure: BTreeMap::new(),
        }
    }

    /// Whether boards can be priced: strips of all too many widths have too many sums.
    pub(super) fn is_able(&self) -> bool {
        self.abreast.len() == self.yard.planks.len()
    }

    /// Notes how a pattern is cut.
    pub(super) fn pattern(&mut self, board: usize, cutting: Cutting) -> Pattern {
        let pattern = Pattern { board, counts: counts(&cutting) };
        self.cuttings.entry(pattern.clone()).or_insert(cutting);
        pattern
    }

    /// What no filling of each board passes, as low as multipliers get it.
    pub(super) fn shown(&mut self, worth: &[i64], work: &mut Work) -> Vec<Shown> {
        let yard = self.yard;
        let most = &yard.instance.demands;
        (0..yard.instance.boards.len())
            .map(|board| {
                let own = &yard.instance.boards[board];
                let prices = Worth { worth, most, allowed: own.cost * yard.instance.scale };
                self.ease(board, prices, Effort::Bound(STEPS_OF_PROOF), work).shown
            })
            .collect()
    }

    /// The same, kept for the worths that it is asked for.
    pub(super) fn made_sure(&mut self, worth: &[f64], work: &mut Work) -> &[Shown] {
        let worth: Vec<i64> = worth.iter().map(|&worth| worth as i64).collect();
        if !self.sure.contains_key(&worth) {
            let shown = self.shown(&worth, work);
            self.sure.insert(worth.clone(), shown);
        }
        &self.sure[&worth]
    }

    /// What no filling of a board passes at other worths.
    pub(super) fn most(&mut self, board: usize, worth: &[i64], most: &[u32], work: &mut Work) -> i64 {
        self.ease(board, Worth { worth, most, allowed: 0 }, Effort::Bound(STEPS_A_ROUND), work).shown.best
    }

    /// Fillings of boards of one width.
    fn fillings(&mut self, at: usize, worth: &[i64], most: &[u32], work: &mut Work) -> Fillings {
        let (yard, abreast) = (self.yard, &mut self.abreast[at]);
        let plank = &yard.planks[at];
        let item = |part: u32| Item {
            item: part,
            size: yard.instance.sizes[part as usize],
            worth: worth[part as usize],
        };
        let mut lanes: Vec<Front> = Vec::with_capacity(plank.lanes.len());
        for lane in &plank.lanes {
            let mut front = Front::new(plank.capacity);
            lane.parts.iter().for_each(|&part| front.add(item(part), most[part as usize]));
            work.spend(4 * front.effort());
            lanes.push(front);
        }
        let mut along = Front::new(plank.capacity);
        let mut sections = Vec::new();
        let all = |lane: &Lane| {
            lane.parts.iter().map(|&part| worth[part as usize] * i64::from(most[part as usize])).sum()
        };
        let mut strips = Strips::new(&lanes, plank.lanes.iter().map(all));
        while let Some(length) = strips.next_length() {
            let worth = abreast.best(&strips.each);
            work.spend(abreast.effort());
            // What shorter sections in a row are worth needs no section of its own.
            if worth > along.best(length).worth {
                along.add_any(Item { item: sections.len() as u32, size: length, worth });
                work.spend(4 * along.fillings.len());
                sections.push(length);
            }
        }
        for &part in &plank.whole {
            let own = item(part);
            along.add(Item { item: sections.len() as u32 + part, ..own }, most[part as usize]);
            work.spend(4 * along.fillings.len());
        }
        let all = strips.each.iter().map(|each| each.all).collect();
        Fillings { lanes, all, sections, along }
    }

    /// The best filling of a room as a frame, and how many of each part it holds.
    fn frame(&mut self, at: usize, fillings: &Fillings, room: i64, held: &mut [u32]) -> Frame {
        let mut frame = Frame::default();
        let abreast = &mut self.abreast[at];
        for (item, count) in fillings.along.items(fillings.along.best(room)) {
            let Some(&length) = fillings.sections.get(item as usize) else {
                let part = item - fillings.sections.len() as u32;
                held[part as usize] += count;
                frame.whole.push((part, count));
                continue;
            };
            let one = fillings.lanes.iter().map(|lane| lane.best(length).worth);
            let each: Vec<Each> = one.zip(&fillings.all).map(|(one, &all)| Each { one, all }).collect();
            abreast.best(&each);
            let lanes = abreast.lanes(&each);
            for _ in 0..count {
                frame.sections.push((length, lanes.clone()));
                for &lane in &lanes {
                    let front = &fillings.lanes[lane];
                    front.items(front.best(length)).iter().for_each(|own| held[own.0 as usize] += own.1);
                }
            }
        }
        frame
    }

    /// Eases the worths of parts that fillings of a board hold too many of, until none passes what is allowed, or a board
    /// with no more than is wanted does.
    fn ease(&mut self, board: usize, prices: Worth, effort: Effort, work: &mut Work) -> Eased {
        let capacity = self.yard.instance.boards[board].capacity;
        let Some(at) = self.yard.planks.iter().position(|plank| plank.boards.contains(&board)) else {
            return self.missing(board, prices);
        };
        let mut relief: Vec<i64> =
            self.relief[board].iter().zip(prices.worth).map(|(&own, &worth)| own.min(worth)).collect();
        let mut eased = Eased { shown: Shown { best: i64::MAX, relief: Vec::new() }, patterns: Vec::new() };
        let (mut length, mut most_worth) = (1.0, 0);
        for _ in 0..effort.steps() {
            let worth: Vec<i64> =
                prices.worth.iter().zip(&relief).map(|(worth, relief)| worth - relief).collect();
            let fillings = self.fillings(at, &worth, prices.most, work);
            let mut held = vec![0; worth.len()];
            let frame = self.frame(at, &fillings, capacity, &mut held);
            let best = fillings.along.best(capacity).worth + prices.eased(&relief);
            if best < eased.shown.best {
                eased.shown = Shown { best, relief: relief.clone() };
            } else {
                length *= SHRINK;
            }
            let cutting = self.filled(at, frame, capacity, prices, work);
            let own: i64 = counts(&cutting)
                .iter()
                .map(|&(part, count)| prices.worth[part as usize] * i64::from(count))
                .sum();
            most_worth = most_worth.max(own);
            if own > prices.allowed {
                eased.patterns.push(self.pattern(board, cutting));
                if matches!(effort, Effort::Pattern(_)) {
                    break;
                }
            }
            let over = best - most_worth.max(prices.allowed);
            if over <= 0 || work.is_over() || !prices.turn(&mut relief, &held, length * over as f64) {
                break;
            }
        }
        self.relief[board].clone_from(&eased.shown.relief);
        eased
    }

    /// A frame filled with no more than is wanted; what length is left is filled in turn.
    fn filled(
        &mut self,
        at: usize,
        mut frame: Frame,
        mut room: i64,
        prices: Worth,
        work: &mut Work,
    ) -> Cutting {
        let yard = self.yard;
        let mut left = prices.most.to_vec();
        let mut cutting = Cutting::new();
        loop {
            let more = fill(yard, &yard.planks[at], &frame, prices.worth, &mut left);
            room -= more.iter().map(|piece| length(yard, piece)).sum::<i64>();
            let is_room = (0..left.len())
                .any(|part| left[part] > 0 && prices.worth[part] > 0 && yard.instance.sizes[part] <= room);
            let is_done = more.is_empty() || !is_room;
            cutting.extend(more);
            if is_done {
                return cutting;
            }
            let fillings = self.fillings(at, prices.worth, &left, work);
            frame = self.frame(at, &fillings, room, &mut vec![0; left.len()]);
        }
    }

    /// What stands for missing boards holds one part.
    fn missing(&mut self, board: usize, prices: Worth) -> Eased {
        let part = (0..prices.worth.len())
            .filter(|&part| prices.most[part] > 0)
            .max_by_key(|&part| prices.worth[part]);
        let best = part.map_or(0, |part| prices.worth[part]);
        let pays = part.filter(|_| best > prices.allowed);
        let patterns =
            pays.map(|part| Pattern { board, counts: vec![(part as u32, 1)] }).into_iter().collect();
        Eased { shown: Shown { best, relief: vec![0; prices.worth.len()] }, patterns }
    }
}

/// What easing is for, and how many steps it may take.
#[derive(Clone, Copy)]
enum Effort {
    /// Until a pattern is found.
    Pattern(usize),
    /// To lower the bound.
    Bound(usize),
}

impl Effort {
    fn steps(self) -> usize {
        match self {
            Effort::Pattern(steps) | Effort::Bound(steps) => steps,
        }
    }
}

/// What came of easing.
struct Eased {
    shown: Shown,
    /// Patterns that are worth more than is allowed.
    patterns: Vec<Pattern>,
}

/// Worths of parts, how many are wanted, what a board must be worth more than.
#[derive(Clone, Copy)]
struct Worth<'a> {
    worth: &'a [i64],
    most: &'a [u32],
    allowed: i64,
}

impl Worth<'_> {
    /// What the parts wanted can be worth beyond eased worths.
    fn eased(&self, relief: &[i64]) -> i64 {
        relief.iter().zip(self.most).map(|(&relief, &most)| relief * i64::from(most)).sum()
    }

    /// Moves the multipliers against what is held too often; `over` is what the bound is to fall by. Whether any moved.
    fn turn(&self, relief: &mut [i64], held: &[u32], over: f64) -> bool {
        let slope = |part: usize, relief: i64| {
            let more = f64::from(held[part]) - f64::from(self.most[part]);
            if more < 0.0 && relief == 0 { 0.0 } else { more }
        };
        let square: f64 = relief.iter().enumerate().map(|(part, &relief)| slope(part, relief).powi(2)).sum();
        let mut moved = false;
        for (part, own) in relief.iter_mut().enumerate() {
            let next = (*own as f64 + slope(part, *own) * over / square.max(1.0)).round();
            let next = (next as i64).clamp(0, self.worth[part]);
            moved |= next != *own;
            *own = next;
        }
        moved
    }
}

/// Worth of strips of each lane at lengths that grow.
struct Strips<'a> {
    lanes: &'a [Front],
    at: Vec<usize>,
    each: Vec<Each>,
}

impl<'a> Strips<'a> {
    fn new(lanes: &'a [Front], all: impl Iterator<Item = i64>) -> Self {
        Strips { lanes, at: vec![0; lanes.len()], each: all.map(|all| Each { one: 0, all }).collect() }
    }

    /// The next length at which a lane is worth more.
    fn next_length(&mut self) -> Option<i64> {
        let next = |(lane, at): (&Front, &usize)| lane.fillings.get(at + 1).map(|filling| filling.size);
        let length = self.lanes.iter().zip(&self.at).filter_map(next).min()?;
        for ((lane, at), each) in self.lanes.iter().zip(&mut self.at).zip(&mut self.each) {
            if let Some(filling) = lane.fillings.get(*at + 1).filter(|filling| filling.size == length) {
                *at += 1;
                each.one = filling.worth;
            }
        }
        Some(length)
    }
}

impl Pricing for Ripped<'_> {
    fn price(&mut self, prices: Prices, work: &mut Work) -> Priced {
        let worth: Vec<i64> = prices.worth.iter().map(|&worth| worth as i64).collect();
        let mut priced = Priced::default();
        for (board, &allowed) in prices.allowed.iter().enumerate() {
            let own = Worth { worth: &worth, most: prices.most, allowed: allowed as i64 };
            let Eased { shown, patterns } = self.ease(board, own, Effort::Pattern(STEPS_A_ROUND), work);
            priced.best.push(shown.best as f64);
            priced.patterns.extend(patterns);
        }
        priced
    }

    fn sure(&mut self, worth: &[f64], _best: Vec<f64>, work: &mut Work) -> Vec<f64> {
        self.made_sure(worth, work).iter().map(|own| own.best as f64).collect()
    }

    fn single(&mut self, board: usize, part: u32, most: u32) -> Option<Pattern> {
        let yard = self.yard;
        let size = yard.instance.sizes[part as usize];
        let Some(plank) = yard.plank(board) else { return Some(Pattern { board, counts: vec![(part, 1)] }) };
        let count = |room: i64| u32::try_from(room).unwrap_or(u32::MAX).min(most);
        let along = count(yard.instance.boards[board].capacity / size);
        if along == 0 || !plank.holds(part) {
            return None;
        }
        if plank.whole.contains(&part) {
            return Some(self.pattern(board, vec![Piece::Whole(vec![(part, along)])]));
        }
        let total = count(plank.room / yard.needs[part as usize] * i64::from(along));
        let full = vec![vec![(part, along)]; (total / along) as usize];
        let rest = Some(vec![(part, total % along)]).filter(|rest| rest[0].1 > 0);
        Some(self.pattern(board, vec![Piece::Ripped(full.into_iter().chain(rest).collect())]))
    }

    fn finish(&mut self, rest: Rest, _: Option<&[f64]>) -> Option<Packing> {
        let plan = first_fit(self.yard, &rest)?;
        Some(plan.into_iter().map(|(board, cutting, times)| (self.pattern(board, cutting), times)).collect())
    }

    fn list(&mut self, worths: &Worths, below: i64, most: usize, work: &mut Work) -> Option<Vec<Pattern>> {
        let yard = self.yard;
        enumerate(self, yard, worths, below, most, work)
    }
}
