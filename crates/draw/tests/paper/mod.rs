//! What holds for every chart on its paper.

use std::collections::BTreeSet;

use roxmltree::{Document, Node};

/// Width of a letter as a share of the font size, on average (judgement): a common screen font's.
const LETTER: f64 = 0.52;

pub fn parsed(svg: &str) -> Document<'_> {
    Document::parse(svg).expect("the chart is well-formed XML")
}

pub fn attribute(node: Node<'_, '_>, name: &str) -> f64 {
    let words = node.attribute(name).unwrap_or_else(|| panic!("{name} of {:?}", node.tag_name()));
    let number: f64 = words.parse().unwrap_or_else(|_| panic!("{name} is a number, not {words}"));
    assert!(number.is_finite(), "{name} = {words}");
    number
}

pub fn marks<'a>(document: &'a Document<'a>, key: &'a str) -> impl Iterator<Item = Node<'a, 'a>> {
    document.descendants().filter(move |node| node.has_attribute(key))
}

pub fn words_of(document: &Document<'_>) -> String {
    let texts = document.descendants().filter(|node| node.tag_name().name() == "text");
    texts.filter_map(|node| node.text()).collect::<Vec<_>>().join("\n")
}

pub fn description<'a>(document: &'a Document<'a>) -> &'a str {
    let found = document.root_element().children().find(|node| node.tag_name().name() == "desc");
    found.and_then(|node| node.text()).expect("a description")
}

pub fn assert_standalone(name: &str, svg: &str, title: &str) {
    let document = parsed(svg);
    let root = document.root_element();
    assert_eq!(root.tag_name().namespace(), Some("http://www.w3.org/2000/svg"), "{name}");
    assert_eq!(root.attribute("role"), Some("img"), "{name}");
    assert!(root.attribute("viewBox").is_some_and(|view| view.starts_with("0 0 520 ")), "{name}");
    assert!(!svg.contains("href") && !svg.contains("@import"), "{name} refers to nothing outside");
    let first = root.children().find(|node| node.is_element()).expect("a child");
    assert_eq!((first.tag_name().name(), first.text()), ("title", Some(title)), "{name}");
    assert!(description(&document).ends_with('.'), "{name}");
    for node in document.descendants() {
        for paint in ["fill", "stroke"].into_iter().filter_map(|key| node.attribute(key)) {
            let digits: BTreeSet<char> = paint.strip_prefix('#').unwrap_or("0").chars().collect();
            assert!(paint == "none" || paint == "url(#chart-hatch)" || digits.len() == 1, "{name}: {paint}");
        }
        if let Some(size) = node.attribute("font-size") {
            assert!(size.parse::<f64>().is_ok_and(|size| size >= 14.0), "{name}: lettering of {size} px");
        }
    }
}

/// Left, top, right and bottom of a text, px, about as a common font sets it.
fn text_box(node: Node<'_, '_>) -> [f64; 4] {
    let [x, y, size] = ["x", "y", "font-size"].map(|name| attribute(node, name));
    let width = LETTER * size * node.text().unwrap_or_default().chars().count() as f64;
    let left = match node.attribute("text-anchor") {
        Some("middle") => x - 0.5 * width,
        Some("end") => x - width,
        _ => x,
    };
    [left, y - 0.72 * size, left + width, y + 0.1 * size]
}

fn extent(node: Node<'_, '_>) -> Option<[f64; 4]> {
    let of = |name: &str| attribute(node, name);
    Some(match node.tag_name().name() {
        "line" => {
            let ([x1, x2], [y1, y2]) = ([of("x1"), of("x2")], [of("y1"), of("y2")]);
            [x1.min(x2), y1.min(y2), x1.max(x2), y1.max(y2)]
        }
        "rect" => [of("x"), of("y"), of("x") + of("width"), of("y") + of("height")],
        "circle" => [of("cx") - of("r"), of("cy") - of("r"), of("cx") + of("r"), of("cy") + of("r")],
        "polygon" | "polyline" => {
            let corners = node.attribute("points").expect("points").split(' ');
            corners.fold([f64::INFINITY, f64::INFINITY, -f64::INFINITY, -f64::INFINITY], |all, corner| {
                let (x, y) = corner.split_once(',').expect("a pair");
                let [x, y]: [f64; 2] = [x, y].map(|side| side.parse().expect("a number"));
                [all[0].min(x), all[1].min(y), all[2].max(x), all[3].max(y)]
            })
        }
        "text" => text_box(node),
        _ => return None,
    })
}

pub fn assert_all_inside(name: &str, svg: &str) {
    let document = parsed(svg);
    let root = document.root_element();
    let [width, height] = [attribute(root, "width"), attribute(root, "height")];
    let groups = root.children().filter(|node| node.tag_name().name() == "g");
    for node in groups.flat_map(|group| group.descendants()) {
        let Some([left, top, right, bottom]) = extent(node) else { continue };
        let is_inside = left >= 0.0 && top >= 0.0 && right <= width && bottom <= height;
        assert!(is_inside, "{name}: {:?} at {left} {top} {right} {bottom}", node.text().unwrap_or("a shape"));
    }
    let plain = root.children().filter(|node| node.tag_name().name() == "text");
    for node in plain {
        let [left, top, right, bottom] = text_box(node);
        // A title in letters wider than the average is broken by an estimate of each letter's width.
        assert!(left >= 0.0 && top >= 0.0 && bottom <= height, "{name}: {:?}", node.text());
        assert!(
            right <= width || node.text().is_some_and(|words| !words.is_ascii()),
            "{name}: {:?}",
            node.text()
        );
    }
}

pub fn assert_no_words_overlap(name: &str, svg: &str) {
    let document = parsed(svg);
    let texts: Vec<Node<'_, '_>> =
        document.descendants().filter(|node| node.tag_name().name() == "text").collect();
    for (index, one) in texts.iter().enumerate() {
        for other in texts.iter().skip(index + 1) {
            let (a, b) = (text_box(*one), text_box(*other));
            let apart = a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1];
            assert!(apart, "{name}: {:?} covers {:?}", one.text(), other.text());
        }
    }
}
