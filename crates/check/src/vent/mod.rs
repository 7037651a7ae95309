//! Venting: by which way each trap gets its air, and along which pipe, or why by none.
//!
//! Rules about vents read the answers; they are found once for a placement. A *way* is dry pipe from a fitting to open
//! air; a *wet length* is drain through which air reaches a fitting below it.

mod air;
mod bath;
mod carry;
mod circuit;
mod combine;
mod dry;
mod fixture;
mod method;
mod served;
mod setting;
mod stack;
mod trap;
mod way;
mod wet;

pub use air::{Air, AirEnd};
pub use fixture::{Rim, fixture_units, rim};
pub use method::Method;
pub use served::Served;
pub use setting::Setting;
pub(crate) use trap::trap_part;
pub use trap::{Held, Relief, Trap, Tried, Vented, Vents};
pub use way::{Span, Way};
