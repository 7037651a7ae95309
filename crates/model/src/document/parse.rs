//! RON text to a tree. Only a fault of syntax stops it: what the values mean is the reader's business.

use super::{Fault, Kind, Node, Span};

/// Reads one RON value with nothing behind it.
///
/// # Errors
/// The first fault of syntax, with its place and what is allowed there.
pub fn parse(text: &str) -> Result<Node, Fault> {
    let mut p = Parser { text, at: 0, depth: 0 };
    p.skip_space()?;
    // RON files may open with extension lines; what they allow is always allowed here.
    while p.rest().starts_with("#!") {
        let end = p.rest().find(']').ok_or_else(|| p.fault("an extension line without its closing ]"))?;
        p.at += end + 1;
        p.skip_space()?;
    }
    let node = p.value()?;
    p.skip_space()?;
    if p.at < text.len() {
        return Err(p.fault("something stands behind the end of the document; one value is allowed"));
    }
    Ok(node)
}

/// Deeper than any job; keeps hostile input from exhausting the stack.
const DEEPEST: usize = 100;

struct Parser<'a> {
    text: &'a str,
    at: usize,
    depth: usize,
}

impl Parser<'_> {
    fn rest(&self) -> &str {
        &self.text[self.at..]
    }

    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    fn fault(&self, message: &str) -> Fault {
        let end = (self.at + self.peek().map_or(0, char::len_utf8)).min(self.text.len());
        Fault { span: Span { start: self.at, end }, path: String::new(), message: message.into(), help: None }
    }

    fn skip_space(&mut self) -> Result<(), Fault> {
        loop {
            let rest = self.rest();
            let trimmed = rest.trim_start_matches(|c: char| c.is_whitespace() || c == '\u{feff}');
            self.at += rest.len() - trimmed.len();
            if self.rest().starts_with("//") {
                self.at += self.rest().find('\n').unwrap_or(self.rest().len());
            } else if self.rest().starts_with("/*") {
                self.block_comment()?;
            } else {
                return Ok(());
            }
        }
    }

    fn block_comment(&mut self) -> Result<(), Fault> {
        let opening = self.fault("a comment /* without its closing */");
        let mut depth = 0usize;
        loop {
            if self.rest().starts_with("/*") {
                depth += 1;
                self.at += 2;
            } else if self.rest().starts_with("*/") {
                depth -= 1;
                self.at += 2;
                if depth == 0 {
                    return Ok(());
                }
            } else {
                self.at += self.peek().ok_or_else(|| opening.clone())?.len_utf8();
            }
        }
    }

    fn eat(&mut self, c: char) -> bool {
        let hit = self.peek() == Some(c);
        if hit {
            self.at += c.len_utf8();
        }
        hit
    }

    fn value(&mut self) -> Result<Node, Fault> {
        self.skip_space()?;
        if self.depth >= DEEPEST {
            return Err(self.fault("brackets nest too deep"));
        }
        self.depth += 1;
        let start = self.at;
        let kind = match self.peek() {
            None => return Err(self.fault("the text ends where a value is needed")),
            Some('"') => Kind::Text(self.quoted()?),
            Some('[') => Kind::List(self.list()?),
            Some('{') => Kind::Map(self.map()?),
            Some('(') => self.group(None)?,
            Some('r') if self.rest().starts_with("r\"") || self.rest().starts_with("r#") => {
                Kind::Text(self.raw()?)
            }
            Some(c) if c == '-' || c == '+' || c == '.' || c.is_ascii_digit() => Kind::Number(self.number()?),
            Some(c) if c.is_alphabetic() || c == '_' => {
                let word = self.word();
                self.skip_space()?;
                match (word.as_str(), self.peek()) {
                    ("Some", Some('(')) => return self.some(),
                    (_, Some('(')) => self.group(Some(word))?,
                    ("true", _) => Kind::Bool(true),
                    ("false", _) => Kind::Bool(false),
                    _ => {
                        self.depth -= 1;
                        return Ok(Node {
                            span: Span { start, end: start + word.len() },
                            kind: Kind::Word(word),
                        });
                    }
                }
            }
            Some(c) => return Err(self.fault(&format!("{c:?} can't open a value here"))),
        };
        self.depth -= 1;
        Ok(Node { span: Span { start, end: self.at }, kind })
    }

    /// `Some(x)` means x: what is left out means none.
    fn some(&mut self) -> Result<Node, Fault> {
        self.eat('(');
        let inner = self.value()?;
        self.skip_space()?;
        self.eat(',');
        self.skip_space()?;
        if !self.eat(')') {
            return Err(self.fault("Some( without its closing )"));
        }
        self.depth -= 1;
        Ok(inner)
    }

    fn word(&mut self) -> String {
        let rest = self.rest();
        let len = rest.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(rest.len());
        let word = rest[..len].to_owned();
        self.at += len;
        word
    }

    fn number(&mut self) -> Result<String, Fault> {
        let start = self.fault("this is not a number; a length with a fraction stands in quotes: \"14 3/4\"");
        let rest = self.rest();
        let len = rest
            .find(|c: char| !(c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '+' | '_')))
            .unwrap_or(rest.len());
        let read = rest[..len].replace('_', "");
        match read.parse::<f64>() {
            Ok(value)
                if value.is_finite()
                    && !read.contains(|c: char| c.is_ascii_alphabetic() && !matches!(c, 'e' | 'E')) =>
            {
                self.at += len;
                Ok(read)
            }
            _ => Err(start),
        }
    }

    fn quoted(&mut self) -> Result<String, Fault> {
        let opening = self.fault("a text without its closing quote");
        self.at += 1;
        let mut out = String::new();
        loop {
            let c = self.peek().ok_or_else(|| opening.clone())?;
            self.at += c.len_utf8();
            match c {
                '"' => return Ok(out),
                '\\' => {
                    let e = self.peek().ok_or_else(|| opening.clone())?;
                    let bad = self.fault(
                        "after \\ one of \" \\ / n r t 0 u{…} is allowed; an inch mark inside a text is \\\"",
                    );
                    self.at += e.len_utf8();
                    match e {
                        '"' | '\\' | '/' | '\'' => out.push(e),
                        'n' => out.push('\n'),
                        'r' => out.push('\r'),
                        't' => out.push('\t'),
                        '0' => out.push('\0'),
                        'u' => {
                            let hex = self
                                .rest()
                                .strip_prefix('{')
                                .and_then(|r| r.split_once('}'))
                                .map(|(h, _)| h.to_owned());
                            let c = hex
                                .as_deref()
                                .and_then(|h| u32::from_str_radix(h, 16).ok())
                                .and_then(char::from_u32);
                            let (Some(hex), Some(c)) = (hex, c) else { return Err(bad) };
                            self.at += hex.len() + 2;
                            out.push(c);
                        }
                        _ => return Err(bad),
                    }
                }
                c => out.push(c),
            }
        }
    }

    fn raw(&mut self) -> Result<String, Fault> {
        let opening = self.fault("a raw text without its closing quote");
        self.at += 1;
        let hashes = self.rest().chars().take_while(|c| *c == '#').count();
        self.at += hashes;
        if !self.eat('"') {
            return Err(opening);
        }
        let close = format!("\"{}", "#".repeat(hashes));
        let len = self.rest().find(&close).ok_or(opening)?;
        let out = self.rest()[..len].to_owned();
        self.at += len + close.len();
        Ok(out)
    }

    fn list(&mut self) -> Result<Vec<Node>, Fault> {
        let opening = self.fault("a list [ without its closing ]");
        self.at += 1;
        let mut items = Vec::new();
        loop {
            self.skip_space()?;
            if self.eat(']') {
                return Ok(items);
            }
            if self.peek().is_none() {
                return Err(opening);
            }
            items.push(self.value()?);
            self.comma(']')?;
        }
    }

    fn comma(&mut self, close: char) -> Result<(), Fault> {
        self.skip_space()?;
        if self.eat(',') || self.peek() == Some(close) {
            return Ok(());
        }
        Err(self.fault(&format!("a comma or {close} is needed here")))
    }

    fn map(&mut self) -> Result<Vec<(Node, Node)>, Fault> {
        let opening = self.fault("{ without its closing }");
        self.at += 1;
        let mut items = Vec::new();
        loop {
            self.skip_space()?;
            if self.eat('}') {
                return Ok(items);
            }
            if self.peek().is_none() {
                return Err(opening);
            }
            let key = self.value()?;
            self.skip_space()?;
            if !self.eat(':') {
                return Err(self.fault("a colon is needed between name and value"));
            }
            items.push((key, self.value()?));
            self.comma('}')?;
        }
    }

    fn group(&mut self, name: Option<String>) -> Result<Kind, Fault> {
        let opening = self.fault("( without its closing )");
        self.at += 1;
        let (mut fields, mut items) = (Vec::new(), Vec::new());
        loop {
            self.skip_space()?;
            if self.eat(')') {
                break;
            }
            if self.peek().is_none() {
                return Err(opening);
            }
            match self.field_name()? {
                Some((field, span)) => fields.push((field, span, self.value()?)),
                None => items.push(self.value()?),
            }
            if !fields.is_empty() && !items.is_empty() {
                return Err(self.fault("named and unnamed values can't mix in one group"));
            }
            self.comma(')')?;
        }
        Ok(match (name, fields.is_empty(), items.is_empty()) {
            (None, true, true) => Kind::Unit,
            (name, true, false) => Kind::Tuple(name, items),
            (name, _, true) => Kind::Record(name, fields),
            (_, false, false) => return Err(opening),
        })
    }

    fn field_name(&mut self) -> Result<Option<(String, Span)>, Fault> {
        let back = self.at;
        if !self.peek().is_some_and(|c| c.is_alphabetic() || c == '_') {
            return Ok(None);
        }
        let word = self.word();
        let span = Span { start: back, end: self.at };
        self.skip_space()?;
        if self.peek() == Some(':') {
            self.at += 1;
            return Ok(Some((word, span)));
        }
        self.at = back;
        Ok(None)
    }
}
