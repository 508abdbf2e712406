//! Whose turn it is to have something worked out: so many runs at a time for each visitor, and so many in
//! all, in the order asked. What is large has places of its own, so that nobody waits for it who asks for
//! something small.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::Duration;

use tokio::sync::{OwnedSemaphorePermit, Semaphore};
use tokio::task::spawn_blocking;

use super::door::Visitor;
use crate::progress::{Listener, goes_on};

/// Runs at a time for one visitor, and for all of them.
const EACH: usize = 3;
const ALL: usize = 6;
/// Between two looks at whether a place at what is large is free.
const LOOK: Duration = Duration::from_millis(10);

/// Places to work at: so many for each visitor, and so many in all.
#[derive(Debug)]
struct Places {
    most_each: usize,
    each: Mutex<HashMap<Visitor, Arc<Semaphore>>>,
    all: Arc<Semaphore>,
}

/// One of them, free again once this is dropped.
pub type Place = (OwnedSemaphorePermit, OwnedSemaphorePermit);

impl Places {
    fn new(most_each: usize, all: usize) -> Arc<Self> {
        Arc::new(Self {
            most_each,
            each: Mutex::default(),
            all: Arc::new(Semaphore::new(all)),
        })
    }

    fn of(&self, visitor: Visitor) -> Arc<Semaphore> {
        let mut each = self.each.lock().unwrap_or_else(PoisonError::into_inner);
        let own = || Arc::new(Semaphore::new(self.most_each));
        Arc::clone(each.entry(visitor).or_insert_with(own))
    }
}

/// Who works and who waits.
#[derive(Debug)]
pub struct Turns {
    small: Arc<Places>,
    large: Arc<Places>,
}

impl Default for Turns {
    fn default() -> Self {
        Self {
            small: Places::new(EACH, ALL),
            large: Places::new(1, 1),
        }
    }
}

/// A turn of a visitor.
#[derive(Debug)]
pub struct Turn {
    visitor: Visitor,
    listener: Listener,
    place: Mutex<Option<Place>>,
    large: Arc<Places>,
}

impl Turn {
    /// Whom it is for.
    pub fn listener(&self) -> &Listener {
        &self.listener
    }

    /// Gives the turn to others and waits for a place at what is large; `None` where nobody waits for it
    /// any more.
    pub fn large(&self) -> Option<Place> {
        drop(
            self.place
                .lock()
                .unwrap_or_else(PoisonError::into_inner)
                .take(),
        );
        // one of each visitor stands in line, however many they ask for
        let own = free(&self.large.of(self.visitor))?;
        Some((own, free(&self.large.all)?))
    }
}

/// Waits, on a thread that may.
fn free(places: &Arc<Semaphore>) -> Option<OwnedSemaphorePermit> {
    while goes_on() {
        if let Ok(place) = Arc::clone(places).try_acquire_owned() {
            return Some(place);
        }
        thread::sleep(LOOK);
    }
    None
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
    /// Works something out when it is this visitor's turn; `None` where the work panicked or nobody waits
    /// any more.
    pub async fn take<T: Send + 'static>(
        &self,
        visitor: Visitor,
        listener: Listener,
        work: impl FnOnce(&Turn) -> T + Send + 'static,
    ) -> Option<T> {
        let own = self.small.of(visitor).acquire_owned().await.ok()?;
        let place = Arc::clone(&self.small.all).acquire_owned().await.ok()?;
        if listener.is_gone() {
            return None;
        }
        let turn = Turn {
            visitor,
            listener,
            place: Mutex::new(Some((own, place))),
            large: Arc::clone(&self.large),
        };
        // the place is held until the work has ended or gives it up, whoever waits for it
        let run = spawn_blocking(move || turn.listener.answer(|| work(&turn)));
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
                        let work = move |_: &Turn| {
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
                .take(Visitor(2), Listener::default(), |_| panic!("as meant"))
                .await;
            assert_eq!(panicked, None::<()>);
            let gone = Listener::default();
            gone.leave();
            assert_eq!(turns.take(Visitor(2), gone, |_| 1).await, None);
            assert_eq!(
                turns.take(Visitor(2), Listener::default(), |_| 1).await,
                Some(1)
            );
        });
    }

    #[test]
    fn nobody_waits_for_what_is_large_who_asks_for_something_small() {
        let runtime = Builder::new_multi_thread().build().expect("a runtime");
        let turns = Arc::new(Turns::default());
        let [begun, ended] = [(), ()].map(|()| Arc::new(AtomicUsize::new(0)));
        let stays = Waiting::default();
        runtime.block_on(async {
            let large: Vec<_> = (0..2 * ALL as u64)
                .map(|i| {
                    let (turns, begun, ended) =
                        (Arc::clone(&turns), Arc::clone(&begun), Arc::clone(&ended));
                    let listener = stays.0.clone();
                    tokio::spawn(async move {
                        let work = move |turn: &Turn| {
                            let Some(_place) = turn.large() else {
                                return ended.fetch_add(1, Ordering::SeqCst);
                            };
                            begun.fetch_add(1, Ordering::SeqCst);
                            while goes_on() {
                                thread::sleep(LOOK);
                            }
                            0
                        };
                        turns.take(Visitor(i % 3), listener, work).await
                    })
                })
                .collect();
            for visitor in 0..4 {
                let small = turns.take(Visitor(visitor), Listener::default(), |_| 1);
                assert_eq!(small.await, Some(1));
            }
            while begun.load(Ordering::SeqCst) == 0 {
                tokio::task::yield_now().await;
            }
            // whoever leaves stands in line no longer
            drop(stays);
            let mut not_begun = 0;
            for run in large {
                not_begun += usize::from(run.await.expect("a run").is_none());
            }
            assert_eq!(begun.load(Ordering::SeqCst), 1);
            assert_eq!(ended.load(Ordering::SeqCst) + not_begun, 2 * ALL - 1);
        });
    }
}
