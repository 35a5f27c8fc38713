//! The known name most like one that is not known.

/// Names less alike than this (0 to 1) are not worth offering: "plasma" for "laser" helps nobody.
const WORTH_OFFERING: f64 = 0.6;

/// The candidate most like what was asked, if any is like it at all. Case does not count.
pub(crate) fn nearest<'a>(asked: &str, known: impl Iterator<Item = &'a str>) -> Option<String> {
    let asked = asked.trim().to_lowercase();
    let mut best: Option<(f64, &str)> = None;
    for name in known {
        let alike = strsim::normalized_damerau_levenshtein(&asked, &name.to_lowercase())
            .max(strsim::jaro_winkler(&asked, &name.to_lowercase()) - 0.15);
        if alike >= WORTH_OFFERING && best.is_none_or(|(most, _)| alike > most) {
            best = Some((alike, name));
        }
    }
    best.map(|(_, name)| name.to_owned())
}
