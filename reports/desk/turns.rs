//! Whose turn it is to have something worked out: so many runs at a time for each visitor, and so many in
//! all, in the order asked.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use tokio::sync::Semaphore;
use tokio::task::spawn_blocking;

use super::door::Visitor;
use crate::progress::Listener;

/// Runs at a time for one visitor, and for all of them.
const EACH: usize = 2;
const ALL: usize = 4;

/// Who works and who waits.
#[derive(Debug)]
pub struct Turns {
    all: Arc<Semaphore>,
    each: Mutex<HashMap<Visitor, Arc<Semaphore>>>,
}

impl Default for Turns {
    fn default() -> Self {
        Self {
            all: Arc::new(Semaphore::new(ALL)),
            each: Mutex::default(),
        }
    }
}

/// Ends a run when whoever waited for it is no longer there.
#[derive(Debug, Default)]
pub struct Waiting(pub Listener);

impl Drop for Waiting {
    fn drop(&mut self) {
        self.0.leave();
    }
}

impl Turns {
    fn of(&self, visitor: Visitor) -> Arc<Semaphore> {
        let mut each = self.each.lock().unwrap_or_else(PoisonError::into_inner);
        let own = || Arc::new(Semaphore::new(EACH));
        Arc::clone(each.entry(visitor).or_insert_with(own))
    }

    /// Works something out when it is this visitor's turn; `None` where the work panicked or nobody waits
    /// any more.
    pub async fn take<T: Send + 'static>(
        &self,
        visitor: Visitor,
        listener: Listener,
        work: impl FnOnce() -> T + Send + 'static,
    ) -> Option<T> {
        let own = self.of(visitor).acquire_owned().await.ok()?;
        let place = Arc::clone(&self.all).acquire_owned().await.ok()?;
        if listener.is_gone() {
            return None;
        }
        let run = spawn_blocking(move || {
            // held until the work has ended, whoever waits for it
            let _places = (own, place);
            listener.answer(work)
        });
        run.await.ok()
    }
}
