//! Random edits of the demo projects with comments strewn between their tokens: only what was edited changes.
//!
//! The checks know the rule of comments only from its effects: a scanner of this file alone says where each comment stands, and which of
//! them an edit may take along.

#[path = "lossless/random.rs"]
mod random;
#[path = "lossless/scan.rs"]
mod scan;

use project::{Kept, Rewriting, parse, rewrite, write};
use random::Random;
use scan::{Comment, Scan};
use schema::{Key, Node, Tree};
use std::collections::BTreeMap;

const DEMOS: [&str; 3] = [
    include_str!("../../../../demo-projects/rig.ron"),
    include_str!("../../../../demo-projects/rescue.ron"),
    include_str!("../../../../demo-projects/tug.ron"),
];

/// What is done to the tree.
#[derive(Debug, Clone, PartialEq)]
enum Edit {
    Set(Vec<usize>),
    Remove(Vec<usize>, usize),
    Add(Vec<usize>, usize),
    Swap(Vec<usize>, usize),
    Wrap(Vec<usize>, usize),
    Carry(Vec<usize>, usize, Vec<usize>),
}

fn tree(text: &str) -> Node {
    let (node, problems) = parse(text.as_bytes());
    assert!(problems.is_empty(), "{problems}");
    node.expect("a project")
}

fn children(node: &mut Node) -> Vec<&mut Node> {
    match &mut node.tree {
        Tree::List(items) | Tree::Tuple { items, .. } => items.iter_mut().collect(),
        Tree::Record { fields, .. } => fields.iter_mut().map(|(_, value)| value).collect(),
        Tree::Map(entries) => entries.iter_mut().map(|(_, value)| value).collect(),
        _ => Vec::new(),
    }
}

fn at<'n>(node: &'n mut Node, path: &[usize]) -> &'n mut Node {
    path.iter().fold(node, |node, n| children(node).swap_remove(*n))
}

/// Paths of all scalars, and of all lists and records.
fn paths(node: &mut Node, here: &[usize], scalars: &mut Vec<Vec<usize>>, groups: &mut Vec<Vec<usize>>) {
    if matches!(node.tree, Tree::Text(_) | Tree::Number { .. } | Tree::Flag(_) | Tree::Word(_)) {
        scalars.push(here.to_vec());
    }
    if matches!(node.tree, Tree::List(_) | Tree::Record { .. }) {
        groups.push(here.to_vec());
    }
    for (n, child) in children(node).into_iter().enumerate() {
        paths(child, &[here, &[n]].concat(), scalars, groups);
    }
}

/// Draws an edit and makes it.
fn edit(tree: &mut Node, random: &mut Random, serial: usize) -> Edit {
    let (mut scalars, mut groups) = (Vec::new(), Vec::new());
    paths(tree, &[], &mut scalars, &mut groups);
    let kind = random.below(KINDS);
    if kind == 0 {
        let path = scalars.swap_remove(random.below(scalars.len()));
        let new = [Node::text(format!("set {serial}")), Node::number(serial as f64 + 0.5)];
        *at(tree, &path) = new[random.below(2)].clone();
        return Edit::Set(path);
    }
    loop {
        let path = groups[random.below(groups.len())].clone();
        let group = at(tree, &path);
        let count = children(group).len();
        match (kind, &mut group.tree) {
            (1, Tree::List(items)) if count > 0 => {
                let k = random.below(count);
                items.remove(k);
                return Edit::Remove(path, k);
            }
            (1, Tree::Record { fields, .. }) if count > 0 => {
                let k = random.below(count);
                fields.remove(k);
                return Edit::Remove(path, k);
            }
            (2, Tree::List(items)) => {
                let k = random.below(count + 1);
                let mut new = items.get(k).cloned().unwrap_or_else(|| Node::text(""));
                match new.field_mut("name") {
                    Some(name) => *name = Node::text(format!("added {serial}")),
                    None => new = Node::text(format!("added {serial}")),
                }
                items.insert(k, new);
                return Edit::Add(path, k);
            }
            (2, Tree::Record { fields, .. }) => {
                let k = random.below(count + 1);
                fields.insert(k, (Key::new(format!("added_{serial}")), Node::text("new")));
                return Edit::Add(path, k);
            }
            (3, Tree::List(items)) if count > 1 => {
                let k = random.below(count - 1);
                items.swap(k, k + 1);
                return Edit::Swap(path, k);
            }
            (3, Tree::Record { fields, .. }) if count > 1 => {
                let k = random.below(count - 1);
                fields.swap(k, k + 1);
                return Edit::Swap(path, k);
            }
            (4, Tree::List(items)) if count > 0 => {
                let k = random.below(count);
                if items[k].own_name().is_some() {
                    let wrapped = vec![
                        ("name", Node::text(format!("wrap {serial}"))),
                        ("items", Node::list(vec![items[k].clone()])),
                    ];
                    items[k] = Node::record("Wrap", wrapped);
                    return Edit::Wrap(path, k);
                }
            }
            (5, Tree::List(items)) if count > 0 => {
                let k = random.below(count);
                let to = groups[random.below(groups.len())].clone();
                if items[k].own_name().is_some()
                    && !to.starts_with(&path)
                    && let Some(edit) = carry(tree, (path, k), to, random)
                {
                    return edit;
                }
            }
            _ => {}
        }
    }
}

/// Takes an item from one list to another that does not lie in it.
fn carry(
    tree: &mut Node,
    (from, k): (Vec<usize>, usize),
    to: Vec<usize>,
    random: &mut Random,
) -> Option<Edit> {
    if !matches!(at(tree, &to).tree, Tree::List(_)) {
        return None;
    }
    let Tree::List(items) = &mut at(tree, &from).tree else { return None };
    let item = items.remove(k);
    let Tree::List(items) = &mut at(tree, &to).tree else { return None };
    items.insert(random.below(items.len() + 1), item);
    Some(Edit::Carry(from, k, to))
}

/// How many kinds of edits there are.
const KINDS: usize = 6;

/// Puts comments between tokens, one at every `rarity`-th place on average.
fn strewn(text: &str, random: &mut Random, rarity: usize) -> String {
    let new_line = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let (mut strewn, mut at, mut serial) = (String::new(), 0, 0);
    for token in Scan::of(text).starts {
        strewn.push_str(&text[at..token]);
        at = token;
        if random.below(rarity) == 0 {
            serial += 1;
            let comment = match random.below(5) {
                0 => format!("// c{serial}.{new_line}"),
                1 => format!("{new_line}    /* c{serial}. */ {new_line}"),
                2 => format!(" /* \"( /*, c{serial}.{new_line} */ */"),
                3 => format!("// c{serial}.{new_line}{new_line}"),
                _ => format!("/* c{serial}. */"),
            };
            strewn.push_str(&comment);
        }
    }
    strewn + &text[at..]
}

/// Whether a comment stands in what an edit takes away.
fn is_inside(edit: &Edit, comment: &Comment) -> bool {
    let Edit::Remove(group, k) = edit else { return false };
    comment.group.starts_with(group) && comment.group.get(group.len()) == Some(k)
}

/// Whether an edit may take a comment along.
fn may_go(edit: &Edit, comment: &Comment) -> bool {
    let Edit::Remove(group, k) = edit else { return false };
    let is_before = comment.index == *k;
    let is_behind = comment.index == k + 1 && !comment.is_behind;
    is_inside(edit, comment) || (comment.group == *group && (is_before || is_behind))
}

fn check_comments(edit: &Edit, before: &Scan, after: &Scan) {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for comment in &after.comments {
        *counts.entry(comment.text.as_str()).or_default() += 1;
    }
    for comment in &before.comments {
        match counts.get(comment.text.as_str()) {
            None => assert!(may_go(edit, comment), "{edit:?} took {comment:?}"),
            Some(1) => assert!(!is_inside(edit, comment), "{edit:?} left {comment:?}"),
            Some(_) => panic!("{edit:?} copied {comment:?}"),
        }
    }
}

/// What an edit did to the bytes.
fn check_bytes(edit: &Edit, original: &str, before: &Scan, edited: &mut Node, found: &Rewriting) {
    assert_eq!(found.splices.applied(original), found.text);
    for (offset, byte) in original.bytes().enumerate() {
        if let Some(moved) = found.splices.moved(offset) {
            assert_eq!(found.text.as_bytes()[moved], byte, "{edit:?} at {offset}");
        }
    }
    match edit {
        Edit::Set(path) => {
            let (_, token) =
                before.scalars.iter().find(|(known, _)| known == path).expect("the scanner agrees");
            let new = write(at(edited, path));
            let expected = [&original[..token.start], new.trim_end(), &original[token.end..]].concat();
            assert!(found.text == expected, "{edit:?} is not one token:\n{:?}", found.splices);
        }
        Edit::Remove(..) => {
            assert!(
                found.splices.iter().all(|splice| splice.text().is_empty()),
                "{edit:?} {:?}",
                found.splices
            );
        }
        Edit::Add(..) => {
            let is_empty = |range: std::ops::Range<usize>| original[range].trim().is_empty();
            assert!(
                found.splices.iter().all(|splice| is_empty(splice.range())),
                "{edit:?} {:?}",
                found.splices
            );
        }
        Edit::Swap(..) | Edit::Wrap(..) | Edit::Carry(..) => {}
    }
}

/// One edit of a text; gives the new text.
fn round(original: &str, random: &mut Random, serial: usize, reached: &mut [usize; KINDS]) -> String {
    let mut edited = tree(original);
    let edit = edit(&mut edited, random, serial);
    let found = rewrite(original, &edited);
    assert_eq!(found.kept, Kept::AllElse, "{edit:?}");
    assert_eq!(tree(&found.text), edited, "{edit:?}");
    let other = ron::from_str::<ron::Value>(found.text.trim_start_matches('\u{FEFF}'));
    assert!(other.is_ok(), "{other:?}");
    let before = Scan::of(original);
    check_comments(&edit, &before, &Scan::of(&found.text));
    check_bytes(&edit, original, &before, &mut edited, &found);
    let kind = match edit {
        Edit::Set(..) => 0,
        Edit::Remove(..) => 1,
        Edit::Add(..) => 2,
        Edit::Swap(..) => 3,
        Edit::Wrap(..) => 4,
        Edit::Carry(..) => 5,
    };
    reached[kind] += 1;
    found.text
}

/// A demo, also with the ends of lines and tabs of another computer.
fn demo(n: usize) -> String {
    let text = DEMOS[n % DEMOS.len()];
    match n % 4 {
        3 => format!("\u{FEFF}{}", text.replace("    ", "\t").replace('\n', "\r\n")),
        _ => text.to_owned(),
    }
}

#[test]
fn random_edits_change_only_what_was_edited() {
    let mut reached = [0; KINDS];
    let mut serial = 0;
    for seed in 0..ROUNDS {
        let mut random = Random::new(seed as u64);
        let rarity = [3, 12, 60][seed % 3];
        let mut text = strewn(&demo(seed / 3), &mut random, rarity);
        for _ in 0..EDITS {
            serial += 1;
            text = round(&text, &mut random, serial, &mut reached);
        }
    }
    println!("sets, removals, additions, swaps, wraps, carried: {reached:?}");
    assert!(reached.iter().all(|count| *count > ROUNDS * EDITS / 12), "{reached:?}");
}

const ROUNDS: usize = 24;
const EDITS: usize = 12;

#[test]
fn many_edits_at_once_read_back() {
    for seed in 0..24 {
        let mut random = Random::new(1000 + seed);
        let text = strewn(&demo(seed as usize), &mut random, 8);
        let mut edited = tree(&text);
        for serial in 0..15 {
            edit(&mut edited, &mut random, serial);
        }
        let found = rewrite(&text, &edited);
        assert_eq!(found.kept, Kept::AllElse);
        assert_eq!(tree(&found.text), edited);
        // whatever else was done, comments at the ends of the file stay
        assert!(found.text.starts_with(text.lines().next().expect("a line")));
    }
}

#[test]
fn the_demos_stay_as_they_are_if_nothing_is_edited() {
    for text in (0..12).map(demo) {
        assert_eq!(rewrite(&text, &tree(&text)).text, text);
    }
}
