//! How studies share the cores of the computer.

use rayon::prelude::*;

/// Leaves one core to whatever else the program does, such as drawing a window: studies begun from now on take all others. On a
/// machine with one core, and where studies have begun already, nothing changes.
pub fn leave_a_core() {
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let pool = rayon::ThreadPoolBuilder::new().num_threads(cores.saturating_sub(1).max(1));
    // Only the first caller decides; results are the same on any number of threads.
    drop(pool.build_global());
}

/// Does something with each of some items, on all cores.
pub fn on_all_cores<T: Sync>(items: &[T], work: impl Fn(&T) + Sync + Send) {
    items.par_iter().for_each(work);
}
