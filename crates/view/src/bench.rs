//! How long frames take without a window: the demo, or the job repeated side by side to a great building.

use crate::draw::OfJob;
use crate::loaded::Loaded;
use crate::look::Look;
use crate::offscreen::Studio;
use bevy::prelude::*;
use std::time::Instant;

/// Frames not counted, while pipelines and buffers are made.
const WARM: u32 = 10;
/// Scene units between two copies of the job; more than any demo is wide.
const STEP: f32 = 16.0;

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
    let drawn = repeat(&mut studio, pieces.unwrap_or(0));
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
        "adapter            {}\npicture            {} x {}\ndrawn pieces       {drawn}\nto first picture   {:.0} ms\nframe, median      {:.2} ms\nframe, 95 of 100   {:.2} ms\nmemory             {}\n",
        studio.adapter,
        size.0,
        size.1,
        first.as_secs_f64() * 1000.0,
        at(0.5),
        at(0.95),
        memory(),
    ))
}

/// Copies everything that is drawn, row by row, until there are so many pieces. They share meshes and materials, as one
/// job's do.
fn repeat(studio: &mut Studio, pieces: usize) -> usize {
    let world = studio.app.world_mut();
    let mut drawn =
        world.query::<(&Mesh3d, &MeshMaterial3d<StandardMaterial>, &GlobalTransform, Option<&OfJob>)>();
    let of: Vec<_> =
        drawn.iter(world).map(|(m, s, t, _)| (m.clone(), s.clone(), t.compute_transform())).collect();
    let mut count = of.len();
    let mut copy = 1_u16;
    while count < pieces {
        let (row, column) = (copy / 16, copy % 16);
        let off = Vec3::new(f32::from(column) * STEP, 0.0, -f32::from(row) * STEP);
        let room = pieces - count;
        for (mesh, material, transform) in of.iter().take(room) {
            let moved = Transform { translation: transform.translation + off, ..*transform };
            world.spawn((OfJob, mesh.clone(), material.clone(), moved));
            count += 1;
        }
        copy += 1;
    }
    count
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
