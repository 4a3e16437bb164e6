//! What a caller knows of a job.

use std::collections::BTreeSet;

use forms::Material;
use measure::{Length, Mass};

use crate::vocabulary::vocabulary;
use crate::{Hazard, Ware};

vocabulary! {
    /// Something that is so in a job.
    Situation {
        /// A carton is cut down.
        CutDown = "cut down",
        /// Board, foam or card is cut to size.
        Cutting = "cutting",
        /// Foam is cut with a hot wire.
        HotWire = "hot wire",
        /// A carton was used before.
        ReusedCarton = "reused carton",
        /// Marks for alcohol, cleaners or dangerous goods show on it.
        MarksShowing = "marks showing",
        /// Loose fill is poured.
        LooseFill = "loose fill",
        /// Plastic bags or film go in.
        Bags = "bags",
        /// A piece is broken.
        BrokenWare = "broken ware",
        /// Dense hard goods and breakables are in one order.
        IronWithGlass = "iron with glass",
        /// The ware is old, its year unknown.
        Vintage = "vintage",
        /// It is for food or drink.
        ForFood = "for food",
        /// It is bought to sell, or listed.
        ForSale = "for sale",
        /// The recall lists were searched.
        RecallChecked = "recall checked",
        /// Goods for children.
        ForChildren = "for children",
    }
}

/// What a caller knows of a job; what it doesn't know it leaves out.
///
/// A mass or a side that is no number is taken for the worst.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Facts {
    /// Mass of the packed parcel.
    pub gross: Option<Mass>,
    /// Outside length, width and height of the parcel.
    pub outside: Option<[Length; 3]>,
    /// What is so.
    pub situations: BTreeSet<Situation>,
    /// Materials of the pieces.
    pub materials: BTreeSet<Material>,
    /// Year the ware was made, or the latest that it may be.
    pub made_in: Option<i32>,
    /// Ceramic or glass ware for which leach limits should be told.
    pub ware: Option<Ware>,
    /// Things in the job that the mail limits, as [`crate::Hazards::in_text`] finds them.
    pub hazards: Vec<Hazard>,
    /// Cautions of the forms of the pieces.
    pub form_cautions: Vec<forms::Caution>,
}
