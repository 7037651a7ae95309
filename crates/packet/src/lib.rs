//! Truefall packet.
