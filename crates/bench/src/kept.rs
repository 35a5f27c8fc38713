//! The last revision that was kept, and what the changes since did.

use job::Kept;
use job::Summary;
use serde_json::{Value, json};

/// What the next one would be called, and what changed since the last: of whole answers alone, as a proof that is still to come
/// is no change.
pub(crate) fn told(kept: Option<&Kept>, now: Option<&Summary>, whole: bool) -> Value {
    let own = now.and_then(|now| now.job.revision.as_deref());
    let next = match (kept, own) {
        (Some(kept), _) => job::next_revision(&kept.revision),
        // Never kept: the design is at its first, or at what it says.
        (None, Some(own)) if !own.trim().is_empty() => own.to_owned(),
        (None, _) => job::next_revision(""),
    };
    json!({
        "next": next,
        "revision": kept.map(|kept| &kept.revision),
        "since": kept.zip(now).filter(|_| whole).map(|(kept, now)| job::since(kept, now)),
    })
}
