//! An S3-speaking server that checks signatures, on a port of its own; it ends with the test.

use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};

use fairweather::outside::Bucket;
use serde_json::Value;

pub struct S3Server {
    child: Child,
    pub bucket: Bucket,
}

impl S3Server {
    pub fn start() -> Self {
        let mut child = Command::new("target/tests/venv/bin/python")
            .arg("tests/s3_server.py")
            // It serves until this ends, even if the test is killed.
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("tests/run has installed what tests/requirements.txt asks for");
        let mut line = String::new();
        let mut said = BufReader::new(child.stdout.take().expect("its output"));
        said.read_line(&mut line).expect("a line");
        let said: Value = serde_json::from_str(&line).expect("it says where it is");
        let text = |name: &str| said[name].as_str().expect("a text").to_owned();
        let bucket = Bucket {
            name: text("bucket"),
            endpoint: Some(text("endpoint")),
            region: text("region"),
            key_id: text("key_id"),
            secret: text("secret"),
        };
        Self { child, bucket }
    }
}

impl Drop for S3Server {
    fn drop(&mut self) {
        let _gone = self.child.kill();
        let _ended = self.child.wait();
    }
}
