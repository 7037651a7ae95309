//! The hole schedule as JSON; every field is told in `docs/holes.md`. Lengths are unrounded inches.

use crate::report::xyz;
use serde_json::{Value, json};
use truefall_check::bore::{Bit, Shape};
use truefall_plan::holes::{
    ClosetRing, Datum, Face, FloorHole, HoleSchedule, MemberHole, Neighbour, OffWall, Step,
};

/// The schedule.
pub fn holes(schedule: &HoleSchedule) -> Value {
    json!({
        "schema": super::SCHEMA,
        "job": schedule.job,
        "drill_to": schedule.drill_to.word(),
        "floors": schedule.floors.iter().map(floor).collect::<Vec<_>>(),
        "closets": schedule.closets.iter().map(closet).collect::<Vec<_>>(),
        "members": schedule.members.iter().map(member).collect::<Vec<_>>(),
    })
}

fn offs(all: &[OffWall]) -> Vec<Value> {
    let face = |face| match face {
        Face::Room => "room",
        Face::Back => "back",
        Face::Into => "into",
        Face::Along => "along",
        Face::Past => "past_end",
    };
    all.iter()
        .map(|off| {
            json!({
                "wall": off.wall.as_str(), "face": face(off.face),
                "rough": off.rough.to_inches(), "finished": off.finished.to_inches(), "carried_on": off.carried_on,
            })
        })
        .collect()
}

fn floor(hole: &FloorHole) -> Value {
    let joist = |n: &Neighbour| json!({ "joist": n.joist.as_str(), "to_face": n.to_face.to_inches(), "clear": n.clear.to_inches() });
    json!({
        "number": hole.number,
        "floor": hole.floor.as_str(),
        "hole": hole.hole.to_inches(),
        "run": hole.run.as_str(),
        "passes": hole.passes,
        "at": xyz(hole.at),
        "off": offs(&hole.off),
        "joists": {
            "before": hole.bay.before.as_ref().map(joist),
            "after": hole.bay.after.as_ref().map(joist),
            "over": hole.bay.over.as_ref().map(|l| l.as_str()),
        },
        "below": hole.below.as_ref().map(|(floor, off)| json!({ "floor": floor.as_str(), "off": offs(off) })),
        "other": hole.other.map(|(x, y)| [x.to_inches(), y.to_inches()]),
    })
}

fn closet(ring: &ClosetRing) -> Value {
    json!({
        "fixture": ring.fixture.as_str(),
        "flange": ring.flange.as_str(),
        "floor": ring.floor.as_str(),
        "off": offs(&ring.off),
        "over_rough": ring.over_rough.to_inches(),
        "over_finished": ring.over_finished.to_inches(),
        "shim": ring.shim.to_inches(),
    })
}

fn member(hole: &MemberHole) -> Value {
    let (from, name) = match &hole.datum {
        Datum::Floor(floor) => ("floor", Some(floor.as_str())),
        Datum::Wall(wall) => ("wall", Some(wall.as_str())),
        Datum::End => ("end", None),
    };
    let (shape, notch) = match hole.shape {
        Shape::Hole => ("hole", None),
        Shape::Notch { depth, .. } => ("notch", Some(depth.to_inches())),
        Shape::Severed => ("severed", None),
    };
    let bit = match hole.bit {
        Bit::Stated => "stated",
        Bit::Customary => "customary",
        Bit::Stocked => "stocked",
        Bit::Bare => "bare",
    };
    let step = match hole.step {
        Step::Alone => "alone",
        Step::End => "end",
        Step::Middle => "middle",
        Step::Riser => "riser",
    };
    json!({
        "number": hole.number,
        "member": hole.label.as_str(),
        "kind": hole.kind.word(),
        "hole": hole.hole.to_inches(),
        "bit": bit,
        "run": hole.run.as_str(),
        "passes": hole.passes,
        "centre": xyz(hole.centre),
        "datum": { "from": from, "name": name },
        "at": hole.at.to_inches(),
        "across": hole.across.to_inches(),
        "depth": hole.depth.to_inches(),
        "sides": hole.sides,
        "left": hole.left.map(|l| l.to_inches()),
        "shape": shape,
        "notch_depth": notch,
        "aslant_deg": hole.aslant_degrees,
        "step": step,
        "drop": hole.drop.as_ref().map(|d| json!({
            "from": d.from.as_str(), "level": d.level.to_inches(), "down": d.down.to_inches(),
        })),
        "verdict": hole.verdict().to_string(),
        "told": hole.told.iter().map(|(v, rule)| json!({ "verdict": v.to_string(), "rule": rule })).collect::<Vec<_>>(),
        "plates": hole.plates.iter().map(|p| json!({ "side": p.side, "provided": p.provided })).collect::<Vec<_>>(),
        "strap": hole.strap.map(|provided| json!({ "provided": provided })),
        "with_other_ply": hole.with_other_ply,
        "other": hole.other.map(|by| json!({ "at": by.at.to_inches(), "across": by.across.to_inches() })),
        "write": hole.write,
    })
}
