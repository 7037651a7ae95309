//! Holds our RON reader, which keeps places and collects all faults, to the `ron` crate on every file we ship.

use std::path::{Path, PathBuf};
use truefall_model::document::{Kind, Node, parse, print};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn ron_files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("folder can be read") {
        let path = entry.expect("entry can be read").path();
        if path.is_dir() {
            ron_files(&path, found);
        } else if path.extension().is_some_and(|e| e == "ron") {
            found.push(path);
        }
    }
    found.sort();
}

/// The same tree in the `ron` crate's terms, as far as its values tell things apart (it drops record names).
fn same(ours: &Node, theirs: &ron::Value) -> bool {
    match (&ours.kind, theirs) {
        (Kind::Unit, ron::Value::Unit) => true,
        (Kind::Bool(a), ron::Value::Bool(b)) => a == b,
        (Kind::Number(a), ron::Value::Number(b)) => a.parse::<f64>().is_ok_and(|a| a == b.into_f64()),
        (Kind::Text(a), ron::Value::String(b)) => a == b,
        // The crate reads a bare word, and a name with nothing in its brackets, as a unit.
        (Kind::Word(_), ron::Value::Unit) => true,
        (Kind::Record(_, a), ron::Value::Unit) => a.is_empty(),
        (Kind::Record(_, a), ron::Value::Seq(b)) => a.is_empty() && b.is_empty(),
        (Kind::List(a) | Kind::Tuple(_, a), ron::Value::Seq(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same(a, b))
        }
        (Kind::Record(_, a), ron::Value::Map(b)) => {
            a.len() == b.len()
                && a.iter().all(|(name, _, value)| {
                    b.iter().any(|(k, v)| matches!(k, ron::Value::String(k) if k == name) && same(value, v))
                })
        }
        (Kind::Map(a), ron::Value::Map(b)) => {
            a.len() == b.len() && a.iter().all(|(k, v)| b.iter().any(|(bk, bv)| same(k, bk) && same(v, bv)))
        }
        (_, ron::Value::Option(Some(inner))) => same(ours, inner),
        _ => false,
    }
}

#[test]
fn every_file_we_ship_reads_as_the_ron_crate_reads_it() {
    let mut files = Vec::new();
    ron_files(&root().join("assets"), &mut files);
    ron_files(&root().join("scenes"), &mut files);
    // Some of them are there to be refused.
    files.retain(|path| !path.starts_with(root().join("scenes/broken")));
    assert!(files.len() > 10, "the walk found the files");
    for path in files {
        let text = std::fs::read_to_string(&path).expect("file can be read");
        let ours = parse(&text).unwrap_or_else(|f| panic!("{}: {}", path.display(), f.message));
        let theirs: ron::Value = ron::from_str(&text).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        assert!(same(&ours, &theirs), "{} reads differently", path.display());
        let printed = print(&ours);
        let again = parse(&printed).expect("what is printed can be read");
        assert!(same(&again, &theirs), "{} prints differently", path.display());
    }
}

#[test]
fn syntax_faults_are_faults_in_both() {
    for text in [
        "(",
        "(a: )",
        "[1, 2",
        "(a: 1, 2)",
        "\"open",
        "(a: 1) x",
        "{\"a\" 1}",
        "/* open",
        "(a: 1 b: 2)",
        "(a: 14 3/4)",
    ] {
        assert!(parse(text).is_err(), "{text} is refused");
        assert!(ron::from_str::<ron::Value>(text).is_err(), "the ron crate refuses {text} too");
    }
}

#[test]
fn syntax_that_is_allowed_is_read_by_both() {
    for text in [
        "(a: 1, b: [2, 3.5, -4], c: \"x\\\"y\\u{e9}\", d: true)",
        "// note\nName(a: r#\"raw \"text\"\"#, /* in /* nested */ */ b: (1, 2))",
        "[(), (x: .5), {\"k\": 1e3}]",
        "#![enable(implicit_some)]\n(a: 1,)",
    ] {
        let ours = parse(text).unwrap_or_else(|f| panic!("{text}: {}", f.message));
        let theirs: ron::Value = ron::from_str(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!(same(&ours, &theirs), "{text}");
    }
}
