//! The last column of the glossary names what there is in the code.

use std::fs;
use std::path::{Path, PathBuf};

const ITEMS: [&str; 7] = ["struct", "enum", "trait", "type", "fn", "const", "mod"];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Paths such as `model::result::Margin` between backticks.
fn paths(page: &str) -> Vec<&str> {
    let is_path = |text: &&str| {
        let is_word = |word: &str| !word.is_empty() && word.chars().all(|c| c.is_alphanumeric() || c == '_');
        text.contains("::") && text.split("::").all(is_word)
    };
    page.split('`').skip(1).step_by(2).filter(is_path).collect()
}

/// Whether the text declares the item, or hands it on.
fn declares(text: &str, item: &str) -> bool {
    let words: Vec<&str> =
        text.split(|c: char| !(c.is_alphanumeric() || c == '_')).filter(|word| !word.is_empty()).collect();
    let is_declared = words.windows(2).any(|pair| ITEMS.contains(&pair[0]) && pair[1] == item);
    let handed_on = text.split("pub use ").skip(1).filter_map(|rest| rest.split(';').next());
    let names =
        |list: &str| list.split(|c: char| !(c.is_alphanumeric() || c == '_')).any(|word| word == item);
    is_declared || handed_on.into_iter().any(names)
}

/// Why the path leads nowhere.
fn fault(source: &Path, path: &str) -> Option<String> {
    let mut names = path.split("::");
    let folder = source.join(names.next()?).join("src");
    let mut file = folder.join("lib.rs");
    let mut at = folder;
    for name in names {
        let module = at.join(name).with_extension("rs");
        if module.exists() {
            (at, file) = (at.join(name), module);
            continue;
        }
        let text = fs::read_to_string(&file).unwrap_or_default();
        return (!declares(&text, name)).then(|| format!("{path}: no {name} in {}", file.display()));
    }
    None
}

#[test]
fn the_glossary_names_real_paths() {
    let page = fs::read_to_string(root().join("docs/glossary.md")).expect("the glossary is there");
    let paths = paths(&page);
    assert!(paths.len() > 80, "only {} paths are read: the page has another form", paths.len());
    let faults: Vec<String> = paths.iter().filter_map(|path| fault(&root().join("crates"), path)).collect();
    assert!(faults.is_empty(), "paths of the glossary that lead nowhere:\n{}", faults.join("\n"));
}

#[test]
fn a_path_that_leads_nowhere_is_found() {
    let source = root().join("crates");
    assert!(fault(&source, "model::result::Margin").is_none());
    for wrong in ["model::result::Marginal", "model::results::Margin", "models::result::Margin"] {
        assert!(fault(&source, wrong).is_some(), "{wrong}");
    }
}
