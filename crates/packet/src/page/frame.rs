//! The frame of a page: self-contained, readable on a narrow phone, made for paper.

use crate::drawing::paper::Paper;
use crate::markup::Markup;

/// One section: its file's name, its heading, what is in it.
#[derive(Debug, Clone)]
pub struct Section {
    /// Name of its page, without ending; also its place in the index.
    pub name: &'static str,
    /// Its heading.
    pub heading: &'static str,
    /// What is in it.
    pub body: Markup,
    /// How the sheet it begins on lies, where that matters.
    pub paper: Option<Paper>,
}

/// Black on white, one accent, nothing told by colour alone. Contrast of the accent on white is 9 to 1, of grey 7 to 1.
const STYLE: &str = "*{box-sizing:border-box}html{-webkit-text-size-adjust:100%}\
body{margin:0 auto;padding:12px;max-width:60rem;color:#111;background:#fff;font:16px/1.45 Georgia,'Liberation Serif',serif;overflow-wrap:anywhere}\
h1{font-size:1.5rem;margin:.2em 0}h2{font-size:1.2rem;margin:1.6em 0 .4em;border-bottom:2px solid #8a1c0d;padding-bottom:.15em}\
h3{font-size:1rem;margin:1.2em 0 .3em}h4{font-size:1rem;margin:.7em 0 .1em}p{margin:.4em 0}ul,ol{margin:.4em 0;padding-left:1.3em}\
a{color:#8a1c0d}nav ul{columns:16rem;list-style:none;padding:0}nav a{display:block;padding:.55em 0;min-height:44px}nav li{break-inside:avoid}\
table{border-collapse:collapse;width:100%;font-size:.88rem;margin:.5em 0}caption{text-align:left;font-weight:bold;padding:.3em 0}\
th,td{border:1px solid #767676;padding:.28em .45em;text-align:left;vertical-align:top;overflow-wrap:break-word}th{background:#f1eee7}\
td.n{white-space:nowrap}\
figure{margin:.6em 0;overflow-x:auto;border:1px solid #999;padding:4px}figure svg{display:block;max-width:none}figure.wide svg,figure.tall svg{height:auto;min-width:34rem;width:100%}\
figure.tall svg{min-width:26rem}figcaption{font-size:.85rem;color:#444}figure img{max-width:100%}\
.tag{border:2px solid #111;padding:.5em .7em;margin:.6em 0;break-inside:avoid}.tag.red{border-color:#8a1c0d;border-left-width:8px}\
.tag h3{margin:0}.sum{font:.85rem/1.4 'Liberation Mono',Consolas,monospace;margin:.3em 0}.small{font-size:.85rem;color:#444}\
.caution{border-left:6px double #8a1c0d;padding-left:.7em;margin:.8em 0}.box{display:inline-block;width:1em;height:1em;border:1.5px solid #111;vertical-align:-.1em}\
.sign{border-bottom:1px solid #111;height:3em;margin-top:1em}\
@media(max-width:40rem){table.wide{position:relative}table.wide,table.wide tbody,table.wide tr,table.wide td{display:block;width:100%}table.wide thead{position:absolute;left:0;width:1px;clip-path:inset(50%);height:1px;overflow:hidden}table.wide caption{display:block}\
table.wide tr{border:1.5px solid #111;margin:.5em 0}table.wide td{border:0;border-bottom:1px solid #ccc;display:flex;gap:.6em;overflow-wrap:anywhere}table.wide td.none{display:none}\
table.wide td::before{content:attr(data-of);font-weight:bold;flex:0 0 40%;white-space:normal}}\
@media print{@page{margin:13mm}@page lies{size:landscape}@page stands{size:portrait}html{font-size:10pt}body{font-size:10pt;padding:0;max-width:none}nav,.hint{display:none}section{break-before:page}section.first{break-before:auto}\
h2,h3,h4,caption{break-after:avoid}tbody tr:first-child{break-before:avoid}tr,figure,.tag,.caution,table.short{break-inside:avoid}thead{display:table-header-group}\
figure{overflow:visible;border:0;padding:0}figure svg{min-width:0!important;max-width:100%;max-height:205mm}.lies{page:lies}.stands{page:stands}figure.lies svg{max-height:142mm}a{color:#111;text-decoration:none}}";

/// The page with all sections.
pub fn index(job: &str, sections: &[Section]) -> String {
    page(job, "job packet", None, |m| {
        m.tag("nav", &[("aria-label", "sections")], |m| {
            m.tag("ul", &[], |m| {
                for section in sections {
                    m.tag("li", &[], |m| {
                        m.line("a", &[("href", &format!("#{}", section.name))], section.heading);
                    });
                }
            });
        });
        for (i, section) in sections.iter().enumerate() {
            put(m, section, i == 0);
        }
    })
}

/// One section as a page of its own.
pub fn single(job: &str, section: &Section) -> String {
    page(job, section.heading, section.paper, |m| put(m, section, true))
}

fn put(m: &mut Markup, section: &Section, first: bool) {
    let class = format!("{} {}", if first { "first" } else { "next" }, of_paper(section.paper));
    m.tag("section", &[("id", section.name), ("class", class.trim_end())], |m| {
        m.line("h2", &[], section.heading);
        m.put(&section.body);
    });
}

/// The class by which the style lays the sheet.
pub fn of_paper(paper: Option<Paper>) -> &'static str {
    match paper {
        Some(Paper::Lying) => "lies",
        Some(Paper::Upright) => "stands",
        None => "",
    }
}

fn page(job: &str, heading: &str, paper: Option<Paper>, inside: impl FnOnce(&mut Markup)) -> String {
    let mut m = Markup::new();
    m.raw("<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
    m.raw("<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\n<link rel=\"icon\" href=\"data:,\">\n");
    m.line("title", &[], &format!("{job}: {heading}"));
    m.tag("style", &[], |m| {
        m.raw(STYLE);
    });
    m.raw("</head>\n");
    // The head of the page and the first drawing share a sheet only where both lie alike.
    m.raw(if paper == Some(Paper::Lying) {
        "<body class=\"lies\">\n"
    } else if paper.is_some() {
        "<body class=\"stands\">\n"
    } else {
        "<body>\n"
    });
    m.tag("header", &[], |m| {
        m.line("h1", &[], job);
        m.line(
            "p",
            &[("class", "small")],
            "drain, waste and vent rough-in · this sheet approves nothing: the inspector decides",
        );
    });
    m.tag("main", &[], inside);
    m.raw("</body>\n</html>\n");
    m.into_text()
}

/// A cell with a box to tick.
pub const BOX: &str = "[ ]";

/// Cells of no more signs than this are not broken: the longest length is `-12' 11 15/16"`.
const SHORT: usize = 14;

/// A table of no more rows than this is not cut between two sheets of paper.
const WHOLE: usize = 8;

/// A table whose cells carry the name of their column, so that a phone can show each row as a card.
pub fn table(m: &mut Markup, caption: &str, heads: &[&str], rows: &[Vec<String>]) {
    if rows.is_empty() {
        m.line("p", &[], &format!("{caption}: none"));
        return;
    }
    // A head that stands alone at the foot of a sheet tells nothing: a table of a few rows is kept whole on paper.
    let class = if rows.len() <= WHOLE { "wide short" } else { "wide" };
    m.tag("table", &[("class", class)], |m| {
        m.line("caption", &[], caption);
        m.tag("thead", &[], |m| {
            m.tag("tr", &[], |m| {
                for head in heads {
                    m.line("th", &[("scope", "col")], head);
                }
            });
        });
        m.tag("tbody", &[], |m| {
            for row in rows {
                m.tag("tr", &[], |m| {
                    for (head, cell) in heads.iter().zip(row) {
                        // A length broken in two is read as two; an empty cell is a line too many on a phone.
                        let class = match cell.chars().count() {
                            0 => "none",
                            1..=SHORT => "n",
                            _ => "text",
                        };
                        m.tag("td", &[("data-of", head), ("class", class)], |m| {
                            let span = if cell == BOX { "box" } else { "cell" };
                            m.line(
                                "span",
                                &[("class", span)],
                                &if cell == BOX { String::new() } else { unbroken(cell) },
                            );
                        });
                    }
                });
            }
        });
    });
}

/// A list of sentences.
pub fn list(m: &mut Markup, items: &[String]) {
    m.tag("ul", &[], |m| {
        for item in items {
            m.line("li", &[], &unbroken(item));
        }
    });
}

/// A length stays on one line: `6' 8 3/8"` broken behind its feet reads as another length.
fn unbroken(text: &str) -> String {
    let signs: Vec<char> = text.chars().collect();
    let held = |i: usize| {
        let (Some(before), after) = (i.checked_sub(1).map(|b| signs[b]), &signs[i + 1..]) else {
            return false;
        };
        let figure = after.first().is_some_and(char::is_ascii_digit);
        ((before.is_ascii_digit() || before == '\'') && figure)
            || (before.is_ascii_digit() && after.starts_with(&['m', 'm']))
    };
    (0..signs.len()).map(|i| if signs[i] == ' ' && held(i) { '\u{a0}' } else { signs[i] }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    // U+00A0 is the space at which no line is broken (Unicode Standard Annex 14, class GL).
    #[test]
    fn a_length_is_not_broken_and_words_are() {
        assert_eq!(unbroken("6' 8 3/8\" off east wall"), "6'\u{a0}8\u{a0}3/8\" off east wall");
        assert_eq!(unbroken("9\" (229 mm)"), "9\" (229\u{a0}mm)");
        assert_eq!(unbroken(" joist 10 (1 9/16\""), " joist 10 (1\u{a0}9/16\"");
    }
}
