//! Receipts, photos and evidence: taken in, shown with the record they belong to, handed out by number alone.

use axum::Router;
use axum::extract::{DefaultBodyLimit, Multipart, Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::{get, post};
use books::FindId;
use maud::{Markup, html};
use papers::{Kind, Paper, Role};
use shop::{About, Attachment, PieceRef, Record, Shop};

use crate::App;
use crate::refusal::refusal;
use crate::shopdoor::NoAnswer;

/// Most bytes of one sending: a few photos of a phone (judgement).
pub(crate) const MOST_UPLOADED: usize = 96 << 20;
/// Most files of one sending.
const MOST_FILES: usize = 12;

/// Pages that show; small requests.
pub(crate) fn routes() -> Router<App> {
    Router::new()
        .route("/papers/{number}", get(file))
        .route("/papers/{number}/preview", get(preview))
        .route("/papers/{number}/strike", post(strike))
}

/// Where files come in; these requests may be large.
pub(crate) fn uploads() -> Router<App> {
    Router::new()
        .route("/papers/to/{kind}/{number}", post(take_record))
        .route("/papers/to/piece/{find}/{number}", post(take_piece))
        .layer(DefaultBodyLimit::max(MOST_UPLOADED))
}

/// A record that files may belong to.
fn record(kind: &str) -> Option<Record> {
    [Record::Haul, Record::Find, Record::Order, Record::Claim]
        .into_iter()
        .find(|record| record.word() == kind)
}

/// Where the files of a record are sent, and where they are shown afterwards.
fn paths(about: About) -> (String, String) {
    match about {
        About::Piece(PieceRef { find, number }) => {
            (format!("/papers/to/piece/{find}/{number}"), format!("/finds/{find}/pieces/{number}#papers"))
        }
        About::Record { record, number } => {
            (format!("/papers/to/{}/{number}", record.word()), format!("/{}s/{number}#papers", record.word()))
        }
    }
}

/// What a file of this record usually is.
const fn usual(about: About) -> Role {
    match about {
        About::Record { record: Record::Haul, .. } => Role::Receipt,
        About::Record { record: Record::Claim, .. } => Role::Evidence,
        About::Record { .. } | About::Piece(_) => Role::Photo,
    }
}

/// The files of a record with a form for more, as a section of its page.
///
/// # Errors
/// When the shop file can't be read.
pub(crate) fn papers_of(shop: &Shop, about: About) -> Result<Markup, NoAnswer> {
    let known = shop.attached_to(about)?;
    let (to, _) = paths(about);
    Ok(html! {
        section #papers aria-labelledby="papers-title" {
            h2 #papers-title { "Photos and papers" }
            @if known.is_empty() { p { "None yet." } } @else {
                ul.papers { @for (number, one) in &known { li { (shown(*number, one)) } } }
            }
            form method="post" action=(to) enctype="multipart/form-data" {
                div.field {
                    label for="paper-files" { "Add photos or a receipt" }
                    p.hint #paper-files-hint {
                        "JPEG, PNG, WebP or PDF, up to " (MOST_FILES) " at once. Pictures are kept upright, without place, camera or date; a PDF is kept as it is."
                    }
                    input #paper-files type="file" name="file" multiple required accept="image/jpeg,image/png,image/webp,application/pdf" aria-describedby="paper-files-hint";
                }
                div.field {
                    label for="paper-role" { "They are" }
                    select #paper-role name="role" {
                        @for role in Role::ALL {
                            option value=(role.word()) selected[role == usual(about)] { (role.word()) }
                        }
                    }
                }
                button.quiet type="submit" { "Add" }
            }
        }
    })
}

fn shown(number: u64, one: &Attachment) -> Markup {
    let kind = papers::Name::read(&one.name).map(|name| name.kind());
    let words = format!("{} {number}", one.role.word());
    html! {
        a href={ "/papers/" (number) } {
            @if kind.is_some_and(Kind::shows_in_place) {
                img src={ "/papers/" (number) "/preview" } alt=(words) loading="lazy" width="160";
            } @else { (words) " (PDF)" }
        }
        form method="post" action={ "/papers/" (number) "/strike" } {
            button.quiet type="submit" { "Strike out" span.unseen { " " (words) } }
        }
    }
}

async fn file(State(app): State<App>, Path(number): Path<u64>) -> Response {
    let found = app.read_shop(move |shop, _| Ok(shop.attached_file(number)?)).await;
    let file = match found {
        Ok(file) => file,
        Err(page) => return page,
    };
    let how = if file.kind.shows_in_place() { "inline" } else { "attachment" };
    let headers = [
        (header::CONTENT_TYPE, file.kind.media_type().to_owned()),
        (header::CONTENT_DISPOSITION, format!("{how}; filename=\"{number}.{}\"", file.kind.extension())),
    ];
    (headers, file.bytes).into_response()
}

async fn preview(State(app): State<App>, Path(number): Path<u64>) -> Response {
    match app.read_shop(move |shop, _| Ok(shop.attached_preview(number)?)).await {
        Ok(Some(bytes)) => ([(header::CONTENT_TYPE, Kind::Jpeg.media_type())], bytes).into_response(),
        Ok(None) => refusal(StatusCode::NOT_FOUND, "There is no preview", "A PDF has none; open it instead."),
        Err(page) => page,
    }
}

/// Strikes an attachment out; its file stays until loose files are cleared away.
async fn strike(State(app): State<App>, Path(number): Path<u64>) -> Response {
    let stamp = app.stamp();
    let done = app
        .read_shop(move |shop, _| {
            let about = shop.noted_one::<Attachment>(number)?.about();
            shop.strike::<Attachment>(&stamp, number)?;
            Ok(paths(about).1)
        })
        .await;
    done.map_or_else(|page| page, |back| Redirect::to(&back).into_response())
}

async fn take_record(
    State(app): State<App>,
    Path((kind, number)): Path<(String, u64)>,
    form: Multipart,
) -> Response {
    match record(&kind) {
        Some(record) => take(app, About::Record { record, number }, form).await,
        None => crate::refusal::nowhere().await,
    }
}

async fn take_piece(
    State(app): State<App>,
    Path((find, number)): Path<(u64, u32)>,
    form: Multipart,
) -> Response {
    take(app, About::Piece(PieceRef { find: FindId(find), number }), form).await
}

async fn take(app: App, about: About, form: Multipart) -> Response {
    let (_, back) = paths(about);
    let wrong = |why: &str| {
        let title = "These files can't be kept";
        let body = html! {
            p.mistake { (why) }
            p { "Nothing was stored." }
            p { a href=(back) { "Back" } }
        };
        let page = crate::Page { wrong: true, ..app.page(title, "", body) };
        crate::record_page::checked(&page)
    };
    let (role, files) = match sent(form, usual(about)).await {
        Ok(sent) => sent,
        Err(why) => return wrong(&why),
    };
    // Decoding takes its time and much memory: a few at once, and none while the shop file is held.
    let read = app.work(move |_| {
        let read = |(name, bytes): &(String, Vec<u8>)| {
            Paper::read(bytes, role).map_err(|why| format!("{}: {why}", crate::form::short(name)))
        };
        files.iter().map(read).collect::<Result<Vec<_>, String>>()
    });
    let papers = match read.await {
        Some(Ok(papers)) => papers,
        Some(Err(why)) => return wrong(&why),
        None => {
            return wrong("one of them could not be decoded; right would be a photo as the camera made it");
        }
    };
    let stamp = app.stamp();
    match app.ask_shop(move |shop, _| Ok(shop.attach(&stamp, about, &papers)?)).await {
        Ok(_) => Redirect::to(&back).into_response(),
        Err(NoAnswer::Stop(stop)) => wrong(&stop.to_string()),
        Err(NoAnswer::NotBegun) => NoAnswer::NotBegun.page(),
    }
}

/// The role and the files of a sending.
async fn sent(mut form: Multipart, usual: Role) -> Result<(Role, Vec<(String, Vec<u8>)>), String> {
    let (mut role, mut files) = (usual, Vec::new());
    let mut unread = |e: axum::extract::multipart::MultipartError| {
        format!(
            "the sending can't be read: {}; right would be at most {} MB at once",
            e.body_text(),
            MOST_UPLOADED >> 20
        )
    };
    while let Some(field) = form.next_field().await.map_err(&mut unread)? {
        match field.name() {
            Some("role") => {
                let word = field.text().await.map_err(&mut unread)?;
                let known = Role::ALL.into_iter().find(|role| role.word() == word);
                role =
                    known.ok_or_else(|| String::from("what they are isn't known; choose one of the list"))?;
            }
            Some("file") => {
                let name = field.file_name().unwrap_or("a file").to_owned();
                let bytes = field.bytes().await.map_err(&mut unread)?;
                if !bytes.is_empty() {
                    files.push((name, bytes.to_vec()));
                }
                if files.len() > MOST_FILES {
                    return Err(format!("more than {MOST_FILES} files; right would be fewer at once"));
                }
            }
            Some(_) | None => {}
        }
    }
    if files.is_empty() {
        return Err(String::from("no file was chosen; right would be a photo or a receipt"));
    }
    Ok((role, files))
}
