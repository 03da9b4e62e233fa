//! Two pieces of work at once: one on a thread of its own, if there is one to be had, and the other
//! here. What comes out does not depend on which was done first. Knows nothing of the work.

/// What both pieces of work give.
pub(crate) fn beside<A: Send, B>(there: impl Fn() -> A + Sync, here: impl FnOnce() -> B) -> (A, B) {
    std::thread::scope(|scope| {
        let thread = std::thread::Builder::new().spawn_scoped(scope, &there);
        let done_here = here();
        let done_there = thread.ok().and_then(|thread| thread.join().ok());
        (done_there.unwrap_or_else(&there), done_here)
    })
}
