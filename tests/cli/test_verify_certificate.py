"""`stringline verify-certificate`: good, not good with reasons, bad use; without a server or a database."""

import json
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from click.testing import CliRunner

from trainer.certificates.credential import public_key_of, sign_credential
from trainer.certificates.keys import SigningKey, keys_document
from trainer.certificates.statement import Statement, credential_document
from trainer.certificates.status_list import FEWEST, PURPOSES, StatusEntry, status_list
from trainer.cli import main
from trainer.exams.scheme import Text

KEY = bytes(range(32))
PUBLIC, OTHER = public_key_of(KEY), public_key_of(bytes(range(1, 33)))
AT = datetime(2026, 3, 2, 15, tzinfo=UTC)
STATEMENT = Statement(
    certificate="0f4b5f5e-6d55-4a5e-9c52-3f6f2f3f0001", person_public_id="0f4b5f5e-6d55-4a5e-9c52-3f6f2f3f0002",
    person="Ana Ruiz", site="Plumb Lane Wash", cabinet_key="main", cabinet="Main cabinet", machine="Conveyor",
    scheme="cabinet", scheme_version=1, title="Opening the cabinet", effective_at=AT,
    expires_at=AT.replace(year=2027), exam="e-1", practical="p-1", decision="d-1", log_head="ab" * 32,
    scope=Text("Work in the open cabinet.", "Trabajar en el tablero abierto."),
)  # fmt: skip
SIGNED = sign_credential(credential_document(STATEMENT, PUBLIC), KEY, AT)
ENTRIES = tuple(StatusEntry(one, 94567, f"https://wash.example/status/{one}") for one in PURPOSES)
LISTED = sign_credential(credential_document(replace(STATEMENT, entries=ENTRIES), PUBLIC), KEY, AT)


def verify(tmp_path, held, *options, at="2026-06-01T00:00:00Z"):
    file = tmp_path / "certificate.json"
    file.write_bytes(held if isinstance(held, bytes) else json.dumps(held).encode())
    return CliRunner().invoke(main, ["verify-certificate", str(file), "--at", at, *options])


def test_a_good_certificate(tmp_path):
    done = verify(tmp_path, SIGNED, "--key", PUBLIC)
    assert (done.exit_code, done.stderr) == (0, "")
    assert done.stdout.startswith("Good: urn:uuid:0f4b5f5e")
    assert PUBLIC in done.stdout
    assert verify(tmp_path, SIGNED).exit_code == 0
    assert verify(tmp_path, SIGNED, "--language", "es").stdout.startswith("Vale:")


def test_from_standard_input():
    done = CliRunner().invoke(
        main, ["verify-certificate", "-", "--at", "2026-06-01T00:00:00Z"], json.dumps(SIGNED)
    )
    assert done.exit_code == 0


@pytest.mark.parametrize(
    ("held", "options", "at", "said"),
    [
        (
            {**SIGNED, "validUntil": "2099-01-01T00:00:00Z"},
            (),
            "2026-06-01T00:00:00Z",
            "something in it was changed",
        ),
        (SIGNED, ("--key", OTHER), "2026-06-01T00:00:00Z", "another key than the one you trust"),
        (SIGNED, (), "2027-03-02T15:00:00Z", "expired at 2027-03-02T15:00:00Z"),
        (SIGNED, (), "2026-03-02T14:59:59Z", "only from 2026-03-02T15:00:00Z"),
        ({}, (), "2026-06-01T00:00:00Z", "It has no proof"),
        ({**SIGNED, "validUntil": 7}, (), "2026-06-01T00:00:00Z", "dates cannot be read"),
    ],
)
def test_what_is_not_good_is_said_with_exit_1(tmp_path, held, options, at, said):
    done = verify(tmp_path, held, *options, at=at)
    assert (done.exit_code, done.stderr) == (1, "")
    assert done.stdout.startswith("Not good:")
    assert said in done.stdout
    assert verify(tmp_path, held, *options, "--language", "es", at=at).stdout.startswith("No vale:")


def test_json_gives_every_reason(tmp_path):
    done = verify(tmp_path, {**SIGNED, "name": "Chief"}, "--json", at="2030-01-01T00:00:00Z")
    assert json.loads(done.stdout) == {
        "good": False,
        "reasons": ["credential.signature", "credential.expired:2027-03-02T15:00:00Z"],
        "key": PUBLIC,
        "status": False,
    }


def listed(tmp_path, purpose, places=(), key=KEY, at=AT):
    """A status list in a file."""
    made = status_list(
        purpose, set(places), address=f"https://wash.example/status/{purpose}", public_key=public_key_of(key),
        length=FEWEST, now=at,
    )  # fmt: skip
    file = tmp_path / f"{purpose}-{at:%H%M}.json"
    file.write_text(json.dumps(sign_credential(made, key, at)))
    return str(file)


def with_lists(tmp_path, **places):
    found = (listed(tmp_path, one, places.get(one, ())) for one in PURPOSES)
    return [word for file in found for word in ("--status", file)]


NOON = "2026-03-02T16:00:00Z"


def test_without_status_lists_it_says_that_withdrawal_was_not_checked(tmp_path):
    done = verify(tmp_path, LISTED, at=NOON)
    assert done.exit_code == 0
    assert "Not checked: whether it was withdrawn or suspended" in done.stdout
    assert "Sin comprobar" in verify(tmp_path, LISTED, "--language", "es", at=NOON).stdout


def test_with_both_lists_it_says_that_it_is_neither(tmp_path):
    done = verify(tmp_path, LISTED, "--key", PUBLIC, *with_lists(tmp_path), at=NOON)
    assert done.exit_code == 0
    assert "neither withdrawn nor suspended" in done.stdout
    assert "Not checked" not in done.stdout


@pytest.mark.parametrize(
    ("purpose", "said", "es"),
    [("revocation", "It was withdrawn", "Se retiró"), ("suspension", "It is suspended", "Está suspendido")],
)
def test_a_bit_that_is_set_is_not_good(tmp_path, purpose, said, es):
    lists = with_lists(tmp_path, **{purpose: {94567}})
    done = verify(tmp_path, LISTED, *lists, at=NOON)
    assert (done.exit_code, said in done.stdout) == (1, True)
    assert es in verify(tmp_path, LISTED, *lists, "--language", "es", at=NOON).stdout


def test_one_list_alone_is_not_enough(tmp_path):
    done = verify(tmp_path, LISTED, "--status", listed(tmp_path, "suspension"), at=NOON)
    assert done.exit_code == 1
    assert "No status list about withdrawals was given" in done.stdout


def test_a_list_of_yesterday_is_not_enough(tmp_path):
    done = verify(tmp_path, LISTED, *with_lists(tmp_path), at="2026-03-03T15:00:00Z")
    assert done.exit_code == 1
    assert "Fetch a fresh one" in done.stdout


def test_a_list_that_somebody_else_signed_is_not_believed(tmp_path):
    strange = listed(tmp_path, "revocation", key=bytes(range(1, 33)))
    lists = ["--status", strange, "--status", listed(tmp_path, "suspension")]
    for trust in ((), ("--key", PUBLIC)):
        done = verify(tmp_path, LISTED, *trust, *lists, at=NOON)
        assert done.exit_code == 1
        assert "A status list is not signed by the site" in done.stdout


def test_keys_with_their_times_decide_by_the_moment_of_signing(tmp_path):
    file = tmp_path / "keys.json"
    for start, code in ((AT, 0), (AT.replace(hour=16), 1)):
        file.write_text(json.dumps(keys_document([SigningKey(PUBLIC, start)], AT)))
        assert verify(tmp_path, SIGNED, "--keys", str(file)).exit_code == code
    file.write_text("{}")
    done = verify(tmp_path, SIGNED, "--keys", str(file))
    assert (done.exit_code, "no list named keys" in done.stderr) == (2, True)
    assert verify(tmp_path, SIGNED, "--keys", str(file), "--key", PUBLIC).exit_code == 2


@pytest.mark.parametrize(
    ("held", "options", "said"),
    [
        (b'{"a": NaN}', (), "a number that JSON does not know"),
        (b'{"a": ' + b"9" * 5000 + b"}", (), "too long to read"),
        (b"{", (), "not JSON"),
        (b"[1]", (), "not one object"),
        (b"\xff\xfe", (), "not UTF-8"),
        (b'{"id": 1, "id": 2}', (), "'id' stands twice"),
        (b"[" * 200_000, (), "nested too deeply"),
        (b" " * 1_000_001, (), "longer than"),
        (SIGNED, ("--key", "z6Mk"), "not an Ed25519 public key"),
        (SIGNED, ("--at", "soon"), "not a moment"),
        (SIGNED, ("--at", "2026-03-02"), "no time zone"),
    ],
)
def test_what_cannot_be_read_is_bad_use(tmp_path, held, options, said):
    done = verify(tmp_path, held, *options)
    assert (done.exit_code, done.stdout) == (2, "")
    assert said in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


def test_no_file_is_bad_use(tmp_path):
    done = CliRunner().invoke(main, ["verify-certificate", str(tmp_path / "none.json")])
    assert done.exit_code == 2
    assert "none.json" in done.stderr
