//! The three files of a job: design, fit, shop. Text goes in; typed values with places come out, or everything that
//! is wrong with the text.

mod bender;
mod check;
mod cutter;
mod design;
mod fit;
pub mod keys;
mod loads;
mod lookup;
pub mod model;
mod named;
mod rate;
mod reader;
pub mod schema;
mod shop;
mod sound;
mod syntax;
mod way;
mod words;
mod wrong;

pub(crate) use design::bare_design;
pub use design::read_design;
pub use fit::read_fit;
pub(crate) use fit::{bare_fit, care_said};
pub(crate) use keys::MOST_POINTS;
pub use named::Named;
pub(crate) use named::{is_taken, mentions, said};
pub(crate) use reader::{is_name, unit_of_file};
pub use shop::{drawings_of_shop, read_shop};
pub(crate) use sound::{sound_design, sound_fit};
pub(crate) use way::Ways;
pub use wrong::{Source, Spot, Wrong, nearest};
