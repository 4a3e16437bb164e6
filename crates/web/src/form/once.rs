//! A form that is sent twice does its work once.

use std::collections::VecDeque;
use std::sync::{Mutex, PoisonError};

use maud::{Markup, html};

use super::Filled;

/// Keys remembered; a form that was sent longer ago than this many others is taken as new.
const REMEMBERED: usize = 500;
/// The name of the hidden field.
const NAME: &str = "once";

/// Keys of forms that were sent, with the address their result is at.
#[derive(Debug, Default)]
pub struct Once {
    done: Mutex<VecDeque<(String, String)>>,
}

impl Once {
    /// Does the work of a form unless its key says that it was done, and gives the address of the result.
    ///
    /// The lock is held meanwhile, so that two requests at once do it once: `work` must be quick.
    ///
    /// # Errors
    /// Those of the work; nothing is remembered then.
    pub fn run<E>(&self, filled: &Filled, work: impl FnOnce() -> Result<String, E>) -> Result<String, E> {
        let mut done = self.done.lock().unwrap_or_else(PoisonError::into_inner);
        let key = filled.text(NAME).filter(|key| key.len() <= 64);
        if let Some((_, result)) = done.iter().find(|(known, _)| Some(known.as_str()) == key) {
            return Ok(result.clone());
        }
        let result = work()?;
        if let Some(key) = key {
            if done.len() >= REMEMBERED {
                done.pop_front();
            }
            done.push_back((key.to_owned(), result.clone()));
        }
        Ok(result)
    }

    /// Forgets all keys: what they stored is no longer there.
    pub(crate) fn forget(&self) {
        self.done.lock().unwrap_or_else(PoisonError::into_inner).clear();
    }
}

/// The hidden field; its key comes from the server, since a page on plain HTTP has no source of secrets.
#[must_use]
pub fn once_field(key: &str) -> Markup {
    html! { input type="hidden" name=(NAME) value=(key); }
}

#[cfg(test)]
mod tests {
    use super::{NAME, Once};
    use crate::form::Filled;

    #[test]
    fn the_same_key_does_the_work_once_and_gives_the_first_result() {
        let once = Once::default();
        let filled = Filled::default().with(NAME, "k1");
        let mut worked = 0;
        for _ in 0..3 {
            let result = once.run::<()>(&filled, || {
                worked += 1;
                Ok(format!("/result/{worked}"))
            });
            assert_eq!(result, Ok(String::from("/result/1")));
        }
        assert_eq!(worked, 1);
    }

    #[test]
    fn failed_work_may_be_tried_again_and_no_key_is_always_new() {
        let once = Once::default();
        let filled = Filled::default().with(NAME, "k1");
        assert_eq!(once.run(&filled, || Err("full")), Err("full"));
        assert_eq!(once.run::<()>(&filled, || Ok(String::from("/a"))), Ok(String::from("/a")));
        assert_eq!(once.run::<()>(&Filled::default(), || Ok(String::from("/b"))), Ok(String::from("/b")));
        assert_eq!(once.run::<()>(&Filled::default(), || Ok(String::from("/c"))), Ok(String::from("/c")));
    }
}
