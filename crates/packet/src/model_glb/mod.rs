//! The model as one binary glTF 2.0 file: framing, pipes and covers, each part a node with its name, its words and its
//! heights in `extras`.
//!
//! glTF wants metres and y up; the job has inches and z up. A vertex (x, y, z) in inches is written as (x, z, -y) times
//! 0.0254. Lengths in `extras` stay in inches on the job's axes, as everywhere else. The meshes are those of the bodies
//! that were checked.

mod buffer;
mod covers;
mod paint;

use crate::report::stack::floor_at;
use buffer::Buffer;
use paint::Paint;
use serde_json::{Value, json};
use truefall_model::framing::frame::Framed;
use truefall_model::framing::member::Member;
use truefall_model::job::{Job, Placement};
use truefall_model::place::{Part, PartKind, Placed, RoughIn};
use truefall_model::solid::{Body, Mesh};
use truefall_model::units::Length;

/// The placed job as the bytes of a `.glb` file. The same job gives the same bytes.
pub fn model_glb(job: &Job, rough_in: &RoughIn, placement: Placement) -> Vec<u8> {
    let placed = rough_in.placed(placement);
    let mut scene = Scene::default();
    let framing = scene.group("framing", |scene| {
        for member in &rough_in.framed.members {
            scene.member(member);
        }
    });
    let pipes = scene.group("pipes", |scene| {
        for part in &rough_in.parts {
            scene.part(rough_in, placed, part);
        }
    });
    let covers = scene.group("covers", |scene| {
        for cover in covers::covers(&rough_in.framed) {
            scene.add(&cover.name, &[cover.body], Paint::Cover, cover.extras);
        }
    });
    let house = scene.nodes.len();
    let groups: Vec<usize> = [framing, pipes, covers].into_iter().flatten().collect();
    let extras = json!({ "placement": placement.word(), "units": "inches in extras, metres in meshes" });
    let mut root = json!({ "name": job.name.to_string(), "extras": extras });
    if !groups.is_empty() {
        root["children"] = json!(groups);
    }
    scene.nodes.push(root);
    scene.finish(house)
}

/// What is gathered on the way.
#[derive(Default)]
struct Scene {
    nodes: Vec<Value>,
    meshes: Vec<Value>,
    /// Which paints are used, in the order in which they first were.
    paints: Vec<Paint>,
    buffer: Buffer,
}

impl Scene {
    /// The nodes that `fill` adds, under one of that name; none where it adds nothing.
    fn group(&mut self, name: &str, fill: impl FnOnce(&mut Self)) -> Option<usize> {
        let first = self.nodes.len();
        fill(self);
        let children: Vec<usize> = (first..self.nodes.len()).collect();
        if children.is_empty() {
            return None;
        }
        self.nodes.push(json!({ "name": name, "children": children }));
        Some(self.nodes.len() - 1)
    }

    fn member(&mut self, member: &Member) {
        let body = Body::Cuboid { pose: member.pose, half: member.half };
        let size = [member.thickness(), member.depth(), member.length()];
        let extras = json!({
            "kind": "wood",
            "id": format!("wood {}", member.id.0),
            "name": member.label.as_str(),
            "what": member.kind.word().replace('_', " "),
            "size": size.map(Length::to_inches),
            "assumed": member.assumed,
        });
        self.add(member.label.as_str(), &[body], Paint::Wood, extras);
    }

    fn part(&mut self, rough_in: &RoughIn, placed: &Placed, part: &Part) {
        let at = placed.origin(part.id);
        let system = rough_in.system(part.id);
        let paint = match part.kind {
            PartKind::Existing { .. } => Paint::Existing,
            _ => Paint::Pipe(part.material),
        };
        let mut extras = json!({
            "kind": "pipe",
            "id": format!("part {}", part.id.0),
            "name": part.label.as_str(),
            "what": what(part),
            "run": rough_in.run(part.run).label.as_str(),
            "system": system.word(),
            "at": [at.x, at.y, at.z],
            "heights": heights(&rough_in.framed, rough_in, placed, part),
        });
        if let Some(cut) = part.cut() {
            extras["cut"] = json!(cut.to_inches());
            extras["cut_text"] = json!(cut.to_string());
        }
        self.add(part.label.as_str(), placed.bodies_of(part.id), paint, extras);
    }

    fn add(&mut self, name: &str, bodies: &[Body], paint: Paint, extras: Value) {
        if bodies.is_empty() {
            return;
        }
        let material = self.paints.iter().position(|p| *p == paint).unwrap_or_else(|| {
            self.paints.push(paint);
            self.paints.len() - 1
        });
        let mut whole = Mesh::default();
        for body in bodies {
            let mesh = Mesh::of(body);
            let from = u32::try_from(whole.positions.len()).expect("a part has a few thousand vertices");
            whole.positions.extend(mesh.positions);
            whole.normals.extend(mesh.normals);
            whole.indices.extend(mesh.indices.iter().map(|triangle| triangle.map(|i| i + from)));
        }
        let primitive = self.buffer.primitive(&whole, material);
        self.meshes.push(json!({ "name": name, "primitives": [primitive] }));
        self.nodes.push(json!({ "name": name, "mesh": self.meshes.len() - 1, "extras": extras }));
    }

    fn finish(self, root: usize) -> Vec<u8> {
        let Self { nodes, meshes, paints, buffer } = self;
        let mut document = json!({
            "asset": { "version": "2.0", "generator": concat!("truefall ", env!("CARGO_PKG_VERSION")) },
            "scene": 0,
            "scenes": [{ "nodes": [root] }],
            "nodes": nodes,
        });
        // The format knows no empty lists.
        if !meshes.is_empty() {
            document["meshes"] = json!(meshes);
            document["materials"] = json!(paints.iter().map(|p| p.material()).collect::<Vec<_>>());
        }
        buffer.into_glb(document)
    }
}

/// What a part is, in the trade's words.
fn what(part: &Part) -> String {
    let (size, material) = (part.size(), part.material);
    match &part.kind {
        PartKind::Piece { .. } => format!("{size} in {material} pipe"),
        PartKind::Fitting { pattern, .. } => format!("{} in {material}", pattern.name),
        PartKind::Existing { hub: true, .. } => format!("existing {size} in {material} hub"),
        PartKind::Existing { .. } => format!("existing {size} in {material} pipe"),
    }
}

/// Where its ends are off the rough and the finished surface of the floor it belongs to; inches with the words for them.
fn heights(framed: &Framed, rough_in: &RoughIn, placed: &Placed, part: &Part) -> Value {
    let Some(floor) = floor_at(framed, rough_in.drawn.origin(part.id)) else { return Value::Null };
    let ends = (0..part.ports().len()).map(|port| placed.stop(rough_in, part.id, port).z);
    let (low, high) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), z| (l.min(z), h.max(z)));
    let mid = placed.origin(part.id).z;
    // A fitting is told by where its axes cross, a piece by its two ends.
    let z = match part.kind {
        PartKind::Piece { .. } => vec![low, high],
        _ => vec![mid],
    };
    let off = |from: f64| z.iter().map(|z| z - from).collect::<Vec<f64>>();
    let say = |from: f64| {
        let told: Vec<String> = off(from).iter().map(|off| Length::inches(*off).to_string()).collect();
        told.join(" to ")
    };
    json!({
        "floor": floor.label.as_str(),
        "rough": off(floor.rough_z),
        "finished": off(floor.finished_z),
        "text": format!(
            "{} off {} rough, {} off finished", say(floor.rough_z), floor.label, say(floor.finished_z)
        ),
    })
}
