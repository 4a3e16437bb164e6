/// How much work a search may do, in looks: blocks weighed for a space. It counts work, not time, so the
/// same budget gives the same answer anywhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Budget(u64);

impl Budget {
    /// For a few boxes, or a first idea of many.
    pub const SMALL: Self = Self(1_000_000);
    /// For one container with a hundred boxes.
    pub const MIDDLE: Self = Self(30_000_000);
    /// For a container that is worth waiting for.
    pub const LARGE: Self = Self(300_000_000);

    /// A budget of so many looks.
    pub const fn of_looks(looks: u64) -> Self {
        Self(looks)
    }

    /// The looks.
    pub const fn looks(self) -> u64 {
        self.0
    }
}
