//! A profile as its files spell it.

use super::figure::{Figure, UNITS};
use crate::source::{Source, Status};
use truefall_model::document::{Document, Faults, Kind, Node, Reader, Span, read_text};

/// `profile.ron`.
#[derive(Debug, Clone)]
pub struct Head {
    pub name: String,
    pub code: String,
    pub edition: String,
    pub note: String,
}

/// A chapter as text.
#[derive(Debug, Clone, Copy)]
pub struct Written<'a> {
    pub chapter: &'static str,
    pub file: &'a str,
    pub text: &'a str,
}

/// Reads a chapter.
pub fn read_chapter(written: &Written<'_>, head: &Head) -> Result<Vec<Figure>, Faults> {
    let Chapter(raw) = read_text(written.file, written.text)?;
    let figures = raw.into_iter().enumerate().map(|(place, raw)| {
        let source = raw.source(head);
        let RawFigure { key, value, unit, section, code: _, status, note } = raw;
        Figure { key, chapter: written.chapter, value, unit: unit.0, section, status, note, source, place }
    });
    Ok(figures.collect())
}

/// A figure as the file spells it.
#[derive(Debug)]
struct RawFigure {
    key: String,
    value: f64,
    unit: Unit,
    section: String,
    /// The code that says so, where it is not the profile's: a plumbing code leaves the wood to another.
    code: Option<String>,
    status: Status,
    note: String,
}

impl RawFigure {
    fn source(&self, head: &Head) -> Source {
        if self.section.is_empty() {
            return Source::House { status: self.status, reason: self.note.clone(), amended: None };
        }
        Source::Code {
            code: self.code.as_ref().unwrap_or(&head.code).clone(),
            edition: head.edition.clone(),
            section: self.section.clone(),
            status: self.status,
            note: self.note.clone(),
            amended: None,
        }
    }
}

/// The figures of one file.
struct Chapter(Vec<RawFigure>);

/// One of [`UNITS`].
#[derive(Debug)]
struct Unit(&'static str);

impl Document for Unit {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let at = reader.one_of(node, UNITS)?;
        Some(Self(UNITS[at]))
    }

    fn write(&self) -> Node {
        text(self.0)
    }
}

impl Document for RawFigure {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let known = ["key", "value", "unit", "section", "code", "status", "note"];
        let fields = reader.fields(node, "Figure", &known)?;
        let key: Option<String> = fields.read(reader, "key", || None);
        let value: Option<f64> = fields.read(reader, "value", || None);
        let unit: Option<Unit> = fields.read(reader, "unit", || None);
        let section: Option<String> = fields.read(reader, "section", || Some(String::new()));
        let code: Option<Option<String>> = fields.read(reader, "code", || Some(None));
        let status: Option<Status> = fields.read(reader, "status", || None);
        let note: Option<String> = fields.read(reader, "note", || Some(String::new()));
        let (key, value, unit, section, code, status, note) =
            (key?, value?, unit?, section?, code?, status?, note?);
        if section.is_empty() && note.is_empty() {
            let message = format!("`{key}` has no section, so its note must say why we hold to it");
            reader.fault(node, message, None);
            return None;
        }
        if section.is_empty() && code.is_some() {
            reader.fault(node, format!("`{key}` names a code, so it needs the section too"), None);
            return None;
        }
        Some(Self { key, value, unit, section, code, status, note })
    }

    fn write(&self) -> Node {
        let mut fields = vec![
            field("key", text(&self.key)),
            field("value", self.value.write()),
            field("unit", self.unit.write()),
        ];
        if !self.section.is_empty() {
            fields.push(field("section", text(&self.section)));
        }
        if let Some(code) = &self.code {
            fields.push(field("code", text(code)));
        }
        fields.push(field("status", self.status.write()));
        if !self.note.is_empty() {
            fields.push(field("note", text(&self.note)));
        }
        Node::new(Kind::Record(Some("Figure".to_owned()), fields))
    }
}

impl Document for Chapter {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let figures: Vec<RawFigure> = Document::read(node, reader)?;
        for (at, figure) in figures.iter().enumerate() {
            if figures[..at].iter().any(|f| f.key == figure.key) {
                reader.fault(node, format!("the figure `{}` stands twice", figure.key), None);
            }
        }
        Some(Self(figures))
    }

    fn write(&self) -> Node {
        self.0.write()
    }
}

impl Document for Head {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let fields = reader.fields(node, "Profile", &["name", "code", "edition", "note"])?;
        let name: Option<String> = fields.read(reader, "name", || None);
        let code: Option<String> = fields.read(reader, "code", || None);
        let edition: Option<String> = fields.read(reader, "edition", || None);
        let note: Option<String> = fields.read(reader, "note", || Some(String::new()));
        Some(Self { name: name?, code: code?, edition: edition?, note: note? })
    }

    fn write(&self) -> Node {
        let fields = vec![
            field("name", text(&self.name)),
            field("code", text(&self.code)),
            field("edition", text(&self.edition)),
            field("note", text(&self.note)),
        ];
        Node::new(Kind::Record(Some("Profile".to_owned()), fields))
    }
}

fn field(name: &str, node: Node) -> (String, Span, Node) {
    (name.to_owned(), Span::default(), node)
}

fn text(text: &str) -> Node {
    Node::new(Kind::Text(text.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::code::{CHAPTERS, Profile};
    use truefall_model::document::print;

    // Reading, printing and reading again gives the same figures.
    #[test]
    fn every_profile_prints_back() {
        for name in Profile::names() {
            let written = Profile::builtin_text(name).expect("named");
            let head: Head = read_text(name, written.profile).expect("reads");
            let chapters: Vec<String> = written
                .chapters
                .iter()
                .map(|text| print(&read_text::<Chapter>(name, text).expect("reads").write()))
                .collect();
            let profile = print(&head.write());
            let mut again = written;
            again.profile = &profile;
            for (text, chapter) in again.chapters.iter_mut().zip(&chapters) {
                *text = chapter;
            }
            assert_eq!(Profile::read(&again).expect("reads back"), Profile::builtin(name).expect("named"));
        }
    }

    fn refused(chapters: &[(&str, &str)]) -> Faults {
        let mut text = Profile::builtin_text("irc-2021").expect("it comes with the tool");
        for (chapter, written) in chapters {
            let at = CHAPTERS.iter().position(|c| c == chapter).expect("a chapter");
            text.chapters[at] = written;
        }
        Profile::read(&text).expect_err("a fault")
    }

    #[test]
    fn a_figure_without_section_or_reason_is_refused() {
        let told = refused(&[(
            "grade",
            r#"[
                Figure(key: "a", value: 1, unit: "inches", status: policy, note: "because"),
                Figure(key: "b", value: 1, unit: "in", status: policy),
                Figure(key: "c", value: 1, unit: "in", code: "IBC", status: policy, note: "because"),
            ]"#,
        )]);
        assert_eq!(told.file, "irc-2021/grade.ron");
        let messages: Vec<&str> = told.faults.iter().map(|f| f.message.as_str()).collect();
        assert_eq!(messages.len(), 3, "{messages:?}");
        assert!(messages[0].contains("allowed: in, in/ft, deg"), "{}", messages[0]);
        assert!(messages[1].contains("`b` has no section"), "{}", messages[1]);
        assert!(messages[2].contains("`c` names a code"), "{}", messages[2]);
    }

    #[test]
    fn a_key_stands_once_in_a_profile() {
        let twice = r#"[Figure(key: "stud-edge", value: 1, unit: "in", status: policy, note: "because")]"#;
        let told = refused(&[("iron", twice)]);
        assert_eq!(told.file, "irc-2021/iron.ron");
        assert!(told.faults[0].message.contains("`stud-edge` stands in another chapter too"));
        let figure = r#"Figure(key: "x", value: 1, unit: "in", status: policy, note: "because")"#;
        let told = refused(&[("iron", &format!("[{figure}, {figure}]"))]);
        assert!(told.faults[0].message.contains("`x` stands twice"));
    }
}
