//! Keeps a panic inside a demultiplexer or decoder, which a garbled file can cause, from ending
//! the program.

use std::cell::Cell;
use std::panic::{AssertUnwindSafe, catch_unwind, set_hook, take_hook};
use std::sync::Once;

thread_local! {
    /// True while this thread runs code whose panics are caught and reported as a damaged file.
    static GUARDED: Cell<bool> = const { Cell::new(false) };
}

/// Runs `work`; a panic in it gives `None` and prints nothing. The caller must drop whatever
/// `work` may have left half changed.
///
/// The first call wraps the process's panic hook, once, so that guarded panics stay quiet and all
/// others go to the hook that was there before.
pub(crate) fn guarded<T>(work: impl FnOnce() -> T) -> Option<T> {
    static HOOK: Once = Once::new();
    HOOK.call_once(|| {
        let before = take_hook();
        set_hook(Box::new(move |info| {
            if !GUARDED.with(Cell::get) {
                before(info);
            }
        }));
    });
    let outer = GUARDED.with(|g| g.replace(true));
    let result = catch_unwind(AssertUnwindSafe(work)).ok();
    GUARDED.with(|g| g.set(outer));
    result
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_becomes_none_and_the_next_call_works() {
        assert_eq!(guarded(|| -> u32 { panic!("inside a decoder") }), None);
        assert_eq!(guarded(|| 7), Some(7));
        assert!(!GUARDED.with(Cell::get));
    }
}
