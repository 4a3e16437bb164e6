//! What the comparison of plans, drawn and plain, promises.

mod made_up_splits;
mod paper;

use draw::{SplitBar, SplitBars, Standing, split_bars, split_bars_svg};
use made_up_splits::splits;
use measure::Money;
use paper::{attribute, marks, parsed, words_of};
use proptest::prelude::*;

fn plan(name: &str, cents: i64, standing: Standing) -> SplitBar {
    let profit = Money::from_cents(cents);
    SplitBar { name: name.into(), profit, per_hour: Some(profit), hours: 1.0, standing }
}

#[test]
fn a_loss_runs_left_of_zero_and_a_profit_right() {
    let svg = split_bars_svg(&splits());
    let document = parsed(&svg);
    let bars: Vec<[f64; 2]> = marks(&document, "data-plan")
        .filter_map(|group| group.children().find(|node| node.tag_name().name() == "rect"))
        .map(|bar| [attribute(bar, "x"), attribute(bar, "x") + attribute(bar, "width")])
        .collect();
    let zero = bars[0][0];
    assert!(bars[..4].iter().all(|bar| bar[0] == zero && bar[1] > zero), "{bars:?}");
    assert!((bars[4][1] - zero).abs() < 0.11 && bars[4][0] < zero, "{bars:?}");
    let plain = split_bars(&splits(), 80);
    let rows: Vec<&str> = plain.lines().skip(1).take(5).collect();
    let zero = rows[0].find('|');
    assert!(rows.iter().all(|row| row.find('|') == zero), "{plain}");
    assert!(rows[4].ends_with("-|") && rows[0].ends_with('#'), "{plain}");
}

#[test]
fn bars_are_to_one_scale() {
    let plans = [(80_00, 40), (40_00, 20), (-20_00, 10), (0, 0)];
    let bars = SplitBars {
        title: String::new(),
        plans: plans.iter().map(|(cents, _)| plan("a", *cents, Standing::Other)).collect(),
    };
    // 27 letters of figures, the zero line, and half a letter for each unit.
    let plain = split_bars(&bars, 80);
    let beside = plain.lines().next().expect("a heading").len() + 2;
    let plain = split_bars(&bars, beside + 51);
    for ((_, letters), row) in plans.iter().zip(plain.lines().skip(1)) {
        let bar = row.get(beside..).unwrap_or_default();
        assert_eq!(bar.matches(['#', '-']).count(), *letters, "{plain}");
    }
    let svg = split_bars_svg(&bars);
    let document = parsed(&svg);
    let widths: Vec<f64> = marks(&document, "data-plan")
        .filter_map(|group| group.children().find(|node| node.tag_name().name() == "rect"))
        .map(|bar| attribute(bar, "width"))
        .collect();
    assert!(
        (widths[0] - 2.0 * widths[1]).abs() < 0.3 && (widths[0] - 4.0 * widths[2]).abs() < 0.3,
        "{widths:?}"
    );
    assert_eq!(widths.len(), 3, "what earns nothing has no bar");
}

#[test]
fn the_best_plans_are_marked() {
    let words = words_of(&parsed(&split_bars_svg(&splits())));
    assert!(words.contains("2 x 4 + 3 - best\n") && words.contains("6 + 5 - best per hour"), "{words}");
    let plain = split_bars(&splits(), 80);
    assert!(plain.contains("\n*   2 x 4 + 3 ") && plain.contains("\n+   6 + 5 "), "{plain}");
    let both = SplitBars { title: String::new(), plans: vec![plan("one", 5, Standing::BestInBoth)] };
    assert!(split_bars(&both, 80).contains("\n*+  one"));
    assert!(words_of(&parsed(&split_bars_svg(&both))).contains("one - best, also per hour"));
}

#[test]
fn the_drawing_is_a_standalone_document_on_its_paper() {
    let svg = split_bars_svg(&splits());
    paper::assert_standalone("splits", &svg, "Eleven consommé cups");
    paper::assert_all_inside("splits", &svg);
    paper::assert_no_words_overlap("splits", &svg);
    let mut long = splits();
    for (plan, words) in long.plans.iter_mut().zip(["every second one and the rest as they come, ", "6 + 5 "])
    {
        plan.name = words.repeat(9);
        plan.standing = Standing::BestInBoth;
        plan.profit = Money::from_cents(1_234_567_890);
    }
    let svg = split_bars_svg(&long);
    paper::assert_all_inside("long", &svg);
    paper::assert_no_words_overlap("long", &svg);
    assert!(paper::description(&parsed(&svg)).contains("11 x 1: -12.30, 6.1 h."));
    let none = SplitBars::default();
    assert!(words_of(&parsed(&split_bars_svg(&none))).contains("Nothing to compare yet"));
    assert_eq!(split_bars(&none, 80), "Nothing to compare yet: no plan.\n");
}

#[test]
fn plain_bars_stay_as_they_were_reviewed() {
    insta::assert_snapshot!(format!("{}\n{}", split_bars(&splits(), 80), split_bars(&splits(), 50)));
}

fn any_plan() -> impl Strategy<Value = SplitBar> {
    let cents = || prop_oneof![3 => -9_999..99_999_i64, 1 => any::<i64>(), 1 => Just(0)];
    let standing = prop::sample::select(vec![
        Standing::Best,
        Standing::BestPerHour,
        Standing::BestInBoth,
        Standing::Other,
    ]);
    let name = prop_oneof![2 => any::<String>(), 1 => "[0-9x+ ]{0,70}"];
    (name, cents(), prop::option::of(cents()), any::<f64>(), standing).prop_map(
        |(name, profit, per_hour, hours, standing)| SplitBar {
            name,
            profit: Money::from_cents(profit),
            per_hour: per_hour.map(Money::from_cents),
            hours,
            standing,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 160, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_plans_at_all_are_aligned_plain_text_and_a_well_formed_drawing(
        title in any::<String>(),
        plans in prop::collection::vec(any_plan(), 0..8),
        width in 0..300_usize,
    ) {
        let bars = SplitBars { title, plans };
        paper::assert_all_inside("any", &split_bars_svg(&bars));
        let plain = split_bars(&bars, width);
        prop_assert!(plain.is_ascii());
        prop_assert_eq!(&plain, &split_bars(&bars, width));
        let rows: Vec<&str> = plain.lines().skip(1).take(bars.plans.len()).collect();
        let zeros: Vec<Option<usize>> = rows.iter().map(|row| row.rfind('|')).collect();
        prop_assert!(zeros.windows(2).all(|pair| pair[0] == pair[1]), "{}", plain);
        for (row, plan) in rows.iter().zip(&bars.plans) {
            let zero = row.rfind('|').unwrap_or(0);
            prop_assert_eq!(row[zero..].contains('#'), plan.profit > Money::ZERO, "{}", plain);
            prop_assert_eq!(row[..zero].ends_with('-'), plan.profit < Money::ZERO, "{}", plain);
        }
        if width >= 120 {
            prop_assert!(plain.lines().all(|line| line.len() <= width), "{}", plain);
        }
    }
}
