//! What closed a visit: proposals with the customer's answers, parts used, refrigerant moved.

use askama::Template;
use uuid::Uuid;

use crate::domain::closing::{PartUsed, pounds_and_ounces};
use crate::store::{Tx, Visit};
use crate::web::error::Error;
use crate::web::pages::proposal::{ProposalView, booking_way, views_of};
use crate::web::viewer::Viewer;

/// The part of a visit's page about what closed it.
#[derive(Template)]
#[template(path = "parts/closed.html")]
pub(super) struct Closed {
    visit: Uuid,
    /// The sheet is with the technician, so that its fields can be filled in.
    is_open: bool,
    proposals: Vec<(ProposalView, String)>,
    parts: Vec<PartUsed>,
    moved: Vec<String>,
}

impl Closed {
    fn is_empty(&self) -> bool {
        self.proposals.is_empty() && self.parts.is_empty() && self.moved.is_empty()
    }
}

/// What stands about the visit; nothing where there is nothing.
pub(super) async fn closed(
    tx: &mut Tx,
    viewer: &Viewer,
    visit: &Visit,
) -> Result<Option<Closed>, Error> {
    let is_open = visit.state.is_open() && visit.kind.has_cooling_sheet();
    if !visit.state.is_in() && !is_open {
        return Ok(None);
    }
    let proposals = views_of(tx, visit.id).await?;
    let with_way = proposals.into_iter().map(|(it, view)| (view, booking_way(&it, viewer)));
    let moved = tx.moved_on(visit.id).await?;
    let closed = Closed {
        visit: visit.id,
        is_open,
        proposals: with_way.collect(),
        parts: tx.parts_of(visit.id).await?,
        moved: moved
            .into_iter()
            .map(|it| {
                let refrigerant = if it.refrigerant.is_empty() {
                    String::new()
                } else {
                    format!(" of {}", it.refrigerant)
                };
                let cylinder = if it.cylinder.is_empty() {
                    ", cylinder not named".to_owned()
                } else {
                    format!(", cylinder {}", it.cylinder)
                };
                let (way, amount) = (it.direction.words(), pounds_and_ounces(it.ounce_tenths));
                format!("{way}: {amount}{refrigerant}{cylinder}")
            })
            .collect(),
    };
    Ok((is_open || !closed.is_empty()).then_some(closed))
}
