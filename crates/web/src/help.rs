//! Help: how to begin on each page, and what the words mean.

use axum::Router;
use axum::routing::get;
use maud::{Markup, html};

use crate::App;
use crate::layout::Page;

pub(crate) fn routes() -> Router<App> {
    Router::new().route("/help", get(|| async { page() }))
}

/// How to begin, page by page: id, title, lines.
const BEGINNINGS: [(&str, &str, &[&str]); 5] = [
    (
        "shelf-check",
        "Shelf check",
        &[
            "Stand in front of the pile and say what they are: begin to type and take a suggestion.",
            "Count them all, then count those with a chip, a crack or crazing and say how many.",
            "Type the price asked for all of them. Without one you are told the most to pay.",
            "Look up what like ones sold for and type a line for each: 2 for 17.50 + 8 is two pieces for 17.50 with 8.00 of shipping.",
            "An offer that was accepted at an unknown price below an ask is offer <24.",
            "What stood unsold counts as well: unsold 35 90d is an ask of 35 that nobody took in 90 days.",
            "The answer comes while you type: buy, haggle to a price, or leave.",
            "It counts prices low on purpose, since what looks cheap is often priced too high by the guess.",
            "Open \"How this was reckoned\" to see every figure and what was taken as usual.",
            "Read what stands under \"Mind\" before you pay.",
        ],
    ),
    (
        "measure",
        "Measure",
        &[
            "Say what the piece is: its form decides what there is to measure.",
            "Take a tape and the piece, and look at the drawing: each letter stands at the line to measure.",
            "Type figures as you read them: 3 1/4 in, 8.3 cm, 1 lb 3.5 oz. A bare figure is inches, or ounces.",
            "The reach of a handle begins where the body ends, not in the middle of the piece.",
            "The height is to the rim, without a lid.",
            "What you leave out is taken from the form and marked with ~.",
            "One piece of a group is enough when they are alike; weigh two if you doubt it.",
            "The drawing changes as you type. If it looks wrong, a figure is wrong.",
            "The table under it says the same in words.",
            "Go on with \"Pack some of these\", or copy the lines into a job sheet.",
        ],
    ),
    (
        "read",
        "Read a table",
        &[
            "Orders, hauls, expenses, trips, supplies, comps and places can come from a table. Open /read.",
            "Say what its rows are, and choose the file or paste the cells.",
            "Name where it comes from, always the same name: its columns are remembered, and no row is stored twice.",
            "If days look like 03/07/2026, say what comes first. It is never guessed.",
            "Rows with the same order number are one order; shipping, tax and fee are added up over them.",
            "A listing is found by its number here or by its title to the letter.",
            "Next, say which column is which. What is called alike is found by itself.",
            "Read what is left out and why. One wrong row leaves out its whole order, and no other.",
            "Store what is ready. What you saw is what is stored: all of it, or nothing.",
            "Mend the rest in the table and send it again. What is stored stays as it is.",
        ],
    ),
    (
        "pack",
        "Pack",
        &[
            "List what goes into one order: what they are and how many.",
            "Measures make it true. The page Measure writes them for you.",
            "A whole job sheet can be pasted instead, with your own cartons and places.",
            "Choose how much distance is kept, and how long a better packing is looked for.",
            "While it works you can stop it: the best so far is taken.",
            "The plan says which carton to take and what it weighs, and shows every layer from above.",
            "Iron and glass never share a carton: then there are two.",
            "Print the pack sheet, letter or A4, and pack from it: there is a box to tick for each step.",
            "Write down what the scale says. More than expected may cost more postage.",
            "No plan is shown that an independent checker did not pass.",
        ],
    ),
    (
        "devices",
        "Other devices",
        &[
            "Only the browser that opened the printed link is let in.",
            "To use a phone, set a passphrase once: lotwright serve --set-passphrase",
            "Start with lotwright serve --lan and open the page Devices.",
            "Show a pairing code and point the phone's camera at it within two minutes.",
            "Or open the address on the phone and type the code or the passphrase.",
            "On plain HTTP what is typed can be read on your network: use it at home only.",
            "With a certificate of your own, --tls-cert and --tls-key, it is encrypted.",
            "Each device stays let in for thirty days.",
            "Sign a lost one out on the page Devices.",
            "A new passphrase signs all of them out.",
        ],
    ),
];

/// Trade words and our own.
const WORDS: [(&str, &str); 32] = [
    ("accepted offer", "a sale below the ask, at a price that isn't shown"),
    ("ask", "the price that is asked"),
    ("backstamp", "the maker's mark under a piece"),
    ("basis", "what a piece cost you: its share of what the haul cost"),
    ("bench", "where orders wait to be packed"),
    ("billable weight", "the weight that postage is charged for"),
    ("bundle", "what is placed as one: a wrapped piece, plates on edge, a nest of bowls"),
    ("comp", "a comparable sale: what a like piece or lot sold for, or was offered at"),
    ("cost of goods sold", "the basis of what was sold"),
    ("crazing", "a net of fine cracks in a glaze"),
    ("cushion", "what keeps a piece from the wall of its carton in a fall"),
    ("dimensional weight", "a weight that is reckoned from the size of a parcel"),
    ("drop height", "how far a parcel is expected to fall"),
    ("edge crush", "how much an upright edge of board carries (ECT)"),
    ("find", "a group of like pieces from a haul"),
    ("flea bite", "a chip no larger than a pinhead"),
    ("floor", "the price below which an offer is declined"),
    ("form", "a family of shapes, such as mug, plate or goblet, with usual measures"),
    ("fragility (G)", "the blow a piece bears, in multiples of gravity"),
    ("girth", "the way round a parcel, across its length"),
    ("hairline", "a crack as fine as a hair"),
    ("haul", "one buying occasion"),
    ("leftover", "a piece that no whole lot takes"),
    ("lot", "what one buyer gets for one price"),
    ("order ladder", "what happens for an order of one lot, of two, and so on to all"),
    ("pack sheet", "the printed plan of one parcel"),
    ("rate card", "the dated prices of postage"),
    ("recipe", "how a form is protected: wraps, guards, what is stuffed, ways up"),
    ("sell-through", "the share of what was listed that sold"),
    ("tuning", "what predicted against actual has taught"),
    ("void fill", "what fills the space around wrapped pieces"),
    ("zone", "how far a parcel goes, as postage counts it"),
];

fn page() -> Markup {
    let body = html! {
        nav.contents aria-label="On this page" {
            ul {
                @for (id, title, _) in BEGINNINGS { li { a href={ "#" (id) } { (title) } } }
                li { a href="#words" { "Words" } }
            }
        }
        @for (id, title, lines) in BEGINNINGS {
            section aria-labelledby=(id) {
                h2 id=(id) { (title) }
                ol { @for line in lines { li { (line) } } }
            }
        }
        section aria-labelledby="words" {
            h2 #words { "Words" }
            dl.words { @for (word, meaning) in WORDS { div { dt { (word) } dd { (meaning) } } } }
        }
    };
    Page::new("Help", "/help", body).draw()
}
