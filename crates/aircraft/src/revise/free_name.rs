//! Names that nothing has yet.

use super::place;
use schema::Node;

/// A name like this one that nothing has.
pub(super) fn free_name(root: &Node, name: &str) -> String {
    let is_free = |name: &str| place::count_named(root, name) == 0;
    if is_free(name) {
        return name.to_owned();
    }
    // `hose 2` is followed by `hose 3`
    let stem = name.trim_end_matches(|c: char| c.is_ascii_digit()).trim_end();
    let stem = if stem.is_empty() { name } else { stem };
    // A project has fewer things than this.
    (2..100_000_usize).map(|n| format!("{stem} {n}")).find(|name| is_free(name)).unwrap_or_default()
}
