//! One mistake and what must be told of it.

/// What is broken, by what, and what must then be told.
pub struct Broken {
    /// Text of the right sheet that is replaced, once.
    pub was: &'static str,
    pub is: &'static str,
    /// A second text that is replaced along with it.
    pub also: Option<(&'static str, &'static str)>,
    pub field: &'static str,
    /// Text at which the problem begins.
    pub at: &'static str,
    /// Words of the message.
    pub says: &'static str,
    /// Words of what would be right.
    pub right: &'static str,
    /// How many problems are told in all.
    pub problems: usize,
}

impl Broken {
    pub const fn problems(self, problems: usize) -> Self {
        Self { problems, ..self }
    }

    pub const fn also(self, was: &'static str, is: &'static str) -> Self {
        Self { also: Some((was, is)), ..self }
    }
}

pub const fn broken(
    was: &'static str,
    is: &'static str,
    field: &'static str,
    at: &'static str,
    says: &'static str,
    right: &'static str,
) -> Broken {
    Broken { was, is, also: None, field, at, says, right, problems: 1 }
}
