"""`stringline verify-certificate`: good, not good with reasons, bad use; without a server or a database."""

import json
from datetime import UTC, datetime

import pytest
from click.testing import CliRunner

from trainer.certificates.credential import public_key_of, sign_credential
from trainer.certificates.statement import Statement, credential_document
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
    }


@pytest.mark.parametrize(
    ("held", "options", "said"),
    [
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
