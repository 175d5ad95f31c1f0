//! Every address of the program on one page, grouped by who uses it.

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::HeaderValue;
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, HeaderName, REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
};
use axum::middleware::{from_fn, from_fn_with_state};
use axum::routing::{get, post};
use tower_http::compression::CompressionLayer;
use tower_http::set_header::SetResponseHeaderLayer;

use super::App;
use super::pages::photo;
use super::pages::{account, customer, finding, health, people, report, sheet, sign_in, system};
use super::pages::{
    agreement, booking, due, offline, plan, review, review_sheet, site, today, visit, week,
};
use super::pages::{causes, judge_again, limit_book, priors, signature};
use super::pages::{hazard, requirement, side_by_side};
use super::pages::{price_list, proposal, refrigerant_log};
use super::{assets, cross_site, error, log};
use crate::imaging::SENT_BYTES_MAX;

/// Nothing but our own files; no script or style inside a page; no frame around it.
const CONTENT_POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; \
     font-src 'self'; img-src 'self'; connect-src 'self'; worker-src 'self'; \
     manifest-src 'self'; form-action 'self'; base-uri 'none'; \
     frame-ancestors 'none'";

/// The whole service.
pub fn router(app: App) -> Router {
    let pages = nobody()
        .merge(everybody())
        .merge(on_site())
        .merge(office())
        .merge(owner())
        .fallback(|| async { error::Error::NotFound })
        .method_not_allowed_fallback(|| async { error::Error::NotFound })
        .layer(SetResponseHeaderLayer::if_not_present(
            CACHE_CONTROL,
            HeaderValue::from_static("no-store"),
        ));
    let fixed = |name: HeaderName, value: &'static str| {
        SetResponseHeaderLayer::overriding(name, HeaderValue::from_static(value))
    };
    pages
        .layer(from_fn_with_state(app.clone(), cross_site::refuse_cross_site))
        .layer(from_fn(log::log_request))
        .layer(fixed(CONTENT_SECURITY_POLICY, CONTENT_POLICY))
        .layer(fixed(X_CONTENT_TYPE_OPTIONS, "nosniff"))
        .layer(fixed(REFERRER_POLICY, "same-origin"))
        .layer(fixed(
            HeaderName::from_static("permissions-policy"),
            "camera=(), geolocation=(), microphone=()",
        ))
        .layer(fixed(HeaderName::from_static("cross-origin-opener-policy"), "same-origin"))
        .layer(CompressionLayer::new())
        .with_state(app)
}

fn nobody() -> Router<App> {
    Router::new()
        .route("/health", get(health::show_health))
        .route("/static/{checksum}/{name}", get(assets::show_asset))
        .route("/sw.js", get(assets::show_worker))
        .route("/app.webmanifest", get(assets::show_manifest))
        .route("/offline", get(offline::show_offline))
        .route("/set-up", get(sign_in::show_set_up).post(sign_in::set_up))
        .route("/sign-in", get(sign_in::show_sign_in).post(sign_in::sign_in))
        .route("/reports/{token}", get(report::show_linked_report))
        .route("/reports/{token}/photos/{photo}", get(photo::show_linked_photo))
}

fn everybody() -> Router<App> {
    Router::new()
        .route("/", get(sign_in::show_home))
        .route("/sign-out", post(sign_in::sign_out))
        .route("/account", get(account::show_account))
        .route("/account/password", post(account::change_password))
        .route("/account/theme", post(account::set_theme))
        .route("/customers", get(customer::show_customers))
        .route("/customers/{id}", get(customer::show_customer))
        .route("/systems/{id}", get(system::show_system))
        .route("/systems/{id}/measures/{measure}", get(system::show_measure))
        .route("/findings", get(finding::show_findings))
}

/// The visit itself: a technician's own, or any for the office.
fn on_site() -> Router<App> {
    Router::new()
        .route("/today", get(today::show_today))
        .route("/systems/{id}/visits", post(visit::start_visit))
        .route("/visits/{id}", get(visit::show_visit))
        .route("/visits/{id}/sheet", get(sheet::show_sheet))
        .route("/visits/{id}/sheet/{block}", get(sheet::show_block).post(sheet::enter))
        .route("/visits/{id}/entries", post(sheet::take_entries))
        .route("/visits/{id}/decision", post(sheet::decide))
        .route(
            "/visits/{id}/hand-in",
            get(visit::hand_in::show_hand_in).post(visit::hand_in::hand_in),
        )
        .route("/visits/{id}/no-access", post(visit::note_no_access))
        .route(
            "/visits/{id}/correction",
            get(visit::correction::show_correction).post(visit::correction::correct),
        )
        .route("/visits/{id}/confirmed-cause", post(visit::repair::confirm_cause))
        .route("/visits/{id}/report", get(report::show_report))
        .route("/proposals/{id}", get(proposal::show_proposal))
        .route("/proposals/{id}/answer", post(proposal::answer_proposal))
        .route(
            "/visits/{id}/photos",
            get(photo::show_photos)
                .post(photo::send_photo)
                .layer(DefaultBodyLimit::max(photo::FORM_BYTES_MAX)),
        )
        .route(
            "/visits/{id}/photos/{photo}",
            get(photo::show_photo)
                .post(photo::upload::put_photo)
                .layer(DefaultBodyLimit::max(SENT_BYTES_MAX)),
        )
        .route("/visits/{id}/photos/{photo}/removal", post(photo::remove_photo))
}

fn office() -> Router<App> {
    Router::new()
        .route("/customers/new", get(customer::show_new).post(customer::add))
        .route("/customers/{id}/edit", get(customer::show_edit).post(customer::change))
        .route("/customers/{id}/sites/new", get(site::show_new).post(site::add))
        .route("/sites/{id}/edit", get(site::show_edit).post(site::change))
        .route("/sites/{id}/systems/new", get(system::show_new).post(system::add))
        .route("/systems/{id}/edit", get(system::show_edit).post(system::change))
        .route(
            "/systems/{id}/components/new",
            get(system::component::show_new).post(system::component::add),
        )
        .route(
            "/components/{id}/plate",
            get(system::component::show_plate).post(system::component::correct_plate),
        )
        .route(
            "/components/{id}/replacement",
            get(system::component::show_replacement).post(system::component::replace),
        )
        .route("/agreements", get(agreement::show_agreements))
        .route("/agreements/new", get(agreement::show_new).post(agreement::make))
        .route("/agreements/{id}", get(agreement::show_agreement))
        .route("/agreements/{id}/acceptance", post(agreement::accept))
        .route("/agreements/{id}/ending", post(agreement::end))
        .route("/due", get(due::show_due))
        .route("/week", get(week::show_week))
        .route("/visits/new", get(booking::show_new).post(booking::book_visit))
        .route("/visits/{id}/booking", get(booking::show_move).post(booking::move_visit))
        .route("/visits/{id}/cancellation", post(visit::call_off))
        .route("/visits/{id}/opening", post(visit::open_again))
        .route(
            "/visits/{id}/judgement",
            get(visit::judgement::show_judged_again).post(visit::judgement::judge_again),
        )
        .route("/visits/{id}/report-link", post(report::make_link))
        .route("/refrigerant-log", get(refrigerant_log::show_log))
        .route("/hazards/{id}/seen", post(hazard::see))
}

fn owner() -> Router<App> {
    Router::new()
        .route("/sheets-to-review", get(review_sheet::show_sheets))
        .route("/visits/{id}/review", get(side_by_side::show_review))
        .route(
            "/sheet-requirements",
            get(requirement::show_requirements).post(requirement::require_fields),
        )
        .route("/visits/{id}/acceptance", post(review_sheet::accept))
        .route("/visits/{id}/sending-back", post(review_sheet::send_back))
        .route("/review", get(review::show_review))
        .route("/review/causes", get(causes::show_causes))
        .route("/review/{part}", get(review::show_row))
        .route("/priors", get(priors::show_priors))
        .route("/priors/reset", get(priors::show_reset).post(priors::reset))
        .route("/limit-book", get(limit_book::show_limit_book))
        .route("/signatures", get(signature::show_signatures))
        .route("/limit-book/{limit}", get(limit_book::show_limit).post(limit_book::change_limit))
        .route(
            "/judge-again",
            get(judge_again::show_history_again).post(judge_again::judge_history_again),
        )
        .route("/plans", get(plan::show_plans))
        .route("/plans/new", get(plan::show_new).post(plan::make))
        .route("/plans/{id}/version", get(plan::show_change).post(plan::make_version))
        .route("/prices", get(price_list::show_prices))
        .route("/prices/new", get(price_list::show_new).post(price_list::add))
        .route("/prices/{item}", get(price_list::show_item).post(price_list::change))
        .route("/prices/{item}/retirement", post(price_list::retire))
        .route("/people", get(people::show_people).post(people::add))
        .route("/people/{id}/password", post(people::reset_password))
        .route("/people/{id}/departure", post(people::let_go))
}
