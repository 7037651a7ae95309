//! The model file: read back byte by byte against the glTF 2.0 specification (Khronos), and against the placed job.

use nalgebra::Point3;
use serde_json::Value;
use std::collections::BTreeSet;
use truefall_model::catalog::Catalog;
use truefall_model::job::{Job, Placement, file::JobFile};
use truefall_model::place::{RoughIn, place};
use truefall_packet::model_glb;

fn demo() -> (Job, RoughIn) {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../scenes/bungalow.ron");
    let job = JobFile::load(path.as_ref()).expect("the demo reads").job;
    let rough_in = place(&job, Catalog::builtin()).expect("the demo is placed");
    (job, rough_in)
}

/// Header of 12 bytes, a JSON chunk, a binary chunk; each chunk a multiple of four (glTF 2.0, section 4.4).
#[track_caller]
fn taken_apart(file: &[u8]) -> (Value, &[u8]) {
    let number = |at: usize| u32::from_le_bytes(file[at..at + 4].try_into().expect("four bytes")) as usize;
    assert_eq!(&file[0..4], b"glTF");
    assert_eq!(number(4), 2);
    assert_eq!(number(8), file.len());
    let text = number(12);
    assert_eq!((text % 4, &file[16..20]), (0, &b"JSON"[..]));
    let bytes = number(20 + text);
    assert_eq!((bytes % 4, &file[24 + text..28 + text]), (0, &b"BIN\0"[..]));
    assert_eq!(28 + text + bytes, file.len());
    (serde_json::from_slice(&file[20..20 + text]).expect("the document is JSON"), &file[28 + text..])
}

/// The vectors of an accessor.
fn vectors(document: &Value, bytes: &[u8], accessor: &Value) -> Vec<[f32; 3]> {
    let accessor = &document["accessors"][accessor.as_u64().expect("a number") as usize];
    let view = &document["bufferViews"][accessor["bufferView"].as_u64().expect("a number") as usize];
    let (at, count) = (
        view["byteOffset"].as_u64().expect("a number") as usize,
        accessor["count"].as_u64().expect("a number"),
    );
    let float = |at: usize| f32::from_le_bytes(bytes[at..at + 4].try_into().expect("four bytes"));
    (0..count as usize).map(|i| std::array::from_fn(|axis| float(at + 12 * i + 4 * axis))).collect()
}

#[test]
fn every_part_and_member_is_a_node_whose_mesh_lies_where_it_was_placed() {
    let (job, rough_in) = demo();
    for placement in Placement::ALL.iter().copied() {
        let file = model_glb(&job, &rough_in, placement);
        let (document, bytes) = taken_apart(&file);
        let nodes = document["nodes"].as_array().expect("nodes");
        let ids: BTreeSet<&str> = nodes.iter().filter_map(|n| n["extras"]["id"].as_str()).collect();
        assert_eq!(ids.len(), rough_in.parts.len() + rough_in.framed.members.len());
        for part in &rough_in.parts {
            let id = format!("part {}", part.id.0);
            let node = nodes.iter().find(|n| n["extras"]["id"] == *id).expect("each part has its node");
            assert_eq!(node["name"], part.label.as_str());
            let mesh = &document["meshes"][node["mesh"].as_u64().expect("a mesh") as usize];
            let points = vectors(&document, bytes, &mesh["primitives"][0]["attributes"]["POSITION"]);
            // Back from metres with y up to inches with z up.
            let inches = |p: &[f32; 3]| Point3::new(p[0], -p[2], p[1]).cast::<f64>() / 0.0254;
            let (mut low, mut high) = (inches(&points[0]), inches(&points[0]));
            for point in &points {
                (low, high) = (low.inf(&inches(point)), high.sup(&inches(point)));
            }
            let bodies = rough_in.placed(placement).bodies_of(part.id);
            let (mut least, mut most) = bodies[0].aabb();
            for (a, b) in bodies.iter().map(truefall_model::solid::Body::aabb) {
                (least, most) = (least.inf(&a), most.sup(&b));
            }
            // A polygon lies within its circle: up to the chord error inside the body's box. f32 at 10 m: 1e-6 m.
            assert!(
                (low - least).amax() < 0.08 && (most - high).amax() < 0.08,
                "{id}: {low} {least} {high} {most}"
            );
        }
    }
}

#[test]
fn normals_have_length_one_and_bounds_are_those_of_the_points() {
    let (job, rough_in) = demo();
    let file = model_glb(&job, &rough_in, Placement::Drawn);
    let (document, bytes) = taken_apart(&file);
    for mesh in document["meshes"].as_array().expect("meshes") {
        let attributes = &mesh["primitives"][0]["attributes"];
        for [x, y, z] in vectors(&document, bytes, &attributes["NORMAL"]) {
            assert!((x * x + y * y + z * z - 1.0).abs() < 1e-5);
        }
        let accessor = &document["accessors"][attributes["POSITION"].as_u64().expect("a number") as usize];
        let points = vectors(&document, bytes, &attributes["POSITION"]);
        for axis in 0..3 {
            let least = points.iter().map(|p| p[axis]).fold(f32::INFINITY, f32::min);
            assert_eq!(accessor["min"][axis].as_f64().map(|v| v as f32), Some(least));
        }
    }
}

#[test]
fn a_tee_tells_its_heights_as_the_report_does() {
    let (job, rough_in) = demo();
    let file = model_glb(&job, &rough_in, Placement::Drawn);
    let (document, _) = taken_apart(&file);
    let nodes = document["nodes"].as_array().expect("nodes");
    let tee = nodes.iter().find(|n| n["name"] == "T3").expect("the demo has T3");
    assert_eq!(tee["extras"]["what"], "3x3x1-1/2 sanitary tee in pvc");
    // The job asks for 17 5/8 off first rough; oak of 3/4 lies on it.
    assert_eq!(tee["extras"]["heights"]["rough"][0], 17.625);
    assert_eq!(tee["extras"]["heights"]["finished"][0], 16.875);
}

#[test]
fn the_same_job_gives_the_same_bytes_and_they_are_few_enough_for_a_phone() {
    let (job, rough_in) = demo();
    let file = model_glb(&job, &rough_in, Placement::Drawn);
    assert_eq!(file, model_glb(&job, &rough_in, Placement::Drawn));
    assert!(file.len() < 2_000_000, "{} bytes", file.len());
}
