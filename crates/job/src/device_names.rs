//! Names that one system keeps for its devices, in any folder: no file or folder of a job is called so.

/// Whether a name, without its ending, is such a one.
pub fn is_device_name(name: &str) -> bool {
    let name = name.to_ascii_lowercase();
    let numbered = |word: &str| {
        name.strip_prefix(word)
            .is_some_and(|rest| rest.chars().count() == 1)
    };
    matches!(name.as_str(), "con" | "prn" | "aux" | "nul") || numbered("com") || numbered("lpt")
}
