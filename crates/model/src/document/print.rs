//! A tree to RON text, short values on one line.

use super::{Kind, Node};
use std::fmt::Write as _;

/// Longest line before a group is broken over several.
const WIDTH: usize = 100;

/// Prints a document, ending in a line break.
pub fn print(node: &Node) -> String {
    let mut out = String::new();
    write(node, 0, &mut out);
    out.push('\n');
    out
}

/// Prints a value to be put into a line that is `column` characters long and begins with `indent`; without a line break at its end.
pub fn print_at(node: &Node, column: usize, indent: &str) -> String {
    let mut out = " ".repeat(column);
    write(node, 0, &mut out);
    // No value printed holds a bare line break: those of texts are escaped.
    out[column..].replace('\n', &format!("\n{indent}"))
}

fn write(node: &Node, indent: usize, out: &mut String) {
    let flat = flat(node);
    let column = out.len() - out.rfind('\n').map_or(0, |i| i + 1);
    if column + flat.chars().count() <= WIDTH {
        out.push_str(&flat);
        return;
    }
    let pad = "  ".repeat(indent + 1);
    let (open, close, lines): (String, char, Vec<(String, &Node)>) = match &node.kind {
        Kind::List(items) => ("[".into(), ']', items.iter().map(|n| (String::new(), n)).collect()),
        Kind::Tuple(name, items) => (
            format!("{}(", name.as_deref().unwrap_or("")),
            ')',
            items.iter().map(|n| (String::new(), n)).collect(),
        ),
        Kind::Record(name, fields) => (
            format!("{}(", name.as_deref().unwrap_or("")),
            ')',
            fields.iter().map(|(f, _, n)| (format!("{f}: "), n)).collect(),
        ),
        Kind::Map(items) => {
            ("{".into(), '}', items.iter().map(|(k, n)| (format!("{}: ", self::flat(k)), n)).collect())
        }
        _ => {
            out.push_str(&flat);
            return;
        }
    };
    out.push_str(&open);
    for (name, value) in lines {
        let _ = write!(out, "\n{pad}{name}");
        write(value, indent + 1, out);
        out.push(',');
    }
    let _ = write!(out, "\n{}{close}", "  ".repeat(indent));
}

fn flat(node: &Node) -> String {
    let join = |items: &[Node]| items.iter().map(flat).collect::<Vec<_>>().join(", ");
    match &node.kind {
        Kind::Unit => "()".into(),
        Kind::Bool(b) => b.to_string(),
        Kind::Number(n) | Kind::Word(n) => n.clone(),
        Kind::Text(t) => quote(t),
        Kind::List(items) => format!("[{}]", join(items)),
        Kind::Tuple(name, items) => format!("{}({})", name.as_deref().unwrap_or(""), join(items)),
        Kind::Record(name, fields) => {
            let inner: Vec<String> = fields.iter().map(|(f, _, n)| format!("{f}: {}", flat(n))).collect();
            format!("{}({})", name.as_deref().unwrap_or(""), inner.join(", "))
        }
        Kind::Map(items) => {
            let inner: Vec<String> = items.iter().map(|(k, n)| format!("{}: {}", flat(k), flat(n))).collect();
            format!("{{{}}}", inner.join(", "))
        }
    }
}

fn quote(text: &str) -> String {
    let mut out = String::from('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => {
                let _ = write!(out, "\\u{{{:x}}}", c as u32);
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}
