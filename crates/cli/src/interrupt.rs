//! Ctrl-C, and whatever else asks the program to end, at a moment when it must not.

/// Does a short piece of work that an interrupt does not cut in two: it counts when the work is done.
///
/// Only of the thread that calls: nothing else may be going on in others. Where the system has no signals the work is
/// done as it is.
pub fn held_back<T>(work: impl FnOnce() -> T) -> T {
    #[cfg(unix)]
    {
        use nix::sys::signal::{SigSet, SigmaskHow, Signal};

        let ends = [Signal::SIGINT, Signal::SIGTERM, Signal::SIGHUP, Signal::SIGQUIT];
        let before = ends.into_iter().collect::<SigSet>().thread_swap_mask(SigmaskHow::SIG_BLOCK);
        let done = work();
        if let Ok(before) = before {
            // Here a signal that came meanwhile ends the program.
            _ = before.thread_set_mask();
        }
        done
    }
    #[cfg(not(unix))]
    work()
}

#[cfg(all(test, unix))]
mod tests {
    use nix::sys::signal::{SigSet, Signal};

    use super::held_back;

    #[test]
    fn an_interrupt_waits_for_the_end_of_the_work_and_no_longer() {
        let waits = |signal| SigSet::thread_get_mask().is_ok_and(|mask| mask.contains(signal));
        for signal in [Signal::SIGINT, Signal::SIGTERM, Signal::SIGHUP] {
            assert!(held_back(|| waits(signal)), "{signal}");
            assert!(!waits(signal), "{signal}");
        }
    }
}
