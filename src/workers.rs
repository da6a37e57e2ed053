//! The same work on each of many things, shared out among the processors.

use std::sync::atomic::{AtomicUsize, Ordering};

/// Most that work at once. Each may hold a decoded photo of some 40 MB, so more would cost more memory
/// than they gain time.
const MOST: usize = 4;

/// Fewer things than this that take some microseconds each are done before threads have started: a
/// walk-round of ten minutes has some 150 sentences.
const MANY: usize = 300;

/// Returns the same as [`each`], for work of which only a great many are worth sharing out.
pub(crate) fn each_of_many<T: Sync, R: Send>(
    things: &[T],
    work: impl Fn(&T) -> R + Sync,
) -> Vec<R> {
    match things.len() < MANY {
        true => things.iter().map(work).collect(),
        false => each(things, work),
    }
}

/// Returns what `work` makes of each thing, in the order of the things: who did which, and who was
/// done first, changes nothing.
pub(crate) fn each<T: Sync, R: Send>(things: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let next = AtomicUsize::new(0);
    let take = || {
        let mut done = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            match things.get(index) {
                Some(thing) => done.push((index, work(thing))),
                None => return done,
            }
        }
    };
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let mut done: Vec<(usize, R)> = std::thread::scope(|scope| {
        let workers: Vec<_> = (0..threads.min(MOST).min(things.len()))
            .map(|_| scope.spawn(take))
            .collect();
        let finished = workers.into_iter().map(|worker| match worker.join() {
            Ok(done) => done,
            Err(panic) => std::panic::resume_unwind(panic),
        });
        finished.flatten().collect()
    });
    done.sort_by_key(|(index, _)| *index);
    done.into_iter().map(|(_, made)| made).collect()
}

#[cfg(test)]
mod tests {
    use super::each;

    #[test]
    fn results_come_in_the_order_of_the_things() {
        let things: Vec<u64> = (0..200).collect();
        let squares = each(&things, |n| {
            // Early ones take longest.
            std::thread::sleep(std::time::Duration::from_micros((200 - n) * 5));
            n * n
        });
        assert!(
            squares
                .iter()
                .enumerate()
                .all(|(n, square)| (n * n) as u64 == *square)
        );
        assert_eq!(each(&[], |_: &u8| 1), Vec::<i32>::new());
    }

    #[test]
    #[should_panic(expected = "the third")]
    fn what_goes_wrong_in_a_worker_is_not_passed_over() {
        each(&[1, 2, 3], |n| assert!(*n < 3, "the third"));
    }
}
