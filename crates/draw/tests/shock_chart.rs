//! What the shock charts, drawn and plain, promise.

mod paper;

use draw::{ShockChart, ShockCurve, shock_chart_svg, shock_plot};
use paper::{attribute, marks, parsed, words_of};
use proptest::prelude::*;

/// A cushion curve with its least shock at a load.
fn curve(name: &str, best: f64, least: f64) -> ShockCurve {
    let shock = |load: f64| least * 0.5 * (load / best + best / load);
    let points = (0..41).map(|k| 0.002 * 1.2f64.powi(k)).map(|load| [load, shock(load)]).collect();
    ShockCurve { name: name.into(), points, here: Some(shock(0.08)) }
}

fn mug() -> ShockChart {
    ShockChart {
        title: "12 oz mug: shock behind 2 in of cushion".into(),
        load_unit: "psi".into(),
        load: 0.08,
        allowed_g: 60.0,
        curves: vec![
            curve("loose fill", 0.12, 66.0),
            curve("soft foam", 0.3, 42.0),
            curve("plank", 0.7, 43.0),
            curve("bubble", 0.1, 64.0),
        ],
    }
}

fn charts() -> Vec<(&'static str, ShockChart)> {
    let one = ShockChart { curves: vec![curve("loose fill", 0.1, 20.0)], ..mug() };
    let gentle = ShockChart { allowed_g: 500.0, ..mug() };
    let hard = ShockChart {
        allowed_g: 3.0,
        curves: vec![ShockCurve { here: None, ..curve("plank", 0.7, 43.0) }],
        ..mug()
    };
    let many = ShockChart {
        title: "A very long title of a piece that has more words to its name than any line of the chart can \
                hold <at once> & then some"
            .into(),
        curves: (0..12)
            .map(|k| curve("one of many with a long name too", 0.02 * f64::from(k + 1), 50.0))
            .collect(),
        ..mug()
    };
    let wild = ShockChart {
        load: f64::NAN,
        allowed_g: f64::INFINITY,
        load_unit: String::new(),
        curves: vec![ShockCurve {
            name: String::new(),
            points: vec![[f64::NAN, 1.0], [0.1, -1.0], [1e-8, 1e8], [1e8, 1e-8], [1.0, 5.0]],
            here: Some(f64::NAN),
        }],
        ..mug()
    };
    vec![("mug", mug()), ("one", one), ("gentle", gentle), ("hard", hard), ("many", many), ("wild", wild)]
}

#[test]
fn every_chart_is_a_standalone_document_with_words_for_who_cannot_see_it() {
    for (name, chart) in charts() {
        let svg = shock_chart_svg(&chart);
        paper::assert_standalone(name, &svg, &chart.title);
        let document = parsed(&svg);
        let description = paper::description(&document);
        for curve in chart.curves.iter().take(8) {
            assert!(description.contains(&format!("{}: ", curve.name)), "{name}: {description}");
        }
    }
    let svg = shock_chart_svg(&mug());
    let document = parsed(&svg);
    let description = paper::description(&document);
    for words in ["This piece loads it with 0.08 psi.", "60 G are allowed.", "loose fill: 72 G, too much."] {
        assert!(description.contains(words), "{words} missing in {description}");
    }
}

#[test]
fn nothing_leaves_the_paper_and_no_words_cover_words() {
    for (name, chart) in charts() {
        let svg = shock_chart_svg(&chart);
        paper::assert_all_inside(name, &svg);
        paper::assert_no_words_overlap(name, &svg);
    }
}

/// Points of a curve's lines, px.
fn points(svg: &str, index: usize) -> Vec<[f64; 2]> {
    let document = parsed(svg);
    let group =
        marks(&document, "data-curve").find(|node| node.attribute("data-curve") == Some(&index.to_string()));
    let lines = group.expect("the curve").children().filter(|node| node.tag_name().name() == "polyline");
    lines
        .flat_map(|line| line.attribute("points").expect("points").split(' ').collect::<Vec<_>>())
        .map(|corner| {
            let (x, y) = corner.split_once(',').expect("a pair");
            [x, y].map(|side| side.parse().expect("a number"))
        })
        .collect()
}

#[test]
fn a_dot_stands_on_its_curve_at_the_piece_s_load_and_a_larger_shock_stands_higher() {
    let svg = shock_chart_svg(&mug());
    let document = parsed(&svg);
    let mut dots: Vec<(f64, f64)> = Vec::new();
    for (index, curve) in
        mug().curves.iter().enumerate().filter(|(_, curve)| curve.here.is_some_and(|g| g < 120.0))
    {
        let mark = marks(&document, "data-here")
            .find(|node| node.attribute("data-here") == Some(&index.to_string()));
        let dot = mark
            .expect("a dot")
            .children()
            .find(|node| node.tag_name().name() == "circle")
            .expect("a circle");
        let [x, y] = ["cx", "cy"].map(|key| attribute(dot, key));
        let all = points(&svg, index);
        let near = all.windows(2).find(|pair| pair[0][0] <= x && x <= pair[1][0]).expect("its stretch");
        let share = (x - near[0][0]) / (near[1][0] - near[0][0]);
        let on = near[0][1] + share * (near[1][1] - near[0][1]);
        assert!((on - y).abs() < 1.5, "{}: {on} and {y}", curve.name);
        dots.push((curve.here.expect("a shock"), y));
    }
    assert!(dots.len() >= 2);
    dots.sort_by(|a, b| a.0.total_cmp(&b.0));
    assert!(dots.windows(2).all(|pair| pair[0].1 >= pair[1].1), "{dots:?}");
}

#[test]
fn the_grey_of_what_is_enough_ends_at_the_allowed_shock() {
    let svg = shock_chart_svg(&ShockChart { allowed_g: 100.0, ..mug() });
    let document = parsed(&svg);
    let grey = document.descendants().find(|node| node.attribute("fill") == Some("#eee")).expect("the grey");
    let tick = document.descendants().find(|node| node.text() == Some("100")).expect("the tick");
    assert!((attribute(grey, "y") - (attribute(tick, "y") - 5.0)).abs() < 0.11);
}

#[test]
fn the_plain_plot_says_the_same_in_letters() {
    let plain = shock_plot(&mug(), 80);
    for words in ["= allowed, 60 G", "| this piece, 0.08 psi", "A loose fill (72 G)", "D bubble (66 G)"] {
        assert!(plain.contains(words), "{words} missing in\n{plain}");
    }
    let even = shock_plot(&ShockChart { allowed_g: 100.0, ..mug() }, 80);
    let allowed = even.lines().find(|row| row.contains("=====")).expect("the line");
    assert!(allowed.starts_with("100 G"), "{allowed}");
    insta::assert_snapshot!("plain_shock_chart", plain);
}

#[test]
fn letters_rise_with_the_shock() {
    // In the column of the piece the milder cushion stands lower.
    let chart = ShockChart { curves: vec![curve("mild", 0.08, 30.0), curve("harsh", 0.08, 90.0)], ..mug() };
    let plain = shock_plot(&chart, 80);
    let row = |letter: char| {
        plain.lines().position(|line| line.contains(letter) && line.contains(" G ")).map(|_| {
            // The lowest row that a letter reaches is its least shock.
            plain
                .lines()
                .take(17)
                .enumerate()
                .filter(|(_, line)| line.contains(letter))
                .last()
                .expect("a row")
                .0
        })
    };
    assert!(row('A') > row('B'), "{plain}");
}

#[test]
fn a_chart_of_nothing_says_so() {
    let nothing = ShockChart::default();
    assert_eq!(shock_plot(&nothing, 80), "Nothing to draw yet: no cushion.\n");
    let svg = shock_chart_svg(&nothing);
    assert!(words_of(&parsed(&svg)).contains("Nothing to draw yet"));
    paper::assert_standalone("nothing", &svg, "Shock behind cushions");
}

#[test]
fn what_cannot_be_drawn_is_counted() {
    let (_, many) = charts().into_iter().find(|(name, _)| *name == "many").expect("many");
    let mut lone = mug();
    lone.curves[1].points.truncate(1);
    let svg = shock_chart_svg(&lone);
    assert!(words_of(&parsed(&svg)).contains("One cushion is left out"));
    assert_eq!(marks(&parsed(&svg), "data-curve").count(), 3);
    assert!(shock_plot(&many, 80).contains("4 cushions are left out"));
    assert!(words_of(&parsed(&shock_chart_svg(&many))).contains("4 cushions are left out"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn no_figures_break_a_chart(
        load in prop::num::f64::ANY, allowed_g in prop::num::f64::ANY,
        points in prop::collection::vec([prop::num::f64::ANY, prop::num::f64::ANY], 0..6),
        here in prop::option::of(prop::num::f64::ANY), width in 0usize..200, name in ".{0,40}",
    ) {
        let chart = ShockChart {
            title: name.clone(),
            load_unit: "psi".into(),
            load,
            allowed_g,
            curves: vec![ShockCurve { name, points, here }, curve("fill", 0.1, 60.0)],
        };
        let plain = shock_plot(&chart, width);
        prop_assert!(plain.is_ascii() && plain.ends_with('\n'));
        prop_assert!(plain.lines().all(|line| line.len() <= width.max(80)));
        let svg = shock_chart_svg(&chart);
        parsed(&svg);
        paper::assert_all_inside("any", &svg);
    }
}
