//! Ctrl-C, and whatever else asks the program to end, at a moment when it must not.

use std::sync::{Mutex, PoisonError};

/// Held while an interrupt has to wait.
static BUSY: Mutex<()> = Mutex::new(());

/// Does a short piece of work that an interrupt does not cut in two: it counts when the work is done.
///
/// It takes [`watch_for_interrupts`] to be called first, and a system with signals; else the work is done as it is.
pub fn held_back<T>(work: impl FnOnce() -> T) -> T {
    let _busy = BUSY.lock().unwrap_or_else(PoisonError::into_inner);
    work()
}

/// Lets a thread of its own wait for interrupts, and no other: call it before any other thread is there, as each
/// inherits what it is deaf to. To hold them back in the writing thread alone would not do: a thread that has done its
/// work may still be there a moment later, and be asked.
pub fn watch_for_interrupts() {
    #[cfg(unix)]
    {
        use nix::sys::signal::{SigSet, Signal, raise};

        let ends = [Signal::SIGINT, Signal::SIGTERM, Signal::SIGHUP, Signal::SIGQUIT];
        let ends: SigSet = ends.into_iter().collect();
        if ends.thread_block().is_err() {
            return;
        }
        let watcher = std::thread::Builder::new().spawn(move || {
            while let Ok(signal) = ends.wait() {
                let _busy = BUSY.lock().unwrap_or_else(PoisonError::into_inner);
                let own: SigSet = [signal].into_iter().collect();
                // As if it came now: it ends the program, unless who started that wants it to be ignored.
                _ = own.thread_unblock();
                _ = raise(signal);
                _ = own.thread_block();
            }
        });
        if watcher.is_err() {
            _ = ends.thread_unblock();
        }
    }
}
