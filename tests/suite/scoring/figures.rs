//! The score as drawings.

use fairweather::scoring::figures::{reliability_figure, score_figure};
use fairweather::scoring::reliability::reliability;

use super::{rich_score, row, scored, silence};

/// The elements of an XML text by name, each closed where it should be; fails on anything else.
fn elements(xml: &str) -> Vec<String> {
    let (mut open, mut all) = (Vec::new(), Vec::new());
    let mut rest = xml;
    while let Some((before, after)) = rest.split_once('<') {
        assert!(!before.contains('>') && !before.contains('&'), "stray text: {before}");
        let (tag, after) = after.split_once('>').expect("a tag that ends");
        rest = after;
        if let Some(name) = tag.strip_prefix('/') {
            assert_eq!(open.pop().as_deref(), Some(name), "closed out of turn");
            continue;
        }
        let name = tag.split([' ', '/']).next().unwrap_or_default().to_owned();
        assert_eq!(tag.matches('"').count() % 2, 0, "a quote that does not end: {tag}");
        if !tag.ends_with('/') {
            open.push(name.clone());
        }
        all.push(name);
    }
    assert!(open.is_empty() && rest.trim().is_empty(), "left open: {open:?}");
    all
}

fn assert_harmless(svg: &str) {
    let names = elements(svg);
    for name in ["script", "style", "image", "foreignObject", "a", "use"] {
        assert!(!names.iter().any(|it| it == name), "{name}");
    }
    for word in ["style=", "href", "onload", "@import", "NaN", "inf"] {
        assert!(!svg.contains(word), "{word}");
    }
    assert!(svg.contains("<title>") && svg.contains("<desc>") && svg.contains(r#"role="img""#));
}

#[test]
fn the_file_is_whole_xml_without_script_or_style() {
    for score in [rich_score(), scored([])] {
        let svg = score_figure(&score);
        assert!(svg.starts_with(r#"<svg xmlns="http://www.w3.org/2000/svg""#));
        assert_harmless(&svg);
    }
}

#[test]
fn each_part_of_a_bar_is_told_apart_by_more_than_ink() {
    let svg = score_figure(&rich_score());
    for pattern in ["score-near", "score-half", "score-wrong", "score-missed"] {
        assert_eq!(svg.matches(&format!(r#"id="{pattern}""#)).count(), 1, "{pattern}");
        assert!(svg.matches(&format!("url(#{pattern})")).count() >= 2, "{pattern} is not used");
    }
    assert!(svg.contains("low_charge, 40 cases: correct "), "the bars in words");
}

#[test]
fn the_curve_for_a_page_takes_the_pages_ink_and_has_no_id() {
    let rows = [row("low_charge", 0.85, "low_charge"), row("low_charge", 0.85, "no_fault")];
    let svg = reliability_figure(&reliability(&rows));
    assert!(svg.starts_with(r#"<svg class="reliability" "#));
    assert!(!svg.contains("id=") && !svg.contains('#'), "no id, no colour of its own: {svg}");
    assert!(svg.contains("said 80 to 90 %, 1 true of 2 (50 %, 95 % interval 9 to 91 %)"));
    assert_harmless(&svg);
}

#[test]
fn a_bin_without_an_answer_says_so_and_has_no_mark() {
    let svg = reliability_figure(&reliability(&[silence("low_charge")]));
    assert!(svg.contains(">none<") && !svg.contains("<circle"), "{svg}");
    assert!(svg.contains("No cause was named yet."));
}
