//! The name that was probably meant.

/// The candidate nearest to `name`, the first of equals, capitals apart; `None` when none is near. A name is near when no
/// more than a third of its letters, and at least one but not all, must change.
pub(crate) fn nearest<'a>(name: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wanted = name.to_lowercase();
    let letters = wanted.chars().count();
    let reach = (letters / 3).max(1).min(letters.saturating_sub(1));
    candidates
        .into_iter()
        // At least the difference in length must change: most candidates need no closer look.
        .filter(|candidate| candidate.chars().count().abs_diff(letters) <= reach)
        .map(|candidate| {
            (
                strsim::osa_distance(&wanted, &candidate.to_lowercase()),
                candidate,
            )
        })
        .filter(|(distance, _)| *distance <= reach)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn swapped_letters_are_near_and_other_words_are_not() {
        assert_eq!(nearest("wirst", ["elbow", "wrist"]), Some("wrist"));
        assert_eq!(nearest("pad", ["elbow", "wrist"]), None);
    }
}
