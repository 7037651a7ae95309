//! Puts the files of a packet where they are asked for, all of them or none.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};
use std::{fs, io};
use truefall_packet::packet::{MARK, PacketFile};

/// From this age on a folder of a run that broke off is taken away.
const STALE: Duration = Duration::from_secs(3600);

/// Writes all files into a new folder beside the one asked for, then changes their names: what was there stays whole until
/// the new one is complete, and comes back if the change fails.
pub fn swap_in(folder: &Path, files: &[PacketFile]) -> Result<(), String> {
    swap_in_by(folder, files, &|from, to| fs::rename(from, to))
}

/// The same with a rename that a test may let fail.
fn swap_in_by(
    folder: &Path,
    files: &[PacketFile],
    rename: &dyn Fn(&Path, &Path) -> io::Result<()>,
) -> Result<(), String> {
    let told = |what: &str, path: &Path, why: io::Error| format!("{} can't be {what}: {why}", path.display());
    let Some(name) = folder.file_name() else {
        return Err(format!("{} is no name for a folder", folder.display()));
    };
    if folder.is_symlink() || (folder.exists() && !folder.is_dir()) {
        return Err(format!("{} is not a folder; nothing was written", folder.display()));
    }
    take_up_what_broke_off(folder, name, rename);
    let exists = folder.exists();
    if exists && !folder.join(MARK).is_file() {
        let mut inside = fs::read_dir(folder).map_err(|why| told("read", folder, why))?;
        if inside.next().is_some() {
            return Err(format!(
                "{} holds other files and no packet ({MARK}); nothing was written",
                folder.display()
            ));
        }
    }
    let beside = |mark: &str| {
        let mut new = name.to_os_string();
        new.push(format!(".{mark}-{}", std::process::id()));
        folder.with_file_name(new)
    };
    let (new, old) = (beside("new"), beside("old"));
    let write = || -> io::Result<()> {
        fs::create_dir_all(&new)?;
        for file in files {
            let path = new.join(&file.name);
            if let Some(above) = path.parent() {
                fs::create_dir_all(above)?;
            }
            fs::write(path, &file.bytes)?;
        }
        Ok(())
    };
    if let Err(why) = write() {
        let _ = fs::remove_dir_all(&new);
        return Err(told("written", folder, why));
    }
    if exists && let Err(why) = rename(folder, &old) {
        let _ = fs::remove_dir_all(&new);
        return Err(told("replaced", folder, why));
    }
    if let Err(why) = rename(&new, folder) {
        if exists {
            let _ = rename(&old, folder);
        }
        let _ = fs::remove_dir_all(&new);
        return Err(told("put in place", folder, why));
    }
    if exists {
        fs::remove_dir_all(&old).map_err(|why| told("taken away", &old, why))?;
    }
    Ok(())
}

/// What a run that was killed left beside the folder. Stopped between the two renames, it left the old packet under its other
/// name and none in its place: that one comes back. The rest is taken away once it is an hour old, for a younger one may
/// belong to a run that still writes.
fn take_up_what_broke_off(folder: &Path, name: &OsStr, rename: &dyn Fn(&Path, &Path) -> io::Result<()>) {
    let above = folder.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    // A folder that can't be listed is told of when the packet is written.
    let Ok(entries) = fs::read_dir(above) else { return };
    let mut left: Vec<PathBuf> = entries.filter_map(|e| Some(e.ok()?.path())).collect();
    left.sort();
    for path in left {
        let Some(mark) = mark_of(&path, name) else { continue };
        if mark == "old" && !folder.exists() && path.join(MARK).is_file() {
            let _ = rename(&path, folder);
            continue;
        }
        let changed = fs::metadata(&path).and_then(|m| m.modified()).ok();
        let age = changed.and_then(|at| SystemTime::now().duration_since(at).ok());
        if age.is_some_and(|age| age > STALE) && path.join(MARK).is_file() {
            let _ = fs::remove_dir_all(&path);
        }
    }
}

/// `new` or `old` of a folder beside `name` that a run of ours made: the name, the mark, the run's number.
fn mark_of(path: &Path, name: &OsStr) -> Option<&'static str> {
    let rest = path.file_name()?.to_str()?.strip_prefix(name.to_str()?)?;
    ["new", "old"].into_iter().find(|mark| {
        let number =
            rest.strip_prefix('.').and_then(|r| r.strip_prefix(mark)).and_then(|r| r.strip_prefix('-'));
        number.is_some_and(|n| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit()))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::cell::Cell;

    fn place(name: &str) -> PathBuf {
        let above = std::env::temp_dir().join(format!("truefall-swap-{}-{name}", std::process::id()));
        let _ = fs::remove_dir_all(&above);
        fs::create_dir_all(&above).unwrap();
        above
    }

    fn files(text: &str) -> Vec<PacketFile> {
        let file = |name: &str| PacketFile { name: name.to_owned(), bytes: text.as_bytes().to_vec() };
        vec![file(MARK), file("index.html"), file("drawings/plan.svg")]
    }

    fn says(folder: &Path) -> Vec<String> {
        [MARK, "index.html", "drawings/plan.svg"]
            .map(|name| fs::read_to_string(folder.join(name)).unwrap_or_default())
            .to_vec()
    }

    /// Lets the rename of this number fail, counted from 1.
    fn failing(number: usize) -> impl Fn(&Path, &Path) -> io::Result<()> {
        let count = Cell::new(0);
        move |from, to| {
            count.set(count.get() + 1);
            if count.get() == number { Err(io::Error::other("no")) } else { fs::rename(from, to) }
        }
    }

    #[test]
    fn a_rename_that_fails_leaves_the_old_packet_whole_and_nothing_beside_it() {
        for number in [1, 2] {
            let above = place(&format!("fails-{number}"));
            let folder = above.join("my packet");
            swap_in(&folder, &files("old")).unwrap();
            let told = swap_in_by(&folder, &files("new"), &failing(number)).unwrap_err();
            assert!(told.contains("my packet can't be"), "{told}");
            assert_eq!(says(&folder), ["old"; 3], "rename {number}");
            assert_eq!(fs::read_dir(&above).unwrap().count(), 1, "rename {number}");
            swap_in(&folder, &files("new")).unwrap();
            assert_eq!(says(&folder), ["new"; 3]);
            fs::remove_dir_all(&above).unwrap();
        }
    }

    #[test]
    fn what_a_killed_run_left_is_taken_up() {
        let above = place("killed");
        let folder = above.join("packet");
        // Killed between the renames: the old packet stands beside its place.
        swap_in(&above.join("packet.old-7"), &files("old")).unwrap();
        let told = swap_in_by(&folder, &files("new"), &failing(2)).unwrap_err();
        assert!(told.contains("can't be"), "{told}");
        assert_eq!(says(&folder), ["old"; 3]);
        // One an hour old goes, a young one and one that is not ours stay.
        let made = |name: &str, mark: &str, hours: u64| {
            fs::create_dir(above.join(name)).unwrap();
            fs::write(above.join(name).join(mark), "x").unwrap();
            let at = SystemTime::now() - Duration::from_secs(hours * 3600 + 60);
            fs::File::open(above.join(name)).unwrap().set_modified(at).unwrap();
        };
        made("packet.new-8", MARK, 2);
        made("packet.new-9", MARK, 0);
        made("packet.new-mine", MARK, 2);
        made("packet.old-10", "photo.jpg", 2);
        swap_in(&folder, &files("new")).unwrap();
        let mut left: Vec<String> =
            fs::read_dir(&above).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        left.sort();
        assert_eq!(left, ["packet", "packet.new-9", "packet.new-mine", "packet.old-10"]);
        assert_eq!(says(&folder), ["new"; 3]);
        fs::remove_dir_all(&above).unwrap();
    }
}
