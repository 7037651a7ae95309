//! Pictures without a window: the whole, every stop of the walk, every finding with a place.

use crate::action::Action;
use crate::loaded::Loaded;
use crate::look::Look;
use crate::offscreen::Studio;
use bevy::prelude::*;
use std::path::Path;
use truefall_check::Verdict;

/// One picture of the whole.
pub(crate) fn one(loaded: Loaded, look: Look, file: &Path, size: (u32, u32)) -> Result<String, String> {
    let mut studio = Studio::new(loaded, look, size, Msaa::Sample4)?;
    studio.frame();
    write(file, &studio.png()?)?;
    Ok(format!("wrote {}\n", file.display()))
}

/// Every stop and every red tag.
pub(crate) fn all(loaded: Loaded, look: Look, folder: &Path, size: (u32, u32)) -> Result<String, String> {
    std::fs::create_dir_all(folder).map_err(|e| format!("{} can't be made: {e}", folder.display()))?;
    let stops: Vec<String> = loaded.stops.iter().map(|s| s.key.clone()).collect();
    let tags: Vec<(usize, String)> = loaded
        .seen
        .findings
        .iter()
        .enumerate()
        .filter(|(i, f)| f.verdict == Verdict::RedTag && loaded.anchor(*i).is_some())
        .map(|(i, f)| (i, format!("tag-{:02}-{}", i + 1, f.rule)))
        .collect();
    let mut studio = Studio::new(loaded, look.clone(), size, Msaa::Sample4)?;
    studio.frame();
    let mut said = String::new();
    let mut take = |studio: &mut Studio, name: &str| -> Result<(), String> {
        let file = folder.join(format!("{name}.png"));
        write(&file, &studio.png()?)?;
        said.push_str(&format!("wrote {}\n", file.display()));
        Ok(())
    };
    for (i, key) in stops.iter().enumerate() {
        studio.app.world_mut().write_message(Action::Stop(i));
        take(&mut studio, &format!("stop-{:02}-{key}", i + 1))?;
    }
    studio.app.world_mut().write_message(Action::Leave);
    for (i, name) in tags {
        studio.app.world_mut().write_message(Action::Finding(i));
        take(&mut studio, &name)?;
    }
    Ok(said)
}

/// To a temporary name beside it, then renamed, so that no half picture is left.
fn write(file: &Path, bytes: &[u8]) -> Result<(), String> {
    let mut name = file.file_name().unwrap_or_default().to_owned();
    name.push(format!(".{}.tmp", std::process::id()));
    let temporary = file.with_file_name(name);
    std::fs::write(&temporary, bytes).and_then(|()| std::fs::rename(&temporary, file)).map_err(|e| {
        // Ours; if it can't go either, the first reason is the one to tell.
        let _ = std::fs::remove_file(&temporary);
        format!("{} can't be written: {e}", file.display())
    })
}
