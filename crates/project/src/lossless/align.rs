//! Which part of a bracketed value as edited is which part as read.

use schema::{Node, Tree};

use crate::writer::{Label, each_part};

/// A part of a bracketed value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Part<'n> {
    /// What stands before it.
    pub(super) label: Label<'n>,
    /// Its value.
    pub(super) value: &'n Node,
}

/// All parts of a value, in order.
pub(super) fn parts(node: &Node) -> Vec<Part<'_>> {
    let mut parts = Vec::new();
    each_part(node, |label, value| parts.push(Part { label, value }));
    parts
}

/// Where a part as edited comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Source {
    /// It is the part of this number and has its place; its value may differ.
    Kept(usize),
    /// It is put here.
    Put {
        /// The part that moves here; a new one has none.
        from: Option<usize>,
        /// The part that goes and leaves its place to it.
        slot: Option<usize>,
    },
}

/// Equal parts.
const EQUAL: u32 = 1000;
/// Parts of one name, whatever they hold.
const SAME_NAME: u32 = 900;
/// More pairs than this are not compared one by one: parts are then taken in their order.
const MAX_PAIRS: usize = 1 << 16;

/// Whether two values have the same bracket, so that their parts can be compared.
pub(super) fn have_one_frame(old: &Node, new: &Node) -> bool {
    match (&old.tree, &new.tree) {
        (Tree::List(_), Tree::List(_)) | (Tree::Map(_), Tree::Map(_)) => true,
        (Tree::Record { tag: old, .. }, Tree::Record { tag: new, .. })
        | (Tree::Tuple { tag: old, .. }, Tree::Tuple { tag: new, .. }) => old == new,
        _ => false,
    }
}

/// For every part of the new value where it comes from. The values of a tuple are known by their position, fields and entries by their
/// name, items of a list by being equal, by their name, or by what they have in common.
pub(super) fn align(node: &Node, old: &[Part<'_>], new: &[Part<'_>]) -> Vec<Source> {
    let nothing = Source::Put { from: None, slot: None };
    let mut sources = vec![nothing; new.len()];
    let mut is_taken = vec![false; old.len()];
    let by_position = matches!(node.tree, Tree::Tuple { .. });
    let pairs = if by_position { in_order(old.len(), new.len()) } else { best_pairs(old, new) };
    for (o, n) in pairs {
        sources[n] = Source::Kept(o);
        is_taken[o] = true;
    }
    if !by_position {
        find_moved(old, new, &mut sources, &mut is_taken);
    }
    leave_places(&mut sources, old.len());
    sources
}

fn in_order(old: usize, new: usize) -> Vec<(usize, usize)> {
    (0..old.min(new)).map(|n| (n, n)).collect()
}

/// The pairs, in the order of both sides, that have most in common.
fn best_pairs(old: &[Part<'_>], new: &[Part<'_>]) -> Vec<(usize, usize)> {
    let before = old.iter().zip(new).take_while(|(o, n)| o == n).count();
    let (old_rest, new_rest) = (&old[before..], &new[before..]);
    let behind = old_rest.iter().rev().zip(new_rest.iter().rev()).take_while(|(o, n)| o == n).count();
    let (olds, news) = (&old_rest[..old_rest.len() - behind], &new_rest[..new_rest.len() - behind]);
    let middle = if olds.len() * news.len() > MAX_PAIRS {
        in_order(olds.len(), news.len())
    } else {
        best_of_middle(&Names::of(old, new), olds, news)
    };
    let mut pairs = in_order(before, before);
    pairs.extend(middle.into_iter().map(|(o, n)| (o + before, n + before)));
    pairs.extend((0..behind).rev().map(|n| (old.len() - 1 - n, new.len() - 1 - n)));
    pairs
}

/// Best alignment by dynamic programming: `best[o][n]` is the score of what lies at and behind `o` and `n`.
fn best_of_middle(names: &Names<'_>, old: &[Part<'_>], new: &[Part<'_>]) -> Vec<(usize, usize)> {
    let width = new.len() + 1;
    let mut scores = vec![0; old.len() * new.len()];
    let mut best = vec![0_u64; (old.len() + 1) * width];
    for o in (0..old.len()).rev() {
        for n in (0..new.len()).rev() {
            let score = names.score(&old[o], &new[n]);
            scores[o * new.len() + n] = score;
            let both = best[(o + 1) * width + n + 1] + u64::from(score);
            best[o * width + n] = both.max(best[(o + 1) * width + n]).max(best[o * width + n + 1]);
        }
    }
    let (mut o, mut n, mut pairs) = (0, 0, Vec::new());
    while o < old.len() && n < new.len() {
        let score = scores[o * new.len() + n];
        let here = best[o * width + n];
        if score > 0 && here == best[(o + 1) * width + n + 1] + u64::from(score) {
            pairs.push((o, n));
            (o, n) = (o + 1, n + 1);
        } else if here == best[(o + 1) * width + n] {
            o += 1;
        } else {
            n += 1;
        }
    }
    pairs
}

/// The names of the items on both sides, in alphabetical order.
struct Names<'n> {
    old: Vec<&'n str>,
    new: Vec<&'n str>,
}

impl<'n> Names<'n> {
    fn of(old: &[Part<'n>], new: &[Part<'n>]) -> Self {
        let names = |parts: &[Part<'n>]| {
            let mut names: Vec<&str> = parts.iter().filter_map(|part| part.value.own_name()).collect();
            names.sort_unstable();
            names
        };
        Self { old: names(old), new: names(new) }
    }

    /// How much speaks for two parts being the same one; 0 if nothing does.
    fn score(&self, old: &Part<'_>, new: &Part<'_>) -> u32 {
        if old.label != new.label {
            return 0;
        }
        if old.value == new.value {
            return EQUAL;
        }
        if old.label != Label::None {
            return SAME_NAME;
        }
        match (old.value.own_name(), new.value.own_name()) {
            (Some(a), Some(b)) if a == b => SAME_NAME,
            // one that goes on existing under its name is no other
            (Some(a), Some(b))
                if self.new.binary_search(&a).is_ok() || self.old.binary_search(&b).is_ok() =>
            {
                0
            }
            _ => likeness(old.value, new.value),
        }
    }
}

/// How alike two different values are: 0 if one has taken the place of the other, below [`SAME_NAME`] otherwise.
fn likeness(old: &Node, new: &Node) -> u32 {
    if !have_one_frame(old, new) {
        let is_scalar = |node: &Node| {
            matches!(node.tree, Tree::Text(_) | Tree::Number { .. } | Tree::Flag(_) | Tree::Word(_))
        };
        return if is_scalar(old) && is_scalar(new) { 300 } else { 0 };
    }
    // A new name alone makes no other thing of it.
    let besides_name = |node| {
        let mut parts = parts(node);
        parts.retain(|part| part.label != Label::Field("name"));
        parts
    };
    let (olds, news) = (besides_name(old), besides_name(new));
    let in_common = match old.tree {
        Tree::Record { .. } | Tree::Map(_) => olds.iter().filter(|part| news.contains(part)).count(),
        _ => olds.iter().zip(&news).filter(|(o, n)| o == n).count(),
    };
    let of = olds.len().max(news.len());
    let is_named = old.own_name().is_some() && new.own_name().is_some();
    match 2 * in_common >= of {
        true => 400 + (400 * in_common / of.max(1)) as u32,
        // what has no name may have changed altogether, such as a row of a table
        false if !is_named => 200 + (100 * in_common / of) as u32,
        false => 0,
    }
}

/// Finds parts that are left on both sides and are the same: they have moved.
fn find_moved(old: &[Part<'_>], new: &[Part<'_>], sources: &mut [Source], is_taken: &mut [bool]) {
    let is_same = |old: &Part<'_>, new: &Part<'_>| match (old.value.own_name(), new.value.own_name()) {
        _ if old == new => true,
        _ if old.label != Label::None => old.label == new.label,
        (Some(a), Some(b)) => a == b && new.label == Label::None,
        _ => false,
    };
    for (n, source) in sources.iter_mut().enumerate() {
        let Source::Put { from, .. } = source else { continue };
        *from = (0..old.len()).find(|o| !is_taken[*o] && is_same(&old[*o], &new[n]));
        if let Some(o) = *from {
            is_taken[o] = true;
        }
    }
}

/// Gives what is put between two kept parts the places of those that go between them.
fn leave_places(sources: &mut [Source], old: usize) {
    let (mut start, mut first_old) = (0, 0);
    while start <= sources.len() {
        let kept = |source: &Source| matches!(source, Source::Kept(_));
        let end = sources[start..].iter().position(kept).map_or(sources.len(), |n| start + n);
        let end_old = match sources.get(end) {
            Some(Source::Kept(o)) => *o,
            _ => old,
        };
        for (source, o) in sources[start..end].iter_mut().zip(first_old..end_old) {
            if let Source::Put { slot, .. } = source {
                *slot = Some(o);
            }
        }
        (start, first_old) = (end + 1, end_old + 1);
    }
}

#[cfg(test)]
mod tests {
    use super::Source::{Kept, Put};
    use super::*;
    use crate::parse;

    fn sources(old: &str, new: &str) -> Vec<Source> {
        let (old, new) = (parse(old.as_bytes()).0.unwrap(), parse(new.as_bytes()).0.unwrap());
        align(&old, &parts(&old), &parts(&new))
    }

    const NEW: Source = Put { from: None, slot: None };

    #[test]
    fn one_change_is_one_difference() {
        assert_eq!(sources("[1, 2, 3]", "[1, 9, 2, 3]"), [Kept(0), NEW, Kept(1), Kept(2)]);
        assert_eq!(sources("[1, 2, 3]", "[1, 3]"), [Kept(0), Kept(2)]);
        assert_eq!(sources("[1, 2, 3]", "[1, 3, 3]"), [Kept(0), Kept(1), Kept(2)]);
        assert_eq!(sources("(a: 1, b: 2)", "(a: 1, c: 3, b: 2)"), [Kept(0), NEW, Kept(1)]);
        assert_eq!(sources("(1, 2, 3)", "(2, 3)"), [Kept(0), Kept(1)], "tuples go by position");
        let row = "[(1, 2), (3, 4)]";
        assert_eq!(sources(row, "[(1, 2), (5, 6)]"), [Kept(0), Kept(1)]);
    }

    #[test]
    fn names_are_followed() {
        let old = "[H(name: \"a\", x: 1), H(name: \"b\", x: 1), P(name: \"c\")]";
        let moved = "[H(name: \"b\", x: 5), H(name: \"a\", x: 1), P(name: \"c\")]";
        let expected = [Put { from: Some(1), slot: None }, Kept(0), Kept(2)];
        assert_eq!(sources(old, moved), expected);
        let renamed = "[H(name: \"a\", x: 1), H(name: \"z\", x: 1), P(name: \"c\")]";
        assert_eq!(sources(old, renamed), [Kept(0), Kept(1), Kept(2)]);
        let other = "[H(name: \"a\", x: 1), V(name: \"z\", y: 1), P(name: \"c\")]";
        assert_eq!(sources(old, other), [Kept(0), Put { from: None, slot: Some(1) }, Kept(2)]);
        assert_eq!(sources("(a: 1, b: 2)", "(b: 2, a: 1)"), [Kept(1), Put { from: Some(0), slot: None }]);
    }
}
