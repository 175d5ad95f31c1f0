//! A phone with a profile that outlives its browser, and the program as a process that can be
//! killed and started again behind the same address.

use std::io::{Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU8, Ordering};
use std::time::Duration;

use fairweather::chance;
use fairweather::store::{Slot, Store};
use thirtyfour::cdp::domains::network::NetworkConditions;
use thirtyfour::prelude::*;
use time::OffsetDateTime;
use uuid::Uuid;

use super::driver::{Chromedriver, PHONE};
use crate::app::{PASSWORD, TestApp};
use crate::commands::serve::{command, make_durable};

/// How often something is looked at until it has come, and how long between two looks.
const LOOKS_MAX: usize = 300;
const BETWEEN_LOOKS: Duration = Duration::from_millis(50);

/// The program as a process, on one address for as long as the test lasts.
pub struct Office {
    pub app: TestApp,
    pub visit: Uuid,
    port: u16,
    child: Option<Child>,
}

impl Office {
    /// A company with one visit of today to a nominal system, by Tess.
    pub async fn open() -> Self {
        Self::open_asking_for(&[]).await
    }

    /// The same, with some fields that the company's list asks for.
    pub async fn open_asking_for(fields: &[&str]) -> Self {
        let app = TestApp::new().await;
        if !fields.is_empty() {
            app.require(fields).await;
        }
        let place = app.place("Ada Fenn").await;
        let (today, _) = fairweather::clock::local(OffsetDateTime::now_utc(), "America/New_York");
        let slot = Slot { day: today, start_minute: 600, minutes: 60 };
        let visit = app.booked_at(&place, app.tess, slot).await;
        make_durable(&app.home).await;
        app.store.close().await;
        let port = free_port();
        let mut office = Self { app, visit, port, child: None };
        office.start();
        office
    }

    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    /// The same under a name that browsers don't trust without https, as in an office's own network.
    pub fn untrusted_address(&self) -> String {
        format!("http://{UNTRUSTED}:{}", self.port)
    }

    /// Starts the program and waits until it answers.
    pub fn start(&mut self) {
        let child = command(&self.app.home)
            .args(["serve", "--listen", &format!("127.0.0.1:{}", self.port)])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("it starts");
        self.child = Some(child);
        for _ in 0..LOOKS_MAX {
            if TcpStream::connect(("127.0.0.1", self.port)).is_ok() {
                return;
            }
            std::thread::sleep(BETWEEN_LOOKS);
        }
        panic!("it does not answer");
    }

    /// Kills it as kill -9 does.
    pub fn kill(&mut self) {
        if let Some(mut child) = self.child.take() {
            child.kill().expect("it can be killed");
            child.wait().expect("it ends");
        }
    }

    /// Ends it and opens its store, to count what is there.
    pub async fn store(&mut self) -> Store {
        self.kill();
        Store::open(&self.app.home.settings).await.expect("the store opens")
    }
}

impl Drop for Office {
    fn drop(&mut self) {
        self.kill();
    }
}

/// A name that leads to this machine, which the browser doesn't know.
const UNTRUSTED: &str = "office.example.com";

fn free_port() -> u16 {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
    listener.local_addr().expect("an address").port()
}

/// A way to the office that can swallow one answer: the request arrives, the answer does not, and
/// after that nothing goes until the way is mended.
pub struct Way {
    pub port: u16,
    state: Arc<AtomicU8>,
}

const OPEN: u8 = 0;
const SWALLOWS_NEXT: u8 = 1;
const CUT: u8 = 2;
const HANGS: u8 = 3;

impl Way {
    pub fn to(office: &Office) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
        let port = listener.local_addr().expect("an address").port();
        let state = Arc::new(AtomicU8::new(OPEN));
        let (there, shared) = (office.port, Arc::clone(&state));
        std::thread::spawn(move || {
            for phone in listener.incoming().map_while(Result::ok) {
                let shared = Arc::clone(&shared);
                std::thread::spawn(move || carry(&phone, there, &shared));
            }
        });
        Self { port, state }
    }

    /// From now on the answer to the next entries that arrive is swallowed.
    pub fn swallow_next(&self) {
        self.state.store(SWALLOWS_NEXT, Ordering::SeqCst);
    }

    /// Waits until an answer was swallowed since.
    pub async fn has_swallowed(&self) {
        for _ in 0..LOOKS_MAX {
            if self.state.load(Ordering::SeqCst) == CUT {
                return;
            }
            tokio::time::sleep(BETWEEN_LOOKS).await;
        }
        panic!("nothing came by");
    }

    /// From now on nothing arrives, and nobody is told so, until the way is mended.
    pub fn hang(&self) {
        self.state.store(HANGS, Ordering::SeqCst);
    }

    pub fn mend(&self) {
        self.state.store(OPEN, Ordering::SeqCst);
    }
}

/// Carries both ways until either end closes or the way is cut.
fn carry(phone: &TcpStream, there: u16, state: &Arc<AtomicU8>) {
    if state.load(Ordering::SeqCst) == CUT {
        return;
    }
    let Ok(office) = TcpStream::connect(("127.0.0.1", there)) else { return };
    let (Ok(from_phone), Ok(to_office)) = (phone.try_clone(), office.try_clone()) else { return };
    let sends_entries = Arc::new(AtomicBool::new(false));
    let (seen, shared) = (Arc::clone(&sends_entries), Arc::clone(state));
    std::thread::spawn(move || {
        pass(from_phone, to_office, |bytes| {
            let text = String::from_utf8_lossy(bytes);
            if text.starts_with("POST ") {
                let holds = text.contains("/entries") && !text.contains(r#""entries":[]"#);
                seen.store(holds, Ordering::SeqCst);
            }
            while shared.load(Ordering::SeqCst) == HANGS {
                std::thread::sleep(BETWEEN_LOOKS);
            }
            shared.load(Ordering::SeqCst) != CUT
        });
    });
    let Ok(to_phone) = phone.try_clone() else { return };
    pass(office, to_phone, |_| {
        let swallows = sends_entries.load(Ordering::SeqCst)
            && state
                .compare_exchange(SWALLOWS_NEXT, CUT, Ordering::SeqCst, Ordering::SeqCst)
                .is_ok();
        !swallows && state.load(Ordering::SeqCst) != CUT
    });
}

/// Passes on what comes while it may, then closes both ends.
fn pass(mut from: TcpStream, mut to: TcpStream, may_pass: impl Fn(&[u8]) -> bool) {
    let mut bytes = vec![0; 65_536];
    while let Ok(count @ 1..) = from.read(&mut bytes) {
        if !may_pass(&bytes[..count]) || to.write_all(&bytes[..count]).is_err() {
            break;
        }
    }
    for end in [from, to] {
        let _closed = end.shutdown(std::net::Shutdown::Both);
    }
}

/// A phone: its browser may be killed and opened again, what it holds stays.
pub struct Phone {
    pub driver: WebDriver,
    address: String,
    profile: PathBuf,
    chromedriver: Chromedriver,
}

impl Phone {
    pub async fn open(address: &str) -> Self {
        let profile = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(chance::token());
        let chromedriver = Chromedriver::start();
        let driver = browser(&chromedriver, &profile).await;
        Self { driver, address: address.to_owned(), profile, chromedriver }
    }

    /// Kills the browser as an empty battery does, and opens it again.
    pub async fn die_and_wake(&mut self) {
        let mark = self.profile.to_string_lossy().into_owned();
        for pid in processes_with(&mark) {
            let _killed = Command::new("kill").args(["-9", &pid.to_string()]).status();
        }
        self.chromedriver = Chromedriver::start();
        let _lock = std::fs::remove_file(self.profile.join("SingletonLock"));
        self.driver = browser(&self.chromedriver, &self.profile).await;
    }

    pub async fn goto(&self, path: &str) {
        self.driver.goto(format!("{}{path}", self.address)).await.expect("the page opens");
    }

    pub async fn sign_in(&self, email: &str) {
        self.goto("/sign-in").await;
        for (id, text) in [("field-email", email), ("field-password", PASSWORD)] {
            let field = self.driver.query(By::Id(id)).first().await.expect("the field");
            field.clear().await.expect("it empties");
            field.send_keys(text).await.expect("it takes keys");
        }
        self.driver.find(By::Css("main button")).await.expect("it").click().await.expect("pressed");
        self.until("document.body.dataset.person").await;
    }

    /// Opens Today and waits until the day is on the phone.
    pub async fn take_along(&self) {
        self.goto("/today").await;
        self.until("document.documentElement.classList.contains('along')").await;
    }

    pub async fn open_sheet(&self, visit: Uuid, block: usize) {
        self.goto(&format!("/visits/{visit}/sheet")).await;
        self.until("document.documentElement.classList.contains('ready')").await;
        self.block(block).await;
    }

    pub async fn block(&self, block: usize) {
        let script = format!("location.hash = 'block-{block}'");
        self.driver.execute(script, vec![]).await.expect("it runs");
    }

    /// Types into a field and moves the hand on.
    pub async fn enter(&self, name: &str, text: &str) {
        let field = self.driver.query(By::Id(name)).first().await;
        let field = field.unwrap_or_else(|_| panic!("no field {name}"));
        let script = "arguments[0].value = ''; arguments[0].focus();
            delete document.documentElement.dataset.kept";
        let element = field.to_json().expect("an element");
        self.driver.execute(script, vec![element.clone()]).await.expect("it runs");
        field.send_keys(text).await.expect("it takes keys");
        self.driver.execute("arguments[0].blur()", vec![element]).await.expect("it runs");
        self.has_kept(name).await;
    }

    /// Waits until the phone has kept a field.
    pub async fn has_kept(&self, name: &str) {
        self.until(&format!("document.documentElement.dataset.kept === '{name}'")).await;
    }

    pub async fn value(&self, name: &str) -> String {
        let field = self.driver.query(By::Id(name)).first().await.expect("the field");
        field.prop("value").await.expect("it answers").unwrap_or_default()
    }

    /// Waits until the line on top says something.
    pub async fn line_says(&self, words: &str) {
        let script = format!("document.getElementById('saved').innerText.includes({words:?})");
        self.until(&script).await;
    }

    /// Waits until a script's value is true.
    pub async fn until(&self, script: &str) {
        for _ in 0..LOOKS_MAX {
            let answer = self.driver.execute(format!("return Boolean({script})"), vec![]).await;
            if answer.is_ok_and(|it| it.convert().unwrap_or(false)) {
                return;
            }
            tokio::time::sleep(BETWEEN_LOOKS).await;
        }
        let text = self.driver.execute("return document.body.innerText", vec![]).await;
        let text: String = text.map_or(String::new(), |it| it.convert().unwrap_or_default());
        panic!("never: {script}\n{text}");
    }

    /// Runs a script that waits for nothing.
    pub async fn run(&self, script: &str) {
        self.driver.execute(script, vec![]).await.expect("it runs");
    }

    /// Runs a script before those of every page that is opened from now on.
    pub async fn before_pages(&self, script: &str) {
        let page = self.driver.cdp();
        let added = page.page().add_script_to_evaluate_on_new_document(script).await;
        added.expect("it is added");
    }

    /// Presses what a selector finds, where a finger would.
    pub async fn press(&self, selector: &str) {
        let found = self.driver.query(By::Css(selector)).first().await;
        let found = found.unwrap_or_else(|_| panic!("no {selector}"));
        let element = found.to_json().expect("an element");
        let script = "arguments[0].scrollIntoView({ block: 'center' })";
        self.driver.execute(script, vec![element]).await.expect("it runs");
        found.click().await.expect("it can be pressed");
    }

    /// Types into a field, and stays there.
    pub async fn type_into(&self, name: &str, text: &str) {
        let field = self.driver.query(By::Id(name)).first().await.expect("the field");
        field.send_keys(text).await.expect("it takes keys");
    }

    /// Cuts the network off, or gives it back.
    pub async fn is_offline(&self, offline: bool) {
        let conditions = NetworkConditions {
            offline,
            latency: 0,
            download_throughput: -1,
            upload_throughput: -1,
            ..Default::default()
        };
        let cdp = self.driver.cdp();
        cdp.network().emulate_network_conditions(conditions).await.expect("it is emulated");
    }

    pub async fn close(self) {
        self.driver.quit().await.expect("Chromium closes");
        let _gone = std::fs::remove_dir_all(&self.profile);
    }
}

async fn browser(chromedriver: &Chromedriver, profile: &std::path::Path) -> WebDriver {
    let folder = format!("--user-data-dir={}", profile.display());
    let names = format!("--host-resolver-rules=MAP {UNTRUSTED} 127.0.0.1");
    let driver = chromedriver.browser(&[&folder, &names]).await;
    driver.set_window_rect(0, 0, PHONE.0, PHONE.1).await.expect("a size");
    driver
}

/// The processes that were started with a word, by their numbers.
fn processes_with(word: &str) -> Vec<u32> {
    let all = std::fs::read_dir("/proc").expect("/proc").filter_map(Result::ok);
    let numbers = all.filter_map(|it| it.file_name().to_string_lossy().parse::<u32>().ok());
    let holds = |number: &u32| {
        let line = std::fs::read(format!("/proc/{number}/cmdline")).unwrap_or_default();
        String::from_utf8_lossy(&line).contains(word)
    };
    numbers.filter(holds).collect()
}
