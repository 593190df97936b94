from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from threading import Barrier

import pytest
from argon2 import PasswordHasher, Type, extract_parameters
from sqlalchemy import func, select

from tests.cast import MONDAY, PASSWORD, PIN, make_cast
from trainer.access.refusal import Refused
from trainer.access.throttle import name_key
from trainer.acts import accounts, hashing, sign_in, tablets
from trainer.acts.enrolment import Newcomer, enrol_newcomer
from trainer.acts.sign_in import Entered
from trainer.records.database import Database
from trainer.records.log import verify
from trainer.records.queries.sign_in import failed_tries
from trainer.records.queries.sign_in import tablets as listed_tablets
from trainer.records.tables import LogEntry, Person, SignInTry, Tablet

REAL = hashing._HASHER
HOME, ELSEWHERE = "192.0.2.1", "192.0.2.2"


CHEAP = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)


@pytest.fixture(autouse=True)
def cheap_hashes(monkeypatch):
    """The same algorithm with the least cost; one test below looks at the real cost."""
    monkeypatch.setattr(hashing, "_HASHER", CHEAP)


@pytest.fixture
def cast(database_url):
    cast = make_cast(database_url)
    yield cast
    cast.database.dispose()


def by_password(cast, name="ana.ruiz", password=PASSWORD, at=MONDAY, address=HOME, **more):
    return sign_in.sign_in_by_password(
        cast.database, sign_in_name=name, password=password, address=address, now=at, **more
    )


def by_pin(cast, token, person="ana-1", pin=PIN, at=MONDAY):
    return sign_in.sign_in_by_pin(
        cast.database, public_id=person, pin=pin, tablet_token=token, address=HOME, now=at
    )


def kinds(cast):
    with cast.database.reading() as db:
        return list(db.scalars(select(LogEntry.kind).order_by(LogEntry.seq)))


def row(cast, person):
    with cast.database.reading() as db:
        found = db.get_one(Person, person)
        db.expunge(found)
        return found


def test_the_right_password_lets_in_and_is_logged(cast):
    assert by_password(cast, " Ana.Ruiz ") == Entered(cast.ana, 1, None, by_pin=False)
    assert kinds(cast) == ["sign_in.by_password"]


@pytest.mark.parametrize("name", ["ana.ruiz", "nobody.here"])
def test_a_wrong_password_and_a_wrong_name_are_refused_in_the_same_words(cast, name):
    assert by_password(cast, name, "not the password") == Refused(("sign_in.wrong",))
    assert kinds(cast) == []


def test_an_unknown_name_costs_one_hash_like_any_other(cast, monkeypatch):
    verified = []

    class Counting:
        def verify(self, stored, typed):
            verified.append(stored)
            return CHEAP.verify(stored, typed)

        def hash(self, secret):
            return CHEAP.hash(secret)

        def check_needs_rehash(self, stored):
            return False

    monkeypatch.setattr(hashing, "_HASHER", Counting())
    with cast.database.writing() as db:
        db.get_one(Person, cast.tom).password_hash = None
        db.get_one(Person, cast.mia).left_at = MONDAY
    for name in ("ana.ruiz", "nobody.here", "tom.becker", "mia.okafor"):
        assert by_password(cast, name, "not the password") == Refused(("sign_in.wrong",))
    assert len(verified) == 4


def test_whoever_has_left_is_not_let_in(cast):
    accounts.leave(cast.database, by=cast.lee, public_id="ana-1", now=MONDAY)
    assert by_password(cast) == Refused(("sign_in.wrong",))


def test_after_five_failures_even_the_right_password_waits_and_then_works(cast):
    for _ in range(5):
        assert by_password(cast, password="wrong wrong") == Refused(("sign_in.wrong",))
    until = MONDAY + timedelta(seconds=30)
    assert by_password(cast) == Refused(("sign_in.wait",), until)
    assert kinds(cast) == ["sign_in.held"]
    assert isinstance(by_password(cast, at=until), Entered)
    # The good try wipes the slate: four more failures are free again.
    for _ in range(4):
        assert by_password(cast, password="wrong wrong", at=until) == Refused(("sign_in.wrong",))


def test_tries_during_a_wait_do_not_lengthen_it(cast):
    for _ in range(5):
        by_password(cast, password="wrong wrong")
    for second in range(1, 30):
        by_password(cast, password="wrong wrong", at=MONDAY + timedelta(seconds=second))
    assert isinstance(by_password(cast, at=MONDAY + timedelta(seconds=30)), Entered)


def test_one_address_that_tries_many_names_waits_and_others_do_not(cast):
    for number in range(20):
        assert by_password(cast, f"name{number}", "wrong wrong").reasons == ("sign_in.wrong",)
    assert by_password(cast).reasons == ("sign_in.wait",)
    assert isinstance(by_password(cast, address=ELSEWHERE), Entered)


def test_a_good_try_does_not_clear_the_failures_of_its_address(cast):
    for number in range(19):
        by_password(cast, f"name{number}", "wrong wrong")
    assert isinstance(by_password(cast), Entered)
    by_password(cast, "another", "wrong wrong")
    assert by_password(cast).reasons == ("sign_in.wait",)


def test_two_installations_on_one_database_count_together(cast, database_url):
    other = Database(database_url)
    for number in range(5):
        sign_in.sign_in_by_password(
            cast.database if number % 2 else other, sign_in_name="ana.ruiz", password="wrong wrong",
            address=HOME, now=MONDAY,
        )  # fmt: skip
    refused = sign_in.sign_in_by_password(
        other, sign_in_name="ana.ruiz", password=PASSWORD, address=HOME, now=MONDAY
    )
    other.dispose()
    assert refused == Refused(("sign_in.wait",), MONDAY + timedelta(seconds=30))


def test_many_wrong_tries_at_once_do_not_slip_past_the_limit(cast):
    together = Barrier(12)

    def guess(number):
        together.wait()
        return by_password(cast, password=f"guess number {number}").reasons

    with ThreadPoolExecutor(12) as pool:
        answers = list(pool.map(guess, range(12)))
    assert answers.count(("sign_in.wrong",)) == 5
    assert answers.count(("sign_in.wait",)) == 7


def test_old_tries_are_thrown_away(cast):
    by_password(cast, "nobody.here", "wrong wrong")
    by_password(cast, at=MONDAY + timedelta(days=8))
    with cast.database.reading() as db:
        assert db.scalar(select(func.count()).select_from(SignInTry).where(SignInTry.good.is_(False))) == 0


def test_the_real_cost_is_no_less_than_guidance_asks():
    # OWASP Password Storage Cheat Sheet, from memory: argon2id with at least 46 MiB and one pass.
    used = extract_parameters(REAL.hash("plumb bob and line"))
    assert used.type is Type.ID
    assert used.memory_cost >= 47_104
    assert used.time_cost >= 1


def test_a_hash_made_with_weaker_parameters_is_made_anew(cast, monkeypatch):
    monkeypatch.setattr(hashing, "_HASHER", PasswordHasher(time_cost=2, memory_cost=8, parallelism=1))
    before = row(cast, cast.ana).password_hash
    by_password(cast)
    after = row(cast, cast.ana).password_hash
    assert after != before
    assert "$argon2id$" in after
    assert not hashing.needs_new_hash(after)
    assert hashing.matches(after, PASSWORD)


def test_a_pin_works_on_an_enrolled_tablet_of_the_own_site_alone(cast):
    token = tablets.enrol_tablet(cast.database, by=cast.lee, name="Bay entrance", now=MONDAY)
    elsewhere = tablets.enrol_tablet(cast.database, by=cast.otto, name="Elsewhere", now=MONDAY)
    no_tablet = Refused(("sign_in.no_tablet",))
    assert by_pin(cast, None) == no_tablet
    assert by_pin(cast, "a token that nobody gave") == no_tablet
    assert by_pin(cast, elsewhere) == no_tablet
    entered = by_pin(cast, token)
    assert (entered.person_id, entered.by_pin, entered.tablet_id is not None) == (cast.ana, True, True)
    assert by_pin(cast, token, pin="111112") == Refused(("sign_in.wrong_pin",))


def test_the_token_itself_is_stored_nowhere(cast):
    token = tablets.enrol_tablet(cast.database, by=cast.lee, name="Bay entrance", now=MONDAY)
    with cast.database.reading() as db:
        stored = db.scalars(select(Tablet)).one()
        db.expunge(stored)
        written = "".join(db.scalars(select(LogEntry.record)))
    assert token not in {stored.name, stored.token_hash}
    assert token not in written
    assert len(stored.token_hash) == 64


def test_a_withdrawn_tablet_takes_no_pin_and_a_second_withdrawal_changes_nothing(cast):
    token = tablets.enrol_tablet(cast.database, by=cast.lee, name="Bay entrance", now=MONDAY)
    with cast.database.reading() as db:
        [tablet] = listed_tablets(db, cast.site)
    assert tablets.withdraw_tablet(cast.database, by=cast.otto, tablet_id=tablet.id, now=MONDAY) == Refused(
        ("tablet.not_yours",)
    )
    for _ in range(2):
        assert tablets.withdraw_tablet(cast.database, by=cast.lee, tablet_id=tablet.id, now=MONDAY) is None
    assert by_pin(cast, token) == Refused(("sign_in.no_tablet",))
    assert kinds(cast) == ["tablet.enrolled", "tablet.withdrawn"]


def test_a_stranger_at_the_password_form_does_not_shut_out_the_tablet(cast):
    token = tablets.enrol_tablet(cast.database, by=cast.lee, name="Bay entrance", now=MONDAY)
    for _ in range(5):
        by_password(cast, password="wrong wrong", address=ELSEWHERE)
    assert by_password(cast).reasons == ("sign_in.wait",)
    assert isinstance(by_pin(cast, token), Entered)


def change(cast, act=accounts.set_password, current=PASSWORD, new="a new string to pull", person=None):
    return act(
        cast.database, person_id=person or cast.ana, current=current, new=new, address=HOME, now=MONDAY
    )


def test_a_new_password_ends_every_session_and_the_old_one_no_longer_works(cast):
    assert change(cast) == 2
    assert by_password(cast) == Refused(("sign_in.wrong",))
    assert by_password(cast, password="a new string to pull") == Entered(cast.ana, 2, None, by_pin=False)


def test_a_secret_is_not_changed_without_the_present_one_and_guessing_it_is_limited(cast):
    for _ in range(5):
        assert change(cast, current="wrong wrong") == Refused(("secret.current_wrong",))
    assert change(cast).reasons == ("sign_in.wait",)
    assert row(cast, cast.ana).session_number == 1


def test_a_bad_new_secret_is_refused_with_its_reasons(cast):
    assert change(cast, new="short") == Refused(("password.short",))
    assert change(cast, accounts.set_pin, new="123456") == Refused(("pin.in_a_row",))
    assert change(cast, accounts.set_pin, new="730418") == 2


def test_whoever_has_no_password_proves_themself_by_pin(cast):
    with cast.database.writing() as db:
        db.get_one(Person, cast.ana).password_hash = None
    assert change(cast, current=PIN) == 2


@pytest.mark.parametrize(
    ("by", "about", "allowed"),
    [
        ("lee", "mia-1", True),
        ("mia", "ana-1", True),
        ("mia", "tom-1", False),
        ("tom", "ana-1", False),
        ("otto", "ana-1", False),
    ],
)
def test_who_may_give_a_new_password(cast, by, about, allowed):
    done = accounts.give_password(
        cast.database, by=getattr(cast, by), public_id=about, new="string pulled tight", now=MONDAY
    )
    assert done == (None if allowed else Refused(("account.not_yours",)))
    assert kinds(cast) == (["password.given"] if allowed else [])


def test_leaving_ends_sessions_and_happens_once_and_not_to_oneself(cast):
    assert accounts.leave(cast.database, by=cast.lee, public_id="lee-1", now=MONDAY) == Refused(
        ("account.own",)
    )
    assert accounts.leave(cast.database, by=cast.lee, public_id="ana-1", now=MONDAY) is None
    gone = row(cast, cast.ana)
    assert (gone.left_at, gone.session_number) == (MONDAY, 2)
    assert accounts.leave(cast.database, by=cast.lee, public_id="ana-1", now=MONDAY) == Refused(
        ("account.left",)
    )
    assert kinds(cast) == ["person.left"]


def test_a_choice_is_logged_once(cast):
    for _ in range(2):
        accounts.choose(cast.database, person_id=cast.ana, language="en", system="metric", now=MONDAY)
    chosen = row(cast, cast.ana)
    assert (chosen.language, chosen.system, chosen.session_number) == ("en", "metric", 1)
    assert kinds(cast) == ["person.chose"]


PAT = Newcomer("Pat Moss", "Pat.Moss", "learner", password="string pulled tight", trained_by="tom-1")


def test_a_newcomer_can_sign_in_at_once(cast):
    public_id = enrol_newcomer(cast.database, site_id=cast.site, by=cast.mia, who=PAT, now=MONDAY)
    assert isinstance(public_id, str)
    assert isinstance(by_password(cast, "pat.moss", "string pulled tight"), Entered)
    assert kinds(cast)[0] == "person.enrolled"


def test_every_reason_against_a_newcomer_is_given_at_once(cast):
    who = Newcomer(" ", "ana ruiz", "manager", password="short", pin="000000", trained_by="otto-2")
    done = enrol_newcomer(cast.database, site_id=cast.site, by=cast.mia, who=who, now=MONDAY)
    assert done == Refused(
        (
            "person.no_name", "sign_in_name.form", "password.short", "pin.in_a_row",
            "account.not_yours", "person.trainer_unknown",
        )
    )  # fmt: skip
    assert kinds(cast) == []


def test_a_name_that_is_taken_and_a_person_without_a_secret_are_refused(cast):
    who = Newcomer("Ana Two", "ANA.RUIZ", "learner")
    done = enrol_newcomer(cast.database, site_id=cast.site, by=None, who=who, now=MONDAY)
    assert done == Refused(("person.no_secret", "sign_in_name.taken"))


def test_the_log_holds_and_names_nobody(cast):
    by_password(cast)
    for _ in range(6):
        by_password(cast, "tom.becker", "wrong wrong")
    change(cast)
    sign_in.sign_out(cast.database, person_id=cast.ana, now=MONDAY)
    with cast.database.reading() as db:
        assert verify(db).flaws == ()
        written = "".join(db.scalars(select(LogEntry.record))).lower()
        assert failed_tries(db, name_key("tom.becker"), MONDAY - timedelta(days=1)) == [MONDAY] * 5
    for word in ("ruiz", "becker", HOME, PASSWORD, "string to pull"):
        assert word not in written
