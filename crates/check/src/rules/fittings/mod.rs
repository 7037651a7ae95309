//! Fittings, pieces and joints.
