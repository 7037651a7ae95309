//! The name a person wrote on a part, a wall or a fixture; used in files and messages, never as a key of geometry.

use crate::document::{Document, Kind, Node, Reader};

/// A name as the user wrote it: not empty, one line.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Label(String);

impl Label {
    /// A label of a text that is known to be one line and not empty; blanks at the ends are cut.
    pub fn new(text: impl AsRef<str>) -> Self {
        Self(text.as_ref().trim().replace(['\n', '\r'], " "))
    }

    /// The text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl AsRef<str> for Label {
    fn as_ref(&self) -> &str {
        &self.0
    }
}

impl std::fmt::Display for Label {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(&self.0)
    }
}

impl Document for Label {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match &node.kind {
            Kind::Text(t) if !t.trim().is_empty() && !t.contains(['\n', '\r']) => Some(Self::new(t)),
            Kind::Word(w) => Some(Self::new(w)),
            Kind::Number(n) => Some(Self::new(n)),
            _ => {
                reader.fault(node, format!("read {}, but a name in quotes is needed here", node.say()), None);
                None
            }
        }
    }

    fn write(&self) -> Node {
        Node::new(Kind::Text(self.0.clone()))
    }
}
