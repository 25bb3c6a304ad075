//! The modules of a crate as text: what each declares, imports and names.

use super::tokens::{Token, tokens};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// A `use` of one name.
#[derive(Clone, Debug)]
pub(super) struct Import {
    /// Path as written, `crate`, `self` and `super` included.
    pub(super) path: Vec<String>,
    /// Name that it has here; `*` for all.
    pub(super) name: String,
    /// Whether it is handed on.
    pub(super) is_export: bool,
}

/// A module file.
#[derive(Clone, Debug, Default)]
pub(super) struct Module {
    /// Module files that it declares, those for tests left out.
    pub(super) children: BTreeSet<String>,
    /// Items that it declares.
    pub(super) items: BTreeSet<String>,
    /// Names that it brings in.
    pub(super) imports: Vec<Import>,
    /// Paths outside of `use`, single names included.
    pub(super) paths: BTreeSet<Vec<String>>,
}

/// The modules of a crate by path; the root is the empty one.
#[derive(Clone, Debug, Default)]
pub(super) struct Crate {
    pub(super) modules: BTreeMap<Vec<String>, Module>,
}

impl Crate {
    /// Reads the root file and every module that it leads to.
    pub(super) fn read(root: &Path) -> Self {
        let mut read = Self::default();
        let folder = root.parent().expect("a root stands in a folder");
        let read_file = |path: &Path| {
            fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
        };
        read.add(Vec::new(), &read_file(root), &mut |path| {
            let stem = path.iter().fold(folder.to_path_buf(), |at, name| at.join(name));
            let beside = stem.with_extension("rs");
            read_file(&if beside.exists() { beside } else { stem.join("mod.rs") })
        });
        read
    }

    /// The same from texts by module path.
    pub(super) fn of_texts(modules: &[(&str, &str)]) -> Self {
        let mut read = Self::default();
        let text = |path: &[String]| {
            let wanted = path.join("::");
            let found = modules.iter().find(|(name, _)| *name == wanted);
            found.unwrap_or_else(|| panic!("no text for {wanted}")).1.to_owned()
        };
        read.add(Vec::new(), &text(&[]), &mut |path| text(path));
        read
    }

    fn add(&mut self, path: Vec<String>, text: &str, text_of: &mut impl FnMut(&[String]) -> String) {
        let module = Module::parse(&tokens(text));
        for child in &module.children {
            let mut below = path.clone();
            below.push(child.clone());
            let text = text_of(&below);
            self.add(below, &text, text_of);
        }
        self.modules.insert(path, module);
    }
}

/// Keywords that declare an item at the top of a file.
const DECLARES: [&str; 9] =
    ["fn", "struct", "enum", "union", "trait", "type", "const", "static", "macro_rules"];
/// Those that do so inside a declaring macro as well.
const DECLARES_ANYWHERE: [&str; 3] = ["struct", "enum", "trait"];

impl Module {
    fn parse(tokens: &[Token]) -> Self {
        let mut module = Self::default();
        let mut depth = 0_usize;
        let mut is_public = false;
        let mut at = 0;
        while at < tokens.len() {
            match &tokens[at] {
                Token::Sign('#') => {
                    at = after_attribute(tokens, at);
                    continue;
                }
                Token::Sign('{') => depth += 1,
                Token::Sign('}') => depth = depth.saturating_sub(1),
                Token::Sign(_) | Token::Path => {}
                Token::Name(name) if name == "pub" => {
                    is_public = true;
                    at += 1;
                    if tokens.get(at) == Some(&Token::Sign('(')) {
                        at = after_group(tokens, at);
                    }
                    continue;
                }
                Token::Name(name) if name == "use" && tokens.get(at + 1) != Some(&Token::Sign('<')) => {
                    at = module.import(tokens, at + 1, &mut Vec::new(), is_public);
                    is_public = false;
                    continue;
                }
                Token::Name(name) if name == "mod" => {
                    if let [Token::Name(child), end, ..] = &tokens[at + 1..] {
                        match end {
                            Token::Sign(';') => module.children.insert(child.clone()),
                            _ => module.items.insert(child.clone()),
                        };
                        at += 1;
                    }
                }
                Token::Name(name) => {
                    let declares = DECLARES_ANYWHERE.contains(&name.as_str())
                        || (depth == 0 && DECLARES.contains(&name.as_str()));
                    if declares {
                        module.items.extend(declared(&tokens[at + 1..]));
                    }
                    at = module.note_path(tokens, at);
                    is_public = false;
                    continue;
                }
            }
            is_public = false;
            at += 1;
        }
        module
    }

    /// Reads the tree of a `use` from `at` on; returns the place behind it.
    fn import(&mut self, tokens: &[Token], mut at: usize, path: &mut Vec<String>, is_export: bool) -> usize {
        let above = path.len();
        while at < tokens.len() {
            match &tokens[at] {
                Token::Name(name) if name == "as" => {
                    if let Some(Token::Name(alias)) = tokens.get(at + 1) {
                        self.imports.push(Import { path: path.clone(), name: alias.clone(), is_export });
                    }
                    path.truncate(above);
                    at += 1;
                }
                Token::Name(name) => path.push(name.clone()),
                Token::Sign('*') => {
                    self.imports.push(Import { path: path.clone(), name: "*".to_owned(), is_export });
                    path.truncate(above);
                }
                Token::Sign('{') => {
                    at = self.import(tokens, at + 1, path, is_export);
                    path.truncate(above);
                    continue;
                }
                Token::Sign(',' | ';' | '}') => {
                    if path.len() > above {
                        self.end_import(path, is_export);
                        path.truncate(above);
                    }
                    if tokens[at] != Token::Sign(',') {
                        return at + 1;
                    }
                }
                Token::Path | Token::Sign(_) => {}
            }
            at += 1;
        }
        at
    }

    fn end_import(&mut self, path: &[String], is_export: bool) {
        let mut path = path.to_vec();
        if path.last().is_some_and(|name| name == "self") {
            path.pop();
        }
        if let Some(name) = path.last().cloned() {
            self.imports.push(Import { path, name, is_export });
        }
    }

    /// Notes the path that begins at `at`; returns the place behind it.
    fn note_path(&mut self, tokens: &[Token], at: usize) -> usize {
        let mut path = Vec::new();
        let mut end = at;
        while let Some(Token::Name(name)) = tokens.get(end) {
            path.push(name.clone());
            end += 1;
            match (tokens.get(end), tokens.get(end + 1)) {
                (Some(Token::Path), Some(Token::Name(_))) => end += 1,
                _ => break,
            }
        }
        let before = at.checked_sub(1).map(|before| &tokens[before]);
        let is_member = matches!(before, Some(Token::Sign('.') | Token::Path));
        let is_field = path.len() == 1 && tokens.get(end) == Some(&Token::Sign(':'));
        let is_local =
            matches!(before, Some(Token::Name(word)) if word == "let" || word == "mut" || word == "fn");
        if !is_member && !is_field && !is_local {
            self.paths.insert(path);
        }
        end
    }
}

/// The name that stands behind a declaring keyword.
fn declared(behind: &[Token]) -> Option<String> {
    let mut names = behind.iter().skip_while(|token| matches!(token, Token::Sign('!')));
    match names.next() {
        Some(Token::Name(name)) if name != "mut" && name != "fn" => Some(name.clone()),
        _ => None,
    }
}

/// The place behind an attribute; what only tests compile goes with it.
fn after_attribute(tokens: &[Token], at: usize) -> usize {
    let open = at + usize::from(tokens.get(at + 1) == Some(&Token::Sign('!'))) + 1;
    if tokens.get(open) != Some(&Token::Sign('[')) {
        return at + 1;
    }
    let end = after_group(tokens, open);
    let has =
        |wanted: &str| tokens[open..end].iter().any(|token| matches!(token, Token::Name(n) if n == wanted));
    if has("cfg") && has("test") && !has("not") { after_item(tokens, end) } else { end }
}

/// The place behind the item that begins at `at`.
fn after_item(tokens: &[Token], mut at: usize) -> usize {
    while at < tokens.len() {
        match tokens[at] {
            Token::Sign('{') => return after_group(tokens, at),
            Token::Sign('(' | '[') => at = after_group(tokens, at),
            Token::Sign(';') => return at + 1,
            _ => at += 1,
        }
    }
    at
}

/// The place behind the bracket that matches the one at `at`.
fn after_group(tokens: &[Token], mut at: usize) -> usize {
    let mut depth = 0_usize;
    while at < tokens.len() {
        match tokens[at] {
            Token::Sign('(' | '[' | '{') => depth += 1,
            Token::Sign(')' | ']' | '}') => depth -= 1,
            _ => {}
        }
        at += 1;
        if depth == 0 {
            break;
        }
    }
    at
}
