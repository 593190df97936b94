import pytest
from sqlalchemy import text

from trainer.records.database import DatabaseError
from trainer.web.errors import PROBLEMS
from trainer.web.guards import open_to_all


def broken_app(stage, fault):
    app = stage.another_app(testing=False)

    @app.get("/broken")
    @open_to_all
    def broken():
        raise fault

    return app.test_client()


@pytest.mark.parametrize(
    ("language", "safe", "todo"),
    [("en", "What is safe", "What to do"), ("es", "Qué está a salvo", "Qué hacer")],
)
@pytest.mark.parametrize("code", sorted(PROBLEMS))
def test_every_kind_of_failure_has_a_page_of_its_own(stage, code, language, safe, todo):
    app = stage.another_app(testing=False)

    @app.get("/broken")
    @open_to_all
    def broken():
        from flask import abort  # noqa: PLC0415

        abort(code)

    answer = app.test_client().get(f"/broken?language={language}")
    assert answer.status_code == code
    assert f'<html lang="{language}">' in answer.text
    assert safe in answer.text
    assert todo in answer.text


def test_a_fault_of_ours_shows_nothing_of_the_inside(stage, caplog):
    answer = broken_app(stage, ZeroDivisionError("secret inside")).get("/broken")
    assert answer.status_code == 500
    assert "secret inside" not in answer.text
    assert "Traceback" not in answer.text
    assert "Something broke on our side" in answer.text
    assert "secret inside" in caplog.text


def test_records_that_cannot_be_reached_say_so_and_nothing_of_where_they_are(stage, caplog):
    fault = DatabaseError("postgresql://somewhere/inside", "connection refused.", "Start the server.")
    answer = broken_app(stage, fault).get("/broken")
    assert (answer.status_code, answer.headers["Retry-After"]) == (503, "5")
    assert "somewhere" not in answer.text
    assert "Do not count on this last step being saved" in answer.text
    assert "postgresql://somewhere/inside" in caplog.text


def test_a_database_that_is_gone_answers_503_on_every_page(stage):
    client = stage.another_app(testing=False).test_client()
    stage.sign_in(client, stage.cast.ana)
    with stage.cast.database.writing() as db:
        db.execute(text("ALTER TABLE person RENAME TO person_gone"))
    for address in ("/preferences", "/"):
        assert client.get(address).status_code == 503


def test_a_form_of_more_than_a_megabyte_is_refused_before_it_is_read(stage):
    answer = stage.visitor().post("/sign-in", data={"sign_in_name": "x" * 1_100_000})
    assert answer.status_code == 413
    assert "more than one megabyte" in answer.text


def test_an_address_that_only_takes_forms_says_so(stage):
    assert "does not work that way" in stage.visitor(stage.cast.lee).get("/sign-out").text
