//! A height as the trade says it: so much off a named floor, rough or finished.

use crate::document::{Document, Kind, Node, Reader};
use crate::label::Label;
use crate::units::Length;

choice! {
    /// Which surface of a floor or wall a measurement is taken from.
    pub enum Surface {
        /// Top of the subfloor or slab; the bare stud face of a wall.
        Rough = "rough",
        /// Top of the finished floor; the face of the finished wall.
        Finished = "finished",
    }
}

/// A height off a named floor, such as `14 3/4 off first rough` or `4 below first rough`.
#[derive(Debug, Clone, PartialEq)]
pub struct Height {
    /// Upward from that surface; negative below it.
    pub off: Length,
    /// The floor's name.
    pub floor: Label,
    /// Rough or finished: a height always says which.
    pub surface: Surface,
}

const ALLOWED: &str =
    "a height names its floor and surface, such as \"14 3/4 off first rough\" or \"4 below first finished\"";

impl Height {
    /// Reads a height.
    ///
    /// # Errors
    /// A sentence with what was read and what is allowed.
    pub fn parse(text: &str) -> Result<Self, String> {
        let fail = || format!("\"{text}\" is not a height; {ALLOWED}");
        let cut = |word: &str| {
            let at = text.find(&format!(" {word} "))?;
            Some((text[..at].trim(), text[at + word.len() + 2..].trim()))
        };
        let ((length, rest), sign) = cut("off")
            .or_else(|| cut("above"))
            .map(|c| (c, 1.0))
            .or_else(|| cut("below").map(|c| (c, -1.0)))
            .ok_or_else(fail)?;
        let (floor, surface) = rest.rsplit_once(char::is_whitespace).ok_or_else(fail)?;
        let surface = match surface {
            "rough" => Surface::Rough,
            "finished" | "finish" => Surface::Finished,
            _ => return Err(fail()),
        };
        let floor = floor.trim().strip_suffix(" floor").unwrap_or(floor.trim()).trim();
        if floor.is_empty() {
            return Err(fail());
        }
        let off = Length::parse(length).map_err(|e| format!("{e}; {ALLOWED}"))?;
        Ok(Self { off: off * sign, floor: Label::new(floor), surface })
    }
}

impl std::fmt::Display for Height {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} off {} {}", self.off, self.floor, self.surface)
    }
}

impl Document for Height {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let Kind::Text(text) = &node.kind else {
            reader.fault(node, format!("read {}, but {ALLOWED}", node.say()), None);
            return None;
        };
        let read = Self::parse(text);
        reader.accept(node, read)
    }

    fn write(&self) -> Node {
        Node::new(Kind::Text(format!("{} off {} {}", self.off.exact(), self.floor, self.surface)))
    }
}
