//! How long frames take without a window: the demo, or the job repeated side by side to a great building.

use crate::draw::batch::{Batches, Piece};
use crate::draw::stuff::Surfaces;
use crate::draw::{OfHouse, OfRoughIn, pieces as drawn_pieces};
use crate::loaded::Loaded;
use crate::look::Look;
use crate::offscreen::Studio;
use bevy::ecs::system::RunSystemOnce as _;
use bevy::prelude::*;
use nalgebra::Vector3;
use std::time::Instant;

/// Frames not counted, while pipelines and buffers are made.
const WARM: u32 = 10;
/// Inches between two copies of the job; more than any demo is wide.
const STEP_IN: f64 = 630.0;

/// Draws frames and says how long they took.
pub(crate) fn run(
    loaded: Loaded,
    frames: u32,
    pieces: Option<usize>,
    size: (u32, u32),
) -> Result<String, String> {
    let start = Instant::now();
    let look = Look { tags: false, ..Look::default() };
    let mut studio = Studio::new(loaded, look, size, Msaa::Sample4)?;
    studio.picture()?;
    let first = start.elapsed();
    let (drawn, draws) = repeat(&mut studio, pieces.unwrap_or(0))?;
    for _ in 0..WARM {
        studio.frame();
    }
    let mut took: Vec<f64> = Vec::new();
    for i in 0..frames.max(1) {
        // The camera moves, so that nothing can be kept from the frame before.
        studio.app.world_mut().resource_mut::<crate::camera::Orbit>().turn +=
            0.002 * f64::from(i % 2 * 2) - 0.002;
        let from = Instant::now();
        studio.frame();
        // A frame that is not read back may still be on its way: wait for the device.
        let device = studio.app.world().resource::<bevy::render::renderer::RenderDevice>();
        device
            .poll(bevy::render::render_resource::PollType::wait_indefinitely())
            .map_err(|e| format!("the driver gave up: {e}"))?;
        took.push(from.elapsed().as_secs_f64() * 1000.0);
    }
    took.sort_by(f64::total_cmp);
    let at = |share: f64| took[((took.len() - 1) as f64 * share) as usize];
    Ok(format!(
        "adapter            {}\npicture            {} x {}\ndrawn pieces       {drawn}, in {draws} batches\nto first picture   {:.0} ms\nframe, median      {:.2} ms\nframe, 95 of 100   {:.2} ms\nmemory             {}\n",
        studio.adapter,
        size.0,
        size.1,
        first.as_secs_f64() * 1000.0,
        at(0.5),
        at(0.95),
        memory(),
    ))
}

/// Draws the job again and again, side by side, until there are so many pieces; each copy has vertices of its own, as a
/// building has whose pieces are all different. Says how many pieces and how many batches there are.
fn repeat(studio: &mut Studio, pieces: usize) -> Result<(usize, usize), String> {
    let put = move |(loaded, look): (Res<Loaded>, Res<Look>),
                    (house, rough_in): (Query<Entity, With<OfHouse>>, Query<Entity, With<OfRoughIn>>),
                    mut commands: Commands,
                    mut meshes: ResMut<Assets<Mesh>>,
                    mut surfaces: ResMut<Surfaces>,
                    mut materials: ResMut<Assets<StandardMaterial>>| {
        let one = drawn_pieces(&loaded, &look);
        let count = one.len().max(pieces);
        let all = (0..count).map(|i| -> Piece {
            let copy = i / one.len();
            let (row, column) = ((copy / 16) as f64, (copy % 16) as f64);
            one[i % one.len()].moved(Vector3::new(column * STEP_IN, row * STEP_IN, 0.0))
        });
        let batches = Batches::of(all);
        let draws = batches.len();
        if count > one.len() {
            house.iter().chain(&rough_in).for_each(|e| commands.entity(e).despawn());
            batches.spawn(OfRoughIn, &mut commands, &mut meshes, (&mut surfaces, &mut materials));
        }
        (count, draws)
    };
    studio.app.world_mut().run_system_once(put).map_err(|e| format!("the pieces can't be drawn: {e}"))
}

/// Resident memory, where the system tells it.
fn memory() -> String {
    let told = std::fs::read_to_string("/proc/self/status").ok().and_then(|s| {
        s.lines().find_map(|l| {
            l.strip_prefix("VmHWM:").and_then(|v| v.trim().trim_end_matches(" kB").parse::<f64>().ok())
        })
    });
    told.map_or_else(|| "not told by this system".to_owned(), |kb| format!("{:.0} MB at most", kb / 1024.0))
}
