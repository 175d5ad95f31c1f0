//! The one mapping from what went wrong to what the visitor is told.

use axum::http::StatusCode;
use axum::http::header::{LOCATION, RETRY_AFTER};
use axum::response::{IntoResponse, Response};

use crate::actions::ActionError;
use crate::outside::PhotosError;
use crate::store::StoreError;

/// Why a page is not shown. Each comment begins with the status.
#[derive(Debug)]
pub(super) enum Error {
    /// 400: the request can't be read.
    Unreadable,
    /// 303 to the sign-in page: nobody is signed in.
    SignIn(String),
    /// 303 to the first page: there is no company yet.
    SetUp,
    /// 403: not for this role.
    Forbidden,
    /// 403: a change that did not come from our own pages.
    CrossSite,
    /// 404: not there, or not for this person to know of.
    NotFound,
    /// 409: somebody else was faster.
    Changed,
    /// 422: not lawful; the sentence says why.
    Refused(String),
    /// 429: too many tries.
    Throttled,
    /// 503: the store does not answer.
    Unavailable(String),
    /// 500: a fault of ours.
    Fault(String),
}

/// What the request's log line and error page need; the inner text is for the log only.
#[derive(Clone, Debug)]
pub(super) struct Failure {
    pub(super) status: StatusCode,
    pub(super) heading: &'static str,
    pub(super) sentence: String,
    pub(super) inner: String,
}

impl From<StoreError> for Error {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::NotFound => Self::NotFound,
            StoreError::Taken | StoreError::StillReferenced | StoreError::Changed => Self::Changed,
            StoreError::Unavailable(inner) => Self::Unavailable(inner),
            StoreError::Unusable(inner) | StoreError::Fault(inner) => Self::Fault(inner),
        }
    }
}

impl From<ActionError> for Error {
    fn from(error: ActionError) -> Self {
        match error {
            ActionError::Refused(refusal) => Self::Refused(refusal.to_string()),
            ActionError::Store(fault) => fault.into(),
        }
    }
}

impl From<PhotosError> for Error {
    fn from(fault: PhotosError) -> Self {
        match fault {
            PhotosError::NotFound => Self::NotFound,
            PhotosError::Unavailable(inner) => Self::Unavailable(inner),
        }
    }
}

impl From<askama::Error> for Error {
    fn from(fault: askama::Error) -> Self {
        Self::Fault(fault.to_string())
    }
}

impl Error {
    pub(super) fn failure(self) -> Failure {
        let told = |status, heading, sentence: &str| Failure {
            status,
            heading,
            sentence: sentence.to_owned(),
            inner: String::new(),
        };
        match self {
            Self::Unreadable => told(
                StatusCode::BAD_REQUEST,
                "That can't be read",
                "The request was cut short or is not what this address takes. Go back and try \
                 once more.",
            ),
            Self::SignIn(_) | Self::SetUp => {
                told(StatusCode::SEE_OTHER, "Sign in", "Sign in to see this page.")
            }
            Self::Forbidden => told(
                StatusCode::FORBIDDEN,
                "Not for your role",
                "This page is for another role. If you need it, ask the owner.",
            ),
            Self::CrossSite => told(
                StatusCode::FORBIDDEN,
                "Not taken",
                "Changes are taken only from the pages of this service. Open the page here and \
                 try again.",
            ),
            Self::NotFound => told(
                StatusCode::NOT_FOUND,
                "Nothing here",
                "There is nothing at this address, or it is not among what you may see.",
            ),
            Self::Changed => told(
                StatusCode::CONFLICT,
                "Changed meanwhile",
                "Somebody changed this a moment ago. Look at it again, then decide.",
            ),
            Self::Refused(sentence) => {
                told(StatusCode::UNPROCESSABLE_ENTITY, "That can't be done", &sentence)
            }
            Self::Throttled => told(
                StatusCode::TOO_MANY_REQUESTS,
                "Too many tries",
                "Too many failed sign-ins. Wait a quarter of an hour, then try again.",
            ),
            Self::Unavailable(inner) => Failure {
                inner,
                ..told(
                    StatusCode::SERVICE_UNAVAILABLE,
                    "The store does not answer",
                    "Nothing was changed. Try again in a minute.",
                )
            },
            Self::Fault(inner) => Failure {
                inner,
                ..told(
                    StatusCode::INTERNAL_SERVER_ERROR,
                    "Something went wrong on our side",
                    "It was noted under the number below. What was saved before is safe.",
                )
            },
        }
    }
}

impl IntoResponse for Error {
    fn into_response(self) -> Response {
        let away = match &self {
            Self::SignIn(next) if next.is_empty() => Some("/sign-in".to_owned()),
            Self::SignIn(next) => Some(format!("/sign-in?next={next}")),
            Self::SetUp => Some("/set-up".to_owned()),
            _ => None,
        };
        if let Some(away) = away {
            return (StatusCode::SEE_OTHER, [(LOCATION, away)]).into_response();
        }
        let failure = self.failure();
        let mut response = failure.status.into_response();
        if failure.status == StatusCode::TOO_MANY_REQUESTS {
            response.headers_mut().insert(RETRY_AFTER, axum::http::HeaderValue::from_static("900"));
        }
        response.extensions_mut().insert(failure);
        response
    }
}
