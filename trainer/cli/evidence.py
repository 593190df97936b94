"""`stringline export --evidence`: a folder with which an auditor checks everything alone."""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Iterator, Mapping
from dataclasses import asdict
from datetime import datetime
from pathlib import Path
from typing import Any

import trainer.verifier
from trainer.acts.exams import ExamTools, paper_of, tasks_of
from trainer.acts.keys import list_url
from trainer.certificates.credential import public_key_of, sign_credential
from trainer.certificates.keys import keys_document
from trainer.certificates.status_list import PURPOSES, list_length, status_list
from trainer.cli.tables import write_csv, write_json
from trainer.exams.key_sheet import Key, key_sheet
from trainer.exams.sitting import Sitting
from trainer.records.database import Session
from trainer.records.evidence import closed_exams, kept_key_sheet, log_lines, status_address
from trainer.records.export import exported_tables
from trainer.records.heads import kept_heads
from trainer.records.queries import exams as exam_queries
from trainer.records.queries.keys import places, signing_keys
from trainer.web.house import House

READ_ME = """Evidence of one wash: the record log, its signed heads, certificates, exams with their key sheets, tables.

    python verifier.py .

checks all of it. It needs Python 3.11 or newer and the package `cryptography`, no server and no network; it shares no
code with the program that wrote this folder. Read its first lines for what it can and cannot show. Compare a head and
a key that it prints with those that you have from elsewhere: a certificate's paper, an older export, the site's page.

log.jsonl         every entry of the record log, one a line; what concerns other sites stands as two hashes
heads.json        every signed head of the log
keys.json         public keys that signed, and when
credentials/      every certificate as it was signed
status/           the lists of withdrawn and suspended certificates, signed
key-sheets.json   for each closed exam and question: what was asked, what is right, how the answer was read; with the
                  salt that gives, with the sheet, the digest in the log's entry of the close
tables/           everything else, each table as JSON and as CSV
manifest.json     SHA-256 of every file

Personal data is in here: names, answers as they were typed, notes. Hand it on only to whoever may see that. It is of
{moment}.


Evidencia de un lavado: el registro, sus cabezas firmadas, certificados, exámenes con sus hojas de respuestas, tablas.

    python verifier.py . --language es

lo revisa todo. Aquí hay datos personales: nombres, respuestas como se escribieron, notas. Entrégalo solo a quien pueda
verlos. Es del {moment}.
"""


def write_evidence(house: House, folder: Path, site_id: int, now: datetime) -> tuple[int, int]:
    """Write the folder, which must not stand yet or be empty; gives how many log entries and how many files.

    It gets its name only when it is whole, so that nobody hands on a half.
    """
    part = folder.with_name(folder.name + ".part")
    if part.exists():
        shutil.rmtree(part)
    part.mkdir(parents=True)
    done = _fill(house, part, site_id, now)
    if folder.is_dir():
        folder.rmdir()
    part.rename(folder)
    return done


def _fill(house: House, folder: Path, site_id: int, now: datetime) -> tuple[int, int]:
    with house.database.snapshot() as db:
        head = _write_log(db, folder, site_id)
        _write(folder / "heads.json", [asdict(one) for one in kept_heads(db)])
        _write(folder / "keys.json", keys_document(signing_keys(db), now))
        _write_tables(db, folder, site_id)
        _write_status(db, folder, house.config.signing_key, now)
        _write(folder / "key-sheets.json", dict(_key_sheets(db, house, site_id)))
    shutil.copyfile(trainer.verifier.__file__, folder / "verifier.py")
    (folder / "READ-ME.txt").write_text(READ_ME.format(moment=now.isoformat(timespec="seconds")), "utf-8")
    return head["entries"], _write_manifest(folder, head)


def _write_log(db: Session, folder: Path, site_id: int) -> Mapping[str, Any]:
    count, head = 0, "0" * 64
    with (folder / "log.jsonl").open("w", encoding="utf-8", newline="\n") as file:
        for line in log_lines(db, site_id):
            file.write(json.dumps(line, ensure_ascii=False, separators=(",", ":")) + "\n")
            count, head = count + 1, line.get("hash", head)
    return {"entries": count, "head": head}


def _write_tables(db: Session, folder: Path, site_id: int) -> None:
    (folder / "tables").mkdir(exist_ok=True)
    (folder / "credentials").mkdir(exist_ok=True)
    for name, rows in exported_tables(db, site_id):
        if name in ("record_log", "log_head", "exam_key_sheet"):
            continue  # they stand in files of their own, and whole
        write_json(folder / "tables" / f"{name}.json", rows)
        write_csv(folder / "tables" / f"{name}.csv", rows)
        if name == "certificate":
            for row in rows:
                if row["credential"]:
                    path = folder / "credentials" / f"{row['public_id']}.json"
                    path.write_text(row["credential"], "utf-8")


def _write_status(db: Session, folder: Path, signing_key: bytes, now: datetime) -> None:
    """The two lists of certificates that do not count, signed now."""
    public, told = public_key_of(signing_key), places(db, now)
    if all(one.public_key != public for one in signing_keys(db)):
        return  # the key has signed nothing yet, so nothing can be on a list
    address = status_address(db, public)
    (folder / "status").mkdir(exist_ok=True)
    for purpose in PURPOSES:
        document = status_list(
            purpose, told.of(purpose), address=list_url(address, purpose), public_key=public,
            length=list_length([told.highest]), now=now,
        )  # fmt: skip
        _write(folder / "status" / f"{purpose}.json", sign_credential(document, signing_key, now))


def _key_sheets(db: Session, house: House, site_id: int) -> Iterator[tuple[str, Any]]:
    """The key sheet of every closed exam; an open exam's stays inside.

    As the close kept it, with its salt; made again, without one, where the exam closed before they were kept.
    """
    tools = ExamTools(house.bank, house.schemes, house.key_for("instances"), house.site_values, house.sheet)
    for public_id in closed_exams(db, site_id):
        sitting = exam_queries.sitting(db, public_id)
        assert sitting is not None
        kept = kept_key_sheet(db, sitting.id)
        yield public_id, kept or {"sheet": _made_again(db, sitting, tools)}


def _made_again(db: Session, sitting: Sitting, tools: ExamTools) -> dict[str, Key]:
    answers = exam_queries.standing_answers(db, sitting.id)
    return key_sheet(paper_of(sitting), answers, tools.bank.find, tools.secret, tasks_of(sitting, tools))


def _write(path: Path, value: object) -> None:
    path.write_text(json.dumps(value, ensure_ascii=False, indent=1, sort_keys=True) + "\n", "utf-8")


def _write_manifest(folder: Path, head: Mapping[str, Any]) -> int:
    files = sorted(path for path in folder.rglob("*") if path.is_file() and path.name != "manifest.json")
    said = {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest() for path in files
    }
    _write(folder / "manifest.json", {"kind": trainer.verifier.KIND, "log": head, "files": said})
    return len(said) + 1
