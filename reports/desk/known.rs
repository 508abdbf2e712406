//! What was worked out already, as long as nothing in the folder changes: a slider that changes a price
//! does not simulate anew.

use std::any::Any;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError, TryLockError};

/// Answers that are kept; the one that was not asked for longest makes room.
const MOST: usize = 12;

type Kept = (String, Arc<dyn Any + Send + Sync>);

/// Answers by what was asked.
#[derive(Debug, Default)]
pub struct Known {
    kept: Mutex<Vec<Kept>>,
    large: Mutex<()>,
}

impl Known {
    fn all(&self) -> MutexGuard<'_, Vec<Kept>> {
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Held while something is worked out that takes much memory, as planning a drawer does: one at a time,
    /// so that whoever asks for the same meanwhile finds it done. `None` while somebody else does.
    pub fn large(&self) -> Option<MutexGuard<'_, ()>> {
        match self.large.try_lock() {
            Ok(large) => Some(large),
            Err(TryLockError::Poisoned(large)) => Some(large.into_inner()),
            Err(TryLockError::WouldBlock) => None,
        }
    }

    /// What was worked out for this.
    pub fn get<T: Send + Sync + 'static>(&self, asked: &str) -> Option<Arc<T>> {
        let mut all = self.all();
        let at = all.iter().position(|(other, _)| other == asked)?;
        let kept = all.remove(at);
        let found = Arc::clone(&kept.1);
        all.push(kept);
        found.downcast().ok()
    }

    /// Keeps what was worked out.
    pub fn keep<T: Send + Sync + 'static>(&self, asked: String, answer: &Arc<T>) {
        let mut all = self.all();
        all.retain(|(other, _)| *other != asked);
        if all.len() >= MOST {
            all.remove(0);
        }
        let answer: Arc<dyn Any + Send + Sync> = Arc::<T>::clone(answer);
        all.push((asked, answer));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_asked_for_stays_and_the_oldest_goes() {
        let known = Known::default();
        for i in 0..MOST {
            known.keep(i.to_string(), &Arc::new(i));
        }
        assert_eq!(known.get::<usize>("0").as_deref(), Some(&0));
        known.keep("more".to_owned(), &Arc::new(0_usize));
        assert_eq!(known.get::<usize>("1"), None);
        assert_eq!(known.get::<usize>("0").as_deref(), Some(&0));
        assert_eq!(known.get::<String>("0"), None);
    }
}
