//! The frame of a piece at each stiffness of its joints, made ready for loads.

use super::build::Framing;
use crate::statics::frame::{Frame, Prepared};
use core::ops::Deref;
use slatwork_base::Diagnostic;
use std::sync::{Arc, OnceLock};

/// Joints are never as stiff as they are reckoned: every load case is looked at with these times their stiffness. The first is
/// as reckoned.
pub const STIFFNESSES: [f64; 3] = [1.0, 0.5, 2.0];

/// The frame of a piece, shared by all that is made of it.
#[derive(Clone)]
pub(super) struct Shared(Arc<Framing>);

impl Deref for Shared {
    type Target = Frame;
    fn deref(&self) -> &Frame {
        &self.0.frame
    }
}

/// A frame made ready, or why there is none.
type Readied = Result<Prepared<Shared>, Vec<Diagnostic>>;

/// A piece as a frame at each of [`STIFFNESSES`].
#[derive(Debug)]
pub(super) struct Stiffnesses {
    /// As reckoned.
    pub(super) framing: Arc<Framing>,
    /// Each made ready when first asked for.
    ready: [OnceLock<Readied>; STIFFNESSES.len()],
}

impl Stiffnesses {
    /// `framing` has its joints as they are reckoned.
    pub(super) fn of(framing: Framing) -> Stiffnesses {
        Stiffnesses { framing: Arc::new(framing), ready: Default::default() }
    }

    /// The frame at one of [`STIFFNESSES`], by index.
    pub(super) fn at(&self, which: usize) -> &Readied {
        self.ready[which].get_or_init(|| match which {
            0 => Prepared::new(Shared(Arc::clone(&self.framing))),
            _ => match self.at(0) {
                Ok(reckoned) => reckoned.with(&self.framing.joints_times(STIFFNESSES[which])),
                Err(found) => Err(found.clone()),
            },
        })
    }
}
