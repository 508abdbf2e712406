//! What was worked out already, as long as nothing in the folder changes: a slider that changes a price
//! does not simulate anew.

use std::any::Any;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// Answers that are kept; the one that was not asked for longest makes room.
const MOST: usize = 12;

/// An answer by what was asked, and what was said of the files while it was worked out.
#[derive(Debug)]
struct Kept {
    asked: String,
    answer: Arc<dyn Any + Send + Sync>,
    said: Vec<String>,
}

/// Answers by what was asked.
#[derive(Debug, Default)]
pub struct Known(Mutex<Vec<Kept>>);

impl Known {
    fn all(&self) -> MutexGuard<'_, Vec<Kept>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// What was worked out for this, and what was said meanwhile.
    pub fn get<T: Send + Sync + 'static>(&self, asked: &str) -> Option<(Arc<T>, Vec<String>)> {
        let mut all = self.all();
        let at = all.iter().position(|kept| kept.asked == asked)?;
        let kept = all.remove(at);
        let found = (Arc::clone(&kept.answer), kept.said.clone());
        all.push(kept);
        Some((found.0.downcast().ok()?, found.1))
    }

    /// Keeps what was worked out, with what was said meanwhile.
    pub fn keep<T: Send + Sync + 'static>(
        &self,
        asked: String,
        answer: &Arc<T>,
        said: Vec<String>,
    ) {
        let mut all = self.all();
        all.retain(|kept| kept.asked != asked);
        if all.len() >= MOST {
            all.remove(0);
        }
        all.push(Kept {
            asked,
            answer: Arc::<T>::clone(answer),
            said,
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_asked_for_stays_and_the_oldest_goes() {
        let known = Known::default();
        for i in 0..MOST {
            known.keep(i.to_string(), &Arc::new(i), vec![format!("said of {i}")]);
        }
        let first = || Some((Arc::new(0_usize), vec!["said of 0".to_owned()]));
        assert_eq!(known.get::<usize>("0"), first());
        known.keep("more".to_owned(), &Arc::new(0_usize), Vec::new());
        assert_eq!(known.get::<usize>("1"), None);
        assert_eq!(known.get::<usize>("0"), first());
        assert_eq!(known.get::<String>("0"), None);
    }
}
