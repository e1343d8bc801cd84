//! What a script holds: cheap handles on the one bench of a run.

use crate::host::{HostResult, origin, raise, type_word};
use rhai::{Array, Dynamic, NativeCallContext};
use slatwork_base::Outcome;
use slatwork_base::{Diagnostic, Length, Origin};
use slatwork_model::bench::{AxisId, BoardId, CurveRef, GroupHandle, Item, Side};
use slatwork_model::{Bench, Model};
use slatwork_solid::{Path, Profile};
use std::sync::{Arc, Mutex, PoisonError};

/// The work in hand; the script holds it as `job`.
#[derive(Clone)]
pub(crate) struct Job(Arc<Mutex<Option<Bench>>>);

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
    pub(crate) fn new(bench: Bench) -> Self {
        Job(Arc::new(Mutex::new(Some(bench))))
    }

    /// Takes the bench away from the script and finishes the piece.
    pub(crate) fn finish(&self) -> Outcome<Model> {
        let bench = self.0.lock().unwrap_or_else(PoisonError::into_inner).take();
        match bench {
            Some(bench) => bench.finish(),
            None => Outcome::failed(Diagnostic::error("job-is-over", "the piece is already finished")),
        }
    }

    /// Works on the bench; faults stand at the calling line.
    pub(super) fn work<T>(
        &self,
        ctx: &NativeCallContext,
        work: impl FnOnce(&mut Bench, Origin) -> Result<T, Diagnostic>,
    ) -> HostResult<T> {
        let mut bench = self.0.lock().unwrap_or_else(PoisonError::into_inner);
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
