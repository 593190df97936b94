"""Today's page tells a holder sixty days ahead that a certificate runs out, and no longer once it is renewed."""

from datetime import timedelta

import pytest

from tests.web.certifying import way_on, words
from trainer.certificates.facts import runs_out_within


@pytest.fixture
def way(stage):
    way = way_on(stage)
    way.exam(), way.practical(), way.decide()
    return way


def today(way):
    return words(way.by("ana").get("/today"))


@pytest.mark.parametrize(
    ("days", "seconds", "told"), [(60, -1, False), (60, 0, True), (1, 0, True), (0, 0, False)]
)
def test_the_edges_of_the_sixty_days(way, days, seconds, told):
    held = way.certificate()
    moment = held.expires_at - timedelta(days=days) + timedelta(seconds=seconds)
    assert runs_out_within(held, moment, 60) is told


def test_the_holder_is_told_in_time_and_no_sooner(way):
    said = "Empieza ya: examen, práctica, decisión."
    assert said not in words(way.by("ana").get("/today"))
    way.stage.clock.now = way.certificate().expires_at - timedelta(days=30)
    assert said in words(way.by("ana").get("/today"))
    assert said not in words(way.by("tom").get("/today"))


def test_a_renewal_ends_the_reminder(way):
    way.now = way.stage.clock.now = way.certificate().expires_at - timedelta(days=30)
    assert "Empieza ya" in today(way)
    way.exam(), way.practical(), way.decide()
    assert "Empieza ya" not in today(way)


def test_withdrawn_is_not_reminded(way):
    way.now = way.stage.clock.now = way.certificate().expires_at - timedelta(days=30)
    way.withdraw(way.certificate().public_id)
    assert "Empieza ya" not in today(way)
