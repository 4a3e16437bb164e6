/// One box in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Placed {
    /// Which goods: the place in the list that was given, from 0.
    pub kind: usize,
    /// Corner nearest the container's origin: along length, width and height.
    pub at: [u32; 3],
    /// Sizes along length, width and height as the box lies.
    pub lies: [u32; 3],
}

impl Placed {
    /// The corner away from the origin.
    pub fn far(&self) -> [u32; 3] {
        [0, 1, 2].map(|axis| self.at[axis].saturating_add(self.lies[axis]))
    }

    /// Volume in cubic units.
    pub fn volume(&self) -> u64 {
        self.lies.iter().map(|&side| u64::from(side)).product()
    }
}

/// A loaded container.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Load {
    /// Boxes from the bottom up: in this order each can be lowered straight down into its place.
    pub placed: Vec<Placed>,
    /// Volume of the boxes in cubic units.
    pub used_volume: u64,
    /// Work that was spent, in looks (see [`crate::Budget`]).
    pub looks: u64,
}

impl Load {
    pub(crate) fn new(mut placed: Vec<Placed>, looks: u64) -> Self {
        placed.sort_unstable_by_key(|one| (one.at[2], one.at[1], one.at[0]));
        let used_volume = placed.iter().map(Placed::volume).sum();
        Self { placed, used_volume, looks }
    }

    /// How high the load stands.
    pub fn height(&self) -> u32 {
        self.placed.iter().map(|one| one.far()[2]).max().unwrap_or(0)
    }

    /// Share of a container's volume that is filled, from 0 to 1.
    pub fn filled(&self, container: [u32; 3]) -> f64 {
        let whole: u64 = container.iter().map(|&side| u64::from(side)).product();
        if whole == 0 { 0.0 } else { self.used_volume as f64 / whole as f64 }
    }
}
