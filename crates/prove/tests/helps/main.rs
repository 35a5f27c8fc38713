//! What would help: changes to a part, made, ranked and solved.

mod foretold;
mod hoe;
mod made;
mod random;
mod solved;
mod welds;
