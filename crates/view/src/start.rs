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
        window(loaded, look)
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

fn window(loaded: Loaded, look: Look) -> Result<String, String> {
    offscreen::renderer().map(drop)?;
    let path = loaded.path.clone();
    let title = format!("{} - truefall", loaded.job.name);
    let mut app = App::new();
    let built = offscreen::quietly(|| {
        app.add_plugins(
            DefaultPlugins
                .set(WindowPlugin {
                    primary_window: Some(Window { title, ..default() }),
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
