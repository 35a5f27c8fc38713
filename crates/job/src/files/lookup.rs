//! Looking into a table that has been checked: the value of a key, the entries below it, its rows.

use super::model::{Name, Side, Told};
use super::reader::{Reader, Table, Value};

/// The value of a key.
pub(super) fn get<'t, 'i>(table: &'t Table<'i>, key: &str) -> Option<&'t Value<'i>> {
    table.get(key)
}

/// The entries of a table under a key, in the order written; none when the key is absent.
pub(super) fn entries<'t, 'i>(
    table: &'t Table<'i>,
    key: &str,
) -> impl Iterator<Item = (&'t toml::Spanned<std::borrow::Cow<'i, str>>, &'t Value<'i>)> + use<'t, 'i> {
    get(table, key)
        .and_then(|value| value.get_ref().as_table())
        .into_iter()
        .flatten()
}

/// The rows of an array of tables under a key.
pub(super) fn rows<'t, 'i>(
    table: &'t Table<'i>,
    key: &str,
) -> impl Iterator<Item = (&'t Value<'i>, &'t Table<'i>)> + use<'t, 'i> {
    let items = get(table, key).and_then(|value| value.get_ref().as_array());
    items
        .into_iter()
        .flat_map(|items| items.iter())
        .filter_map(|row| Some((row, row.get_ref().as_table()?)))
}

impl Reader<'_> {
    /// A value under a key by one of the reader's methods, when the key is there.
    pub(super) fn of<T>(
        &self,
        table: &Table<'_>,
        key: &str,
        read: fn(&Self, &Value<'_>) -> Option<T>,
    ) -> Option<T> {
        get(table, key).and_then(|value| read(self, value))
    }

    pub(super) fn flag(&self, table: &Table<'_>, key: &str) -> bool {
        get(table, key)
            .and_then(|value| value.get_ref().as_bool())
            .unwrap_or(false)
    }

    pub(super) fn word<'t>(&self, table: &'t Table<'_>, key: &str) -> Option<&'t str> {
        get(table, key).and_then(|value| value.get_ref().as_str())
    }

    pub(super) fn key_name(&self, key: &toml::Spanned<std::borrow::Cow<'_, str>>) -> Name {
        Told {
            value: key.get_ref().to_string(),
            at: self.place(key.span()),
        }
    }

    pub(super) fn list<T>(
        &self,
        value: &Value<'_>,
        read: fn(&Self, &Value<'_>) -> Option<T>,
    ) -> Option<Vec<T>> {
        value
            .get_ref()
            .as_array()?
            .iter()
            .map(|item| read(self, item))
            .collect()
    }

    pub(super) fn list_of<T, const N: usize>(
        &self,
        table: &Table<'_>,
        key: &str,
        read: fn(&Self, &Value<'_>) -> Option<T>,
    ) -> Option<[T; N]> {
        self.list(get(table, key)?, read)?.try_into().ok()
    }

    pub(super) fn side(&self, table: &Table<'_>, key: &str) -> Option<Side> {
        Some(if self.word(table, key)? == "left" {
            Side::Left
        } else {
            Side::Right
        })
    }
}
