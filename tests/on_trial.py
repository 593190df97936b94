"""Questions of a site on trial, for tests of exams, of their pages and of what is kept of them."""

from dataclasses import replace
from datetime import timedelta
from functools import cache

from tests.cast import MONDAY
from tests.six_kinds import CHOICE, NUMBER, six_kinds
from trainer.acts import questions as acts
from trainer.language.loading import load_question
from trainer.language.source import fingerprint
from trainer.records.queries import people
from trainer.records.queries.questions import KeptQuestions

SENDER, LENGTH, LOCK = "eyes.own_sender", "eyes.own_length", "lockout.own_lock"
EARLIER = MONDAY - timedelta(days=1)


def text_of(name):
    """The text of a question on trial: a number where the name says length, else a choice; lockout where it says so."""
    if "length" in name:
        return NUMBER.format(name=name.partition(".")[2], skill="length")
    text = CHOICE.format(name=name.partition(".")[2], skill="choice").replace("(own_", "(")
    return (
        text.replace("eyes.own_lock", LOCK).replace("skill: eyes.choice", "skill: lockout.order")
        if name == LOCK
        else text
    )


@cache
def on_trial(name):
    """The question of a name."""
    return load_question(text_of(name), f"{name}.yaml")


def bank_with_kept(database):
    """The six kinds as an installation has them: a site's own questions are found as they read when they were asked."""
    return replace(six_kinds(), older=KeptQuestions(database))


def put_on_trial(cast, name, *, by=None, reader=None, steps=("submitted", "reviewed")):
    """Begun by Tom and read by Mia, or by others; then further steps by the reader."""
    by, reader = by or cast.tom, reader or cast.mia
    text = text_of(name)
    begun = acts.begin(cast.database, member=who(cast, by), name=name, text=text, now=EARLIER)
    assert begun.version == 1, begun
    for kind in steps:
        take(cast, name, kind, by if kind == "submitted" else reader)


def take(cast, name, kind, by, note="It is over."):
    """One step with version 1."""
    against = acts.step(
        cast.database, member=who(cast, by), name=name, version=1, kind=kind, findings=(), note=note, now=EARLIER,
        checked=fingerprint(text_of(name)),
    )  # fmt: skip
    assert against == ()


def who(cast, person):
    """A person of the cast as acts want them."""
    with cast.database.reading() as db:
        return people.member(db, person)
