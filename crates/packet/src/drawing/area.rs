//! A box on the sheet, and what it meets. x to the right, y down, in units of the drawing (96 to the inch on paper).

/// A point on the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// To the right.
    pub x: f64,
    /// Down.
    pub y: f64,
}

/// A point on the sheet.
pub fn spot(x: f64, y: f64) -> Spot {
    Spot { x, y }
}

/// A box along the sheet's edges.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Area {
    /// Left and top.
    pub least: Spot,
    /// Right and bottom.
    pub most: Spot,
}

impl Area {
    /// A box around a middle.
    pub fn around(middle: Spot, width: f64, height: f64) -> Self {
        Self {
            least: spot(middle.x - width / 2.0, middle.y - height / 2.0),
            most: spot(middle.x + width / 2.0, middle.y + height / 2.0),
        }
    }

    /// Whether two boxes share more than an edge.
    pub fn meets(&self, other: &Self) -> bool {
        self.least.x < other.most.x
            && other.least.x < self.most.x
            && self.least.y < other.most.y
            && other.least.y < self.most.y
    }

    /// The same box, larger on all sides.
    pub fn grown(&self, by: f64) -> Self {
        Self {
            least: spot(self.least.x - by, self.least.y - by),
            most: spot(self.most.x + by, self.most.y + by),
        }
    }

    /// The box around both.
    pub fn with(&self, other: &Self) -> Self {
        Self {
            least: spot(self.least.x.min(other.least.x), self.least.y.min(other.least.y)),
            most: spot(self.most.x.max(other.most.x), self.most.y.max(other.most.y)),
        }
    }

    /// The point of it that is nearest to another.
    pub fn nearest(&self, to: Spot) -> Spot {
        spot(to.x.clamp(self.least.x, self.most.x), to.y.clamp(self.least.y, self.most.y))
    }

    /// Whether a line passes through it (clipped against its four sides).
    pub fn is_crossed(&self, a: Spot, b: Spot) -> bool {
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        for (along, gap) in [
            (-dx, a.x - self.least.x),
            (dx, self.most.x - a.x),
            (-dy, a.y - self.least.y),
            (dy, self.most.y - a.y),
        ] {
            if along == 0.0 {
                if gap <= 0.0 {
                    return false;
                }
            } else if along < 0.0 {
                from = from.max(gap / along);
            } else {
                to = to.min(gap / along);
            }
        }
        from < to
    }
}
