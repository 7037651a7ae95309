//! The walk as one offline page for a phone: the model file, the stops and the findings inside, and the script that shows
//! them (`assets/walk`). Without a picture the stops and findings still stand there in words.

use crate::drawing::Subject;
use crate::markup::Markup;
use crate::walk::{Stop, screw_bands, stops};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use serde_json::{Value, json};
use truefall_check::{Finding, Verdict};

const STYLE: &str = include_str!("../../../assets/walk/page.css");
/// Made from `assets/walk/src/walk.js` and three.js (MIT, see `assets/walk/THREE-LICENSE`).
const SCRIPT: &str = include_str!("../../../assets/walk/walk.js");

/// The page. `model` is the bytes of the model file.
///
/// # Errors
/// Only what `serde_json` reports of its data.
pub fn walk_page(subject: &Subject<'_>, model: &[u8]) -> Result<String, serde_json::Error> {
    let placed = subject.placed();
    let findings: Vec<&Finding> =
        subject.examined.findings.iter().filter(|f| f.in_both || f.placement == placed.placement).collect();
    let owned: Vec<Finding> = findings.iter().map(|f| (*f).clone()).collect();
    let stops = stops(subject.job, subject.rough_in(), placed.placement, &owned);
    let bands = screw_bands(subject.rough_in(), placed);
    let data = json!({
        "stops": serde_json::to_value(&stops)?,
        "findings": findings.iter().map(|f| finding(f)).collect::<Vec<_>>(),
        "bands": serde_json::to_value(&bands)?,
    });
    let title = format!("{}: walk through the rough-in", subject.job.name);
    let mut page = Markup::new();
    page.raw("<!doctype html>\n").tag("html", &[("lang", "en")], |m| {
        m.tag("head", &[], |m| {
            m.empty("meta", &[("charset", "utf-8")]);
            m.empty("meta", &[("name", "viewport"), ("content", "width=device-width, initial-scale=1")]);
            // A page may ask for its own icon; this one asks for nothing.
            m.empty("link", &[("rel", "icon"), ("href", "data:,")]);
            m.line("title", &[], &title);
            m.tag("style", &[], |m| {
                m.raw(STYLE);
            });
        });
        m.tag("body", &[], |m| {
            m.tag("header", &[], |m| {
                m.line("h1", &[], &subject.job.name);
            });
            m.tag("main", &[], |m| {
                view(m);
                sheet(m, &stops, &findings);
            });
            m.data("walk", "application/json", &data.to_string());
            m.data("model", "application/octet-stream", &STANDARD.encode(model));
            m.tag("script", &[], |m| {
                m.raw(SCRIPT);
            });
        });
    });
    Ok(page.into_text())
}

fn view(m: &mut Markup) {
    m.tag("div", &[("id", "view")], |m| {
        m.tag("div", &[("id", "card"), ("role", "status"), ("hidden", "")], |m| {
            m.line("h2", &[("id", "card-title")], "");
            m.tag("div", &[("id", "card-lines")], |_| {});
            m.line(
                "button",
                &[("id", "card-close"), ("type", "button"), ("aria-label", "put away")],
                "\u{d7}",
            );
        });
        m.line(
            "p",
            &[("id", "no-picture"), ("hidden", "")],
            "this phone can't draw the house in three dimensions; the stops below tell the same in words",
        );
    });
}

fn sheet(m: &mut Markup, stops: &[Stop], findings: &[&Finding]) {
    m.tag("section", &[("id", "sheet"), ("aria-label", "the walk")], |m| {
        let first = stops.first();
        m.line("h2", &[("id", "stop-title")], first.map_or("", |stop| &stop.title));
        m.tag("div", &[("id", "stop-lines"), ("aria-live", "polite")], |m| {
            for line in first.map_or(&[][..], |stop| &stop.lines) {
                m.line("p", &[], line);
            }
        });
        m.tag("div", &[("class", "steps")], |m| {
            m.line("button", &[("id", "back"), ("type", "button")], "back");
            m.tag("select", &[("id", "stops"), ("aria-label", "go to")], |m| {
                for (i, stop) in stops.iter().enumerate() {
                    m.line("option", &[("value", &i.to_string())], &stop.title);
                }
            });
            m.line("button", &[("id", "next"), ("type", "button")], "next");
        });
        m.tag("label", &[("for", "cover")], |m| {
            m.text("close the walls: ").line("span", &[("id", "cover-words")], "open framing");
        });
        m.empty(
            "input",
            &[("id", "cover"), ("type", "range"), ("min", "0"), ("max", "100"), ("value", "0")],
        );
        m.tag("label", &[("class", "tick")], |m| {
            m.empty("input", &[("id", "through"), ("type", "checkbox"), ("checked", "")]);
            m.text("keep the pipes in sight through closed walls");
        });
        m.line("p", &[("class", "note")], "tap a pipe, a stud or a tag for its name and heights; drag to turn, two fingers to come nearer");
        m.line("h3", &[], "what was found");
        if findings.is_empty() {
            m.line("p", &[], "nothing to tell");
        }
        m.tag("ul", &[("class", "findings")], |m| {
            for (i, finding) in findings.iter().enumerate() {
                let class = if finding.verdict == Verdict::RedTag { "red" } else { "other" };
                m.tag("li", &[("class", class)], |m| {
                    let number = i.to_string();
                    m.tag("button", &[("type", "button"), ("data-finding", &number)], |m| {
                        m.line("strong", &[], &format!("{} {}", finding.verdict, i + 1));
                        m.text(": ").text(&finding.what);
                    });
                });
            }
        });
        m.line(
            "p",
            &[("class", "note")],
            "a plan check, no permit: the local code, the inspector, the engineer of cut framing and a licensed plumber have the last word",
        );
    });
}

fn finding(finding: &Finding) -> Value {
    json!({
        "verdict": finding.verdict.to_string(),
        "what": finding.what,
        "sum": finding.sum,
        "source": finding.source.to_string(),
        "at": finding.at.map(|p| [p.x, p.y, p.z]),
    })
}
