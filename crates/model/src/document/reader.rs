//! Reading values off the tree: faults are collected, never the end of it.

use super::{Fault, Faults, Kind, Node, Span, parse};
use std::collections::BTreeMap;

/// A value that reads itself from a document and prints itself into one.
pub trait Document: Sized {
    /// Reads the value; on a fault it tells the reader and gives `None`.
    fn read(node: &Node, reader: &mut Reader) -> Option<Self>;

    /// The value as a node that reads back to the same value.
    fn write(&self) -> Node;

    /// What a field of this type means when it is left out; `None` where it is required.
    fn absent() -> Option<Self> {
        None
    }

    /// Whether the field may be left out when it is printed.
    fn is_absent(&self) -> bool {
        false
    }
}

/// Reads one text as one document.
///
/// # Errors
/// All faults of the text: its syntax (the first only), unknown and missing fields, values that are not allowed.
pub fn read_text<T: Document>(file: &str, text: &str) -> Result<T, Faults> {
    read_with_places(file, text).map(|(value, _)| value)
}

/// Where each field of a document stands in its text.
#[derive(Debug, Clone, Default)]
pub struct Places(BTreeMap<String, Span>);

impl Places {
    /// Where a field stands; where it is not written, the nearest thing around it that is.
    pub fn find(&self, path: &str) -> Span {
        let mut path = path;
        loop {
            if let Some(span) = self.0.get(path) {
                return *span;
            }
            match path.rfind(['.', '[']) {
                Some(at) => path = &path[..at],
                None => return Span::default(),
            }
        }
    }
}

/// As [`read_text`], and where each field stands.
///
/// # Errors
/// As [`read_text`].
pub fn read_with_places<T: Document>(file: &str, text: &str) -> Result<(T, Places), Faults> {
    let fail = |faults| Faults { file: file.to_owned(), text: text.to_owned(), faults };
    let node = parse(text).map_err(|fault| fail(vec![fault]))?;
    let mut reader = Reader::default();
    let value = T::read(&node, &mut reader);
    match value {
        Some(value) if reader.faults.is_empty() => Ok((value, Places(reader.places))),
        _ => Err(fail(reader.into_faults())),
    }
}

/// Where the reading is, and what was wrong so far.
#[derive(Debug, Default)]
pub struct Reader {
    path: Vec<String>,
    faults: Vec<Fault>,
    places: BTreeMap<String, Span>,
}

impl Reader {
    /// Notes a fault at a node.
    pub fn fault(&mut self, node: &Node, message: impl Into<String>, help: Option<String>) {
        self.fault_at(node.span, message, help);
    }

    /// Notes a fault at a place.
    pub fn fault_at(&mut self, span: Span, message: impl Into<String>, help: Option<String>) {
        let path = self.path.concat();
        self.faults.push(Fault { span, path, message: message.into(), help });
    }

    /// Runs a reading one step deeper in the path.
    pub fn within<T>(&mut self, step: String, read: impl FnOnce(&mut Self) -> T) -> T {
        let step = if step.starts_with('[') || self.path.is_empty() { step } else { format!(".{step}") };
        self.path.push(step);
        let out = read(self);
        self.path.pop();
        out
    }

    /// Remembers where the value at the present path stands, for faults found only when the whole is known.
    pub fn remember(&mut self, span: Span) {
        self.places.insert(self.path.concat(), span);
    }

    /// All faults, by place.
    pub fn into_faults(mut self) -> Vec<Fault> {
        self.faults.sort_by_key(|f| f.span.start);
        self.faults
    }

    /// Whether anything was wrong.
    pub fn is_clean(&self) -> bool {
        self.faults.is_empty()
    }

    /// The fields of a record called `name`; unknown ones, doubles and another name are faults.
    pub fn fields<'n>(&mut self, node: &'n Node, name: &str, known: &[&str]) -> Option<Fields<'n>> {
        const NONE: &[(String, Span, Node)] = &[];
        let (read, fields) = match &node.kind {
            Kind::Record(read, fields) => (read.as_deref(), fields.as_slice()),
            Kind::Unit => (None, NONE),
            Kind::Word(word) => (Some(word.as_str()), NONE),
            _ => {
                let allowed = known.join(", ");
                self.fault(
                    node,
                    format!("read {}, but {name}(…) is needed here, with the fields {allowed}", node.say()),
                    None,
                );
                return None;
            }
        };
        if let Some(read) = read.filter(|r| *r != name) {
            self.fault(node, format!("read {read}(…), but {name}(…) is needed here"), None);
        }
        let mut seen: Vec<&str> = Vec::new();
        for (field, span, _) in fields {
            if !known.contains(&field.as_str()) {
                let help = nearest(field, known).map(|n| format!("did you mean `{n}`?"));
                self.fault_at(
                    *span,
                    format!("{name} has no field `{field}`; allowed: {}", known.join(", ")),
                    help,
                );
            } else if seen.contains(&field.as_str()) {
                self.fault_at(*span, format!("the field `{field}` stands twice"), None);
            }
            seen.push(field);
        }
        self.remember(node.span);
        Some(Fields { node, fields })
    }
}

/// The fields of one record while it is read.
#[derive(Debug)]
pub struct Fields<'n> {
    node: &'n Node,
    fields: &'n [(String, Span, Node)],
}

impl Fields<'_> {
    /// Reads one field; what it means when left out comes from `default`, and without one it is missing.
    pub fn read<T: Document>(
        &self,
        reader: &mut Reader,
        field: &str,
        default: impl FnOnce() -> Option<T>,
    ) -> Option<T> {
        match self.fields.iter().find(|(f, _, _)| f == field) {
            Some((_, _, node)) => reader.within(field.to_owned(), |r| {
                r.remember(node.span);
                T::read(node, r)
            }),
            None => {
                let value = default();
                if value.is_none() {
                    let end = self.node.span.end;
                    let start = self.node.span.start;
                    reader.fault_at(Span { start, end }, format!("the field `{field}` is missing"), None);
                }
                value
            }
        }
    }
}

/// The known name nearest to what was typed, if one is near enough to be meant.
pub fn nearest<'k>(read: &str, known: &[&'k str]) -> Option<&'k str> {
    let read = read.to_lowercase();
    known
        .iter()
        .map(|k| (strsim::damerau_levenshtein(&read, &k.to_lowercase()), *k))
        .filter(|(d, k)| *d <= 1 + k.len() / 3)
        .min_by_key(|(d, _)| *d)
        .map(|(_, k)| k)
}
