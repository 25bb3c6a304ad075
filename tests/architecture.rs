//! The arrows between the crates point down, and the core crates stay free of the outside world.

use std::fs;
use std::path::{Path, PathBuf};

/// The crates by level: a crate may use crates of lower levels only. Those of one level do not know each other.
const LEVELS: [&[&str]; 10] = [
    &["numerics", "units"],
    &["media", "correlations", "powertrain", "schema"],
    &["solver", "project"],
    &["aircraft"],
    &["model"],
    &["studies"],
    &["session"],
    &["report"],
    &["app"],
    &["cli"],
];

/// Libraries that a crate must not use, and why it would be a mistake.
const ABSENT: [(&str, &[&str], &str); 13] = [
    ("numerics", &["serde", "rayon", "eframe", "egui"], "mathematics only"),
    ("units", &["serde", "rayon", "eframe", "egui"], "quantities only"),
    ("media", &["serde", "rayon", "eframe", "egui", "units"], "properties in SI"),
    ("correlations", &["serde", "rayon", "eframe", "egui", "units", "media"], "sees dimensionless groups"),
    ("powertrain", &["serde", "rayon", "eframe", "egui", "units", "media"], "losses in SI"),
    ("solver", &["serde", "rayon", "eframe", "egui", "units"], "numbered network, one thread"),
    ("schema", &["serde", "ron", "rayon", "eframe", "egui"], "knows units only"),
    ("aircraft", &["serde", "ron", "rayon", "eframe", "egui", "solver"], "nothing is put together"),
    ("model", &["serde", "ron", "rayon", "eframe", "egui", "project"], "no file format, no threads"),
    ("studies", &["serde", "ron", "eframe", "egui", "project"], "does not know the file format"),
    (
        "session",
        &["solver", "report", "eframe", "egui", "serde", "ron", "rayon"],
        "an open project without a window",
    ),
    ("report", &["solver", "eframe", "egui"], "renders what it is given"),
    ("app", &["solver", "correlations", "powertrain"], "no physics in the window"),
];

/// Crates whose result depends on their input alone.
const PURE: [&str; 6] = ["numerics", "units", "media", "correlations", "powertrain", "solver"];

/// What a pure crate must not reach for, as it is written in the source.
const OUTSIDE: [&str; 15] = [
    "std::fs",
    "std::env",
    "std::net",
    "std::process",
    "std::thread",
    "std::time",
    "Instant::now",
    "SystemTime",
    "thread_local!",
    "static mut",
    "println!",
    "print!",
    "eprintln!",
    "eprint!",
    "dbg!",
];

/// The modules of the window by level: a module may use modules of lower levels only, and those of one level do not know each other.
const WINDOW_LEVELS: [&[&str]; 9] = [
    &["clock", "look", "question", "encode"],
    &["files"],
    &["command"],
    &["views"],
    &["screen"],
    &["copy", "places"],
    &["app"],
    &["start"],
    &["picture"],
];

/// The modules of its own crate that a source names.
fn own_modules(source: &str) -> Vec<String> {
    let text = program_text(source);
    let is_name = |c: char| c.is_alphanumeric() || c == '_';
    text.split("crate::").skip(1).map(|rest| rest.chars().take_while(|c| is_name(*c)).collect()).collect()
}

fn crates_folder() -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "..", "crates"].iter().collect()
}

fn level(name: &str) -> Option<usize> {
    LEVELS.iter().position(|level| level.contains(&name))
}

fn manifest(name: &str) -> String {
    fs::read_to_string(crates_folder().join(name).join("Cargo.toml"))
        .unwrap_or_else(|error| panic!("the manifest of {name} cannot be read: {error}"))
}

/// The names under `[dependencies]` and, when asked for, under `[dev-dependencies]` of a manifest.
fn dependencies(manifest: &str, with_tests: bool) -> Vec<String> {
    let mut names = Vec::new();
    let mut inside = false;
    for line in manifest.lines().map(str::trim) {
        if let Some(section) = line.strip_prefix('[').and_then(|rest| rest.strip_suffix(']')) {
            let wanted = |kind: &str| section == kind || section.ends_with(&format!(".{kind}"));
            inside = wanted("dependencies")
                || wanted("build-dependencies")
                || (with_tests && wanted("dev-dependencies"));
            if let Some((_, name)) = section.split_once("dependencies.") {
                names.push(name.to_owned());
            }
        } else if inside && !line.is_empty() && !line.starts_with('#') {
            let name = line.split(['.', '=', ' ']).next().unwrap_or_default();
            names.push(name.trim_matches('"').to_owned());
        }
    }
    names
}

/// Arrows of a manifest that do not point down, as messages.
fn wrong_arrows(name: &str, manifest: &str) -> Vec<String> {
    let own = level(name).unwrap_or_else(|| panic!("crate {name} has no level: add it to LEVELS"));
    dependencies(manifest, false)
        .into_iter()
        .filter(|used| level(used).is_some_and(|used| used >= own) || used == "testkit")
        .map(|used| format!("{name} uses {used}, which is not below it"))
        .collect()
}

/// The source without comments, doc comments and the test module that ends a file.
fn program_text(source: &str) -> String {
    let program = source.split("#[cfg(test)]\nmod tests").next().unwrap_or_default();
    let lines: Vec<&str> = program.lines().map(|line| line.split("//").next().unwrap_or_default()).collect();
    lines.join("\n")
}

/// The parts of the outside world that a source reaches for.
fn outside_uses(source: &str) -> Vec<&'static str> {
    let text = program_text(source);
    // `use std::{fs, io}` is written out, so that it is seen as `std::fs`.
    let mut spelled = text.clone();
    for group in text.split("std::{").skip(1) {
        for name in group.split('}').next().unwrap_or_default().split(',') {
            spelled.push_str("\nstd::");
            spelled.push_str(name.trim());
        }
    }
    OUTSIDE.into_iter().filter(|word| contains_word(&spelled, word)).collect()
}

/// Whether the word occurs and is not only the end of a longer name (`eprintln!` is no `println!`).
fn contains_word(text: &str, word: &str) -> bool {
    let is_name = |c: char| c.is_alphanumeric() || c == '_';
    text.match_indices(word).any(|(at, _)| {
        let before = text[..at].chars().next_back().is_some_and(is_name);
        let after = word.ends_with(is_name) && text[at + word.len()..].chars().next().is_some_and(is_name);
        !before && !after
    })
}

fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display())) {
        let path = entry.expect("the folder can be listed").path();
        if path.is_dir() {
            files.extend(rust_files(&path));
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            files.push(path);
        }
    }
    files.sort();
    files
}

#[test]
fn arrows_between_crates_point_down() {
    let mut wrong = Vec::new();
    for name in LEVELS.iter().copied().flatten() {
        wrong.extend(wrong_arrows(name, &manifest(name)));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_crate_has_a_level() {
    for entry in fs::read_dir(crates_folder()).expect("the crates folder is part of the repository") {
        let name = entry.expect("the folder can be listed").file_name().into_string().expect("plain names");
        assert!(name == "testkit" || level(&name).is_some(), "crate {name} has no level: add it to LEVELS");
    }
}

#[test]
fn libraries_stay_where_they_belong() {
    for (name, absent, why) in ABSENT {
        let used = dependencies(&manifest(name), false);
        assert!(!used.is_empty(), "no dependencies of {name} were found: is the manifest still readable?");
        for library in absent {
            assert!(!used.iter().any(|u| u == library), "{name} must not use {library}: {why}");
        }
    }
}

#[test]
fn test_fixtures_stay_in_tests() {
    for name in LEVELS.iter().copied().flatten() {
        assert!(!dependencies(&manifest(name), false).iter().any(|used| used == "testkit"), "{name}");
    }
}

#[test]
fn core_crates_do_not_reach_outside() {
    let mut wrong = Vec::new();
    let mut seen = 0;
    for name in PURE {
        for path in rust_files(&crates_folder().join(name).join("src")) {
            let source = fs::read_to_string(&path).expect("a source file is text");
            seen += 1;
            let place = path.strip_prefix(crates_folder()).expect("it lies below").display().to_string();
            wrong.extend(outside_uses(&source).into_iter().map(|what| format!("{place} uses {what}")));
        }
    }
    assert!(seen >= PURE.len(), "only {seen} source files were found");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn arrows_between_the_modules_of_the_window_point_down() {
    let folder = crates_folder().join("app").join("src");
    let level = |name: &str| WINDOW_LEVELS.iter().position(|level| level.contains(&name));
    let mut wrong = Vec::new();
    for path in rust_files(&folder) {
        let place = path.strip_prefix(&folder).expect("it lies below").with_extension("");
        let module = place.iter().next().expect("it has a name").to_string_lossy().into_owned();
        if module == "lib" {
            continue;
        }
        let own =
            level(&module).unwrap_or_else(|| panic!("module {module} has no level: add it to WINDOW_LEVELS"));
        let source = fs::read_to_string(&path).expect("a source file is text");
        for used in own_modules(&source) {
            if used != module && level(&used).is_some_and(|used| used >= own) {
                wrong.push(format!("{} uses {used}, which is not below it", place.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_checks_above_see_what_they_look_for() {
    let upward = "[package]\nname = \"media\"\n\n[dependencies]\nmodel.workspace = true\nthiserror = \"2\"\n";
    assert_eq!(wrong_arrows("media", upward), ["media uses model, which is not below it"]);
    assert_eq!(dependencies(upward, false), ["model", "thiserror"]);
    let tests = "[dependencies]\na = { path = \"../a\" }\n[dev-dependencies]\nb.workspace = true\n";
    assert_eq!(dependencies(tests, false), ["a"]);
    assert_eq!(dependencies(tests, true), ["a", "b"]);
    assert_eq!(outside_uses("use std::{fs, io};\nfn f() { eprintln!(\"x\"); }"), ["std::fs", "eprintln!"]);
    assert_eq!(outside_uses("/// As std::fs does.\nfn f() {} // println!\n"), [""; 0]);
    assert_eq!(
        own_modules("use crate::views::time;\nfn f() { crate::look::body() } // crate::app"),
        ["views", "look"]
    );
    assert_eq!(outside_uses("#[cfg(test)]\nmod tests { use std::env; }"), [""; 0]);
}

/// A module `foo` stands in `foo.rs`: one way, so that a name leads to a file.
#[test]
fn module_files_are_named_after_their_module() {
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates");
    let mut odd = Vec::new();
    for one in fs::read_dir(crates).expect("the folder of the crates").flatten() {
        odd.extend(mod_files(&one.path().join("src")));
    }
    assert!(odd.is_empty(), "name these after their module: {odd:?}");
}

fn mod_files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if path.is_dir() {
            found.extend(mod_files(&path));
        } else if path.file_name().is_some_and(|name| name == "mod.rs") {
            found.push(path);
        }
    }
    found
}
