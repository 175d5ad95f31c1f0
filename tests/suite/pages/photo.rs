//! Photos from the phone to the report: who may send and see them, what comes back, what is left.

use axum::http::StatusCode;
use axum::http::header::{
    CACHE_CONTROL, CONTENT_DISPOSITION, CONTENT_TYPE, X_CONTENT_TYPE_OPTIONS,
};
use fairweather::actions;
use fairweather::chance;
use fairweather::outside::{PhotoSettings, Photos};
use fairweather::store::Slot;
use image::ImageFormat;
use serde_json::{Value, json};
use uuid::Uuid;

use crate::app::{Browser, NOW, Page, TestApp};
use crate::builders::EVERYTHING;
use crate::outside::nowhere;
use crate::pictures::{bomb, halves, jpeg, latitude, looked_at, photo, signature, with_exif};
use crate::s3::S3Server;

impl TestApp {
    /// A photo that Tess sent from her phone.
    pub async fn photo(&self, visit: Uuid, field: &str, number: u8) -> Uuid {
        let id = chance::id(NOW);
        let tess = self.browser(self.tess).await;
        let bytes = if field == "signature" { signature() } else { photo(number) };
        tess.post_bytes(&format!("{}?field={field}", path(visit, id)), "image/jpeg", &bytes)
            .await
            .shown();
        id
    }
}

fn path(visit: Uuid, photo: Uuid) -> String {
    format!("/visits/{visit}/photos/{photo}")
}

fn told(page: &Page) -> (u16, Value) {
    (page.status.as_u16(), serde_json::from_str(&page.body).expect(&page.body))
}

/// Status and kind of a refusal.
fn refusal(page: &Page) -> (u16, String) {
    let (status, body) = told(page);
    assert!(body["error"].as_str().is_some_and(|it| it.ends_with('.')), "{body}");
    (status, body["kind"].as_str().unwrap_or_default().to_owned())
}

async fn booked() -> (TestApp, Uuid, Browser) {
    let app = TestApp::new().await;
    let visit = app.booked(&app.place("Ada Fenn").await, app.tess).await;
    let tess = app.browser(app.tess).await;
    (app, visit, tess)
}

fn files(app: &TestApp) -> usize {
    let folders = std::fs::read_dir(app.home.settings.data.join("photos")).unwrap();
    folders.map(|it| std::fs::read_dir(it.unwrap().path()).map_or(0, Iterator::count)).sum()
}

#[tokio::test]
async fn a_photo_is_kept_once_however_often_it_is_sent_and_comes_back_without_its_place() {
    let (app, visit, tess) = booked().await;
    let id = chance::id(NOW);
    let address = format!(
        "{}?field=observe.coil_face&taken=2026-06-14T13:05:09.123Z&author={}",
        path(visit, id),
        app.tess
    );
    let sent = with_exif(&jpeg(&halves(2000, 1000)), 6);
    for _ in 0..3 {
        let page = tess.post_bytes(&address, "application/octet-stream", &sent).await;
        assert_eq!(told(&page), (200, json!({"id": id, "width": 800, "height": 1600})));
    }
    assert_eq!(files(&app), 1);
    let page = tess.get(&path(visit, id)).await.shown();
    assert_eq!(page.headers[CONTENT_TYPE], "image/jpeg");
    assert_eq!(page.headers[CACHE_CONTROL], "private, max-age=3600");
    assert_eq!(page.headers[CONTENT_DISPOSITION], "inline");
    assert_eq!(page.headers[X_CONTENT_TYPE_OPTIONS], "nosniff");
    assert_eq!(looked_at(&page.bytes, ImageFormat::Jpeg).dimensions(), (800, 1600));
    assert!(!page.bytes.windows(24).any(|it| it == latitude()));
    let page = tess.get(&format!("/visits/{visit}")).await.shown();
    let page = page.says(r#"alt="Coil face" width="800" height="1600""#);
    page.says("Tess, 14 Jun 2026, 9:05").says(&format!(r#"src="{}""#, path(visit, id)));
}

#[tokio::test]
async fn another_picture_under_the_same_id_is_refused_and_does_not_take_its_place() {
    let (app, visit, tess) = booked().await;
    let id = app.photo(visit, "observe.coil_face", 1).await;
    let address = format!("{}?field=observe.coil_face", path(visit, id));
    let before = tess.get(&path(visit, id)).await.shown().bytes;
    let page = tess.post_bytes(&address, "image/jpeg", &photo(2)).await;
    assert_eq!(refusal(&page), (409, "changed".to_owned()));
    let page = tess.post_bytes(&path(visit, id), "image/jpeg", &photo(1)).await;
    assert_eq!(refusal(&page), (409, "changed".to_owned()), "for another field");
    assert_eq!(tess.get(&path(visit, id)).await.shown().bytes, before);
    assert_eq!(files(&app), 1);
}

#[tokio::test]
async fn what_is_no_picture_gets_a_sentence_and_leaves_nothing_behind() {
    let (app, visit, tess) = booked().await;
    let mut cut = photo(1);
    cut.truncate(cut.len() / 2);
    let mut long = photo(1);
    long.resize(12 * 1024 * 1024 + 1, 0);
    let cases: [(&str, Vec<u8>, u16); 6] = [
        ("a text", b"Dear office, this is photo.jpg".to_vec(), 422),
        ("a drawing", b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>".to_vec(), 422),
        ("cut off", cut, 422),
        ("a bomb", bomb(50_000, 50_000, 8), 422),
        ("nothing", Vec::new(), 422),
        ("too long", long, 413),
    ];
    for (name, bytes, status) in cases {
        let page = tess.post_bytes(&path(visit, chance::id(NOW)), "image/jpeg", &bytes).await;
        assert_eq!(refusal(&page), (status, "picture".to_owned()), "{name}");
    }
    let odd = |what: &str| format!("{}?{what}", path(visit, chance::id(NOW)));
    let page = tess.post_bytes(&odd("field=words.complaint"), "image/jpeg", &photo(1)).await;
    assert_eq!(refusal(&page), (422, "no_field".to_owned()));
    for time in ["yesterday", "0001-01-01T00:00:00Z", "9999-01-01T00:00:00Z"] {
        let page = tess.post_bytes(&odd(&format!("taken={time}")), "image/jpeg", &photo(1)).await;
        assert_eq!(refusal(&page), (422, "no_time".to_owned()), "{time}");
    }
    assert_eq!(app.read().await.photos_of(visit).await.unwrap(), []);
    assert_eq!(files(&app), 0);
}

#[tokio::test]
async fn a_photo_waits_for_its_author_on_a_phone_that_is_shared() {
    let (app, visit, tess) = booked().await;
    let id = chance::id(NOW);
    let address = format!("{}?author={}", path(visit, id), app.tess);
    let theo = app.browser(app.theo).await;
    let page = theo.post_bytes(&address, "image/jpeg", &photo(1)).await;
    assert_eq!(refusal(&page), (401, "other_author".to_owned()));
    let page = app.nobody().post_bytes(&address, "image/jpeg", &photo(1)).await;
    assert_eq!(refusal(&page), (401, "sign_in".to_owned()));
    tess.post_bytes(&address, "image/jpeg", &photo(1)).await.shown();
    let stranger = format!("{}?author={}", path(visit, chance::id(NOW)), app.theo);
    let page = theo.post_bytes(&stranger, "image/jpeg", &photo(1)).await;
    let (status, body) = told(&page);
    assert_eq!(status, 404, "not his visit, and told as JSON: {body}");
}

#[tokio::test]
async fn photos_of_a_visit_that_was_called_off_or_is_long_past_are_kept_for_the_office() {
    let (app, visit, tess) = booked().await;
    let mut tx = app.write().await;
    let off = tx.visit(EVERYTHING, visit).await.unwrap();
    actions::call_off_visit(&mut tx, &off, app.by(Some(app.dispatcher))).await.unwrap();
    tx.commit().await.unwrap();
    let id = app.photo(visit, "observe.coil_face", 1).await;
    assert_eq!(tess.get(&path(visit, id)).await.status, StatusCode::NOT_FOUND);
    let dora = app.browser(app.dispatcher).await;
    dora.get(&path(visit, id)).await.shown();
    let done = app.sheet_in("Bo Larch").await;
    app.clock.advance(time::Duration::days(60));
    let (tess, dora) = (app.browser(app.tess).await, app.browser(app.dispatcher).await);
    let late = chance::id(NOW);
    tess.post_bytes(&path(done, late), "image/jpeg", &photo(2)).await.shown();
    assert_eq!(tess.get(&path(done, late)).await.status, StatusCode::NOT_FOUND);
    dora.get(&path(done, late)).await.shown();
}

#[tokio::test]
async fn a_visit_that_was_given_to_somebody_else_takes_the_photos_of_who_wrote_on_its_sheet() {
    let (app, visit, _) = booked().await;
    app.enter(visit, app.tess, &[("as_found.return_db_f", "75")]).await;
    app.enter(visit, app.theo, &[("as_found.return_wb_f", "63")]).await;
    let theo = app.browser(app.theo).await;
    theo.post_bytes(&path(visit, chance::id(NOW)), "image/jpeg", &photo(1)).await.shown();
}

/// A link to an accepted report.
async fn link(app: &TestApp, visit: Uuid) -> String {
    let owner = app.browser(app.owner).await;
    owner.post(&format!("/visits/{visit}/acceptance"), &[]).await.way_on();
    let page = owner.post(&format!("/visits/{visit}/report-link"), &[]).await.shown();
    let token = &page.body.split("/reports/").nth(1).expect("a link")[..32];
    format!("/reports/{token}")
}

#[tokio::test]
async fn a_customer_sees_the_photos_behind_their_link_but_not_the_signature() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    let shown = app.photo(visit, "observe.coil_face", 1).await;
    let signed = app.photo(visit, "signature", 0).await;
    let other = app.sheet_in("Bo Larch").await;
    let theirs = app.photo(other, "observe.coil_face", 1).await;
    let link = link(&app, visit).await;
    let nobody = app.nobody();
    let page = nobody.get(&link).await.shown();
    let page = page.says(&format!(r#"src="{link}/photos/{shown}" alt="Coil face""#));
    page.does_not_say(&signed.to_string());
    let page = nobody.get(&format!("{link}/photos/{shown}")).await.shown();
    assert_eq!(page.headers[CACHE_CONTROL], "private, max-age=3600");
    for hidden in [signed, theirs] {
        let page = nobody.get(&format!("{link}/photos/{hidden}")).await;
        assert_eq!(page.status, StatusCode::NOT_FOUND);
    }
    let owner = app.browser(app.owner).await;
    let page = owner.get(&format!("/visits/{visit}/report")).await.shown();
    page.says(r#"class="signature""#).says(&path(visit, signed)).says("The customer&#39;s");
    app.clock.advance(time::Duration::days(401));
    let page = nobody.get(&format!("{link}/photos/{shown}")).await;
    assert_eq!(page.status, StatusCode::NOT_FOUND, "the link has ended");
}

#[tokio::test]
async fn what_is_taken_away_is_gone_from_pages_and_from_where_it_was_kept() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    let id = app.photo(visit, "signature", 0).await;
    let tess = app.browser(app.tess).await;
    let away = format!("{}/removal", path(visit, id));
    tess.get(&format!("/visits/{visit}/photos")).await.shown().says(&away);
    for _ in 0..2 {
        let page = tess.post(&away, &[]).await;
        assert_eq!(page.way_on(), format!("/visits/{visit}/photos"));
    }
    assert_eq!(tess.get(&path(visit, id)).await.status, StatusCode::NOT_FOUND);
    tess.get(&format!("/visits/{visit}/photos")).await.shown().says("There are none yet");
    assert_eq!(files(&app), 0);
    let again = format!("{}?field=signature", path(visit, id));
    tess.post_bytes(&again, "image/png", &signature()).await.shown();
    assert_eq!(files(&app), 0, "sent again it is answered alike and doesn't come back");
    assert_eq!(app.read().await.photos_to_clear().await.unwrap(), []);
}

#[tokio::test]
async fn after_acceptance_only_the_office_takes_photos_away() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    let id = app.photo(visit, "observe.coil_face", 1).await;
    link(&app, visit).await;
    let tess = app.browser(app.tess).await;
    let away = format!("{}/removal", path(visit, id));
    tess.get(&format!("/visits/{visit}/photos")).await.shown().does_not_say("/removal");
    assert_eq!(tess.post(&away, &[]).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    app.browser(app.dispatcher).await.post(&away, &[]).await.way_on();
    assert_eq!(files(&app), 0);
}

/// A plain form with a file, as a browser without script sends it.
async fn send_form(browser: &Browser, visit: Uuid, texts: &[(&str, &str)], file: &[u8]) -> Page {
    let mut body = Vec::new();
    for (name, text) in texts {
        let head = format!("--cut\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n");
        body.extend(head.bytes());
        body.extend(text.bytes());
        body.extend(b"\r\n");
    }
    body.extend(
        b"--cut\r\nContent-Disposition: form-data; name=\"photo\"; filename=\"p.jpg\"\r\n\
          Content-Type: image/jpeg\r\n\r\n",
    );
    body.extend(file);
    body.extend(b"\r\n--cut--\r\n");
    let address = format!("/visits/{visit}/photos");
    browser.post_bytes(&address, "multipart/form-data; boundary=cut", &body).await
}

#[tokio::test]
async fn a_photo_goes_without_script_too_and_a_wrong_file_comes_back_with_its_sentence() {
    let (app, visit, tess) = booked().await;
    let page = tess.get(&format!("/visits/{visit}/photos")).await.shown();
    let page = page.says(r#"capture="environment""#).says(r#"<option value="observe.coil_face">"#);
    let id = page.hidden("id");
    let texts = [("id", id.as_str()), ("field", "observe.coil_face")];
    let page = send_form(&tess, visit, &texts, b"a letter").await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    let page = page.says("neither a JPEG nor a PNG").says("Not saved yet");
    let page = page.says(r#"<option value="observe.coil_face" selected>"#);
    assert_eq!(page.hidden("id"), id);
    let page = send_form(&tess, visit, &texts, b"").await;
    page.says("Choose a photo first");
    let page = send_form(&tess, visit, &texts, &vec![0; 13 * 1024 * 1024]).await;
    page.says("larger than 12 MB").says(r#"<option value="observe.coil_face" selected>"#);
    let page = send_form(&tess, visit, &texts, &vec![0; 25 * 1024 * 1024]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    page.says("larger than 12 MB");
    for _ in 0..2 {
        let page = send_form(&tess, visit, &texts, &photo(1)).await;
        assert_eq!(page.way_on(), format!("/visits/{visit}/photos"));
    }
    let page = send_form(&tess, visit, &texts, &photo(2)).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_ne!(page.hidden("id"), id, "the next photo is another");
    assert_eq!(app.read().await.photos_of(visit).await.unwrap().len(), 1);
    let page = send_form(&tess, visit, &[("field", "observe.coil_face")], &photo(2)).await;
    page.way_on();
    let page = tess.get(&format!("/visits/{visit}/photos")).await.shown();
    page.says("Coil face (1 of 2)").says("Coil face (2 of 2)");
}

#[tokio::test]
async fn when_pictures_can_t_be_reached_nothing_is_taken_and_the_phone_is_told_to_wait() {
    let (app, visit, _) = booked().await;
    let kept = app.photo(visit, "observe.coil_face", 1).await;
    let here = app.photos.clone();
    let app = app.keeping_photos_in(Photos::open(&nowhere()).unwrap());
    let tess = app.browser(app.tess).await;
    let id = chance::id(NOW);
    let page = tess.post_bytes(&path(visit, id), "image/jpeg", &photo(2)).await;
    let (status, body) = told(&page);
    assert_eq!(status, 503, "{body}");
    assert!(!page.body.contains("127.0.0.1"), "nothing of the inside: {body}");
    assert_eq!(app.read().await.photos_of(visit).await.unwrap().len(), 1, "no row without it");
    let page = tess.get(&path(visit, kept)).await;
    assert_eq!(page.status, StatusCode::SERVICE_UNAVAILABLE);
    // Taken away it is off the pages at once; the file goes when it can be reached.
    tess.post(&format!("{}/removal", path(visit, kept)), &[]).await.way_on();
    assert_eq!((app.read().await.photos_to_clear().await.unwrap().len(), files(&app)), (1, 1));
    let app = app.keeping_photos_in(here);
    fairweather::web::clear_removed_photos(&app.service()).await;
    assert_eq!((app.read().await.photos_to_clear().await.unwrap().len(), files(&app)), (0, 0));
    let tess = app.browser(app.tess).await;
    tess.post_bytes(&path(visit, id), "image/jpeg", &photo(2)).await.shown();
}

#[tokio::test]
async fn from_the_phone_to_the_page_by_a_bucket() {
    let server = S3Server::start();
    let (app, visit, _) = booked().await;
    let bucket = PhotoSettings::Bucket(server.bucket.clone());
    let app = app.keeping_photos_in(Photos::open(&bucket).unwrap());
    let id = app.photo(visit, "observe.coil_face", 1).await;
    let tess = app.browser(app.tess).await;
    let page = tess.get(&path(visit, id)).await.shown();
    assert_eq!(looked_at(&page.bytes, ImageFormat::Jpeg).dimensions(), (40, 30));
    tess.post(&format!("{}/removal", path(visit, id)), &[]).await.way_on();
    assert_eq!(app.read().await.photos_to_clear().await.unwrap(), [], "it is gone there too");
    assert_eq!(files(&app), 0, "and never was in the folder");
}

#[tokio::test]
async fn many_at_once_under_one_id_are_one_photo() {
    let (app, visit, tess) = booked().await;
    let address = path(visit, chance::id(NOW));
    let (bytes, others) = (photo(1), photo(2));
    let answers = tokio::join!(
        tess.post_bytes(&address, "image/jpeg", &bytes),
        tess.post_bytes(&address, "image/jpeg", &bytes),
        tess.post_bytes(&address, "image/jpeg", &bytes),
        tess.post_bytes(&address, "image/jpeg", &others),
    );
    let good = [&answers.0, &answers.1, &answers.2, &answers.3];
    let taken = good.iter().filter(|it| it.status == StatusCode::OK).count();
    assert!(taken == 3 || taken == 1, "whichever came first counts, the other is refused");
    assert_eq!((app.read().await.photos_of(visit).await.unwrap().len(), files(&app)), (1, 1));
}

#[tokio::test]
async fn a_visit_that_was_given_away_takes_the_photos_of_whose_it_was() {
    let (app, visit, tess) = booked().await;
    let mut tx = app.write().await;
    let row = tx.visit(EVERYTHING, visit).await.unwrap();
    let slot = Slot { day: row.day, start_minute: 600, minutes: 60 };
    let by = app.by(Some(app.dispatcher));
    actions::move_visit(&mut tx, &row, app.theo, slot, by).await.unwrap();
    tx.commit().await.unwrap();
    let id = chance::id(NOW);
    tess.post_bytes(&path(visit, id), "image/jpeg", &photo(1)).await.shown();
    assert_eq!(tess.get(&path(visit, id)).await.status, StatusCode::NOT_FOUND);
    app.browser(app.theo).await.get(&path(visit, id)).await.shown();
}

#[tokio::test]
async fn a_photo_by_a_clock_that_is_a_day_wrong_says_when_it_was_taken() {
    let (app, visit, tess) = booked().await;
    let said = "taken=2026-06-16T14:40:00Z&sent=2026-06-16T15:00:00Z";
    let address = format!("{}?field=observe.coil_face&{said}", path(visit, chance::id(NOW)));
    tess.post_bytes(&address, "image/jpeg", &photo(1)).await.shown();
    let ahead = "taken=2026-06-20T14:40:00Z";
    let address = format!("{}?field=observe.coil_face&{ahead}", path(visit, chance::id(NOW)));
    tess.post_bytes(&address, "image/jpeg", &photo(2)).await.shown();
    let photos = app.read().await.photos_of(visit).await.unwrap();
    let taken: Vec<_> = photos.iter().map(|it| it.taken_at).collect();
    assert_eq!(taken[0], Some(NOW - time::Duration::minutes(20)));
    assert!(taken.iter().all(|it| it.is_some_and(|at| at <= NOW)), "{taken:?}");
}
