//! Made-up prices for tests and for looking at charts.

use draw::{CompMark, CompPrice, LotPrices, PriceChart, PriceLine};

/// A lot whose next sales scatter about `median` by `spread` (a ratio for one of four) and whose median is
/// known to `known` (a ratio).
pub fn lot(pieces: u32, median: f64, spread: f64, known: f64) -> LotPrices {
    LotPrices {
        pieces,
        p10: median / spread / spread,
        p25: median / spread,
        median,
        p75: median * spread,
        p90: median * spread * spread,
        median_least: median / known,
        median_most: median * known,
        leans_on_the_prior: false,
        is_extrapolated: false,
    }
}

/// A comp.
pub fn comp(pieces: u32, price: CompPrice, weight: f64, label: &str) -> CompMark {
    CompMark { pieces, price, weight, label: label.into() }
}

/// A price across all sizes, or for one.
pub fn line(label: &str, pieces: Option<u32>, amount: f64) -> PriceLine {
    PriceLine { label: label.into(), pieces, amount }
}

/// Cups: five sizes, comps of every kind, an ask for each size.
pub fn cups() -> PriceChart {
    let mut lots: Vec<LotPrices> = [(1, 14.8), (2, 25.9), (3, 36.1), (4, 45.4), (6, 63.0)]
        .map(|(pieces, median)| lot(pieces, median, 1.22, 1.13))
        .to_vec();
    if let Some(six) = lots.last_mut() {
        six.is_extrapolated = true;
        six.p90 *= 1.2;
    }
    PriceChart {
        title: "Two-handled consommé cups, stoneware".into(),
        lots,
        comps: vec![
            comp(1, CompPrice::Exact(13.5), 0.9, "chipped foot"),
            comp(1, CompPrice::Exact(17.2), 0.35, ""),
            comp(2, CompPrice::Exact(25.5), 0.95, "pair"),
            comp(2, CompPrice::Between { low: 19.0, high: 31.0 }, 0.7, "offer"),
            comp(2, CompPrice::Below(42.0), 0.5, "unsold"),
            comp(3, CompPrice::Below(48.0), 0.8, ""),
            comp(4, CompPrice::Exact(49.9), 1.0, "four"),
            comp(4, CompPrice::Above(38.0), 0.6, "gone in a day"),
        ],
        lines: vec![
            line("asked", Some(2), 29.0),
            line("asked", Some(4), 52.0),
            line("paid for all", None, 11.0),
        ],
    }
}

/// One size, one comp.
pub fn one_of_each() -> PriceChart {
    PriceChart {
        title: "Pitcher".into(),
        lots: vec![LotPrices { leans_on_the_prior: true, ..lot(1, 32.0, 1.5, 1.4) }],
        comps: vec![comp(1, CompPrice::Exact(28.0), 0.8, "ironstone, two quarts")],
        lines: vec![],
    }
}

/// Three sizes without a comp.
pub fn no_comps() -> PriceChart {
    let lots = [1, 2, 4].map(|n| LotPrices {
        leans_on_the_prior: true,
        is_extrapolated: n == 4,
        ..lot(n, 9.0 * f64::from(n).powf(0.85), 1.7, 1.6)
    });
    PriceChart {
        title: "Goblets, nothing sold yet".into(),
        lots: lots.to_vec(),
        comps: vec![],
        lines: vec![],
    }
}

/// Thirty sizes and three hundred comps with outliers twenty times too high and too low.
pub fn crowd() -> PriceChart {
    let lots = (1..=30)
        .map(|n| LotPrices { is_extrapolated: n > 24, ..lot(n, 8.0 * f64::from(n).powf(0.8), 1.3, 1.05) });
    let comps = (0..300_u32).map(|k| {
        let pieces = 1 + (k * k + 3 * k) % 24;
        let wobble = 1.0 + 0.5 * (f64::from(k) * 2.4).sin();
        let outlier = match k % 100 {
            17 => 20.0,
            53 => 0.05,
            _ => 1.0,
        };
        let at = 8.0 * f64::from(pieces).powf(0.8) * wobble * outlier;
        let price = match k % 7 {
            0 => CompPrice::Below(1.3 * at),
            1 => CompPrice::Between { low: 0.8 * at, high: 1.1 * at },
            2 => CompPrice::Above(0.7 * at),
            _ => CompPrice::Exact(at),
        };
        comp(pieces, price, f64::from(k % 11) / 10.0, "from the list")
    });
    PriceChart {
        title: "Dinner plates from three imports of sold lists, all conditions taken together".into(),
        lots: lots.collect(),
        comps: comps.collect(),
        lines: vec![line("least that pays", None, 12.0), line("asked", None, 13.0)],
    }
}

/// One size with three hundred comps.
pub fn heap() -> PriceChart {
    let mut chart = crowd();
    for comp in &mut chart.comps {
        comp.pieces = 1;
    }
    chart.lots.truncate(1);
    chart.lines.clear();
    chart.title = "One size, many comps".into();
    chart
}

/// From a cent to ten million.
pub fn far_apart() -> PriceChart {
    PriceChart {
        title: "From a cent to ten million".into(),
        lots: vec![lot(1, 0.02, 1.3, 1.2), lot(12, 40.0, 6.0, 2.0), lot(1000, 1e6, 3.0, 1.5)],
        comps: vec![
            comp(1, CompPrice::Exact(0.01), 1.0, "cent"),
            comp(60, CompPrice::Between { low: 3.0, high: 9e4 }, 1.0, "who knows"),
            comp(1000, CompPrice::Above(1e7), 1.0, "vase"),
        ],
        lines: vec![],
    }
}

/// All of them by name.
pub fn all_charts() -> [(&'static str, PriceChart); 6] {
    [
        ("cups", cups()),
        ("one", one_of_each()),
        ("no-comps", no_comps()),
        ("crowd", crowd()),
        ("heap", heap()),
        ("far-apart", far_apart()),
    ]
}
