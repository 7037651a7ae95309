//! The clock of a branch: where it points round a joint's axis, as on a watch face.
//!
//! On a vertical it is read on the plan: 12 is the job's +y and the hours go clockwise looking down, also where the pipe
//! is out of plumb. On a level joint 12 is up, looking downstream. A joint counts as vertical while it is steeper than 60 degrees, so an offset by 1/8 bends has 12 up too.

use crate::document::{Document, Node, Reader};
use crate::units::Angle;

/// A place on the watch face, clockwise from 12.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clock(Angle);

const ALLOWED: &str = "a clock such as \"3\", \"4:30\" or \"95 deg\"";

impl Clock {
    /// The clock at an angle clockwise from 12, brought into one turn.
    pub fn at(angle: Angle) -> Self {
        Self(Angle::radians(angle.to_radians().rem_euclid(std::f64::consts::TAU)))
    }

    /// Clockwise from 12, from 0 up to one turn.
    pub fn angle(self) -> Angle {
        self.0
    }

    /// Reads `3`, `4:30`, `12` or an angle `95 deg`.
    ///
    /// # Errors
    /// A sentence with what was read and what is allowed.
    pub fn parse(text: &str) -> Result<Self, String> {
        let fail = || format!("\"{text}\" is not a clock position; write {ALLOWED}");
        let t = text.trim();
        if t.contains("deg") || t.contains('°') || t.contains("rad") {
            return Angle::parse(t).map(Self::at).map_err(|_| fail());
        }
        let (hour, minute) = match t.split_once(':') {
            Some((h, m)) if m.len() == 2 => {
                (h.parse::<f64>().map_err(|_| fail())?, m.parse::<f64>().map_err(|_| fail())?)
            }
            Some(_) => return Err(fail()),
            None => (t.parse::<f64>().map_err(|_| fail())?, 0.0),
        };
        if !(0.0..=12.0).contains(&hour) || !(0.0..60.0).contains(&minute) {
            return Err(fail());
        }
        Ok(Self::at(Angle::degrees((hour + minute / 60.0) * 30.0)))
    }
}

impl std::fmt::Display for Clock {
    /// The nearest minute, such as `3:00`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let minutes = (self.0.to_degrees() * 2.0).round() as i64 % 720;
        let hour = if minutes / 60 == 0 { 12 } else { minutes / 60 };
        f.pad(&format!("{hour}:{:02}", minutes % 60))
    }
}

impl Document for Clock {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let typed = reader.typed(node, ALLOWED)?;
        let read = Self::parse(typed);
        reader.accept(node, read)
    }

    fn write(&self) -> Node {
        let whole = Self::parse(&self.to_string()).is_ok_and(|c| c == *self);
        // Between the minutes the angle itself, to its last bit: a job printed and read is the same job.
        let text = if whole { self.to_string() } else { self.0.exact() };
        Node::new(crate::document::Kind::Text(text))
    }
}
