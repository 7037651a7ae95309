//! Windows and keep-outs, from the document to space.

use super::build::{Site, axis_box, triple};
use super::space::{KeepOutSpace, WindowSpace, posed};
use crate::units::Length;
use nalgebra::{UnitQuaternion, Vector3};

impl Site<'_> {
    /// Opens the windows.
    pub fn windows(&mut self) {
        let house = self.house;
        for (i, window) in house.windows.iter().enumerate() {
            let path = format!("house.windows[{i}]");
            let Some(wall) = self.wall_named(format!("{path}.wall"), &window.wall) else { continue };
            let tall = window.head - window.sill;
            if !self.is_positive(format!("{path}.width"), "the width", window.width)
                || !self.is_positive(format!("{path}.head"), "the head less the sill", tall)
            {
                continue;
            }
            let (width, tall) = (window.width.to_inches(), tall.to_inches());
            let deep = wall.finish_room + wall.depth + wall.finish_back;
            let middle = window.along.to_inches() + width / 2.0;
            let out = wall.finish_room - deep / 2.0;
            let z = wall.z0 + window.sill.to_inches() + tall / 2.0;
            self.framed.windows.push(WindowSpace {
                label: window.name.clone(),
                wall: wall.id,
                pose: posed(wall.at_height(middle, out, z), wall.axes()),
                half: Vector3::new(width, deep, tall) / 2.0,
            });
        }
    }

    /// Sets the keep-outs.
    pub fn keep_outs(&mut self) {
        let house = self.house;
        for (i, keep_out) in house.keep_outs.iter().enumerate() {
            let path = format!("house.keep_outs[{i}]");
            let (label, kind) = (keep_out.name.clone(), keep_out.kind);
            let placed = match (&keep_out.from, &keep_out.size, &keep_out.in_wall) {
                (Some(from), Some(size), None) => {
                    if !self.is_box(&format!("{path}.size"), *size) {
                        continue;
                    }
                    let (centre, half) = axis_box(*from, *size);
                    Some((posed(centre, UnitQuaternion::identity()), half, None))
                }
                (None, None, Some(place)) => {
                    let place_path = format!("{path}.in_wall");
                    let wall = self.wall_named(format!("{place_path}.wall"), &place.wall);
                    let bottom = self.height_of(format!("{place_path}.bottom"), &place.bottom);
                    let (Some(wall), Some(bottom)) = (wall, bottom) else { continue };
                    let deep = place.deep.map_or(wall.depth, Length::to_inches);
                    let out = place.out.to_inches();
                    let size = (place.width, Length::inches(deep + out), place.tall);
                    if !self.is_box(&place_path, size) {
                        continue;
                    }
                    let half = triple(size) / 2.0;
                    let along = place.along.to_inches() + half.x;
                    let centre = wall.at_height(along, out - half.y, bottom + half.z);
                    Some((posed(centre, wall.axes()), half, Some(wall.id)))
                }
                _ => None,
            };
            match placed {
                Some((pose, half, wall)) => {
                    self.framed.keep_outs.push(KeepOutSpace { label, kind, wall, pose, half });
                }
                None => self.trouble(path, format!("`{label}` needs either `from` and `size`, or `in_wall`")),
            }
        }
    }
}
