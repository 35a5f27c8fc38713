//! Will it hold? A folded part on its mounts, with what it carries, to an answer that a fabricator can act on.
//!
//! Lengths mm, forces N, moments N mm, stresses MPa, angles radians. This room knows no files and no words for people.
