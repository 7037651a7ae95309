//! Watches the job file: saved in an editor, it is read, placed and checked anew; a broken one is told and the last good
//! picture stays. Looked at by its time and size, which works on every disk and through editors that replace the file.

use crate::camera::{Orbit, View};
use crate::loaded::Loaded;
use crate::look::Look;
use crate::selection::Selection;
use bevy::prelude::*;
use bevy::winit::{EventLoopProxyWrapper, WinitUserEvent};
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, SystemTime};

/// How often the file is looked at.
const EVERY: Duration = Duration::from_millis(300);

/// What came of reading it again.
type Read = Result<Box<Loaded>, String>;

/// Where the results come in.
#[derive(Resource)]
struct Changes(Mutex<Receiver<Read>>);

/// What a file looks like from outside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stamp(Option<(SystemTime, u64)>);

impl Stamp {
    /// As it is now; a missing file has none.
    pub(crate) fn of(path: &Path) -> Self {
        Self(std::fs::metadata(path).ok().and_then(|m| Some((m.modified().ok()?, m.len()))))
    }
}

/// Starts watching.
pub(crate) fn start(app: &mut App, path: &Path) {
    let (send, receive) = channel();
    let proxy = app.world().get_resource::<EventLoopProxyWrapper>().map(|p| (**p).clone());
    let path: PathBuf = path.to_owned();
    let mut last = Stamp::of(&path);
    std::thread::spawn(move || {
        loop {
            std::thread::sleep(EVERY);
            let now = Stamp::of(&path);
            if now == last {
                continue;
            }
            last = now;
            // Nobody listens any more once the window is closed.
            if send.send(Loaded::load(&path).map(Box::new)).is_err() {
                return;
            }
            if let Some(proxy) = &proxy {
                let _ = proxy.send_event(WinitUserEvent::WakeUp);
            }
        }
    });
    app.insert_resource(Changes(Mutex::new(receive))).add_systems(PreUpdate, take);
}

fn take(
    changes: Res<Changes>,
    mut loaded: ResMut<Loaded>,
    mut selection: ResMut<Selection>,
    mut look: ResMut<Look>,
    mut orbit: ResMut<Orbit>,
) {
    let newest = changes.0.lock().ok().and_then(|receive| receive.try_iter().last());
    if let Some(read) = newest {
        let waited = loaded.waiting;
        adopt(read, &mut loaded, &mut selection);
        // The camera stays, but where there was no house to look at before.
        if waited && !loaded.waiting {
            orbit.view(&loaded, &View::Whole);
        }
        keep(&loaded, &mut look);
    }
}

/// Takes over what was read; the camera and what is looked at stay.
fn adopt(read: Read, loaded: &mut ResMut<'_, Loaded>, selection: &mut Selection) {
    match read {
        Ok(new) => {
            **loaded = *new;
            // Numbers of parts may have moved.
            *selection = Selection::default();
        }
        Err(why) => loaded.bypass_change_detection().broken = Some(why),
    }
}

/// What was looked at and is there no longer is let go.
fn keep(loaded: &Loaded, look: &mut ResMut<'_, Look>) {
    let framed = &loaded.seen.rough_in.framed;
    let wanted = Look {
        floor: look.floor.filter(|i| *i < framed.floors.len()),
        wall: look.wall.filter(|i| *i < framed.walls.len()),
        stop: look.stop.filter(|i| *i < loaded.stops.len()),
        ..(**look).clone()
    };
    look.set_if_neq(wanted);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hold::demo;
    use std::time::Instant;

    fn until(app: &mut App, done: impl Fn(&Loaded) -> bool) -> bool {
        let start = Instant::now();
        while start.elapsed() < Duration::from_secs(30) {
            app.update();
            if done(app.world().resource::<Loaded>()) {
                return true;
            }
            std::thread::sleep(Duration::from_millis(20));
        }
        false
    }

    #[test]
    fn a_saved_file_is_shown_and_a_broken_one_keeps_the_last_good() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("job.ron");
        let text = std::fs::read_to_string(&demo().path).unwrap();
        std::fs::write(&path, &text).unwrap();
        let mut app = App::new();
        app.add_plugins(MinimalPlugins);
        let first = Loaded::load(&path).unwrap();
        let mut orbit = Orbit::whole(&first);
        orbit.turn += 0.7;
        let kept = orbit.clone();
        app.insert_resource(first).insert_resource(orbit).init_resource::<Selection>();
        app.insert_resource(Look { floor: Some(0), ..Look::default() });
        start(&mut app, &path);
        std::fs::write(&path, text.replace("Larch Row bungalow", "Larch Row, again")).unwrap();
        assert!(until(&mut app, |l| l.job.name == "Larch Row, again"));
        std::fs::write(&path, "Job(name: 3").unwrap();
        assert!(until(&mut app, |l| l.broken.is_some()));
        assert_eq!(app.world().resource::<Loaded>().job.name, "Larch Row, again");
        std::fs::write(&path, &text).unwrap();
        assert!(until(&mut app, |l| l.broken.is_none() && l.job.name == "Larch Row bungalow"));
        assert_eq!(*app.world().resource::<Orbit>(), kept, "one stands where one stood");
        assert_eq!(app.world().resource::<Look>().floor, Some(0));
    }

    #[test]
    fn a_file_broken_from_the_start_is_waited_for() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("job.ron");
        let text = std::fs::read_to_string(&demo().path).unwrap();
        std::fs::write(&path, "Job(name: 3").unwrap();
        let why = Loaded::load(&path).unwrap_err();
        let waiting = Loaded::waiting(&path, why).unwrap();
        let mut app = App::new();
        app.add_plugins(MinimalPlugins);
        app.insert_resource(Orbit::whole(&waiting)).insert_resource(waiting);
        app.init_resource::<Selection>().init_resource::<Look>();
        start(&mut app, &path);
        std::fs::write(&path, &text).unwrap();
        assert!(until(&mut app, |l| !l.waiting && l.broken.is_none()));
        let house = Orbit::whole(app.world().resource::<Loaded>());
        assert_eq!(*app.world().resource::<Orbit>(), house, "the house is looked at once it is there");
    }
}
