import re
from datetime import timedelta

import pytest
from argon2 import PasswordHasher

from tests.cast import PASSWORD, PIN
from trainer.acts import hashing
from trainer.records.tables import LogEntry
from trainer.web.callers import TABLET_COOKIE


@pytest.fixture(autouse=True)
def cheap_hashes(monkeypatch):
    monkeypatch.setattr(hashing, "_HASHER", PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))


def enter(visitor, name="ana.ruiz", password=PASSWORD, **more):
    return visitor.send("/sign-in", sign_in_name=name, password=password, **more)


def enrolled_tablet(stage):
    """A browser that is an enrolled tablet, with nobody signed in."""
    tablet = stage.visitor(stage.cast.lee)
    assert tablet.send("/tablets", name="Bay entrance").status_code == 303
    tablet.send("/sign-out")
    return tablet


def test_the_right_password_opens_the_front_door(stage):
    visitor = stage.visitor()
    answer = enter(visitor)
    assert (answer.status_code, answer.location) == (303, "/")
    assert visitor.get("/").status_code == 302
    assert visitor.get("/preferences").status_code == 200


def test_a_wrong_password_shows_the_form_again_with_the_reason_and_without_the_password(stage):
    answer = enter(stage.visitor(), password="not the password")
    assert answer.status_code == 422
    assert "do not belong together" in answer.text
    assert "ana.ruiz" in answer.text
    assert "not the password" not in answer.text


def test_too_many_failures_say_when_to_come_back(stage):
    visitor = stage.visitor()
    for _ in range(5):
        assert enter(visitor, password="wrong wrong").status_code == 422
    answer = enter(visitor)
    assert (answer.status_code, answer.headers["Retry-After"]) == (429, "30")
    assert "Try again in 1 min" in answer.text
    stage.clock.move(seconds=30)
    assert enter(visitor).status_code == 303


def test_two_programs_over_one_database_count_the_same_tries(stage):
    one, two = stage.visitor(), stage.another_app().test_client()
    for number in range(5):
        enter((one, two)[number % 2], password="wrong wrong")
    assert enter(one).status_code == 429
    assert enter(two).status_code == 429


def test_the_address_behind_a_trusted_proxy_is_the_callers(make_stage):
    behind = make_stage(proxies=1)
    visitor = behind.visitor()

    def guess(number, caller):
        return visitor.post(
            "/sign-in",
            data={"csrf_token": visitor.token(), "sign_in_name": f"name{number}", "password": "wrong wrong"},
            headers={"X-Forwarded-For": caller},
        ).status_code

    assert [guess(number, "192.0.2.1") for number in range(21)][-2:] == [422, 429]
    assert guess(99, "192.0.2.2") == 422


def test_without_a_proxy_nobody_chooses_their_own_address(stage):
    visitor = stage.visitor()
    answers = [
        visitor.post(
            "/sign-in",
            data={"csrf_token": visitor.token(), "sign_in_name": f"name{number}", "password": "wrong wrong"},
            headers={"X-Forwarded-For": f"192.0.2.{number}"},
        ).status_code
        for number in range(21)
    ]
    assert answers[-1] == 429


@pytest.mark.parametrize(
    ("then", "goes"),
    [("/preferences/pin", "/preferences/pin"), ("https://evil.example/", "/"), ("//evil.example", "/")],
)
def test_after_signing_in_one_goes_on_to_a_page_of_ours(stage, then, goes):
    assert enter(stage.visitor(), then=then).location == goes


def test_whoever_is_not_signed_in_is_sent_to_the_door_and_back(stage):
    answer = stage.visitor().get("/preferences?x=1")
    assert answer.status_code == 303
    assert answer.location == "/sign-in?then=/preferences?x%3D1"


def test_signing_out_forgets_the_session_and_is_logged(stage):
    visitor = stage.visitor(stage.cast.ana)
    assert visitor.send("/sign-out").status_code == 303
    assert visitor.get("/preferences").status_code == 303
    with stage.cast.database.reading() as db:
        assert db.query(LogEntry).filter_by(kind="sign_in.out").count() == 1


def test_a_session_is_kept_alive_by_use_and_ends_after_twelve_hours(stage):
    visitor = stage.visitor(stage.cast.ana)
    for _ in range(11):
        stage.clock.move(hours=1)
        assert visitor.get("/preferences").status_code == 200
    stage.clock.move(hours=1)
    assert visitor.get("/preferences").status_code == 303


def test_a_new_password_signs_out_every_other_browser(stage):
    here, there = stage.visitor(stage.cast.ana), stage.visitor(stage.cast.ana)
    answer = here.send("/preferences/password", current=PASSWORD, new="a new string to pull")
    assert answer.status_code == 303
    assert here.get("/preferences").status_code == 200
    assert there.get("/preferences").status_code == 303


def test_a_weak_password_is_refused_with_every_reason(stage):
    answer = stage.visitor(stage.cast.mia).send("/preferences/password", current=PASSWORD, new="aaaa")
    assert answer.status_code == 422
    assert "too short" in answer.text
    assert "first that strangers try" in answer.text


def test_a_chosen_language_and_units_hold_on_the_next_page(stage):
    visitor = stage.visitor(stage.cast.mia)
    assert 'lang="en"' in visitor.get("/preferences").text
    assert visitor.send("/preferences", language="es", system="metric").status_code == 303
    page = visitor.get("/preferences").text
    assert 'lang="es"' in page
    assert "métrico" in page


def test_the_tablet_lists_the_names_of_its_site_and_takes_a_pin(stage):
    tablet = enrolled_tablet(stage)
    page = tablet.get("/sign-in").text
    names = re.findall(r'class="card" href="([^"]+)">([^<]+)', page)
    assert [name for _, name in names] == ["Ana Ruiz", "Lee Sand", "Mia Okafor", "Rosa Lind", "Tom Becker"]
    address = names[0][0]
    # The page speaks the language of the person who was picked.
    assert 'lang="es"' in tablet.get(address).text
    assert tablet.send(address, pin="111112").status_code == 422
    assert tablet.send(address, pin=PIN).status_code == 303
    assert tablet.get("/preferences").status_code == 200


def test_a_session_on_the_tablet_ends_after_half_an_hour_of_quiet(stage):
    tablet = enrolled_tablet(stage)
    tablet.send("/sign-in/ana-1", pin=PIN)
    stage.clock.move(minutes=29)
    assert tablet.get("/preferences").status_code == 200
    stage.clock.move(minutes=30)
    assert tablet.get("/preferences").status_code == 303


def test_withdrawing_the_tablet_ends_the_sessions_on_it(stage):
    tablet = enrolled_tablet(stage)
    tablet.send("/sign-in/ana-1", pin=PIN)
    assert stage.visitor(stage.cast.lee).send("/tablets/1/withdraw").status_code == 303
    assert tablet.get("/preferences").status_code == 303
    assert "Ana Ruiz" not in tablet.get("/sign-in").text


def test_no_pin_is_asked_or_taken_elsewhere_than_on_the_tablet(stage):
    visitor = stage.visitor()
    assert visitor.get("/sign-in/ana-1").status_code == 302
    answer = visitor.send("/sign-in/ana-1", pin=PIN)
    assert (answer.status_code, answer.location) == (303, "/sign-in")
    assert visitor.get("/preferences").status_code == 303


def test_a_tablet_of_another_site_names_and_lets_in_nobody_of_this_one(stage):
    tablet = enrolled_tablet(stage)
    assert "Otto" not in tablet.get("/sign-in").text
    assert tablet.send("/sign-in/otto-2", pin=PIN).location == "/sign-in"


def test_a_pin_does_not_open_what_binds_others(stage):
    tablet = enrolled_tablet(stage)
    tablet.send("/sign-in/lee-1", pin=PIN)
    answer = tablet.get("/members")
    assert answer.location == "/sign-in?then=/members&by=password"
    assert "a PIN is typed in the open" in tablet.get(answer.location).text
    answer = enter(tablet, "lee.sand", then="/members")
    assert answer.location == "/members"
    assert tablet.get("/members").status_code == 200


def test_the_tablets_token_is_out_of_reach_of_scripts(stage):
    visitor = stage.visitor(stage.cast.lee)
    answer = visitor.send("/tablets", name="Bay entrance")
    [cookie] = [one for one in answer.headers.getlist("Set-Cookie") if one.startswith(TABLET_COOKIE)]
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie
    assert f"Max-Age={int(timedelta(days=400).total_seconds())}" in cookie


def test_a_manager_enrols_a_learner_and_nobody_else(stage):
    visitor = stage.visitor(stage.cast.mia)
    pat = {
        "name": "Pat Moss", "sign_in_name": "pat.moss", "trained_by": "tom-1", "language": "en", "system": "us",
        "password": "string pulled tight", "pin": "",
    }  # fmt: skip
    assert visitor.send("/members/new", role="administrator", **pat).status_code == 422
    answer = visitor.send("/members/new", role="learner", **pat)
    assert answer.status_code == 303
    assert "Pat Moss" in visitor.get(answer.location).text
    assert enter(stage.visitor(), "pat.moss", "string pulled tight").status_code == 303
    assert "already has that sign-in name" in visitor.send("/members/new", role="learner", **pat).text


@pytest.mark.parametrize("what", ["password", "pin", "leave"])
def test_who_is_of_another_site_is_not_there_and_who_is_not_looked_after_is_refused(stage, what):
    manager = stage.visitor(stage.cast.mia)
    assert manager.get(f"/members/otto-2/{what}").status_code == 404
    assert manager.send(f"/members/otto-2/{what}", new="string pulled tight").status_code == 404
    assert manager.get(f"/members/tom-1/{what}").status_code == 403
    assert manager.send(f"/members/tom-1/{what}", new="string pulled tight").status_code == 403
    assert manager.get(f"/members/ana-1/{what}").status_code == 200


def test_whoever_is_written_down_as_left_is_out_at_once(stage):
    ana = stage.visitor(stage.cast.ana)
    assert stage.visitor(stage.cast.lee).send("/members/ana-1/leave").status_code == 303
    assert ana.get("/preferences").status_code == 303
    assert enter(stage.visitor()).status_code == 422


@pytest.mark.parametrize(
    ("asks", "speaks"),
    [({"Accept-Language": "es-MX,es;q=0.9,en;q=0.5"}, "es"), ({"Accept-Language": "fr"}, "en"), ({}, "en")],
)
def test_the_door_speaks_the_browsers_language(stage, asks, speaks):
    assert f'<html lang="{speaks}">' in stage.visitor().get("/sign-in", headers=asks).text


def test_the_door_keeps_a_language_that_was_asked_for(stage):
    visitor = stage.visitor()
    assert '<html lang="es">' in visitor.get("/sign-in?language=es").text
    assert '<html lang="es">' in visitor.get("/sign-in").text
    assert '<html lang="es">' in visitor.get("/sign-in?language=xx").text


def test_one_statement_loads_the_caller(stage):
    from sqlalchemy import event  # noqa: PLC0415

    visitor = stage.visitor(stage.cast.ana)
    said = []
    event.listen(stage.cast.database.engine, "before_cursor_execute", lambda *args: said.append(args[2]))
    assert visitor.get("/preferences").status_code == 200
    assert len([one for one in said if one.startswith("SELECT")]) == 1


def test_a_form_that_stood_open_while_the_session_ended_is_taken_after_the_same_person_signs_in(stage):
    visitor = stage.visitor(stage.cast.mia)
    page = visitor.get("/preferences").text
    token = re.search(r'name="csrf_token" value="([^"]+)"', page)[1]
    form = {"csrf_token": token, "language": "es", "system": "metric"}
    stage.clock.move(hours=13)
    assert visitor.get("/here").json == {"person": None}
    assert visitor.post("/preferences", data=form).location == "/sign-in"
    assert enter(visitor, "mia.okafor").status_code == 303
    assert visitor.get("/here").json == {"person": "mia-1"}
    assert visitor.post("/preferences", data=form).status_code == 303
    assert "métrico" in visitor.get("/preferences").text


def test_and_is_not_taken_after_somebody_else_signs_in(stage):
    visitor = stage.visitor(stage.cast.mia)
    token = re.search(r'name="csrf_token" value="([^"]+)"', visitor.get("/preferences").text)[1]
    stage.clock.move(hours=13)
    visitor.get("/preferences")
    enter(visitor, "tom.becker")
    form = {"csrf_token": token, "language": "es", "system": "metric"}
    assert visitor.post("/preferences", data=form).status_code == 400


def test_after_signing_out_nothing_of_the_session_is_left(stage):
    visitor = stage.visitor(stage.cast.mia)
    token = re.search(r'name="csrf_token" value="([^"]+)"', visitor.get("/preferences").text)[1]
    visitor.send("/sign-out")
    enter(visitor, "mia.okafor")
    form = {"csrf_token": token, "language": "es", "system": "metric"}
    assert visitor.post("/preferences", data=form).status_code == 400
