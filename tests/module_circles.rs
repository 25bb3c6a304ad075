//! No circle of modules inside a crate: what a module needs stands below it, so that it can be read, tested and taken out without
//! what stands on it.
//!
//! # Rule
//! Every module file is a node. Module A *uses* module B when the program text of A names an item that B declares: in a `use`, in a
//! path (`crate::b::f`, `super::f`, `b::f`), or by a name that such a `use` brought in. Names are followed through re-exports to
//! the module that declares the item, so that a path through `lib.rs` counts for the module behind it.
//!
//! - `mod b;` is no use, and neither is a re-export (`pub use`, `pub(crate) use`) of a name that the module itself does not name again.
//! - Parent and child are no exception: a parent may be built upon its children, or children may stand upon what their parent
//!   declares, but not both.
//! - Circles are looked for twice: between files, and between the folders beside each other, each folder taken with the file of its
//!   name and all that is in it.
//! - Tests (`#[cfg(test)]`) may look anywhere.
//!
//! The text is read, nothing is compiled: a method called on a value is not seen, and what a macro writes is seen where the macro is
//! declared.

mod graph;
mod source;
mod tokens;

use graph::{Graph, circles};
use source::Crate;
use std::fs;
use std::path::PathBuf;

/// Circles that are allowed, by crate: the modules of each, and why. The shorter the better.
const ALLOWED: [(&str, &[&str], &str); 7] = [
    (
        "aircraft",
        &["starter::answers", "starter::heat"],
        "what is asked and what heat follows from it are one step of the rules",
    ),
    (
        "app",
        &["app", "app::apply", "app::figures", "app::filing"],
        "the window is one type whose methods stand in several files",
    ),
    ("app", &["copy", "copy::flights"], "what is copied, in two files for its length"),
    (
        "app",
        &["views::edit_scope", "views::field"],
        "a field shows where its edit goes, and that note is an input of its own",
    ),
    ("app", &["views::chart", "views::loops"], "the strip and a chart are saved and ruled alike"),
    ("app", &["screen", "screen::draw"], "a screen is made of results and drawn by its own method"),
    (
        "session",
        &[
            "cache",
            "choice",
            "failures",
            "found",
            "levers",
            "opened",
            "snapshot",
            "solve",
            "trades",
            "turnaround",
        ],
        "a snapshot keeps what was found of it, and each kind of answer adds a method to it",
    ),
];

fn crates() -> Vec<(String, PathBuf)> {
    let folder: PathBuf = [env!("CARGO_MANIFEST_DIR"), "..", "crates"].iter().collect();
    let mut all = Vec::new();
    for entry in fs::read_dir(folder).expect("the crates folder is part of the repository") {
        let entry = entry.expect("the folder can be listed");
        let name = entry.file_name().into_string().expect("plain names");
        let roots = ["lib.rs", "main.rs"].map(|file| entry.path().join("src").join(file));
        all.extend(roots.into_iter().filter(|root| root.exists()).map(|root| (name.clone(), root)));
    }
    all.sort();
    all
}

/// Every circle of a crate that no exception covers, as a message.
fn stray_circles(name: &str, graph: &Graph) -> Vec<String> {
    let allowed: Vec<&[&str]> =
        ALLOWED.iter().filter(|(of, ..)| *of == name).map(|(_, modules, _)| *modules).collect();
    circles(graph)
        .into_iter()
        .filter(|circle| {
            !allowed.iter().any(|modules| circle.modules.iter().all(|m| modules.contains(&m.as_str())))
        })
        .map(|circle| format!("{name}: {circle}"))
        .collect()
}

#[test]
fn no_crate_has_a_circle_of_modules() {
    let mut wrong = Vec::new();
    let crates = crates();
    assert!(crates.len() > 10, "only {} crates were found", crates.len());
    for (name, root) in crates {
        let read = Crate::read(&root);
        wrong.extend(stray_circles(&name, &Graph::of_files(&read)));
        wrong.extend(stray_circles(&name, &Graph::of_folders(&read)));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_exception_is_still_needed() {
    for (name, modules, why) in ALLOWED {
        let roots: Vec<PathBuf> =
            crates().into_iter().filter(|(n, _)| n == name).map(|(_, root)| root).collect();
        let is_met = roots.iter().any(|root| {
            let read = Crate::read(root);
            [Graph::of_files(&read), Graph::of_folders(&read)].iter().any(|graph| {
                circles(graph)
                    .iter()
                    .any(|circle| circle.modules.iter().all(|m| modules.contains(&m.as_str())))
            })
        });
        assert!(is_met, "{name} has no circle of {modules:?} any more: take it off the list ({why})");
    }
}

/// A crate written here: module path (empty for the root) and text of each.
fn written(modules: &[(&str, &str)]) -> Vec<String> {
    let read = Crate::of_texts(modules);
    let mut found: Vec<String> = circles(&Graph::of_files(&read)).iter().map(ToString::to_string).collect();
    found.extend(circles(&Graph::of_folders(&read)).iter().map(ToString::to_string));
    found
}

#[test]
fn a_circle_between_files_is_seen() {
    let found = written(&[
        ("", "mod a; mod b; pub use b::B;"),
        ("a", "use crate::B; pub struct A(B);"),
        ("b", "pub struct B; impl B { fn f() { super::a::go(); } }"),
    ]);
    assert_eq!(found, ["a, b (a uses B of b; b uses go of a)"]);
}

#[test]
fn a_parent_and_its_child_are_no_exception() {
    let both = written(&[
        ("", "mod a;"),
        ("a", "mod c; pub struct A; fn f() { c::g() }"),
        ("a::c", "use super::A; pub fn g() -> A { A }"),
    ]);
    assert_eq!(both, ["a, a::c (a uses g of a::c; a::c uses A of a)"]);
    let re_exported = written(&[
        ("", "mod a;"),
        ("a", "mod c; pub use c::g; pub struct A;"),
        ("a::c", "use super::A; pub fn g() -> A { A }"),
    ]);
    assert_eq!(re_exported, [""; 0]);
}

#[test]
fn a_circle_between_folders_is_seen() {
    let found = written(&[
        ("", "mod a; mod b;"),
        ("a", "mod x; mod y;"),
        ("a::x", "pub fn f() {}"),
        ("a::y", "use crate::b; fn g() { b::h() }"),
        ("b", "pub fn h() { use crate::a::x::f; f() }"),
    ]);
    assert_eq!(found, ["folders a, b (a::y uses h of b; b uses f of a::x)"]);
}

#[test]
fn tests_comments_and_texts_are_not_read() {
    let found = written(&[
        ("", "mod a; mod b;"),
        (
            "a",
            "// crate::b::B\nconst T: &str = \"crate::b::B\"; pub struct A; #[cfg(test)] mod tests { use crate::b::B; }",
        ),
        ("b", "use crate::a::*; pub struct B(A); /* crate::b::B */ fn c<'a>(_: &'a A) -> char { '\"' }"),
    ]);
    assert_eq!(found, [""; 0]);
}
