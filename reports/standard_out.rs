//! Whether standard output was open when the program was started.
//!
//! Before `main` the Rust runtime puts `/dev/null` in the place of what was closed, so that nothing that is
//! written there fails; so the look is taken before that. It is the one place of the program that the compiler
//! can't vouch for: a function that the linker lists among those to call first.

use std::sync::atomic::{AtomicBool, Ordering};

static CLOSED: AtomicBool = AtomicBool::new(false);

/// Whether nobody can read what is printed; `false` also where that can't be told.
pub fn is_closed() -> bool {
    CLOSED.load(Ordering::Relaxed)
}

#[cfg(target_os = "linux")]
mod look {
    use std::path::Path;
    use std::sync::atomic::Ordering;

    extern "C" fn look() {
        let open = Path::new("/proc/self/fd");
        let closed = open.is_dir() && open.join("1").symlink_metadata().is_err();
        super::CLOSED.store(closed, Ordering::Relaxed);
    }

    #[used]
    #[expect(unsafe_code, reason = "before `main`, see above")]
    #[unsafe(link_section = ".init_array")]
    static FIRST: extern "C" fn() = look;
}
