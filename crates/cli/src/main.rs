//! The one binary of Heatledger: no command opens the window, a command runs headless.
//!
//! Results go to standard output, messages to standard error. Exit codes: 0 fine; 1 bad input; 2 a margin is short or a case has no
//! solution; 3 internal failure, or the system refused a write.
#![expect(clippy::print_stderr, reason = "this is the command line")]

mod arguments;
mod check;
mod curves;
mod edit;
mod failures;
mod fidelity;
mod input;
mod levers;
mod library;
mod limits;
mod margins;
mod new;
mod output;
mod page;
mod power;
mod simulate;
mod sizing;
mod solve;
mod study;
mod sweep;
mod turnaround;
mod variants;
mod window;

use arguments::{Arguments, Command};
use clap::Parser as _;
use page::{INTERNAL, Outcome};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => {
            let is_mistake = error.use_stderr();
            let code = if error.print().is_ok() { u8::from(is_mistake) } else { INTERNAL };
            return ExitCode::from(code);
        }
    };
    // The message of a panic is already on standard error by the time it is caught.
    ExitCode::from(catch_unwind(AssertUnwindSafe(|| run(arguments))).unwrap_or(INTERNAL))
}

/// A write that the system refused is no mistake of what was given.
fn failed(error: &anyhow::Error) -> Outcome {
    let is_refusal = error.chain().any(|cause| {
        let output = cause.downcast_ref::<project::OutputError>().or_else(|| match cause.downcast_ref() {
            Some(project::ProjectError::Write(output)) => Some(output),
            _ => None,
        });
        output.is_some_and(project::OutputError::is_refusal)
    });
    if is_refusal { Outcome::Failed } else { Outcome::BadInput }
}

fn run(arguments: Arguments) -> u8 {
    let page = match arguments.command {
        None => window::open(arguments.file.as_deref()),
        Some(Command::New(asked)) => new::write(&asked),
        Some(Command::Check(check)) => check::check(&check.file),
        Some(Command::Solve(solve)) => solve::solve(&solve),
        Some(Command::Curves(asked)) => curves::curves(&asked),
        Some(Command::Fidelity(asked)) => fidelity::fidelity(&asked),
        Some(Command::Edit(asked)) => edit::edit(&asked),
        Some(Command::Simulate(simulate)) => simulate::simulate(&simulate),
        Some(Command::Margins(margins)) => margins::margins(&margins),
        Some(Command::OatLimit(asked)) => limits::oat_limit(&asked),
        Some(Command::Uncooled(asked)) => limits::uncooled(&asked),
        Some(Command::Turnaround(turnaround)) => turnaround::turnaround(&turnaround),
        Some(Command::Failures(failures)) => failures::failures(&failures),
        Some(Command::Power(asked)) => power::power(&asked),
        Some(Command::Levers(asked)) => levers::levers(&asked),
        Some(Command::Spread(asked)) => levers::spread(&asked),
        Some(Command::Budget(asked)) => sizing::budget(&asked),
        Some(Command::Size(asked)) => sizing::size(&asked),
        Some(Command::Sweep(asked)) => sweep::sweep(&asked),
        Some(Command::Join(asked)) => sweep::join(&asked),
        Some(Command::Variants(asked)) => variants::variants(&asked),
        Some(Command::Fluid(fluid)) => library::fluid(&fluid),
        Some(Command::Relation(relation)) => library::relation(&relation),
        Some(Command::Picture(picture)) => window::picture(&picture),
    };
    match page {
        Ok(page) => match output::write(&page.text) {
            Ok(()) => page.outcome.code(),
            Err(error) => {
                eprintln!("the results cannot be written: {error}");
                INTERNAL
            }
        },
        Err(error) => {
            output::tell(&format!("{error:#}"));
            failed(&error).code()
        }
    }
}
