//! Work beside the window: one named thread, at most one job running and one waiting; the newest request wins.
//!
//! Every request has a generation number. A newer request sets the cancel flag of the running job, and replaces one
//! that still waits. A result carries the generation it answers, so that the window can tell a stale one.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

/// A result with the request it answers.
#[derive(Debug, Clone, PartialEq)]
pub struct Done<R> {
    /// The generation that [`Worker::request`] returned.
    pub generation: u64,
    /// What the job returned, or the message of its panic.
    pub result: Result<R, String>,
    /// How long the job took up to here.
    pub elapsed: Duration,
    /// Whether this is all; more of the same request follows otherwise.
    pub is_whole: bool,
}

/// Why there is no worker.
#[derive(Debug)]
pub struct NoThread(pub std::io::Error);

impl std::fmt::Display for NoThread {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "the system refused a thread for solving: {}", self.0)
    }
}

impl std::error::Error for NoThread {}

struct Slot<Q, R> {
    waiting: Option<(u64, Q)>,
    cancel: Arc<AtomicBool>,
    done: Option<Done<R>>,
    closed: bool,
}

struct Shared<Q, R> {
    slot: Mutex<Slot<Q, R>>,
    changed: Condvar,
}

impl<Q, R> Shared<Q, R> {
    /// The slot; a job's panic is caught outside the lock, so a poisoned lock still holds a whole slot.
    fn lock(&self) -> MutexGuard<'_, Slot<Q, R>> {
        self.slot.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// One thread that answers the newest request.
pub struct Worker<Q, R> {
    shared: Arc<Shared<Q, R>>,
    newest: u64,
}

impl<Q, R> std::fmt::Debug for Worker<Q, R> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Worker").field("newest", &self.newest).finish_non_exhaustive()
    }
}

impl<Q: Send + 'static, R: Send + 'static> Worker<Q, R> {
    /// Starts the thread.
    ///
    /// `job` answers a request and should look at the flag between its steps: when it is set, a newer request
    /// waits and its result is not wanted. It may hand out what it has so far before it returns the whole. `wake` is
    /// called after each result.
    ///
    /// # Errors
    /// [`NoThread`] when the system refuses a thread.
    pub fn start(
        name: &str,
        job: impl Fn(Q, &AtomicBool, &(dyn Fn(R) + Sync)) -> R + Send + 'static,
        wake: impl Fn() + Send + Sync + 'static,
    ) -> Result<Self, NoThread> {
        let slot = Slot { waiting: None, cancel: Arc::default(), done: None, closed: false };
        let shared = Arc::new(Shared { slot: Mutex::new(slot), changed: Condvar::new() });
        let theirs = Arc::clone(&shared);
        std::thread::Builder::new()
            .name(name.to_owned())
            .spawn(move || answer_requests(&theirs, &job, &wake))
            .map_err(NoThread)?;
        Ok(Self { shared, newest: 0 })
    }

    /// Asks for a result; returns at once with the generation of the request. A request that still waits is dropped,
    /// one that runs is told to stop.
    pub fn request(&mut self, query: Q) -> u64 {
        self.newest += 1;
        let mut slot = self.shared.lock();
        slot.cancel.store(true, Ordering::Relaxed);
        slot.waiting = Some((self.newest, query));
        drop(slot);
        self.shared.changed.notify_one();
        self.newest
    }

    /// Tells the running job to stop; what it then returns answers its request.
    pub fn stop(&self) {
        self.shared.lock().cancel.store(true, Ordering::Relaxed);
    }

    /// The newest result that has not been taken yet; never waits for one.
    pub fn take(&mut self) -> Option<Done<R>> {
        self.shared.lock().done.take()
    }

    /// The generation of the newest request, 0 before the first.
    pub fn newest(&self) -> u64 {
        self.newest
    }
}

impl<Q, R> Drop for Worker<Q, R> {
    /// Tells the thread to end. It is not waited for: the window closes at once, and the job ends at its next look at
    /// the flag.
    fn drop(&mut self) {
        let mut slot = self.shared.lock();
        slot.closed = true;
        slot.waiting = None;
        slot.cancel.store(true, Ordering::Relaxed);
        drop(slot);
        self.shared.changed.notify_one();
    }
}

fn answer_requests<Q, R>(
    shared: &Shared<Q, R>,
    job: &impl Fn(Q, &AtomicBool, &(dyn Fn(R) + Sync)) -> R,
    wake: &(impl Fn() + Sync),
) where
    Q: Send,
    R: Send,
{
    while let Some((generation, query, cancel)) = next_request(shared) {
        let start = Instant::now();
        let hand_out = |result, is_whole| {
            let done = Done { generation, result, elapsed: start.elapsed(), is_whole };
            shared.lock().done = Some(done);
            wake();
        };
        let so_far = |part| hand_out(Ok(part), false);
        let result = catch_unwind(AssertUnwindSafe(|| job(query, &cancel, &so_far))).map_err(panic_text);
        hand_out(result, true);
    }
}

fn next_request<Q, R>(shared: &Shared<Q, R>) -> Option<(u64, Q, Arc<AtomicBool>)> {
    let mut slot = shared.lock();
    loop {
        if slot.closed {
            return None;
        }
        if let Some((generation, query)) = slot.waiting.take() {
            slot.cancel = Arc::default();
            return Some((generation, query, Arc::clone(&slot.cancel)));
        }
        slot = shared.changed.wait(slot).unwrap_or_else(PoisonError::into_inner);
    }
}

#[expect(clippy::needless_pass_by_value, reason = "the payload of a panic comes as a box")]
fn panic_text(payload: Box<dyn std::any::Any + Send>) -> String {
    let text = payload.downcast_ref::<String>().map(String::as_str);
    let text = text.or_else(|| payload.downcast_ref::<&str>().copied());
    text.unwrap_or("no message").to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::mpsc;

    /// Takes results until the given generation has been answered.
    fn wait_for<Q: Send + 'static, R: Send + 'static>(
        worker: &mut Worker<Q, R>,
        woken: &mpsc::Receiver<()>,
        generation: u64,
    ) -> Done<R> {
        loop {
            woken.recv_timeout(Duration::from_secs(20)).expect("the worker answers");
            if let Some(done) = worker.take()
                && done.generation == generation
                && done.is_whole
            {
                return done;
            }
        }
    }

    #[test]
    fn the_newest_request_wins_and_older_ones_are_cancelled() {
        let (wake, woken) = mpsc::channel();
        let (began, started) = mpsc::channel();
        let job = move |query: u32, cancelled: &AtomicBool, _: &(dyn Fn(u32) + Sync)| {
            began.send(query).expect("the test listens");
            // The first job never ends by itself: only the cancel flag ends it.
            while query == 1 && !cancelled.load(Ordering::Relaxed) {
                std::hint::spin_loop();
            }
            query * 10
        };
        let mut worker =
            Worker::start("test-newest", job, move || wake.send(()).unwrap_or(())).expect("a thread");
        worker.request(1);
        assert_eq!(started.recv_timeout(Duration::from_secs(20)), Ok(1));
        worker.request(2);
        let newest = worker.request(3);
        let done = wait_for(&mut worker, &woken, newest);
        assert_eq!((done.generation, done.result), (3, Ok(30)));
        let ran: Vec<u32> = started.try_iter().collect();
        assert!(ran == [3] || ran == [2, 3], "request 2 may only run before 3 was made: {ran:?}");
    }

    #[test]
    fn a_job_that_is_stopped_answers_its_own_request() {
        let (wake, woken) = mpsc::channel();
        let (began, started) = mpsc::channel();
        let job = move |query: u32, cancelled: &AtomicBool, _: &(dyn Fn(u32) + Sync)| {
            began.send(()).expect("the test listens");
            while !cancelled.load(Ordering::Relaxed) {
                std::hint::spin_loop();
            }
            query + 1
        };
        let mut worker =
            Worker::start("test-stop", job, move || wake.send(()).unwrap_or(())).expect("a thread");
        let generation = worker.request(4);
        started.recv_timeout(Duration::from_secs(20)).expect("it began");
        worker.stop();
        assert_eq!(wait_for(&mut worker, &woken, generation).result, Ok(5));
    }

    #[test]
    fn a_part_comes_before_the_whole() {
        let (wake, woken) = mpsc::channel();
        let (go_on, waits) = mpsc::channel();
        let job = move |query: u32, _: &AtomicBool, so_far: &(dyn Fn(u32) + Sync)| {
            so_far(query + 1);
            waits.recv_timeout(Duration::from_secs(20)).expect("the test goes on");
            query + 2
        };
        let mut worker =
            Worker::start("test-part", job, move || wake.send(()).unwrap_or(())).expect("a thread");
        let generation = worker.request(10);
        woken.recv_timeout(Duration::from_secs(20)).expect("the part comes");
        let part = worker.take().expect("it is there");
        assert_eq!((part.generation, part.result, part.is_whole), (generation, Ok(11), false));
        go_on.send(()).expect("the job waits");
        assert_eq!(wait_for(&mut worker, &woken, generation).result, Ok(12));
    }

    #[test]
    fn a_panic_is_a_result_and_the_thread_lives_on() {
        let (wake, woken) = mpsc::channel();
        let job = |query: u32, _: &AtomicBool, _: &(dyn Fn(u32) + Sync)| {
            assert!(query != 1, "query {query} is refused");
            query
        };
        let mut worker =
            Worker::start("test-panic", job, move || wake.send(()).unwrap_or(())).expect("a thread");
        let first = worker.request(1);
        let refused = wait_for(&mut worker, &woken, first).result.expect_err("it panics");
        assert!(refused.contains("query 1 is refused"), "{refused}");
        let second = worker.request(2);
        assert_eq!(wait_for(&mut worker, &woken, second).result, Ok(2));
    }
}
