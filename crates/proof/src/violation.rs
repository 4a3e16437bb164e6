//! What a plan got wrong.

use thiserror::Error;

use crate::named::{Named, Wall};

/// One rule that a plan breaks. Lengths in mm, masses in g; the sentence says what is wrong, where,
/// and what would be right.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum Violation {
    /// A figure that no parcel can have: not finite, not positive, out of range.
    #[error("{place} is {found}; it should be {wanted}")]
    BadFigure {
        /// Which figure.
        place: String,
        /// What it is, as text (it may not be a number).
        found: String,
        /// What would be right.
        wanted: &'static str,
    },
    /// A rule broken in the carton that travels inside.
    #[error("in the inner carton: {violation}")]
    InInner {
        /// The rule.
        violation: Box<Violation>,
    },
    /// A box in a box whose outer box holds something else than the inner one as its only bundle.
    #[error(
        "the outer carton holds {found}; it should hold the inner carton alone, as one block of its outside"
    )]
    InnerNotAlone {
        /// What it holds.
        found: String,
    },
    /// The bundle that is the inner carton has not its size.
    #[error("the inner carton is {stated_mm:?} mm outside and is placed as a block of {placed_mm:?} mm")]
    InnerSize {
        /// Outside of the inner carton, mm.
        stated_mm: [f64; 3],
        /// Block that was placed, mm.
        placed_mm: [f64; 3],
    },
    /// The bundle that is the inner carton does not weigh what that weighs.
    #[error("the inner carton weighs {inner_g:.1} g packed and counts as {placed_g:.1} g")]
    InnerMass {
        /// Gross mass of the inner carton, g.
        inner_g: f64,
        /// Mass of the bundle, g.
        placed_g: f64,
    },
    /// The bundle that is the inner carton does not hold what that holds.
    #[error("the inner carton does not hold what the outer one says it does")]
    InnerContents,
    /// A box in a box in a box.
    #[error("the inner carton holds a further carton; one within another is the most")]
    InnerTooDeep,
    /// Bundle or layer numbers that do not count up from 1.
    #[error("{place} has number {found}; it should be {wanted}")]
    Numbering {
        /// Which place in which list.
        place: String,
        /// The number there.
        found: u32,
        /// The number that belongs there.
        wanted: usize,
    },
    /// A layer whose list is not the bundles that say they lie in it.
    #[error("layer {layer} lists bundles {listed:?}, but bundles {lying:?} lie in it")]
    LayerList {
        /// The layer.
        layer: u32,
        /// Bundles it lists.
        listed: Vec<u32>,
        /// Bundles that name it, in the order of loading.
        lying: Vec<u32>,
    },
    /// A layer's stated height is not where its wrapped bundles are.
    #[error("layer {layer} is stated to have its {end} at {stated_mm:.2} mm; it is at {actual_mm:.2} mm")]
    LayerHeight {
        /// The layer.
        layer: u32,
        /// "bottom" or "top".
        end: &'static str,
        /// Stated height, mm.
        stated_mm: f64,
        /// Recomputed height, mm.
        actual_mm: f64,
    },
    /// Two bundles' hard parts are nearer than their separation, or overlap.
    #[error(
        "{a} and {b} are {distance_mm:.3} mm apart, hard part to hard part; {required_mm:.3} mm are required"
    )]
    TooClose {
        /// The one.
        a: Named,
        /// The other.
        b: Named,
        /// Their distance, mm; 0 when they overlap.
        distance_mm: f64,
        /// The least allowed, mm.
        required_mm: f64,
    },
    /// Two bundles keep their separation but press their wraps too far.
    #[error(
        "the wraps of {a} and {b} are pressed too far: {distance_mm:.3} mm lie between their hard parts; \
         the wraps need {required_mm:.3} mm"
    )]
    WrapPressed {
        /// The one.
        a: Named,
        /// The other.
        b: Named,
        /// Their distance, mm.
        distance_mm: f64,
        /// What the wraps need, mm.
        required_mm: f64,
    },
    /// A hard part is too near a wall, the floor or the top, or beyond it.
    #[error("{bundle} is {distance_mm:.3} mm from {wall}; {required_mm:.3} mm are required")]
    TooNearWall {
        /// The bundle.
        bundle: Named,
        /// The face.
        wall: Wall,
        /// Distance, mm; negative beyond it.
        distance_mm: f64,
        /// The least allowed, mm.
        required_mm: f64,
    },
    /// A bundle keeps its clearance to a wall but presses its wrap too far there.
    #[error(
        "the wrap of {bundle} is pressed too far at {wall}: its hard part is {distance_mm:.3} mm away; \
         the wrap needs {required_mm:.3} mm"
    )]
    WrapPressedAtWall {
        /// The bundle.
        bundle: Named,
        /// The face.
        wall: Wall,
        /// Distance, mm.
        distance_mm: f64,
        /// What the wrap needs, mm.
        required_mm: f64,
    },
    /// A stated distance to the carton is more than the true one.
    #[error("{bundle} is stated to be {stated_mm:.3} mm from the {face}; it is {actual_mm:.3} mm")]
    WallFigure {
        /// The bundle.
        bundle: Named,
        /// "side walls", "floor" or "top".
        face: &'static str,
        /// Stated, mm.
        stated_mm: f64,
        /// Recomputed, mm.
        actual_mm: f64,
    },
    /// A stated distance between neighbours, or the distance required of them, is not the true one.
    #[error("the {figure} distance of {a} and {b} is stated as {stated_mm:.3} mm; it is {actual_mm:.3} mm")]
    ClearanceFigure {
        /// The one.
        a: Named,
        /// The other.
        b: Named,
        /// "actual" or "required".
        figure: &'static str,
        /// Stated, mm.
        stated_mm: f64,
        /// Recomputed, mm.
        actual_mm: f64,
    },
    /// A clearance that names no pair of bundles in one layer.
    #[error("a clearance is stated between bundles {a} and {b}, which are not two bundles in one layer")]
    ClearanceOfNone {
        /// The one number.
        a: u32,
        /// The other.
        b: u32,
    },
    /// A stated wrapped solid is not the bare one with its wrap on every face.
    #[error("the wrapped {part} of {bundle} is not its bare solid with {wrap_mm:.2} mm on every face")]
    GrownSolid {
        /// The bundle.
        bundle: Named,
        /// The part's word.
        part: &'static str,
        /// The stated wrap, mm.
        wrap_mm: f64,
    },
    /// The way up and yaw that a packer reads are not the placement that was checked.
    #[error(
        "{bundle} is stated {way_up}, turned {yaw_deg:.1} degrees; its placement is {off_deg:.2} degrees off that"
    )]
    Turn {
        /// The bundle.
        bundle: Named,
        /// Stated way up, in words.
        way_up: &'static str,
        /// Stated yaw, degrees.
        yaw_deg: f64,
        /// Angle between the two, degrees.
        off_deg: f64,
    },
    /// Pads are not numbered 1, 2, ... from the floor up.
    #[error("the pad in place {place} from the floor has number {found}; it should have {place}")]
    PadNumber {
        /// Its place from the floor, from 1.
        place: usize,
        /// Its number.
        found: u32,
    },
    /// A pad stands for a layer that is not there.
    #[error("pad {pad} lies above layer {layer}, which the parcel does not have")]
    PadOfNoLayer {
        /// The pad.
        pad: u32,
        /// The layer it names.
        layer: u32,
    },
    /// A pad lies outside the carton.
    #[error("pad {pad} reaches from {bottom_mm:.2} to {top_mm:.2} mm; the inside is {inside_mm:.2} mm high")]
    PadOutside {
        /// The pad.
        pad: u32,
        /// Its underside, mm.
        bottom_mm: f64,
        /// Its top, mm.
        top_mm: f64,
        /// Inside height, mm.
        inside_mm: f64,
    },
    /// Two pads overlap.
    #[error("pad {upper} begins at {bottom_mm:.2} mm, below the top of pad {lower} at {top_mm:.2} mm")]
    PadsOverlap {
        /// The lower pad.
        lower: u32,
        /// The upper pad.
        upper: u32,
        /// Underside of the upper, mm.
        bottom_mm: f64,
        /// Top of the lower, mm.
        top_mm: f64,
    },
    /// A hard part goes into a pad or presses its wrap too far against it.
    #[error("{bundle} keeps {distance_mm:.3} mm from pad {pad}; {required_mm:.3} mm are required")]
    PadPierced {
        /// The bundle.
        bundle: Named,
        /// The pad.
        pad: u32,
        /// Distance of the hard part, mm; negative inside the pad.
        distance_mm: f64,
        /// The least allowed, mm.
        required_mm: f64,
    },
    /// A bundle is said to rest on something its layer cannot rest on.
    #[error("{bundle} in layer {layer} is said to rest on {rest}, which does not carry that layer")]
    WrongRest {
        /// The bundle.
        bundle: Named,
        /// Its layer.
        layer: u32,
        /// What it is said to rest on.
        rest: String,
    },
    /// A bundle hangs over, or is sunk into, what it is said to rest on.
    #[error("{bundle} has its lowest wrapped point at {bottom_mm:.2} mm; {rest} is at {rest_mm:.2} mm")]
    NotResting {
        /// The bundle.
        bundle: Named,
        /// What it is said to rest on.
        rest: String,
        /// Its lowest wrapped point, mm.
        bottom_mm: f64,
        /// The top of what it rests on, mm.
        rest_mm: f64,
    },
    /// A bundle is said to rest on one that is not beneath it and touching it.
    #[error("{bundle} is said to rest on {lower}, which lies nowhere under its base")]
    NotBeneath {
        /// The bundle.
        bundle: Named,
        /// What it is said to rest on.
        lower: Named,
    },
    /// A bundle also rests on one that it does not name.
    #[error("{bundle} also rests on {lower}, which should be named")]
    RestNotNamed {
        /// The bundle.
        bundle: Named,
        /// The one beneath it.
        lower: Named,
    },
    /// Part of a bundle's base hangs over what it is said to rest on.
    #[error(
        "{bundle} rests on {rest}, but {open_mm2:.0} mm2 of its base of {base_mm2:.0} mm2 hang over; all of it should be carried"
    )]
    Overhang {
        /// The bundle.
        bundle: Named,
        /// What it is said to rest on.
        rest: String,
        /// Area of its base that nothing carries, mm2.
        open_mm2: f64,
        /// Area of its base, mm2; 0 when it has no level base.
        base_mm2: f64,
    },
    /// A bundle rests on one that may not bear a load.
    #[error("{bundle} rests on {lower}, which may bear no load")]
    BundleBearsNoLoad {
        /// The bundle.
        bundle: Named,
        /// The one beneath it.
        lower: Named,
    },
    /// A bundle rests on one that is loaded after it.
    #[error("{bundle} rests on {lower}, which should be loaded before it")]
    RestsOnLater {
        /// The bundle.
        bundle: Named,
        /// The one beneath it.
        lower: Named,
    },
    /// A pad touches nothing beneath it.
    #[error("pad {pad} has its underside at {bottom_mm:.2} mm; what it should lie on ends at {top_mm:.2} mm")]
    PadNotCarried {
        /// The pad.
        pad: u32,
        /// Its underside, mm.
        bottom_mm: f64,
        /// The highest thing it should lie on, mm.
        top_mm: f64,
    },
    /// A bundle beneath a pad stands above its underside.
    #[error("{bundle} reaches {top_mm:.2} mm, above the underside of pad {pad} at {bottom_mm:.2} mm")]
    AbovePad {
        /// The bundle.
        bundle: Named,
        /// The pad.
        pad: u32,
        /// Its highest wrapped point, mm.
        top_mm: f64,
        /// The pad's underside, mm.
        bottom_mm: f64,
    },
    /// A pad lies on a bundle that may not bear a load.
    #[error("pad {pad} lies on {bundle}, which may bear no load")]
    BearsNoLoad {
        /// The pad.
        pad: u32,
        /// The bundle.
        bundle: Named,
    },
    /// The weight above a pad lies outside the area that carries it.
    #[error(
        "the weight on pad {pad} is centred at x {x_mm:.1}, y {y_mm:.1}, {outside_mm:.1} mm outside the bundles that carry it"
    )]
    LoadOffSupport {
        /// The pad.
        pad: u32,
        /// Centre of the weight, mm.
        x_mm: f64,
        /// Centre of the weight, mm.
        y_mm: f64,
        /// Distance outside, mm.
        outside_mm: f64,
    },
    /// A bundle cannot be lowered past one that is already in.
    #[error("{bundle} cannot be lowered to its place: {earlier} is already in its way")]
    LoweringBlocked {
        /// The bundle.
        bundle: Named,
        /// The bundle loaded before it.
        earlier: Named,
    },
    /// A bundle and a pad are loaded in the wrong order.
    #[error("{bundle} and pad {pad} bar each other's way: the lower of the two would be loaded last")]
    PadBlocked {
        /// The bundle.
        bundle: Named,
        /// The pad.
        pad: u32,
    },
    /// The count of pieces is not the order's.
    #[error("{found} x {what} of {find} are packed; the order has {expected}")]
    Count {
        /// Name of the find.
        find: String,
        /// What they are.
        what: String,
        /// How many the order has.
        expected: u64,
        /// How many are packed.
        found: u64,
    },
    /// The gross mass is less than what is known to be in the parcel.
    #[error("the gross mass is {gross_g:.1} g; bundles, carton and fill alone are {known_g:.1} g")]
    GrossTooLow {
        /// Stated gross mass, g.
        gross_g: f64,
        /// Bundles, carton and fill, g.
        known_g: f64,
    },
    /// The gross mass is far more than what is known to be in the parcel.
    #[error(
        "the gross mass is {gross_g:.1} g; bundles, carton and fill are {known_g:.1} g, and more than a quarter over that is an error"
    )]
    GrossTooHigh {
        /// Stated gross mass, g.
        gross_g: f64,
        /// Bundles, carton and fill, g.
        known_g: f64,
    },
    /// The parcel is heavier than the carton's board may carry.
    #[error("the gross mass is {gross_g:.1} g; the carton's board may carry {max_g:.1} g")]
    OverBoard {
        /// Stated gross mass, g.
        gross_g: f64,
        /// The board's limit, g.
        max_g: f64,
    },
    /// A carton no larger outside than inside, or cut down to more than it was.
    #[error(
        "the carton's {side} is {inner_mm:.2} mm inside and {outer_mm:.2} mm {outer}; the second must be larger"
    )]
    CartonSides {
        /// "length", "width" or "height".
        side: &'static str,
        /// Inside as used, mm.
        inner_mm: f64,
        /// What the outer figure is: "outside" or "before it was cut down".
        outer: &'static str,
        /// The outer figure, mm.
        outer_mm: f64,
    },
    /// Breakables and dense hard goods in one carton.
    #[error("{breakable} is breakable and {dense} is dense hard goods; they may not share a carton")]
    Company {
        /// The breakable one.
        breakable: Named,
        /// The dense one.
        dense: Named,
    },
    /// A violation in one of several parcels.
    #[error("parcel {parcel}: {violation}")]
    InParcel {
        /// Its place in the order, from 1.
        parcel: usize,
        /// What is wrong there.
        violation: Box<Violation>,
    },
}
