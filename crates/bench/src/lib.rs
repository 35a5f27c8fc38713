//! The job sheet on screen: a server on loopback, and the page that it gives out (`web/`, built with npm by `build.rs`).
//!
//! It holds one job open ([`job::revise::OpenJob`]), does the acts that the page asks for, and answers with the same summary
//! that `gusset check --json` prints. It works nothing out. Where there is no job yet, it asks the questions that start one.
//!
//! # Who may ask
//!
//! Only this machine, only by this server's own address, and only with the key that was printed with its address: see
//! [`guard`].

mod asked;
mod came;
mod desk;
pub mod guard;
mod kept;
mod page;
mod place;
mod quiet;
mod routes;
mod said;
mod serve;
mod working;

pub use desk::Desk;
pub use guard::{Key, NoKey};
pub use page::page_is_built;
pub use place::{Place, Where};
pub use routes::routes;
pub use serve::{Bound, ServeError, bind};
