//! The space a fitting takes up, in its pattern's frame.
