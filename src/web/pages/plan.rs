//! Plans: what is sold, in numbered versions. For the owner, since they are money rules.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use uuid::Uuid;

use super::requirement::{NeedsBlock, needs};
use crate::actions::{self, ActionError};
use crate::chance;
use crate::domain::agreement::Season;
use crate::domain::form::Form;
use crate::domain::requirement;
use crate::domain::visit::VisitKind;
use crate::store::{NewPlan, Plan};
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::fields::{Field, Sent, faults};
use crate::web::frame::{Frame, page, page_with, refused_page};
use crate::web::viewer::{Owner, Viewer};

/// A year has a cooling and a heating season; a plan promises one or both.
const SEASONS: [(&str, [&str; 3]); 2] = [
    ("First visit", ["kind_1", "first_1", "last_1"]),
    ("Second visit", ["kind_2", "first_2", "last_2"]),
];
/// The discount on repairs at most.
const DISCOUNT_BOUNDS: (i64, i64) = (0, 100);

#[derive(Template)]
#[template(path = "pages/plans.html")]
struct PlansPage {
    frame: Frame,
    plans: Vec<(Plan, String, Vec<String>)>,
}

/// The form of a plan or of a further version of it.
#[derive(Template)]
#[template(path = "pages/plan.html")]
struct PlanPage {
    frame: Frame,
    action: String,
    hidden: Vec<(&'static str, String)>,
    fields: Vec<Field>,
    faults: Vec<(String, String)>,
    has_needs: bool,
    needs: Vec<NeedsBlock>,
}

pub(in crate::web) async fn show_plans(
    State(app): State<App>,
    Owner(viewer): Owner,
) -> Result<Response, Error> {
    let plans = app.store.read().await?.plans().await?;
    let view = |plan: Plan| {
        let price = display::money(plan.price_cents);
        let seasons = plan.seasons.0.iter().copied().map(season_line).collect();
        (plan, price, seasons)
    };
    page(&PlansPage {
        frame: Frame::new(&viewer, "Plans"),
        plans: plans.into_iter().map(view).collect(),
    })
}

/// `Cooling maintenance, 15 Mar to 30 Jun`.
pub(in crate::web) fn season_line(season: Season) -> String {
    let first = display::month_day(season.first_month, season.first_day);
    let last = display::month_day(season.last_month, season.last_day);
    format!("{}, {first} to {last}", season.kind.words())
}

fn plan_page(viewer: &Viewer, title: &str, action: String, form: &Form) -> PlanPage {
    let kept = |name: &'static str| (name, form.typed(name).to_owned());
    let mut fields = vec![
        Field::line(form, "name", "Name").needed(),
        Field::number(form, "price", "Price of a year", "dollars")
            .needed()
            .with_hint("Such as 189.00."),
        Field::number(form, "discount", "Discount on repairs", "%"),
    ];
    for (at, (label, [kind, first, last])) in SEASONS.into_iter().enumerate() {
        let mut kinds = vec![(String::new(), "None".to_owned())];
        kinds.extend(VisitKind::WITH_SHEET.map(|it| (it.key().to_owned(), it.words().to_owned())));
        let field = Field::choice(form, kind, label, kinds);
        fields.push(if at == 0 { field.needed() } else { field });
        let hint = "Month and day, such as 03-15. A window may run over the turn of the year.";
        fields.push(Field::line(form, first, &format!("{label}: first day")).with_hint(hint));
        fields.push(Field::line(form, last, &format!("{label}: last day")));
    }
    let ticked: Vec<String> = form.all("needs").into_iter().map(ToOwned::to_owned).collect();
    PlanPage {
        frame: Frame::new(viewer, title),
        action,
        hidden: vec![kept("id"), kept("version")],
        fields,
        faults: faults(form),
        has_needs: !ticked.is_empty(),
        needs: needs(&ticked),
    }
}

fn read(form: &mut Form) -> NewPlan {
    let name = form.required_line("name", "Name");
    let price_cents = form.required_cents("price", "Price");
    let discount_percent = if form.typed("discount").is_empty() {
        0
    } else {
        form.required_whole("discount", "Discount", DISCOUNT_BOUNDS)
    };
    let keys = VisitKind::WITH_SHEET.map(VisitKind::key);
    let mut seasons: Vec<Season> = Vec::new();
    for (label, [kind_field, first, last]) in SEASONS {
        if form.typed(kind_field).is_empty() {
            continue;
        }
        let Some(kind) = VisitKind::of_key(&form.choice(kind_field, label, &keys)) else {
            continue;
        };
        if seasons.iter().any(|season| season.kind == kind) {
            form.refuse(
                kind_field,
                format!("{label}: a plan promises one visit of a kind a year."),
            );
        }
        let (first_month, first_day) =
            form.required_month_day(first, &format!("{label}: first day"));
        let (last_month, last_day) = form.required_month_day(last, &format!("{label}: last day"));
        seasons.push(Season { kind, first_month, first_day, last_month, last_day });
    }
    if seasons.is_empty() && form.fault("kind_1").is_none() {
        form.refuse("kind_1", "Say which visit this plan promises.");
    }
    let required = requirement::in_order(form.all("needs"));
    NewPlan { name, price_cents, discount_percent, seasons, required }
}

pub(in crate::web) async fn show_new(
    State(app): State<App>,
    Owner(viewer): Owner,
) -> Result<Response, Error> {
    let form = Form::new([
        ("id".into(), chance::id(app.clock.now()).to_string()),
        ("version".into(), "1".into()),
    ]);
    page(&plan_page(&viewer, "New plan", "/plans/new".into(), &form))
}

/// Makes a plan; sent twice, it is refused the second time.
pub(in crate::web) async fn make(
    State(app): State<App>,
    Owner(viewer): Owner,
    Sent(form): Sent,
) -> Result<Response, Error> {
    let id = form.typed("id").parse().map_err(|_| Error::Unreadable)?;
    save(&app, &viewer, (id, 1), ("New plan", "/plans/new".into(), form)).await
}

pub(in crate::web) async fn show_change(
    State(app): State<App>,
    Owner(viewer): Owner,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let plan = app.store.read().await?.plan(id).await?;
    let (title, action) = change_way(id);
    page(&plan_page(&viewer, title, action, &present(&plan)))
}

fn change_way(id: Uuid) -> (&'static str, String) {
    ("New version of the plan", format!("/plans/{id}/version"))
}

/// The form as the newest version fills it, and the number that the next will have.
fn present(plan: &Plan) -> Form {
    let mut fields = vec![
        ("version".to_owned(), (plan.version + 1).to_string()),
        ("name".to_owned(), plan.name.clone()),
        ("price".to_owned(), format!("{}.{:02}", plan.price_cents / 100, plan.price_cents % 100)),
        ("discount".to_owned(), plan.discount_percent.to_string()),
    ];
    fields.extend(plan.required.0.iter().map(|it| ("needs".to_owned(), it.clone())));
    for (season, (_, [kind, first, last])) in plan.seasons.0.iter().zip(SEASONS) {
        fields.push((kind.to_owned(), season.kind.key().to_owned()));
        let day = |month: u8, day: u8| format!("{month:02}-{day:02}");
        fields.push((first.to_owned(), day(season.first_month, season.first_day)));
        fields.push((last.to_owned(), day(season.last_month, season.last_day)));
    }
    Form::new(fields)
}

/// Makes a further version; agreements keep the one that they were sold by.
pub(in crate::web) async fn make_version(
    State(app): State<App>,
    Owner(viewer): Owner,
    Path(id): Path<Uuid>,
    Sent(form): Sent,
) -> Result<Response, Error> {
    let newest = app.store.read().await?.plan(id).await?.version;
    let version: i64 = form.typed("version").parse().map_err(|_| Error::Unreadable)?;
    if version < 2 || version > newest + 1 {
        return Err(Error::Unreadable);
    }
    let (title, action) = change_way(id);
    save(&app, &viewer, (id, version), (title, action, form)).await
}

async fn save(
    app: &App,
    viewer: &Viewer,
    (id, version): (Uuid, i64),
    (title, action, mut form): (&str, String, Form),
) -> Result<Response, Error> {
    let plan = read(&mut form);
    if !form.is_good() {
        return refused_page(&plan_page(viewer, title, action, &form));
    }
    let mut tx = app.store.write().await?;
    match actions::make_plan(&mut tx, id, version, &plan, viewer.by()).await {
        Err(ActionError::Refused(refusal)) => {
            drop(tx);
            form.refuse(refusal.field(), refusal.to_string());
            return page_with(StatusCode::CONFLICT, &plan_page(viewer, title, action, &form));
        }
        other => other?,
    }
    tx.commit().await?;
    Ok(Redirect::to("/plans").into_response())
}
