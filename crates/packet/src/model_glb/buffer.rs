//! The one binary chunk of a `.glb` file with the views and accessors that say what lies where in it.

use serde_json::{Value, json};
use truefall_model::solid::Mesh;

/// Metres in an inch; exact by definition.
const METRES: f64 = 0.0254;

// Numbers of the glTF 2.0 specification (Khronos, section 5).
const F32: u32 = 5126;
const U16: u32 = 5123;
const U32: u32 = 5125;
const VERTICES: u32 = 34962;
const ELEMENTS: u32 = 34963;

/// Bytes with what describes them.
#[derive(Default)]
pub(super) struct Buffer {
    bytes: Vec<u8>,
    views: Vec<Value>,
    accessors: Vec<Value>,
}

impl Buffer {
    /// Writes a mesh and gives the primitive that draws it.
    pub(super) fn primitive(&mut self, mesh: &Mesh, material: usize) -> Value {
        let positions: Vec<[f32; 3]> = mesh.positions.iter().map(metres).collect();
        let normals: Vec<[f32; 3]> = mesh.normals.iter().map(turned).collect();
        let of_axis = |pick: fn(f32, f32) -> f32| -> Vec<f32> {
            (0..3).filter_map(|axis| positions.iter().map(|p| p[axis]).reduce(pick)).collect()
        };
        let bounds = json!({ "min": of_axis(f32::min), "max": of_axis(f32::max) });
        let position = self.vectors(&positions, Some(bounds));
        let normal = self.vectors(&normals, None);
        let numbers: Vec<u32> = mesh.indices.iter().flatten().copied().collect();
        // Half the bytes where the numbers are small; 65535 itself is kept for restarts.
        let (kind, bytes) = if positions.len() < usize::from(u16::MAX) {
            let short =
                |n: &u32| u16::try_from(*n).expect("there are fewer vertices than that").to_le_bytes();
            (U16, numbers.iter().flat_map(short).collect::<Vec<u8>>())
        } else {
            (U32, numbers.iter().flat_map(|n| n.to_le_bytes()).collect())
        };
        let view = self.view(&bytes, ELEMENTS);
        self.accessors.push(json!({
            "bufferView": view, "componentType": kind, "count": numbers.len(), "type": "SCALAR",
        }));
        let indices = self.accessors.len() - 1;
        json!({
            "attributes": { "POSITION": position, "NORMAL": normal }, "indices": indices, "material": material,
        })
    }

    fn vectors(&mut self, vectors: &[[f32; 3]], bounds: Option<Value>) -> usize {
        let bytes: Vec<u8> = vectors.iter().flatten().flat_map(|x| x.to_le_bytes()).collect();
        let view = self.view(&bytes, VERTICES);
        let mut accessor =
            json!({ "bufferView": view, "componentType": F32, "count": vectors.len(), "type": "VEC3" });
        if let Some(bounds) = bounds {
            accessor["min"] = bounds["min"].clone();
            accessor["max"] = bounds["max"].clone();
        }
        self.accessors.push(accessor);
        self.accessors.len() - 1
    }

    fn view(&mut self, bytes: &[u8], target: u32) -> usize {
        let at = self.bytes.len();
        self.bytes.extend_from_slice(bytes);
        // Floats must begin on a multiple of four.
        self.bytes.resize(self.bytes.len().next_multiple_of(4), 0);
        self.views
            .push(json!({ "buffer": 0, "byteOffset": at, "byteLength": bytes.len(), "target": target }));
        self.views.len() - 1
    }

    /// The whole file: header, the document with the lists of this buffer in it, the bytes.
    pub(super) fn into_glb(self, mut document: Value) -> Vec<u8> {
        if !self.bytes.is_empty() {
            document["buffers"] = json!([{ "byteLength": self.bytes.len() }]);
            document["bufferViews"] = json!(self.views);
            document["accessors"] = json!(self.accessors);
        }
        let mut text = document.to_string().into_bytes();
        text.resize(text.len().next_multiple_of(4), b' ');
        let mut chunks = chunk(b"JSON", &text);
        if !self.bytes.is_empty() {
            chunks.extend(chunk(b"BIN\0", &self.bytes));
        }
        let mut file = b"glTF".to_vec();
        file.extend(2_u32.to_le_bytes());
        file.extend(size(12 + chunks.len()));
        file.extend(chunks);
        file
    }
}

fn chunk(kind: &[u8; 4], bytes: &[u8]) -> Vec<u8> {
    [&size(bytes.len())[..], kind, bytes].concat()
}

/// A house of four gigabytes can't be written; it would have tens of millions of parts.
fn size(bytes: usize) -> [u8; 4] {
    u32::try_from(bytes).expect("a house takes a few megabytes").to_le_bytes()
}

/// Job axes in inches to metres with y up.
fn metres(&[x, y, z]: &[f64; 3]) -> [f32; 3] {
    [x, z, -y].map(|v| (v * METRES) as f32)
}

fn turned(&[x, y, z]: &[f64; 3]) -> [f32; 3] {
    [x, z, -y].map(|v| v as f32)
}
