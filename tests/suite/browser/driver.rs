//! Chromium and the service that it looks at; both end with the test.

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use fairweather::web;
use thirtyfour::prelude::*;
use tokio::net::TcpListener;
use tokio::sync::oneshot;

use crate::app::{PASSWORD, TestApp};

/// chromedriver on a free port.
pub struct Chromedriver {
    child: Child,
    pub port: u16,
}

impl Chromedriver {
    pub fn start() -> Self {
        let mut child = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .spawn()
            .expect("chromedriver is installed (tests/run does it)");
        let lines = BufReader::new(child.stdout.take().expect("its output")).lines();
        let port = lines
            .map_while(Result::ok)
            .find_map(|line| {
                let after = line.split("successfully on port ").nth(1)?.to_owned();
                after.trim_end_matches('.').parse().ok()
            })
            .expect("chromedriver says its port");
        Self { child, port }
    }
}

impl Chromedriver {
    /// A browser of its own, with some more arguments.
    pub async fn browser(&self, more: &[&str]) -> WebDriver {
        let mut wanted = DesiredCapabilities::chrome();
        let usual = [
            "--headless=new",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--disable-dev-shm-usage",
            "--hide-scrollbars",
        ];
        for argument in usual.iter().chain(more) {
            wanted.add_arg(argument).expect("an argument");
        }
        let address = format!("http://127.0.0.1:{}", self.port);
        WebDriver::new(address, wanted).await.expect("Chromium opens")
    }
}

impl Drop for Chromedriver {
    fn drop(&mut self) {
        let _gone = self.child.kill();
        let _ended = self.child.wait();
    }
}

/// A phone or a desk.
pub const PHONE: (u32, u32) = (390, 844);
pub const DESK: (u32, u32) = (1280, 900);

/// How often a page is looked at until it has come, and how long between two looks.
const LOOKS_MAX: usize = 100;
const BETWEEN_LOOKS: Duration = Duration::from_millis(50);

/// A browser window and the service.
pub struct Window {
    pub driver: WebDriver,
    pub address: String,
    size: (u32, u32),
    stop: Option<oneshot::Sender<()>>,
    _chromedriver: Chromedriver,
}

impl Window {
    /// Serves the app on a free port and opens a window.
    pub async fn open(app: &TestApp, size: (u32, u32)) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").await.expect("a port");
        let address = format!("http://{}", listener.local_addr().expect("an address"));
        let (stop, stopped) = oneshot::channel::<()>();
        let service = app.service();
        tokio::spawn(async move {
            let until = async {
                let _stopped = stopped.await;
            };
            web::serve(service, listener, until).await.expect("it serves");
        });
        let chromedriver = Chromedriver::start();
        let driver = chromedriver.browser(&[]).await;
        driver.set_window_rect(0, 0, size.0, size.1).await.expect("a size");
        Self { driver, address, size, stop: Some(stop), _chromedriver: chromedriver }
    }

    pub async fn goto(&self, path: &str) {
        self.driver.goto(format!("{}{path}", self.address)).await.expect("the page opens");
    }

    /// Signs in by hand.
    pub async fn sign_in(&self, email: &str) {
        self.goto("/sign-in").await;
        self.fill("field-email", email).await;
        self.fill("field-password", PASSWORD).await;
        self.press("Sign in").await;
    }

    /// Types into the field of that id.
    pub async fn fill(&self, id: &str, text: &str) {
        let field =
            self.driver.query(By::Id(id)).first().await.unwrap_or_else(|_| panic!("no field {id}"));
        field.clear().await.expect("it can be emptied");
        field.send_keys(text).await.expect("it can be typed into");
    }

    /// Presses the button or link whose words begin so, and waits until it has led somewhere: a
    /// page that comes late would overtake the next one that is asked for.
    pub async fn press(&self, words: &str) {
        let path = format!(
            "//main//*[self::button or self::a][not(@hidden)][starts-with(normalize-space(), '{words}')]"
        );
        let button = self.driver.query(By::XPath(path)).first().await;
        let button = button.unwrap_or_else(|_| panic!("nothing says “{words}”"));
        button.scroll_into_view().await.expect("it can be seen");
        let mark = "window.isLeft = true";
        self.driver.execute(mark, vec![]).await.expect("the page is marked");
        button.click().await.expect("it can be pressed");
        let has_come = "return !window.isLeft && document.readyState === 'complete'";
        for _ in 0..LOOKS_MAX {
            let answer = self.driver.execute(has_come, vec![]).await;
            if answer.is_ok_and(|it| it.convert().unwrap_or(false)) {
                return;
            }
            tokio::time::sleep(BETWEEN_LOOKS).await;
        }
        panic!("“{words}” leads nowhere");
    }

    /// The words of the page, whichever page is there by now.
    pub async fn words(&self) -> String {
        let script = "return document.body ? document.body.innerText : ''";
        let answer = self.driver.execute(script, vec![]).await.expect("it runs");
        answer.convert().expect("words")
    }

    /// That the page says something, once it has come.
    pub async fn says(&self, words: &str) {
        for _ in 0..LOOKS_MAX {
            if self.words().await.contains(words) {
                return;
            }
            tokio::time::sleep(BETWEEN_LOOKS).await;
        }
        panic!("“{words}” is not in:\n{}", self.words().await);
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
        panic!("never: {script}");
    }

    /// What the accessibility checker finds, as `rule: element`.
    pub async fn accessibility_faults(&self) -> Vec<String> {
        let file = std::env::var("AXE").expect("AXE names axe.min.js (tests/run does it)");
        let checker = std::fs::read_to_string(file).expect("axe-core");
        self.driver.execute(checker, vec![]).await.expect("axe loads");
        let answer = self
            .driver
            .execute_async(
                "const done = arguments[arguments.length - 1];
                 axe.run().then(all => done(all.violations.flatMap(
                   it => it.nodes.map(node => `${it.id}: ${node.html.slice(0, 160)}`))));",
                vec![],
            )
            .await
            .expect("axe answers");
        answer.convert().expect("a list")
    }

    /// Whether the page is wider than the window: then a thumb would have to push it sideways.
    pub async fn is_too_wide(&self) -> bool {
        let script = "return document.documentElement.scrollWidth > innerWidth + 1";
        let answer = self.driver.execute(script, vec![]).await.expect("it runs");
        answer.convert().expect("yes or no")
    }

    /// Keeps a picture of the whole page under target/tests/pictures, for a person to look at.
    pub async fn picture(&self, name: &str) {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("pictures");
        std::fs::create_dir_all(&folder).expect("a folder");
        let script = "return document.documentElement.scrollHeight";
        let answer = self.driver.execute(script, vec![]).await.expect("it runs");
        let height: u32 = answer.convert().expect("a height");
        let (width, before) = self.size;
        let tall = height.clamp(before, 6_000);
        self.driver.set_window_rect(0, 0, width, tall).await.expect("a size");
        self.driver.screenshot(&folder.join(format!("{name}.png"))).await.expect("a picture");
        self.driver.set_window_rect(0, 0, width, before).await.expect("a size");
    }

    pub async fn close(mut self) {
        let driver = self.driver.clone();
        driver.quit().await.expect("Chromium closes");
        if let Some(stop) = self.stop.take() {
            let _sent = stop.send(());
        }
    }
}
