//! What the room may ask of the world: the time, secrets, and to have its access record kept.

use std::sync::Arc;

use jiff::Timestamp;
use jiff::civil::Date;

/// A moment and the calendar day it falls on where the person is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Moment {
    /// The instant.
    pub at: Timestamp,
    /// The day, for postage and comps.
    pub day: Date,
}

/// Thirty-two bytes that nobody can guess.
pub type Secret = [u8; 32];

/// Tells the present moment.
pub type Clock = Arc<dyn Fn() -> Moment + Send + Sync>;
/// Gives a fresh secret; an error where the system has none to give.
pub type Secrets = Arc<dyn Fn() -> Result<Secret, String> + Send + Sync>;
/// Keeps a text.
pub type Keeper = Arc<dyn Fn(&str) -> Result<(), String> + Send + Sync>;

/// What the binary hands in, so that nothing here reads a clock, a disk or a source of randomness.
#[derive(Clone)]
pub struct Outside {
    /// The present moment.
    pub now: Clock,
    /// Fresh secrets.
    pub secret: Secrets,
    /// Keeps the access record (text) where [`crate::Access::read`] will be given it again.
    pub keep: Keeper,
}
