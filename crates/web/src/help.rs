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
const BEGINNINGS: [(&str, &str, &[&str]); 17] = [
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
        "no-network",
        "Shelf check without a network",
        &[
            "At home, run ./offline in the program's folder once, then start lotwright serve anew.",
            "The phone must reach it over TLS: a certificate of your own for the name, given by --tls-cert and --tls-key, that the phone trusts. On this machine itself none is needed.",
            "Open the shelf check on the phone and wait until it says that it can check without the network.",
            "Put it on the home screen by the browser's menu.",
            "In the shop it opens and answers on the phone, and says so, with the day and the rate card it rests on.",
            "Press \"Check it\" to keep a check; it waits under \"On this phone\".",
            "Back home the checks are sent by themselves and stand under \"Checked in shops\".",
            "Signed out meanwhile? Come in again: nothing is lost.",
            "Only the shelf check works so; the other pages need the network.",
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
        "today",
        "Today",
        &[
            "The first page says what waits: orders to pack, supplies to buy, claims with a deadline.",
            "Until you have been through once, it leads you step by step: follow the first line that isn't done.",
            "An order is late when its promised day has passed.",
            "A supply is to buy when what is free has come down to its reorder point.",
            "This month is what was earned so far, after fees, postage, packing and the cost of the goods.",
            "List next names the finds that would bring most for an hour of your work.",
            "A find that has waited long counts more: a year of waiting counts double.",
            "Everything lies in one file on this machine; \"Which shop\" at the foot says which one is open.",
            "The demo shop is made up and lies in a file of its own; change in it what you like.",
            "Back it up from the terminal: lotwright shop backup.",
        ],
    ),
    (
        "settings",
        "Settings",
        &[
            "A setting is your own default for what a job sheet states; what you don't set is taken as usual.",
            "Set post.from first: the ZIP Code that your parcels leave from.",
            "post.to is a list of where your buyers live: [\"100\", \"606\"].",
            "packing.wage is what an hour of your work is worth; the split reckons with it.",
            "A value that no job sheet could hold is refused with what would be right.",
            "books.cost_flow says whose cost goes when like goods go; ask your preparer before you change it.",
            "Below stands what your parcels were against what was predicted, by form.",
            "Believe is drawn towards the default until you have sent enough of them.",
            "Nothing is applied before you press the button, and it can be taken back.",
            "Applied factors count once, and never lower a weight.",
        ],
    ),
    (
        "hauls",
        "Hauls",
        &[
            "A haul is one buying occasion: one place, one day, one sum.",
            "Type what was paid for the goods, and the tax apart; leave the tax out where you bought exempt for resale.",
            "Each find is a group of like pieces: what they are, how many, and how many of them are flawed.",
            "Say what each find should sell for: the cost is split over the finds by it, to the cent.",
            "Without a value anywhere the cost is split equally per piece.",
            "Miles are entered as a business trip; they count once, on the year's worksheet.",
            "Take a photo of the receipt on the haul's page. Place and camera are taken out of it.",
            "Print place tags, and put the finds on the shelf.",
            "Then open a find: measure a piece, note flaws, paste what like ones sold for.",
            "A haul can be entered anew until a piece of it is promised or has left the shelf.",
        ],
    ),
    (
        "supplies",
        "Supplies",
        &[
            "Add each size of carton you have; its inside size is its best name: 12 x 12 x 8.",
            "Add wraps, fills and tapes by the material they are: newsprint, bubble_3_16, eps_fill.",
            "Say how much one unit holds: a bag of fill 3.5 cubic feet, a roll of tape 1980 in.",
            "Enter what you bought with what it cost: the cost of a parcel follows from it.",
            "A plan at the bench takes only what is on hand, and sets it aside for its order.",
            "Sending uses it up; cancelling or planning anew gives it back.",
            "Parcels left says how many more like the latest ones you can pack.",
            "Buy at is reckoned from use a day and the days it takes to come.",
            "Count what is there now and then, and enter the count: the file is put right.",
            "What spoiled or was used for something else is entered as used.",
        ],
    ),
    (
        "books",
        "Books",
        &[
            "Orders, hauls and supplies enter their own money; this page adds it up.",
            "Choose by what it is grouped and between which days.",
            "Goods is the cost of the pieces that buyers have: what they were bought for, split to the cent.",
            "Net is what is left after fees, postage, packing, goods and other expenses.",
            "An hour is net over the minutes of packing.",
            "Enter expenses, trips, payouts and income under \"Enter an expense\".",
            "Every entry has two sides; a wrong one is taken back by another, and both stay.",
            "The year shows the lines of the tax form and what is left to the preparer.",
            "It comes as a spreadsheet too. It is no tax advice: check it with a preparer.",
            "Sales tax that a venue collects and remits is no income of yours and on no line.",
        ],
    ),
    (
        "stock",
        "Stock",
        &[
            "The first line says what is on the shelf and what it cost.",
            "What is offered and isn't there stands first: take those lots down before somebody buys them.",
            "What to list next ranks by what an hour of work brings; a year of waiting counts double.",
            "Tap a find and follow the pages: its split, its listings, their cards.",
            "The bars show the cost of what waits, by how long; hatched has waited too long.",
            "Left beside listings is what no whole lot took.",
            "What sells, by where it was bought, tells you where to go again.",
            "The shelf itself comes last, place by place.",
            "\"In no listing\" and \"Waiting long\" show a part of it.",
            "Net is your own expectation less what selling has cost you so far.",
        ],
    ),
    (
        "worth",
        "What a find is worth",
        &[
            "Look up what like ones sold for and paste a line for each.",
            "2 for 17.50 + 8.25, 10d ago is two pieces for 17.50 with 8.25 of shipping, ten days ago.",
            "offer <24 was sold below an ask of 24; unsold 35 for 90d stood at 35 and nobody took it.",
            "A line that can't be read is told with its number, and nothing is stored until all can.",
            "The chart shows what lots of each size bring, and how sure that is; the marks are your comps.",
            "Each comp says how it was taken. Take off one that is of something else.",
            "Comps grow older by themselves and count less.",
            "What one lot brings is after its real parcel, the fee and your work.",
            "Thin evidence leans on what is usual: three more comps are worth ten minutes.",
            "Go on with \"Split it into lots\".",
        ],
    ),
    (
        "split",
        "Split a find into lots",
        &[
            "The first line is the way that leaves most; the lines under it say why.",
            "2 x 4 + 1 x 3 is two lots of four and one of three.",
            "The bars compare the ways: profit in all, what an hour earns, the hours.",
            "Within a unit of money it is a tie: take the one you like to pack.",
            "Pieces that are promised to orders are left out; those in listings are counted.",
            "The steps show what an order of one lot, of two, of more costs to send.",
            "Where the billed weight changes, postage steps up; a little less weight may save it.",
            "Tap another lot size to see its orders.",
            "\"Take this\" puts a way into the form; you can also type your own.",
            "Keep it, and go on to list these lots.",
        ],
    ),
    (
        "listings",
        "Listings",
        &[
            "A listing is so many like lots. Left, promised and sold always add up to all of them.",
            "Begin with a split: its lots, counts and prices are filled in.",
            "By hand, 4 of 12 is four pieces of find 12; a line for each find of a mixed lot.",
            "The card has all that the venue asks: copy it field by field.",
            "Its count, title, pictures and quantity agree, or it says where they don't.",
            "What stands under \"For you alone\" is never printed in the listing.",
            "State the weight and size it says: then no order of several lots loses on postage.",
            "Type an offer on the card to see what to answer: accept, counter or decline.",
            "Change a price, take lots down, or set it over; what was before is kept.",
            "Once something was ordered, what a lot holds stays: end it and list anew.",
        ],
    ),
    (
        "orders",
        "Orders",
        &[
            "Take an order as soon as a lot is bought: its pieces are promised to it, so nothing is sold twice.",
            "Choose the listing and how many lots. What is left stands beside each.",
            "Three digits of the buyer's ZIP are enough. No names or addresses are kept.",
            "Type what was paid: shipping, tax and the fee that was kept. The price is taken from the listing if you leave it out.",
            "The list shows first what waits, the oldest promise in front.",
            "An order's page has its pieces by place, its parcels planned and as they were, and what is left of the money.",
            "When the price was wrong, price it anew: the payment is taken back and entered again, and both stay in the history.",
            "A cancelled order gives its pieces, lots and supplies free, and the buyer gets back what was paid.",
            "When something comes back or breaks, say so piece by piece, with what you gave back; all of it is stored together.",
            "Open a claim with its last day for evidence, and enter what was paid or that it was refused.",
        ],
    ),
    (
        "bench",
        "Bench",
        &[
            "What waits is listed with the oldest promise first.",
            "Walk along the shelf once for all that are paid: the list goes by place, with boxes to tick.",
            "Open an order and plan its parcels: it takes the cartons, wraps and fill that you have.",
            "If a carton is out, another stands in, and you are told first what that costs.",
            "If something else is short, plan without setting it aside, or with any carton.",
            "What a plan takes is set aside for it until it is packed or released.",
            "Print the pack sheet. Its square code opens the order on the phone.",
            "Tick each step and write down what the scale says.",
            "Type that in: plan and parcel stand side by side, with what more weight means in postage.",
            "Sent, the supplies are used up, and the figures make the next plan better.",
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
const WORDS: [(&str, &str); 37] = [
    ("accepted offer", "a sale below the ask, at a price that isn't shown"),
    ("ask", "the price that is asked"),
    ("backstamp", "the maker's mark under a piece"),
    ("basis", "what a piece cost you: its share of what the haul cost"),
    ("bench", "where orders wait to be packed"),
    ("billable weight", "the weight that postage is charged for"),
    ("bundle", "what is placed as one: a wrapped piece, plates on edge, a nest of bowls"),
    ("comp", "a comparable sale: what a like piece or lot sold for, or was offered at"),
    ("card", "all that is typed at a venue for a listing"),
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
    ("listing", "so many like lots on offer at one price"),
    ("lot", "what one buyer gets for one price"),
    ("order ladder", "what happens for an order of one lot, of two, and so on to all"),
    ("pack sheet", "the printed plan of one parcel"),
    ("promise", "the day by which an order is to be handed over"),
    ("rate card", "the dated prices of postage"),
    ("recipe", "how a form is protected: wraps, guards, what is stuffed, ways up"),
    ("sell-through", "the share of what was listed that sold"),
    ("split", "into which lots a find is sorted"),
    ("stand-in", "a carton that is taken since the right one is out"),
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
