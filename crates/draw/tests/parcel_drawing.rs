//! What a drawing promises to who packs by it.

mod made_up;

use std::collections::BTreeSet;

use draw::{parcel_svg, steps};
use made_up::all;
use measure::Units;
use roxmltree::{Document, Node};

fn parsed(svg: &str) -> Document<'_> {
    Document::parse(svg).expect("the drawing is well-formed XML")
}

fn view<'a>(document: &'a Document<'a>, name: &str) -> Node<'a, 'a> {
    let found = document.descendants().find(|node| node.attribute("data-view") == Some(name));
    found.unwrap_or_else(|| panic!("a view named {name}"))
}

fn numbers(view: Node<'_, '_>) -> BTreeSet<String> {
    view.descendants().filter_map(|node| node.attribute("data-bundle")).map(str::to_owned).collect()
}

fn words(view: Node<'_, '_>) -> String {
    let texts = view.descendants().filter(|node| node.has_tag_name("text"));
    texts.filter_map(|node| node.text()).collect::<Vec<_>>().join("\n")
}

#[test]
fn every_drawing_is_a_standalone_document_of_800_px() {
    for (name, parcel) in all() {
        for units in [Units::UsCustomary, Units::Metric] {
            let svg = parcel_svg(&parcel, "Order 12", units);
            let document = parsed(&svg);
            let root = document.root_element();
            assert_eq!(root.tag_name().name(), "svg", "{name}");
            assert_eq!(root.tag_name().namespace(), Some("http://www.w3.org/2000/svg"));
            assert!(root.attribute("viewBox").is_some_and(|view| view.starts_with("0 0 800 ")), "{name}");
            assert!(!svg.contains("href") && !svg.contains("@import"), "{name} refers to nothing outside");
            let child = |tag: &str| {
                root.children().find(|node| node.has_tag_name(("http://www.w3.org/2000/svg", tag)))
            };
            assert_eq!(child("title").and_then(|node| node.text()), Some("Order 12"));
            assert!(child("desc").and_then(|node| node.text()).is_some_and(|text| text.contains("gross")));
        }
    }
}

#[test]
fn only_black_white_and_grey_are_used() {
    for (name, parcel) in all() {
        let svg = parcel_svg(&parcel, "Order 12", Units::UsCustomary);
        for node in parsed(&svg).descendants() {
            for paint in ["fill", "stroke"].into_iter().filter_map(|key| node.attribute(key)) {
                let digits: BTreeSet<char> = paint.strip_prefix('#').unwrap_or("0").chars().collect();
                let plain = paint == "none" || paint.starts_with("url(#parcel-") || digits.len() == 1;
                assert!(plain, "{name}: {paint}");
            }
        }
    }
}

#[test]
fn every_bundle_is_numbered_in_the_view_of_its_layer_and_in_no_other() {
    for (name, parcel) in all() {
        let svg = parcel_svg(&parcel, "Order 12", Units::UsCustomary);
        let document = parsed(&svg);
        for layer in &parcel.layers {
            let expected: BTreeSet<String> = parcel
                .bundles
                .iter()
                .filter(|bundle| bundle.layer == layer.number)
                .map(|bundle| bundle.number.to_string())
                .collect();
            let shown = numbers(view(&document, &format!("layer-{}", layer.number)));
            assert_eq!(shown, expected, "{name}, layer {}", layer.number);
        }
    }
}

#[test]
fn the_side_view_numbers_a_bundle_or_says_that_it_is_hidden() {
    for (name, parcel) in all() {
        let svg = parcel_svg(&parcel, "Order 12", Units::UsCustomary);
        let document = parsed(&svg);
        let mut told = numbers(view(&document, "side"));
        let hidden =
            document.descendants().filter_map(|node| node.text()).find(|text| text.starts_with("Hidden"));
        let hidden =
            hidden.unwrap_or_default().trim_start_matches("Hidden behind others: ").trim_end_matches('.');
        told.extend(hidden.split(", ").filter(|number| !number.is_empty()).map(str::to_owned));
        let all: BTreeSet<String> = parcel.bundles.iter().map(|bundle| bundle.number.to_string()).collect();
        assert_eq!(told, all, "{name}");
    }
}

#[test]
fn a_layer_that_the_record_forgot_is_drawn_all_the_same() {
    let mut parcel = made_up::cups_and_saucers();
    parcel.layers.clear();
    let svg = parcel_svg(&parcel, "Order 12", Units::UsCustomary);
    let document = parsed(&svg);
    assert_eq!(numbers(view(&document, "layer-1")).len() + numbers(view(&document, "layer-2")).len(), 7);
}

#[test]
fn markup_in_any_text_of_a_person_stays_text() {
    let evil = "<script>alert(1)</script> & \"cup\" ]]>\u{1}";
    let mut parcel = made_up::small_carton();
    for bundle in &mut parcel.bundles {
        bundle.label = evil.to_owned();
    }
    parcel.carton.name = evil.to_owned();
    parcel.carton.board = evil.to_owned();
    parcel.fill.material = evil.to_owned();
    let svg = parcel_svg(&parcel, evil, Units::UsCustomary);
    let document = parsed(&svg);
    assert!(!document.descendants().any(|node| node.has_tag_name("script")));
    assert!(!svg.contains("<script"));
    assert!(words(view(&document, "table")).contains("<script>alert(1)</script>"), "it is shown as typed");
    assert!(
        steps(&parcel, Units::UsCustomary).iter().any(|step| step.contains(evil)),
        "steps are plain text"
    );
}

#[test]
fn no_figure_is_ever_not_a_number() {
    let mut broken = made_up::cups_and_saucers();
    broken.carton.inside_mm = [f64::NAN, 0.0, f64::INFINITY];
    broken.carton.outside_mm = [-1.0, f64::NAN, 1e300];
    broken.bundles[0].placement.at_mm = [f64::NAN; 3];
    broken.bundles[0].parts[0].placement.at_mm = [f64::NAN, f64::INFINITY, 0.0];
    broken.bundles[1].parts.clear();
    broken.bundles[2].parts[0].placement.turn = [0.0; 4];
    broken.pads[0].bottom_mm = f64::NAN;
    broken.fill.volume_mm3 = f64::NAN;
    broken.gross_g = f64::NEG_INFINITY;
    broken.clearances[0].actual_mm = f64::NAN;
    let parcels = all().into_iter().map(|(_, parcel)| parcel).chain([broken]);
    for parcel in parcels {
        for units in [Units::UsCustomary, Units::Metric] {
            let svg = parcel_svg(&parcel, "Order 12", units);
            parsed(&svg);
            assert!(!svg.contains("NaN") && !svg.contains("\"inf") && !svg.contains(" inf "));
            let said = steps(&parcel, units).join(" ");
            assert!(!said.contains("NaN") && !said.contains("inf "), "{said}");
        }
    }
}

#[test]
fn the_drawing_is_to_scale_and_nothing_leaves_the_paper() {
    for (name, parcel) in all() {
        let svg = parcel_svg(&parcel, "Order 12", Units::UsCustomary);
        let document = parsed(&svg);
        let side = |view: &str, index: usize| -> [f64; 4] {
            let rects = self::view(&document, view);
            let rect =
                rects.children().filter(|node| node.has_tag_name("rect")).nth(index).expect("the inside");
            ["x", "y", "width", "height"]
                .map(|key| rect.attribute(key).expect(key).parse().expect("a number"))
        };
        let ([left, _, length, width], [_, _, again, height]) = (side("layer-1", 1), side("side", 1));
        let scale = length / parcel.carton.inside_mm[0];
        for (drawn, mm) in [(again, 0), (width, 1), (height, 2)] {
            assert!((drawn - scale * parcel.carton.inside_mm[mm]).abs() < 0.2, "{name}, side {mm}");
        }
        assert!(left > 0.0 && left + length < 800.0, "{name}");
    }
}

#[test]
fn the_same_parcel_gives_the_same_text() {
    for (name, parcel) in all() {
        let once = parcel_svg(&parcel, "Order 12", Units::Metric);
        assert_eq!(once, parcel_svg(&parcel.clone(), "Order 12", Units::Metric), "{name}");
    }
}

#[test]
fn a_cut_down_carton_shows_its_cut_and_a_whole_one_does_not() {
    let cut = parcel_svg(&made_up::twelve_mugs(), "Order 12", Units::UsCustomary);
    assert!(words(view(&parsed(&cut), "side")).contains("was 16 in inside"));
    assert!(words(view(&parsed(&cut), "title")).contains("Cut down from 16 in to 13 in inside"));
    let whole = parcel_svg(&made_up::small_carton(), "Order 12", Units::UsCustomary);
    assert!(!words(view(&parsed(&whole), "side")).contains("cut"));
}

#[test]
fn the_least_clearances_are_written_and_never_overstated() {
    let parcel = made_up::cups_and_saucers();
    let svg = parcel_svg(&parcel, "Order 12", Units::Metric);
    let document = parsed(&svg);
    let first = words(view(&document, "layer-1"));
    // Cup 1's body is 85 - 48 mm from the left wall; its handle reaches farther down than its body:
    // 85 - (72 sin 60 + 7 cos 60) mm from the front.
    assert!(first.lines().any(|line| line == "19 mm"), "{first}");
    let second = words(view(&document, "layer-2"));
    assert!(second.lines().any(|line| line == "15 mm"), "the least gap, 5 to 6: {second}");
}

#[test]
fn a_small_drawing_stays_as_it_was_reviewed() {
    let svg = parcel_svg(&made_up::small_carton(), "Order 12: one demitasse cup", Units::UsCustomary);
    assert!(svg.len() < 20_000, "{} bytes", svg.len());
    insta::assert_snapshot!(svg);
}

#[test]
fn what_rests_on_others_is_drawn_over_their_edges() {
    let svg = parcel_svg(&made_up::books(), "Books", Units::Metric);
    let document = parsed(&svg);
    let ghosts = |name: &str| {
        view(&document, name)
            .descendants()
            .filter(|node| node.attribute("stroke-dasharray") == Some("2 3"))
            .count()
    };
    assert_eq!([ghosts("layer-1"), ghosts("layer-2"), ghosts("layer-3")], [0, 2, 1]);
    let all = words(document.root_element());
    assert!(all.contains("3 rests on 1 and 2.") && all.contains("4 rests on 3."), "{all}");
    assert!(words(view(&document, "key")).contains("edge of what it rests on"));
    let cups = parcel_svg(&made_up::cups_and_saucers(), "Cups", Units::Metric);
    assert!(!words(view(&parsed(&cups), "key")).contains("rests on"));
}
