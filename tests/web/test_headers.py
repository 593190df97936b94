import pytest

POLICY = {
    "default-src": "'none'", "script-src": "'self'", "style-src": "'self'", "img-src": "'self' data:",
    "connect-src": "'self'", "form-action": "'self'", "frame-ancestors": "'none'", "base-uri": "'none'",
}  # fmt: skip


@pytest.mark.parametrize("address", ["/sign-in", "/preferences", "/no-such-page", "/static/sheet.css"])
def test_every_answer_loads_nothing_from_elsewhere(stage, address):
    answer = stage.visitor(stage.cast.ana).get(address)
    said = dict(part.split(" ", 1) for part in answer.headers["Content-Security-Policy"].split("; "))
    assert said == POLICY
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Referrer-Policy"] == "same-origin"
    assert answer.headers["Cross-Origin-Opener-Policy"] == "same-origin"
    assert answer.headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "camera=()" in answer.headers["Permissions-Policy"]
    assert "Server" not in answer.headers


def test_a_page_of_a_person_is_kept_nowhere(stage):
    assert stage.visitor(stage.cast.ana).get("/preferences").headers["Cache-Control"] == "no-store"
    assert stage.visitor().get("/sign-in").headers["Cache-Control"] == "no-cache, private"


def test_static_files_carry_no_session_and_cost_no_statement(stage):
    answer = stage.visitor(stage.cast.ana).get("/static/sheet.css")
    assert answer.status_code == 200
    assert "Set-Cookie" not in answer.headers


@pytest.mark.parametrize("https", [True, False])
def test_over_https_cookies_and_addresses_stay_there(make_stage, https):
    stage = make_stage(https=https)
    answer = stage.visitor().get("/sign-in?language=es", base_url="https://wash.example")
    cookies = answer.headers.getlist("Set-Cookie")
    assert len(cookies) == 2
    assert all("HttpOnly" in cookie and "SameSite=Lax" in cookie for cookie in cookies)
    assert all(("Secure" in cookie) is https for cookie in cookies)
    assert any(cookie.startswith("__Host-stringline=") for cookie in cookies) is https
    assert ("Strict-Transport-Security" in answer.headers) is https
