//! The one binary of Heatledger: no command opens the window, a command runs headless.
//!
//! Results go to standard output, messages to standard error. Exit codes: 0 fine; 1 bad input; 2 a margin is short or a case has no
//! solution; 3 internal failure.
#![expect(clippy::print_stdout, clippy::print_stderr, reason = "this is the command line")]

mod arguments;
mod commands;
mod input;
mod window;

use arguments::{Arguments, Command};
use clap::Parser as _;
use std::process::ExitCode;

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Outcome {
    /// All is well.
    Fine,
    /// A margin is short or a case has no solution.
    Short,
}

fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => {
            let is_mistake = error.use_stderr();
            if error.print().is_err() {
                return ExitCode::from(3);
            }
            return ExitCode::from(u8::from(is_mistake));
        }
    };
    let done = match arguments.command {
        None => window::open(arguments.file.as_deref()),
        Some(Command::Check(check)) => commands::check(&check.file),
        Some(Command::Solve(solve)) => commands::solve(&solve),
        Some(Command::Margins(margins)) => commands::margins(&margins),
        Some(Command::Fluid(fluid)) => commands::fluid(&fluid),
        Some(Command::Relation(relation)) => commands::relation(&relation),
    };
    match done {
        Ok(Outcome::Fine) => ExitCode::SUCCESS,
        Ok(Outcome::Short) => ExitCode::from(2),
        Err(error) => {
            eprintln!("{error:#}");
            ExitCode::from(1)
        }
    }
}
