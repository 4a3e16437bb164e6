//! What the price charts, drawn and plain, promise.

mod made_up_prices;
mod paper;

use std::collections::BTreeSet;

use draw::{CompPrice, LotPrices, PriceChart, price_chart_svg, price_plot};
use made_up_prices::{all_charts, comp, cups, line, lot};
use paper::{attribute, marks, parsed, words_of};
use proptest::prelude::*;

/// Where the two boxes and the median of a lot stand, px: p90, p75, median, p25, p10 from the top down.
fn levels(svg: &str, pieces: u32) -> [f64; 5] {
    let document = parsed(svg);
    let group =
        marks(&document, "data-lot").find(|node| node.attribute("data-lot") == Some(&pieces.to_string()));
    let group = group.unwrap_or_else(|| panic!("a lot of {pieces}"));
    let rects: Vec<[f64; 2]> = group
        .children()
        .filter(|node| node.tag_name().name() == "rect")
        .map(|rect| [attribute(rect, "y"), attribute(rect, "y") + attribute(rect, "height")])
        .collect();
    let median = group.children().find(|node| node.tag_name().name() == "line").expect("a median");
    [rects[0][0], rects[1][0], attribute(median, "y1"), rects[1][1], rects[0][1]]
}

#[test]
fn every_chart_is_a_standalone_document_with_words_for_who_cannot_see_it() {
    for (name, chart) in all_charts() {
        let svg = price_chart_svg(&chart);
        paper::assert_standalone(name, &svg, &chart.title);
        let document = parsed(&svg);
        let description = paper::description(&document);
        for lot in &chart.lots {
            let pieces = if lot.pieces == 1 { "1 piece:".into() } else { format!("{} pieces:", lot.pieces) };
            assert!(description.contains(&pieces), "{name}: {description}");
        }
    }
}

#[test]
fn nothing_leaves_the_paper_and_no_words_cover_words() {
    for (name, chart) in all_charts() {
        let svg = price_chart_svg(&chart);
        paper::assert_all_inside(name, &svg);
        paper::assert_no_words_overlap(name, &svg);
    }
}

#[test]
fn a_higher_price_stands_higher() {
    for (name, chart) in all_charts() {
        let svg = price_chart_svg(&chart);
        for lot in &chart.lots {
            let levels = levels(&svg, lot.pieces);
            assert!(levels.windows(2).all(|pair| pair[0] < pair[1]), "{name}, {}: {levels:?}", lot.pieces);
        }
    }
}

#[test]
fn every_lot_and_every_comp_is_on_the_chart_once() {
    for (name, chart) in all_charts() {
        let svg = price_chart_svg(&chart);
        let document = parsed(&svg);
        let shown =
            |key: &str| marks(&document, key).filter_map(|node| node.attribute(key)?.parse().ok()).collect();
        let lots: Vec<u32> = shown("data-lot");
        assert_eq!(lots, chart.lots.iter().map(|lot| lot.pieces).collect::<Vec<_>>(), "{name}");
        let comps: Vec<u32> = shown("data-comp");
        assert_eq!(comps.len(), chart.comps.len(), "{name}");
        assert_eq!(comps.into_iter().collect::<BTreeSet<_>>().len(), chart.comps.len(), "{name}");
    }
}

#[test]
fn a_comp_at_the_amount_of_a_tick_stands_on_its_line() {
    for at in [10.0, 20.0, 50.0] {
        let mut chart = cups();
        chart.comps = vec![comp(3, CompPrice::Exact(at), 1.0, "")];
        let svg = price_chart_svg(&chart);
        let document = parsed(&svg);
        let tick = document.descendants().find(|node| node.text() == Some(&format!("{at:.0}")));
        let dot = marks(&document, "data-comp").next().expect("the comp");
        let dot = dot.children().find(|node| node.tag_name().name() == "circle").expect("its dot");
        // The baseline of a tick's words lies 5 px under its line.
        let line = attribute(tick.expect("a tick"), "y") - 5.0;
        assert!((attribute(dot, "cy") - line).abs() < 0.11, "{at}");
    }
}

#[test]
fn a_comp_that_counts_for_more_is_never_fainter() {
    let strengths: Vec<f64> = [f64::NAN, -1.0, 0.0, 0.2, 0.5, 0.9, 1.0, 7.0]
        .into_iter()
        .map(|weight| {
            let chart = PriceChart { comps: vec![comp(2, CompPrice::Exact(9.0), weight, "")], ..cups() };
            let svg = price_chart_svg(&chart);
            let document = parsed(&svg);
            let mark = marks(&document, "data-comp").next().expect("the comp");
            mark.attribute("opacity").map_or(1.0, |words| words.parse().expect("a number"))
        })
        .collect();
    assert!(strengths.windows(2).all(|pair| pair[0] <= pair[1]), "{strengths:?}");
    assert!(
        strengths[2] < strengths[3] && strengths[3] < strengths[5] && strengths[0] > 0.1,
        "{strengths:?}"
    );
}

#[test]
fn the_kinds_of_comps_are_drawn_apart() {
    let shapes = |price| {
        let svg = price_chart_svg(&PriceChart { comps: vec![comp(2, price, 1.0, "")], ..cups() });
        let document = parsed(&svg);
        let mark = marks(&document, "data-comp").next().expect("the comp");
        let shapes = mark.children().filter(|node| node.is_element() && node.tag_name().name() != "title");
        let tip = mark.children().find_map(|node| node.attribute("points").map(str::to_owned));
        (shapes.map(|node| node.tag_name().name().to_owned()).collect::<Vec<_>>(), tip)
    };
    assert_eq!(shapes(CompPrice::Exact(30.0)).0, ["circle"]);
    assert_eq!(shapes(CompPrice::Between { low: 20.0, high: 30.0 }).0, ["line", "line", "line"]);
    let tip = |price| -> [f64; 2] {
        // Of the three corners the tip comes first, then one of the two at the foot.
        let points = shapes(price).1.expect("an arrow head");
        let y = |corner: &str| corner.split(',').nth(1).expect("y").parse::<f64>().expect("a number");
        let corners: Vec<f64> = points.split(' ').map(y).collect();
        [corners[0], corners[1]]
    };
    let [below, above] = [tip(CompPrice::Below(30.0)), tip(CompPrice::Above(30.0))];
    assert!(below[0] > below[1], "down is less");
    assert!(above[0] < above[1], "up is more");
}

#[test]
fn sizes_beyond_those_seen_are_dashed_and_the_prior_is_hatched() {
    for (extrapolated, prior) in [(false, false), (true, false), (false, true), (true, true)] {
        let mut chart = cups();
        chart.lots = vec![LotPrices {
            is_extrapolated: extrapolated,
            leans_on_the_prior: prior,
            ..lot(2, 20.0, 1.3, 1.1)
        }];
        let svg = price_chart_svg(&chart);
        let document = parsed(&svg);
        let group = marks(&document, "data-lot").next().expect("the lot");
        let has = |key: &str, part: &str| {
            group.children().any(|node| node.attribute(key).is_some_and(|value| value.contains(part)))
        };
        assert_eq!(has("stroke-dasharray", ""), extrapolated);
        assert_eq!(has("fill", "chart-hatch"), prior);
        assert_eq!(words_of(&document).contains("beyond the sizes seen"), extrapolated);
        assert_eq!(words_of(&document).contains("leaning on the prior"), prior);
        let plain = price_plot(&chart, 80);
        assert_eq!(plain.contains("x beyond"), extrapolated, "{plain}");
        assert_eq!(plain.contains("p leans"), prior, "{plain}");
    }
}

#[test]
fn markup_in_any_text_of_a_person_stays_text() {
    let evil = "</title><script>alert(1)</script> & \"cup\" ]]>\u{1}";
    let mut chart = cups();
    chart.title = evil.into();
    for comp in &mut chart.comps {
        comp.label = evil.into();
    }
    for line in &mut chart.lines {
        line.label = evil.into();
    }
    let svg = price_chart_svg(&chart);
    assert!(!svg.contains("<script"));
    assert!(words_of(&parsed(&svg)).contains("<script>alert(1)"), "it is shown as typed");
    assert!(price_plot(&chart, 80).is_ascii());
}

#[test]
fn the_order_of_the_record_changes_no_place() {
    let places = |chart: &PriceChart| -> Vec<String> {
        let svg = price_chart_svg(chart);
        let lines =
            svg.lines().filter(|line| !line.starts_with("<g data-comp") && !line.starts_with("<desc"));
        lines.map(str::to_owned).collect()
    };
    for (name, chart) in all_charts() {
        assert_eq!(price_chart_svg(&chart), price_chart_svg(&chart.clone()), "{name}");
        let mut turned = chart.clone();
        turned.lots.reverse();
        assert_eq!(places(&chart), places(&turned), "{name}");
        turned.comps.reverse();
        assert_eq!(price_plot(&chart, 80), price_plot(&turned, 80), "{name}");
        let counted = |chart: &PriceChart| {
            let svg = price_chart_svg(chart);
            let document = parsed(&svg);
            marks(&document, "data-comp").count()
        };
        assert_eq!(counted(&chart), counted(&turned), "{name}");
    }
    let prices = [CompPrice::Above(30.0), CompPrice::Exact(30.0), CompPrice::Below(30.0)];
    let mut chart = cups();
    chart.comps = prices.map(|price| comp(2, price, 1.0, "")).to_vec();
    let before = places(&chart);
    chart.comps.reverse();
    assert_eq!(before, places(&chart), "comps of one amount stand in the order of their kinds");
}

#[test]
fn what_cannot_be_drawn_is_left_out_and_said() {
    let good = lot(2, 20.0, 1.3, 1.1);
    let mut chart = cups();
    chart.lots = vec![
        good,
        LotPrices { p10: f64::NAN, ..lot(3, 30.0, 1.3, 1.1) },
        LotPrices { p90: f64::INFINITY, ..lot(4, 30.0, 1.3, 1.1) },
        LotPrices { p10: -1.0, ..lot(5, 30.0, 1.3, 1.1) },
        LotPrices { p25: 60.0, ..lot(6, 30.0, 1.3, 1.1) },
        LotPrices { median_least: 40.0, ..lot(7, 30.0, 1.3, 1.1) },
        lot(0, 30.0, 1.3, 1.1),
        LotPrices { median: 21.0, ..good },
    ];
    chart.comps = vec![
        comp(2, CompPrice::Exact(0.0), 1.0, ""),
        comp(2, CompPrice::Between { low: 9.0, high: 8.0 }, 1.0, ""),
        comp(2, CompPrice::Below(f64::NAN), 1.0, ""),
        comp(0, CompPrice::Above(8.0), 1.0, ""),
    ];
    chart.lines = vec![line("asked", Some(9), 9.0), line("asked", None, f64::INFINITY)];
    let svg = price_chart_svg(&chart);
    let document = parsed(&svg);
    let left_out = "13 entries are left out: their figures cannot be drawn.";
    assert!(words_of(&document).contains(left_out), "{}", words_of(&document));
    assert_eq!((marks(&document, "data-lot").count(), marks(&document, "data-comp").count()), (1, 0));
    let plain = price_plot(&chart, 80);
    assert!(plain.ends_with(&format!("{left_out}\n")) && plain.contains("20.00") && !plain.contains("21.00"));
}

#[test]
fn an_empty_chart_says_so() {
    let empty = PriceChart::default();
    let svg = price_chart_svg(&empty);
    paper::assert_all_inside("empty", &svg);
    assert!(words_of(&parsed(&svg)).contains("Nothing to draw yet"));
    assert_eq!(price_plot(&empty, 80), "Nothing to draw yet: no lot size and no comp.\n");
}

#[test]
fn more_sizes_than_have_room_are_thinned_and_that_is_said() {
    let lots: Vec<LotPrices> = (1..=200).map(|n| lot(n, f64::from(n), 1.2, 1.1)).collect();
    let comps = (1..400).map(|n| comp(n, CompPrice::Exact(f64::from(n)), 1.0, "")).collect();
    let chart = PriceChart { lots, comps, ..PriceChart::default() };
    let svg = price_chart_svg(&chart);
    paper::assert_all_inside("many", &svg);
    paper::assert_no_words_overlap("many", &svg);
    let document = parsed(&svg);
    assert!(words_of(&document).contains("of 200 lot sizes are drawn"));
    assert_eq!(marks(&document, "data-comp").count(), 399);
}

#[test]
fn letters_tell_the_price_lines_apart() {
    let mut chart = cups();
    chart.lines = vec![
        line("asked", Some(2), 29.0),
        line("needed", None, 11.0),
        line("asked", Some(4), 52.0),
        line("paid", None, 11.2),
    ];
    let svg = price_chart_svg(&chart);
    let words = words_of(&parsed(&svg));
    let count = |letter: &str| words.lines().filter(|line| *line == letter).count();
    // Each stands at its lines and once in the key.
    assert_eq!((count("A"), count("B"), count("C")), (3, 2, 2), "{words}");
    assert!(words.contains("needed 11.00") && words.lines().any(|line| line == "asked"), "{words}");
    paper::assert_no_words_overlap("lines", &svg);
    let plain = price_plot(&chart, 80);
    assert!(plain.contains("A asked  B needed 11.00  C paid 11.20"), "{plain}");
}

#[test]
fn plain_rows_keep_their_order_and_their_width() {
    for (name, chart) in all_charts() {
        for width in [50, 64, 80, 132] {
            let plain = price_plot(&chart, width);
            assert!(plain.is_ascii(), "{name}");
            assert_eq!(plain, price_plot(&chart, width));
            for line in plain.lines() {
                assert!(line.len() <= width, "{name}, {width}: {line:?}");
                assert_eq!(line.trim_end(), line, "{name}");
            }
            for bar in plain.lines().filter(|line| line.contains('M') && !line.starts_with('M')) {
                // Marks that fall on one place are covered by those nearer to the median.
                let [first, low, median] = ["|[M", "[M", "M"].map(|any| bar.find(|c| any.contains(c)));
                let [high, last] = ["M]", "M]|"].map(|any| bar.rfind(|c| any.contains(c)));
                assert!(first <= low && low <= median && median <= high && high <= last, "{bar}");
            }
        }
    }
}

#[test]
fn a_bar_with_room_shows_every_mark_in_its_order() {
    for bar in price_plot(&cups(), 80).lines().filter(|line| line.contains("M#")) {
        let shape: String = bar.chars().filter(|letter| "|[M]".contains(*letter)).collect();
        assert_eq!(shape, "|[M]|", "{bar}");
    }
}

#[test]
fn a_comp_at_the_median_stands_over_its_letter_however_wide_the_money() {
    for median in [0.02, 9.99, 1_234.5, 9_999_999.0] {
        let chart = PriceChart {
            lots: vec![lot(7, median, 1.4, 1.1), lot(1200, 3.0 * median, 1.4, 1.1)],
            comps: vec![comp(7, CompPrice::Exact(median), 1.0, "")],
            ..PriceChart::default()
        };
        let plain = price_plot(&chart, 80);
        let rows: Vec<&str> = plain.lines().collect();
        assert_eq!(rows[1].find('o'), rows[2].find('M'), "{plain}");
        // Both bars are alike, so the second is the first moved by a ratio of three.
        assert!(rows[3].find('M') > rows[2].find('M'), "{plain}");
        assert_eq!(rows[2].find('.'), rows[3].find('.'), "money stands beneath money: {plain}");
    }
}

#[test]
fn plain_ticks_stand_under_the_axis_at_their_amount() {
    let chart =
        PriceChart { lots: vec![lot(1, 20.0, 1.6, 1.1), lot(2, 50.0, 1.6, 1.1)], ..PriceChart::default() };
    let plain = price_plot(&chart, 80);
    let rows: Vec<&str> = plain.lines().collect();
    for (row, label) in [(1, "20"), (2, "50")] {
        let under = rows[4].find(label).expect("a label") + 1;
        assert_eq!(rows[row].find('M'), Some(under), "{plain}");
        assert_eq!(rows[3].as_bytes()[under], b'+', "{plain}");
    }
}

#[test]
fn plain_tick_labels_are_whole_and_stand_at_their_tick() {
    for low in [0.02, 1.1, 900.0, 2e4, 1.02e6] {
        for ratio in [9.5, 30.0, 1e3, 1e6] {
            let chart = PriceChart {
                comps: vec![
                    comp(1, CompPrice::Exact(low), 1.0, ""),
                    comp(1, CompPrice::Exact(low * ratio), 1.0, ""),
                ],
                ..PriceChart::default()
            };
            for width in 36..100 {
                let plain = price_plot(&chart, width);
                let rows: Vec<&str> = plain.lines().collect();
                assert!(!rows[3].trim().is_empty());
                for label in rows[3].split_whitespace() {
                    let digits = label.replace([',', '.'], "");
                    let first = digits.trim_matches('0');
                    assert!(["1", "2", "5"].contains(&first), "{label} in {plain}");
                    let from = rows[3].find(label).expect("the label");
                    let over = &rows[2][from..from + label.len()];
                    assert!(over.contains('+'), "{label} in {plain}");
                }
            }
        }
    }
}

#[test]
fn plain_charts_stay_as_they_were_reviewed() {
    let all: Vec<String> = all_charts()
        .into_iter()
        .filter(|(name, _)| *name != "crowd")
        .map(|(name, chart)| format!("{name}\n{}", price_plot(&chart, 80)))
        .collect();
    insta::assert_snapshot!(all.join("\n"));
}

fn figure() -> impl Strategy<Value = f64> {
    prop_oneof![6 => 0.01..1e7_f64, 4 => 1.0..90.0_f64, 1 => any::<f64>(), 1 => Just(f64::NAN), 1 => Just(0.0)]
}

fn any_lot() -> impl Strategy<Value = LotPrices> {
    let pieces = prop_oneof![4 => 1..13_u32, 1 => any::<u32>()];
    let ratio = prop_oneof![4 => 1.0..3.0_f64, 1 => figure()];
    let sound = (pieces, figure(), ratio, 1.0..2.0_f64, any::<bool>(), any::<bool>()).prop_map(
        |(pieces, median, spread, known, leans_on_the_prior, is_extrapolated)| LotPrices {
            leans_on_the_prior,
            is_extrapolated,
            ..lot(pieces, median, spread, known)
        },
    );
    (sound, prop::option::weighted(0.1, figure()))
        .prop_map(|(lot, p10)| LotPrices { p10: p10.unwrap_or(lot.p10), ..lot })
}

fn any_price() -> impl Strategy<Value = CompPrice> {
    (0..4, figure(), figure()).prop_map(|(kind, one, other)| match kind {
        0 => CompPrice::Exact(one),
        1 => CompPrice::Between { low: one, high: other },
        2 => CompPrice::Below(one),
        _ => CompPrice::Above(one),
    })
}

fn any_chart() -> impl Strategy<Value = PriceChart> {
    let comps = (prop_oneof![4 => 1..13_u32, 1 => any::<u32>()], any_price(), figure(), any::<String>())
        .prop_map(|(pieces, price, weight, label)| comp(pieces, price, weight, &label));
    let lines = (any::<String>(), prop::option::of(1..13_u32), figure())
        .prop_map(|(label, pieces, amount)| line(&label, pieces, amount));
    (
        any::<String>(),
        prop::collection::vec(any_lot(), 0..9),
        prop::collection::vec(comps, 0..14),
        prop::collection::vec(lines, 0..4),
    )
        .prop_map(|(title, lots, comps, lines)| PriceChart { title, lots, comps, lines })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 160, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_record_at_all_gives_a_well_formed_chart_on_its_paper(chart in any_chart(), width in 0..300_usize) {
        let svg = price_chart_svg(&chart);
        paper::assert_all_inside("any", &svg);
        let plain = price_plot(&chart, width);
        prop_assert!(plain.is_ascii() && plain.ends_with('\n'));
        prop_assert!(!plain.contains("NaN") && !plain.contains("inf"));
        if width >= 64 {
            prop_assert!(plain.lines().all(|line| line.len() <= width), "{plain}");
        }
    }
}
