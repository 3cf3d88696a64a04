//! Who is answered: only requests that this page itself, or a person, makes on this machine.
//!
//! A name of another's that leads to 127.0.0.1 (DNS rebinding) shows in `Host`; a page of
//! another's shows in `Origin` and `Sec-Fetch-Site` (WHATWG Fetch; W3C Fetch Metadata Request
//! Headers, from memory). Programs without these headers are no browsers that could be misled.

use axum::extract::{Request, State};
use axum::http::header::{
    ALLOW, CACHE_CONTROL, CONTENT_SECURITY_POLICY, HOST, ORIGIN, REFERRER_POLICY,
    X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

/// What the page itself may load: its own script, style and pictures, and nothing that could
/// make markup of text.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; \
     img-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; \
     frame-ancestors 'none'; require-trusted-types-for 'script'; trusted-types 'none'";

/// Answers, or says why not; every answer bears the rules for browsers.
pub(super) async fn guard(
    State(port): State<u16>,
    request: Request,
    next: Next,
) -> Response {
    let mut response = match refusal(&request, port) {
        Some((status, why)) => refused(status, why),
        None => next.run(request).await,
    };
    rules(response.headers_mut());
    response
}

fn refused(status: StatusCode, why: &'static str) -> Response {
    let mut response = (status, why).into_response();
    if status == StatusCode::METHOD_NOT_ALLOWED {
        response.headers_mut().insert(ALLOW, HeaderValue::from_static("GET, HEAD"));
    }
    response
}

/// Why a request is not answered, if so.
fn refusal(request: &Request, port: u16) -> Option<(StatusCode, &'static str)> {
    let headers = request.headers();
    let named = request.uri().authority().map(|it| it.as_str().to_owned());
    if !one(headers, &HOST).is_some_and(|host| ours(host, port))
        || named.is_some_and(|named| !ours(&named, port))
    {
        return Some((StatusCode::FORBIDDEN, "this page is only for 127.0.0.1\n"));
    }
    let origin = |origin: &str| {
        origin.strip_prefix("http://").is_some_and(|host| ours(host, port))
    };
    if headers.contains_key(ORIGIN) && !one(headers, &ORIGIN).is_some_and(origin) {
        return Some((StatusCode::FORBIDDEN, "this page is not for other pages\n"));
    }
    let site = HeaderName::from_static("sec-fetch-site");
    let own = |site: &str| matches!(site, "same-origin" | "none");
    if headers.contains_key(&site) && !one(headers, &site).is_some_and(own) {
        return Some((StatusCode::FORBIDDEN, "this page is not for other pages\n"));
    }
    let read = matches!(*request.method(), Method::GET | Method::HEAD);
    (!read).then_some((StatusCode::METHOD_NOT_ALLOWED, "this page can only be read\n"))
}

/// The value of a header that is there once.
fn one<'a>(headers: &'a HeaderMap, name: &HeaderName) -> Option<&'a str> {
    let mut values = headers.get_all(name).iter();
    let value = values.next()?.to_str().ok()?;
    values.next().is_none().then_some(value)
}

/// Whether a host with its port is this one. Browsers leave out port 80.
fn ours(host: &str, port: u16) -> bool {
    let host = host.to_ascii_lowercase();
    ["127.0.0.1", "localhost"].iter().any(|name| {
        let rest = host.strip_prefix(name);
        rest.is_some_and(|rest| {
            rest == format!(":{port}") || (rest.is_empty() && port == 80)
        })
    })
}

fn rules(headers: &mut HeaderMap) {
    let rules = [
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (REFERRER_POLICY, "no-referrer"),
        (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
        (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    ];
    for (name, value) in rules {
        headers.insert(name, HeaderValue::from_static(value));
    }
    // Files have rules of their own kind.
    let none = |value: &'static str| HeaderValue::from_static(value);
    headers.entry(CONTENT_SECURITY_POLICY).or_insert_with(|| none(POLICY));
    headers.entry(CACHE_CONTROL).or_insert_with(|| none("no-store"));
}
