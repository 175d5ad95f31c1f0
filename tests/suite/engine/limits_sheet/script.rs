//! The phone's script, run by node: JSON in, JSON out.

use std::io::Write;
use std::process::{Command, Stdio};

use serde_json::Value;

/// What `static/limits.js` makes of an input; `body` names it `input` and leaves its answer in
/// `output`.
pub fn run(body: &str, input: &Value) -> Value {
    let module = std::fs::read_to_string("static/limits.js").expect("the script");
    let program = format!(
        "import {{ readFileSync }} from 'node:fs';\n{module}\n\
         const input = JSON.parse(readFileSync(0, 'utf8'));\nlet output;\n{body}\n\
         process.stdout.write(JSON.stringify(output));"
    );
    let mut node = Command::new("node")
        .args(["--input-type=module", "--eval", &program])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("node runs: the README asks for it");
    let text = serde_json::to_vec(input).expect("JSON");
    // The script reads all before it writes anything, so that neither waits for the other.
    node.stdin.take().expect("a pipe").write_all(&text).expect("it reads");
    let answer = node.wait_with_output().expect("it ends");
    assert!(answer.status.success(), "the script failed");
    serde_json::from_slice(&answer.stdout).expect("it answers in JSON")
}
