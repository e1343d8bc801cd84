//! What a script holds: cheap handles on the one bench of a run.

use super::joints::ScriptedJoint;
use crate::host::{HostResult, origin, raise, type_word};
use rhai::{Array, Dynamic, NativeCallContext};
use slatwork_base::Outcome;
use slatwork_base::{Diagnostic, Length, Origin};
use slatwork_model::bench::{AxisId, BoardId, CurveRef, GroupHandle, Item, Side};
use slatwork_model::{Bench, JointOrder};
use slatwork_solid::{Path, Profile};
use std::collections::VecDeque;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// The work in hand; the script holds it as `job`.
#[derive(Clone)]
pub(crate) struct Job {
    bench: Arc<Mutex<Option<Bench>>>,
    joints: Arc<Mutex<Joints>>,
}

/// Joints of kinds that scripts define.
#[derive(Default)]
struct Joints {
    /// The kinds there are.
    kinds: Vec<String>,
    /// Asked for, not made yet.
    waiting: VecDeque<ScriptedJoint>,
    /// How many were asked for in all.
    count: usize,
    /// The kind that is being made, and where the family asked for it.
    making: Option<(String, Origin)>,
}

/// How many joints of scripted kinds a piece may have: a fence against kinds that ask for themselves.
const MOST_SCRIPTED: usize = 2_000;

/// A group.
#[derive(Clone)]
pub(crate) struct GroupWord {
    pub(super) job: Job,
    pub(super) group: GroupHandle,
}

/// A board.
#[derive(Clone)]
pub(crate) struct BoardWord {
    pub(super) job: Job,
    pub(super) board: BoardId,
}

/// A side of a board or group.
#[derive(Clone)]
pub(crate) struct SideWord(pub(super) Side);

/// The outline of a board that looks one way.
#[derive(Clone)]
pub(crate) struct CurveWord {
    pub(super) job: Job,
    pub(super) curve: CurveRef,
}

/// An open line of straight pieces and arcs, mm.
#[derive(Clone)]
pub(crate) struct LineWord(pub(super) Path);

/// A closed outline, mm.
#[derive(Clone)]
pub(crate) struct OutlineWord(pub(super) Profile);

/// A bolt, eye or chain.
#[derive(Clone)]
pub(crate) struct BoltWord {
    pub(super) job: Job,
    pub(super) axis: AxisId,
}

impl Job {
    /// A job on a fresh bench.
    pub(crate) fn new(bench: Bench, kinds: Vec<String>) -> Self {
        let joints = Joints { kinds, ..Joints::default() };
        Job { bench: Arc::new(Mutex::new(Some(bench))), joints: Arc::new(Mutex::new(joints)) }
    }

    fn joints(&self) -> MutexGuard<'_, Joints> {
        self.joints.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Whether a kind of joint is one that a script defines.
    pub(super) fn is_scripted(&self, kind: &str) -> bool {
        self.joints().kinds.iter().any(|known| known == kind)
    }

    /// The kinds of joint that scripts define.
    pub(super) fn scripted_kinds(&self) -> Vec<String> {
        self.joints().kinds.clone()
    }

    /// Keeps a scripted joint until everything is laid.
    pub(super) fn put_off(&self, joint: ScriptedJoint) -> Result<(), Diagnostic> {
        let mut joints = self.joints();
        joints.count += 1;
        if joints.count > MOST_SCRIPTED {
            let fault =
                Diagnostic::error("too-many-joints", format!("more than {MOST_SCRIPTED} scripted joints"));
            return Err(fault.at_origin(joint.origin).help("look for a joint that asks for itself"));
        }
        joints.waiting.push_back(joint);
        Ok(())
    }

    /// The next joint to make; what its script does until the next one is done on its behalf.
    pub(crate) fn next_scripted(&self) -> Option<ScriptedJoint> {
        let mut joints = self.joints();
        let next = joints.waiting.pop_front();
        joints.making = next.as_ref().map(|joint| (joint.kind.clone(), joint.origin));
        next
    }

    /// An order, marked as a piece of the scripted joint that is being made.
    pub(super) fn within(&self, order: JointOrder) -> JointOrder {
        let within = self.joints().making.as_ref().map(|(kind, _)| kind.clone());
        JointOrder { within, ..order }
    }

    /// Where the family asked: the line of the call, or of the scripted joint it is a piece of.
    pub(super) fn asked_at(&self, call: Origin) -> Origin {
        self.joints().making.as_ref().map_or(call, |(_, origin)| *origin)
    }

    /// Looks whether boards are still in one piece after a scripted joint.
    pub(crate) fn check_whole(&self, joint: &ScriptedJoint) -> Result<(), Diagnostic> {
        let bench = self.bench.lock().unwrap_or_else(PoisonError::into_inner);
        let Some(bench) = bench.as_ref() else { return Ok(()) };
        [joint.a.board, joint.b.board]
            .into_iter()
            .try_for_each(|board| bench.check_whole(board, &joint.kind, joint.origin))
    }

    /// Takes the bench away from the script.
    pub(crate) fn take(&self) -> Outcome<Bench> {
        let bench = self.bench.lock().unwrap_or_else(PoisonError::into_inner).take();
        match bench {
            Some(bench) => Outcome::fine(bench),
            None => Outcome::failed(Diagnostic::error("job-is-over", "the piece is already finished")),
        }
    }

    /// Works on the bench; faults stand at the calling line.
    pub(super) fn work<T>(
        &self,
        ctx: &NativeCallContext,
        work: impl FnOnce(&mut Bench, Origin) -> Result<T, Diagnostic>,
    ) -> HostResult<T> {
        let mut bench = self.bench.lock().unwrap_or_else(PoisonError::into_inner);
        let Some(bench) = bench.as_mut() else {
            return Err(raise(ctx, Diagnostic::error("job-is-over", "the piece is already finished")));
        };
        work(bench, origin(ctx)).map_err(|fault| raise(ctx, fault))
    }

    pub(super) fn board(&self, board: BoardId) -> BoardWord {
        BoardWord { job: self.clone(), board }
    }

    pub(super) fn boards(&self, boards: &[BoardId]) -> Array {
        boards.iter().map(|board| Dynamic::from(self.board(*board))).collect()
    }
}

impl BoardWord {
    pub(super) fn item(&self) -> Item {
        Item::Board(self.board)
    }
}

impl GroupWord {
    pub(super) fn item(&self) -> Item {
        Item::Group(self.group)
    }
}

fn wrong(ctx: &NativeCallContext, value: &Dynamic, wanted: &str) -> Box<rhai::EvalAltResult> {
    let message = format!("{wanted} is wanted here, not {}", type_word(ctx, value));
    raise(ctx, Diagnostic::error("wrong-type", message))
}

/// A board or a group from a script value.
pub(super) fn item_of(ctx: &NativeCallContext, value: &Dynamic) -> HostResult<Item> {
    if let Some(board) = value.clone().try_cast::<BoardWord>() {
        return Ok(board.item());
    }
    match value.clone().try_cast::<GroupWord>() {
        Some(group) => Ok(group.item()),
        None => Err(wrong(ctx, value, "a board or a group")),
    }
}

/// Boards and groups from a script value: one of them, a list, or lists in lists.
pub(super) fn items_of(ctx: &NativeCallContext, value: &Dynamic) -> HostResult<Vec<Item>> {
    let Some(list) = value.clone().try_cast::<Array>() else { return Ok(vec![item_of(ctx, value)?]) };
    let mut items = Vec::with_capacity(list.len());
    for entry in &list {
        items.extend(items_of(ctx, entry)?);
    }
    Ok(items)
}

/// Boards from a script value: one board, a list of boards, or lists in lists.
pub(super) fn boards_of(ctx: &NativeCallContext, value: &Dynamic) -> HostResult<Vec<BoardId>> {
    if let Some(board) = value.clone().try_cast::<BoardWord>() {
        return Ok(vec![board.board]);
    }
    let Some(list) = value.clone().try_cast::<Array>() else {
        return Err(wrong(ctx, value, "a board or a list of boards"));
    };
    let mut boards = Vec::with_capacity(list.len());
    for entry in &list {
        boards.extend(boards_of(ctx, entry)?);
    }
    Ok(boards)
}

/// A side from a script value.
pub(super) fn side_of(ctx: &NativeCallContext, value: &Dynamic) -> HostResult<Side> {
    match value.clone().try_cast::<SideWord>() {
        Some(side) => Ok(side.0),
        None => Err(wrong(ctx, value, "a side, as `rail.side(\"up\")`,")),
    }
}

/// A side with a distance from it: a side alone, or `[side, distance]`.
pub(super) fn side_and_distance(ctx: &NativeCallContext, value: &Dynamic) -> HostResult<(Side, Length)> {
    let Some(list) = value.clone().try_cast::<Array>() else {
        return Ok((side_of(ctx, value)?, Length::ZERO));
    };
    let [side, distance] = list.as_slice() else {
        return Err(wrong(ctx, value, "a side with a distance, as `[rail.side(\"up\"), 2.inch]`,"));
    };
    let Some(distance) = distance.clone().try_cast::<Length>() else {
        return Err(wrong(ctx, distance, "a length"));
    };
    Ok((side_of(ctx, side)?, distance))
}

/// A list of lengths from a script value.
pub(super) fn lengths_of(ctx: &NativeCallContext, value: &Dynamic) -> HostResult<Vec<Length>> {
    let Some(list) = value.clone().try_cast::<Array>() else {
        return Err(wrong(ctx, value, "a list of lengths"));
    };
    list.iter()
        .map(|entry| entry.clone().try_cast::<Length>().ok_or_else(|| wrong(ctx, entry, "a length")))
        .collect()
}
