//! The name that was probably meant.

/// A name is near when no more than a third of its letters, and at least one, must change.
fn reach(name: &str) -> usize {
    (name.chars().count() / 3).max(1)
}

/// The candidate nearest to `name`, the first of equals; `None` when none is near.
pub(crate) fn nearest<'a>(name: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    candidates
        .into_iter()
        .map(|candidate| {
            (
                strsim::osa_distance(&name.to_lowercase(), &candidate.to_lowercase()),
                candidate,
            )
        })
        .filter(|(distance, _)| *distance <= reach(name) && *distance < name.chars().count())
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
