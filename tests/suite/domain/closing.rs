//! What closes a sheet: what a text means, what marks come to, what doesn't fit together.

use fairweather::domain::closing::{
    Answer, Direction, Marked, faults, fields, is_field, label, meaning, movements, parts,
    pounds_and_ounces, proposals,
};

/// What a text comes to at a field of ours.
fn kept(field: &str, text: &str) -> String {
    meaning(field, text).expect("a field of ours").expect("it is taken")
}

fn refused(field: &str, text: &str) -> String {
    meaning(field, text).expect("a field of ours").expect_err("it is refused")
}

/// Refrigerant that was moved with all that belongs to it.
const MOVED: &[Marked<'_>] = &[
    ("moved.1", "added"),
    ("moved_lb.1", "2"),
    ("moved_oz.1", "4.5"),
    ("moved_cylinder.1", "R-410A no. 3"),
];

/// The nominal marks with one of them changed.
fn with<'a>(field: &'a str, value: &'a str) -> Vec<Marked<'a>> {
    let mut marks: Vec<Marked<'a>> = MOVED.iter().copied().filter(|it| it.0 != field).collect();
    marks.push((field, value));
    marks
}

fn fields_at_fault(marks: &[Marked<'_>]) -> Vec<String> {
    faults(marks).into_iter().map(|it| it.0).collect()
}

#[test]
fn what_is_not_of_the_closing_is_left_to_others() {
    for field in [
        "return_db_f",
        "observe.coil_face",
        "words.complaint",
        "proposal",
        "proposal.",
        "proposal.Coil",
        "proposal.other_5",
        "proposal_words.run_capacitor",
        "proposal_price.run_capacitor",
        "part.0",
        "part.9",
        "part.01",
        "part_count.x",
        "moved.5",
        "moved_kg.1",
        "missing.as_found.moved_lb.1",
    ] {
        assert_eq!(meaning(field, "open"), None, "{field}");
        assert!(!is_field(field) && label(field).is_none(), "{field}");
    }
}

#[test]
fn every_field_of_the_page_is_one_of_ours_and_has_words() {
    let all = fields(["run_capacitor"]);
    assert_eq!(all.len(), 2 + 4 * 4 + 8 * 2 + 4 * 4);
    for field in &all {
        assert!(is_field(field) && label(field).is_some(), "{field}");
        assert_eq!(kept(field, " "), "", "{field}: taken back");
    }
    assert_eq!(label("moved_lb.2").as_deref(), Some("Pounds of refrigerant 2"));
    assert_eq!(label("proposal.run_capacitor").as_deref(), Some("Proposal “run capacitor”"));
    assert_eq!(label("proposal_price.other_1").as_deref(), Some("Price: proposal 1"));
}

#[test]
fn texts_are_kept_as_one_word_each() {
    for (field, text, word) in [
        ("proposal.run_capacitor", " declined ", "declined"),
        ("proposal_until.run_capacitor", "2026-09-01", "2026-09-01"),
        ("proposal_words.other_1", " Gravel pad ", "Gravel pad"),
        ("proposal_price.other_4", "$1,189.5", "1189.50"),
        ("proposal_price.other_4", "140", "140.00"),
        ("part.8", "Filter drier", "Filter drier"),
        ("part_count.8", "02", "2"),
        ("moved.4", "recovered", "recovered"),
        ("moved_lb.1", "2,0", "2"),
        ("moved_lb.1", "200", "200"),
        ("moved_oz.1", "15.9", "15.9"),
        ("moved_oz.1", "0", "0"),
        ("moved_cylinder.1", "R-410A no. 3", "R-410A no. 3"),
    ] {
        assert_eq!(kept(field, text), word, "{field} {text}");
    }
}

#[test]
fn what_can_t_be_gets_a_sentence_with_field_text_and_what_is_accepted() {
    let long = "x".repeat(201);
    for (field, text, accepted) in [
        ("proposal.run_capacitor", "perhaps", "open, accepted, declined, deferred is accepted"),
        ("proposal_until.run_capacitor", "soon", "such as 2026-05-14"),
        ("proposal_price.other_1", "much", "189.50 are accepted"),
        ("proposal_price.other_1", "-5", "189.50 are accepted"),
        ("part_count.1", "0", "1 to 999"),
        ("part_count.1", "1.5", "1 to 999"),
        ("moved.1", "vanished", "added, recovered is accepted"),
        ("moved_lb.1", "200.1", "0 to 200 lb is accepted"),
        ("moved_lb.1", "-1", "0 to 200 lb is accepted"),
        ("moved_lb.1", "2.25", "with one decimal"),
        ("moved_lb.1", "1e1", "0 to 200 lb is accepted"),
        ("moved_lb.1", "NaN", "0 to 200 lb is accepted"),
        ("moved_oz.1", "16", "0 to 15.9 oz is accepted"),
        ("moved_cylinder.1", &long, "at most 60"),
        ("part.1", &long, "at most 200"),
    ] {
        let sentence = refused(field, text);
        assert!(sentence.contains(accepted), "{sentence}");
        assert!(sentence.starts_with(&label(field).unwrap()), "{sentence}");
        assert!(text.len() > 200 || sentence.contains(text), "{sentence}");
    }
}

#[test]
fn proposals_of_the_list_and_free_ones_come_with_their_answers() {
    let marks = [
        ("proposal.run_capacitor", "deferred"),
        ("proposal_until.run_capacitor", "2026-09-01"),
        ("proposal.indoor_coil", "accepted"),
        ("proposal_until.indoor_coil", "2026-09-01"),
        ("proposal.contactor", ""),
        ("proposal_words.other_2", "Gravel pad"),
        ("proposal_price.other_2", "140.00"),
    ];
    let all = proposals(&marks);
    let items: Vec<&str> = all.iter().map(|it| it.item.as_str()).collect();
    assert_eq!(items, ["indoor_coil", "run_capacitor", "other_2"]);
    assert_eq!((all[0].answer, all[0].until), (Answer::Accepted, None), "no day without deferring");
    assert_eq!(all[1].until.map(|it| it.to_string()).as_deref(), Some("2026-09-01"));
    let free = &all[2];
    assert_eq!((free.answer, free.cents), (Answer::Open, Some(14_000)), "begun, so open");
    assert_eq!(free.words, "Gravel pad");
}

#[test]
fn a_part_without_a_count_is_one_part() {
    let all = parts(&[("part.1", "Run capacitor"), ("part.3", "Wire nut"), ("part_count.3", "4")]);
    let all: Vec<(i64, &str, i64)> =
        all.iter().map(|it| (it.line, it.words.as_str(), it.count)).collect();
    assert_eq!(all, [(1, "Run capacitor", 1), (3, "Wire nut", 4)]);
}

#[test]
fn pounds_and_ounces_are_one_exact_amount() {
    let moved = movements(MOVED);
    assert_eq!(moved.len(), 1);
    let (direction, tenths) = (moved[0].direction, moved[0].ounce_tenths);
    assert_eq!((direction, tenths), (Direction::Added, 365), "2 × 16 + 4.5 oz");
    let half = movements(&with("moved_lb.1", "0.5"));
    assert_eq!(half[0].ounce_tenths, 125, "8 + 4.5 oz");
    for (tenths, words) in
        [(365, "2 lb 4.5 oz"), (320, "2 lb"), (85, "8.5 oz"), (0, "0 oz"), (-165, "−1 lb 0.5 oz")]
    {
        assert_eq!(pounds_and_ounces(tenths), words);
    }
}

#[test]
fn refrigerant_needs_a_direction_an_amount_and_a_cylinder() {
    assert_eq!(faults(MOVED), [], "nothing lacks");
    assert_eq!(faults(&[]), []);
    assert_eq!(fields_at_fault(&with("moved.1", "")), ["moved.1"]);
    assert_eq!(fields_at_fault(&with("moved_cylinder.1", "")), ["moved_cylinder.1"]);
    assert_eq!(faults(&with("moved_lb.1", "")), [], "ounces alone are an amount");
    assert_eq!(fields_at_fault(&[("moved.2", "added")]), ["moved_lb.2", "moved_cylinder.2"]);
    let nothing =
        [("moved.1", "added"), ("moved_lb.1", "0"), ("moved_oz.1", "0"), ("moved_cylinder.1", "3")];
    assert_eq!(fields_at_fault(&nothing), ["moved_lb.1"], "nothing is no amount");
    assert_eq!(movements(&nothing), []);
}

#[test]
fn what_is_deferred_needs_a_day_and_a_free_proposal_words_and_price() {
    let deferred = [("proposal.coil", "deferred")];
    assert_eq!(fields_at_fault(&deferred), ["proposal_until.coil"]);
    let free = [("proposal.other_1", "accepted")];
    assert_eq!(fields_at_fault(&free), ["proposal_words.other_1", "proposal_price.other_1"]);
    assert_eq!(fields_at_fault(&[("part_count.1", "2")]), ["part.1"]);
    let sentence = faults(&deferred).remove(0).1;
    assert!(sentence.contains("say until which day"), "{sentence}");
}

#[test]
fn a_reason_why_it_is_missing_is_enough() {
    let mut marks = with("moved_cylinder.1", "");
    marks.push(("missing.as_found.moved_cylinder.1", "The label was torn off"));
    assert_eq!(faults(&marks), []);
    assert_eq!(movements(&marks)[0].cylinder, "", "it is in the log all the same");
}

proptest::proptest! {
    #[test]
    fn no_text_at_no_field_panics_and_what_is_kept_is_kept_again(
        field in proptest::sample::select(fields(["coil"])),
        text in "\\PC{0,20}",
    ) {
        if let Some(Ok(word)) = meaning(&field, &text) {
            proptest::prop_assert_eq!(meaning(&field, &word), Some(Ok(word)));
        }
    }
}
