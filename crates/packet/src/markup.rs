//! Text with tags, for HTML and SVG: whatever comes from a job is escaped on the way in, for there is no other way in.
//!
//! Names of tags and attributes and raw text are `&'static str`, so that nothing read from a file can be one.

/// Markup so far.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Markup {
    text: String,
}

impl Markup {
    /// Nothing yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Text of ours as it is: style sheets, doctypes, characters that are tags.
    pub fn raw(&mut self, text: &'static str) -> &mut Self {
        self.text.push_str(text);
        self
    }

    /// Text as people read it.
    pub fn text(&mut self, text: &str) -> &mut Self {
        escape(text, &mut self.text);
        self
    }

    /// Markup made elsewhere.
    pub fn put(&mut self, other: &Markup) -> &mut Self {
        self.text.push_str(&other.text);
        self
    }

    /// A tag with what is in it.
    pub fn tag(
        &mut self,
        name: &'static str,
        attributes: &[(&'static str, &str)],
        inside: impl FnOnce(&mut Markup),
    ) -> &mut Self {
        self.open(name, attributes);
        self.text.push('>');
        inside(self);
        self.text.push_str("</");
        self.text.push_str(name);
        self.text.push_str(">\n");
        self
    }

    /// A tag with nothing but text in it.
    pub fn line(&mut self, name: &'static str, attributes: &[(&'static str, &str)], text: &str) -> &mut Self {
        self.tag(name, attributes, |m| {
            m.text(text);
        })
    }

    /// A tag that holds nothing, closed at once.
    pub fn empty(&mut self, name: &'static str, attributes: &[(&'static str, &str)]) -> &mut Self {
        self.open(name, attributes);
        self.text.push_str("/>\n");
        self
    }

    /// Data for the page's own script, in a `script` tag of that type: JSON or base64. What would end the tag is written
    /// as an escape that JSON reads back.
    pub fn data(&mut self, id: &'static str, kind: &'static str, text: &str) -> &mut Self {
        self.open("script", &[("id", id), ("type", kind)]);
        self.text.push('>');
        self.text.push_str(&text.replace('<', "\\u003c"));
        self.text.push_str("</script>\n");
        self
    }

    /// The whole.
    pub fn into_text(self) -> String {
        self.text
    }

    fn open(&mut self, name: &'static str, attributes: &[(&'static str, &str)]) {
        self.text.push('<');
        self.text.push_str(name);
        for (key, value) in attributes {
            self.text.push(' ');
            self.text.push_str(key);
            self.text.push_str("=\"");
            escape(value, &mut self.text);
            self.text.push('"');
        }
    }
}

/// Escapes for text and for attributes in double or single quotes. What XML does not allow at all becomes the sign for
/// a character that can't be shown.
fn escape(text: &str, out: &mut String) {
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\n' | '\t' => out.push(c),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push('\u{fffd}'),
            // Marks that turn the direction of what follows could make a name read as something else.
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // XML 1.0, section 2.4: these five are the predefined entities, and no control character but tab and line ends is text.
    #[test]
    fn nothing_that_is_read_becomes_a_tag() {
        let mut m = Markup::new();
        m.line("td", &[("title", "\"><script>")], "</td><script>alert('x')</script>&amp;\u{7}");
        assert_eq!(
            m.into_text(),
            "<td title=\"&quot;&gt;&lt;script&gt;\">&lt;/td&gt;&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt;\
             &amp;amp;\u{fffd}</td>\n"
        );
    }
}
