import re
import shutil
import subprocess
import sys
from datetime import UTC, datetime

import pytest

from trainer.printing.sheets import caution, facts, head, local_text, open_sheets, said, table

NOW = datetime(2026, 3, 2, 15, tzinfo=UTC)


def poppler(pdf: bytes, *options: str) -> str:
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext is not installed (Debian package poppler-utils)")
    done = subprocess.run(["pdftotext", *options, "-", "-"], input=pdf, capture_output=True, check=True)
    return done.stdout.decode()


def two_pages(size="Letter"):
    pdf = open_sheets("Revisión", NOW, "es", size=size, foot=lambda page: f"Página {page} / {{nb}}")
    head(pdf, "Lavado Ñandú · Revisión", "Revisión de la bahía")
    said(pdf, "¿Qué cambia? Ángulo, señal, año.", 10)
    facts(pdf, [("Sitio", "Lavado Ñandú")], 10)
    table(pdf, ("Aplicación", "Prende"), [(f"Arco {i}", f"{i} pulsos") for i in range(60)], 10, (2, 1))
    caution(pdf, "ADVERTENCIA", "Bloquea primero.")
    return bytes(pdf.output())


def test_moments_are_told_by_the_clock_of_the_site():
    assert (
        local_text(datetime(2026, 7, 1, 3, tzinfo=UTC), "America/Chicago")
        == "2026-06-30 22:00 (America/Chicago)"
    )


def test_spanish_letters_the_table_and_the_caution_can_be_read_back():
    text = " ".join(poppler(two_pages()).split())
    for part in ("Revisión de la bahía", "¿Qué cambia? Ángulo, señal, año.", "Arco 59", "ADVERTENCIA"):
        assert part in text


def test_every_page_says_its_number_and_a_table_s_heads_stand_again_on_the_next_page():
    pages = poppler(two_pages()).split("\f")
    assert [re.search(r"Página (\d) / (\d)", page).groups() for page in pages[:-1]] == [
        ("1", "2"),
        ("2", "2"),
    ]
    assert all("Aplicación" in page for page in pages[:2])


@pytest.mark.parametrize(("size", "points"), [("Letter", (612, 792)), ("A4", (595.28, 841.89))])
def test_a_sheet_is_letter_or_a4(size, points):
    # ANSI/ASME Y14.1: 8.5 by 11 in; ISO 216: 210 by 297 mm; at 72 points an inch.
    [box] = set(re.findall(rb"/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]", two_pages(size)))
    assert tuple(map(float, box)) == pytest.approx(points, abs=0.1)


def test_the_same_moment_gives_the_same_bytes_and_no_other_moment_is_in_them():
    assert two_pages() == two_pages()
    assert b"D:20260302150000" in two_pages()


def test_nothing_dear_is_loaded_before_a_page_is_made():
    code = "import trainer.printing.vectors, sys; print(sorted({'fpdf', 'matplotlib'} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
