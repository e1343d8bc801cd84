//! The words of `build(job, p)`: boards, relations, operations, lines and hanging, on top of the model's bench.
//!
//! | file | what |
//! |---|---|
//! | `hold.rs` | what a script holds: job, group, board, side, line, outline, bolt |
//! | `lay.rs` | laying boards and groups, counting hardware, seat, steps |
//! | `joints.rs` | joining boards |
//! | `relate.rs` | the relations and sizes |
//! | `lines.rs` | lines and outlines drawn in the script |
//! | `operate.rs` | run, fan, cope, trim, holes, hanging |

mod hold;
mod joints;
mod lay;
mod lines;
mod operate;
mod relate;

pub(crate) use hold::Job;
pub(crate) use joints::ScriptedJoint;

use crate::modules::Subject;

/// The words about laying boards.
pub(crate) fn lay_subject() -> Subject {
    lay::subject()
}

/// The words that place boards by how they meet.
pub(crate) fn relate_subject() -> Subject {
    relate::subject()
}

/// The words about lines and outlines.
pub(crate) fn lines_subject() -> Subject {
    lines::subject()
}

/// The words that join boards.
pub(crate) fn joints_subject() -> Subject {
    joints::subject()
}

/// The words about slats, fits, holes and hanging.
pub(crate) fn operate_subject() -> Subject {
    operate::subject()
}
