//! Short work on several cores at once, for what an edit waits for; long studies have threads of their own.
//!
//! One core is left to the window: it draws the first numbers while the others are worked out.

use std::num::NonZero;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::thread;

/// The results of `work` for 0 to `count`, in this order whatever the number of threads; nothing once the flag is set.
pub(crate) fn each<T: Send>(
    count: usize,
    cancelled: &AtomicBool,
    work: impl Fn(usize) -> T + Sync,
) -> Option<Vec<T>> {
    let next = AtomicUsize::new(0);
    let share = || {
        let mut own: Vec<(usize, T)> = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            if index >= count || cancelled.load(Ordering::Relaxed) {
                return own;
            }
            own.push((index, work(index)));
        }
    };
    let cores = thread::available_parallelism().map_or(1, NonZero::get);
    let mut all = thread::scope(|scope| {
        // This thread takes its share too; a thread that the system refuses leaves more to the others.
        let helpers: Vec<_> = (2..cores.min(count + 1))
            .filter_map(|_| {
                thread::Builder::new().name("heatledger-part".to_owned()).spawn_scoped(scope, share).ok()
            })
            .collect();
        let mut all = share();
        for helper in helpers {
            match helper.join() {
                Ok(own) => all.extend(own),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        all
    });
    if all.len() < count {
        return None;
    }
    all.sort_by_key(|(index, _)| *index);
    Some(all.into_iter().map(|(_, result)| result).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_come_in_order_and_not_at_all_when_cancelled() {
        let go_on = AtomicBool::new(false);
        assert_eq!(each(5, &go_on, |index| index * index), Some(vec![0, 1, 4, 9, 16]));
        assert_eq!(each(0, &go_on, |index| index), Some(Vec::new()));
        assert_eq!(each(3, &AtomicBool::new(true), |index| index), None);
    }
}
