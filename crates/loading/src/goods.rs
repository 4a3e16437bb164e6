use crate::LoadError;

/// Longest side of a container or of goods that is taken, in the caller's unit of length.
/// (judgement: twenty metres in millimetres; it keeps every sum of volumes far inside 64 bits.)
pub const LONGEST_SIDE: u32 = 20_000;

/// Most single boxes in one question (judgement: far above any order, keeps the work bounded).
pub const MOST_BOXES: u64 = 20_000;

/// Boxes of one kind.
///
/// ```
/// let books = loading::Goods::new([210, 148, 30], 12).standing_on([false, false, true]);
/// assert_eq!(books.volume(), 210 * 148 * 30);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Goods {
    /// Length, width and height in whole units of the caller's choice, the same unit throughout.
    pub size: [u32; 3],
    /// Which of the three sizes may stand vertically.
    pub upright: [bool; 3],
    /// Whether the other two may change places (a quarter turn about the vertical).
    pub turns: bool,
    /// How many there are.
    pub count: u32,
}

impl Goods {
    /// Boxes that may stand any way up.
    pub const fn new(size: [u32; 3], count: u32) -> Self {
        Self { size, upright: [true; 3], turns: true, count }
    }

    /// The same boxes with only the marked sizes allowed to stand vertically.
    #[must_use]
    pub const fn standing_on(mut self, upright: [bool; 3]) -> Self {
        self.upright = upright;
        self
    }

    /// The same boxes with sizes kept along their own axes: no turning at all.
    #[must_use]
    pub const fn fixed(mut self) -> Self {
        self.upright = [false, false, true];
        self.turns = false;
        self
    }

    /// Volume of one box in cubic units (the largest number there is for sizes beyond all measure).
    pub fn volume(&self) -> u64 {
        self.size.iter().fold(1, |volume: u64, &side| volume.saturating_mul(u64::from(side)))
    }

    /// Every distinct way the box may lie: sizes along the container's length, width and height.
    pub fn ways(&self) -> Vec<[u32; 3]> {
        let [a, b, c] = self.size;
        // With the vertical size last, the first of each pair keeps the order of the other two.
        let all = [([a, b, c], [b, a, c], 2), ([a, c, b], [c, a, b], 1), ([b, c, a], [c, b, a], 0)];
        let mut ways = Vec::new();
        for (kept, turned, vertical) in all {
            if !self.upright[vertical] {
                continue;
            }
            for way in if self.turns { [kept, turned] } else { [kept, kept] } {
                if !ways.contains(&way) {
                    ways.push(way);
                }
            }
        }
        ways
    }
}

/// Refuses sizes and counts that the search does not take.
pub(crate) fn check(container: [u32; 3], goods: &[Goods]) -> Result<(), LoadError> {
    if container.iter().any(|&side| side == 0 || side > LONGEST_SIDE) {
        return Err(LoadError::Container { inside: container });
    }
    for (kind, one) in goods.iter().enumerate() {
        if one.size.iter().any(|&side| side == 0 || side > LONGEST_SIDE) {
            return Err(LoadError::Size { kind, size: one.size });
        }
        if one.upright == [false; 3] {
            return Err(LoadError::NoWayUp { kind });
        }
    }
    let boxes = goods.iter().map(|one| u64::from(one.count)).sum();
    if boxes > MOST_BOXES || goods.len() > usize::from(u16::MAX) {
        return Err(LoadError::TooMany { boxes });
    }
    Ok(())
}
