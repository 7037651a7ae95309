//! What a panel, a key or a tap asks for, and the one system that does it.

use crate::camera::{Orbit, View};
use crate::loaded::Loaded;
use crate::look::Look;
use crate::measure::Tape;
use crate::selection::{Selection, Thing};
use crate::walk::Feet;
use bevy::prelude::*;
use nalgebra::Point3;
use truefall_packet::walk::StopKind;
use truefall_packet::walk::eye::EYE_IN;

/// What is asked.
#[derive(Message, Debug, Clone, PartialEq)]
pub(crate) enum Action {
    /// Pick this alone.
    Pick(Thing),
    /// Show a finding, its sum and its place.
    Finding(usize),
    /// Pick nothing.
    Clear,
    /// Look so.
    Look(Box<Look>),
    /// Look from there.
    View(View),
    /// Go to a stop of the walk.
    Stop(usize),
    /// Leave the walk.
    Leave,
    /// Walk so far ahead and aside while a button is held, -1 to 1.
    Step(f64, f64),
}

pub(super) fn plugin(app: &mut App) {
    app.add_message::<Action>()
        .init_resource::<Selection>()
        .init_resource::<Tape>()
        .init_resource::<Feet>()
        .add_systems(Update, apply);
}

/// Does what is asked; drawing follows from what changed.
pub(crate) fn apply(
    mut actions: MessageReader<Action>,
    loaded: Res<Loaded>,
    mut look: ResMut<Look>,
    mut orbit: ResMut<Orbit>,
    mut selection: ResMut<Selection>,
    mut tape: ResMut<Tape>,
    mut feet: ResMut<Feet>,
) {
    for action in actions.read() {
        match action {
            Action::Pick(thing) => {
                selection.finding = None;
                selection.set(*thing);
            }
            Action::Finding(i) => {
                selection.clear();
                if let Some(part) = loaded.part_of(*i) {
                    selection.set(Thing::Part(part));
                }
                selection.finding = Some(*i);
                // A fault of one placement is looked at in that placement.
                if let Some(f) = loaded.seen.findings.get(*i).filter(|f| !f.in_both) {
                    look.placement = f.placement;
                }
                if let Some(at) = loaded.anchor(*i) {
                    orbit.near(&loaded, &look, at);
                }
            }
            Action::Clear => selection.clear(),
            Action::Look(new) => {
                if look.measuring && !new.measuring {
                    tape.picks.clear();
                }
                if new.walking && !look.walking {
                    enter(&loaded, &mut orbit);
                }
                *look = (**new).clone();
            }
            Action::View(view) => orbit.view(&loaded, view),
            Action::Stop(i) => {
                if let Some(stop) = loaded.stops.get(*i) {
                    look.stop = Some(*i);
                    look.walking = false;
                    if stop.kind == StopKind::House {
                        orbit.view(&loaded, &View::Whole);
                    } else {
                        orbit.stand(Point3::from(stop.eye), Point3::from(stop.look));
                    }
                }
            }
            Action::Step(ahead, aside) => *feet = Feet { ahead: *ahead, aside: *aside },
            Action::Leave => {
                look.stop = None;
                look.playing = false;
                look.walking = false;
                orbit.view(&loaded, &View::Whole);
            }
        }
    }
}

/// Who starts to walk stands before the first fixture of the datum floor, not outside at the height of a tree.
fn enter(loaded: &Loaded, orbit: &mut Orbit) {
    let framed = &loaded.seen.rough_in.framed;
    let stand = framed.floors.iter().find(|f| f.datum).map_or(0.0, |f| f.finished_z) + EYE_IN;
    let stops = || loaded.stops.iter().filter(|s| s.kind != StopKind::House);
    let first = stops().find(|s| (s.eye[2] - stand).abs() < 1.0).or_else(|| stops().next());
    if let Some(stop) = first {
        orbit.stand(Point3::from(stop.eye), Point3::from(stop.look));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hold::demo;
    use bevy::ecs::system::RunSystemOnce as _;

    #[test]
    fn picking_a_finding_picks_its_part_and_looks_at_it() {
        let loaded = demo();
        let finding =
            (0..loaded.seen.findings.len()).find(|i| loaded.part_of(*i).is_some()).expect("one names a part");
        let at = loaded.anchor(finding).expect("it has a place");
        let part = loaded.part_of(finding).expect("it names a part");
        let mut world = World::new();
        world.insert_resource(Orbit::whole(&loaded));
        world.insert_resource(loaded);
        world.insert_resource(Look::default());
        world.init_resource::<Selection>();
        world.init_resource::<Tape>();
        world.init_resource::<Feet>();
        world.init_resource::<Messages<Action>>();
        world.write_message(Action::Finding(finding));
        world.run_system_once(apply).expect("it runs");
        assert!(world.resource::<Selection>().holds(Thing::Part(part)));
        assert!((world.resource::<Orbit>().target - at).norm() < 1e-6);
        assert!(world.resource::<Orbit>().distance <= 84.0);
    }
}
