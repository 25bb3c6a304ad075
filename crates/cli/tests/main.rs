//! The program as a user runs it: exit codes, what goes to which stream, and the JSON of docs/json.md.

#[path = "program/budget.rs"]
mod budget;
#[path = "program/cases.rs"]
mod cases;
#[path = "program/curves.rs"]
mod curves;
#[path = "program/edit.rs"]
mod edit;
#[path = "program/failures.rs"]
mod failures;
#[path = "program/levers.rs"]
mod levers;
#[path = "program/limits.rs"]
mod limits;
#[path = "program/margins.rs"]
mod margins;
#[path = "program/mistakes.rs"]
mod mistakes;
#[path = "program/new.rs"]
mod new;
#[path = "program/outputs.rs"]
mod outputs;
#[path = "program/power.rs"]
mod power;
#[path = "program/repro.rs"]
mod repro;
#[path = "program/run.rs"]
mod run;
#[path = "program/simulate.rs"]
mod simulate;
#[path = "program/size.rs"]
mod size;
#[path = "program/solve.rs"]
mod solve;
#[path = "program/sweep.rs"]
mod sweep;
#[path = "program/tables.rs"]
mod tables;
#[path = "program/turnaround.rs"]
mod turnaround;
#[path = "program/variants.rs"]
mod variants;
#[path = "program/whole.rs"]
mod whole;
#[path = "program/window.rs"]
mod window;
