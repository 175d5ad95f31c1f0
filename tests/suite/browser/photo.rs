//! What the script does with a camera's picture and with a finger, in a real browser.

use std::path::PathBuf;

use fairweather::chance;
use image::ImageFormat;
use thirtyfour::By;

use super::driver::{DESK, PHONE, Window};
use super::every_page::look;
use crate::app::TestApp;
use crate::pictures::{halves, jpeg, latitude, looked_at, with_exif};

/// The script's address, for `import` on one of our own pages.
const IMPORT: &str = "const css = document.querySelector('link[rel=stylesheet]').href;
     const photo = await import(css.replace('app.css', 'photo.js'));";

/// Runs a piece of script that may wait and gives its answer as text.
async fn run(window: &Window, script: &str) -> String {
    let whole = format!(
        "const [done] = arguments;
         (async () => {{ {IMPORT} {script} }})().then(done, (fault) => done('fault: ' + fault));"
    );
    let answer = window.driver.execute_async(whole, vec![]).await.expect("it runs");
    answer.convert().expect("a text")
}

/// A file of one test.
struct File(PathBuf);

impl File {
    fn new(bytes: &[u8]) -> Self {
        let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(chance::token() + ".jpg");
        std::fs::write(&path, bytes).expect("it is written");
        Self(path)
    }
}

impl Drop for File {
    fn drop(&mut self) {
        let _gone = std::fs::remove_file(&self.0);
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_photo_of_twelve_megapixels_is_sent_small_and_without_its_place_and_a_note_as_it_is() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let visit = app.booked(&place, app.tess).await;
    let window = Window::open(&app, PHONE).await;
    window.sign_in("tess@example.com").await;
    window.goto(&format!("/visits/{visit}/photos")).await;
    let sent = with_exif(&jpeg(&halves(4000, 3000)), 6);
    let camera = File::new(&sent);
    let field = window.driver.find(By::Id("field-photo")).await.expect("a field");
    field.send_keys(camera.0.display().to_string()).await.expect("a file is chosen");
    let id = chance::id(crate::app::NOW);
    let script = format!(
        "const blob = await photo.scaled(document.getElementById('field-photo').files[0]);
         const bytes = [...new Uint8Array(await blob.arrayBuffer())];
         const place = [{}].join();
         const answer = await fetch('/visits/{visit}/photos/{id}?field=observe.coil_face&author={}',
           {{ method: 'POST', body: blob }});
         const {{ id, width, height }} = await answer.json();
         return [answer.status, id, width, height, blob.type, bytes.join().includes(place)].join(' ');",
        latitude().iter().map(ToString::to_string).collect::<Vec<_>>().join(","),
        app.tess,
    );
    let answer = run(&window, &script).await;
    let wanted = format!("200 {id} 1200 1600 image/jpeg false");
    assert_eq!(answer, wanted);
    let tess = app.browser(app.tess).await;
    let page = tess.get(&format!("/visits/{visit}/photos/{id}")).await.shown();
    let picture = looked_at(&page.bytes, ImageFormat::Jpeg);
    assert!(picture.get_pixel(600, 200).0[0] > 150, "what was left is on top");
    let script = "const note = new File(['a letter'], 'p.jpg', { type: 'image/jpeg' });
         return await (await photo.scaled(note)).text();";
    assert_eq!(run(&window, script).await, "a letter", "the server says what is wrong with it");
    window.press("Add this photo").await;
    window.says("The visit as a whole").await;
    window.press("Take away The visit as a whole").await;
    assert!(!window.words().await.contains("Take away The visit"));
    window.close().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_signature_is_drawn_cleared_and_kept() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let visit = app.booked(&place, app.tess).await;
    let window = Window::open(&app, PHONE).await;
    window.sign_in("tess@example.com").await;
    window.goto(&format!("/visits/{visit}/photos")).await;
    let id = chance::id(crate::app::NOW);
    let script = format!(
        "const canvas = Object.assign(document.createElement('canvas'), {{ className: 'pad', width: 600, height: 200 }});
         document.getElementById('main').append(canvas);
         const pad = photo.pad(canvas);
         const box = canvas.getBoundingClientRect();
         const touch = (type, x, y, pointerId = 1) => canvas.dispatchEvent(new PointerEvent(type, {{
           pointerId, isPrimary: pointerId === 1, button: 0, buttons: type === 'pointerup' ? 0 : 1,
           clientX: box.left + x * box.width, clientY: box.top + y * box.height,
         }}));
         const stroke = () => {{
           touch('pointerdown', 0.2, 0.5); touch('pointermove', 0.9, 0.1, 2);
           touch('pointermove', 0.8, 0.5); touch('pointerup', 0.8, 0.5);
         }};
         const said = [await pad.picture()];
         stroke(); said.push((await pad.picture()).type);
         pad.clear(); said.push(await pad.picture());
         stroke();
         const answer = await fetch('/visits/{visit}/photos/{id}?field=signature',
           {{ method: 'POST', body: await pad.picture() }});
         return [...said, answer.status].join(' ');"
    );
    assert_eq!(run(&window, &script).await, " image/png  200");
    let tess = app.browser(app.tess).await;
    let page = tess.get(&format!("/visits/{visit}/photos/{id}")).await.shown();
    let picture = looked_at(&page.bytes, ImageFormat::Png);
    assert_eq!(picture.dimensions(), (600, 200));
    assert!(picture.get_pixel(300, 100).0[0] < 60, "ink along the stroke");
    assert!(picture.get_pixel(300, 40).0[0] > 240, "paper beside it; another finger draws nothing");
    window.close().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn pages_with_photos_have_no_accessibility_fault_and_fit() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    for (number, field) in
        ["observe.coil_face", "observe.coil_face", "", "signature"].into_iter().enumerate()
    {
        app.photo(visit, field, u8::try_from(number).unwrap()).await;
    }
    let mut faults = Vec::new();
    for (name, size) in [("phone", PHONE), ("desk", DESK)] {
        let window = Window::open(&app, size).await;
        window.sign_in("olive@example.com").await;
        let pages = ["photos", "report", ""].map(|it| format!("/visits/{visit}/{it}"));
        let pages = pages.map(|it| it.trim_end_matches('/').to_owned());
        look(&window, (name, "photos"), &pages, &mut faults).await;
        window.close().await;
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}
