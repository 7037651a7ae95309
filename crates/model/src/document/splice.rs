//! A changed value put into the text it was read from: only what changed is written anew, so that remarks and layout stay.
//!
//! Three trees are walked side by side: the text's own, which knows where everything stands, and the value as it was and as
//! it is now, both as they would be printed. What can't be told apart that finely is printed whole in its place, and the
//! remarks that stood inside it are put before it: no remark is ever dropped.

use super::align::{Step, align};
use super::print::print_at;
use super::remark::{remarks, rest_of_line, skip};
use super::{Kind, Node, Span};

/// A text with a changed value in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spliced {
    /// The text.
    pub text: String,
    /// Remarks that stood inside of something that was written anew or taken out; they stand where it began.
    pub moved: Vec<String>,
}

/// The text with what differs between two values written into it, looking no deeper than `deepest` brackets. `text` must hold
/// the value as it was; whoever calls reads the outcome again before trusting it.
pub fn splice(text: &str, read: &Node, was: &Node, is: &Node, deepest: usize) -> Spliced {
    let line = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let mut pen = Pen { text, line, deepest, gone: Vec::new(), put: Vec::new(), moved: Vec::new() };
    pen.node(read, was, is, 0);
    Spliced { text: pen.written(), moved: pen.moved }
}

/// What is struck out of the text and what is put into it.
struct Pen<'t> {
    text: &'t str,
    line: &'static str,
    deepest: usize,
    gone: Vec<Span>,
    put: Vec<(usize, String)>,
    moved: Vec<String>,
}

/// A thing of a list or a field of a record, as it stands in the text.
#[derive(Clone, Copy)]
struct Item {
    span: Span,
    /// The comma behind it.
    comma: Option<usize>,
}

impl Item {
    /// Where it ends, its comma with it.
    fn end(self) -> usize {
        self.comma.map_or(self.span.end, |comma| comma + 1)
    }
}

type Field = (String, Span, Node);

impl Pen<'_> {
    fn node(&mut self, read: &Node, was: &Node, is: &Node, depth: usize) {
        if was == is {
            return;
        }
        if depth < self.deepest {
            match (&read.kind, &was.kind, &is.kind) {
                (Kind::Record(_, read), Kind::Record(old, was), Kind::Record(new, is))
                    if old == new && !read.is_empty() =>
                {
                    return self.fields(read, was, is, depth);
                }
                (Kind::Tuple(_, read), Kind::Tuple(old, was), Kind::Tuple(new, is))
                    if old == new && read.len() == was.len() && was.len() == is.len() =>
                {
                    for ((read, was), is) in read.iter().zip(was).zip(is) {
                        self.node(read, was, is, depth + 1);
                    }
                    return;
                }
                (Kind::List(items), Kind::List(was), Kind::List(is)) if items.len() == was.len() => {
                    return self.list(read.span, items, was, is, depth);
                }
                _ => {}
            }
        }
        self.replace(read.span, is);
    }

    fn fields(&mut self, read: &[Field], was: &[Field], is: &[Field], depth: usize) {
        let find = |list: &[Field], name: &str| list.iter().position(|(n, ..)| n == name);
        let items: Vec<Item> = read.iter().map(|(_, name, v)| self.item(name.start, v.span.end)).collect();
        let mut new = Vec::new();
        for (name, _, value) in is {
            match (find(read, name), find(was, name)) {
                (Some(at), Some(old)) => self.node(&read[at].2, &was[old].2, value, depth + 1),
                // Written although it is what is meant without it: now it means something else.
                (Some(at), None) => self.replace(read[at].2.span, value),
                // Not written, and told from other fields: what it was told to be before, it is still.
                (None, Some(old)) if was[old].2 == *value => {}
                (None, _) => new.push((format!("{name}: "), value)),
            }
        }
        let kept: Vec<bool> =
            read.iter().map(|(name, ..)| find(is, name).is_some() || find(was, name).is_none()).collect();
        let last = items.len() - 1;
        let added = |at: usize| at == last && !new.is_empty();
        for at in 0..items.len() {
            if !kept[at] {
                self.strike(&items, at, &kept, &added);
            }
        }
        self.add(items[last], kept[last], &new);
    }

    fn list(&mut self, span: Span, read: &[Node], was: &[Node], is: &[Node], depth: usize) {
        let items: Vec<Item> = read.iter().map(|node| self.item(node.span.start, node.span.end)).collect();
        let mut kept = vec![false; was.len()];
        // What is new, by the item it follows; before the first under none.
        let mut front: Vec<(String, &Node)> = Vec::new();
        let mut behind: Vec<Vec<(String, &Node)>> = vec![Vec::new(); was.len()];
        for step in align(was, is) {
            match step {
                Step::Kept(old, new) => {
                    kept[old] = true;
                    self.node(&read[old], &was[old], &is[new], depth + 1);
                }
                Step::New(None, new) => front.push((String::new(), &is[new])),
                Step::New(Some(old), new) => behind[old].push((String::new(), &is[new])),
            }
        }
        let added = |at: usize| !behind[at].is_empty();
        for at in 0..items.len() {
            if !kept[at] {
                self.strike(&items, at, &kept, &added);
            }
        }
        self.open(span, items.first().copied(), &front);
        for (at, new) in behind.iter().enumerate() {
            self.add(items[at], kept[at], new);
        }
    }

    fn item(&self, start: usize, end: usize) -> Item {
        let next = skip(self.text, end);
        Item { span: Span { start, end }, comma: self.text[next..].starts_with(',').then_some(next) }
    }

    /// A value in the place of another.
    fn replace(&mut self, span: Span, is: &Node) {
        let carried = self.carried(span);
        let printed = self.printed(is, span.start);
        self.gone.push(span);
        self.put.push((span.start, carried + &printed));
    }

    /// Takes an item out. `added` tells whether something new is put behind an item.
    fn strike(&mut self, items: &[Item], at: usize, kept: &[bool], added: &dyn Fn(usize) -> bool) {
        let item = items[at];
        let carried = self.carried(item.span);
        let behind = rest_of_line(self.text, item.end());
        let blank = |end: usize| self.text[item.end()..end].trim().is_empty();
        let between = self.text[item.span.end..item.end()].trim() == "," || item.comma.is_none();
        if let Some(end) = behind.filter(|end| carried.is_empty() && between && blank(*end))
            && self.own_line(item)
        {
            // With the break before it, so that what is put behind it has its line to itself.
            let line = self.line_start(item.span.start) - 1;
            let start = line - usize::from(self.text[..line].ends_with('\r'));
            self.gone.push(Span { start, end });
            return;
        }
        self.gone.push(item.span);
        if let Some(comma) = item.comma {
            let space = usize::from(self.text[comma + 1..].starts_with(' '));
            self.gone.push(Span { start: comma, end: comma + 1 + space });
        } else if let Some(last) = (0..at).rev().find(|i| kept[*i])
            && let Some(comma) = items[last].comma
            && (last..=at).all(|i| !added(i))
        {
            // The last of a line goes with the comma before it.
            let space = self.text[comma + 1..].starts_with(' ');
            self.gone.push(Span { start: comma, end: comma + 1 + usize::from(space) });
            let before = Span { start: items[at - 1].end(), end: item.span.start };
            if self.text[before.start..before.end].trim().is_empty() {
                self.gone.push(before);
            }
        }
        self.put.push((item.span.start, carried));
    }

    /// Puts new things behind an item of the text that stays or goes.
    fn add(&mut self, item: Item, kept: bool, new: &[(String, &Node)]) {
        if new.is_empty() {
            return;
        }
        let lines = rest_of_line(self.text, item.end()).filter(|_| self.own_line(item));
        if let Some(end) = lines {
            if kept && item.comma.is_none() {
                self.put.push((item.span.end, ",".to_owned()));
            }
            self.put.push((end, self.on_lines(new, &self.indent(item.span.start))));
            return;
        }
        let printed = self.in_line(new, item.span.start);
        self.put.push(match (kept, item.comma) {
            (true, Some(comma)) => (comma + 1, format!(" {printed},")),
            (true, None) => (item.span.end, format!(", {printed}")),
            (false, Some(_)) => (item.span.start, format!("{printed}, ")),
            (false, None) => (item.span.start, printed),
        });
    }

    /// Puts new things before the first of a list, or into a list that was empty.
    fn open(&mut self, list: Span, first: Option<Item>, new: &[(String, &Node)]) {
        if new.is_empty() {
            return;
        }
        let open = list.start + 1;
        let lines = rest_of_line(self.text, open);
        if let (Some(item), Some(end)) = (first, lines) {
            let own = self.own_line(item);
            let indent = if own { self.indent(item.span.start) } else { self.indent(open) + "  " };
            self.put.push((end, self.on_lines(new, &indent)));
            return;
        }
        let printed = self.in_line(new, open);
        if first.is_some() {
            self.put.push((open, format!("{printed}, ")));
            return;
        }
        let indent = self.indent(open);
        let inner = format!("{indent}  ");
        match lines {
            Some(end) => self.put.push((end, self.on_lines(new, &inner))),
            None if printed.contains('\n') || self.text[list.start..list.end].contains('\n') => {
                let close = list.end - 1;
                self.put.push((close, self.on_lines(new, &inner) + self.line + &indent));
            }
            None => self.put.push((list.end - 1, printed)),
        }
    }

    /// Each on a line of its own, a comma behind it.
    fn on_lines(&self, new: &[(String, &Node)], indent: &str) -> String {
        let line = |(name, node): &(String, &Node)| {
            let printed = self.breaks(print_at(node, indent.len() + name.len(), indent));
            format!("{}{indent}{name}{printed},", self.line)
        };
        new.iter().map(line).collect()
    }

    fn in_line(&self, new: &[(String, &Node)], at: usize) -> String {
        let printed: Vec<String> =
            new.iter().map(|(name, node)| format!("{name}{}", self.printed(node, at))).collect();
        printed.join(", ")
    }

    /// The remarks of a stretch that is struck out, to be put where it began; a line remark ends its line.
    fn carried(&mut self, span: Span) -> String {
        let mut out = String::new();
        for remark in remarks(self.text, span) {
            let remark = &self.text[remark.start..remark.end];
            out.push_str(remark);
            if remark.starts_with("//") {
                out.push_str(self.line);
                out.push_str(&self.indent(span.start));
            } else {
                out.push(' ');
            }
            self.moved.push(remark.to_owned());
        }
        out
    }

    fn printed(&self, node: &Node, at: usize) -> String {
        let column = self.text[self.line_start(at)..at].chars().count();
        self.breaks(print_at(node, column, &self.indent(at)))
    }

    fn breaks(&self, printed: String) -> String {
        if self.line == "\n" { printed } else { printed.replace('\n', self.line) }
    }

    fn line_start(&self, at: usize) -> usize {
        self.text[..at].rfind('\n').map_or(0, |i| i + 1)
    }

    /// The white space that a line begins with.
    fn indent(&self, at: usize) -> String {
        self.text[self.line_start(at)..].chars().take_while(|c| matches!(c, ' ' | '\t')).collect()
    }

    fn own_line(&self, item: Item) -> bool {
        let start = self.line_start(item.span.start);
        start > 0 && self.text[start..item.span.start].trim().is_empty()
    }

    fn written(&mut self) -> String {
        // Of what is put at one place, what was put first stands first.
        self.put.sort_by_key(|(at, _)| *at);
        self.gone.sort_by_key(|span| span.start);
        let mut out = String::with_capacity(self.text.len());
        let mut put = self.put.iter().peekable();
        let mut at = 0;
        let end = Span { start: self.text.len(), end: self.text.len() };
        for gone in self.gone.iter().copied().chain([end]) {
            // What is put within what is struck out is put all the same.
            for (stop, keep) in [(gone.start, true), (gone.end, false)] {
                while let Some((place, text)) = put.next_if(|(place, _)| *place < stop || gone == end) {
                    if keep && *place > at {
                        out.push_str(&self.text[at..*place]);
                    }
                    at = at.max(*place);
                    out.push_str(text);
                }
                if keep && stop > at {
                    out.push_str(&self.text[at..stop]);
                }
                at = at.max(stop);
            }
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::super::parse;
    use super::*;

    fn plain(node: &Node) -> Node {
        let kind = match &node.kind {
            Kind::Record(name, fields) => Kind::Record(
                name.clone(),
                fields.iter().map(|(n, _, v)| (n.clone(), Span::default(), plain(v))).collect(),
            ),
            Kind::List(items) => Kind::List(items.iter().map(plain).collect()),
            Kind::Tuple(name, items) => Kind::Tuple(name.clone(), items.iter().map(plain).collect()),
            other => other.clone(),
        };
        Node::new(kind)
    }

    /// Fields by name: where they stand in a record means nothing.
    fn sorted(node: &Node) -> Node {
        let kind = match &node.kind {
            Kind::Record(name, fields) => {
                let mut fields: Vec<Field> =
                    fields.iter().map(|(n, s, v)| (n.clone(), *s, sorted(v))).collect();
                fields.sort_by(|a, b| a.0.cmp(&b.0));
                Kind::Record(name.clone(), fields)
            }
            Kind::List(items) => Kind::List(items.iter().map(sorted).collect()),
            other => other.clone(),
        };
        Node::new(kind)
    }

    #[track_caller]
    fn spliced(old: &str, new: &str) -> String {
        let (read, is) = (parse(old).unwrap(), plain(&parse(new).unwrap()));
        for deepest in 0..4 {
            let out = splice(old, &read, &plain(&read), &is, deepest).text;
            assert_eq!(sorted(&plain(&parse(&out).unwrap())), sorted(&is), "{out}");
        }
        splice(old, &read, &plain(&read), &is, usize::MAX).text
    }

    #[test]
    fn only_what_changed_is_written_and_remarks_stay() {
        let old = "// head\nJob(\n  name: \"a\", // named\n  up: [\n    // low\n    Fit(name: \"T1\", height: \"2\"), // measured\n    Fit(name: \"T2\", height: \"3\"),\n  ],\n)\n// tail";
        let new =
            "Job(name: \"a\", up: [Fit(name: \"T1\", height: \"5\"), Fit(name: \"T2\", height: \"3\")])";
        assert_eq!(spliced(old, new), old.replace("\"2\"", "\"5\""));
    }

    #[test]
    fn items_on_lines_come_and_go_by_name() {
        let old = "Job(\n  up: [ // up\n    // of A\n    Fit(name: \"A\", a: 1), // a\n    Fit(name: \"B\", a: 1, b: 2), // b\n    Fit(name: \"C\"),\n    Fit(name: \"D\") // d\n  ],\n)\n";
        let new = "Job(up: [Fit(name: \"M\"), Fit(name: \"A\", a: 1), Fit(name: \"N\"), Fit(name: \"B\", b: 2, c: 3), Fit(name: \"D\"), Fit(name: \"O\")])";
        let want = "Job(\n  up: [ // up\n    Fit(name: \"M\"),\n    // of A\n    Fit(name: \"A\", a: 1), // a\n    Fit(name: \"N\"),\n    Fit(name: \"B\", b: 2, c: 3), // b\n    Fit(name: \"D\"), // d\n    Fit(name: \"O\"),\n  ],\n)\n";
        assert_eq!(spliced(old, new), want);
        let windows = spliced(&old.replace('\n', "\r\n"), new);
        assert_eq!(windows, want.replace('\n', "\r\n"));
    }

    #[test]
    fn items_in_a_line_come_and_go() {
        assert_eq!(spliced("[1, 2, 3]", "[0, 1, 3, 4]"), "[0, 1, 3, 4]");
        assert_eq!(spliced("[1, 2, 3]", "[1, 2]"), "[1, 2]");
        assert_eq!(spliced("[1, 2, 3,]", "[2]"), "[2, ]");
        assert_eq!(spliced("[1, 2]", "[]"), "[]");
        assert_eq!(spliced("[]", "[1, 2]"), "[1, 2]");
        assert_eq!(spliced("Job(a: [])", "Job(a: [1], b: 2)"), "Job(a: [1], b: 2)");
        assert_eq!(spliced("Job(a: [1], b: 2)", "Job(a: [], c: X(d: 1))"), "Job(a: [], c: X(d: 1))");
        assert_eq!(spliced("Job(a: 1)", "Job(b: 1)"), "Job(b: 1)");
        assert_eq!(spliced("Job(a: 1, b: 2, c: 3)", "Job(a: 1)"), "Job(a: 1)");
    }

    #[test]
    fn remarks_inside_what_goes_stand_where_it_began() {
        let old = "Job(\n  at: ( // left\n    1,\n    2, /* up */\n  ),\n  b: [ Fit(name: \"A\", /* a */ x: 1), Fit(name: \"B\") ],\n)";
        let read = parse(old).unwrap();
        let is = plain(&parse("Job(at: At(x: 1), b: [Fit(name: \"B\")])").unwrap());
        let out = splice(old, &read, &plain(&read), &is, usize::MAX);
        assert_eq!(out.moved, ["// left", "/* up */", "/* a */"]);
        let want = "Job(\n  at: // left\n  /* up */ At(x: 1),\n  b: [ /* a */ Fit(name: \"B\") ],\n)";
        assert_eq!(out.text, want);
        assert_eq!(plain(&parse(&out.text).unwrap()), is);
    }
}
