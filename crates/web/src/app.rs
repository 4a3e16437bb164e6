//! What all pages share, and the router that leads to them.

use std::any::Any;
use std::sync::{Arc, OnceLock};

use axum::Router;
use axum::http::StatusCode;
use axum::middleware::{from_fn, from_fn_with_state};
use axum::response::Response;
use axum::routing::get;
use tokio::sync::Semaphore;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::csrf::{CsrfLayer, ProtectionError};
use tower_http::limit::RequestBodyLimitLayer;

use crate::desk::Desk;
use crate::form::{Answered, Once, lead};
use crate::lots::Works;
use crate::offline::Module;
use crate::outside::{Moment, Outside};
use crate::pack::Jobs;
use crate::recent::Recent;
use crate::shelf::KeptChecks;
use crate::shopdoor::{READING_AT_ONCE, ShopDoor, ShopFiles};
use crate::{Access, Hosts, WebError};
use crate::{
    assets, begin, bench, cards, cost_flow_page, devices, enter, file_page, finds, guard, hauls, headers,
    help, history_page, hosts, intake, listings, lots, measure_page, money, offline, orders, pack,
    papers_page, refusal, session, settings_page, shelf, stock_page, supplies, tags, today, venues,
};

/// Most bytes of a request: a form, or a job sheet with room for how a form is coded.
const MOST_BYTES: usize = 1 << 20;
/// Questions that are worked on at once; the others wait their turn.
const AT_ONCE: usize = 2;

/// How the app is reached.
#[derive(Debug, Clone)]
pub struct Reach {
    /// Names it answers to.
    pub hosts: Hosts,
    /// Whether browsers speak to it over TLS.
    pub secure: bool,
    /// The origin (`http://192.0.2.7:8765`) under which other devices reach it; `None` on this machine alone.
    pub lan: Option<String>,
}

/// What all pages share; cloning shares it.
#[derive(Clone)]
pub struct App(Arc<Shared>);

struct Shared {
    desk: Desk,
    shop: ShopDoor,
    shop_turns: Arc<Semaphore>,
    one_form: Arc<tokio::sync::Mutex<()>>,
    access: Access,
    outside: Outside,
    reach: Reach,
    jobs: Jobs,
    works: Works,
    plannings: bench::Plannings,
    once: Once,
    answered: Answered,
    answers: Recent,
    tables: intake::HeldTables,
    busy: Arc<Semaphore>,
    module: OnceLock<Module>,
    kept: OnceLock<KeptChecks>,
}

impl App {
    /// The app, not yet reachable. The shop files need not be there yet.
    ///
    /// # Errors
    /// When other devices are to reach it and no passphrase is set.
    pub fn new(access: Access, outside: Outside, reach: Reach, files: ShopFiles) -> Result<Self, WebError> {
        if reach.lan.is_some() && !access.has_passphrase() {
            return Err(WebError::NoPassphrase);
        }
        Ok(Self(Arc::new(Shared {
            desk: Desk::published(),
            shop: ShopDoor::new(files),
            shop_turns: Arc::new(Semaphore::new(READING_AT_ONCE)),
            one_form: Arc::default(),
            access,
            outside,
            reach,
            jobs: Jobs::default(),
            works: Works::default(),
            plannings: bench::Plannings::default(),
            once: Once::default(),
            answered: Answered::default(),
            answers: Recent::default(),
            tables: intake::HeldTables::default(),
            busy: Arc::new(Semaphore::new(AT_ONCE)),
            module: OnceLock::new(),
            kept: OnceLock::new(),
        })))
    }

    /// The same with the module that phones check by without a network; the first that is given stays.
    #[must_use]
    pub fn with_module(self, module: Module) -> Self {
        let _ = self.0.module.set(module);
        self
    }

    /// The same with checks that are kept from one run to the next; without it they last as long as the app runs.
    /// The first that are given stay.
    #[must_use]
    pub fn with_kept_checks(self, kept: KeptChecks) -> Self {
        let _ = self.0.kept.set(kept);
        self
    }

    /// Who may come in.
    #[must_use]
    pub fn access(&self) -> &Access {
        &self.0.access
    }

    /// Time, secrets and keeping.
    #[must_use]
    pub fn outside(&self) -> &Outside {
        &self.0.outside
    }

    pub(crate) fn desk(&self) -> &Desk {
        &self.0.desk
    }

    pub(crate) fn shop_door(&self) -> &ShopDoor {
        &self.0.shop
    }

    pub(crate) fn shop_turns(&self) -> Arc<Semaphore> {
        Arc::clone(&self.0.shop_turns)
    }

    /// Whose form is stored now.
    pub(crate) fn one_form(&self) -> Arc<tokio::sync::Mutex<()>> {
        Arc::clone(&self.0.one_form)
    }

    pub(crate) fn reach(&self) -> &Reach {
        &self.0.reach
    }

    pub(crate) fn hosts(&self) -> &Hosts {
        &self.0.reach.hosts
    }

    pub(crate) fn jobs(&self) -> &Jobs {
        &self.0.jobs
    }

    pub(crate) fn works(&self) -> &Works {
        &self.0.works
    }

    pub(crate) fn plannings(&self) -> &bench::Plannings {
        &self.0.plannings
    }

    pub(crate) fn once(&self) -> &Once {
        &self.0.once
    }

    pub(crate) fn form_answers(&self) -> &Answered {
        &self.0.answered
    }

    /// Forgets what was remembered of the shop file, since another has taken its place.
    pub(crate) fn forget(&self) {
        self.0.once.forget();
        self.0.plannings.forget();
        self.0.tables.forget();
    }

    pub(crate) fn answers(&self) -> &Recent {
        &self.0.answers
    }

    /// What phones check by without a network, where it was built.
    pub(crate) fn module(&self) -> Option<&Module> {
        self.0.module.get()
    }

    pub(crate) fn kept(&self) -> &KeptChecks {
        self.0.kept.get_or_init(KeptChecks::default)
    }

    pub(crate) fn tables(&self) -> &intake::HeldTables {
        &self.0.tables
    }

    pub(crate) fn now(&self) -> Moment {
        (self.0.outside.now)()
    }

    /// A key for a form, or why there is none.
    pub(crate) fn form_key(&self) -> Result<String, WebError> {
        (self.0.outside.secret)()
            .map(|secret| crate::spelled::spelled(&secret, 26))
            .map_err(WebError::NoSecret)
    }

    /// Works something out where it blocks nobody's page, a few at a time; `None` when it went wrong inside.
    pub(crate) async fn work<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Desk) -> T + Send + 'static,
    ) -> Option<T> {
        let turn = Arc::clone(&self.0.busy).acquire_owned().await.ok()?;
        let app = self.clone();
        let worked = tokio::task::spawn_blocking(move || {
            let _turn = turn;
            work(app.desk())
        });
        worked.await.inspect_err(|why| tracing::error!(%why, "a question went wrong")).ok()
    }
}

/// All pages with everything around them.
///
/// From the outside in: headers on every answer, panics caught, names checked, foreign forms refused, size limited,
/// who isn't let in turned away. To add pages, write a module with `routes()` like the ones merged here and give
/// its step in [`crate::way`] a path.
pub fn router(app: App) -> Router {
    let inside = Router::new()
        .route("/", get(today::show))
        .merge(begin::routes())
        .merge(shelf::routes())
        .merge(offline::inside())
        .merge(measure_page::routes())
        .merge(pack::routes())
        .merge(hauls::routes())
        .merge(finds::routes())
        .merge(supplies::routes())
        .merge(money::routes())
        .merge(settings_page::routes())
        .merge(venues::routes())
        .merge(cards::routes())
        .merge(guard::routes())
        .merge(cost_flow_page::routes())
        .merge(file_page::routes())
        .merge(history_page::routes())
        .merge(tags::routes())
        .merge(papers_page::routes())
        .merge(stock_page::routes())
        .merge(lots::routes())
        .merge(listings::routes())
        .merge(orders::routes())
        .merge(bench::routes())
        .merge(intake::routes())
        .merge(help::routes())
        .merge(devices::routes())
        .fallback(refusal::nowhere)
        .layer(RequestBodyLimitLayer::new(MOST_BYTES))
        .layer(from_fn_with_state(app.clone(), lead))
        .layer(from_fn_with_state(app.clone(), session::needed));
    // Who isn't let in is turned away before a byte of a file is read.
    let uploads = papers_page::uploads()
        .layer(RequestBodyLimitLayer::new(papers_page::MOST_UPLOADED))
        .layer(from_fn_with_state(app.clone(), lead))
        .layer(from_fn_with_state(app.clone(), session::needed));
    let tables = intake::sending()
        .layer(RequestBodyLimitLayer::new(intake::MOST_REQUEST))
        .layer(from_fn_with_state(app.clone(), lead))
        .layer(from_fn_with_state(app.clone(), session::needed));
    let backups = file_page::sending()
        .layer(RequestBodyLimitLayer::new(file_page::MOST_REQUEST))
        .layer(from_fn_with_state(app.clone(), lead))
        .layer(from_fn_with_state(app.clone(), session::needed));
    let cards = cards::sending()
        .layer(RequestBodyLimitLayer::new(cards::MOST_SENT))
        .layer(from_fn_with_state(app.clone(), session::needed));
    let outside = Router::new()
        .merge(enter::routes())
        .route("/assets/{edition}/{name}", get(assets::serve))
        .merge(offline::outside());
    outside
        .layer(RequestBodyLimitLayer::new(MOST_BYTES))
        .merge(inside)
        .merge(uploads)
        .merge(tables)
        .merge(cards)
        .merge(backups)
        .layer(CsrfLayer::new().with_rejection_response(|_: ProtectionError| foreign()))
        .layer(from_fn_with_state(app.clone(), hosts::check))
        .layer(CatchPanicLayer::custom(broken))
        .layer(from_fn(headers::add))
        .with_state(app)
}

fn foreign() -> Response {
    refusal::refusal(
        StatusCode::FORBIDDEN,
        "This form came from elsewhere",
        "Another site tried to send a form here. Nothing was done. Open the page here and send it again.",
    )
}

/// What is said when a page breaks; the details are for the log.
fn broken(panic: Box<dyn Any + Send>) -> Response {
    let words = panic
        .downcast_ref::<String>()
        .map(String::as_str)
        .or_else(|| panic.downcast_ref::<&str>().copied())
        .unwrap_or("no words");
    tracing::error!(words, "a page broke");
    refusal::refusal(
        StatusCode::INTERNAL_SERVER_ERROR,
        "This page broke",
        "That is a fault of the program, not yours. Nothing was changed. Other pages still work.",
    )
}
