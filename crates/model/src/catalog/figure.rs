//! A figure with what it rests on.

use crate::document::{Document, Kind, Node, Reader, Span};

choice! {
    /// How far a figure can be trusted.
    pub enum Status {
        /// Seen in the source named.
        Confirmed = "confirmed",
        /// Seen in a source that quotes the source named.
        Secondary = "secondary",
        /// From memory, not held against print.
        Memory = "memory",
        /// What the trade commonly does; no standard says so.
        CommonPractice = "common_practice",
        /// Worked out from other figures of the catalog.
        Derived = "derived",
        /// Measured on real parts, with no standard behind it.
        Measured = "measured",
        /// A choice of this project, to be changed where the user knows better.
        Policy = "policy",
    }
}

/// A value with what it rests on; written `Figure(value: "1/4", status: memory, source: "…")`.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure<T> {
    /// The value itself.
    pub value: T,
    /// How far it can be trusted.
    pub status: Status,
    /// Where it comes from; never empty.
    pub source: String,
}

impl<T: Document> Document for Figure<T> {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let fields = reader.fields(node, "Figure", &["value", "status", "source"])?;
        let value = fields.read(reader, "value", T::absent);
        let status = fields.read(reader, "status", || None);
        let source = fields.read::<Source>(reader, "source", || None);
        Some(Self { value: value?, status: status?, source: source?.0 })
    }

    fn write(&self) -> Node {
        let field = |name: &str, node| (name.to_owned(), Span::default(), node);
        Node::new(Kind::Record(
            Some("Figure".to_owned()),
            vec![
                field("value", self.value.write()),
                field("status", self.status.write()),
                field("source", self.source.write()),
            ],
        ))
    }
}

/// Where figures come from: a text that is not empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source(String);

impl Source {
    /// The text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl std::fmt::Display for Source {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(&self.0)
    }
}

impl Document for Source {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let text = String::read(node, reader)?;
        if text.trim().is_empty() {
            reader.fault(node, "the source is empty; say where the figure comes from", None);
            return None;
        }
        Some(Self(text.trim().to_owned()))
    }

    fn write(&self) -> Node {
        self.0.write()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::{print, read_text};
    use crate::units::Length;

    #[test]
    fn a_figure_reads_back_as_it_is_printed() {
        let figure =
            Figure { value: Length::inches(0.25), status: Status::Memory, source: "a sheet".to_owned() };
        assert_eq!(read_text("figure", &print(&figure.write())), Ok(figure));
    }

    #[test]
    fn a_figure_without_a_source_is_refused() {
        let text = r#"Figure(value: "1/4", status: memory, source: " ")"#;
        let faults = read_text::<Figure<Length>>("figure", text).unwrap_err();
        assert!(faults.to_string().contains("source is empty"), "{faults}");
    }
}
