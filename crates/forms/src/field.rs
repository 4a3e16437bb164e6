//! The figures a form can have, by name.

use measure::{Length, Mass, Volume};

use crate::Value;

/// What kind of quantity a field holds, and so its unit in data files.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Quantity {
    /// Inches in data files.
    Length,
    /// Ounces in data files.
    Mass,
    /// A whole number.
    Count,
    /// Degrees.
    Angle,
    /// Cubic inches in data files.
    Volume,
}

macro_rules! fields {
    ($($(#[$doc:meta])* $variant:ident = $name:literal, $key:literal, $quantity:ident, $example:literal;)+) => {
        /// A figure of a form, or a measure of a piece.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Field { $($(#[$doc])* $variant),+ }

        impl Field {
            /// All of them, in the order in which they are shown.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// Its name in messages, listings and [`crate::Measures`].
            #[must_use]
            pub const fn name(self) -> &'static str {
                match self { $(Self::$variant => $name),+ }
            }

            /// Its key in a forms file: the name with the unit.
            #[must_use]
            pub const fn key(self) -> &'static str {
                match self { $(Self::$variant => $key),+ }
            }

            /// What kind of quantity it is.
            #[must_use]
            pub const fn quantity(self) -> Quantity {
                match self { $(Self::$variant => Quantity::$quantity),+ }
            }

            /// A right example, in the unit of the data files.
            pub(crate) const fn example(self) -> f64 {
                match self { $(Self::$variant => $example),+ }
            }
        }
    };
}

fields! {
    /// Across the body at its widest, without handles.
    Diameter = "diameter", "diameter_in", Length, 3.25;
    /// The longer level side of a block.
    Length = "length", "length_in", Length, 9.5;
    /// The shorter level side of a block.
    Width = "width", "width_in", Length, 6.25;
    /// From the table up to the rim, without the lid; the thickness of what lies flat.
    Height = "height", "height_in", Length, 3.5;
    /// The narrowest diameter, taken to lie half way up.
    WaistDiameter = "waist_diameter", "waist_diameter_in", Length, 2.0;
    /// How many handles, ears or tabs, spread evenly.
    Handles = "handles", "handles", Count, 1.0;
    /// How far a handle stands out beyond the body.
    HandleReach = "handle_reach", "handle_reach_in", Length, 1.1;
    /// A handle across, seen from above.
    HandleWidth = "handle_width", "handle_width_in", Length, 0.6;
    /// A handle from its lower to its upper end.
    HandleHeight = "handle_height", "handle_height_in", Length, 2.5;
    /// From the table up to a handle's lower end.
    HandleBottom = "handle_bottom", "handle_bottom_in", Length, 0.5;
    /// Direction of the first handle, seen from above.
    HandleAngle = "handle_angle", "handle_angle_deg", Angle, 180.0;
    /// How far a spout stands out beyond the body.
    SpoutReach = "spout_reach", "spout_reach_in", Length, 2.0;
    /// A spout across, seen from above.
    SpoutWidth = "spout_width", "spout_width_in", Length, 1.0;
    /// A spout from its lower end up to the rim.
    SpoutHeight = "spout_height", "spout_height_in", Length, 3.0;
    /// A stem across.
    StemDiameter = "stem_diameter", "stem_diameter_in", Length, 0.5;
    /// From the foot up to the bowl.
    StemHeight = "stem_height", "stem_height_in", Length, 2.0;
    /// Across the foot.
    FootDiameter = "foot_diameter", "foot_diameter_in", Length, 3.0;
    /// Thickness of the foot.
    FootHeight = "foot_height", "foot_height_in", Length, 0.25;
    /// Thickness of the wall and the floor of a hollow body.
    Wall = "wall", "wall_in", Length, 0.2;
    /// Space inside to be stuffed, where it isn't the body's own hollow.
    Hollow = "hollow", "hollow_in3", Volume, 40.0;
    /// Across a lid or stopper.
    LidDiameter = "lid_diameter", "lid_diameter_in", Length, 3.5;
    /// A lid from its rim to the top of its knob.
    LidHeight = "lid_height", "lid_height_in", Length, 1.5;
    /// The knob's share of the lid's height.
    KnobHeight = "knob_height", "knob_height_in", Length, 0.75;
    /// A knob across.
    KnobDiameter = "knob_diameter", "knob_diameter_in", Length, 0.9;
    /// Added height of each further nested or stacked bare piece.
    Pitch = "pitch", "pitch_in", Length, 0.4;
    /// One piece, its lid included.
    Weight = "weight", "weight_oz", Mass, 15.5;
    /// The lid alone.
    LidWeight = "lid_weight", "lid_weight_oz", Mass, 4.0;
}

impl Field {
    /// The field with this key in a forms file.
    pub(crate) fn from_key(key: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|field| field.key() == key)
    }

    /// A number of a data file as a value; `None` when a count isn't a whole number from 0 on.
    pub(crate) fn value(self, number: f64) -> Option<Value> {
        match self.quantity() {
            Quantity::Length => Some(Value::Length(Length::from_inches(number))),
            Quantity::Mass => Some(Value::Mass(Mass::from_ounces(number))),
            Quantity::Count => {
                let whole = number.fract() == 0.0 && (0.0..=f64::from(u32::MAX)).contains(&number);
                // The range check above makes the cast exact.
                whole.then_some(Value::Count(number as u32))
            }
            Quantity::Angle => Some(Value::Degrees(number)),
            Quantity::Volume => Some(Value::Volume(Volume::from_cubic_inches(number))),
        }
    }

    /// A number this room reckons with (mm, g, count, degrees, mm3) as a value.
    pub(crate) fn reckoned(self, number: f64) -> Value {
        match self.quantity() {
            Quantity::Length => Value::Length(Length::from_mm(number)),
            Quantity::Mass => Value::Mass(Mass::from_grams(number)),
            // `as` saturates; counts are settled as whole numbers before they get here.
            Quantity::Count => Value::Count(number as u32),
            Quantity::Angle => Value::Degrees(number),
            Quantity::Volume => Value::Volume(Volume::from_mm3(number)),
        }
    }
}
