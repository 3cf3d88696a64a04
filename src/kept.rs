//! Answers kept while a program runs: dishes of one recipe differ in the name and share the
//! rest, so what is asked about one is asked about the next.
//!
//! An answer must hang on its question alone, to the last bit; then keeping it changes
//! nothing but the time.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

/// Answers to questions, those asked for lately at least.
#[derive(Debug)]
pub struct Kept<Q, A> {
    shelves: Mutex<Shelves<Q, A>>,
    /// Weight that may lie on one shelf.
    most: usize,
}

/// Two shelves: when the first is full, what is on the second goes and the first takes its
/// place. What is found on the second is put on the first again.
#[derive(Debug)]
struct Shelves<Q, A> {
    lately: BTreeMap<Q, A>,
    before: BTreeMap<Q, A>,
    /// Of what is on the first.
    weight: usize,
}

impl<Q: Ord, A: Clone> Kept<Q, A> {
    /// None yet. They may weigh twice `most`, in what unit the asker likes.
    pub const fn new(most: usize) -> Self {
        let shelves =
            Shelves { lately: BTreeMap::new(), before: BTreeMap::new(), weight: 0 };
        Self { shelves: Mutex::new(shelves), most }
    }

    /// The answer to this very question: kept, or made now and then kept.
    pub fn get(
        &self,
        question: Q,
        make: impl FnOnce() -> A,
        weight: impl Fn(&Q, &A) -> usize,
    ) -> A {
        // Not held while an answer is made: it may take long, or ask something itself.
        let held = || self.shelves.lock().unwrap_or_else(PoisonError::into_inner);
        let known = held().find(&question, &weight, self.most);
        known.unwrap_or_else(|| {
            let answer = make();
            let weight = weight(&question, &answer);
            held().put(question, answer.clone(), weight, self.most);
            answer
        })
    }
}

impl<Q: Ord, A: Clone> Shelves<Q, A> {
    fn find(
        &mut self,
        question: &Q,
        weight: impl Fn(&Q, &A) -> usize,
        most: usize,
    ) -> Option<A> {
        if let Some(answer) = self.lately.get(question) {
            return Some(answer.clone());
        }
        let (question, answer) = self.before.remove_entry(question)?;
        let weight = weight(&question, &answer);
        self.put(question, answer.clone(), weight, most);
        Some(answer)
    }

    fn put(&mut self, question: Q, answer: A, weight: usize, most: usize) {
        if weight > most {
            return;
        }
        if self.weight + weight > most {
            self.before = std::mem::take(&mut self.lately);
            self.weight = 0;
        }
        if self.lately.insert(question, answer).is_none() {
            self.weight += weight;
        }
    }
}
