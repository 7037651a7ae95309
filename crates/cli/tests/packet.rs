//! `truefall packet` as typed: the folder it makes, the folders it leaves alone, and a packet replaced whole.
//!
//! What stands in it is tested where it is laid out; here it is what happens to a person's folder.

#![expect(clippy::unwrap_used, reason = "what these helpers run is what the test is about")]

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;

fn folder(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("truefall-packet-{}-{name}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

fn scene(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenes").join(name)
}

fn packet(job: &Path, output: &Path, more: &[&str]) -> (i32, String, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_truefall"));
    let output = command.arg("packet").arg(job).arg("-o").arg(output).args(more).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
}

/// Every file below a folder, by its name from there.
fn files(folder: &Path) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let mut open = vec![folder.to_path_buf()];
    while let Some(at) = open.pop() {
        for entry in std::fs::read_dir(at).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else {
                found.insert(path.strip_prefix(folder).unwrap().display().to_string());
            }
        }
    }
    found
}

#[test]
fn a_packet_is_made_and_made_again_whole() {
    let folder = folder("whole");
    let out = folder.join("packet");
    let (status, stdout, stderr) = packet(&scene("bungalow.ron"), &out, &[]);
    // The demo house has red tags, and the packet is made all the same.
    assert_eq!((status, stderr.as_str()), (1, ""), "{stdout}");
    let first = files(&out);
    for name in ["packet.txt", "index.html", "cuts.csv", "holes.csv", "floor-holes.csv", "test.html"] {
        assert!(first.contains(name), "{name} is not in {first:?}");
    }
    let index = std::fs::read(out.join("index.html")).unwrap();
    // Left over from an older packet, and one page spoilt: both are gone once it is made again.
    std::fs::write(out.join("drawings/older.svg"), "<svg/>").unwrap();
    std::fs::write(out.join("index.html"), "spoilt").unwrap();
    let (status, _, stderr) = packet(&scene("bungalow.ron"), &out, &[]);
    assert_eq!((status, stderr.as_str()), (1, ""));
    assert_eq!(files(&out), first);
    assert!(std::fs::read(out.join("index.html")).unwrap() == index, "the same job makes the same page");
    // Neither the new folder nor the old one is left beside it.
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 1);
    std::fs::remove_dir_all(&folder).unwrap();
}

#[test]
fn a_folder_that_is_no_packet_is_left_alone() {
    let folder = folder("foreign");
    let photos = folder.join("photos");
    std::fs::create_dir(&photos).unwrap();
    std::fs::write(photos.join("wall.jpg"), "mine").unwrap();
    let (status, stdout, stderr) = packet(&scene("one_bath.ron"), &photos, &[]);
    assert_eq!((status, stdout.as_str()), (2, ""));
    assert!(stderr.contains("holds other files and no packet (packet.txt); nothing was written"), "{stderr}");
    assert_eq!(files(&folder), BTreeSet::from(["photos/wall.jpg".to_owned()]));
    assert_eq!(std::fs::read_to_string(photos.join("wall.jpg")).unwrap(), "mine");
    // A file in the way is no folder.
    let note = folder.join("note");
    std::fs::write(&note, "mine").unwrap();
    let (status, _, stderr) = packet(&scene("one_bath.ron"), &note, &[]);
    assert!(status == 2 && stderr.contains("is not a folder; nothing was written"), "{stderr}");
    assert_eq!(std::fs::read_to_string(&note).unwrap(), "mine");
    // An empty folder is nobody's.
    let empty = folder.join("empty");
    std::fs::create_dir(&empty).unwrap();
    let (status, _, stderr) = packet(&scene("one_bath.ron"), &empty, &[]);
    assert!(status != 2 && files(&empty).contains("packet.txt"), "{stderr}");
    std::fs::remove_dir_all(&folder).unwrap();
}

#[test]
fn a_job_that_can_not_be_read_leaves_the_old_packet() {
    let folder = folder("fault");
    let out = folder.join("packet");
    let (status, _, stderr) = packet(&scene("one_bath.ron"), &out, &["--stock", "20' 0"]);
    assert!(status != 2, "{stderr}");
    let cuts = std::fs::read_to_string(out.join("cuts.html")).unwrap();
    assert!(cuts.contains("Out of lengths of 20&#39; 0&quot;<"), "only the length asked for");
    let before = files(&out);
    let job = folder.join("job.ron");
    std::fs::write(&job, "Job(name: 3)").unwrap();
    let (status, stdout, stderr) = packet(&job, &out, &[]);
    assert_eq!((status, stdout.as_str()), (2, ""));
    assert!(stderr.contains("job.ron"), "{stderr}");
    assert_eq!(files(&out), before);
    assert_eq!(std::fs::read_to_string(out.join("cuts.html")).unwrap(), cuts);
    std::fs::remove_dir_all(&folder).unwrap();
}

// RFC 2083: the eight bytes a PNG begins with; the packet looks at no more of it.
const PNG: &[u8] = b"\x89PNG\r\n\x1a\n";

#[test]
fn pictures_stand_with_what_they_show() {
    let folder = folder("pictures");
    let out = folder.join("a packet");
    let (status, _, stderr) = packet(&scene("bungalow.ron"), &out, &[]);
    assert_eq!((status, stderr.as_str()), (1, ""));
    // The keys of the stops, as the walk page has them; the viewer's `--shots` names its files after the same.
    let walk = std::fs::read_to_string(out.join("walk.html")).unwrap();
    let (_, data) = walk.split_once("<script id=\"walk\" type=\"application/json\">").unwrap();
    let data: serde_json::Value = serde_json::from_str(data.split_once("</script>").unwrap().0).unwrap();
    let stops = data["stops"].as_array().unwrap();
    let shots = folder.join("shots");
    std::fs::create_dir(&shots).unwrap();
    let write = |name: &str, bytes: &[u8]| std::fs::write(shots.join(name), bytes).unwrap();
    for (i, stop) in stops.iter().enumerate() {
        write(&format!("stop-{:02}-{}.png", i + 1, stop["key"].as_str().unwrap()), PNG);
    }
    write("tag-01-clash-with-wood.png", PNG);
    write("wall-bath-wall.png", PNG);
    write("wall-bath-wall-2.jpg", &[0xff, 0xd8, 0xff, 0xe0]);
    write("\"><script>alert(1)<.png", PNG);
    write("notes.txt", b"mine");
    let (status, _, stderr) = packet(&scene("bungalow.ron"), &out, &["--pictures", shots.to_str().unwrap()]);
    assert_eq!(status, 1);
    assert!(stderr.contains("notes in") && stderr.contains("neither PNG nor JPEG"), "{stderr}");
    let page = std::fs::read_to_string(out.join("photos.html")).unwrap();
    let captions: Vec<String> = page
        .split("<img ")
        .skip(1)
        .map(|rest| rest.split_once("alt=\"").unwrap().1.split_once('"').unwrap().0.to_owned())
        .collect();
    assert_eq!(captions.len(), stops.len() + 4);
    assert_eq!(captions.iter().filter(|c| c.starts_with("bath wall, seen from the room: ")).count(), 2);
    for stop in stops {
        let title = stop["title"].as_str().unwrap().replace('\'', "&#39;").replace('"', "&quot;");
        assert!(captions.iter().any(|c| c.starts_with(&format!("{title}: "))), "{title} in {captions:?}");
    }
    assert!(
        captions.iter().any(|c| c.starts_with("red tag: ") && !c.contains("clash-with-wood")),
        "{captions:?}"
    );
    assert!(captions.iter().any(|c| c == "&quot;&gt;&lt;script&gt;alert(1)&lt;"), "{captions:?}");
    assert!(!page.contains("<script") && page.contains("src=\"data:image/jpeg;base64,/9j/4A==\""));
    // A folder of pictures that is not there leaves the packet as it was.
    let (status, _, stderr) = packet(&scene("bungalow.ron"), &out, &["--pictures", "no such folder"]);
    assert!(status == 2 && stderr.contains("no such folder can't be read"), "{stderr}");
    assert_eq!(std::fs::read_to_string(out.join("photos.html")).unwrap(), page);
    std::fs::remove_dir_all(&folder).unwrap();
}
