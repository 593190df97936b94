"""The life of a site's own question, under every order of steps."""

from hypothesis import given
from hypothesis import strategies as st

from trainer.language.life import IN_USE, Step, life, reasons_against

KINDS = ("submitted", "returned", "reviewed", "published", "retired")
PEOPLE = ("ana", "ben", "cho")


def test_from_draft_to_use_and_out_of_it():
    steps = [Step(1, kind, "ben") for kind in ("submitted", "reviewed", "published", "retired")]
    seen = [life({1: ["ana"]}, steps[:n]).states[1] for n in range(5)]
    assert seen == ["draft", "waiting", "pilot", "live", "retired"]


def test_nobody_lets_their_own_work_pass():
    found = life({1: ["ana", "ben"]}, [Step(1, "submitted", "ana")])
    assert reasons_against("reviewed", found, 1, "ben", ()) == ("question.own_work",)
    assert reasons_against("reviewed", found, 1, "cho", ()) == ()
    assert reasons_against("returned", found, 1, "ana", ()) == ()


def test_what_fails_its_check_goes_nowhere():
    found = life({1: ["ana"]}, [])
    assert reasons_against("submitted", found, 1, "ana", ["a finding"]) == ("question.not_proven",)


def test_a_new_version_takes_the_place_of_the_one_in_use():
    steps = [Step(1, kind, "ben") for kind in ("submitted", "reviewed", "published")]
    steps += [Step(2, kind, "ben") for kind in ("submitted", "reviewed")]
    both = life({1: ["ana"], 2: ["ana"]}, steps)
    assert both.states == {1: "live", 2: "pilot"}
    assert life({1: ["ana"], 2: ["ana"]}, [*steps, Step(2, "published", "ben")]).states == {
        1: "replaced",
        2: "live",
    }


@given(
    st.lists(
        st.tuples(st.sampled_from(KINDS), st.integers(1, 3), st.sampled_from(PEOPLE), st.booleans()),
        max_size=25,
    )
)
def test_whatever_is_tried(tries):
    """Only steps without a reason against them are taken: then nothing is in use that its authors alone have read."""
    authors = {1: {"ana"}, 2: {"ana", "ben"}, 3: {"cho"}}
    steps = []
    for kind, version, by, sound in tries:
        findings = () if sound else ("a finding",)
        if not reasons_against(kind, life(authors, steps), version, by, findings):
            steps.append(Step(version, kind, by))
    states = life(authors, steps).states
    for state in IN_USE:
        assert list(states.values()).count(state) <= 1
    for version, state in states.items():
        taken = [step.kind for step in steps if step.version == version]
        if state in (*IN_USE, "replaced", "retired"):
            readers = {step.by for step in steps if (step.version, step.kind) == (version, "reviewed")}
            assert readers and not readers & authors[version]
        if state == "live":
            assert taken.index("submitted") < taken.index("reviewed") < taken.index("published")
        if state == "retired":
            assert taken[-1] == "retired"
