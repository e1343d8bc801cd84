//! Effort, counted in elementary steps and never by a clock: the same problem stops at the same place on every machine.

/// How far a solve has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Progress {
    /// Steps spent.
    pub steps: u64,
    /// Cost of the best plan, once there is one.
    pub cost: Option<i64>,
    /// Proven bound.
    pub bound: i64,
}

/// Steps between two looks at whether to go on: some ten milliseconds.
const LOOK_EVERY: u64 = 10_000_000;

/// A purse of steps.
pub(super) struct Work<'a> {
    limit: u64,
    next_look: u64,
    go_on: &'a mut dyn FnMut(&Progress) -> bool,
    /// What is told on each look.
    pub progress: Progress,
    stopped: bool,
}

impl<'a> Work<'a> {
    pub(super) fn new(limit: u64, go_on: &'a mut dyn FnMut(&Progress) -> bool) -> Self {
        Work { limit, next_look: 0, go_on, progress: Progress::default(), stopped: false }
    }

    /// Ends the search after so many steps in all; gives what the limit was.
    pub(super) fn limit_to(&mut self, steps: u64) -> u64 {
        std::mem::replace(&mut self.limit, steps)
    }

    /// Spends steps; looks outside now and then.
    pub(super) fn spend(&mut self, steps: usize) {
        self.progress.steps += steps as u64;
        if self.progress.steps >= self.next_look {
            self.next_look = self.progress.steps + LOOK_EVERY;
            self.stopped |= !(self.go_on)(&self.progress);
        }
    }

    /// Whether the search must end.
    pub(super) fn is_over(&self) -> bool {
        self.stopped || self.progress.steps >= self.limit
    }

    /// Steps spent.
    pub(super) fn steps(&self) -> u64 {
        self.progress.steps
    }
}
