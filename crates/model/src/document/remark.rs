//! Remarks in a RON text: where they stand, so that what is written anew can leave them alone.

use super::Span;

/// The remarks in a stretch of the text, in order: `// …` to the end of its line, `/* … */`. The stretch begins outside of a
/// quoted text; what looks like a remark within quotes is none.
pub fn remarks(text: &str, within: Span) -> Vec<Span> {
    let mut found = Vec::new();
    let mut at = within.start;
    while at < within.end {
        let rest = &text[at..within.end];
        if let Some(len) = remark(rest) {
            found.push(Span { start: at, end: at + len });
            at += len;
        } else {
            at += quoted(text, at, rest).or_else(|| rest.chars().next().map(char::len_utf8)).unwrap_or(1);
        }
    }
    found
}

/// Past white space and remarks.
pub(super) fn skip(text: &str, from: usize) -> usize {
    let mut at = from;
    loop {
        let rest = &text[at..];
        at += rest.len() - rest.trim_start_matches(|c: char| c.is_whitespace() || c == '\u{feff}').len();
        match remark(&text[at..]) {
            Some(len) => at += len,
            None => return at,
        }
    }
}

/// The end of the line, before its break, where only blanks and remarks lie between; none where anything else does.
pub(super) fn rest_of_line(text: &str, from: usize) -> Option<usize> {
    let end = skip(text, from);
    let line = from + text[from..].find('\n').unwrap_or(text.len() - from);
    let remarks = remarks(text, Span { start: from, end });
    let broken = remarks.iter().any(|r| r.start < line && r.end > line);
    (end >= line && !broken).then(|| line - usize::from(text[from..line].ends_with('\r')))
}

/// The length of the remark that a text begins with; without its line break.
fn remark(text: &str) -> Option<usize> {
    if text.starts_with("//") {
        let line = text.find('\n').unwrap_or(text.len());
        return Some(line - usize::from(text[..line].ends_with('\r')));
    }
    if !text.starts_with("/*") {
        return None;
    }
    let (mut depth, mut at) = (0usize, 0);
    while at < text.len() {
        if text[at..].starts_with("/*") {
            depth += 1;
            at += 2;
        } else if text[at..].starts_with("*/") {
            depth -= 1;
            at += 2;
            if depth == 0 {
                break;
            }
        } else {
            at += text[at..].chars().next().map_or(1, char::len_utf8);
        }
    }
    Some(at)
}

/// The length of the quoted text that a rest begins with: `"…"`, or `r"…"` with any number of `#`.
fn quoted(text: &str, at: usize, rest: &str) -> Option<usize> {
    if rest.starts_with('"') {
        let mut escaped = false;
        let close = rest.char_indices().skip(1).find(|(_, c)| {
            let hit = *c == '"' && !escaped;
            escaped = *c == '\\' && !escaped;
            hit
        });
        return Some(close.map_or(rest.len(), |(i, _)| i + 1));
    }
    let word = text[..at].chars().next_back().is_some_and(|c| c.is_alphanumeric() || c == '_');
    let behind = rest.strip_prefix('r').filter(|_| !word)?;
    let hashes = behind.chars().take_while(|c| *c == '#').count();
    behind[hashes..].strip_prefix('"')?;
    let close = format!("\"{}", "#".repeat(hashes));
    let open = 2 + hashes;
    Some(rest[open..].find(&close).map_or(rest.len(), |i| open + i + close.len()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> Vec<&str> {
        let all = Span { start: 0, end: text.len() };
        remarks(text, all).into_iter().map(|s| &text[s.start..s.end]).collect()
    }

    #[test]
    fn remarks_are_seen_only_outside_quotes() {
        assert_eq!(found("Job(/* a /* b */ */ x: 1, // c\r\n)// d"), ["/* a /* b */ */", "// c", "// d"]);
        assert!(found("Job(name: \"a // b\", note: \"3/4 \\\" // off\", it: \"\\\\\")").is_empty());
        assert_eq!(found("(a: r#\"// \" no\"#, b: r\"/*\") // yes"), ["// yes"]);
        assert_eq!(found("bar // yes"), ["// yes"]);
    }

    #[test]
    fn a_line_ends_behind_blanks_and_remarks_only() {
        assert_eq!(rest_of_line("a, // b\nc", 2), Some(7));
        assert_eq!(rest_of_line("a, /* b */ \r\nc", 2), Some(11));
        assert_eq!(rest_of_line("a, b\nc", 2), None);
        assert_eq!(rest_of_line("a, /* b\n */ c", 2), None);
        assert_eq!(rest_of_line("a,", 2), Some(2));
    }
}
