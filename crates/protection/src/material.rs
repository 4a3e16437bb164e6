//! One material: what it measures, weighs and costs, and what using some of it comes to.

use measure::{Area, Length, Mass, Volume};
use plan::MaterialUse;

use crate::{Figure, Origin, ProtectionError};

/// How a material is stocked and counted.
#[derive(Debug, Clone, PartialEq)]
pub enum Stock {
    /// Soft sheets, used whole.
    Sheet {
        /// Thickness of one layer as wrapped, in.
        thickness_in: Figure,
        /// Sides of the stock sheet, in.
        sides_in: [f64; 2],
        /// Where the sides come from.
        sides_origin: Origin,
        /// Mass of one layer, oz per ft2.
        density_oz_ft2: Figure,
        /// Cost, dollars per ft2.
        cost_ft2: Figure,
        /// Bulk density when crumpled into a hollow, lb per ft3; `None` when it does not stuff.
        crumpled_lb_ft3: Option<Figure>,
    },
    /// Stiff board, cut to size.
    Board {
        /// Thickness of one layer, in.
        thickness_in: Figure,
        /// Mass, oz per ft2.
        density_oz_ft2: Figure,
        /// Cost, dollars per ft2.
        cost_ft2: Figure,
    },
    /// Slit foam tube, cut to length.
    Tube {
        /// Thickness of its wall, in.
        thickness_in: Figure,
        /// Mass, oz per inch of length.
        mass_oz_in: Figure,
        /// Cost, dollars per inch of length.
        cost_in: Figure,
    },
    /// Loose fill, poured.
    Fill {
        /// Bulk density, lb per ft3.
        density_lb_ft3: Figure,
        /// Cost, dollars per ft3.
        cost_ft3: Figure,
    },
    /// Carton tape.
    Tape {
        /// Mass, oz per yard.
        mass_oz_yd: Figure,
        /// Cost, dollars per yard.
        cost_yd: Figure,
    },
    /// A label.
    Label {
        /// Mass of one, oz.
        mass_oz: Figure,
        /// Cost of one, dollars.
        cost_each: Figure,
    },
}

impl Stock {
    /// The word in data files.
    #[must_use]
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Sheet { .. } => "sheet",
            Self::Board { .. } => "board",
            Self::Tube { .. } => "tube",
            Self::Fill { .. } => "fill",
            Self::Tape { .. } => "tape",
            Self::Label { .. } => "label",
        }
    }
}

/// A material with its figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Material {
    /// Its key in the materials file ("bubble_small").
    pub id: String,
    /// What a packer calls it ("bubble 3/16 in").
    pub name: String,
    /// How it is stocked.
    pub stock: Stock,
}

/// Whole cents, rounded up: costs err against hope, arithmetic noise does not count.
fn cents(dollars: f64) -> i64 {
    // Figures and quantities are bounded where they are read, far inside the range of i64.
    (dollars * 100.0 - 1e-6).ceil().max(0.0) as i64
}

impl Material {
    /// Thickness of one layer; `None` for what does not wrap.
    #[must_use]
    pub fn layer(&self) -> Option<Length> {
        match &self.stock {
            Stock::Sheet { thickness_in, .. }
            | Stock::Board { thickness_in, .. }
            | Stock::Tube { thickness_in, .. } => Some(Length::from_inches(thickness_in.value)),
            Stock::Fill { .. } | Stock::Tape { .. } | Stock::Label { .. } => None,
        }
    }

    fn used(&self, name: String, quantity: f64, unit: &str, mass: Mass, dollars: f64) -> MaterialUse {
        MaterialUse {
            material: name,
            quantity,
            unit: unit.to_owned(),
            mass_g: mass.grams(),
            cost_cents: cents(dollars),
        }
    }

    pub(crate) fn unsuitable(&self, used_as: &'static str, right: &'static str) -> ProtectionError {
        ProtectionError::Unsuitable {
            place: "the materials".to_owned(),
            material: self.name.clone(),
            used_as,
            right,
        }
    }

    /// So many whole stock sheets; all their mass counts, since offcuts stay in the wrap.
    ///
    /// # Errors
    /// When it does not come in sheets.
    pub fn sheets(&self, count: u32) -> Result<MaterialUse, ProtectionError> {
        let Stock::Sheet { sides_in: [a, b], density_oz_ft2, cost_ft2, .. } = &self.stock else {
            return Err(self.unsuitable("sheets", "a material of kind \"sheet\""));
        };
        let ft2 = f64::from(count) * a * b / 144.0;
        let mass = Mass::from_ounces(ft2 * density_oz_ft2.against_hope());
        let name = format!("{}, {a} x {b} sheet", self.name);
        Ok(self.used(name, f64::from(count), "sheet", mass, ft2 * cost_ft2.against_hope()))
    }

    /// Whole stock sheets crumpled into a hollow of this volume, at least one.
    ///
    /// # Errors
    /// When it does not stuff.
    pub fn stuffing(&self, hollow: Volume) -> Result<MaterialUse, ProtectionError> {
        let Stock::Sheet { sides_in: [a, b], density_oz_ft2, crumpled_lb_ft3: Some(crumpled), .. } =
            &self.stock
        else {
            return Err(self.unsuitable("stuffing", "a sheet with crumpled_lb_ft3"));
        };
        let needed_oz = hollow.cubic_feet() * crumpled.against_hope() * 16.0;
        let sheet_oz = a * b / 144.0 * density_oz_ft2.value;
        self.sheets(whole(needed_oz / sheet_oz).max(1))
    }

    /// Board cut to this area.
    ///
    /// # Errors
    /// When it is not a board.
    pub fn board(&self, area: Area) -> Result<MaterialUse, ProtectionError> {
        let Stock::Board { density_oz_ft2, cost_ft2, .. } = &self.stock else {
            return Err(self.unsuitable("a pad", "a material of kind \"board\""));
        };
        let ft2 = area.square_feet();
        let mass = Mass::from_ounces(ft2 * density_oz_ft2.against_hope());
        Ok(self.used(self.name.clone(), ft2, "ft2", mass, ft2 * cost_ft2.against_hope()))
    }

    /// Tube cut to this length.
    ///
    /// # Errors
    /// When it is not a tube.
    pub fn tube(&self, length: Length) -> Result<MaterialUse, ProtectionError> {
        let Stock::Tube { mass_oz_in, cost_in, .. } = &self.stock else {
            return Err(self.unsuitable("a sleeve", "a material of kind \"tube\""));
        };
        let inches = length.inches();
        let mass = Mass::from_ounces(inches * mass_oz_in.against_hope());
        Ok(self.used(self.name.clone(), inches, "in", mass, inches * cost_in.against_hope()))
    }

    /// Loose fill of this volume; its mass is counted at the high end of its bulk density.
    ///
    /// # Errors
    /// When it is not a fill.
    pub fn poured(&self, volume: Volume) -> Result<MaterialUse, ProtectionError> {
        let Stock::Fill { density_lb_ft3, cost_ft3 } = &self.stock else {
            return Err(self.unsuitable("void fill", "a material of kind \"fill\""));
        };
        let ft3 = volume.cubic_feet();
        let mass = Mass::from_pounds(ft3 * density_lb_ft3.against_hope());
        Ok(self.used(self.name.clone(), ft3, "ft3", mass, ft3 * cost_ft3.against_hope()))
    }

    /// Tape of this length.
    ///
    /// # Errors
    /// When it is not a tape.
    pub fn tape(&self, length: Length) -> Result<MaterialUse, ProtectionError> {
        let Stock::Tape { mass_oz_yd, cost_yd } = &self.stock else {
            return Err(self.unsuitable("tape", "a material of kind \"tape\""));
        };
        let yards = length.inches() / 36.0;
        let mass = Mass::from_ounces(yards * mass_oz_yd.against_hope());
        Ok(self.used(self.name.clone(), length.inches(), "in", mass, yards * cost_yd.against_hope()))
    }

    /// So many labels.
    ///
    /// # Errors
    /// When it is not a label.
    pub fn labels(&self, count: u32) -> Result<MaterialUse, ProtectionError> {
        let Stock::Label { mass_oz, cost_each } = &self.stock else {
            return Err(self.unsuitable("a label", "a material of kind \"label\""));
        };
        let count = f64::from(count);
        let mass = Mass::from_ounces(count * mass_oz.against_hope());
        Ok(self.used(self.name.clone(), count, "piece", mass, count * cost_each.against_hope()))
    }
}

/// The next whole number, arithmetic noise aside.
pub(crate) fn whole(count: f64) -> u32 {
    // Lengths and areas are bounded where pieces are taken in, so that the cast never saturates.
    (count - 1e-9).ceil().max(0.0) as u32
}

#[cfg(test)]
mod tests {
    use super::{cents, whole};

    #[test]
    fn noise_costs_no_cent_and_takes_no_sheet() {
        assert_eq!(cents(0.1 + 0.2), 30);
        assert_eq!(cents(0.301), 31);
        assert_eq!(whole(2.0 + 1e-12), 2);
        assert_eq!(whole(2.1), 3);
    }
}
