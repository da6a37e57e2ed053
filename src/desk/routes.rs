//! Addresses, and what answers them.

use super::assets::ASSETS;
use super::entry::enter;
use super::error::Refused;
use super::growth::growth;
use super::guard::{check_cookie, check_host, harden};
use super::page;
use super::paragraphs::{Paragraph, paragraphs};
use super::pictures::{self, LARGEST_UPLOAD, PhotoView};
use super::seat::Acted;
use super::server::Shared;
use super::sound::Sound;
use super::view::{FieldView, StandingView, Update, fields, standings};
use crate::confirm::Change;
use crate::items::VisitedPlace;
use crate::job::Field;
use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, Path, Query, Request, State};
use axum::http::{HeaderName, HeaderValue, StatusCode, header};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Json, Router, middleware};
use serde::{Deserialize, Serialize};
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;
use tower_http::csrf::CsrfLayer;
use tower_http::services::ServeFile;

/// How long a page waits for a change before it asks anew: below the half minute after which some
/// programs in between give up.
const LONGEST_WAIT: Duration = Duration::from_secs(20);
/// Largest request but an upload, in bytes: a field holds 4,000 characters.
const LARGEST_REQUEST: usize = 64 * 1024;

/// Texts offered while typing: what the eye takes in at once.
const MOST_COMPLETED: usize = 8;

type Answer = Result<Response, Refused>;

/// Returns everything that is answered, behind its guards.
pub(crate) fn router(shared: Arc<Shared>) -> Router {
    let upload = post(take_photo).layer(DefaultBodyLimit::max(LARGEST_UPLOAD));
    let private = Router::new()
        .route("/list", get(list))
        .route("/changes", get(changes))
        .route("/act", post(act))
        .route("/complete", get(complete))
        .route("/recordings", get(recordings))
        .route("/growth", get(grown))
        .route("/words/{recording}", get(words))
        .route("/outline/{recording}", get(outline))
        .route("/sound/{recording}", get(sound))
        .route("/photos", get(photos).merge(upload))
        .route("/photo/{id}", get(photo))
        .route("/small/{id}", get(small))
        .route_layer(middleware::from_fn_with_state(
            Arc::clone(&shared),
            check_cookie,
        ));
    Router::new()
        .route("/", get(frame))
        .route("/assets/{name}", get(asset))
        .route("/enter", post(enter))
        .merge(private)
        .fallback(async || Refused::not_found("there is no such page"))
        .layer(DefaultBodyLimit::max(LARGEST_REQUEST))
        .layer(CsrfLayer::new())
        .layer(middleware::from_fn_with_state(
            Arc::clone(&shared),
            check_host,
        ))
        .layer(middleware::from_fn(harden))
        .with_state(shared)
}

/// Does what may wait for the disk on another thread, so that other answers do not wait too.
async fn aside<T: Send + 'static>(
    shared: Arc<Shared>,
    work: impl FnOnce(&Shared) -> Result<T, Refused> + Send + 'static,
) -> Result<T, Refused> {
    tokio::task::spawn_blocking(move || work(&shared))
        .await
        .unwrap_or_else(|error| Err(Refused::new(StatusCode::INTERNAL_SERVER_ERROR, error)))
}

async fn frame(State(shared): State<Arc<Shared>>) -> Html<String> {
    Html(page::page(shared.sounds.silent()).into_string())
}

async fn asset(Path(name): Path<String>) -> Answer {
    let asset = ASSETS.iter().find(|asset| asset.name == name);
    let asset = asset.ok_or_else(|| Refused::not_found("there is no such file"))?;
    Ok(([(header::CONTENT_TYPE, asset.mime)], asset.text).into_response())
}

/// The list and what belongs to it.
#[derive(Serialize)]
struct Whole {
    title: String,
    fields: Vec<FieldView>,
    standings: Vec<StandingView>,
    places: Vec<VisitedPlace>,
    recordings: Vec<Sound>,
    list: Update,
}

async fn list(State(shared): State<Arc<Shared>>) -> Answer {
    let whole = aside(shared, |shared| {
        let mut seat = shared.seat();
        seat.refresh()?;
        Ok(Whole {
            title: seat.title.clone(),
            fields: fields(),
            standings: standings(),
            places: seat.job.proposal()?.places,
            recordings: shared.sounds.list(),
            list: Update::whole(&seat.session),
        })
    });
    Ok(Json(whole.await?).into_response())
}

#[derive(Deserialize)]
struct After {
    after: i64,
}

/// Answers as soon as there is an event after the one named, or with 204 after a while.
async fn changes(
    State(shared): State<Arc<Shared>>,
    Query(After { after }): Query<After>,
) -> Answer {
    let mut latest = shared.latest.subscribe();
    let newer = latest.wait_for(|last| *last > after);
    if tokio::time::timeout(LONGEST_WAIT, newer).await.is_err() {
        return Ok(StatusCode::NO_CONTENT.into_response());
    }
    let update = aside(shared, move |shared| {
        let mut seat = shared.seat();
        seat.refresh()?;
        Ok(seat.since(after))
    });
    Ok(Json(update.await?).into_response())
}

/// A change asked for, resting on the list as it was after an event.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Asked {
    /// The id of the last event that the page knows.
    after: i64,
    change: Change,
}

/// Keeps a decision. 409 with the changes since where the page knew an older list.
async fn act(State(shared): State<Arc<Shared>>, Json(asked): Json<Asked>) -> Answer {
    let acted = aside(shared, move |shared| {
        let acted = shared
            .seat()
            .act(asked.after, &asked.change, &(shared.clock)())?;
        if let Acted::Kept(update) = &acted {
            shared.latest.send_if_modified(|last| {
                let newer = update.event > *last;
                *last = update.event.max(*last);
                newer
            });
        }
        Ok(acted)
    });
    Ok(match acted.await? {
        Acted::Kept(update) => Json(update).into_response(),
        Acted::Stale(update) => (StatusCode::CONFLICT, Json(update)).into_response(),
    })
}

#[derive(Deserialize)]
struct Typed {
    field: String,
    typed: String,
    number: Option<u32>,
}

/// Texts for a field, the best first.
async fn complete(State(shared): State<Arc<Shared>>, Query(asked): Query<Typed>) -> Answer {
    let texts = aside(shared, move |shared| {
        let field = Field::named(&asked.field)
            .map_err(|error| Refused::new(StatusCode::UNPROCESSABLE_ENTITY, error))?;
        let mut texts = shared.seat().complete(field, &asked.typed, asked.number);
        texts.truncate(MOST_COMPLETED);
        Ok(texts)
    });
    Ok(Json(texts.await?).into_response())
}

async fn recordings(State(shared): State<Arc<Shared>>) -> Json<Vec<Sound>> {
    Json(shared.sounds.list())
}

/// What the jobs beside this one took.
async fn grown(State(shared): State<Arc<Shared>>) -> Answer {
    let steps = aside(shared, |shared| Ok(growth(&shared.dir)));
    Ok(Json(steps.await?).into_response())
}

async fn words(State(shared): State<Arc<Shared>>, Path(recording): Path<u32>) -> Answer {
    let words = aside(shared, move |shared| -> Result<Vec<Paragraph>, Refused> {
        let seat = shared.seat();
        let mut first = 0;
        for kept in seat.job.recordings()? {
            let words = seat.job.words(kept.recording.id)?.unwrap_or_default();
            if kept.recording.id == recording {
                return Ok(paragraphs(&words, first));
            }
            first += words.len();
        }
        Err(Refused::not_found("there is no such recording"))
    });
    Ok(Json(words.await?).into_response())
}

/// The outline as bytes; `x-whole: no` while it grows.
async fn outline(State(shared): State<Arc<Shared>>, Path(recording): Path<u32>) -> Response {
    let outline = shared.outlines.get(recording);
    let whole = if outline.whole { "yes" } else { "no" };
    (
        [(HeaderName::from_static("x-whole"), whole)],
        outline.values,
    )
        .into_response()
}

async fn sound(
    State(shared): State<Arc<Shared>>,
    Path(recording): Path<u32>,
    request: Request,
) -> Answer {
    let (path, kind) = shared.sounds.playable(recording)?;
    file(path, kind, request).await
}

async fn photos(State(shared): State<Arc<Shared>>) -> Answer {
    let photos = aside(shared, |shared| -> Result<Vec<PhotoView>, Refused> {
        let kept = shared.seat().job.photos()?;
        Ok(pictures::timed(pictures::list(&shared.dir), kept))
    });
    Ok(Json(photos.await?).into_response())
}

async fn photo(
    State(shared): State<Arc<Shared>>,
    Path(id): Path<String>,
    request: Request,
) -> Answer {
    let (path, kind) = aside(shared, move |shared| pictures::original(&shared.dir, &id)).await?;
    file(path, kind, request).await
}

async fn small(
    State(shared): State<Arc<Shared>>,
    Path(id): Path<String>,
    request: Request,
) -> Answer {
    let turn = Arc::clone(&shared);
    let _turn = turn.pictures.acquire().await;
    let (path, kind) = aside(shared, move |shared| pictures::small(&shared.dir, &id)).await?;
    file(path, kind, request).await
}

#[derive(Deserialize)]
struct Named {
    name: String,
}

async fn take_photo(
    State(shared): State<Arc<Shared>>,
    Query(Named { name }): Query<Named>,
    bytes: Bytes,
) -> Answer {
    let turn = Arc::clone(&shared);
    let _turn = turn.pictures.acquire().await;
    let photo = aside(shared, move |shared| {
        let photo = pictures::take_in(&shared.dir, &name, &bytes)?;
        shared.seat().keep_photo(&photo, &(shared.clock)())?;
        Ok(PhotoView::of(photo))
    });
    Ok((StatusCode::CREATED, Json(photo.await?)).into_response())
}

/// Serves a file with ranges (RFC 9110, 14).
async fn file(path: PathBuf, kind: &'static str, request: Request) -> Answer {
    let mut service = ServeFile::new(path);
    let response = service.try_call(request).await;
    let mut response = response
        .map_err(|error| Refused::new(StatusCode::INTERNAL_SERVER_ERROR, error))?
        .into_response();
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    headers.insert(
        header::CACHE_CONTROL,
        HeaderValue::from_static("private, max-age=3600"),
    );
    Ok(response)
}
