//! A share of money, in percent.

/// A percentage from 0 to 100.
///
/// ```
/// use listing::Percent;
/// assert_eq!(Percent::new(12.5).map(Percent::share), Some(0.125));
/// assert!(Percent::new(101.0).is_none() && Percent::new(f64::NAN).is_none());
/// ```
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Percent(f64);

impl Percent {
    /// From a figure in percent; `None` below 0, past 100 or when it is no number.
    #[must_use]
    pub fn new(percent: f64) -> Option<Self> {
        // Adding 0 turns -0 into 0, so that it is never written with a sign.
        (0.0..=100.0).contains(&percent).then_some(Self(percent + 0.0))
    }

    /// In percent, from 0 to 100.
    #[must_use]
    pub const fn percent(self) -> f64 {
        self.0
    }

    /// As a ratio, from 0 to 1.
    #[must_use]
    pub const fn share(self) -> f64 {
        self.0 / 100.0
    }
}

impl std::fmt::Display for Percent {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} %", self.0)
    }
}
