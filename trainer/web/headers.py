"""What every answer says to the browser: load nothing from elsewhere, run nothing inline, keep nothing private."""

from __future__ import annotations

from flask import Response, g, request

from trainer.web.house import house

POLICY = "; ".join(
    (
        "default-src 'none'", "script-src 'self'", "style-src 'self'", "img-src 'self' data:", "connect-src 'self'",
        "form-action 'self'", "frame-ancestors 'none'", "base-uri 'none'",
    )
)  # fmt: skip

POLICY_NAME = "Content-Security-Policy"
HEADERS = {
    POLICY_NAME: POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
}
TWO_YEARS = "max-age=63072000"


def add_headers(response: Response) -> Response:
    """Add them; a page of a person who is signed in is kept nowhere."""
    # Drawings have a policy of their own; for the rest one call is cheaper than seven.
    if POLICY_NAME in response.headers:
        response.headers.extend({name: value for name, value in HEADERS.items() if name != POLICY_NAME})
    else:
        response.headers.extend(HEADERS)
    if request.endpoint != "static":
        usual = "no-store" if g.get("member") else "no-cache, private"
        response.headers.setdefault("Cache-Control", usual)
        response.headers.add("Vary", "Cookie, Accept-Language")
    if house().config.https:
        response.headers["Strict-Transport-Security"] = TWO_YEARS
    return response
