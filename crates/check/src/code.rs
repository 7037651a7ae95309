//! Code profiles: the figures of one code and edition as data, with local amendments laid over them.
//!
//! A profile is a file of `assets/codes/`, embedded. Each figure has a key, a value in a named unit, its section and how
//! far it can be trusted; a rule asks by key and holds no figure of its own.

use crate::source::{Amended, Source, Status};
use truefall_model::document::{Document, Faults, Fields, Kind, Node, Reader, read_text};
use truefall_model::job::accept::Amendment;
use truefall_model::place::JobFault;
use truefall_model::units::{Angle, Grade, Length, NominalSize};

/// The units a figure or finding may have: inches, inches per foot, degrees, a share of a whole (0.40 is 40 percent),
/// nominal pipe diameters, a count.
pub const UNITS: &[&str] = &["in", "in/ft", "deg", "share", "diameters", "count"];

const BUILTIN: &[(&str, &str)] = &[("irc-2021", include_str!("../../../assets/codes/irc-2021.ron"))];

/// One figure of a code.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// Its key, such as `trap-arm-length.2`.
    pub key: String,
    /// Its value, in `unit`.
    pub value: f64,
    /// One of [`UNITS`].
    pub unit: &'static str,
    /// The section or table of the code; empty for a figure of our own.
    pub section: String,
    /// How far it can be trusted.
    pub status: Status,
    /// What is worth knowing about it, in our own words.
    pub note: String,
    /// Where it comes from, with the local amendment if there is one.
    pub source: Source,
}

impl Figure {
    /// The value as a length; the unit is `in`.
    pub fn length(&self) -> Length {
        debug_assert_eq!(self.unit, "in", "{}", self.key);
        Length::inches(self.value)
    }

    /// The value as a grade; the unit is `in/ft`.
    pub fn grade(&self) -> Grade {
        debug_assert_eq!(self.unit, "in/ft", "{}", self.key);
        Grade::per_foot(self.value)
    }

    /// The value as an angle; the unit is `deg`.
    pub fn angle(&self) -> Angle {
        debug_assert_eq!(self.unit, "deg", "{}", self.key);
        Angle::degrees(self.value)
    }

    /// Where it comes from.
    pub fn source(&self) -> Source {
        self.source.clone()
    }
}

/// The figures of one code and edition.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    name: String,
    code: String,
    edition: String,
    note: String,
    figures: Vec<Figure>,
}

impl Profile {
    /// The profiles that come with the tool, by name.
    pub fn names() -> Vec<&'static str> {
        BUILTIN.iter().map(|(name, _)| *name).collect()
    }

    /// A profile that comes with the tool.
    pub fn builtin(name: &str) -> Option<Self> {
        let (file, text) = BUILTIN.iter().find(|(n, _)| *n == name)?;
        Some(Self::read(file, text).expect("a test reads every profile that comes with the tool"))
    }

    /// The text of a profile that comes with the tool.
    pub fn builtin_text(name: &str) -> Option<&'static str> {
        BUILTIN.iter().find(|(n, _)| *n == name).map(|(_, text)| *text)
    }

    /// Reads a profile from its text; `file` is its name in faults.
    ///
    /// # Errors
    /// All faults of the text.
    pub fn read(file: &str, text: &str) -> Result<Self, Faults> {
        let raw: RawProfile = read_text(file, text)?;
        let RawProfile { name, code, edition, note, figures } = raw;
        let figures = figures
            .into_iter()
            .map(|f| {
                let source = f.source(&code, &edition);
                let RawFigure { key, value, unit, section, status, note } = f;
                Figure { key, value, unit, section, status, note, source }
            })
            .collect();
        Ok(Self { name, code, edition, note, figures })
    }

    /// Its name, such as `irc-2021`.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The code, such as `IRC`.
    pub fn code(&self) -> &str {
        &self.code
    }

    /// The edition, such as `2021`.
    pub fn edition(&self) -> &str {
        &self.edition
    }

    /// What is to be known of the profile as a whole.
    pub fn note(&self) -> &str {
        &self.note
    }

    /// All figures, by key.
    pub fn figures(&self) -> &[Figure] {
        &self.figures
    }

    /// A figure that every profile has.
    pub fn figure(&self, key: &str) -> &Figure {
        self.find(key).unwrap_or_else(|| {
            panic!("the registry tests hold every profile to the keys of the rules: {key}")
        })
    }

    /// A figure, if the profile has it.
    pub fn find(&self, key: &str) -> Option<&Figure> {
        self.figures.binary_search_by(|f| f.key.as_str().cmp(key)).ok().map(|i| &self.figures[i])
    }

    /// A figure that depends on the pipe's size, such as `grade-min.3`; none for a size the code's table leaves out.
    pub fn for_size(&self, key: &str, size: NominalSize) -> Option<&Figure> {
        self.find(&format!("{key}.{size}"))
    }

    /// The profile with local amendments laid over it.
    ///
    /// # Errors
    /// Figures the profile does not have, with the nearest key; figures amended twice; values below zero.
    pub fn with_amendments(&self, amendments: &[Amendment]) -> Result<Self, Vec<JobFault>> {
        let mut profile = self.clone();
        let mut faults = Vec::new();
        for (i, amendment) in amendments.iter().enumerate() {
            let key = amendment.figure.as_str();
            let mut fault = |field: &str, message: String, help: Option<String>| {
                faults.push(JobFault { path: format!("local[{i}].{field}"), message, help });
            };
            let Ok(at) = profile.figures.binary_search_by(|f| f.key.as_str().cmp(key)) else {
                let keys: Vec<&str> = self.figures.iter().map(|f| f.key.as_str()).collect();
                fault("figure", format!("{} has no figure `{key}`", self.name), nearest(key, &keys));
                continue;
            };
            if !(amendment.value.is_finite() && amendment.value >= 0.0) {
                fault(
                    "value",
                    format!("read {}, but a number from 0 up is needed here", amendment.value),
                    None,
                );
            } else if profile.figures[at].source.amended().is_some() {
                fault("figure", format!("the figure `{key}` is amended twice"), None);
            } else {
                profile.figures[at].amend(amendment);
            }
        }
        if faults.is_empty() { Ok(profile) } else { Err(faults) }
    }
}

impl Figure {
    fn amend(&mut self, amendment: &Amendment) {
        let told = Some(Amended {
            figure: self.key.clone(),
            was: self.value,
            now: amendment.value,
            unit: self.unit,
            note: amendment.note.clone(),
        });
        self.value = amendment.value;
        match &mut self.source {
            Source::Code { amended, .. } | Source::House { amended, .. } => *amended = told,
        }
    }
}

/// `did you mean …?` with the known name nearest to what was typed.
pub(crate) fn nearest(typed: &str, known: &[&str]) -> Option<String> {
    let mut reader = Reader::default();
    reader.one_of(&Node::new(Kind::Word(typed.to_owned())), known);
    reader.into_faults().pop().and_then(|fault| fault.help)
}

/// A figure as the file spells it.
struct RawFigure {
    key: String,
    value: f64,
    unit: &'static str,
    section: String,
    status: Status,
    note: String,
}

impl RawFigure {
    fn source(&self, code: &str, edition: &str) -> Source {
        if self.section.is_empty() {
            return Source::House { status: self.status, reason: self.note.clone(), amended: None };
        }
        Source::Code {
            code: code.to_owned(),
            edition: edition.to_owned(),
            section: self.section.clone(),
            status: self.status,
            note: self.note.clone(),
            amended: None,
        }
    }
}

/// A profile as the file spells it.
struct RawProfile {
    name: String,
    code: String,
    edition: String,
    note: String,
    figures: Vec<RawFigure>,
}

/// One of [`UNITS`].
struct Unit(&'static str);

impl Document for Unit {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let at = reader.one_of(node, UNITS)?;
        Some(Self(UNITS[at]))
    }

    fn write(&self) -> Node {
        Node::new(Kind::Text(self.0.to_owned()))
    }
}

impl Document for RawFigure {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let known = ["key", "value", "unit", "section", "status", "note"];
        let fields: Fields<'_> = reader.fields(node, "Figure", &known)?;
        let key: Option<String> = fields.read(reader, "key", || None);
        let value: Option<f64> = fields.read(reader, "value", || None);
        let unit: Option<Unit> = fields.read(reader, "unit", || None);
        let section: Option<String> = fields.read(reader, "section", || Some(String::new()));
        let status: Option<Status> = fields.read(reader, "status", || None);
        let note: Option<String> = fields.read(reader, "note", || Some(String::new()));
        let figure =
            Self { key: key?, value: value?, unit: unit?.0, section: section?, status: status?, note: note? };
        if figure.section.is_empty() && figure.note.is_empty() {
            reader.fault(
                node,
                format!("`{}` has no section, so its note must say why we hold to it", figure.key),
                None,
            );
            return None;
        }
        Some(figure)
    }

    fn write(&self) -> Node {
        let field = |name: &str, node: Node| (name.to_owned(), Default::default(), node);
        let text = |t: &str| Node::new(Kind::Text(t.to_owned()));
        let mut fields = vec![
            field("key", text(&self.key)),
            field("value", self.value.write()),
            field("unit", text(self.unit)),
        ];
        if !self.section.is_empty() {
            fields.push(field("section", text(&self.section)));
        }
        fields.push(field("status", self.status.write()));
        if !self.note.is_empty() {
            fields.push(field("note", text(&self.note)));
        }
        Node::new(Kind::Record(Some("Figure".to_owned()), fields))
    }
}

impl Document for RawProfile {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let fields = reader.fields(node, "Profile", &["name", "code", "edition", "note", "figures"])?;
        let name: Option<String> = fields.read(reader, "name", || None);
        let code: Option<String> = fields.read(reader, "code", || None);
        let edition: Option<String> = fields.read(reader, "edition", || None);
        let note: Option<String> = fields.read(reader, "note", || Some(String::new()));
        let figures: Option<Vec<RawFigure>> = fields.read(reader, "figures", || None);
        let (name, code, edition, note, mut figures) = (name?, code?, edition?, note?, figures?);
        figures.sort_by(|a, b| a.key.cmp(&b.key));
        for pair in figures.windows(2).filter(|pair| pair[0].key == pair[1].key) {
            reader.fault(node, format!("the figure `{}` stands twice", pair[0].key), None);
        }
        Some(Self { name, code, edition, note, figures })
    }

    fn write(&self) -> Node {
        let field = |name: &str, node: Node| (name.to_owned(), Default::default(), node);
        let text = |t: &str| Node::new(Kind::Text(t.to_owned()));
        let figures = Node::new(Kind::List(self.figures.iter().map(Document::write).collect()));
        let fields = vec![
            field("name", text(&self.name)),
            field("code", text(&self.code)),
            field("edition", text(&self.edition)),
            field("note", text(&self.note)),
            field("figures", figures),
        ];
        Node::new(Kind::Record(Some("Profile".to_owned()), fields))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use truefall_model::document::{parse, print};
    use truefall_model::label::Label;

    fn irc() -> Profile {
        Profile::builtin("irc-2021").expect("it comes with the tool")
    }

    fn amendment(figure: &str, value: f64) -> Amendment {
        Amendment { figure: Label::new(figure), value, note: "county bulletin 7".into() }
    }

    #[test]
    fn every_profile_reads_and_prints_back() {
        for name in Profile::names() {
            let profile = Profile::builtin(name).expect("named");
            assert_eq!(profile.name(), name);
            let text = Profile::builtin_text(name).expect("named");
            let raw: RawProfile = read_text(name, text).expect("reads");
            let again = print(&raw.write());
            assert_eq!(Profile::read(name, &again).expect("reads back"), profile);
            parse(text).expect("plain RON");
        }
    }

    // IRC Table P3105.1 as charted by a builders' magazine; P3005.3 as an inspector quotes it.
    #[test]
    fn the_irc_says_what_is_published() {
        let irc = irc();
        let feet = |size| irc.for_size("trap-arm-length", size).map(|f| f.length().to_feet());
        assert_eq!(feet(NominalSize::ONE_AND_A_QUARTER), Some(5.0));
        assert_eq!(feet(NominalSize::ONE_AND_A_HALF), Some(6.0));
        assert_eq!(feet(NominalSize::TWO), Some(8.0));
        assert_eq!(feet(NominalSize::THREE), Some(12.0));
        assert_eq!(feet(NominalSize::FOUR), Some(16.0));
        let fall = |size| irc.for_size("grade-min", size).map(|f| f.grade());
        assert_eq!(fall(NominalSize::TWO_AND_A_HALF), Some(Grade::per_foot(0.25)));
        assert_eq!(fall(NominalSize::THREE), Some(Grade::percent(100.0 / 96.0)));
        assert_eq!(fall(NominalSize::EIGHT), None, "not a house size");
    }

    // R502.8.1 as worked in trade pages: 2-3/8 in holes for a 2x8 (7-1/4 deep), 3.08 for a 2x10, 3-3/4 for a 2x12.
    #[test]
    fn a_third_of_a_joist_comes_out_as_published() {
        let third = irc().figure("joist-bore").value;
        assert!((7.25 * third - 2.417).abs() < 5e-4 && 7.25 * third > 2.375);
        assert!((9.25 * third - 3.083).abs() < 5e-4);
        assert!(11.25 * third >= 3.75 - truefall_model::tolerance::SLACK);
    }

    #[test]
    fn an_amended_figure_names_the_amendment() {
        let local = irc().with_amendments(&[amendment("grade-min.3", 0.25)]).expect("known figure");
        let figure = local.figure("grade-min.3");
        assert_eq!(figure.value, 0.25);
        assert_eq!(
            figure.source().to_string(),
            "IRC 2021 P3005.3 (secondary); grade-min.3 amended locally from 0.125 to 0.25 in/ft: county bulletin 7"
        );
        assert_eq!(local.figure("grade-min.4"), irc().figure("grade-min.4"));
    }

    #[test]
    fn all_faults_of_the_amendments_are_told_with_the_nearest_key() {
        let faults = irc()
            .with_amendments(&[
                amendment("trap-arm-lenght.2", 60.0),
                amendment("stud-edge", -1.0),
                amendment("plate-cut", 0.6),
                amendment("plate-cut", 0.7),
            ])
            .expect_err("three faults");
        let paths: Vec<&str> = faults.iter().map(|f| f.path.as_str()).collect();
        assert_eq!(paths, ["local[0].figure", "local[1].value", "local[3].figure"]);
        assert_eq!(faults[0].help.as_deref(), Some("did you mean `trap-arm-length.2`?"));
    }

    #[test]
    fn a_figure_without_section_or_reason_is_refused() {
        let text = r#"Profile(name: "x", code: "X", edition: "1", figures: [
            Figure(key: "a", value: 1, unit: "inches", status: policy, note: "because"),
            Figure(key: "b", value: 1, unit: "in", status: policy),
        ])"#;
        let faults = Profile::read("x.ron", text).expect_err("two faults").faults;
        assert_eq!(faults.len(), 2, "{faults:?}");
        assert!(faults[0].message.contains("allowed: in, in/ft, deg"), "{}", faults[0].message);
        assert!(faults[1].message.contains("`b` has no section"), "{}", faults[1].message);
    }
}
