//! Names as people type them: spelling differences that do not count, and the nearest right name.

/// A name without what does not count: letter case and white space.
pub(crate) fn folded(name: &str) -> String {
    name.chars()
        .filter(|c| !c.is_whitespace())
        .flat_map(char::to_lowercase)
        .collect()
}

/// The candidate nearest to a name that was not found, or none if none is near.
///
/// Near is one wrong, missing, added or swapped letter in three, and one at least; a name that
/// would have to change altogether has no near candidate. Of equals, the first.
pub(crate) fn nearest<S: AsRef<str>>(
    name: &str,
    candidates: impl IntoIterator<Item = S>,
) -> Option<String> {
    let given = folded(name);
    let length = given.chars().count();
    let most = (length / 3).max(1).min(length.saturating_sub(1));
    // A difference in length alone rules out most, and all of a very long name.
    let near_in_length = |c: &S| folded(c.as_ref()).chars().count().abs_diff(length) <= most;
    candidates
        .into_iter()
        .filter(near_in_length)
        .map(|c| (strsim::osa_distance(&given, &folded(c.as_ref())), c))
        .filter(|(distance, _)| *distance <= most)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, c)| c.as_ref().to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    const NAMES: [&str; 3] = ["churchill 1977", "wallis 1969", "friedel 1979"];

    #[test]
    fn slips_of_the_keyboard_are_near() {
        assert_eq!(
            nearest("Curchill1977", NAMES).as_deref(),
            Some("churchill 1977")
        );
        assert_eq!(
            nearest("wlalis 1969", NAMES).as_deref(),
            Some("wallis 1969")
        );
        assert_eq!(
            nearest("FRIEDEL  1979", NAMES).as_deref(),
            Some("friedel 1979")
        );
    }

    #[test]
    fn another_word_is_not() {
        for name in ["", "x", "colebrook", "19"] {
            assert_eq!(nearest(name, NAMES), None, "{name}");
        }
        assert_eq!(nearest("wallis", [""; 0]), None);
    }
}
