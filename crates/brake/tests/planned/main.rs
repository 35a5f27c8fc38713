//! Whole plans: known parts, random parts against all orders tried one by one, odd parts, repairs.

mod card;
mod known;
mod orders;
mod repairs;
