//! What every page has around it: skip link, name, navigation, foot.

use maud::{DOCTYPE, Markup, html};

use crate::assets;
use crate::way::STEPS;

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
        html! {
            (DOCTYPE)
            html lang="en" {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    meta name="color-scheme" content="light dark";
                    title { @if self.wrong { "Error: " } (self.title) " - Lotwright" }
                    link rel="stylesheet" href=(assets::path("lotwright.css"));
                    link rel="icon" type="image/svg+xml" href=(assets::path("mark.svg"));
                    @if self.installs {
                        link rel="manifest" href=(crate::offline::MANIFEST);
                        meta name="theme-color" content=(crate::offline::COLOUR);
                    }
                    script type="module" src=(assets::path("page.js")) {}
                }
                body {
                    a.skip href="#page" { "Skip to the page" }
                    header.head {
                        p.name { @if self.inside { a href="/" { "Lotwright" } } @else { "Lotwright" } }
                        @if self.inside {
                            nav aria-label="Steps" {
                                ul {
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
                            p { a href="/begin" { "Which shop" } " is open. " a href="/settings" { "Settings" } " and what parcels taught. " a href="/devices" { "Devices" } " that are let in." }
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
        assert_eq!(html.matches("<li><a href=\"/").count(), crate::way::STEPS.len());
    }

    #[test]
    fn who_is_not_let_in_sees_no_navigation() {
        let page = Page { inside: false, ..Page::new("Come in", "", html! {}) };
        assert!(!page.draw().into_string().contains("<nav"));
    }
}
