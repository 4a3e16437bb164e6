//! The names that sentences use for bundles and for the faces of the carton.

use std::fmt;

use plan::PlacedBundle;

/// A bundle as a packer knows it: its number in the order of loading, and its label.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Named {
    /// Its place in the order of loading, from 1.
    pub number: u32,
    /// What a packer calls it.
    pub label: String,
}

impl Named {
    pub(crate) fn of(bundle: &PlacedBundle) -> Self {
        Self { number: bundle.number, label: bundle.label.clone() }
    }
}

impl fmt::Display for Named {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "bundle {} ({})", self.number, self.label)
    }
}

/// A face of the carton's inside.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Wall {
    /// The side wall at x = 0.
    XLow,
    /// The side wall at the inside length.
    XHigh,
    /// The side wall at y = 0.
    YLow,
    /// The side wall at the inside width.
    YHigh,
    /// The floor.
    Floor,
    /// The closed top.
    Top,
}

impl fmt::Display for Wall {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Self::XLow => "the wall at x = 0",
            Self::XHigh => "the wall at the end of x",
            Self::YLow => "the wall at y = 0",
            Self::YHigh => "the wall at the end of y",
            Self::Floor => "the floor",
            Self::Top => "the top",
        })
    }
}
