"""Certificates and rosters on paper: Letter, black ink, an embedded font with Spanish accents, a QR code of squares."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING

from trainer.certificates import paper_words as words
from trainer.certificates.facts import CabinetPlace, CertificateHeld
from trainer.certificates.scope import TASKS
from trainer.certificates.signed_head import SignedHead
from trainer.exams.scheme import PROGRAMME, Text
from trainer.printing.sheets import FONT, MARGIN, caution, facts, head, local_text, open_sheets, said, table

if TYPE_CHECKING:
    from fpdf import FPDF

QR_SIDE = 36.0
QUIET_ZONE = 4  # modules of white around a QR code, ISO/IEC 18004 (from memory)
ROSTER_SIZES = (10.0, 8.5, 7.0)


@dataclass(frozen=True)
class CertificatePaper:
    """What a printed certificate shows; `address` is its public page."""

    held: CertificateHeld
    title: Text
    scope: Text
    address: str
    issuer_key: str
    log_head: str
    printed_at: datetime
    keys_address: str = ""
    signed_head: SignedHead | None = None


@dataclass(frozen=True)
class RosterLine:
    """One person on the roster: until when they may open it and without which tasks, or in words why not."""

    name: str
    until: datetime | None
    why_not: tuple[str, ...] = ()
    without: tuple[str, ...] = ()


@dataclass(frozen=True)
class RosterPaper:
    """The roster of one cabinet at the moment of printing; `notes` tell what is due or overdue there."""

    cabinet: CabinetPlace
    lines: Sequence[RosterLine]
    log_head: str
    printed_at: datetime
    left_out: int = 0
    notes: tuple[str, ...] = ()


def certificate_pdf(paper: CertificatePaper, language: str) -> bytes:
    """The certificate on one page."""
    held = paper.held
    pdf = _sheet(words.CERTIFICATE.say(language), held.person, paper.printed_at, held.time_zone, language)
    head(pdf, f"{held.site} · {words.CERTIFICATE.say(language)}", paper.title.say(language))
    said(pdf, words.HOLDER.say(language), 11)
    said(pdf, held.person, 26, bold=True)
    said(pdf, words.MAY_OPEN.say(language), 11)
    said(pdf, f"{held.cabinet} · {held.machine}", 16, bold=True)
    pdf.ln(2)
    said(pdf, paper.scope.say(language), 10)
    pdf.ln(2)
    facts(pdf, _certificate_facts(paper, language), 9.5)
    pdf.ln(3)
    _qr_with_address(pdf, paper.address, words.LOOK.say(language))
    _caution(pdf, language)
    said(pdf, PROGRAMME.say(language), 9)
    return bytes(pdf.output())


def _certificate_facts(paper: CertificatePaper, language: str) -> list[tuple[str, str]]:
    held = paper.held
    state = words.STATES[held.state(paper.printed_at)].say(language)
    version = f"{held.scheme}, {words.VERSION.say(language)} {held.scheme_version}"
    named = [
        (words.FROM, local_text(held.effective_at, held.time_zone)),
        (words.UNTIL, local_text(held.expires_at, held.time_zone)),
        (words.SCHEME, version),
        (words.DECIDED, held.decided_by),
        (words.NUMBER, held.public_id),
        (words.KEY, paper.issuer_key),
        (words.KEYS, paper.keys_address),
        (words.LOG_HEAD, paper.log_head),
        (words.SIGNED_HEAD, _head_words(paper.signed_head, language)),
    ]
    first = [(words.STATE.say(language), state), *_taken(paper, language)]
    return [*first, *((name.say(language), value) for name, value in named if value)]


def _head_words(signed: SignedHead | None, language: str) -> str:
    """The newest signed head, so that whoever holds the paper can show later how the log stood."""
    if signed is None:
        return ""
    return words.HEAD.say(language).format(number=signed.number, size=signed.size, root=signed.root)


def _taken(paper: CertificatePaper, language: str) -> list[tuple[str, str]]:
    """One line a task: a long line would be broken inside a word."""
    taken = paper.held.standing(paper.printed_at).taken
    said = [TASKS[one].say(language) if one in TASKS else one for one in taken]
    return [(words.TAKEN.say(language) if number == 0 else "", one) for number, one in enumerate(said)]


def roster_pdf(paper: RosterPaper, language: str) -> bytes:
    """The roster on one page: in smaller type when it is long; who may open it is never left out for room."""
    for size in ROSTER_SIZES:
        pdf = _roster(paper, language, size)
        if pdf.pages_count == 1:
            return bytes(pdf.output())
    may = [line for line in paper.lines if line.until is not None]
    short = replace(paper, lines=may, left_out=len(paper.lines) - len(may))
    return bytes(_roster(short, language, ROSTER_SIZES[-1]).output())


def _roster(paper: RosterPaper, language: str, size: float) -> FPDF:
    cabinet = paper.cabinet
    pdf = _sheet(words.ROSTER.say(language), cabinet.name, paper.printed_at, cabinet.time_zone, language)
    head(pdf, f"{cabinet.site} · {words.ROSTER.say(language)}", f"{cabinet.name} · {cabinet.machine}")
    for note in paper.notes:
        said(pdf, note, size)
        pdf.ln(1)
    may = [
        (line.name, _until(line.until, line.without, cabinet.time_zone, language))
        for line in paper.lines
        if line.until is not None
    ]
    others = [(line.name, " ".join(line.why_not)) for line in paper.lines if line.until is None]
    for title, second, rows in ((words.MAY, words.UNTIL, may), (words.MAY_NOT, words.WHY_NOT, others)):
        said(pdf, title.say(language), size + 1.5, bold=True)
        if rows:
            table(pdf, (words.NAME.say(language), second.say(language)), rows, size, widths=(2, 5))
        elif not paper.left_out or title is words.MAY:
            said(pdf, words.NOBODY.say(language), size)
    if paper.left_out:
        said(pdf, words.MORE.say(language).format(count=paper.left_out), size)
    _caution(pdf, language)
    said(pdf, words.TODAY.say(language), 9)
    said(pdf, PROGRAMME.say(language), 9)
    said(pdf, f"{words.LOG_HEAD.say(language)}: {paper.log_head}", 7)
    return pdf


def _until(until: datetime, without: Sequence[str], time_zone: str, language: str) -> str:
    told = f" {words.TAKEN.say(language)}: {'; '.join(without)}." if without else ""
    return f"{local_text(until, time_zone)}.{told}" if told else local_text(until, time_zone)


def _sheet(kind: str, about: str, printed_at: datetime, time_zone: str, language: str) -> FPDF:
    """An empty page that says at its foot when it was printed."""

    def foot(page: int) -> str:
        numbered = f"{words.PAGE.say(language)} {page} / {{nb}}"
        return f"{words.PRINTED.say(language)} {local_text(printed_at, time_zone)} · {numbered}"

    return open_sheets(f"{kind}: {about}", printed_at, language, foot=foot)


def _qr_with_address(pdf: FPDF, address: str, look: str) -> None:
    """The QR code, drawn as squares so that it stays sharp, with its address beside it in words."""
    from fpdf.enums import WrapMode  # noqa: PLC0415

    top = pdf.get_y()
    _qr(pdf, address, MARGIN, top)
    pdf.set_xy(MARGIN + QR_SIDE + 4, top + 8)
    pdf.set_font(FONT, "", 9.5)
    pdf.multi_cell(0, 5, look, align="L", new_x="LEFT", new_y="NEXT")
    pdf.multi_cell(0, 5, address, align="L", wrapmode=WrapMode.CHAR)
    pdf.set_y(top + QR_SIDE + 2)


def _qr(pdf: FPDF, address: str, x: float, y: float) -> None:
    import segno  # noqa: PLC0415

    modules = [list(row) for row in segno.make_qr(address, error="m").matrix]
    side = QR_SIDE / (len(modules) + 2 * QUIET_ZONE)
    pdf.set_fill_color(0)
    for row, line in enumerate(modules):
        for first, length in _runs(line):
            pdf.rect(
                x + (first + QUIET_ZONE) * side, y + (row + QUIET_ZONE) * side, length * side, side, style="F"
            )


def _runs(line: Sequence[int]) -> list[tuple[int, int]]:
    """Where dark modules stand side by side: first and how many. One square for them leaves no hairlines."""
    runs: list[tuple[int, int]] = []
    for at, dark in enumerate(line):
        if dark and runs and sum(runs[-1]) == at:
            runs[-1] = (runs[-1][0], runs[-1][1] + 1)
        elif dark:
            runs.append((at, 1))
    return runs


def _caution(pdf: FPDF, language: str) -> None:
    caution(pdf, words.WARNING.say(language), words.CAUTION.say(language))
