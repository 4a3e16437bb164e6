//! Titles: the count first, then what buyers type, within the venue's limit, and what was left out.

use measure::plain;

use crate::noun::same_word;
use crate::title_words::{Unfit, clean, is_joiner, may_repeat};
use crate::vocabulary::vocabulary;
use crate::{Count, ListingError, Noun};

/// What is known of the maker.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Maker {
    /// Nothing to say.
    #[default]
    Unsaid,
    /// The pieces carry this maker's mark.
    Marked(String),
    /// There is no mark: the title says "unmarked".
    Unmarked,
    /// No mark, but good grounds: the title says "attributed to", and never the bare name.
    AttributedTo(String),
}

/// What is known of the age.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Period {
    /// Nothing to say.
    #[default]
    Unsaid,
    /// Old, without a date: the title says "vintage".
    Vintage,
    /// Dated ("1950s"), with the proof in words; without a proof it stays out of the title.
    Dated {
        /// The words for the title.
        words: String,
        /// What proves it: a date mark, a catalogue page.
        proof: String,
    },
}

/// What a title is made of. Empty texts are passed over.
#[derive(Debug, Clone, PartialEq)]
pub struct TitleParts {
    /// How many pieces one lot has.
    pub count: Count,
    /// The word for the form, never dropped.
    pub form: Noun,
    /// What comes with each piece ("saucers"), said after "with".
    pub with: String,
    /// The maker.
    pub maker: Maker,
    /// Pattern or line.
    pub pattern: String,
    /// Other words buyers type for the form; only their new words are used.
    pub synonyms: Vec<String>,
    /// Size or capacity, in digits ("8 oz").
    pub size: String,
    /// Colour.
    pub colour: String,
    /// Decoration.
    pub decoration: String,
    /// Material.
    pub material: String,
    /// Age.
    pub period: Period,
    /// Country.
    pub country: String,
    /// Bad news ("chip", "as is"), never dropped; see `Conditions::title_flag`.
    pub bad_news: Option<String>,
}

impl TitleParts {
    /// Parts with a count and a form word, and nothing else said.
    #[must_use]
    pub fn new(count: Count, form: Noun) -> Self {
        Self {
            count,
            form,
            with: String::new(),
            maker: Maker::Unsaid,
            pattern: String::new(),
            synonyms: Vec::new(),
            size: String::new(),
            colour: String::new(),
            decoration: String::new(),
            material: String::new(),
            period: Period::Unsaid,
            country: String::new(),
            bad_news: None,
        }
    }
}

vocabulary! {
    /// A part of a title, in the order in which they stand.
    TitlePart {
        /// The count and its word.
        Count = "count",
        /// The maker.
        Maker = "maker",
        /// The word that there is no mark.
        Unmarked = "unmarked",
        /// Pattern or line.
        Pattern = "pattern",
        /// The form word.
        Form = "form",
        /// What comes with it.
        With = "with",
        /// Other words for the form.
        Synonyms = "synonyms",
        /// Size or capacity.
        Size = "size",
        /// Colour.
        Colour = "colour",
        /// Decoration.
        Decoration = "decoration",
        /// Material.
        Material = "material",
        /// Age.
        Period = "period",
        /// Country.
        Country = "country",
        /// Bad news.
        BadNews = "bad news",
    }
}

/// Parts that may be dropped, the one kept longest first: the last of them goes first.
///
/// Source: judgement, from what buyers search by; the common order of titles puts the same words last.
pub const KEPT_LONGEST_FIRST: &[TitlePart] = &[
    TitlePart::With,
    TitlePart::Maker,
    TitlePart::Pattern,
    TitlePart::Size,
    TitlePart::Colour,
    TitlePart::Decoration,
    TitlePart::Material,
    TitlePart::Period,
    TitlePart::Synonyms,
    TitlePart::Unmarked,
    TitlePart::Country,
];

vocabulary! {
    /// Why words stay out of a title.
    DropReason {
        /// The venue's limit was reached.
        NoRoom = "no room within the venue's limit",
        /// The word stands there already.
        Repeated = "it repeats a word",
        /// It praises and says nothing.
        Puffery = "it says nothing of the piece",
        /// Marks, not a word.
        Ornament = "marks, not a word",
        /// A date without proof.
        NotProven = "no proof of the date is given",
        /// The name of a maker whose mark the pieces don't carry.
        BareMaker = "a maker's name without \"attributed to\"",
        /// It likens the piece to another maker's.
        LikeAnother = "it likens the piece to another",
    }
}

/// Words that stayed out of a title.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Dropped {
    /// The words.
    pub words: String,
    /// The part they belong to.
    pub part: TitlePart,
    /// Why.
    pub reason: DropReason,
}

/// A title, and what stayed out of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Title {
    /// The title; a person may change it, and `lint` reads it again.
    pub text: String,
    /// What stayed out, with the reason.
    pub dropped: Vec<Dropped>,
}

/// How long a text is for a venue's limit: Unicode scalar values. What a person sees as one character may
/// be several of them, so a title that fits by this count also fits where a venue counts fewer.
#[must_use]
pub fn characters(text: &str) -> usize {
    text.chars().count()
}

/// Composes a title of at most `limit` characters: the count, then maker, pattern, form and what comes with
/// it, other words for the form, size, colour, decoration, material, period, country, bad news.
///
/// Whole parts are dropped, in the order of [`KEPT_LONGEST_FIRST`] from its end; a part further down still
/// stands where it fits. Count, form and bad news are never dropped.
///
/// # Errors
/// [`ListingError::NoFormWord`], or [`ListingError::TitleTooLong`] when even those three are too long.
///
/// ```
/// use listing::{Belonging, Count, Maker, Noun, TitleParts, compose_title};
///
/// let count = Count::new(4, Belonging::Alike)?;
/// let mut parts = TitleParts::new(count, Noun::new("consomme cup"));
/// parts.with = "saucers".to_owned();
/// parts.maker = Maker::Unmarked;
/// parts.material = "stoneware".to_owned();
/// assert_eq!(compose_title(&parts, 80)?.text, "4 Unmarked Consomme Cups with Saucers Stoneware");
/// assert_eq!(compose_title(&parts, 38)?.text, "4 Consomme Cups with Saucers Stoneware");
/// # Ok::<(), listing::ListingError>(())
/// ```
pub fn compose_title(parts: &TitleParts, limit: usize) -> Result<Title, ListingError> {
    let mut drafting = Drafting::begin(parts)?;
    let length = characters(&drafting.text());
    if length > limit {
        return Err(ListingError::TitleTooLong { words: drafting.text(), length, limit });
    }
    for &part in KEPT_LONGEST_FIRST {
        for phrase in phrases(parts, part) {
            drafting.offer(part, phrase, limit);
        }
    }
    Ok(Title { text: drafting.text(), dropped: drafting.dropped })
}

/// A phrase of a part: words that must stand before it, and the words themselves.
struct Phrase<'a> {
    lead: &'static str,
    words: &'a str,
    /// Why it can't be used at all.
    refused: Option<DropReason>,
}

fn phrases(parts: &TitleParts, part: TitlePart) -> Vec<Phrase<'_>> {
    let plainly = |words| Phrase { lead: "", words, refused: None };
    match part {
        TitlePart::Count | TitlePart::Form | TitlePart::BadNews => Vec::new(),
        TitlePart::With => vec![Phrase { lead: "with", words: &parts.with, refused: None }],
        TitlePart::Maker => match &parts.maker {
            Maker::Unsaid | Maker::Unmarked => Vec::new(),
            Maker::Marked(name) => vec![plainly(name)],
            Maker::AttributedTo(name) => {
                vec![Phrase { lead: "Attributed to", words: name, refused: None }]
            }
        },
        TitlePart::Unmarked if parts.maker == Maker::Unmarked => vec![plainly("unmarked")],
        TitlePart::Unmarked => Vec::new(),
        TitlePart::Pattern => vec![plainly(&parts.pattern)],
        TitlePart::Synonyms => parts.synonyms.iter().map(|words| plainly(words)).collect(),
        TitlePart::Size => vec![plainly(&parts.size)],
        TitlePart::Colour => vec![plainly(&parts.colour)],
        TitlePart::Decoration => vec![plainly(&parts.decoration)],
        TitlePart::Material => vec![plainly(&parts.material)],
        TitlePart::Period => match &parts.period {
            Period::Unsaid => Vec::new(),
            Period::Vintage => vec![plainly("vintage")],
            Period::Dated { words, proof } => {
                let unproven = plain(proof).is_empty().then_some(DropReason::NotProven);
                vec![Phrase { lead: "", words, refused: unproven }]
            }
        },
        TitlePart::Country => vec![plainly(&parts.country)],
    }
}

/// A title in the making: what stands, part by part.
struct Drafting {
    standing: Vec<(TitlePart, Vec<String>)>,
    dropped: Vec<Dropped>,
    /// Plain words of a maker's name that may not stand bare.
    not_bare: Vec<String>,
}

impl Drafting {
    fn begin(parts: &TitleParts) -> Result<Self, ListingError> {
        let not_bare = match &parts.maker {
            Maker::AttributedTo(name) => clean(name).words.iter().map(|word| plain(word)).collect(),
            Maker::Unsaid | Maker::Marked(_) | Maker::Unmarked => Vec::new(),
        };
        let count = parts.count.title_words().split(' ').map(str::to_owned).collect();
        let mut drafting = Self { standing: vec![(TitlePart::Count, count)], dropped: Vec::new(), not_bare };
        let form = drafting.fresh(TitlePart::Form, parts.form.word(parts.count.pieces()));
        if !form.iter().any(|word| word.chars().any(char::is_alphanumeric)) {
            return Err(ListingError::NoFormWord);
        }
        drafting.standing.push((TitlePart::Form, form));
        if let Some(news) = &parts.bad_news {
            let news = drafting.fresh(TitlePart::BadNews, news);
            drafting.standing.push((TitlePart::BadNews, news));
        }
        Ok(drafting)
    }

    fn text(&self) -> String {
        let words: Vec<&str> = TitlePart::ALL
            .iter()
            .flat_map(|part| self.standing.iter().filter(move |(standing, _)| standing == part))
            .flat_map(|(_, words)| words.iter().map(String::as_str))
            .collect();
        words.join(" ")
    }

    fn drop(&mut self, part: TitlePart, words: String, reason: DropReason) {
        self.dropped.push(Dropped { words, part, reason });
    }

    /// The words of a phrase that are fit for the title and don't stand in it yet.
    fn fresh(&mut self, part: TitlePart, phrase: &str) -> Vec<String> {
        let cleaned = clean(phrase);
        for (word, reason) in cleaned.unfit {
            let reason = match reason {
                Unfit::Puffery => DropReason::Puffery,
                Unfit::Ornament => DropReason::Ornament,
                Unfit::LikeAnother => DropReason::LikeAnother,
            };
            self.drop(part, word, reason);
        }
        let bare =
            if part == TitlePart::Maker { Vec::new() } else { runs_of(&cleaned.words, &self.not_bare) };
        let mut words: Vec<String> = Vec::new();
        for (at, word) in cleaned.words.into_iter().enumerate() {
            if bare.contains(&at) {
                self.drop(part, word, DropReason::BareMaker);
            } else if !may_repeat(&word) && self.stands(part, &word, &words) {
                self.drop(part, word, DropReason::Repeated);
            } else {
                words.push(word);
            }
        }
        // What joined a word that is gone joins nothing.
        while words.first().is_some_and(|word| is_joiner(word)) {
            words.remove(0);
        }
        while words.last().is_some_and(|word| is_joiner(word)) {
            words.pop();
        }
        words
    }

    /// Whether a word of `part` stands in the title already. A maker's name stays whole, and a form word
    /// ("tea set") doesn't lose what the count ("set of 15") says as well.
    fn stands(&self, part: TitlePart, word: &str, beside: &[String]) -> bool {
        let wanted = plain(word);
        let same = |other: &String| {
            let other_plain = plain(other);
            if wanted.is_empty() { other == word } else { same_word(&wanted, &other_plain) }
        };
        let whole = matches!(part, TitlePart::Maker | TitlePart::Form);
        beside.iter().any(same) || (!whole && self.standing.iter().flat_map(|(_, words)| words).any(same))
    }

    /// Takes a phrase into the title if it fits, and notes it as dropped if it doesn't.
    fn offer(&mut self, part: TitlePart, phrase: Phrase<'_>, limit: usize) {
        if let Some(reason) = phrase.refused {
            self.drop(part, phrase.words.to_owned(), reason);
            return;
        }
        let fresh = self.fresh(part, phrase.words);
        // A name without a letter or a digit is nothing to lead up to.
        if !fresh.iter().any(|word| word.chars().any(char::is_alphanumeric)) {
            return;
        }
        let words: Vec<String> = phrase.lead.split_whitespace().map(str::to_owned).chain(fresh).collect();
        let said = words.join(" ");
        self.standing.push((part, words));
        if characters(&self.text()) > limit {
            self.standing.pop();
            self.drop(part, said, DropReason::NoRoom);
        }
    }
}

/// Places in `words` where all the words of `name` stand in a row.
fn runs_of(words: &[String], name: &[String]) -> Vec<usize> {
    if name.is_empty() {
        return Vec::new();
    }
    let plainly: Vec<String> = words.iter().map(|word| plain(word)).collect();
    plainly
        .windows(name.len())
        .enumerate()
        .filter(|(_, run)| *run == name)
        .flat_map(|(at, run)| at..at + run.len())
        .collect()
}
