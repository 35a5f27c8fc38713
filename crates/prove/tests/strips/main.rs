//! A flat strip on two bolts, pushed at its end: what a person can reckon beside what the shell says.

mod bolts;
mod carries;
mod fixture;
mod refused;
mod seam;
mod twist;
