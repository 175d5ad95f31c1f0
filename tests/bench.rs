//! How quick the engine is: `cargo bench`. `tests/speed.py` sets it beside CoolProp.
#![expect(clippy::expect_used, reason = "a bench that can't go on stops")]

use divan::{Bencher, black_box};
use fairweather::engine::assess_to;
use fairweather::engine::case::read_case_text;
use fairweather::engine::causes::Depth;
use fairweather::engine::limits::LimitBook;
use fairweather::engine::refrigerant::table;
use fairweather::formats::assess_file::{Causes, Form, Layout, answer_piece};
use fairweather::formats::pieces::Shape;
use fairweather::units::Psia;

/// A full visit: forty readings as found, and some again as left.
const VISIT: &str = include_str!("cases/full_visit.json");

/// As `tests/speed.py` has them.
const REFRIGERANTS: [&str; 6] = ["R-22", "R-32", "R-134a", "R-407C", "R-410A", "R-454B"];
const PRESSURES_PSIA: [f64; 8] = [80.0, 110.0, 135.0, 160.0, 210.0, 260.0, 315.0, 375.0];

fn main() {
    divan::main();
}

/// From readings to measures and verdicts.
#[divan::bench(sample_size = 20, sample_count = 500)]
fn judge(bencher: Bencher) {
    let case = read_case_text(VISIT).expect("a case");
    let book = LimitBook::default();
    bencher.bench_local(|| assess_to(black_box(&case), black_box(&book), Depth::Measures));
}

/// The same of a visit on which nothing was read again.
#[divan::bench(sample_size = 20, sample_count = 500)]
fn judge_as_found(bencher: Bencher) {
    let mut case = read_case_text(VISIT).expect("a case");
    case.as_left.clear();
    case.unchanged.clear();
    let book = LimitBook::default();
    bencher.bench_local(|| assess_to(black_box(&case), black_box(&book), Depth::Measures));
}

/// From readings to causes, none beside another.
#[divan::bench(sample_size = 20, sample_count = 200)]
fn causes_alone(bencher: Bencher) {
    causes(bencher, Depth::Singles);
}

/// From readings to causes, two at once too.
#[divan::bench(sample_size = 20, sample_count = 200)]
fn causes_and_pairs(bencher: Bencher) {
    causes(bencher, Depth::Pairs);
}

fn causes(bencher: Bencher, depth: Depth) {
    let mut case = read_case_text(VISIT).expect("a case");
    case.as_left.clear();
    case.unchanged.clear();
    let book = LimitBook::default();
    bencher.bench_local(|| assess_to(black_box(&case), black_box(&book), depth));
}

/// From text to readings.
#[divan::bench(sample_size = 20, sample_count = 500)]
fn read(bencher: Bencher) {
    bencher.bench_local(|| read_case_text(black_box(VISIT)));
}

/// From text to text, as the command does it.
#[divan::bench(sample_size = 20, sample_count = 500)]
fn answer(bencher: Bencher) {
    let book = LimitBook::default();
    let layout = Layout { form: Form::Json, shape: Shape::Many };
    let mut out = Vec::new();
    bencher.bench_local(|| {
        out.clear();
        layout.write(&answer_piece(black_box(VISIT), &book, Causes::LeftOut), &mut out)
    });
}

/// One saturation: from the designation and a pressure to the dew temperature.
#[divan::bench(args = REFRIGERANTS, sample_size = 1000, sample_count = 500)]
fn saturation(bencher: Bencher, designation: &str) {
    let mut pressures = PRESSURES_PSIA.iter().cycle();
    bencher.bench_local(|| {
        let pressure = pressures.next().copied().map_or(Psia(0.0), Psia);
        table(black_box(designation)).and_then(|it| it.dew(black_box(pressure)))
    });
}
