//! The catalog's files: built in, and replaced entry by entry from files of the same names.

use super::Catalog;
use super::bit::Bit;
use super::build;
use super::finish::Finish;
use super::fixture::RoughIn;
use super::joint::{Joint, JointKind};
use super::lumber::{self, Lumber};
use super::material::Material;
use super::name::FittingName;
use super::pipe::PipeSize;
use super::shape::Fitting;
use super::socket::Socket;
use crate::document::{Document, Fault, Faults, Kind, Reader, Span, parse};
use crate::units::NominalSize;
use std::collections::BTreeMap;

macro_rules! built_in {
    ($($name:literal),*) => {
        /// The catalog's files as they are built in: name and text.
        pub const BUILT_IN: &[(&str, &str)] = &[$((
            $name,
            include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../assets/catalog/", $name)),
        )),*];
    };
}

built_in!(
    "pipe.ron",
    "sockets.ron",
    "patterns.ron",
    "joints.ron",
    "bits.ron",
    "lumber.ron",
    "finishes.ron",
    "fixtures.ron"
);

/// Reads the built-in files, then lets the given files replace entries of the same key or add new ones.
///
/// # Errors
/// All faults of the first file that has any; a name that no file of the catalog has.
pub(super) fn read(overrides: &[(String, String)]) -> Result<Catalog, Faults> {
    for (name, text) in overrides {
        if !BUILT_IN.iter().any(|(known, _)| known == name) {
            return Err(unknown_file(name, text));
        }
    }
    let texts = |wanted: &str| -> Vec<(String, String)> {
        let built_in =
            BUILT_IN.iter().filter(|(n, _)| *n == wanted).map(|(n, t)| ((*n).to_owned(), (*t).to_owned()));
        let given = overrides.iter().filter(|(n, _)| n == wanted).cloned();
        built_in.chain(given).collect()
    };
    let mut catalog = Catalog {
        pipes: values(table::<PipeSize>(&texts("pipe.ron"))?),
        sockets: values(table::<Socket>(&texts("sockets.ron"))?),
        joints: values(table::<Joint>(&texts("joints.ron"))?),
        bits: values(table::<Bit>(&texts("bits.ron"))?),
        lumber: values(table::<Lumber>(&texts("lumber.ron"))?),
        finishes: values(table::<Finish>(&texts("finishes.ron"))?),
        fixtures: values(table::<RoughIn>(&texts("fixtures.ron"))?),
        patterns: BTreeMap::new(),
    };
    let files = texts("patterns.ron");
    let mut faults: Vec<Vec<Fault>> = vec![Vec::new(); files.len()];
    for (name, placed) in table::<Fitting>(&files)? {
        match build::pattern(&placed.value, &name, &catalog) {
            Ok(pattern) => {
                catalog.patterns.insert(name, pattern);
            }
            Err(reason) => faults[placed.file].push(placed.fault(format!("{name} is impossible: {reason}"))),
        }
    }
    match faults.into_iter().zip(files).find(|(faults, _)| !faults.is_empty()) {
        Some((mut faults, (file, text))) => {
            faults.sort_by_key(|f| f.span.start);
            Err(Faults { file, text, faults })
        }
        None => Ok(catalog),
    }
}

fn unknown_file(name: &str, text: &str) -> Faults {
    let known: Vec<&str> = BUILT_IN.iter().map(|(n, _)| *n).collect();
    let message = format!("the catalog has no file \"{name}\"; allowed: {}", known.join(", "));
    let fault = Fault { span: Span::default(), path: String::new(), message, help: None };
    Faults { file: name.to_owned(), text: text.to_owned(), faults: vec![fault] }
}

/// An entry of a list, and where it stood.
struct Placed<T> {
    value: T,
    file: usize,
    path: String,
    span: Span,
}

impl<T> Placed<T> {
    fn fault(&self, message: String) -> Fault {
        Fault { span: self.span, path: self.path.clone(), message, help: None }
    }
}

fn values<K: Ord, T>(table: BTreeMap<K, Placed<T>>) -> BTreeMap<K, T> {
    table.into_iter().map(|(key, placed)| (key, placed.value)).collect()
}

/// Files of one name, later ones over earlier ones.
fn table<T: Entry>(files: &[(String, String)]) -> Result<BTreeMap<T::Key, Placed<T>>, Faults> {
    let mut table = BTreeMap::new();
    for (at, (file, text)) in files.iter().enumerate() {
        let fail = |faults| Faults { file: file.clone(), text: text.clone(), faults };
        table.extend(entries::<T>(text, at).map_err(fail)?);
    }
    Ok(table)
}

fn entries<T: Entry>(text: &str, file: usize) -> Result<BTreeMap<T::Key, Placed<T>>, Vec<Fault>> {
    let node = parse(text).map_err(|fault| vec![fault])?;
    let mut reader = Reader::default();
    let mut table: BTreeMap<T::Key, Placed<T>> = BTreeMap::new();
    let Kind::List(items) = &node.kind else {
        reader.fault(
            &node,
            format!("read {}, but a list of entries in [ ] is needed here", node.say()),
            None,
        );
        return Err(reader.into_faults());
    };
    for (i, item) in items.iter().enumerate() {
        let path = format!("[{i}]");
        reader.within(path.clone(), |r| {
            let Some(value) = T::read(item, r) else { return };
            let Some(keys) = r.accept(item, value.keys()) else { return };
            for key in keys {
                let placed = Placed { value: value.clone(), file, path: path.clone(), span: item.span };
                if let Some(before) = table.insert(key, placed) {
                    r.fault(
                        item,
                        format!("{} stands twice; it stood first at {}", value.says(), before.path),
                        None,
                    );
                }
            }
        });
    }
    if reader.is_clean() { Ok(table) } else { Err(reader.into_faults()) }
}

/// What a file of the catalog lists.
trait Entry: Document + Clone {
    type Key: Ord;

    /// What it is found by; a sentence where the entry can't be.
    fn keys(&self) -> Result<Vec<Self::Key>, String>;

    /// What to call it in a fault.
    fn says(&self) -> String;
}

impl Entry for PipeSize {
    type Key = (Material, NominalSize);
    fn keys(&self) -> Result<Vec<Self::Key>, String> {
        self.possible()?;
        Ok(vec![(self.material, self.size)])
    }
    fn says(&self) -> String {
        format!("{} {} pipe", self.size, self.material)
    }
}

impl Entry for Socket {
    type Key = (Material, NominalSize);
    fn keys(&self) -> Result<Vec<Self::Key>, String> {
        self.possible()?;
        Ok(self.materials.iter().map(|m| (*m, self.size)).collect())
    }
    fn says(&self) -> String {
        format!("the {} hub", self.size)
    }
}

impl Entry for Joint {
    type Key = JointKind;
    fn keys(&self) -> Result<Vec<Self::Key>, String> {
        self.possible()?;
        Ok(vec![self.kind])
    }
    fn says(&self) -> String {
        format!("the {}", self.kind)
    }
}

impl Entry for Bit {
    /// A stocked bit by its diameter in millionths of an inch, a customary one by the pipe.
    type Key = (Option<(Material, NominalSize)>, i64);
    fn keys(&self) -> Result<Vec<Self::Key>, String> {
        self.possible()?;
        Ok(vec![match self {
            Self::Stocked { size, .. } => (None, (size.to_inches() * 1e6).round() as i64),
            Self::Customary { material, pipe, .. } => (Some((*material, *pipe)), 0),
        }])
    }
    fn says(&self) -> String {
        match self {
            Self::Stocked { size, .. } => format!("the {size} bit"),
            Self::Customary { material, pipe, .. } => format!("the bit for {pipe} {material} pipe"),
        }
    }
}

impl Entry for Lumber {
    type Key = String;
    fn keys(&self) -> Result<Vec<Self::Key>, String> {
        self.possible()?;
        Ok(vec![lumber::plain(self.name.as_str())])
    }
    fn says(&self) -> String {
        self.name.to_string()
    }
}

impl Entry for Finish {
    type Key = String;
    fn keys(&self) -> Result<Vec<Self::Key>, String> {
        self.possible()?;
        Ok(vec![lumber::plain(self.name.as_str())])
    }
    fn says(&self) -> String {
        self.name.to_string()
    }
}

impl Entry for RoughIn {
    type Key = String;
    fn keys(&self) -> Result<Vec<Self::Key>, String> {
        Ok(vec![lumber::plain(self.kind.as_str())])
    }
    fn says(&self) -> String {
        self.kind.to_string()
    }
}

impl Entry for Fitting {
    type Key = FittingName;
    fn keys(&self) -> Result<Vec<Self::Key>, String> {
        let name = FittingName::parse(self.name.as_str());
        let help = "is no name of a fitting; write sizes and family, such as \"3x3x2 sanitary tee\"";
        name.map(|n| vec![n]).ok_or_else(|| format!("\"{}\" {help}", self.name))
    }
    fn says(&self) -> String {
        self.name.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;

    fn with(name: &str, text: &str) -> Result<Catalog, Faults> {
        Catalog::with_overrides(&[(name.to_owned(), text.to_owned())])
    }

    #[test]
    fn an_entry_of_the_same_key_replaces_and_the_rest_stays() {
        let text = r#"[Fitting(name: "3 1/4 bend", shape: Bend(laying: "3"), materials: [pvc], status: confirmed, source: "maker's sheet")]"#;
        let catalog = with("patterns.ron", text).unwrap();
        let bend = catalog.pattern("3 1/4 bend").unwrap();
        assert_eq!((bend.ports[0].laying, bend.source.as_str()), (Length::inches(3.0), "maker's sheet"));
        let built_in = Catalog::builtin();
        assert_eq!(catalog.pattern("2 1/4 bend").unwrap(), built_in.pattern("2 1/4 bend").unwrap());
        assert_eq!(catalog.patterns().count(), built_in.patterns().count());
    }

    #[test]
    fn a_deeper_hub_reaches_every_fitting_of_its_size() {
        let text = r#"[Socket(materials: [pvc], size: "2", depth: "7/8", hub_outside: "2.8", status: measured, source: "a gauge")]"#;
        let catalog = with("sockets.ron", text).unwrap();
        for name in ["2 1/8 bend", "3x3x2 sanitary tee", "2 coupling"] {
            let pattern = catalog.pattern(name).unwrap();
            let two = pattern.ports.iter().find(|p| p.size == NominalSize::TWO).unwrap();
            assert_eq!(two.socket, Length::inches(0.875), "{name}");
        }
    }

    #[test]
    fn a_file_that_the_catalog_does_not_have_is_refused_with_those_it_has() {
        let said = with("fittings.ron", "[]").unwrap_err().to_string();
        assert!(
            said.contains("no file \"fittings.ron\"") && said.contains("pipe.ron, sockets.ron"),
            "{said}"
        );
    }

    #[test]
    fn all_faults_of_a_file_are_told_with_their_places() {
        let text = "[\n  Lumber(name: \"2x4\", thickness: \"1 1/2\", depth: \"0\", status: memory, source: \"x\"),\n  Lumber(name: \"2x6\", thicknes: \"1 1/2\", depth: \"5 1/2\", status: rumor, source: \"\"),\n]";
        let said = with("lumber.ron", text).unwrap_err().to_string();
        for part in [
            "lumber.ron:2:3: [0]: 2x4: thickness",
            "did you mean `thickness`?",
            "read rumor",
            "the source is empty",
        ] {
            assert!(said.contains(part), "{part} in\n{said}");
        }
    }

    #[test]
    fn an_entry_that_stands_twice_is_refused() {
        let one = r#"Finish(name: "oak", thickness: "3/4", status: measured, source: "x")"#;
        let said = with("finishes.ron", &format!("[{one}, {one}]")).unwrap_err().to_string();
        assert!(said.contains("oak stands twice; it stood first at [0]"), "{said}");
    }

    #[test]
    fn every_built_in_file_prints_and_reads_back() {
        fn check<T: Entry + PartialEq + std::fmt::Debug>(name: &str) {
            let (_, text) = BUILT_IN.iter().find(|(n, _)| *n == name).unwrap();
            let read: Vec<T> = crate::document::read_text(name, text).unwrap();
            let printed = crate::document::print(&read.write());
            assert_eq!(crate::document::read_text::<Vec<T>>(name, &printed).as_ref(), Ok(&read));
        }
        check::<PipeSize>("pipe.ron");
        check::<Socket>("sockets.ron");
        check::<Fitting>("patterns.ron");
        check::<Joint>("joints.ron");
        check::<Bit>("bits.ron");
        check::<Lumber>("lumber.ron");
        check::<Finish>("finishes.ron");
        check::<RoughIn>("fixtures.ron");
    }

    // The files are RON for any reader of it, not only ours.
    #[test]
    fn the_ron_crate_reads_every_built_in_file() {
        for (name, text) in BUILT_IN {
            let read = ron::from_str::<ron::Value>(text);
            assert!(read.is_ok(), "{name}: {read:?}");
        }
    }
}
