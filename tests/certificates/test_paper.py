import io
import re
import shutil
import subprocess
import sys
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
import segno
from PIL import Image

from tests.certificates.whole import WITHDRAWN
from trainer.certificates.facts import CabinetPlace, CertificateHeld
from trainer.certificates.paper import (
    MARGIN,
    QR_SIDE,
    QUIET_ZONE,
    CertificatePaper,
    RosterLine,
    RosterPaper,
    certificate_pdf,
    roster_pdf,
)
from trainer.certificates.signed_head import SignedHead
from trainer.exams.scheme import Text

NOW = datetime(2026, 3, 2, 15, tzinfo=UTC)
ADDRESS = "https://training.example/c/0f4b5f5e-6d55-4a5e-9c52-3f6f2f3f0001"
HELD = CertificateHeld(
    public_id="0f4b5f5e-6d55-4a5e-9c52-3f6f2f3f0001", person_id=1, person_public_id="p", person="Ana Núñez",
    site_id=1, site="Plumb Lane Wash", time_zone="America/Chicago", cabinet_id=1, cabinet="Main cabinet",
    machine="Conveyor", scheme="cabinet", scheme_version=1, effective_at=NOW, expires_at=NOW.replace(year=2027),
    decided_by="Mia Okafor", credential="{}",
)  # fmt: skip
PAPER = CertificatePaper(
    held=HELD, title=Text("Opening the cabinet", "Apertura del tablero"), scope=Text("Under lockout.", "Con bloqueo."),
    address=ADDRESS, issuer_key="z6Mk" + "x" * 44, log_head="ab" * 32, printed_at=NOW,
)  # fmt: skip
PLACE = CabinetPlace(1, "main", "Main cabinet", 1, "Conveyor", 1, "Plumb Lane Wash", "America/Chicago")
WHY = (
    "No passed exam.",
    "No signed practical on this machine.",
    "No decision by a manager yet.",
    "No certificate.",
)


def poppler(program: str, pdf: bytes, *options: str) -> bytes:
    if shutil.which(program) is None:
        pytest.skip(f"{program} is not installed (Debian package poppler-utils)")
    return subprocess.run([program, *options], input=pdf, capture_output=True, check=True).stdout


def text_of(pdf: bytes) -> str:
    return " ".join(poppler("pdftotext", pdf, "-", "-").decode().split())


def pages(pdf: bytes) -> int:
    return len(re.findall(rb"/Type /Page\b(?!s)", pdf))


def roster(lines) -> bytes:
    return roster_pdf(RosterPaper(PLACE, lines, "ab" * 32, NOW), "en")


@pytest.mark.parametrize(
    ("language", "tag", "said"), [("en", b"en-US", "Counts until"), ("es", b"es-US", "Vale hasta")]
)
def test_a_certificate_says_what_it_is_in_both_languages(language, tag, said):
    pdf = certificate_pdf(PAPER, language)
    assert b"/Lang (" + tag + b")" in pdf
    assert pages(pdf) == 1
    text = text_of(pdf)
    for part in (
        "Ana Núñez",
        "Plumb Lane Wash",
        "2027-03-02 09:00 (America/Chicago)",
        said,
        "ASTM E2659",
        "Mia Okafor",
    ):
        assert part in text
    assert PAPER.title.say(language) in text


def test_the_caution_defers_to_codes_and_licensed_practice():
    assert "Local codes and licensed practice come first" in text_of(certificate_pdf(PAPER, "en"))
    assert "WARNING" in text_of(roster([]))
    assert "Local codes and licensed practice come first" in text_of(roster([]))


def test_a_withdrawn_certificate_says_so_when_printed():
    withdrawn = replace(PAPER, held=replace(HELD, changes=(WITHDRAWN,)))
    assert "WITHDRAWN" in text_of(certificate_pdf(withdrawn, "en"))
    assert "WITHDRAWN" not in text_of(certificate_pdf(PAPER, "en"))


SIGNED_HEAD = SignedHead(7, 41, "cd" * 32, "ab" * 32, "2026-03-02T15:00:00.000000Z", "z6Mk", "z")


def test_the_paper_names_the_keys_page_and_the_newest_signed_head():
    full = replace(PAPER, keys_address="https://training.example/keys", signed_head=SIGNED_HEAD)
    said = text_of(certificate_pdf(full, "en"))
    for part in ("https://training.example/keys", "No. 7: 41 entries, root", "cd" * 8):
        assert part in said.replace("cd cd", "cdcd")
    assert "N.º 7: 41 asientos, raíz" in text_of(certificate_pdf(full, "es"))
    assert pages(certificate_pdf(full, "es")) == 1


@pytest.mark.parametrize(("language", "task"), [("en", "Replace eyes"), ("es", "Cambiar ojos")])
def test_a_reduced_certificate_says_what_was_taken_out(language, task):
    change = replace(WITHDRAWN, kind="reduced", taken=("replace_parts",))
    reduced = replace(PAPER, held=replace(HELD, changes=(change,)))
    assert task in text_of(certificate_pdf(reduced, language))
    assert task not in text_of(certificate_pdf(PAPER, language))


def test_a_roster_says_what_is_overdue_and_who_may_do_less():
    lines = [RosterLine("Ana Núñez", NOW, (), ("Replace eyes",))]
    paper = RosterPaper(PLACE, lines, "ab" * 32, NOW, notes=("Lockout procedure: never inspected. OVERDUE.",))
    said = text_of(roster_pdf(paper, "en"))
    assert "OVERDUE" in said
    assert "Taken out of its scope: Replace eyes" in said


def test_the_same_certificate_prints_the_same_bytes():
    assert certificate_pdf(PAPER, "en") == certificate_pdf(PAPER, "en")


def test_the_code_on_the_page_is_the_code_of_the_address():
    # Drawn at 300 dots an inch and sampled in the middle of each module against the library's own matrix.
    png = poppler("pdftoppm", certificate_pdf(PAPER, "en"), "-r", "300", "-png", "-")
    page = np.asarray(Image.open(io.BytesIO(png)).convert("L")) < 128
    matrix = np.array([list(row) for row in segno.make_qr(ADDRESS, error="m").matrix], dtype=bool)
    side = QR_SIDE / (len(matrix) + 2 * QUIET_ZONE) * 300 / 25.4
    middles = (np.arange(len(matrix)) + 0.5) * side
    across = (MARGIN * 300 / 25.4 + QUIET_ZONE * side + middles).astype(int)
    tops = range(page.shape[0] - int(middles[-1]) - 1)
    assert any((page[np.ix_((top + middles).astype(int), across)] == matrix).all() for top in tops)


def test_a_roster_names_who_may_and_why_others_may_not():
    text = text_of(
        roster([RosterLine("Ana Ruiz", NOW.replace(year=2027)), RosterLine("Tom Becker", None, WHY)])
    )
    assert "Ana Ruiz 2027-03-02 09:00 (America/Chicago)" in text
    assert "Tom Becker" in text
    assert all(why in text for why in WHY)


@pytest.mark.parametrize("people", [0, 1, 12, 30, 90])
def test_a_roster_stays_on_one_page(people):
    lines = [RosterLine(f"Person Number {i}", NOW if i % 4 == 0 else None, WHY) for i in range(people)]
    pdf = roster(lines)
    assert pages(pdf) == 1
    text = text_of(pdf)
    assert all(f"Person Number {i}" in text for i in range(0, people, 4))


def test_the_rules_load_no_printing():
    code = "import trainer.certificates.paper, sys; print(sorted({'fpdf', 'segno', 'matplotlib'} & set(sys.modules)))"
    shown = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=Path.cwd()
    )
    assert shown.stdout.strip() == "[]"
