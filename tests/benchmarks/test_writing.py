"""What stands beside a question while it is typed, against an empty view; the check of the whole content in one go."""

from flask import Flask

from tests.benchmarks.paired import paired
from trainer.language.auditing import audit
from trainer.language.loading import content_folder
from trainer.sites import demo_sheet, site_values


def test_the_look_beside_each_family_as_typed_against_an_empty_view(stage):
    visitor = stage.visitor(stage.cast.tom)
    families = [one for one in stage.house.bank.by_id.values() if one.is_family][::7]
    addresses = []
    for one in families:
        begun = visitor.send(f"/questions/need/{one.skill}", name=one.id, copy=one.id)
        assert begun.status_code == 303
        addresses.append(f"{begun.location}/file")
    empty = Flask("empty")
    empty.add_url_rule("/", view_func=lambda: "")
    bare = empty.test_client()
    times = [
        paired(lambda _, at=at: visitor.get(at), lambda _: bare.get("/"), rounds=1, calls=2)
        for at in addresses
    ]
    times.sort(key=lambda one: one.ours)
    middle = times[len(times) // 2]
    middle.say(f"beside a family as typed, median of {len(times)} families, against an empty Flask view")
    times[-1].say("the slowest of them")
    assert middle.ours < 0.3


def test_the_check_of_all_content_against_reading_it(stage):
    bank, values = stage.house.bank, site_values(demo_sheet())

    def whole(_):
        for one in bank.by_id.values():
            audit(one, values)

    def reading(_):
        for one in bank.by_id.values():
            (content_folder() / one.file).read_text("utf-8")

    found = paired(whole, reading, rounds=1, calls=1)
    found.say(f"the audit of all {len(bank.by_id)} questions against reading their files")
    assert found.ours < 20
