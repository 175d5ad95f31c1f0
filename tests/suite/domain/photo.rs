//! Which fields may have photos, and who may take one away.

use fairweather::domain::photo::{
    SIGNATURE, fields, is_for_the_customer, may_have, may_remove, words,
};
use fairweather::domain::refusal::Refusal;
use fairweather::domain::visit::VisitState;

#[test]
fn what_is_looked_at_done_or_dangerous_may_have_photos_and_the_visit_itself() {
    let some = ["", SIGNATURE, "observe.coil_face", "hazard.gas_smell", "work.filter_replaced"];
    for field in some {
        assert!(may_have(field), "{field}");
    }
    let none = ["observe.nothing", "words.complaint", "return_db_f", "coil_face", "../etc", " "];
    for field in none {
        assert!(!may_have(field), "{field}");
    }
}

#[test]
fn every_field_that_may_have_photos_is_offered_with_its_words() {
    let fields = fields();
    assert_eq!(fields.first().unwrap().0, "");
    assert_eq!(fields.last().unwrap().0, SIGNATURE);
    assert!(fields.len() > 40, "only {}", fields.len());
    for (field, told) in fields {
        assert!(may_have(&field), "{field}");
        assert_eq!(words(&field), told);
    }
    assert_eq!(words("observe.coil_face"), "Coil face");
}

#[test]
fn the_signature_is_not_on_the_customers_link() {
    assert!(is_for_the_customer("observe.coil_face") && is_for_the_customer(""));
    assert!(!is_for_the_customer(SIGNATURE));
}

#[test]
fn an_accepted_report_is_the_offices() {
    for state in VisitState::ALL {
        assert_eq!(may_remove(state, true), Ok(()));
        let answer = may_remove(state, false);
        let wanted = match state {
            VisitState::Accepted => Err(Refusal::AcceptedAlready),
            _ => Ok(()),
        };
        assert_eq!(answer, wanted, "{state:?}");
    }
}
