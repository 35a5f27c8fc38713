//! Work that gives way to everything else on the machine: the page that shows the last answer, and the run that gives the next.

use std::sync::OnceLock;

use rayon::{ThreadPool, ThreadPoolBuilder};

/// So much less of a processor than others does it get where both want it (setpriority(2)): about a quarter, as the kernel
/// weighs 335 to 1,024. It is no less, as a person waits for some of it, and other programs on the machine may want all that
/// there is.
#[cfg(target_os = "linux")]
const NICE: i32 = 5;

/// Does the work on threads of its own; on Linux they give way to all others. Where there are no more threads it is done here.
pub(crate) fn quiet<T: Send>(work: impl FnOnce() -> T + Send) -> T {
    static POOL: OnceLock<Option<ThreadPool>> = OnceLock::new();
    let pool = POOL.get_or_init(|| {
        ThreadPoolBuilder::new()
            .thread_name(|number| format!("quiet {number}"))
            .start_handler(|_| give_way())
            .build()
            .ok()
    });
    match pool {
        Some(pool) => pool.install(work),
        None => work(),
    }
}

fn give_way() {
    // To Linux the caller is this thread; to other systems it is the whole program, which must not give way.
    #[cfg(target_os = "linux")]
    let _ = rustix::process::setpriority_process(None, NICE);
}
