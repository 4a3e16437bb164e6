//! What turns up in a made-up year, and the dice that decide it.

/// A generator of numbers: SplitMix64 (Steele, Lea and Flood, Fast splittable pseudorandom number generators, 2014).
pub struct Dice(pub u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A whole number from `least` to `most`, both counted.
    pub fn between(&mut self, least: i64, most: i64) -> i64 {
        let span = u64::try_from(most - least).unwrap_or(0) + 1;
        least + i64::try_from(self.next() % span).unwrap_or(0)
    }

    /// True so many times in a hundred.
    pub fn chance(&mut self, percent: i64) -> bool {
        self.between(1, 100) <= percent
    }

    /// One of a list.
    pub fn of<'a, T>(&mut self, list: &'a [T]) -> Option<&'a T> {
        let at = self.between(0, i64::try_from(list.len()).unwrap_or(1).max(1) - 1);
        list.get(usize::try_from(at).unwrap_or(0))
    }
}

/// A kind of ware.
pub struct Ware {
    /// Its form.
    pub form: &'static str,
    /// What it is called.
    pub words: &'static str,
    /// Least and most pieces.
    pub pieces: (i64, i64),
    /// Least and most cents that a piece brings.
    pub cents: (i64, i64),
    /// Weight of a piece in ounces.
    pub ounces: f64,
    /// Minutes to pack a piece.
    pub minutes: u32,
}

/// What turns up (judgement, from usual weights of such forms).
pub const WARES: [Ware; 9] = [
    Ware {
        form: "dinner_plate_porcelain",
        words: "dinner plates, gold rim",
        pieces: (4, 10),
        cents: (700, 1200),
        ounces: 20.0,
        minutes: 4,
    },
    Ware {
        form: "cereal_bowl",
        words: "cereal bowls, cream",
        pieces: (4, 9),
        cents: (600, 1100),
        ounces: 13.5,
        minutes: 4,
    },
    Ware {
        form: "diner_mug",
        words: "diner mugs, heavy",
        pieces: (3, 8),
        cents: (900, 1600),
        ounces: 15.5,
        minutes: 4,
    },
    Ware {
        form: "pressed_goblet",
        words: "pressed goblets, clear",
        pieces: (4, 8),
        cents: (800, 1500),
        ounces: 10.0,
        minutes: 6,
    },
    Ware {
        form: "tea_cup",
        words: "tea cups, sprigged",
        pieces: (4, 8),
        cents: (500, 1000),
        ounces: 4.5,
        minutes: 4,
    },
    Ware {
        form: "juice_glass",
        words: "juice glasses, banded",
        pieces: (4, 8),
        cents: (400, 800),
        ounces: 4.5,
        minutes: 3,
    },
    Ware {
        form: "pitcher_2qt",
        words: "ironstone pitcher",
        pieces: (1, 2),
        cents: (2200, 3800),
        ounces: 50.0,
        minutes: 12,
    },
    Ware {
        form: "skillet_8",
        words: "No. 8 skillet",
        pieces: (1, 1),
        cents: (3500, 5200),
        ounces: 71.0,
        minutes: 8,
    },
    Ware {
        form: "book_hardback",
        words: "cookery books",
        pieces: (3, 6),
        cents: (300, 700),
        ounces: 24.0,
        minutes: 2,
    },
];

/// Where it is bought.
pub const PLACES: [&str; 5] =
    ["parish hall", "school fair", "barn sale", "thrift shelf by the mill", "estate sale, river road"];
