//! Ways to land and what holds a margin down, in words.

/// Whether a parcel lands on a face, an edge or a corner.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Landing {
    /// Flat on a face.
    Face,
    /// On an edge, its centre of mass over it.
    Edge,
    /// On a corner, its centre of mass over it.
    Corner,
}

/// Names of the sides at the low and high end of each axis.
const SIDES: [[&str; 2]; 3] = [["left", "right"], ["front", "back"], ["floor", "top"]];

impl Landing {
    /// What a parcel lands on when it strikes these sides: for each axis -1, 0 or +1.
    #[must_use]
    pub fn of(strikes: [i8; 3]) -> Self {
        match strikes.iter().filter(|side| **side != 0).count() {
            0 | 1 => Self::Face,
            2 => Self::Edge,
            _ => Self::Corner,
        }
    }

    /// The place struck, in words ("floor", "left front edge", "left front floor corner").
    #[must_use]
    pub fn words(strikes: [i8; 3]) -> String {
        let mut words: Vec<&str> = strikes
            .iter()
            .zip(SIDES)
            .filter(|(side, _)| **side != 0)
            .map(|(side, names)| names[usize::from(*side > 0)])
            .collect();
        match Self::of(strikes) {
            Self::Face => {}
            Self::Edge => words.push("edge"),
            Self::Corner => words.push("corner"),
        }
        words.join(" ")
    }
}

/// What holds a margin down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// The cushion is loaded as it should be: only more of it helps.
    Thickness,
    /// The piece is too light for so stiff a cushion over so large an area.
    LightLoad {
        /// Static stress, Pa.
        load_pa: f64,
        /// Static stress at which the cushion does best here, Pa.
        best_pa: f64,
    },
    /// The piece is too heavy for so soft a cushion over so small an area.
    HeavyLoad {
        /// Static stress, Pa.
        load_pa: f64,
        /// Static stress at which the cushion does best here, Pa.
        best_pa: f64,
    },
    /// The cushion is pressed solid.
    Bottoms,
    /// Two hard parts meet.
    Meets {
        /// Index of a bundle.
        bundle: usize,
        /// Index of the other.
        other: usize,
    },
}

/// Loads within this factor of the best raise the shock little (judgement: by the stress-energy law, a fifth).
const NEAR_BEST: f64 = 1.8;

impl Limit {
    pub(crate) fn of_load(load_pa: f64, best_pa: Option<f64>) -> Self {
        match best_pa {
            Some(best_pa) if load_pa < best_pa / NEAR_BEST => Self::LightLoad { load_pa, best_pa },
            Some(best_pa) if load_pa > best_pa * NEAR_BEST => Self::HeavyLoad { load_pa, best_pa },
            Some(_) | None => Self::Thickness,
        }
    }

    /// What it is, in words; `label` names a bundle by its index.
    #[must_use]
    pub fn words(&self, label: &dyn Fn(usize) -> String) -> String {
        let psi = |pascal: f64| pascal / 6_894.757;
        match self {
            Self::Thickness => String::from("too little cushion"),
            Self::LightLoad { load_pa, best_pa } => format!(
                "too light for the cushion: {:.3} psi where {:.3} psi does best",
                psi(*load_pa),
                psi(*best_pa)
            ),
            Self::HeavyLoad { load_pa, best_pa } => format!(
                "too heavy for the cushion: {:.3} psi where {:.3} psi does best",
                psi(*load_pa),
                psi(*best_pa)
            ),
            Self::Bottoms => String::from("the cushion is pressed solid"),
            Self::Meets { bundle, other } => format!("{} and {} meet", label(*bundle), label(*other)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Landing;

    #[test]
    fn a_landing_is_named_by_the_sides_it_strikes() {
        assert_eq!(Landing::words([0, 0, -1]), "floor");
        assert_eq!(Landing::words([-1, 1, 0]), "left back edge");
        assert_eq!(Landing::words([1, -1, 1]), "right front top corner");
        assert_eq!(Landing::of([0, 1, 0]), Landing::Face);
    }
}
