//! What every page has around it: skip link, name, navigation, foot.

use maud::{DOCTYPE, Markup, html};

use crate::assets;
use crate::way::STEPS;

/// Zoom is free, and a keyboard on the screen makes the window smaller, so that what sticks to its edges stays seen.
const VIEWPORT: &str = "width=device-width, initial-scale=1, interactive-widget=resizes-content";

/// A page to be drawn.
#[derive(Debug, Clone)]
pub struct Page<'a> {
    /// Its title and first heading: unlike any other page's.
    pub title: &'a str,
    /// The path that the navigation marks as the present one; empty for none.
    pub path: &'a str,
    /// Whether something is wrong with what was typed: the title then says so.
    pub wrong: bool,
    /// Whether it can be put on a phone's home screen.
    pub installs: bool,
    /// After how many seconds a browser without scripts asks for it again, while something is worked on.
    pub refreshes: Option<u32>,
    /// Whether the navigation is shown: only to who is let in.
    pub inside: bool,
    /// What stands above everything (that it is a demo), if anything.
    pub above: Markup,
    /// What stands before the heading (a summary of mistakes), if anything.
    pub before: Markup,
    /// What the page is about.
    pub body: Markup,
}

impl<'a> Page<'a> {
    /// A page inside with nothing wrong.
    #[must_use]
    pub fn new(title: &'a str, path: &'a str, body: Markup) -> Self {
        Self {
            title,
            path,
            wrong: false,
            installs: false,
            refreshes: None,
            inside: true,
            above: html! {},
            before: html! {},
            body,
        }
    }

    /// The same with mistakes to be told: they stand first, and the title begins with "Error: ".
    #[must_use]
    pub fn with_mistakes(self, mistakes: &crate::form::Mistakes) -> Self {
        Self { wrong: !mistakes.is_empty(), before: crate::form::summary(mistakes), ..self }
    }

    /// The whole document.
    #[must_use]
    pub fn draw(&self) -> Markup {
        let here = |path: &str| {
            let within =
                self.path.strip_prefix(path).is_some_and(|rest| rest.is_empty() || rest.starts_with('/'));
            within.then_some(if self.path == path { "page" } else { "true" })
        };
        let step = STEPS.iter().find(|step| here(step.path).is_some()).map(|step| step.word);
        let word = if self.path == "/" { Some("Today") } else { step };
        html! {
            (DOCTYPE)
            html lang="en" {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content=(VIEWPORT);
                    meta name="color-scheme" content="light dark";
                    title { @if self.wrong { "Error: " } (self.title) " - Lotwright" }
                    link rel="stylesheet" href=(assets::path("lotwright.css"));
                    link rel="icon" type="image/svg+xml" href=(assets::path("mark.svg"));
                    link rel="apple-touch-icon" href=(assets::path("touch-180.png"));
                    @if self.installs {
                        link rel="manifest" href=(crate::offline::MANIFEST);
                        meta name="theme-color" content=(crate::offline::COLOUR);
                    }
                    script type="module" src=(assets::path("page.js")) {}
                    @if let Some(seconds) = self.refreshes {
                        noscript { meta http-equiv="refresh" content=(seconds); }
                    }
                }
                body {
                    a.skip href="#page" { "Skip to the page" }
                    header.head {
                        p.name { @if self.inside { a href="/" { "Lotwright" } } @else { "Lotwright" } }
                        @if self.inside {
                            // On a phone the steps come up from this button; where there is room they stand open.
                            button.to-steps type="button" popovertarget="steps" {
                                "Steps" @if let Some(word) = word { ": " (word) }
                            }
                            nav #steps popover aria-label="Steps" {
                                ul {
                                    li { a href="/" aria-current=[here("/")] { "Today" } }
                                    @for step in STEPS {
                                        li { a href=(step.path) aria-current=[here(step.path)] { (step.word) } }
                                    }
                                }
                            }
                        }
                    }
                    main #page tabindex="-1" {
                        (self.above)
                        (self.before)
                        h1 { (self.title) }
                        (self.body)
                    }
                    footer.foot {
                        @if self.inside {
                            p { a href="/begin" { "Which shop" } " is open. " a href="/settings" { "Settings" } " and what parcels taught. " a href="/file" { "The shop file" } ", its backups and what happened. " a href="/devices" { "Devices" } " that are let in." }
                        }
                        p { "Everything stays on the machine it runs on. Nothing here is tax, legal or insurance advice." }
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Page;
    use maud::html;

    #[test]
    fn a_page_marks_where_it_is_and_links_to_every_step() {
        let html = Page::new("Pack sheet", "/pack/7/sheet", html! {}).draw().into_string();
        assert!(html.contains(r#"<a href="/pack" aria-current="true">"#));
        assert_eq!(html.matches("aria-current").count(), 1);
        assert_eq!(html.matches("<li><a href=\"/").count(), crate::way::STEPS.len() + 1);
        assert!(html.contains(">Steps: Pack</button>"), "the button says where one is");
    }

    #[test]
    fn who_is_not_let_in_sees_no_navigation() {
        let page = Page { inside: false, ..Page::new("Come in", "", html! {}) };
        assert!(!page.draw().into_string().contains("<nav"));
    }
}
