//! Sites of a customer: where equipment stands.

use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use uuid::Uuid;

use super::customer::FormPage;
use crate::actions;
use crate::domain::form::Form;
use crate::store::Site;
use crate::web::App;
use crate::web::error::Error;
use crate::web::fields::{Field, Sent, faults, new_id};
use crate::web::frame::{Frame, page, refused_page};
use crate::web::viewer::{Office, Viewer};

/// From the shore of the Dead Sea to the highest towns.
const ELEVATION_FT: (f64, f64) = (-1_400.0, 16_000.0);

fn site_page(viewer: &Viewer, form: &Form, is_new: bool, way: (String, String)) -> FormPage {
    FormPage {
        frame: Frame::new(viewer, if is_new { "New site" } else { "Change site" }),
        over: "Customer".into(),
        over_address: way.0,
        action: way.1,
        button: if is_new { "Add this site" } else { "Save the site" },
        hidden: vec![("id", new_id(form, viewer.now).to_string())],
        fields: vec![
            Field::line(form, "street", "Street and number").needed(),
            Field::line(form, "town", "Town").needed(),
            Field::line(form, "postal_code", "Postal code"),
            Field::number(form, "elevation_ft", "Height above the sea", "ft").needed().with_hint(
                "Gauges are read against the local air pressure: at 5,000 ft a wrong height \
                 moves a saturation temperature by more than 1 °F.",
            ),
            Field::number(form, "latitude", "Latitude", "° north"),
            Field::number(form, "longitude", "Longitude", "° east"),
            Field::lines(form, "access_note", "How to get in"),
        ],
        faults: faults(form),
    }
}

fn read(form: &mut Form, id: Uuid, customer_id: Uuid) -> Site {
    Site {
        id,
        customer_id,
        street: form.required_line("street", "Street"),
        town: form.required_line("town", "Town"),
        postal_code: form.line("postal_code", "Postal code"),
        elevation_ft: form.required_number("elevation_ft", "Height above the sea", ELEVATION_FT),
        latitude: form.number("latitude", "Latitude", (-90.0, 90.0)),
        longitude: form.number("longitude", "Longitude", (-180.0, 180.0)),
        access_note: form.remark("access_note", "How to get in"),
    }
}

fn new_way(customer: Uuid) -> (String, String) {
    (format!("/customers/{customer}"), format!("/customers/{customer}/sites/new"))
}

fn edit_way(site: &Site) -> (String, String) {
    (format!("/customers/{}", site.customer_id), format!("/sites/{}/edit", site.id))
}

pub(in crate::web) async fn show_new(
    State(app): State<App>,
    Office(viewer): Office,
    Path(customer): Path<Uuid>,
) -> Result<Response, Error> {
    app.store.read().await?.customer(viewer.scope(), customer).await?;
    page(&site_page(&viewer, &Form::default(), true, new_way(customer)))
}

pub(in crate::web) async fn add(
    State(app): State<App>,
    Office(viewer): Office,
    Path(customer): Path<Uuid>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let id = new_id(&form, viewer.now);
    let site = read(&mut form, id, customer);
    if !form.is_good() {
        return refused_page(&site_page(&viewer, &form, true, new_way(customer)));
    }
    let mut tx = app.store.write().await?;
    actions::add_site(&mut tx, &site, viewer.by()).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/sites/{}/systems/new", site.id)).into_response())
}

pub(in crate::web) async fn show_edit(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
) -> Result<Response, Error> {
    let site = app.store.read().await?.site(viewer.scope(), id).await?;
    let number = |value: Option<f64>| value.map_or_else(String::new, |it| it.to_string());
    let form = Form::new([
        ("street".into(), site.street.clone()),
        ("town".into(), site.town.clone()),
        ("postal_code".into(), site.postal_code.clone()),
        ("elevation_ft".into(), site.elevation_ft.to_string()),
        ("latitude".into(), number(site.latitude)),
        ("longitude".into(), number(site.longitude)),
        ("access_note".into(), site.access_note.clone()),
    ]);
    page(&site_page(&viewer, &form, false, edit_way(&site)))
}

pub(in crate::web) async fn change(
    State(app): State<App>,
    Office(viewer): Office,
    Path(id): Path<Uuid>,
    Sent(mut form): Sent,
) -> Result<Response, Error> {
    let before = app.store.read().await?.site(viewer.scope(), id).await?;
    let site = read(&mut form, id, before.customer_id);
    if !form.is_good() {
        return refused_page(&site_page(&viewer, &form, false, edit_way(&before)));
    }
    let mut tx = app.store.write().await?;
    actions::change_site(&mut tx, &site, viewer.by()).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/customers/{}", site.customer_id)).into_response())
}
