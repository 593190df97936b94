import re
from uuid import UUID

import pytest

from tests.web.stage import PEOPLE
from trainer.access.rights import PASSWORD_ONLY, may
from trainer.records.queries.people import member
from trainer.web.guards import UnguardedError

# Every address of the program: the right it asks for, None where anybody may come in. A new address fails here
# until somebody writes down who may use it.
RIGHTS = {
    "static": None,
    "sign_in.door": None,
    "sign_in.enter": None,
    "sign_in.pin_pad": None,
    "sign_in.enter_by_pin": None,
    "sign_in.here": None,
    "sign_in.home": "learn",
    "sign_in.out": "learn",
    "sign_in.preferences": "learn",
    "sign_in.choose": "learn",
    "sign_in.password": "learn",
    "sign_in.set_password": "learn",
    "sign_in.pin": "learn",
    "sign_in.set_pin": "learn",
    "members.everyone": "enrol",
    "members.newcomer": "enrol",
    "members.enrol": "enrol",
    "members.one": "enrol",
    "members.password": "enrol",
    "members.give_password": "enrol",
    "members.pin": "enrol",
    "members.give_pin": "enrol",
    "members.leaving": "enrol",
    "members.leave": "enrol",
    "keeping.everything": "enrol",
    "keeping.holding": "enrol",
    "keeping.hold": "enrol",
    "keeping.lifting": "enrol",
    "keeping.lift": "enrol",
    "keeping.proposing": "enrol",
    "keeping.propose": "enrol",
    "keeping.proposal": "enrol",
    "keeping.forget": "administer",
    "keeping.drop": "enrol",
    "members.shared_tablets": "administer",
    "members.enrol_tablet": "administer",
    "members.withdraw_tablet": "administer",
    "learn.today": "learn",
    "learn.lesson": "learn",
    "learn.drawing": "learn",
    "learn.glossary": "learn",
    "practise.start": "learn",
    "practise.drill": "learn",
    "practise.drawing": "learn",
    "benches.everything": "learn",
    "benches.about": "learn",
    "benches.start": "learn",
    "benches.run": "learn",
    "benches.play": "learn",
    "giving.given": "train",
    "giving.giving": "train",
    "giving.give": "train",
    "giving.take_back": "train",
    "people.everyone": "train",
    "people.person": "train",
    "learned.everything": "review",
    "statistics.page": "review",
    "statistics.look_now": "review",
    "statistics.question": "review",
    "learned.drawing": "review",
    "author.sheet": "author",
    "survey.bay": "train",
    "survey.drawing": "train",
    "survey.paper": "train",
    "placing.change": "train",
    "placing.look": "train",
    "placing.stop": "train",
    "placing.drawing": "train",
    "measure.overview": "author",
    "measure.stop": "author",
    "measure.drawing": "author",
    "measure.finish": "author",
    "measure.drop": "author",
    "writing.need": "author",
    "writing.beginning": "author",
    "writing.write": "author",
    "writing.look": "author",
    "writing.file": "author",
    "pictures.photo": "learn",
    "pictures.drawing": "review",
    "reviewing.everything": "review",
    "reviewing.read": "review",
    "reviewing.download": "review",
    "rescoring.touched": "review",
    "rescoring.rescore": "review",
    "rescoring.seen": "sit",
    "checking.questions": "author",
    "checking.check": "author",
    "examine.exams": "sit",
    "examine.lobby": "sit",
    "examine.start": "sit",
    "examine.resume": "sit",
    "examine.question": "sit",
    "examine.save": "sit",
    "examine.act": "sit",
    "examine.ask": "sit",
    "examine.here": "sit",
    "invigilate.everyone": "invigilate",
    "invigilate.confirm": "invigilate",
    "invigilate.turn_away": "invigilate",
    "invigilate.exam": "invigilate",
    "invigilate.stop": "invigilate",
    "invigilate.go_on": "invigilate",
    "invigilate.give_back": "invigilate",
    "invigilate.exam_time": "decide",
    "invigilate.allow": "decide",
    "invigilate.end_time": "decide",
    "examine.drawing": "sit",
    "examine.review": "sit",
    "examine.submit": "sit",
    "examine.result": "sit",
    "without_network.shell": "train",
    "without_network.worker": None,
    "without_network.arrived": "train",
    "train.practicals": "train",
    "train.new_practical": "train",
    "train.practical": "train",
    "train.sign_practical": "train",
    "train.second_practical": "train",
    "train.sign_second": "train",
    "observing.observers": "decide",
    "observing.qualify": "decide",
    "observing.ending": "decide",
    "observing.end": "decide",
    "observing.show": "train",
    "observing.looking": "decide",
    "observing.look": "decide",
    "observing.picture": "train",
    "observing.picturing": "train",
    "observing.keep_picture": "train",
    "observing.agreement": "decide",
    "schemes.everything": "train",
    "schemes.matrix": "train",
    "schemes.scheme": "train",
    "schemes.freeze": "decide",
    "schemes.curve": "train",
    "panels.opening": "decide",
    "panels.panel": "decide",
    "panels.name_judge": "decide",
    "panels.next_round": "decide",
    "panels.drop": "decide",
    "panels.seal": "decide",
    "panels.worksheet": "train",
    "panels.rate": "train",
    "panels.drawing": "train",
    "panels.hand_in": "train",
    "manage.cabinets": "decide",
    "manage.roster": "decide",
    "manage.roster_paper": "decide",
    "manage.decide": "decide",
    "manage.decided": "decide",
    "manage.second_approval": "decide",
    "manage.approve": "decide",
    "manage.certificate": "decide",
    "manage.withdraw": "decide",
    "manage.withdrawn": "decide",
    "manage.log": "decide",
    "standing.suspending": "decide",
    "standing.suspend": "decide",
    "standing.reducing": "decide",
    "standing.reduce": "decide",
    "standing.lifting": "decide",
    "standing.lift": "decide",
    "standing.changes": "decide",
    "standing.changing": "decide",
    "standing.change": "decide",
    "inspections.everything": "train",
    "inspections.inspecting": "train",
    "inspections.inspect": "train",
    "impartiality.register": "decide",
    "impartiality.new": "decide",
    "impartiality.write": "decide",
    "impartiality.threat": "decide",
    "impartiality.review": "decide",
    "appeals.mine": "learn",
    "appeals.letter": "decide",
    "appeals.filing": "learn",
    "appeals.file": "learn",
    "appeals.hearing": "hear",
    "appeals.one": "learn",
    "appeals.take": "hear",
    "appeals.decide": "hear",
    "appeals.evidence": "hear",
    # Whoever holds a certificate in hand may check it.
    "prove.certificate": None,
    "prove.code": None,
    "prove.credential": None,
    "prove.paper": "learn",
    "publish.keys": None,
    "publish.keys_file": None,
    "publish.status": None,
    "publish.desk": None,
    "publish.checked": None,
    # An enrolled tablet beside the cabinet shows it with nobody signed in; anybody else is sent to the door.
    "wall.roster": None,
    "wall.expiries_file": "decide",
}

# For each gap in an address: a value that fits and belongs to nobody.
NOBODYS = {"IntegerConverter": 0, "UUIDConverter": UUID(int=0)}


def rules(app):
    return [rule for rule in app.url_map.iter_rules() if rule.endpoint != "static"]


def calls(app):
    """Every address and method, with a value in each gap that belongs to nobody."""
    for rule in rules(app):
        gaps = rule._converters.items()
        values = {name: NOBODYS.get(type(kind).__name__, "nobody") for name, kind in gaps}
        address = rule.build(values)[1]
        for method in sorted(rule.methods & {"GET", "POST"}):
            yield rule.endpoint, method, address


def call(visitor, method, address):
    return visitor.get(address) if method == "GET" else visitor.send(address)


def to_the_door(answer):
    return (
        answer.status_code == 303 and answer.location.startswith("/sign-in?")
    ) or answer.location == "/sign-in"


def test_every_address_says_who_may_use_it_and_the_table_says_the_same(stage):
    found = {name: getattr(view, "needs", "nothing") for name, view in stage.app.view_functions.items()}
    assert found == {name: RIGHTS.get(name, "not in the table above") for name in found}


def test_the_open_addresses_are_these_and_no_others(stage):
    opened = {name for name, view in stage.app.view_functions.items() if getattr(view, "needs", None) is None}
    assert opened == {name for name, right in RIGHTS.items() if right is None}


@pytest.mark.parametrize("who", [*PEOPLE, None])
def test_every_address_lets_through_whom_it_should_and_nobody_else(make_stage, who):
    stage = make_stage()
    person = getattr(stage.cast, who) if who else None
    wrong = []
    with stage.cast.database.reading() as db:
        role = member(db, person).role if who else None
    for endpoint, method, address in calls(stage.app):
        # A fresh browser each time: signing out is one of the addresses.
        answer = call(stage.visitor(person), method, address)
        right = RIGHTS.get(endpoint)
        if right is None:
            fine = answer.status_code < 500
        elif role is None:
            fine = to_the_door(answer)
        elif may(role, right):
            fine = answer.status_code in {200, 302, 303, 404, 405, 409, 422} and not to_the_door(answer)
            fine = fine or endpoint == "sign_in.out"
        else:
            fine = answer.status_code == 403
        if not fine:
            wrong.append((method, address, answer.status_code, answer.location))
    assert wrong == []


def test_a_pin_opens_nothing_that_binds_others(stage):
    guarded = [one for one in calls(stage.app) if RIGHTS.get(one[0]) in PASSWORD_ONLY]
    assert guarded
    for _, method, address in guarded:
        answer = call(stage.visitor(stage.cast.lee, pin=True), method, address)
        assert to_the_door(answer) or answer.status_code == 403


@pytest.mark.parametrize("who", [*PEOPLE, None])
def test_no_form_is_taken_without_its_token(stage, who):
    person = getattr(stage.cast, who) if who else None
    forms = [(name, address) for name, method, address in calls(stage.app) if method == "POST"]
    assert len(forms) > 10
    for _, address in forms:
        answer = stage.visitor(person).post(address)
        assert (address, answer.status_code) == (address, 400)


def test_a_token_of_another_browser_does_not_do(stage):
    token = stage.visitor(stage.cast.tom).token()
    answer = stage.visitor(stage.cast.ana).post("/sign-out", data={"csrf_token": token})
    assert answer.status_code == 400
    assert "This form is out of date" in answer.text or "ya venció" in answer.text


@pytest.mark.parametrize("testing", [True, False])
def test_a_view_without_a_guard_fails_loudly_in_tests_and_is_forbidden_live(stage, testing):
    app = stage.another_app(testing=testing)
    app.add_url_rule("/bare", "bare", lambda: "open to the world")
    client = app.test_client()
    stage.sign_in(client, stage.cast.lee)
    if testing:
        with pytest.raises(UnguardedError, match="bare has no guard"):
            client.get("/bare")
    else:
        assert client.get("/bare").status_code == 403


@pytest.mark.parametrize("who", PEOPLE)
def test_each_page_has_one_thing_to_do_at_most(stage, who):
    pages = 0
    for _, method, address in calls(stage.app):
        answer = stage.visitor(getattr(stage.cast, who)).get(address) if method == "GET" else None
        if answer is not None and answer.status_code == 200 and answer.mimetype == "text/html":
            pages += 1
            assert (address, answer.text.count('class="act"') <= 1) == (address, True)
            assert (address, answer.text.count("<h1>")) == (address, 1)
            assert " style=" not in answer.text
            assert "<script>" not in answer.text
    assert pages >= 5


def test_each_role_finds_its_places_on_every_page(stage):
    addresses = {}
    for who in PEOPLE:
        page = stage.visitor(getattr(stage.cast, who)).get("/preferences").text
        [places] = re.findall(r'<nav class="places".*?</nav>', page, re.DOTALL)
        addresses[who] = re.findall(r'href="([^"]+)"', places)
    assert addresses == {
        "ana": ["/today", "/benches", "/exams/"],
        "tom": ["/today", "/benches", "/exams/", "/people", "/questions", "/invigilate"],
        "mia": [
            "/today",
            "/benches",
            "/exams/",
            "/people",
            "/questions",
            "/invigilate",
            "/cabinets",
            "/members",
        ],
        "lee": ["/today", "/benches", "/members"],
    }


def test_the_front_door_of_each_role(stage):
    doors = {who: stage.visitor(getattr(stage.cast, who)).get("/").location for who in PEOPLE}
    assert doors == {"ana": "/today", "tom": "/people", "mia": "/cabinets", "lee": "/members"}
    # A PIN opens what is one's own work only.
    assert stage.visitor(stage.cast.lee, pin=True).get("/").location == "/today"
