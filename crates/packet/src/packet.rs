//! The packet: the files that leave for one job, from one geometry. Names and bytes only; who asks for them writes them.

use crate::drawing::{self, Subject};
use crate::page::{self, frame, picture::Picture};
use crate::plans::Plans;
use crate::{csv, json, model_glb, walk_page::walk_page};

/// The file by which a folder is known as a packet that may be replaced whole.
pub const MARK: &str = "packet.txt";

/// One file of the packet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PacketFile {
    /// Its name in the folder, with `/` where it lies deeper; small letters, figures, dashes and dots only.
    pub name: String,
    /// What is in it.
    pub bytes: Vec<u8>,
}

impl PacketFile {
    fn of(name: impl Into<String>, text: String) -> Self {
        Self { name: name.into(), bytes: text.into_bytes() }
    }
}

/// All files of a packet, in a fixed order. More kinds are added here, a line each.
///
/// # Errors
/// Only what `serde_json` reports of the findings.
pub fn packet(
    subject: &Subject<'_>,
    plans: &Plans,
    pictures: &[Picture],
) -> Result<Vec<PacketFile>, serde_json::Error> {
    let drawings = drawing::all(subject, &plans.holes);
    let sections = page::sections(subject, plans, &drawings, pictures);
    let job = subject.job.name.as_str();
    let mut files = vec![
        PacketFile::of(MARK, "A job packet. The whole folder is replaced when it is made again: keep nothing of yours in it.\n".to_owned()),
        PacketFile::of("index.html", frame::index(job, &sections)),
    ];
    files.extend(sections.iter().map(|s| PacketFile::of(format!("{}.html", s.name), frame::single(job, s))));
    files.extend(
        drawings.iter().map(|(name, d)| PacketFile::of(format!("drawings/{name}.svg"), d.svg().into_text())),
    );
    files.push(PacketFile::of("findings.json", json(&subject.examined.report)?));
    files.push(PacketFile::of("cuts.csv", csv::cuts(plans)));
    files.push(PacketFile::of("holes.csv", csv::holes(plans)));
    files.push(PacketFile::of("floor-holes.csv", csv::floor_holes(plans)));
    files.push(PacketFile::of("materials.csv", csv::materials(plans)));
    let model = model_glb(subject.job, subject.rough_in(), subject.placed().placement);
    files.push(PacketFile::of("walk.html", walk_page(subject, &model)?));
    files.push(PacketFile { name: "model.glb".to_owned(), bytes: model });
    Ok(files)
}
