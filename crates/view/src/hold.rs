//! What a part is in the trade's words: its name, heights off rough and finished floor, clock, cut, grade drawn and found.

use crate::loaded::Loaded;
use crate::selection::Thing;
use truefall_model::place::{PartId, PartKind};
use truefall_model::units::{Fineness, Length};

/// A length as the trade writes it.
pub(crate) fn trade(inches: f64) -> String {
    Length::inches(inches).to_trade(Fineness::Sixteenth)
}

/// One line a fact.
pub(crate) fn lines(loaded: &Loaded, thing: Thing) -> Vec<String> {
    match thing {
        Thing::Part(id) => part(loaded, id),
        Thing::Member(id) => loaded.seen.rough_in.framed.member_of(id).map_or_else(Vec::new, |m| {
            let mut lines = vec![
                m.label.to_string(),
                format!(
                    "{}, {} x {}, {} long",
                    m.kind.word().replace('_', " "),
                    trade(m.thickness().to_inches()),
                    trade(m.depth().to_inches()),
                    trade(m.length().to_inches())
                ),
            ];
            for b in loaded
                .seen
                .report
                .bores
                .iter()
                .filter(|b| b.member == m.label.as_str() && b.placement == "found")
            {
                let least = b.edges[0].min(b.edges[1]);
                lines.push(format!(
                    "hole {} for {}, {} left at the edge",
                    trade(b.hole),
                    b.through,
                    trade(least)
                ));
            }
            lines
        }),
    }
}

fn part(loaded: &Loaded, id: PartId) -> Vec<String> {
    let rough_in = &loaded.seen.rough_in;
    let part = rough_in.part(id);
    let what = match &part.kind {
        PartKind::Piece { size, .. } => format!("{size} in {} pipe", part.material),
        PartKind::Fitting { pattern, .. } => format!("{} ({})", pattern.name, part.material),
        PartKind::Existing { size, hub, .. } => {
            format!("existing {size} in {} {}", part.material, if *hub { "hub" } else { "pipe" })
        }
    };
    let mut lines = vec![format!("{}: {what}", part.label)];
    lines.push(format!("on {}", rough_in.run(part.run).label));
    let row =
        loaded.seen.report.stack.iter().find(|r| r.label == part.label.as_str() && r.placement == "found");
    match row {
        Some(row) => {
            if let (Some(rough), Some(finished), Some(floor)) = (row.rough, row.finished, &row.floor) {
                lines.push(format!("{} off {floor} rough, {} off finished", trade(rough), trade(finished)));
            }
            if let Some(clock) = &row.clock {
                let wall = row.wall.as_ref().map_or_else(String::new, |w| format!(", to the {w}"));
                lines.push(format!("looks to {clock}{wall}"));
            }
        }
        None => {
            let z = rough_in.found.origin(id).z;
            let floor = rough_in
                .framed
                .floors
                .iter()
                .filter(|f| f.rough_z - 14.0 <= z)
                .max_by(|a, b| a.rough_z.total_cmp(&b.rough_z));
            if let Some(f) = floor.or(rough_in.framed.floors.first()) {
                lines.push(format!(
                    "{} off {} rough, {} off finished",
                    trade(z - f.rough_z),
                    f.label,
                    trade(z - f.finished_z)
                ));
            }
        }
    }
    if let Some(cut) = part.cut() {
        lines.push(format!("cut {}", trade(cut.to_inches())));
    }
    let leg = |placement: &str| {
        loaded
            .seen
            .report
            .legs
            .iter()
            .find(|l| l.placement == placement && l.label.as_deref() == Some(part.label.as_str()))
            .and_then(|l| l.grade)
    };
    if let (Some(drawn), Some(found)) = (leg("drawn"), leg("found")) {
        lines.push(format!("falls {drawn:.3} in per ft as drawn, {found:.3} as found"));
    }
    lines
}

#[cfg(test)]
pub(crate) fn demo() -> Loaded {
    let path = std::path::Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../scenes/bungalow.ron"));
    Loaded::load(path).expect("the demo loads")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tee_is_told_with_its_heights_and_the_way_it_looks() {
        let loaded = demo();
        let text = lines(&loaded, Thing::Part(loaded.by_label["T2"])).join("\n");
        assert!(text.contains("3x3x3 sanitary tee"), "{text}");
        // The job says 14 below rough; the oak on it is 3/4.
        assert!(text.contains("off first rough") && text.contains("off finished"), "{text}");
        assert!(text.contains("looks to"), "{text}");
    }
}
