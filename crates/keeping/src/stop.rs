//! Why something can't be done.

use shop::ShopError;

/// Why something can't be done. Nothing was stored then.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Stop {
    /// What was asked or typed is wrong: the message says what, and what would be right.
    #[error("{0}")]
    Input(String),
    /// Something outside failed: the disk, another program.
    #[error("{0}")]
    Outside(String),
}

impl Stop {
    /// A wrong input, from anything that can say what is wrong.
    pub fn input(message: impl ToString) -> Self {
        Self::Input(message.to_string())
    }

    /// The same, told with the option or field that was meant; a failure outside is nobody's field.
    #[must_use]
    pub fn at(self, place: &str) -> Self {
        match self {
            Self::Input(message) => Self::Input(format!("{place}: {message}")),
            Self::Outside(message) => Self::Outside(message),
        }
    }

    /// A failure outside, from anything that can say what it was.
    pub fn outside(message: impl ToString) -> Self {
        Self::Outside(message.to_string())
    }
}

impl From<ShopError> for Stop {
    fn from(error: ShopError) -> Self {
        match error {
            ShopError::Busy
            | ShopError::DiskFull
            | ShopError::ReadOnly
            | ShopError::Damaged { .. }
            | ShopError::Store { .. } => Self::Outside(error.to_string()),
            // The enum is open, and what it says of the future is about what was typed.
            _ => Self::Input(error.to_string()),
        }
    }
}
