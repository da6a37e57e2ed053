//! The way in: the secret of the printed address becomes a cookie.
//!
//! The secret stands behind the address's `#`, a part that browsers send to nobody; the page's script
//! hands it over once. Cookies know no ports, so the cookie's name carries the port: two desks at once
//! do not put each other out.

use super::error::{DeskError, Refused};
use super::guard::same_secret;
use super::server::Shared;
use crate::hexadecimal::hexadecimal;
use axum::Json;
use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use std::sync::Arc;

/// Random bytes of a secret: as many as cannot be guessed by trying.
const SECRET_BYTES: usize = 24;

/// Returns a new secret in hexadecimal digits.
///
/// # Errors
/// Where the system gives no random numbers.
pub(crate) fn new_secret() -> Result<String, DeskError> {
    let mut bytes = [0; SECRET_BYTES];
    getrandom::fill(&mut bytes).map_err(DeskError::NoSecret)?;
    Ok(hexadecimal(&bytes))
}

/// What the page hands over.
#[derive(Deserialize)]
pub(crate) struct Key {
    key: String,
}

/// Answers the right secret with the cookie. It lasts until the browser or this program ends.
pub(crate) async fn enter(
    State(shared): State<Arc<Shared>>,
    Json(Key { key }): Json<Key>,
) -> Response {
    if !same_secret(&key, &shared.secret) {
        return Refused::new(
            StatusCode::FORBIDDEN,
            "this key is not of the desk that runs now: open the address that it printed last",
        )
        .into_response();
    }
    let cookie = format!(
        "{}={}; Path=/; HttpOnly; SameSite=Strict",
        shared.cookie_name, shared.cookie
    );
    ([(header::SET_COOKIE, cookie)], StatusCode::NO_CONTENT).into_response()
}
