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

/// Pieces from which two threads are worth having.
const MANY: usize = 512;

/// What the work gives for each number below `count`, in order: the second half on a thread of its own.
pub(crate) fn each<T: Send>(count: usize, work: impl Fn(usize) -> T + Sync) -> Vec<T> {
    if count < MANY {
        return (0..count).map(work).collect();
    }
    let half = count / 2;
    let (rest, mut out) = beside(
        || (half..count).map(&work).collect::<Vec<T>>(),
        || {
            let mut out = Vec::with_capacity(count);
            out.extend((0..half).map(&work));
            out
        },
    );
    out.extend(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::each;

    #[test]
    fn the_split_does_not_show() {
        for count in [0, 1, 511, 512, 513, 2000] {
            let all: Vec<usize> = (0..count).map(|i| i * i).collect();
            assert_eq!(each(count, |i| i * i), all);
        }
    }
}
