//! Who may ask for what. Four guards stand before every answer, and each alone would stop some attack
//! that the others let through:
//!
//! | guard | stops |
//! |---|---|
//! | loopback address | other machines |
//! | exact `Host` | a foreign name made to point here (DNS rebinding), which passes the next |
//! | cross-site check | forms and scripts of other pages of the same browser |
//! | cookie got for the address's secret | other users and programs of this machine |

use super::server::Shared;
use axum::extract::{Request, State};
use axum::http::header::{self, HeaderMap, HeaderName, HeaderValue};
use axum::http::{Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::sync::Arc;

/// What the page may load: its own files, and pictures that it has itself read from a dropped file.
/// Scripts cannot write markup at all, so text can never become part of the page.
const POLICY: &str = "default-src 'self'; img-src 'self' blob:; object-src 'none'; base-uri 'none'; \
                      form-action 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'";

const HEADERS: [(HeaderName, &str); 6] = [
    (header::CONTENT_SECURITY_POLICY, POLICY),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "no-referrer"),
    (
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("permissions-policy"),
        "camera=(), microphone=(), geolocation=()",
    ),
];

/// Puts the headers on every answer, refusals too. What has no rule of its own is not kept by the
/// browser.
pub(crate) async fn harden(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    for (name, value) in HEADERS {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers
        .entry(header::CACHE_CONTROL)
        .or_insert(HeaderValue::from_static("no-store"));
    response
}

/// Lets through only requests that name this server exactly as the printed address does.
pub(crate) async fn check_host(
    State(shared): State<Arc<Shared>>,
    request: Request,
    next: Next,
) -> Response {
    let mut hosts = request.headers().get_all(header::HOST).iter();
    let named = hosts.next().and_then(|host| host.to_str().ok());
    let only = hosts.next().is_none();
    let authority = request
        .uri()
        .authority()
        .map(|authority| authority.as_str());
    if named == Some(&*shared.host) && only && authority.is_none_or(|other| other == shared.host) {
        next.run(request).await
    } else {
        (
            StatusCode::MISDIRECTED_REQUEST,
            "this page answers only under the address that callover desk printed\n",
        )
            .into_response()
    }
}

/// Lets through only requests that carry the cookie.
pub(crate) async fn check_cookie(
    State(shared): State<Arc<Shared>>,
    request: Request,
    next: Next,
) -> Response {
    if has_cookie(request.headers(), &shared.cookie_name, &shared.cookie) {
        return next.run(request).await;
    }
    let refusal = super::error::Refused::new(
        StatusCode::UNAUTHORIZED,
        "open the address that callover desk printed: it carries the key to this page",
    );
    let mut response = refusal.into_response();
    if request.method() == Method::HEAD {
        *response.body_mut() = axum::body::Body::empty();
    }
    response
}

/// Returns true where any cookie of that name has the value (RFC 6265, 4.2.1).
fn has_cookie(headers: &HeaderMap, name: &str, value: &str) -> bool {
    let lines = headers.get_all(header::COOKIE).iter();
    lines
        .filter_map(|line| line.to_str().ok())
        .flat_map(|line| line.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .any(|(found, given)| found == name && same_secret(given, value))
}

/// Compares digests, so that the time taken tells nothing about where the texts differ.
pub(crate) fn same_secret(given: &str, secret: &str) -> bool {
    use sha2::{Digest, Sha256};
    Sha256::digest(given) == Sha256::digest(secret)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cookie_is_found_among_others_and_only_by_its_whole_name_and_value() {
        for (line, found) in [
            ("desk-1=abc", true),
            ("other=1; desk-1=abc; more=2", true),
            ("desk-1=abcd", false),
            ("desk-1=ab", false),
            ("desk-1=", false),
            ("xdesk-1=abc", false),
            ("desk-10=abc", false),
            ("", false),
        ] {
            let mut headers = HeaderMap::new();
            headers.insert(header::COOKIE, HeaderValue::from_static(line));
            assert_eq!(has_cookie(&headers, "desk-1", "abc"), found, "{line}");
        }
    }
}
