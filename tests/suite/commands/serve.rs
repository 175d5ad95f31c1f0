//! The program itself, as a process: settings, the end, and what survives it.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Output, Stdio};
use std::time::Duration;

use fairweather::chance;
use fairweather::clock::Clock;
use fairweather::domain::visit::VisitState;
use fairweather::secret;
use fairweather::store::Store;
use sqlx::{Connection, Executor, PgConnection};

use crate::app::{Home, TestApp};
use crate::builders::{EVERYTHING, NOMINAL};

/// The program, serving on a port of its own choice; killed with the test.
struct Served {
    child: Child,
    address: String,
}

impl Served {
    fn start(home: &Home) -> Self {
        let mut child = command(home)
            .args(["serve", "--listen", "127.0.0.1:0"])
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let address = lines
            .map_while(Result::ok)
            .find_map(|line| Some(line.split_once("http://")?.1.to_owned()))
            .expect("it says where it is");
        Self { child, address }
    }

    /// One request, answered whole.
    fn ask(&self, method: &str, path: &str, cookie: &str) -> String {
        let mut stream = TcpStream::connect(&self.address).unwrap();
        let request = format!(
            "{method} {path} HTTP/1.1\r\nHost: {}\r\nCookie: {cookie}\r\nContent-Length: 0\r\n\
             Sec-Fetch-Site: same-origin\r\nConnection: close\r\n\r\n",
            self.address
        );
        stream.write_all(request.as_bytes()).unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        answer
    }
}

impl Served {
    /// Ends it and gives what it logged.
    fn log(mut self) -> String {
        self.child.kill().unwrap();
        let mut all = String::new();
        self.child.stderr.take().unwrap().read_to_string(&mut all).unwrap();
        all
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _gone = self.child.kill();
        let _ended = self.child.wait();
    }
}

pub fn command(home: &Home) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_fairweather"));
    command.env_remove("DATABASE_URL").env("FAIRWEATHER_DATA", &home.settings.data);
    if let Some(url) = &home.settings.database_url {
        command.env("DATABASE_URL", url);
    }
    command
}

/// The throwaway PostgreSQL waives durability; these tests want it for their own database.
pub async fn make_durable(home: &Home) {
    if let Some(url) = &home.settings.database_url {
        let mut connection = PgConnection::connect(url).await.unwrap();
        let sql = format!("ALTER DATABASE {} SET synchronous_commit = on", database(url));
        connection.execute(sqlx::AssertSqlSafe(sql)).await.unwrap();
    }
}

/// The database's name: after the host, before the parameters (which may hold slashes).
fn database(url: &str) -> String {
    let plain = url.split('?').next().unwrap();
    plain.rsplit_once('/').unwrap().1.to_owned()
}

#[tokio::test]
async fn a_hand_in_that_was_answered_survives_kill_9_a_millisecond_later() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let visit = app.booked(&place, app.tess).await;
    app.enter(visit, app.tess, NOMINAL).await;
    let token = chance::token();
    let mut tx = app.write().await;
    let now = Clock::Machine.now();
    tx.insert_session(&secret::token_hash(&token), app.owner, now).await.unwrap();
    tx.commit().await.unwrap();
    make_durable(&app.home).await;
    app.store.close().await;

    let mut served = Served::start(&app.home);
    let cookie = format!("session={token}");
    let answer = served.ask("POST", &format!("/visits/{visit}/hand-in"), &cookie);
    std::thread::sleep(Duration::from_millis(1));
    served.child.kill().unwrap();
    served.child.wait().unwrap();
    assert!(answer.starts_with("HTTP/1.1 303"), "{answer}");

    let store = Store::open(&app.home.settings).await.unwrap();
    let mut tx = store.read().await.unwrap();
    let visit = tx.visit(EVERYTHING, visit).await.unwrap();
    assert_eq!(visit.state, VisitState::HandedIn);
    assert!(tx.judgement_of(visit.number).await.unwrap().is_some(), "with its verdicts");
    let readings = tx.readings_of(visit.number).await.unwrap();
    assert_eq!(readings.len(), NOMINAL.len());
    drop(tx);
    store.close().await;
}

#[tokio::test]
async fn sigterm_ends_it_gracefully_and_health_answered_before() {
    let app = TestApp::new().await;
    make_durable(&app.home).await;
    app.store.close().await;
    let mut served = Served::start(&app.home);
    assert!(served.ask("GET", "/health", "").starts_with("HTTP/1.1 200"));
    let pid = served.child.id().to_string();
    assert!(Command::new("kill").args(["-TERM", &pid]).status().unwrap().success());
    assert!(served.child.wait().unwrap().success(), "it ends with success");
}

#[tokio::test]
async fn the_log_has_one_line_a_request_with_the_number_of_its_page_and_no_secret() {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let token = chance::token();
    let mut tx = app.write().await;
    let now = Clock::Machine.now();
    tx.insert_session(&secret::token_hash(&token), app.owner, now).await.unwrap();
    tx.commit().await.unwrap();
    make_durable(&app.home).await;
    app.store.close().await;
    let served = Served::start(&app.home);
    let cookie = format!("session={token}");
    let page = served.ask("GET", "/reports/0123456789abcdef0123456789abcdef", "");
    let number = page.split("Number of this request: ").nth(1).expect("a number")[..8].to_owned();
    let customer = place.customer.to_string();
    for path in ["/customers?find=fenn".to_owned(), format!("/customers/{customer}")] {
        assert!(served.ask("GET", &path, &cookie).starts_with("HTTP/1.1 200"));
    }
    let log = served.log();
    let requests: Vec<&str> = log.lines().filter(|line| line.contains("request")).collect();
    assert_eq!(requests.len(), 3, "one line a request:\n{log}");
    assert!(requests[0].contains(&number) && requests[0].contains("404"), "{}", requests[0]);
    for secret in ["0123456789abcdef", "fenn", "Fenn", &token, &customer] {
        assert!(!log.contains(secret), "{secret} is in the log:\n{log}");
    }
}

fn refused(output: &Output) -> String {
    assert!(!output.status.success());
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[tokio::test]
async fn a_bad_setting_is_refused_at_start_with_its_name() {
    let home = Home::new().await;
    for (name, value) in [
        ("FAIRWEATHER_LISTEN", "nowhere"),
        ("FAIRWEATHER_PUBLIC_URL", "office.example.com"),
        ("FAIRWEATHER_TRUSTED_PROXY", "the proxy"),
        ("FAIRWEATHER_CONNECTIONS", "0"),
        ("FAIRWEATHER_PHOTOS_ENDPOINT", "the cupboard"),
        ("DATABASE_URL", "mysql://here"),
    ] {
        let output = command(&home).arg("serve").env(name, value).output().unwrap();
        let sentence = refused(&output);
        assert!(sentence.contains(name), "{name}: {sentence}");
        assert!(!sentence.contains("mysql://here"), "an address may hold a password: {sentence}");
    }
}

#[tokio::test]
async fn a_bucket_without_its_key_is_refused_at_start_and_no_key_is_ever_told() {
    let home = Home::new().await;
    let output = command(&home)
        .arg("serve")
        .env("FAIRWEATHER_PHOTOS_BUCKET", "photos")
        .env("FAIRWEATHER_PHOTOS_SECRET", "the-key-itself")
        .output()
        .unwrap();
    let sentence = refused(&output);
    assert!(sentence.contains("FAIRWEATHER_PHOTOS_KEY_ID"), "{sentence}");
    assert!(!sentence.contains("the-key-itself"), "{sentence}");
    let mut help = command(&home);
    help.args(["serve", "--help"]).env("FAIRWEATHER_PHOTOS_SECRET", "the-key-itself");
    let told = String::from_utf8_lossy(&help.output().unwrap().stdout).into_owned();
    assert!(!told.contains("the-key-itself"), "{told}");
}

#[test]
fn the_sample_of_settings_names_every_variable() {
    let sample = std::fs::read_to_string(".env.sample").unwrap();
    let config = std::fs::read_to_string("src/config.rs").unwrap();
    let mut count = 0;
    for after in config.split("env = \"").skip(1) {
        let variable = after.split('"').next().unwrap();
        assert!(sample.contains(&format!("{variable}=")), "{variable}");
        count += 1;
    }
    assert!(count > 10, "only {count} were read");
}

#[tokio::test]
async fn help_lists_every_setting_with_its_variable_and_default() {
    let home = Home::new().await;
    let output = command(&home).args(["serve", "--help"]).output().unwrap();
    let help = String::from_utf8_lossy(&output.stdout).into_owned();
    for word in [
        "--data",
        "FAIRWEATHER_DATA",
        "--listen",
        "FAIRWEATHER_LISTEN",
        "127.0.0.1:8470",
        "--demo",
        "FAIRWEATHER_DEMO",
        "--public-url",
        "FAIRWEATHER_PUBLIC_URL",
        "--trusted-proxy",
        "FAIRWEATHER_TRUSTED_PROXY",
        "DATABASE_URL",
        "FAIRWEATHER_BACKUP_MADE",
        "FAIRWEATHER_CONNECTIONS",
        "--photos-bucket",
        "FAIRWEATHER_PHOTOS_BUCKET",
        "FAIRWEATHER_PHOTOS_ENDPOINT",
        "FAIRWEATHER_PHOTOS_REGION",
        "FAIRWEATHER_PHOTOS_KEY_ID",
        "FAIRWEATHER_PHOTOS_SECRET",
    ] {
        assert!(help.contains(word), "{word} is not in:\n{help}");
    }
}

#[tokio::test]
async fn the_console_adds_a_person_and_resets_a_password() {
    let app = TestApp::new().await;
    make_durable(&app.home).await;
    app.store.close().await;
    let add = ["person", "add", "--name", "Tilda", "--email", "tilda@example.com", "--role"];
    let output = command(&app.home).args(add).arg("technician").output().unwrap();
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(said.contains("First password: "), "{said}");
    let again = command(&app.home).args(add).arg("technician").output().unwrap();
    assert!(refused(&again).contains("is here already"));
    let reset = ["person", "reset-password", "--email", "tilda@example.com"];
    let output = command(&app.home).args(reset).output().unwrap();
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    let password = said.trim().rsplit(' ').next().unwrap().to_owned();

    let store = Store::open(&app.home.settings).await.unwrap();
    let known = store.read().await.unwrap().credentials("tilda@example.com").await.unwrap();
    let hash = known.unwrap().password_hash;
    assert!(secret::password_fits(&password, Some(&hash), secret::Cost::Full));
    assert!(!secret::password_fits("something else", Some(&hash), secret::Cost::Full));
    store.close().await;
}
