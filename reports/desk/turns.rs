//! Whose turn it is to have something worked out: so many runs at a time for each visitor, and so many in
//! all, in the order asked.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use tokio::sync::Semaphore;
use tokio::task::spawn_blocking;

use super::door::Visitor;
use crate::progress::Listener;

/// Runs at a time for one visitor, and for all of them: some of them may wait for a large one.
const EACH: usize = 3;
const ALL: usize = 6;

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

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};
    use std::time::Duration;

    use tokio::runtime::Builder;

    use super::*;

    #[test]
    fn nobody_has_more_than_their_turns_and_a_panic_is_no_answer() {
        let runtime = Builder::new_multi_thread().build().expect("a runtime");
        let turns = Arc::new(Turns::default());
        let [now, most] = [(), ()].map(|()| Arc::new(AtomicUsize::new(0)));
        runtime.block_on(async {
            let runs: Vec<_> = (0..20)
                .map(|_| {
                    let (turns, now, most) =
                        (Arc::clone(&turns), Arc::clone(&now), Arc::clone(&most));
                    tokio::spawn(async move {
                        let work = move || {
                            most.fetch_max(
                                now.fetch_add(1, Ordering::SeqCst) + 1,
                                Ordering::SeqCst,
                            );
                            std::thread::sleep(Duration::from_millis(3));
                            now.fetch_sub(1, Ordering::SeqCst);
                        };
                        turns.take(Visitor(1), Listener::default(), work).await
                    })
                })
                .collect();
            for run in runs {
                assert_eq!(run.await.expect("a run"), Some(()));
            }
            assert_eq!(most.load(Ordering::SeqCst), EACH);
            let panicked = turns
                .take(Visitor(2), Listener::default(), || panic!("as meant"))
                .await;
            assert_eq!(panicked, None::<()>);
            let gone = Listener::default();
            gone.leave();
            assert_eq!(turns.take(Visitor(2), gone, || 1).await, None);
            assert_eq!(
                turns.take(Visitor(2), Listener::default(), || 1).await,
                Some(1)
            );
        });
    }
}
