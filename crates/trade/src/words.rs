//! The words for a find's listing that no measure gives.

use listing::{Belonging, Maker, Period};

/// What a person says of a find for its listing; empty texts say nothing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Words {
    /// The maker.
    pub maker: Maker,
    /// Pattern or line.
    pub pattern: String,
    /// Size or capacity ("8 oz").
    pub size: String,
    /// Colour.
    pub colour: String,
    /// Decoration.
    pub decoration: String,
    /// Material.
    pub material: String,
    /// Age.
    pub period: Period,
    /// Country.
    pub country: String,
    /// Other words buyers type for the form.
    pub synonyms: Vec<String>,
    /// Why the pieces of a lot are sold together; `None` is judged from the rows.
    pub belonging: Option<Belonging>,
    /// What a buyer might expect and does not get ("saucers").
    pub not_included: Vec<String>,
}
