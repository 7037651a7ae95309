//! The tree of a RON text: each node knows where it stands in the file.

/// A stretch of the source text, in bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

/// A value of the text and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// Where it stands; empty for a node made to be printed.
    pub span: Span,
    /// What it is.
    pub kind: Kind,
}

/// What a value is, as RON spells it.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// `()`.
    Unit,
    /// `true` or `false`.
    Bool(bool),
    /// A number, as it was written.
    Number(String),
    /// A quoted text.
    Text(String),
    /// A bare word, such as `finished`.
    Word(String),
    /// `[a, b]`.
    List(Vec<Node>),
    /// `(a, b)` or `Name(a, b)`.
    Tuple(Option<String>, Vec<Node>),
    /// `(a: 1)` or `Name(a: 1)`.
    Record(Option<String>, Vec<(String, Span, Node)>),
    /// `{"a": 1}`.
    Map(Vec<(Node, Node)>),
}

impl Node {
    /// A node without a place, to be printed.
    pub fn new(kind: Kind) -> Self {
        Self { span: Span::default(), kind }
    }

    /// What was read, as a person would say it.
    pub fn say(&self) -> String {
        match &self.kind {
            Kind::Unit => "()".into(),
            Kind::Bool(b) => b.to_string(),
            Kind::Number(n) => n.clone(),
            Kind::Text(t) => format!("\"{t}\""),
            Kind::Word(w) => w.clone(),
            Kind::List(items) => format!("a list of {}", items.len()),
            Kind::Tuple(Some(name), _) | Kind::Record(Some(name), _) => format!("{name}(…)"),
            Kind::Tuple(None, items) => format!("a group of {}", items.len()),
            Kind::Record(None, _) => "(…)".into(),
            Kind::Map(_) => "{…}".into(),
        }
    }
}
