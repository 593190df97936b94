from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.access.throttle import (
    ADDRESS,
    MEMORY,
    NAME,
    address_key,
    begins,
    name_key,
    pin_key,
    wait_until,
)

NOW = datetime(2026, 3, 2, 15, tzinfo=UTC)
seconds_ago = st.lists(st.integers(0, 200_000), max_size=60).map(sorted)


def failed(count, last=NOW):
    return [last - timedelta(seconds=count - 1 - place) for place in range(count)]


@pytest.mark.parametrize("count", [0, 1, 4])
def test_the_first_four_failures_cost_nothing(count):
    assert wait_until(failed(count), NOW, NAME) is None


def test_each_further_failure_doubles_the_wait_up_to_a_quarter_of_an_hour():
    waits = [(wait_until(failed(count), NOW, NAME) - NOW).total_seconds() for count in range(5, 13)]
    assert waits == [30, 60, 120, 240, 480, 900, 900, 900]


def test_an_address_is_given_more_than_a_name():
    assert wait_until(failed(19), NOW, ADDRESS) is None
    assert wait_until(failed(20), NOW, ADDRESS) == NOW + timedelta(seconds=30)


def test_the_wait_is_over_at_its_very_end():
    until = wait_until(failed(5), NOW, NAME)
    assert wait_until(failed(5), until - timedelta(microseconds=1), NAME) == until
    assert wait_until(failed(5), until, NAME) is None


@given(seconds_ago)
def test_nothing_is_locked_for_ever(ages):
    # However many failures, once the longest wait after the last one has passed, the next try is free.
    tries = [NOW - timedelta(seconds=age) for age in ages]
    later = max(tries, default=NOW) + NAME.longest
    assert wait_until(tries, later, NAME) is None


@given(seconds_ago, st.integers(0, 100))
def test_one_more_failure_never_shortens_the_wait(ages, age):
    tries = [NOW - timedelta(seconds=old) for old in ages]
    before = wait_until(tries, NOW, NAME)
    after = wait_until([*tries, NOW - timedelta(seconds=age)], NOW, NAME)
    assert before is None or (after is not None and after >= before)


def test_failures_of_the_day_before_are_forgotten():
    assert wait_until(failed(30, NOW - MEMORY), NOW, NAME) is None


def test_a_wait_begins_once():
    assert [begins(failed(count), NOW, NAME) for count in (4, 5, 6)] == [False, True, False]


def test_a_name_is_counted_however_it_is_typed():
    assert name_key(" Ana.Ruiz ") == name_key("ana.ruiz")


def test_pins_and_passwords_are_counted_apart():
    assert pin_key("ana") != name_key("ana")


@pytest.mark.parametrize(
    ("address", "key"),
    [
        ("192.0.2.7", "address:192.0.2.7"),
        # RFC 4291: an IPv6 caller has the lower 64 bits to itself; ::ffff:0:0/96 is an IPv4 address in disguise.
        ("2001:db8:1:2:aaaa::1", "address:2001:db8:1:2::/64"),
        ("2001:db8:1:2:bbbb::9", "address:2001:db8:1:2::/64"),
        ("::ffff:192.0.2.7", "address:192.0.2.7"),
        ("somewhere", "address:unknown"),
    ],
)
def test_one_caller_has_one_key(address, key):
    assert address_key(address) == key
