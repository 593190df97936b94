"""What docs/benches.md promises of every bench, held for each that stands."""

import json
from dataclasses import asdict

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.benches.acts import MOST_ACTS, Act, Amount, act_document, read_form, read_kept
from trainer.benches.catalogue import Run, benches, checked, digest, task_of
from trainer.benches.frame import FULL, LEVELS, done
from trainer.figures.live import Live
from trainer.language.draws import Stream
from trainer.language.loading import load_bank
from trainer.sites.reading import demo_sheet
from trainer.sites.survey.reader import Reader

SHEET = demo_sheet()
READERS = [Reader(language, system) for language in ("en", "es") for system in ("us", "metric")]
EVERY = [(bench, level, system) for bench in benches() for level in LEVELS for system in ("us", "metric")]
each = pytest.mark.parametrize(("bench", "level", "system"), EVERY)


def made(bench, level, system="us", seed="one"):
    return benches()[bench].make_task(SHEET, {"level": level}, Stream(b"a secret", seed), system)


def numbers_of(field):
    most = int((field.high - field.low) / field.step + 1e-6)
    return st.integers(0, most).map(lambda i: field.low + i * field.step)


def acts_of(kinds):
    """Any act that the task knows, possible now or not."""

    def of(kind):
        fields = {
            field.name: numbers_of(field)
            if isinstance(field, Amount)
            else st.sampled_from([option.id for option in field.options])
            for field in kind.fields
        }
        return st.fixed_dictionaries(fields).map(lambda values: Act(kind.kind, values))

    return st.one_of([of(kind) for kind in kinds])


def test_there_are_five_and_they_name_skills_that_exist():
    assert set(benches()) == {"beam", "delay", "aiming", "fault", "lockout"}
    skills = load_bank().skills
    for id_, bench in benches().items():
        assert bench.CARD.id == id_
        assert bench.CARD.skills and all(skill in skills for skill in bench.CARD.skills)
        assert bench.options(SHEET)[0].name == "level"
        assert tuple(option.id for option in bench.options(SHEET)[0].options) == LEVELS


@each
def test_the_same_seed_makes_the_same_task_and_another_another(bench, level, system):
    task = made(bench, level, system)
    assert digest(task) == digest(made(bench, level, system))
    others = {digest(made(bench, level, system, seed)) for seed in "abcdef"}
    assert len(others) > 1
    json.dumps(asdict(task), allow_nan=False)


@each
def test_the_best_has_all_points_and_can_be_played_act_by_act(bench, level, system):
    one, task = benches()[bench], made(bench, level, system)
    best = one.best(task)
    played: list[Act] = []
    for act in best.acts:
        assert not one.is_over(task, played)
        assert one.refusal(task, played, act) is None
        assert read_kept(one.kinds(task), json.loads(json.dumps(act_document(act)))) == act
        played.append(act)
    assert one.is_over(task, played)
    assert len(played) <= MOST_ACTS
    score = one.score(task, played)
    assert (score, score.points, score.failed) == (best.score, FULL, None)
    assert sum(part.of for part in score.parts) == pytest.approx(FULL)


@each
@settings(max_examples=12, deadline=None)
@given(data=st.data())
def test_any_acts_have_a_score_and_never_beat_the_best(bench, level, system, data):
    one, task = benches()[bench], made(bench, level, system, data.draw(st.sampled_from("pqr")))
    acts = data.draw(st.lists(acts_of(one.kinds(task)), max_size=30))
    score = one.score(task, acts)
    assert 0 <= score.points <= FULL
    assert all(-1e-9 <= part.got <= part.of + 1e-9 for part in score.parts)
    assert score.merit <= one.best(task).score.merit + 1e-9
    # A replay of what could be done, as it is kept, is worth the same.
    kept = done(one, task, acts)
    again = [read_kept(one.kinds(task), json.loads(json.dumps(act_document(act)))) for act in kept]
    assert tuple(again) == kept
    assert one.score(task, again) == one.score(task, kept) == score
    reader = READERS[data.draw(st.integers(0, 3))]
    reader = Reader(reader.language, system)
    shown = one.show(task, kept, reader)
    assert shown.task
    if one.is_over(task, kept):
        told = one.debrief(task, kept, reader)
        assert told.advice and told.best and told.outcome
    else:
        # Whatever is offered can be read from its own form, as it stands on the page.
        assert {offer.kind.kind for offer in shown.offers} <= {kind.kind for kind in one.kinds(task)}


@each
def test_what_is_drawn_stands_in_words_and_in_tables_too(bench, level, system):
    one, task = benches()[bench], made(bench, level, system)
    for language in ("en", "es"):
        reader = Reader(language, system)
        shown = one.show(task, (), reader)
        assert shown.drawings and shown.tables
        assert all(isinstance(drawing, Live) and drawing.title for drawing in shown.drawings)
        for table in shown.tables:
            assert all(len(row) == len(table.head) for row in table.rows if table.head)
        ids = [part for drawing in shown.drawings for part in drawing.svg.split('id="')[1:]]
        names = [part.split('"')[0] for part in ids]
        assert len(set(names)) == len(names)


@each
def test_both_languages_say_different_words(bench, level, system):
    one, task = benches()[bench], made(bench, level, system)
    english, spanish = (one.show(task, (), Reader(language, system)) for language in ("en", "es"))
    assert len(english.task) == len(spanish.task)
    assert not set(english.task) & set(spanish.task)
    best = one.best(task).acts
    told = [one.debrief(task, best, Reader(language, system)) for language in ("en", "es")]
    assert told[0].advice != told[1].advice
    assert told[0].best != told[1].best


WRONG = [
    None, 3, [], "finish", {}, {"kind": "finish"}, {"kind": "no such", "values": {}}, {"kind": 3, "values": {}},
    {"kind": [], "values": []},
]  # fmt: skip


@pytest.mark.parametrize("bench", sorted(benches()))
@pytest.mark.parametrize("document", WRONG, ids=repr)
def test_what_is_no_act_is_not_read(bench, document):
    assert read_kept(benches()[bench].kinds(made(bench, "1")), document) is None


@pytest.mark.parametrize("bench", sorted(benches()))
@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_no_form_however_odd_gives_an_error(bench, data):
    kinds = benches()[bench].kinds(made(bench, "2"))
    kind = data.draw(st.sampled_from(kinds))
    typed = st.one_of(
        st.text(max_size=40), st.sampled_from(["", "6", "6 in", "-1e9", "nan", "15 cm", "0", "1/0"])
    )
    form = {"kind": kind.kind, **{field.name: data.draw(typed) for field in kind.fields}}
    for language in ("en", "es"):
        read = read_form(kinds, form, language, "us")
        if isinstance(read, Act):
            assert read_kept(kinds, act_document(read)) == read
        else:
            assert read.why.en and read.why.es


def test_options_are_checked_against_the_site():
    bench = benches()["beam"]
    assert checked(bench, SHEET, {}) == {"level": "1"}
    assert checked(bench, SHEET, {"level": "2", "eye": ""}) == {"level": "2"}
    assert checked(bench, SHEET, {"level": "4"}) is None
    assert checked(bench, SHEET, {"colour": "red"}) is None


def test_a_run_of_another_version_is_not_made_again():
    run = Run("beam", benches()["beam"].CARD.version + 1, {"level": "1"}, "label", "us")
    with pytest.raises(LookupError, match="no bench beam of version"):
        task_of(run, SHEET, b"a secret")
