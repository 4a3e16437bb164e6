//! What is in one lot, kind by kind.

use forms::{BuiltPiece, Form};

use crate::{Flaw, Noun};

/// A kind of piece in a lot.
#[derive(Debug, Clone, PartialEq)]
pub struct Content<'a> {
    /// What it is called.
    pub noun: Noun,
    /// Other names for one of it that a title may use ("bouillon cup").
    pub also: Vec<String>,
    /// How many one lot has, from 1.
    pub per_lot: u32,
    /// How many are in stock for these lots.
    pub stock: u32,
    /// The family it belongs to.
    pub form: &'a Form,
    /// One of it, with the figures it rests on.
    pub built: &'a BuiltPiece,
    /// How much it holds, in words with the unit ("8 fl oz to the brim"), if it was measured.
    pub capacity: Option<String>,
    /// What else its line in the contents says; may be empty.
    pub note: String,
    /// What is wrong with some of them, and how they are marked.
    pub flaws: Vec<Flaw>,
}

impl<'a> Content<'a> {
    /// So many of a piece, all of them in stock for one lot, nothing else said.
    #[must_use]
    pub fn new(noun: Noun, per_lot: u32, form: &'a Form, built: &'a BuiltPiece) -> Self {
        Self {
            noun,
            also: Vec::new(),
            per_lot,
            stock: per_lot,
            form,
            built,
            capacity: None,
            note: String::new(),
            flaws: Vec::new(),
        }
    }

    /// Its line in the contents: "4 cups, two-handled".
    #[must_use]
    pub fn line(&self) -> String {
        let said = self.noun.of(self.per_lot);
        let note = self.note.split_whitespace().collect::<Vec<_>>().join(" ");
        if note.is_empty() { said } else { format!("{said}, {note}") }
    }
}
