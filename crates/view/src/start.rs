//! From arguments to a window or pictures, with every failure told in a sentence and exit status 2.

use crate::args::Args;
use crate::loaded::Loaded;
use crate::look::Look;
use crate::{action, bench, camera, draw, offscreen, overlay, panels, picking, shots, walk, watch};
use bevy::prelude::*;
use bevy::window::ExitCondition;
use bevy::winit::WinitSettings;
use bevy_egui::{EguiGlobalSettings, EguiPlugin};
use std::io::Write as _;
use std::process::ExitCode;

/// What could not be done.
const UNUSABLE: u8 = 2;

/// Does what was asked.
pub fn run(args: &Args) -> ExitCode {
    let loaded = match Loaded::load(&args.job) {
        Ok(loaded) => loaded,
        // A window waits for a broken file to be mended; pictures don't, and neither does one for a file that isn't there.
        Err(why) if args.windowed() && args.job.is_file() => match Loaded::waiting(&args.job, why.clone()) {
            Ok(waiting) => {
                let _ = writeln!(std::io::stderr(), "{why}\nthe window shows this until the file is mended");
                waiting
            }
            Err(_) => return unusable(&why),
        },
        Err(why) => return unusable(&why),
    };
    let look = Look { cover: args.cover, ..Look::default() };
    let done = if let Some(frames) = args.bench_frames {
        bench::run(loaded, frames, args.pieces, args.size)
    } else if let Some(folder) = &args.shots {
        shots::all(loaded, look, folder, args.size)
    } else if let Some(file) = &args.shot {
        shots::one(loaded, look, file, args.size)
    } else {
        window(loaded, look, args.size)
    };
    match done {
        Ok(said) => {
            // A closed pipe is no error.
            let _ = std::io::stdout().write_all(said.as_bytes());
            ExitCode::SUCCESS
        }
        Err(why) => unusable(&why),
    }
}

fn unusable(why: &str) -> ExitCode {
    // Nothing can be told where stderr is closed.
    let _ = writeln!(std::io::stderr(), "{why}");
    ExitCode::from(UNUSABLE)
}

/// Plugins that a window and a picture share.
pub(crate) fn scene(app: &mut App, loaded: Loaded, look: Look) {
    app.add_plugins(EguiPlugin::default());
    app.world_mut().resource_mut::<EguiGlobalSettings>().auto_create_primary_context = false;
    app.insert_resource(loaded).insert_resource(look);
    app.add_plugins((action::plugin, camera::plugin, draw::plugin, overlay::plugin));
}

fn window(loaded: Loaded, look: Look, size: (u32, u32)) -> Result<String, String> {
    offscreen::renderer().map(drop)?;
    let path = loaded.path.clone();
    let title = format!("{} - truefall", loaded.job.name);
    let mut app = App::new();
    let built = offscreen::quietly(|| {
        app.add_plugins(
            DefaultPlugins
                .set(WindowPlugin {
                    primary_window: Some(Window { title, resolution: size.into(), ..default() }),
                    exit_condition: ExitCondition::OnPrimaryClosed,
                    ..default()
                })
                .set(offscreen::quiet_log()),
        );
    });
    if built.is_err() {
        return Err("no window can be opened: there is no display, or it can't be reached; on a machine without one, \
                    `--shots DIR` writes pictures instead"
            .to_owned());
    }
    app.insert_resource(WinitSettings::desktop_app());
    scene(&mut app, loaded, look);
    app.add_plugins((panels::plugin, picking::plugin, walk::plugin));
    watch::start(&mut app, &path);
    app.add_systems(Startup, camera::spawn_for_window);
    match app.run() {
        AppExit::Success => Ok(String::new()),
        AppExit::Error(code) => Err(format!("the viewer ended with {code}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::Parser as _;

    // Without a window nobody can wait: a broken file and one that isn't there end with 2, and no picture is left.
    #[test]
    fn a_broken_file_gives_no_pictures_and_ends_with_2() {
        let folder = tempfile::tempdir().unwrap();
        let broken = folder.path().join("broken.ron");
        std::fs::write(&broken, "Job(name: 3").unwrap();
        let shot = folder.path().join("shot.png");
        for job in [&broken, &folder.path().join("nowhere.ron")] {
            let words = ["truefall-view", job.to_str().unwrap(), "--shot", shot.to_str().unwrap()];
            assert_eq!(run(&Args::parse_from(words)), ExitCode::from(UNUSABLE));
            assert!(!shot.exists());
        }
        let gone = Args::parse_from(["truefall-view", folder.path().join("nowhere.ron").to_str().unwrap()]);
        assert_eq!(run(&gone), ExitCode::from(UNUSABLE));
    }
}
