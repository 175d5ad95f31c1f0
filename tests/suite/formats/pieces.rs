//! A text in bits of any size is cut as the whole of it is.

use fairweather::formats::assess_file::Unreadable;
use fairweather::formats::pieces::{Pieces, Shape, Step};

/// The pieces of a text that comes so many bytes at a time.
fn cut(text: &[u8], bytes: usize) -> Result<(Vec<String>, Shape), Unreadable> {
    cut_by(Pieces::default(), text, bytes)
}

fn cut_by(
    mut pieces: Pieces,
    text: &[u8],
    bytes: usize,
) -> Result<(Vec<String>, Shape), Unreadable> {
    let mut found = Vec::new();
    let (mut begin, mut end) = (0, 0);
    loop {
        let (done, step) = pieces.step(&text[begin..end], end == text.len())?;
        begin += done;
        match step {
            Step::Piece(piece) => found.push(piece.to_owned()),
            Step::More => end = text.len().min(end + bytes),
            Step::End(shape) => return Ok((found, shape)),
        }
    }
}

#[test]
fn the_size_of_the_bits_changes_nothing() {
    for text in [
        r#"{"id": "a"}"#,
        "\n {\"id\": -1.5e+3, \"b\": [true, null]} \n",
        "[]",
        "[ \n ]",
        r#"[{"id": "ä水\ud83d\ude00"}, 12, -0.5e-7 ,"a\"b", true,[{}],null]"#,
        "[{},\r\n\t{}\n,{}]\n",
        // Not JSON, each of them, and told with the same place.
        "",
        "  ",
        "[",
        "[{}",
        "[{},",
        "[{},]",
        "[,{}]",
        "[{} {}]",
        "[{}\n,\n {\"a\": tru}]",
        "{} {}",
        "[{}]]",
        "[{}, 1.]",
        "[{}, -]",
        "[{}, 01]",
        "[{}, 1e]",
        "[{}, nul",
        "[{}, \"a\nb\"]",
        "[{}, \"\\u12\"]",
        "[{\"a\": 1,}]",
        "[{}\u{c}]",
        "\u{feff}[{}]",
        // JSON, but no document.
        "7",
        "-12.5",
        "\"text\"",
        "[7, 8]",
        "[[{}]]",
    ] {
        let whole = cut(text.as_bytes(), text.len().max(1));
        for bytes in 1..=text.len() {
            assert_eq!(cut(text.as_bytes(), bytes), whole, "{bytes} bytes at a time: {text}");
        }
        let is_json = serde_json::from_str::<serde::de::IgnoredAny>(text).is_ok();
        assert_eq!(!matches!(whole, Err(Unreadable::NotJson(_))), is_json, "{text}");
    }
}

#[test]
fn a_document_a_line_is_cut_where_that_was_asked_for() {
    for (text, expected) in [
        ("{\"a\": 1}", Some(vec!["{\"a\": 1}"])),
        ("{\"a\": 1}\n{\"b\": 2}\r\n\n{}\n", Some(vec!["{\"a\": 1}", "{\"b\": 2}", "{}"])),
        ("7\n{}\n-12.5\n[1, 2]", Some(vec!["7", "{}", "-12.5", "[1, 2]"])),
        ("[{},\n{}]", Some(vec!["{}", "{}"])),
        // No document among them, more behind an array, a line that breaks off.
        ("7\n8", None),
        ("[{}]\n{}", None),
        ("{}\n{\"a\"", None),
        ("", None),
    ] {
        for bytes in 1..=text.len().max(1) {
            let found = cut_by(Pieces::in_lines(), text.as_bytes(), bytes).ok();
            let expected = expected.as_ref().map(|it: &Vec<&str>| it.join("|"));
            assert_eq!(found.map(|(pieces, _)| pieces.join("|")), expected, "{text}");
        }
    }
}

#[test]
fn a_fault_is_placed_as_the_json_reader_places_it() {
    for text in
        ["[{},\n {\"a\": tru}]", "[{}, {\"a\" 1}]", "\n\n{\"a\": \"b", "[{}, 01]", "[{} 1]", "[1,]"]
    {
        let theirs =
            serde_json::from_str::<serde_json::Value>(text).expect_err("a fault").to_string();
        let Err(Unreadable::NotJson(ours)) = cut(text.as_bytes(), 3) else { panic!("{text}") };
        let place = |it: &str| it.rsplit_once(" at line ").unwrap().1.to_owned();
        assert_eq!(place(&ours), place(&theirs), "{ours} / {theirs}");
    }
}

#[test]
fn text_that_is_not_utf_8_says_so() {
    let fault = cut(b"[{}, {\"id\": \"\xff\"}]", 4).expect_err("a fault");
    assert!(fault.to_string().contains("it is not UTF-8 text at line 1 column"), "{fault}");
}
