//! The `gusset` command as a person or a script meets it: run as a process, judged by what it prints and how it ends.

mod bench_killed;
mod bench_of_work;
mod bench_page;
mod bench_served;
mod bending;
mod cutting;
mod exit_codes;
mod help;
mod holding;
mod json;
mod making;
mod starting;
mod strips;
