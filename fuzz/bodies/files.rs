//! Any bytes as one of the three files of a job: it is read, or what is wrong has a place in it and can be shown.

use job::files::model::FileKind;
use job::files::{Source, Wrong, read_design, read_fit, read_shop};

/// design.toml
pub fn check_design(bytes: &[u8]) {
    check(FileKind::Design, bytes, |text| read_design(text).err());
}

/// fits/NAME.toml
pub fn check_fit(bytes: &[u8]) {
    check(FileKind::Fit, bytes, |text| read_fit(text).err());
}

/// shop.toml
pub fn check_shop(bytes: &[u8]) {
    check(FileKind::Shop, bytes, |text| read_shop(text).err());
}

fn check(kind: FileKind, bytes: &[u8], read: impl Fn(&str) -> Option<Vec<Wrong>>) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    let Some(wrongs) = read(text) else {
        return;
    };
    assert!(
        !wrongs.is_empty(),
        "a file that is not read has something wrong with it"
    );
    let source = Source {
        kind,
        path: "file.toml".into(),
        text: text.into(),
    };
    for wrong in &wrongs {
        assert!(!wrong.says.is_empty(), "{wrong:?}");
        assert_eq!(wrong.at.file, kind, "{wrong:?}");
        let span = &wrong.at.span;
        assert!(
            span.start <= span.end && span.end <= text.len(),
            "{wrong:?} in {} bytes",
            text.len()
        );
        assert!(!source.show(wrong).is_empty());
    }
    assert_eq!(
        read(text).as_ref(),
        Some(&wrongs),
        "the same text, the same wrongs"
    );
}
