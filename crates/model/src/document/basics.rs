//! How the plain values read and print: texts, numbers, lists, lengths.

use super::{Document, Kind, Node, Reader, reader::nearest};
use crate::units::{Angle, Grade, Length, NominalSize};

impl Reader {
    /// Which of the allowed words stands here; letter case and `_` against blank don't matter.
    pub fn one_of(&mut self, node: &Node, words: &[&str]) -> Option<usize> {
        let plain = |w: &str| w.trim().to_lowercase().replace([' ', '-'], "_");
        let read = match &node.kind {
            Kind::Word(w) | Kind::Text(w) => Some(plain(w)),
            _ => None,
        };
        let at = read.as_ref().and_then(|r| words.iter().position(|w| plain(w) == *r));
        if at.is_none() {
            let help = read.and_then(|r| nearest(&r, words)).map(|n| format!("did you mean `{n}`?"));
            self.fault(node, format!("read {}, allowed: {}", node.say(), words.join(", ")), help);
        }
        at
    }

    /// The name of the variant that stands here, if it is one of the known.
    pub fn variant<'n>(&mut self, node: &'n Node, known: &[&str]) -> Option<&'n str> {
        let name = match &node.kind {
            Kind::Word(w) => Some(w.as_str()),
            Kind::Record(Some(n), _) | Kind::Tuple(Some(n), _) => Some(n.as_str()),
            _ => None,
        };
        let hit = name.filter(|n| known.contains(n));
        if hit.is_none() {
            let help = name.and_then(|n| nearest(n, known)).map(|n| format!("did you mean `{n}`?"));
            self.fault(node, format!("read {}, allowed: {}", node.say(), known.join(", ")), help);
        }
        hit
    }

    /// The text or number that stands here, as it was typed.
    pub fn typed<'n>(&mut self, node: &'n Node, allowed: &str) -> Option<&'n str> {
        match &node.kind {
            Kind::Text(t) | Kind::Number(t) => Some(t),
            _ => {
                self.fault(node, format!("read {}, but {allowed} is needed here", node.say()), None);
                None
            }
        }
    }

    /// Hands a fault on if there is one.
    pub fn accept<T, E: std::fmt::Display>(&mut self, node: &Node, value: Result<T, E>) -> Option<T> {
        value.map_err(|e| self.fault(node, e.to_string(), None)).ok()
    }
}

macro_rules! quantity {
    ($($ty:ty, $allowed:literal;)*) => { $(
        impl Document for $ty {
            fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
                let typed = reader.typed(node, $allowed)?;
                reader.accept(node, <$ty>::parse(typed))
            }
            fn write(&self) -> Node {
                Node::new(Kind::Text(self.exact()))
            }
        }
    )* };
}

quantity! {
    Length, "a length such as \"14 3/4\"";
    Grade, "a grade such as \"1/4\" (in per ft)";
    Angle, "an angle in degrees";
}

impl Document for NominalSize {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let typed = reader.typed(node, "a pipe size such as \"1-1/2\"")?;
        reader.accept(node, Self::parse(typed))
    }
    fn write(&self) -> Node {
        Node::new(Kind::Text(self.to_string()))
    }
}

impl Document for String {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        if let Kind::Text(t) = &node.kind {
            return Some(t.clone());
        }
        reader.fault(node, format!("read {}, but a text in quotes is needed here", node.say()), None);
        None
    }
    fn write(&self) -> Node {
        Node::new(Kind::Text(self.clone()))
    }
}

impl Document for bool {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        if let Kind::Bool(b) = node.kind {
            return Some(b);
        }
        reader.fault(node, format!("read {}, allowed: true, false", node.say()), None);
        None
    }
    fn write(&self) -> Node {
        Node::new(Kind::Bool(*self))
    }
}

impl Document for f64 {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let typed = reader.typed(node, "a number")?;
        let value = typed.trim().parse::<f64>().ok().filter(|v| v.is_finite());
        if value.is_none() {
            reader.fault(node, format!("read {}, but a number is needed here", node.say()), None);
        }
        value
    }
    fn write(&self) -> Node {
        Node::new(Kind::Number(format!("{self:?}")))
    }
}

impl Document for u32 {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let typed = reader.typed(node, "a whole number")?;
        let value = typed.trim().parse::<u32>().ok();
        if value.is_none() {
            reader.fault(
                node,
                format!("read {}, but a whole number from 0 up is needed here", node.say()),
                None,
            );
        }
        value
    }
    fn write(&self) -> Node {
        Node::new(Kind::Number(self.to_string()))
    }
}

impl<T: Document> Document for Option<T> {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        if node.kind == Kind::Word("None".into()) {
            return Some(None);
        }
        T::read(node, reader).map(Some)
    }
    fn write(&self) -> Node {
        match self {
            Some(value) => value.write(),
            None => Node::new(Kind::Word("None".into())),
        }
    }
    fn absent() -> Option<Self> {
        Some(None)
    }
    fn is_absent(&self) -> bool {
        self.is_none()
    }
}

impl<T: Document> Document for Box<T> {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        T::read(node, reader).map(Box::new)
    }
    fn write(&self) -> Node {
        (**self).write()
    }
}

impl<T: Document> Document for Vec<T> {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let Kind::List(items) = &node.kind else {
            reader.fault(node, format!("read {}, but a list in [ ] is needed here", node.say()), None);
            return None;
        };
        let read: Vec<Option<T>> = items
            .iter()
            .enumerate()
            .map(|(i, n)| reader.within(format!("[{i}]"), |r| T::read(n, r)))
            .collect();
        read.into_iter().collect()
    }
    fn write(&self) -> Node {
        Node::new(Kind::List(self.iter().map(Document::write).collect()))
    }
    fn absent() -> Option<Self> {
        Some(Vec::new())
    }
    fn is_absent(&self) -> bool {
        self.is_empty()
    }
}

impl<A: Document, B: Document> Document for (A, B) {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match &node.kind {
            Kind::Tuple(None, items) if items.len() == 2 => {
                let a = reader.within("[0]".into(), |r| A::read(&items[0], r));
                let b = reader.within("[1]".into(), |r| B::read(&items[1], r));
                Some((a?, b?))
            }
            _ => {
                reader.fault(
                    node,
                    format!("read {}, but two values in ( ) are needed here", node.say()),
                    None,
                );
                None
            }
        }
    }
    fn write(&self) -> Node {
        Node::new(Kind::Tuple(None, vec![self.0.write(), self.1.write()]))
    }
}

impl<A: Document, B: Document, C: Document> Document for (A, B, C) {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match &node.kind {
            Kind::Tuple(None, items) if items.len() == 3 => {
                let a = reader.within("[0]".into(), |r| A::read(&items[0], r));
                let b = reader.within("[1]".into(), |r| B::read(&items[1], r));
                let c = reader.within("[2]".into(), |r| C::read(&items[2], r));
                Some((a?, b?, c?))
            }
            _ => {
                reader.fault(
                    node,
                    format!("read {}, but three values in ( ) are needed here", node.say()),
                    None,
                );
                None
            }
        }
    }
    fn write(&self) -> Node {
        Node::new(Kind::Tuple(None, vec![self.0.write(), self.1.write(), self.2.write()]))
    }
}
