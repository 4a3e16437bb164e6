//! A box in a box: how much larger the outer one is, and when one is called for.

use measure::{Length, Money};

use crate::{CushionRules, Origin};

/// A named rule for the room between the two boxes.
#[derive(Debug, Clone, PartialEq)]
pub struct DoubleBoxRule {
    /// Its name ("carrier").
    pub name: String,
    /// Least room all round the inner box.
    pub least: Length,
    /// Most, where it states a range; else the same.
    pub most: Length,
    /// Whether a profile that takes it takes the high end of its range.
    pub take_most: bool,
    /// The protection profiles that take it, by name.
    pub profiles: Vec<String>,
    /// What it says.
    pub words: String,
    /// Where it comes from.
    pub origin: Origin,
}

impl DoubleBoxRule {
    /// Room all round the inner box: the end of the range that goes with its profiles.
    #[must_use]
    pub fn gap(&self) -> Length {
        if self.take_most { self.most } else { self.least }
    }

    /// Least inside of the outer box for an inner box of this outside size: twice the gap on each side.
    ///
    /// ```
    /// use measure::Length;
    /// use protection::CushionRules;
    ///
    /// let rules = CushionRules::published();
    /// let inner = [8.0, 8.0, 6.0].map(Length::from_inches);
    /// let outer = rules.double_box("carrier")?.outer_inside(inner);
    /// assert_eq!(outer.map(|side| side.inches().round()), [14.0, 14.0, 12.0]);
    /// # Ok::<(), protection::ProtectionError>(())
    /// ```
    #[must_use]
    pub fn outer_inside(&self, inner_outside: [Length; 3]) -> [Length; 3] {
        inner_outside.map(|side| side + self.gap() * 2.0)
    }

    /// Whether an inner box of this outside size has the room it asks for in an outer box of this inside,
    /// side by side as given.
    #[must_use]
    pub fn fits(&self, inner_outside: [Length; 3], outer_inside: [Length; 3]) -> bool {
        self.outer_inside(inner_outside)
            .into_iter()
            .zip(outer_inside)
            .all(|(needed, has)| needed.mm() <= has.mm() + SLACK_MM)
    }
}

/// What a side may miss the rule by and still keep it, mm: rounding of unit conversion.
const SLACK_MM: f64 = 1e-6;

/// Why a second box is called for.
#[derive(Debug, Clone, PartialEq)]
pub enum DoubleBoxReason {
    /// A piece bears no more than this.
    Fragile {
        /// Fragility of the weakest piece, G.
        weakest_g: f64,
        /// From here down a second box is called for, G.
        at_most_g: f64,
    },
    /// The parcel is worth this much.
    HighValue {
        /// What it is worth.
        value: Money,
        /// From here up a second box is called for.
        from: Money,
    },
    /// The carton was used before.
    Reused,
}

impl DoubleBoxReason {
    /// The reason in words.
    #[must_use]
    pub fn text(&self) -> String {
        match self {
            Self::Fragile { weakest_g, at_most_g } => {
                format!(
                    "the weakest piece bears {weakest_g:.0} G, and {at_most_g:.0} G or less wants a second box"
                )
            }
            Self::HighValue { value, from } => {
                format!("it is worth {}, and {} or more wants a second box", value.write(), from.write())
            }
            Self::Reused => "the carton was used before".to_owned(),
        }
    }
}

/// Why a parcel should go in two boxes; none when one will do.
///
/// `weakest_g` is the lowest fragility of its pieces in multiples of g, `None` when it isn't known; one that
/// is no number counts as the weakest there is.
///
/// Source: judgement, beside a carrier's advice to double-box fragile goods (see [`CushionRules`]).
#[must_use]
pub fn double_box_reasons(
    weakest_g: Option<f64>,
    value: Option<Money>,
    reused: bool,
    rules: &CushionRules,
) -> Vec<DoubleBoxReason> {
    let at_most_g = rules.fragility_g.value;
    let fragile = weakest_g
        .map(|g| if g.is_nan() { 0.0 } else { g })
        .filter(|g| *g <= at_most_g)
        .map(|weakest_g| DoubleBoxReason::Fragile { weakest_g, at_most_g });
    let from = rules.high_value();
    let dear = value.filter(|value| *value >= from).map(|value| DoubleBoxReason::HighValue { value, from });
    fragile.into_iter().chain(dear).chain(reused.then_some(DoubleBoxReason::Reused)).collect()
}
