use crate::beam::Search;
use crate::exact::{Decision, decide};
use crate::goods::check;
use crate::load::{rule, taste, unpack, widen};
use crate::yard::Yard;
use crate::{Budget, Goods, Load, LoadError, Support};

/// All goods in one container, or `None` when the budget finds no way. `None` is a proof when the volume
/// or a single box is too large, and for up to eight boxes without support when every way to set them
/// apart was gone through within the budget; otherwise it means "not found with this much work". Eight
/// boxes that stay undecided are searched for once more like any others, with the budget again.
///
/// # Errors
/// When a size, a count or a way up can't be searched.
///
/// ```
/// use loading::{Budget, Goods, Support, fits_all};
///
/// let goods = [Goods::new([3, 2, 1], 4)];
/// assert!(fits_all([4, 3, 2], &goods, Support::Full, Budget::SMALL)?.is_some());
/// assert!(fits_all([4, 3, 1], &goods, Support::Full, Budget::SMALL)?.is_none());
/// # Ok::<(), loading::LoadError>(())
/// ```
pub fn fits_all(
    container: [u32; 3],
    goods: &[Goods],
    support: Support,
    budget: Budget,
) -> Result<Option<Load>, LoadError> {
    check(container, goods)?;
    let whole: u64 = container.iter().map(|&side| u64::from(side)).product();
    let mut volume = 0u64;
    let mut boxes = 0;
    for one in goods.iter().filter(|one| one.count > 0) {
        volume = volume.saturating_add(one.volume().saturating_mul(u64::from(one.count)));
        boxes += one.count as usize;
        if !one.ways().iter().any(|way| (0..3).all(|axis| way[axis] <= container[axis])) {
            return Ok(None);
        }
    }
    if volume > whole {
        return Ok(None);
    }
    let mut decided = 0;
    if support == Support::None {
        let (decision, looks) = decide(container, goods, budget.looks());
        match decision {
            Decision::Fits(load) => return Ok(Some(load)),
            Decision::Never => return Ok(None),
            Decision::Open => decided = looks,
        }
    }
    let yard = Yard::new(container, goods, support, None, rule(goods, support), taste(support));
    let mut search = Search::new(&yard);
    widen(&mut search, &mut |looks, _| looks < budget.looks());
    let load = unpack(&yard, &search.best, decided + search.scratch.looks);
    Ok((load.placed.len() == boxes).then_some(load))
}

/// All goods on a base of the given length and width, standing as low as the budget finds; `None` when
/// no load under the ceiling is found. Each of the heights that are tried has the whole budget; for up to
/// eight boxes without support the usual answer is the least height there is.
///
/// # Errors
/// When a size, a count or a way up can't be searched.
pub fn lowest(
    base: [u32; 2],
    ceiling: u32,
    goods: &[Goods],
    support: Support,
    budget: Budget,
) -> Result<Option<Load>, LoadError> {
    let under = |height| fits_all([base[0], base[1], height], goods, support, budget);
    let Some(mut best) = under(ceiling)? else { return Ok(None) };
    let area = (u64::from(base[0]) * u64::from(base[1])).max(1);
    let volume: u64 = goods.iter().map(|one| one.volume() * u64::from(one.count)).sum();
    let mut low = u32::try_from(volume.div_ceil(area)).unwrap_or(u32::MAX).max(1);
    // Halving over what is left to win; a height that is not found counts as too low.
    while low < best.height() {
        let middle = low + (best.height() - low) / 2;
        match under(middle)? {
            Some(lower) => best = lower,
            None => low = middle + 1,
        }
    }
    Ok(Some(best))
}
