//! Running a decoder that may panic on damaged bytes.

use std::cell::Cell;
use std::panic::{self, AssertUnwindSafe};
use std::sync::Once;

thread_local! {
    /// Whether a panic of this thread is to be passed over in silence.
    static QUIET: Cell<bool> = const { Cell::new(false) };
}

/// Runs `work`; none if it panicked. Nothing is printed then, for the caller says in a line of its own what is wrong with the
/// file. Panics anywhere else are told as before.
pub fn catch<T>(work: impl FnOnce() -> T) -> Option<T> {
    static HOOK: Once = Once::new();
    HOOK.call_once(|| {
        let before = panic::take_hook();
        panic::set_hook(Box::new(move |about| {
            // A thread that is ending has no flag any more, and decodes nothing.
            if !QUIET.try_with(Cell::get).unwrap_or(false) {
                before(about);
            }
        }));
    });
    let was = QUIET.replace(true);
    let done = panic::catch_unwind(AssertUnwindSafe(work));
    QUIET.set(was);
    done.ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_becomes_none_and_the_next_one_is_told_again() {
        assert_eq!(catch(|| 3), Some(3));
        assert_eq!(catch(|| -> u8 { panic!("this text is never shown") }), None);
        assert!(!QUIET.get());
    }

    /// Run again by itself, for only a program's end shows all that it wrote.
    #[test]
    fn nothing_is_printed_of_a_panic_that_was_caught() {
        const ALONE: &str = "SOUNDBEAD_TEST_ALONE";
        if std::env::var_os(ALONE).is_some() {
            assert_eq!(catch(|| -> u8 { panic!("this text is never shown") }), None);
            eprintln!("after the panic");
            return;
        }
        let name = "audio::quiet::tests::nothing_is_printed_of_a_panic_that_was_caught";
        let ran = std::process::Command::new(std::env::current_exe().expect("this test"))
            .args(["--exact", name, "--nocapture"])
            .env(ALONE, "1")
            .output()
            .expect("the test runs again");
        let told = String::from_utf8_lossy(&ran.stderr);
        assert!(told.contains("after the panic"), "{told}");
        assert!(!told.contains("panicked") && !told.contains("never shown"), "{told}");
    }
}
