//! Why a change is not lawful: each reason with its sentence and the field that it stands at.

use super::photo::PHOTOS_MAX;
use super::visit::VisitState;

/// The largest text of a reason or remark.
pub const REASON_LETTERS_MAX: usize = 2_000;

/// Why a change was refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// There is a company already.
    #[error("This store has a company and an owner already. Sign in.")]
    SetUpAlready,
    /// The mail address is somebody's.
    #[error("Somebody with this mail address is here already.")]
    EmailTaken,
    /// The present password was not right.
    #[error("That is not the present password.")]
    PasswordWrong,
    /// The last owner can't leave.
    #[error("This is the last owner; somebody must own the company. Add another owner first.")]
    LastOwner,
    /// The part is in place already.
    #[error("This system has such a part in place already. Replace it instead of adding one.")]
    PartInPlace,
    /// The component was taken out.
    #[error("This part was taken out already.")]
    TakenOut,
    /// A day lies before another that must come first.
    #[error("{0}")]
    DaysOutOfOrder(&'static str),
    /// A reason is needed.
    #[error("Say why: a change after hand-in keeps both values and the reason.")]
    ReasonMissing,
    /// A remark is needed.
    #[error("Say what should be looked at again.")]
    RemarkMissing,
    /// A text is too long.
    #[error("At most {REASON_LETTERS_MAX} characters.")]
    TextTooLong,
    /// The technician has something else then.
    #[error("{0} has another visit at that time. Choose another time or technician.")]
    Busy(String),
    /// The promise is kept by another visit already.
    #[error("Somebody has just booked this visit. The list shows it now.")]
    BookedAlready,
    /// The same form was sent before and booked something else.
    #[error("This form has booked a visit already. Move that visit, or begin again from the list.")]
    SentBefore,
    /// Nobody who does visits.
    #[error("Choose a technician of the company.")]
    NotATechnician,
    /// The visit would run past midnight.
    #[error("A visit starts and ends on one day; make it shorter or start it earlier.")]
    OverMidnight,
    /// The visit's state does not allow it.
    #[error("This visit is “{}” by now, so that can't be done.", .0.words())]
    WrongState(VisitState),
    /// Something was entered, so the visit took place.
    #[error("Something is on the sheet already, so it took place. Hand it in as it is.")]
    SheetBegun,
    /// The sheet of this kind of visit isn't there yet.
    #[error("There is no sheet for this kind of visit yet.")]
    NoSheet,
    /// The report is with the customer.
    #[error("This sheet was accepted; only the office can correct it now.")]
    AcceptedAlready,
    /// Nothing was entered.
    #[error("Nothing is on the sheet yet. Enter what was read, or mark the visit as no access.")]
    EmptySheet,
    /// Something that the sheet needs is neither there nor explained; the sentence says what.
    #[error("{0}")]
    RequiredMissing(String),
    /// The agreement's plan promises nothing like that.
    #[error("This agreement promises no such visit.")]
    NotPromised,
    /// An agreement without systems.
    #[error("Choose at least one system of this customer.")]
    NoSystems,
    /// Somebody else was faster.
    #[error("Somebody changed this meanwhile. Look again before you change it.")]
    Changed,
    /// A limit must say why it is so.
    #[error("Say why: the reason stays beside the limit for whoever asks later.")]
    LimitReasonMissing,
    /// A limit is not what the program takes; the sentence says what it does take.
    #[error("{0}")]
    LimitNotTaken(String),
    /// Somebody else changed the same limit meanwhile; the sentence says who set what.
    #[error("{0}")]
    LimitChangedMeanwhile(String),
    /// The limits that were looked at are no longer those in force.
    #[error(
        "The limit book or the priors were changed since this page was laid out. Look at what \
         would change by now, then store it."
    )]
    StandardsChanged,
    /// Nobody said what was found.
    #[error("Choose what the repair found; “Nothing was wrong” is an answer too.")]
    CauseMissing,
    /// Two answers that can't both be.
    #[error(
        "These two can't both be: nothing was wrong, or one cause, or two different ones at once."
    )]
    CausesDontPair,
    /// The finding is another visit's, or was withdrawn.
    #[error("This visit has no such finding any more. Choose another, or none.")]
    NoSuchFinding,
    /// Somebody else answered the same visit meanwhile; the sentence says what.
    #[error("{0}")]
    ConfirmedMeanwhile(String),
    /// The program can't know what was found.
    #[error("Only a person can say what a repair found.")]
    NobodyConfirms,
    /// To begin again must have a reason.
    #[error("Say why: the reason stays beside the version for whoever asks later.")]
    ResetReasonMissing,
    /// The priors that were looked at are no longer those in force.
    #[error(
        "Somebody confirmed a cause since this page was laid out, so that the priors are others \
         by now. Look at them, then decide."
    )]
    PriorsChanged,
    /// Something waits for a person to decide.
    #[error("Two devices entered different things. Decide each on the sheet before it goes in.")]
    Undecided,
    /// A device sent two different things under one id.
    #[error("This was sent before with other words. Load the page again and enter it anew.")]
    IdTaken,
    /// The price list has no such item any more.
    #[error("This item is not on the price list any more. Look at the list again.")]
    NoSuchItem,
    /// The price list is as long as it may be.
    #[error("The price list has as many items as a sheet can show. Retire one first.")]
    PriceListFull,
    /// Two items of the same words.
    #[error("“{0}” is on the price list already. Change that item, or choose other words.")]
    SuchItemAlready(String),
    /// What was written of an item can't be; the field, and the sentence.
    #[error("{1}")]
    PriceNotTaken(&'static str, String),
    /// The price list that was looked at is no longer the one in force.
    #[error(
        "Somebody changed the price list since this page was laid out. Look at it as it stands, \
         then decide."
    )]
    PricesChanged,
    /// The proposal was taken back, or another one took its place.
    #[error("This proposal was taken back when the sheet was changed. Look at the visit again.")]
    NoSuchProposal,
    /// Deferred, but until when?
    #[error("Deferred until: nothing was given; a day from the visit on is accepted.")]
    UntilMissing,
    /// Somebody else wrote another answer down meanwhile; the sentence says what.
    #[error("{0}")]
    AnsweredMeanwhile(String),
    /// What closes the sheet does not fit together; the sentences say what.
    #[error("{0}")]
    DoesNotFit(String),
    /// As many photos as a visit may have.
    #[error("This visit has {PHOTOS_MAX} photos already. Take one away before another is added.")]
    PhotosFull,
    /// No such field on the sheet.
    #[error("The sheet has no field “{0}”.")]
    NoSuchField(String),
}

impl Refusal {
    /// The form field that the sentence belongs to; empty where it is the whole.
    #[must_use]
    pub fn field(&self) -> &'static str {
        match self {
            Self::EmailTaken => "email",
            Self::PasswordWrong => "present_password",
            Self::PartInPlace => "part",
            Self::ReasonMissing | Self::LimitReasonMissing | Self::ResetReasonMissing => "reason",
            Self::LimitNotTaken(_) | Self::LimitChangedMeanwhile(_) => "value",
            Self::RemarkMissing | Self::TextTooLong => "text",
            Self::Busy(_) | Self::OverMidnight => "time",
            Self::NotATechnician => "technician",
            Self::NoSystems => "systems",
            Self::CauseMissing => "cause",
            Self::CausesDontPair => "second",
            Self::NoSuchFinding => "finding",
            Self::SuchItemAlready(_) => "words",
            Self::PriceNotTaken(field, _) => field,
            Self::UntilMissing => "until",
            Self::AnsweredMeanwhile(_) => "answer",
            Self::PhotosFull => "photo",
            _ => "",
        }
    }
}
