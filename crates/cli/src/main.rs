//! The command `truefall`.

fn main() {}
