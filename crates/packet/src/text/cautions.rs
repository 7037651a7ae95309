//! What can hurt someone, and who has the last word: printed at the end of every report.

use super::page::Page;
use super::style::Tone;

/// The cautions, one after the other.
pub(crate) const CAUTIONS: &[&str] = &[
    "sewer gas can poison, choke and explode: air the space, keep every opening of the old and new pipe plugged",
    "hold up the iron above a cut before you cut it; a stack that lost its footing falls",
    "wood already cut beyond its limits, and every beam, truss and I-joist, is for an engineer or the maker: do not cut it \
     on the word of this sheet",
    "test plastic pipe with water and never with compressed air: it can burst into splinters; ask which test is wanted",
    "the local code goes before every figure here; what is marked memory or secondary has to be looked up",
    "this sheet approves nothing: the inspector decides, and a licensed plumber answers for the work",
];

/// The cautions.
pub fn cautions(page: &mut Page) {
    page.heading("Before you cut or glue");
    for caution in CAUTIONS {
        page.named(2, "- ", Tone::Plain, caution);
    }
}
