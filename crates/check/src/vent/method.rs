//! The methods of venting a trap that codes name.

/// By which method a trap gets its air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Method {
    /// A dry vent of its own.
    Individual,
    /// The dry top of the stack it joins: its connection is the topmost.
    StackVent,
    /// One dry vent for two traps at one fitting, or at two levels of one vertical.
    Common,
    /// A vertical drain of the same bath, wet from its fixtures above.
    VerticalWet,
    /// A lying drain of the same bath, wet from its fixtures upstream.
    HorizontalWet,
    /// A lying branch with one dry vent between its two most upstream drains.
    Circuit,
    /// A plumb stack of waste without closets, vented at its top in full size.
    WasteStack,
    /// A stack of one size from end to end that vents all of its near branches.
    SingleStack,
    /// A lying drain large enough to carry air over its waste.
    Combination,
    /// A loop over the drain of a sink that stands free of walls.
    Island,
}

impl std::fmt::Display for Method {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(match self {
            Self::Individual => "individual vent",
            Self::StackVent => "stack vent",
            Self::Common => "common vent",
            Self::VerticalWet => "vertical wet vent",
            Self::HorizontalWet => "horizontal wet vent",
            Self::Circuit => "circuit vent",
            Self::WasteStack => "waste stack vent",
            Self::SingleStack => "single stack vent",
            Self::Combination => "combination drain and vent",
            Self::Island => "island vent",
        })
    }
}
