use crate::beam::{Best, Search};
use crate::block::BlockRule;
use crate::goods::check;
use crate::yard::{Taste, Yard};
use crate::{Budget, Goods, Load, LoadError, Placed};

/// What a box must rest on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Support {
    /// Nothing is asked: boxes may overhang or hang (void fill carries them).
    None,
    /// The whole base rests on the floor or on tops of other boxes.
    Full,
}

/// Fills one container with as much volume as the budget finds.
///
/// The same question with the same budget gives the same load.
///
/// # Errors
/// When a size, a count or a way up can't be searched.
///
/// ```
/// use loading::{Budget, Goods, Support, load};
///
/// let goods = [Goods::new([100, 100, 100], 8), Goods::new([200, 100, 50], 9)];
/// let load = load([200, 200, 300], &goods, Support::Full, Budget::SMALL)?;
/// assert_eq!(load.used_volume, 200 * 200 * 300);
/// # Ok::<(), loading::LoadError>(())
/// ```
pub fn load(
    container: [u32; 3],
    goods: &[Goods],
    support: Support,
    budget: Budget,
) -> Result<Load, LoadError> {
    load_while(container, goods, support, |looks, _| looks < budget.looks())
}

/// As [`load`], asking `go_on(looks so far, best volume so far)` between attempts whether to go on.
///
/// # Errors
/// As [`load`].
pub fn load_while(
    container: [u32; 3],
    goods: &[Goods],
    support: Support,
    mut go_on: impl FnMut(u64, u64) -> bool,
) -> Result<Load, LoadError> {
    check(container, goods)?;
    let yard = Yard::new(container, goods, support, None, rule(goods, support), taste(support));
    let mut search = Search::new(&yard);
    widen(&mut search, &mut go_on);
    Ok(unpack(&yard, &search.best, search.scratch.looks))
}

/// Passes with ever wider beams until told to stop.
pub(crate) fn widen(search: &mut Search<'_>, go_on: &mut impl FnMut(u64, u64) -> bool) {
    let mut width = 1.0f64;
    let mut before = 0;
    loop {
        let beam = width as usize;
        if beam != before && !search.pass(beam, go_on) {
            return;
        }
        before = beam;
        width *= std::f64::consts::SQRT_2;
        if beam > 100_000 {
            return;
        }
    }
}

pub(crate) fn unpack(yard: &Yard, best: &Best, looks: u64) -> Load {
    let mut boxes = Vec::new();
    for (&block, corner) in best.stacked.iter().zip(&best.corners) {
        yard.blocks.unpack(block, corner.0, &yard.kinds, &mut boxes);
    }
    let whole = |sides: [i32; 3]| sides.map(|side| side.unsigned_abs());
    let placed = boxes
        .into_iter()
        .map(|(kind, at, lies)| Placed { kind: usize::from(kind), at: whole(at), lies: whole(lies) })
        .collect();
    Load::new(placed, looks)
}

/// Most blocks in one question (judgement, from trials on the sets BR1-BR7; 2000 to 8000 do about as well).
const MOST_BLOCKS: usize = 4000;
/// Above this many kinds few boxes are alike, and blocks of unlike boxes with a little air are needed.
/// (judgement: between the sets BR7 with 20 kinds and BR8 with 30)
const MANY_KINDS: usize = 25;
/// Least share of a block that is filled when there are many kinds (Fanslau and Bortfeldt 2010).
const LEAST_FILL: f64 = 0.98;
/// Exponent against many small boxes in a block (after Araya, Guerrero and Nunez 2017, from memory).
const AGAINST_MANY: f32 = 0.2;
/// Exponents of the share of surface in contact (the first after the same paper, from memory; the second
/// from trials with full support).
const CONTACT: [i32; 2] = [4, 2];
/// Gap that still counts as contact, as a share of the block's size (judgement, from trials).
const CONTACT_GAP: f32 = 0.02;

pub(crate) fn rule(goods: &[Goods], support: Support) -> BlockRule {
    let least_fill = match support {
        Support::None if goods.len() > MANY_KINDS => LEAST_FILL,
        Support::None | Support::Full => 1.0,
    };
    BlockRule { most: MOST_BLOCKS, least_fill, many: AGAINST_MANY }
}

pub(crate) fn taste(support: Support) -> Taste {
    let contact = match support {
        Support::None => CONTACT[0],
        Support::Full => CONTACT[1],
    };
    Taste { contact, slack: CONTACT_GAP }
}
