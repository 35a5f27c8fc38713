//! Placement of a folded part on its mounts, its support and clear of what must stay clear.
