//! Random projects by the thousand: `cargo run --release -p studies --example random_projects -- FIRST LAST FOLDER [CASES]` prints how
//! their cases end; projects of which one does not converge are kept in the folder. So many steady cases are taken of each, and a
//! quarter as many missions (4 and 1 unless told).
#![expect(clippy::print_stdout, clippy::print_stderr, reason = "a program")]

#[path = "../tests/random/run.rs"]
mod run;

use model::result::Status;
use run::Ended;
use std::collections::BTreeMap;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    if let Some(path) = arguments.first().filter(|a| a.parse::<u64>().is_err()) {
        let text = std::fs::read_to_string(path).expect("a project");
        match run::run_text(0, &text, usize::MAX) {
            Ok(ended) => {
                for e in ended {
                    println!(
                        "{} {} {:.1e} {:.0} ms {}",
                        e.case,
                        e.status.word(),
                        e.ledger,
                        1e3 * e.took.as_secs_f64(),
                        e.says
                    );
                }
            }
            Err(message) => println!("{message}"),
        }
        return;
    }
    let number =
        |at: usize, otherwise: u64| arguments.get(at).and_then(|a| a.parse().ok()).unwrap_or(otherwise);
    let (first, last) = (number(0, 1), number(1, 400));
    if arguments.get(2).is_some_and(|a| a == "text") {
        print!("{}", testkit::random_project(first));
        return;
    }
    let most = usize::try_from(number(3, 4)).expect("a number of cases");
    let next = AtomicU64::new(first);
    let all: Mutex<Vec<Ended>> = Mutex::default();
    let refused: Mutex<Vec<String>> = Mutex::default();
    let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                loop {
                    let seed = next.fetch_add(1, Ordering::Relaxed);
                    if seed > last {
                        break;
                    }
                    if seed.is_multiple_of(500) {
                        eprintln!("seed {seed}");
                    }
                    match run::run(seed, most) {
                        Ok(mut ended) => all.lock().expect("no thread panics").append(&mut ended),
                        Err(message) => refused.lock().expect("no thread panics").push(message),
                    }
                }
            });
        }
    });
    let mut all = all.into_inner().expect("no thread panics");
    all.sort_by(|a, b| (a.seed, &a.case).cmp(&(b.seed, &b.case)));
    for message in refused.into_inner().expect("no thread panics") {
        println!("refused: {}", message.chars().take(600).collect::<String>());
    }
    for is_mission in [false, true] {
        report(
            if is_mission { "missions" } else { "steady cases" },
            all.iter().filter(|e| e.is_mission == is_mission),
        );
    }
    for e in all.iter().filter(|e| e.status == Status::NotConverged || e.not_finite.is_some()) {
        println!("{} {} {} {:?} {}", e.seed, e.case, e.status.word(), e.not_finite, e.says);
        if let Some(folder) = arguments.get(2) {
            let path = format!("{folder}/random-{}.ron", e.seed);
            std::fs::write(path, testkit::random_project(e.seed)).expect("the folder can be written");
        }
    }
}

fn report<'a>(what: &str, ended: impl Iterator<Item = &'a Ended>) {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    let (mut cases, mut ledger, mut at_shut_paths) = (0_usize, 0.0_f64, 0_usize);
    let mut slowest: Vec<&Ended> = Vec::new();
    for e in ended {
        *counts.entry(e.status.word()).or_default() += 1;
        cases += 1;
        if e.status.can_be_judged() {
            ledger = ledger.max(e.ledger);
        }
        at_shut_paths += usize::from(e.at_shut_paths > 0);
        slowest.push(e);
    }
    println!(
        "{what}: {cases}; worst ledger {ledger:.1e} of what it turns over; {at_shut_paths} with a machine at a shut path"
    );
    for (word, count) in counts {
        println!("  {word}: {count} ({:.3} %)", 100.0 * count as f64 / cases.max(1) as f64);
    }
    slowest.sort_by_key(|e| std::cmp::Reverse(e.took));
    let mean = slowest.iter().map(|e| e.took.as_secs_f64()).sum::<f64>() / cases.max(1) as f64;
    println!("  mean {:.2} ms", 1e3 * mean);
    for e in slowest.iter().take(5) {
        println!("  {:.1} ms: {} {} {}", 1e3 * e.took.as_secs_f64(), e.seed, e.case, e.status.word());
    }
}
