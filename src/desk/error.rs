//! What can keep the page from being served, and how a refused request is answered.

use crate::confirm::ConfirmError;
use crate::job::JobError;
use axum::Json;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use serde_json::json;
use std::io;

/// Why the page cannot be served.
#[derive(Debug, thiserror::Error)]
pub enum DeskError {
    /// The job cannot be read or written.
    #[error(transparent)]
    Job(#[from] JobError),
    /// The port is taken, or may not be used.
    #[error(
        "cannot listen on port {port} of 127.0.0.1: choose another with --port, or leave it out"
    )]
    Port {
        /// The port asked for; 0 for any.
        port: u16,
        /// Why.
        source: io::Error,
    },
    /// The system gives no random numbers for the address's secret.
    #[error("the system gives no random numbers: {0}")]
    NoSecret(getrandom::Error),
    /// The server stopped.
    #[error("the page can no longer be served")]
    Stopped(#[source] io::Error),
}

/// A request that is not done: a status and one plain sentence, as JSON `{"why": …}`.
#[derive(Debug)]
pub(crate) struct Refused {
    status: StatusCode,
    why: String,
}

impl Refused {
    pub(crate) fn new(status: StatusCode, why: impl ToString) -> Refused {
        Refused {
            status,
            why: why.to_string(),
        }
    }

    pub(crate) fn not_found(what: &str) -> Refused {
        Refused::new(StatusCode::NOT_FOUND, what)
    }
}

impl From<JobError> for Refused {
    fn from(error: JobError) -> Refused {
        let status = match error {
            JobError::Full { .. } => StatusCode::INSUFFICIENT_STORAGE,
            JobError::Busy { .. } => StatusCode::SERVICE_UNAVAILABLE,
            _ => StatusCode::INTERNAL_SERVER_ERROR,
        };
        Refused::new(status, error)
    }
}

impl From<ConfirmError> for Refused {
    fn from(error: ConfirmError) -> Refused {
        match error {
            ConfirmError::Job(error) => error.into(),
            error => Refused::new(StatusCode::UNPROCESSABLE_ENTITY, error),
        }
    }
}

impl IntoResponse for Refused {
    fn into_response(self) -> Response {
        (self.status, Json(json!({ "why": self.why }))).into_response()
    }
}
