//! The only colours: ANSI codes, on a terminal only. Nothing is told by colour alone.

/// What a piece of text is, as far as its look goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// As the terminal has it.
    Plain,
    /// A heading.
    Heading,
    /// A red tag.
    RedTag,
    /// A question.
    Ask,
    /// Worth knowing.
    Watch,
    /// Not looked at, or beside the matter.
    Faint,
}

/// Whether colours are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Style {
    /// None: for a file, a pipe, or where the user asked for none.
    Plain,
    /// ANSI colours.
    Colour,
}

impl Style {
    /// The text with the codes of its tone around it.
    pub fn paint(self, tone: Tone, text: &str) -> String {
        let code = match tone {
            Tone::Plain => "",
            Tone::Heading => "1",
            // The red of a paper tag.
            Tone::RedTag => "1;31",
            Tone::Ask => "33",
            Tone::Watch => "36",
            Tone::Faint => "2",
        };
        if self == Self::Plain || code.is_empty() || text.is_empty() {
            text.to_owned()
        } else {
            format!("\u{1b}[{code}m{text}\u{1b}[0m")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_style_writes_no_codes() {
        assert_eq!(Style::Plain.paint(Tone::RedTag, "red tag"), "red tag");
        assert_eq!(Style::Colour.paint(Tone::Plain, "red tag"), "red tag");
        // ECMA-48, select graphic rendition: 1 is bold, 31 is red, 0 ends both.
        assert_eq!(Style::Colour.paint(Tone::RedTag, "red tag"), "\u{1b}[1;31mred tag\u{1b}[0m");
    }
}
