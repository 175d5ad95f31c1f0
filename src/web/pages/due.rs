//! Who is due: overdue first, then what is open, coming up, and booked already.

use std::collections::BTreeMap;

use askama::Template;
use axum::extract::State;
use axum::response::Response;
use time::{Date, Duration};
use uuid::Uuid;

use crate::domain::agreement::Season;
use crate::planning::due::{Due, KeptBy, Promise, Standing, due};
use crate::store::{Covered, Tx};
use crate::web::App;
use crate::web::display;
use crate::web::error::Error;
use crate::web::frame::{Frame, page};
use crate::web::told_hazard::ToldHazard;
use crate::web::viewer::{Office, Viewer};

/// Agreements are read that ended up to two years ago: those still owe their last season.
const ENDED_DAYS_MAX: i64 = 731;

#[derive(Template)]
#[template(path = "pages/due.html")]
struct DuePage {
    frame: Frame,
    standing: Vec<ToldHazard>,
    groups: Vec<Group>,
    due: usize,
}

/// The rows of one standing.
struct Group {
    heading: &'static str,
    key: &'static str,
    is_booked: bool,
    rows: Vec<Row>,
}

/// One visit that is due.
struct Row {
    covered: Covered,
    kind: &'static str,
    window: String,
    note: String,
    way: String,
}

pub(in crate::web) async fn show_due(
    State(app): State<App>,
    Office(viewer): Office,
) -> Result<Response, Error> {
    let mut tx = app.store.read().await?;
    let (all, covered) = all_due(&mut tx, &viewer).await?;
    let standing = ToldHazard::all(&tx.standing_hazards().await?, &viewer);
    drop(tx);
    let mut groups = vec![
        group("Overdue", "overdue", false),
        group("Due now", "due-now", false),
        group("Coming up", "coming-up", false),
        group("Booked", "booked", true),
    ];
    let mut open = 0;
    for it in all {
        let Some(there) = covered.get(&(it.agreement, it.system)) else { continue };
        let place = match (it.booked, it.standing) {
            (Some(_), _) => 3,
            (None, Standing::Overdue) => 0,
            (None, Standing::DueNow) => 1,
            (None, Standing::ComingUp) => 2,
        };
        open += usize::from(it.booked.is_none());
        if let Some(group) = groups.get_mut(place) {
            group.rows.push(row(&it, there.clone(), viewer.today));
        }
    }
    groups.retain(|group| !group.rows.is_empty());
    page(&DuePage { frame: Frame::new(&viewer, "Due"), standing, groups, due: open })
}

fn group(heading: &'static str, key: &'static str, is_booked: bool) -> Group {
    Group { heading, key, is_booked, rows: Vec::new() }
}

type CoveredBy = BTreeMap<(Uuid, Uuid), Covered>;

/// What is due today, with the systems by agreement and id.
async fn all_due(tx: &mut Tx, viewer: &Viewer) -> Result<(Vec<Due>, CoveredBy), Error> {
    let since = viewer.today - Duration::days(ENDED_DAYS_MAX);
    let covered = tx.covered_since(since).await?;
    let kept = tx.kept_since(i64::from(since.year())).await?;
    let promises: Vec<Promise> = covered.iter().map(promise).collect();
    let kept: Vec<KeptBy> = kept
        .into_iter()
        .map(|it| KeptBy {
            visit: it.visit_id,
            agreement: it.agreement_id,
            system: it.system_id,
            kind: it.kind,
            season_year: it.season_year,
            state: it.state,
            day: it.day,
        })
        .collect();
    let covered = covered.into_iter().map(|it| ((it.agreement_id, it.system_id), it)).collect();
    Ok((due(&promises, &kept, viewer.today), covered))
}

fn promise(covered: &Covered) -> Promise {
    Promise {
        agreement: covered.agreement_id,
        system: covered.system_id,
        name: covered.customer_name.clone(),
        term: covered.term(),
        seasons: covered.seasons.0.clone(),
    }
}

fn row(it: &Due, covered: Covered, today: Date) -> Row {
    let note = match it.booked {
        Some((_, day)) if day < today => {
            format!("{}: the day has passed", display::weekday(day))
        }
        Some((_, day)) => display::weekday(day),
        None => since_or_until(it, today),
    };
    let way = match it.booked {
        Some((visit, _)) => format!("/visits/{visit}"),
        None => format!(
            "/visits/new?system={}&kind={}&agreement={}&year={}",
            it.system,
            it.kind.key(),
            it.agreement,
            it.season_year
        ),
    };
    Row { covered, kind: it.kind.words(), window: window_words((it.first, it.last)), note, way }
}

fn since_or_until(it: &Due, today: Date) -> String {
    let days = |from: Date, to: Date| match (to - from).whole_days() {
        1 => "1 day".to_owned(),
        days => format!("{days} days"),
    };
    match it.standing {
        Standing::Overdue => format!("closed {} ago", days(it.last, today)),
        Standing::DueNow if it.last == today => "last day".to_owned(),
        Standing::DueNow => format!("{} left", days(today, it.last)),
        Standing::ComingUp => format!("opens in {}", days(today, it.first)),
    }
}

/// From the first to the last day of a window.
fn window_words((first, last): (Date, Date)) -> String {
    format!("{} to {}", display::day(first), display::day(last))
}

/// The window of a season in a year, in words.
pub(in crate::web) fn season_words(season: Season, year: i32) -> String {
    window_words(season.window(year))
}
