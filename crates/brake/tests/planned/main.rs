//! Whole plans: known parts, random parts against all orders tried one by one, odd parts, repairs.

mod by_hand;
mod card;
mod cradle;
mod known;
mod made;
mod notches;
mod odd;
mod orders;
mod repairs;
mod standing;
