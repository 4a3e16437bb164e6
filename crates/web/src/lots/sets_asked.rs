//! What is asked about sets of pieces of several finds: what one holds, and what their records make of it.

use std::sync::Arc;

use axum::response::Response;
use books::FindId;
use keeping::{RecordJob, SetPart, SetQuestion, SetTold, Stop};
use maud::{Markup, html};

use super::beside::{self, Beside};
use crate::App;
use crate::form::{Filled, Mistakes};
use crate::shopdoor::NoAnswer;
use crate::spelled::in_address;

/// Most pieces of the leading find in a set.
const MOST_EACH: u32 = 1000;
/// Finds of the same haul that are shown (judgement).
const SHOWN: usize = 30;
/// The fields that say what a set is.
const SAID: [&str; 3] = ["each", "with", "alone"];

/// A find that may go into the sets.
pub(super) struct Other {
    pub(super) find: FindId,
    pub(super) description: String,
    pub(super) free: u32,
}

/// The leading find, the finds about it, and the set where one is told.
pub(super) struct SetsAsked {
    pub(super) description: String,
    pub(super) free: u32,
    pub(super) others: Vec<Other>,
    pub(super) beside: Beside,
    /// The set with its records, where it is told and can be made up.
    pub(super) question: Option<SetQuestion>,
    /// It as a job, where the leading find has comps; or why it makes none.
    pub(super) job: Option<Result<Arc<RecordJob>, String>>,
    /// What was typed of the set, as part of an address.
    said: String,
}

/// Reads what a set holds; `None` where it isn't told or is wrong.
pub(super) fn told_set(filled: &Filled, lead: FindId, mistakes: &mut Mistakes) -> Option<SetTold> {
    let mut wrong = Mistakes::default();
    let each = filled.whole("each", 1..=MOST_EACH, &mut wrong).unwrap_or(1);
    let mut parts = vec![SetPart { find: lead, each }];
    if filled.text("with").is_some() {
        match keeping::set_parts_told(filled.typed("with"), lead) {
            Ok(others) => parts.extend(others),
            Err(why) => wrong.add("with", why),
        }
    }
    let alone = match keeping::alone_told(filled.typed("alone"), &parts) {
        Ok(alone) => alone,
        // Of a set that can't be read nobody knows which finds are in it.
        Err(_) if parts.len() == 1 => Vec::new(),
        Err(why) => {
            wrong.add("alone", why);
            Vec::new()
        }
    };
    for (field, why) in wrong.iter() {
        mistakes.add(field, why);
    }
    (parts.len() > 1 && wrong.is_empty()).then_some(SetTold { parts, alone })
}

impl SetsAsked {
    /// Reads the finds and makes a job of the set, with what was typed. The error is a page.
    pub(super) async fn read(
        app: &App,
        lead: FindId,
        filled: &Filled,
        mistakes: &mut Mistakes,
    ) -> Result<Self, Response> {
        let day = app.now().day;
        let (said, set) = (beside::read(filled, mistakes), told_set(filled, lead, mistakes));
        let typed: Vec<String> = SAID
            .into_iter()
            .filter_map(|name| filled.text(name).map(|text| format!("{name}={}", in_address(text))))
            .collect();
        let read = app.read_shop(move |shop, desk| {
            let (text, free) = (shop.find_text(lead)?, keeping::sound_and_free(shop, lead)?);
            let haul = shop.books()?.haul_of(lead).map_err(shop::ShopError::from)?.id();
            let mut others = Vec::new();
            for other in shop.finds_of(haul)?.into_iter().filter(|other| *other != lead).take(SHOWN) {
                let free = keeping::sound_and_free(shop, other)?;
                others.push(Other { find: other, description: shop.find_text(other)?.description, free });
            }
            let mut terms = keeping::TermsOf::Usual;
            let (mut question, mut why_not) = (None, None);
            if let Some(set) = set {
                match SetQuestion::read(shop, &set, day) {
                    Ok(mut read) => {
                        terms = read.asks(said.clone())?;
                        question = Some(read);
                    }
                    Err(Stop::Input(why)) => why_not = Some(why),
                    Err(stop @ Stop::Outside(_)) => return Err(NoAnswer::Stop(stop)),
                }
            }
            let job = match question.as_ref().filter(|question| question.has_comps()).map(|one| one.job(desk))
            {
                None => None,
                Some(Ok(job)) => Some(Ok(Arc::new(job))),
                Some(Err(Stop::Input(why))) => Some(Err(why)),
                Some(Err(stop @ Stop::Outside(_))) => return Err(NoAnswer::Stop(stop)),
            };
            let beside = Beside::new(shop, said, terms)?;
            let said = typed.join("&");
            let description = text.description;
            Ok((Self { description, free, others, beside, question, job, said }, why_not))
        });
        let (asked, why_not) = read.await?;
        if let Some(why) = why_not {
            mistakes.add("with", why);
        }
        Ok(asked)
    }

    /// What was said of the set and beside it as the end of an address, with what stands before it.
    pub(super) fn query(&self, before: &str) -> String {
        match (self.said.is_empty(), self.beside.query("&")) {
            (true, beside) if beside.is_empty() => String::new(),
            (true, _) => self.beside.query(before),
            (false, beside) => format!("{before}{}{beside}", self.said),
        }
    }

    /// The same as hidden fields of a form.
    pub(super) fn hidden(&self, filled: &Filled) -> Markup {
        html! {
            @for name in SAID {
                @if filled.text(name).is_some() { input type="hidden" name=(name) value=(filled.typed(name)); }
            }
            (self.beside.hidden())
        }
    }
}
