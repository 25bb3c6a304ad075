//! What a user of the window waits for, on the glider tug at 1440 x 900 points: an edit until its steady numbers are drawn, a frame of
//! every page, and frames while a study of 10,000 samples runs beside the window. Frames are laid out, painted into shapes and cut into
//! triangles; handing those to the graphics driver is left out.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use app::{Command, Opening, Page, Window};
use criterion::{Criterion, criterion_group};
use eframe::App as _;
use egui::{Context, Pos2, RawInput, Rect, Vec2};
use session::{Choice, Extent, Snapshot};
use studies::spread::{SpreadOptions, spread};

const TUG: &str = include_str!("../../../demo-projects/tug.ron");
/// An input that moves the numbers of every case, and two values of it.
const INPUT: &str = "cores.stator radiator.transfer.width";
const WIDTHS: [&str; 2] = ["230 mm", "231 mm"];

/// The window without a screen.
struct Desk {
    ctx: Context,
    window: Window,
    frame: eframe::Frame,
    begin: Instant,
}

impl Desk {
    fn open(page: Page) -> Self {
        let ctx = Context::default();
        let tug = Snapshot::from_bytes(TUG.as_bytes()).expect("the demo is a project").0;
        let window =
            Window::new(&ctx, Opening { page, ..Opening::new(tug) }).expect("threads can be started");
        Self { ctx, window, frame: eframe::Frame::_new_kittest(), begin: Instant::now() }
    }

    /// One frame.
    fn draw(&mut self) -> usize {
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, Vec2::new(1440.0, 900.0))),
            time: Some(self.begin.elapsed().as_secs_f64()),
            ..RawInput::default()
        };
        let (window, frame) = (&mut self.window, &mut self.frame);
        let output = self.ctx.run_ui(input, |ui| {
            let ctx = ui.ctx().clone();
            window.logic(&ctx, frame);
            window.ui(ui, frame);
        });
        let triangles = self.ctx.tessellate(output.shapes.clone(), output.pixels_per_point).len();
        output.drop_without_applying_deltas();
        triangles
    }

    fn until(&mut self, done: impl Fn(&Window) -> bool) {
        while !done(&self.window) {
            self.draw();
            std::thread::yield_now();
        }
        self.draw();
    }

    /// The time from a key that ends an edit to the end of the frame that shows its numbers: the frame that takes the key, the edit,
    /// and a frame whenever the window asks for one.
    fn time_of_edit(&mut self, width: &str, is_shown: impl Fn(&Window) -> bool) -> Duration {
        let start = Instant::now();
        self.draw();
        self.edit(width);
        while !is_shown(&self.window) {
            while !self.ctx.has_requested_repaint() {
                std::thread::sleep(Duration::from_micros(50));
            }
            self.draw();
        }
        start.elapsed()
    }

    fn edit(&mut self, width: &str) {
        let ctx = self.ctx.clone();
        self.window.apply(&ctx, Command::Edit { path: INPUT.to_owned(), text: width.to_owned() });
    }
}

/// From the key that ends an edit to the frame with the new steady numbers of every case.
fn edits(criterion: &mut Criterion) {
    let mut desk = Desk::open(Page::Loops);
    desk.until(Window::is_complete);
    let mut group = criterion.benchmark_group("window");
    group.sample_size(20);
    // The measured closures are called anew for every sample: what an edit changes to must differ from what is there.
    let mut turn = 0;
    group.bench_function("edit to steady numbers of all cases", |b| {
        b.iter_custom(|times| {
            let mut whole = Duration::ZERO;
            for _ in 0..times {
                desk.until(Window::is_complete);
                turn = 1 - turn;
                whole += desk.time_of_edit(WIDTHS[turn], |window| {
                    window.is_drawn_anew() && !matches!(window.screen().extent, Extent::FirstCase(_))
                });
            }
            whole
        });
    });
    group.bench_function("edit to steady numbers of the case on screen", |b| {
        b.iter_custom(|times| {
            let mut whole = Duration::ZERO;
            for _ in 0..times {
                desk.until(Window::is_complete);
                turn = 1 - turn;
                whole += desk.time_of_edit(WIDTHS[turn], Window::is_drawn_anew);
            }
            whole
        });
    });
    group.bench_function("edit taken over, without solving", |b| {
        let tug = Snapshot::from_bytes(TUG.as_bytes()).expect("the demo is a project").0;
        let choice = tug.choices().settle(&Choice::default());
        // the state before is kept for undo, so that its end is not part of the edit
        b.iter_with_large_drop(|| tug.edited(&choice, INPUT, WIDTHS[1]).expect("the input is known"));
    });
    group.finish();
}

fn frames(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("frame at rest");
    group.sample_size(10);
    for page in Page::ALL {
        let mut desk = Desk::open(page);
        desk.until(Window::is_complete);
        let ctx = desk.ctx.clone();
        let mission = desk.window.snapshot().choices().missions().next().cloned().expect("the tug flies");
        desk.window.apply(&ctx, Command::JumpTo { case: mission, time_s: Some(200.0) });
        desk.until(Window::is_complete);
        group.bench_function(page.label(), |b| b.iter(|| desk.draw()));
    }
    group.finish();
}

/// Frames sixty times a second on every page in turn while 10,000 samples are solved on worker threads.
fn frames_beside_a_study() -> String {
    let mut desk = Desk::open(Page::Loops);
    desk.until(Window::is_complete);
    let ctx = desk.ctx.clone();
    let mission = desk.window.snapshot().choices().missions().next().cloned().expect("the tug flies");
    desk.window.apply(&ctx, Command::JumpTo { case: mission, time_s: Some(200.0) });
    desk.until(Window::is_complete);
    let is_done = Arc::new(AtomicBool::new(false));
    let flag = Arc::clone(&is_done);
    let study = std::thread::Builder::new().name("study".to_owned()).spawn(move || {
        let node = project::parse(TUG.as_bytes()).0.expect("a tree was read");
        let tug = model::design::decode(&node).expect("the demo is valid");
        let options = SpreadOptions { samples: 10_000, ..SpreadOptions::default() };
        let found = spread(&node, &tug, &options, &AtomicBool::new(false), |_| ());
        flag.store(true, Ordering::Relaxed);
        found.expect("the demo can be put together").margins.len()
    });
    let study = study.expect("a thread can be started");
    let beat = Duration::from_micros(16_667);
    let mut next = Instant::now() + beat;
    let mut late: Vec<Duration> = Vec::new();
    while !is_done.load(Ordering::Relaxed) {
        std::thread::sleep(next.saturating_duration_since(Instant::now()));
        // every third of a second another page
        let page = Page::ALL[late.len() / 20 % Page::ALL.len()];
        if !matches!(page, Page::Turnaround | Page::Failures) {
            desk.window.apply(&ctx, Command::Show(page));
        }
        desk.draw();
        let end = Instant::now();
        late.push(end.saturating_duration_since(next));
        while next <= end {
            next += beat;
        }
    }
    let margins = study.join().expect("the study does not panic");
    late.sort();
    let part = |share: f64| late[((late.len() - 1) as f64 * share) as usize].as_secs_f64() * 1e3;
    let over = late.iter().filter(|time| time.as_secs_f64() > 0.033).count();
    format!(
        "frames beside a study of 10,000 samples ({margins} margins): {} frames, from their beat to their end: median {:.1} ms, \
         99 % {:.1} ms, worst {:.1} ms, {over} over 33 ms",
        late.len(),
        part(0.5),
        part(0.99),
        part(1.0)
    )
}

fn first_frame() -> String {
    let start = Instant::now();
    let mut desk = Desk::open(Page::Loops);
    desk.draw();
    let first = start.elapsed().as_secs_f64() * 1e3;
    while desk.window.screen().strips.is_empty() {
        desk.draw();
        std::thread::yield_now();
    }
    desk.draw();
    let numbers = start.elapsed().as_secs_f64() * 1e3;
    format!("from the text of the file: first frame {first:.0} ms, first steady numbers {numbers:.0} ms")
}

/// The most memory this process has had, after the window and the study beside it.
fn memory() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let peak = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    format!("most memory so far: {}", peak.map_or("not told by this system", str::trim))
}

criterion_group!(benches, edits, frames);

#[expect(clippy::print_stdout, reason = "a bench prints what it measured")]
fn main() {
    // as the window does when it opens
    studies::leave_a_core();
    // a filter asks for single benches
    if std::env::args().skip(1).all(|argument| argument.starts_with("--")) {
        println!("{}", first_frame());
        println!("{}", frames_beside_a_study());
        println!("{}", memory());
    }
    benches();
    Criterion::default().configure_from_args().final_summary();
}
