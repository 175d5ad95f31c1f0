//! Several phones on one visit, with lost answers and repeats: whatever happens, each typed text is
//! one row, and what counts is what an independent tally says.

use std::collections::HashMap;

use fairweather::actions::{self, Typed};
use fairweather::chance;
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use uuid::Uuid;

use crate::app::{NOW, TestApp};
use crate::builders::{EVERYTHING, typed};

const FIELDS: [&str; 3] =
    ["as_found.return_db_f", "as_found.suction_line_f", "as_found.liquid_line_f"];

/// One thing that happens.
#[derive(Clone, Copy, Debug)]
enum Step {
    /// A phone's hand types a value into a field; it waits on the phone.
    Types { phone: usize, field: usize, value: u8 },
    /// A phone sends what waits; the answer arrives, or is lost and all is sent again.
    Sends { phone: usize, is_answer_lost: bool },
}

fn step() -> impl Strategy<Value = Step> {
    prop_oneof![
        3 => (0..3_usize, 0..FIELDS.len(), 60..90_u8)
            .prop_map(|(phone, field, value)| Step::Types { phone, field, value }),
        1 => (0..3_usize, any::<bool>())
            .prop_map(|(phone, is_answer_lost)| Step::Sends { phone, is_answer_lost }),
    ]
}

#[derive(Default)]
struct Phone {
    waiting: Vec<Typed>,
    known: i64,
}

/// What should stand: by field all that counted, as place, phone and value; and how many rows.
#[derive(Default)]
struct Tally {
    standing: HashMap<String, Vec<(i64, String, String)>>,
    /// Each id once, with whether it waits for a person.
    seen: HashMap<Uuid, bool>,
    readings: i64,
}

impl Tally {
    fn take(&mut self, entry: &Typed, place: i64) {
        if self.seen.contains_key(&entry.id) {
            return;
        }
        let counted = self.standing.entry(entry.field.clone()).or_default();
        let by_others = counted.iter().rfind(|it| it.1 != entry.device.0);
        let crosses = by_others.is_some_and(|it| entry.base_number < it.0 && it.2 != entry.text);
        self.seen.insert(entry.id, crosses);
        if !crosses {
            counted.push((place, entry.device.0.clone(), entry.text.clone()));
            self.readings += 1;
        }
    }
}

async fn send(app: &TestApp, visit: Uuid, phone: &mut Phone, tally: &mut Tally, is_lost: bool) {
    let mut tx = app.write().await;
    let row = tx.visit(EVERYTHING, visit).await.unwrap();
    let came_in =
        actions::enter(&mut tx, &row, &phone.waiting, app.by(Some(app.tess))).await.unwrap();
    let last = tx.visit(EVERYTHING, visit).await.unwrap().entries;
    tx.commit().await.unwrap();
    assert_eq!(came_in.len(), phone.waiting.len());
    for (entry, came) in phone.waiting.iter().zip(&came_in) {
        tally.take(entry, came.number);
        assert_eq!((came.id, came.is_held), (entry.id, tally.seen[&entry.id]));
    }
    if !is_lost {
        phone.waiting.clear();
        phone.known = last;
    }
}

async fn live(steps: Vec<Step>) {
    let app = TestApp::new().await;
    let place = app.place("Ada Fenn").await;
    let visit = app.booked(&place, app.tess).await;
    let mut phones: [Phone; 3] = Default::default();
    let mut tally = Tally::default();
    for step in steps {
        match step {
            Step::Types { phone, field, value } => {
                let entry = Typed {
                    id: chance::id(NOW),
                    device: (format!("phone {phone}"), 1),
                    base_number: phones[phone].known,
                    ..typed(FIELDS[field], &value.to_string())
                };
                phones[phone].waiting.push(entry);
            }
            Step::Sends { phone, is_answer_lost } => {
                send(&app, visit, &mut phones[phone], &mut tally, is_answer_lost).await;
            }
        }
    }
    for phone in &mut phones {
        send(&app, visit, phone, &mut tally, false).await;
    }
    let number = app.visit(visit).await.number;
    let mut tx = app.read().await;
    let rows =
        tx.entries_of(number).await.unwrap().len() + tx.entries_held(number).await.unwrap().len();
    assert_eq!(rows, tally.seen.len(), "each typed text is one row");
    assert_eq!(tx.count_readings(number).await.unwrap(), tally.readings);
    for reading in tx.readings_of(number).await.unwrap() {
        let (.., text) = tally.standing[&reading.point].last().expect("something counted");
        assert_eq!(reading.value, text.parse().ok(), "{}", reading.point);
    }
}

#[test]
fn whatever_three_phones_do_each_typed_text_is_one_row_and_the_right_one_counts() {
    let config = Config { cases: 24, failure_persistence: None, ..Config::default() };
    let steps = prop::collection::vec(step(), 1..40);
    TestRunner::new(config)
        .run(&steps, |steps| {
            let runtime = tokio::runtime::Builder::new_multi_thread()
                .worker_threads(1)
                .enable_all()
                .build()
                .expect("a runtime");
            runtime.block_on(live(steps));
            Ok(())
        })
        .unwrap();
}
