//! The shock behind cushions over the load on them: the record that the drawing and the plain plot read.

mod sheet;
mod sound;

pub use sheet::shock_chart_svg;
pub(crate) use sound::{CurveMark, ShockSound, load_words, shock_words};

/// What a shock chart shows: a curve of peak shock over static stress for each cushion, what is allowed, and where
/// the piece stands.
///
/// Loads and shocks that are not finite and above 0 cannot be drawn; a curve with less than two points that can
/// is left out and counted in a note, as is every curve past the eighth.
///
/// ```
/// use draw::{ShockChart, ShockCurve};
///
/// let chart = ShockChart {
///     title: "A mug behind 2 in".into(),
///     load_unit: "psi".into(),
///     load: 0.08,
///     allowed_g: 60.0,
///     curves: vec![ShockCurve {
///         name: "loose fill".into(),
///         points: vec![[0.01, 180.0], [0.1, 68.0], [1.0, 260.0]],
///         here: Some(72.0),
///     }],
/// };
/// assert!(draw::shock_chart_svg(&chart).starts_with("<svg"));
/// assert!(draw::shock_plot(&chart, 80).contains("A loose fill"));
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ShockChart {
    /// What is cushioned, by how much; may be empty.
    pub title: String,
    /// Unit of all loads ("psi").
    pub load_unit: String,
    /// Static stress under the piece itself, in that unit.
    pub load: f64,
    /// The most shock that is allowed, multiples of gravity.
    pub allowed_g: f64,
    /// The curves, named by letters in this order.
    pub curves: Vec<ShockCurve>,
}

/// One cushion.
#[derive(Debug, Clone, PartialEq)]
pub struct ShockCurve {
    /// What it is.
    pub name: String,
    /// Load and peak shock (multiples of gravity), in any order.
    pub points: Vec<[f64; 2]>,
    /// Peak shock under the piece's own load, multiples of gravity; `None` where it is hard against hard.
    pub here: Option<f64>,
}
