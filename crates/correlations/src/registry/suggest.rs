//! The known name nearest to a mistyped one.

/// The nearest of the known names, if one is near enough to be meant.
pub(super) fn nearest(name: &str, known: impl Iterator<Item = &'static str>) -> Option<&'static str> {
    let wanted = name.to_ascii_lowercase();
    let allowed = (wanted.len() / 3).max(2);
    known
        .map(|candidate| (distance(&wanted, &candidate.to_ascii_lowercase()), candidate))
        .min_by_key(|(d, candidate)| (*d, candidate.len()))
        .filter(|(d, _)| *d <= allowed)
        .map(|(_, candidate)| candidate)
}

/// Edits from one word to the other; a word that begins or ends the other counts one edit for every eight letters missing.
fn distance(a: &str, b: &str) -> usize {
    let part = a.len() >= 3 && (b.starts_with(a) || b.ends_with(a) || a.starts_with(b));
    if part {
        return 1 + a.len().abs_diff(b.len()) / 8;
    }
    strsim::osa_distance(a, b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_finds_its_name_and_nonsense_does_not() {
        let known = || ["reynolds", "prandtl", "length_over_diameter"].into_iter();
        assert_eq!(nearest("reynold", known()), Some("reynolds"));
        assert_eq!(nearest("prantdl", known()), Some("prandtl"));
        assert_eq!(nearest("zzzzzz", known()), None);
    }
}
