//! Answers that were given a moment ago: the same question has the same answer.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

/// Answers remembered: a few people typing, each going back and forth.
const REMEMBERED: usize = 64;

/// The latest answers by their whole question.
#[derive(Debug, Default)]
pub(crate) struct Recent {
    answers: Mutex<VecDeque<(String, Arc<str>)>>,
}

impl Recent {
    /// The answer to this question, if it was given lately.
    pub(crate) fn find(&self, question: &str) -> Option<Arc<str>> {
        let answers = self.answers.lock().unwrap_or_else(PoisonError::into_inner);
        answers.iter().find(|(known, _)| known == question).map(|(_, answer)| Arc::clone(answer))
    }

    /// Remembers an answer.
    pub(crate) fn put(&self, question: String, answer: &str) -> Arc<str> {
        let answer: Arc<str> = Arc::from(answer);
        let mut answers = self.answers.lock().unwrap_or_else(PoisonError::into_inner);
        if answers.len() >= REMEMBERED {
            answers.pop_front();
        }
        answers.push_back((question, Arc::clone(&answer)));
        answer
    }
}
