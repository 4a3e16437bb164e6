//! Protection: how pieces are wrapped, what cartons carry, and what fills the rest.
//!
//! The idea of the room is that a recipe grows the shape: each hard part of a piece gets the thickness
//! of the layers and guards over it, and the search and the checker see nothing else of the wrap. Data
//! files state what materials measure, weigh and cost, each figure with its source; all of it may be
//! overridden.
//!
//! ```
//! use protection::{Materials, PieceToWrap, Profiles, Recipes, protect};
//! use shape::{Company, Part, PartKind, Piece, Placement, Solid};
//!
//! let solid = Solid::Cylinder { radius_mm: 70.0, height_mm: 23.0 };
//! let placement = Placement::at(0.0, 0.0, 11.5);
//! let parts = vec![Part { kind: PartKind::Body, solid, placement, wrap_mm: 0.0 }];
//! let saucer = Piece {
//!     parts,
//!     apart: vec![],
//!     hollow_mm3: 0.0,
//!     mass_g: 156.0,
//!     apart_mass_share: vec![],
//!     pitch_mm: Some(9.0),
//! };
//! let what = PieceToWrap {
//!     find: "cups",
//!     what: "saucer",
//!     piece: &saucer,
//!     company: Company::Breakable,
//!     count: 11,
//! };
//! let (materials, recipes, profiles) = (Materials::published(), Recipes::published(), Profiles::published());
//! let bundles = protect(&what, recipes.find("plate")?, &materials, profiles.find("rule_of_two")?)?;
//! let labels: Vec<&str> = bundles.iter().map(|wrapped| wrapped.bundle.label.as_str()).collect();
//! assert_eq!(labels, ["4 saucers on edge", "4 saucers on edge", "3 saucers on edge"]);
//! # Ok::<(), protection::ProtectionError>(())
//! ```

mod board;
mod board_rules;
mod carton;
mod compression;
mod cushion_rules;
mod double_box;
mod envelope;
mod error;
mod fill;
mod flag;
mod gather;
mod grade;
mod keys;
mod material;
mod materials;
mod mckee;
mod nearest;
mod overlay;
mod profile;
mod protect;
mod recipe;
mod recipes;
mod stacking;
mod stock;
mod strength;
mod wall_rule;

pub use board::{Board, BoardFacts, Limit, Reach, binding, board_check};
pub use board_rules::{BoardRules, ReuseCheck, SizeNote};
pub use carton::{
    blank_area, blank_with_allowances, boxing_minutes, carton, carton_use, cost, outside, pad_use,
    tape_h_seal, tape_one_strip, tare,
};
pub use compression::{BoxStyle, compression_strength, strength_left};
pub use cushion_rules::CushionRules;
pub use double_box::{DoubleBoxReason, DoubleBoxRule, double_box_reasons};
pub use error::ProtectionError;
pub use fill::fill_needed;
pub use flag::{Figure, Flag, Origin};
pub use grade::{CartonGrade, CartonRules, Grades, Wall};
pub use material::{Material, Stock};
pub use materials::Materials;
pub use mckee::{CompressionStrength, Mckee, mckee};
pub use profile::{Cushion, Profile, Profiles};
pub use protect::{PieceToWrap, WrappedBundle, protect};
pub use recipe::{BundleRule, Course, Guard, Heavy, LidRule, Recipe};
pub use recipes::Recipes;
pub use stacking::{LoadAbove, Pattern, StackShare, Stacking, StackingBinds, Storage, stacking};
pub use stock::{StockCarton, StockCartons};
pub use strength::{BoardRefusal, GrossLimit, LimitRule, LoadClass, max_gross};
pub use wall_rule::{AppliesTo, RuleBeside, WallRule};
