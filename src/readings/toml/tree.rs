//! A parsed file as a tree in which every value and key knows its place.

use std::ops::Range;

use toml_edit::{Item, Key, TableLike, Value as TomlValue};

/// A value and where it stands.
#[derive(Debug, Clone)]
pub(in crate::readings) struct Node {
    pub(in crate::readings) span: Range<usize>,
    pub(in crate::readings) value: Value,
}

/// What a value is.
#[derive(Debug, Clone)]
pub(in crate::readings) enum Value {
    /// Text in quotes, as it reads.
    Text(String),
    /// A bare number; its text is the piece of the file.
    Number,
    /// `true` or `false`.
    Flag(bool),
    /// A bare date; its text is the piece of the file.
    Date,
    List(Vec<Node>),
    Table(Table),
    /// Something that could not be parsed and is reported already.
    Broken,
}

/// A table with its keys in the order of the file.
#[derive(Debug, Clone, Default)]
pub(in crate::readings) struct Table {
    pub(in crate::readings) entries: Vec<Entry>,
}

/// A key and its value.
#[derive(Debug, Clone)]
pub(in crate::readings) struct Entry {
    /// In lower case, with dashes between its words.
    pub(in crate::readings) key: String,
    pub(in crate::readings) key_span: Range<usize>,
    pub(in crate::readings) node: Node,
}

impl Table {
    /// The first entry of this key.
    pub(in crate::readings) fn entry(&self, key: &str) -> Option<&Entry> {
        self.entries.iter().find(|entry| entry.key == key)
    }

    /// The value of this key.
    pub(in crate::readings) fn get(&self, key: &str) -> Option<&Node> {
        self.entry(key).map(|entry| &entry.node)
    }
}

/// The tree of a table; values that touch one of `holes` are [`Value::Broken`].
pub(in crate::readings) fn table(table: &dyn TableLike, holes: &[Range<usize>]) -> Table {
    let mut entries: Vec<Entry> = table
        .iter()
        .filter_map(|(name, _)| table.get_key_value(name))
        .map(|(key, item)| {
            let key_span = key.span().unwrap_or_default();
            let node = node(item, &key_span, holes);
            Entry {
                key: folded(key),
                key_span,
                node,
            }
        })
        .collect();
    entries.sort_by_key(|entry| entry.key_span.start);
    Table { entries }
}

fn folded(key: &Key) -> String {
    key.get().trim().to_lowercase().replace(['_', ' '], "-")
}

fn node(item: &Item, key: &Range<usize>, holes: &[Range<usize>]) -> Node {
    let span = item.span().unwrap_or_else(|| key.clone());
    let value = match item {
        Item::None => Value::Broken,
        Item::Value(value) => return value_node(value, key, holes),
        Item::Table(inner) => Value::Table(table(inner, holes)),
        Item::ArrayOfTables(tables) => {
            let list = tables.iter().map(|inner| Node {
                span: inner.span().unwrap_or_else(|| key.clone()),
                value: Value::Table(table(inner, holes)),
            });
            Value::List(list.collect())
        }
    };
    Node { span, value }
}

fn value_node(value: &TomlValue, key: &Range<usize>, holes: &[Range<usize>]) -> Node {
    let span = value.span().unwrap_or_else(|| key.clone());
    let value = match value {
        _ if holes.iter().any(|hole| hole.start == span.start) => Value::Broken,
        TomlValue::String(text) => Value::Text(text.value().clone()),
        TomlValue::Integer(_) | TomlValue::Float(_) => Value::Number,
        TomlValue::Boolean(flag) => Value::Flag(*flag.value()),
        TomlValue::Datetime(_) => Value::Date,
        TomlValue::Array(list) => Value::List(
            list.iter()
                .map(|value| value_node(value, key, holes))
                .collect(),
        ),
        TomlValue::InlineTable(inner) => Value::Table(table(inner, holes)),
    };
    Node { span, value }
}
