//! Drawings: a packed parcel as a plain workshop drawing, and the steps of packing it as sentences.
//!
//! [`parcel_svg`] draws every layer from above and the stack from the front, all to one scale, with a
//! table of what is where; [`steps`] says the same in the order in which hands do it. Both read only
//! the public record of the parcel ([`plan::Parcel`]); nothing is searched or decided here. The method
//! and its limits are in `docs/drawing.md`.
//!
//! [`layer_svg`] and [`front_svg`] are single views of the same drawing, for a small screen; [`piece_svg`] draws a
//! bare piece with its measures, so that the form in which they are typed can't be misread.
//!
//! Charts: [`price_chart_svg`] and [`price_plot`] show what lots of each size are worth with the comps
//! beside them, [`split_bars_svg`] and [`split_bars`] compare ways to split a find, [`shock_chart_svg`] and
//! [`shock_plot`] show the shock behind cushions over the load on them; each as a drawing and as plain text
//! for a terminal. [`ladder_steps_svg`] draws what postage orders of 1, 2, ... lots come to, and
//! [`amount_bars_svg`] compares amounts. They know no other room: their records are defined here.
//!
//! ```
//! use measure::Units;
//!
//! # let parcel = plan::Parcel {
//! #     carton: plan::Carton { name: "10 x 8 x 6".into(), inside_mm: [254.0, 203.0, 152.0],
//! #         outside_mm: [260.0, 209.0, 164.0], cut_down_from_mm: None, tare_g: 180.0,
//! #         max_gross_g: 9000.0, board: "single wall".into() },
//! #     crush: plan::Crush { sideways: 0.0 }, layers: vec![], pads: vec![], bundles: vec![],
//! #     clearances: vec![],
//! #     fill: plan::Fill { material: "loose fill".into(), volume_mm3: 7e6, mass_g: 30.0, bed_mm: 50.8 },
//! #     materials: vec![], minutes: plan::Minutes { wrapping: 0.0, boxing: 2.0 }, gross_g: 210.0, inner: None };
//! let svg = draw::parcel_svg(&parcel, "Order 12", Units::UsCustomary);
//! assert!(svg.starts_with("<svg"));
//! let steps = draw::steps(&parcel, Units::UsCustomary);
//! assert!(steps.iter().any(|step| step == "Pour a bed of loose fill 2 in deep and level it."));
//! ```

mod amount_bars;
mod ascii;
mod canvas;
mod clock;
mod dimension;
mod drawing;
mod key;
mod labels;
mod ladder_steps;
mod legend;
mod money_axis;
mod narrow_chart;
mod outline;
mod piece_drawing;
mod plan_view;
mod price_chart;
mod price_plot;
mod rests;
mod scene;
mod shock_chart;
mod shock_plot;
mod side_view;
mod single_view;
mod split_bars;
mod steps;
mod text;
mod written;

pub use amount_bars::{AmountBar, AmountBars, amount_bars_svg};
pub use drawing::parcel_svg;
pub use ladder_steps::{LadderStep, LadderSteps, ladder_steps_svg};
pub use piece_drawing::{PieceFigure, PieceMeasure, piece_svg};
pub use price_chart::{CompMark, CompPrice, LotPrices, PriceChart, PriceLine, price_chart_svg};
pub use price_plot::price_plot;
pub use scene::{SceneBody, scene};
pub use shock_chart::{ShockChart, ShockCurve, shock_chart_svg};
pub use shock_plot::shock_plot;
pub use single_view::{front_svg, layer_svg};
pub use split_bars::{SplitBar, SplitBars, Standing, split_bars, split_bars_svg};
pub use steps::steps;
