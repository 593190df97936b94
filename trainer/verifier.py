"""Checks a folder of evidence alone, and shares no code with the program that wrote it.

    python verifier.py FOLDER [--key z6Mk…] [--language en|es] [--json]

It needs Python 3.11 and the package `cryptography`, no server and no network. It reckons the record log's chain and
tree anew, checks signed heads, keys, certificates and status lists, scores every exam again from its key sheet,
compares every table with the log, and names what is missing or out of order. Exit code 0: everything holds. 1:
something does not; each fault is named. 2: FOLDER cannot be read.

What it cannot show: that what was typed in was true, that nothing was done without being written down, and, for
whoever holds no head from before, that the whole log was not made up. Compare a head and the key with those that you
have from elsewhere: a certificate's paper, an older export, the site's page.
"""

from __future__ import annotations

import argparse
import base64
import binascii
import gzip
import hashlib
import json
import re
import sys
import zlib
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

Row = dict[str, Any]
KIND = "stringline evidence 1"
HEAD_KIND = "record log head 1"
FIRST = bytes(32)
HEX = re.compile("[0-9a-f]{64}")
# Entries of acts that waited for each other may stand some seconds out of order; more means that a clock was set back.
OUT_OF_ORDER = timedelta(minutes=1)
BASE58 = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz"
KEY_PREFIX = bytes.fromhex("ed01")
MOST_BITS = 2_000_000
# Outside of these a number is written with an exponent (ECMAScript, Number::toString).
MOST_WHOLE, LEAST_PLAIN = 21, -6

SAYS = {
    "manifest.changed": ("{file} is not the file that was exported", "{file} no es el archivo que se exportó"),
    "manifest.missing": ("{file} is missing", "falta {file}"),
    "manifest.stray": ("{file} was not exported with the rest", "{file} no se exportó con lo demás"),
    "manifest.ok": ("{files} files, as they were exported", "{files} archivos, tal como se exportaron"),
    "chain.hole": ("entry {seq} stands where {expected} should", "la entrada {seq} está donde debería estar la {expected}"),
    "chain.hash": ("entry {seq} does not follow from the entry before it", "la entrada {seq} no se sigue de la anterior"),
    "chain.record": ("entry {seq} is not canonical JSON with its own number", "la entrada {seq} no es JSON canónico con su propio número"),
    "chain.sealed_text": ("entry {seq} stands as hashes that are none", "la entrada {seq} está como hash, pero no lo es"),
    "chain.count": ("the log has {entries} entries, the export names {said}", "el registro tiene {entries} entradas y la exportación dice {said}"),
    "chain.ok": ("{entries} entries, each follows from the one before; head {head}", "{entries} entradas, cada una se sigue de la anterior; cabeza {head}"),
    "chain.sealed": ("{entries} entries of other sites stand as hashes alone", "{entries} entradas de otros sitios están solo como hash"),
    "time.back": ("entry {seq}: its time {at} is before {before}: a clock was set back", "entrada {seq}: su hora {at} es anterior a {before}: se atrasó un reloj"),
    "head.hole": ("head {number} stands where {expected} should", "la cabeza {number} está donde debería estar la {expected}"),
    "head.signature": ("head {number}: its signature does not belong to it", "cabeza {number}: la firma no le corresponde"),
    "head.key": ("head {number}: signed with a key that was not the site's then: {key}", "cabeza {number}: firmada con una clave que entonces no era del sitio: {key}"),
    "head.tree": ("head {number}: the first {size} entries are not those it was signed over", "cabeza {number}: las primeras {size} entradas no son las que se firmaron"),
    "head.size": ("head {number}: it counts {size} entries; the log has {entries}, the head before {before}", "cabeza {number}: cuenta {size} entradas; el registro tiene {entries}, la cabeza anterior {before}"),
    "head.none": ("no head was ever signed", "nunca se firmó una cabeza"),
    "head.open": ("{entries} entries came after the newest head, so no signature covers them yet", "{entries} entradas llegaron después de la última cabeza; ninguna firma las cubre todavía"),
    "head.ok": ("{heads} heads signed; each tree grew out of the one before", "{heads} cabezas firmadas; cada árbol creció del anterior"),
    "key.unlogged": ("the record log does not know the key {key}", "el registro no conoce la clave {key}"),
    "key.unlisted": ("the record log names the key {key}, which is not listed", "el registro nombra la clave {key}, que no está en la lista"),
    "key.other": ("the key {key} that you gave is not one of this site's", "la clave {key} que diste no es de este sitio"),
    "key.ok": ("keys to compare with what the site has published: {keys}", "claves para comparar con las que publicó el sitio: {keys}"),
    "certificate.text": ("certificate {id}: it cannot be read", "certificado {id}: no se puede leer"),
    "certificate.signature": ("certificate {id}: its signature does not belong to it", "certificado {id}: la firma no le corresponde"),
    "certificate.key": ("certificate {id}: signed with a key that was not the site's then", "certificado {id}: firmado con una clave que entonces no era del sitio"),
    "certificate.hash": ("certificate {id}: the record log knows another text, or none", "certificado {id}: el registro conoce otro texto, o ninguno"),
    "certificate.file": ("certificate {id}: the file under credentials/ differs", "certificado {id}: el archivo en credentials/ es distinto"),
    "certificate.facts": ("certificate {id}: the table and the signed text differ in {what}", "certificado {id}: la tabla y el texto firmado difieren en {what}"),
    "certificate.head": ("certificate {id}: the head that it names is not in the log", "certificado {id}: la cabeza que nombra no está en el registro"),
    "certificate.lost": ("certificate {id} was issued, and is not in the export", "el certificado {id} se emitió y no está en la exportación"),
    "certificate.forgotten": ("certificate {id}: its holder was forgotten; the log keeps its hash", "certificado {id}: se olvidó al titular; el registro guarda el hash"),
    "certificate.ok": ("{count} certificates: signature, key, hash in the log", "{count} certificados: firma, clave, hash en el registro"),
    "withdrawn.differs": ("certificate {id}: the table says {table}, the log {log}", "certificado {id}: la tabla dice {table}, el registro {log}"),
    "status.bad": ("status list {file}: it cannot be read, or its signature does not belong to it", "lista de estado {file}: no se puede leer o la firma no le corresponde"),
    "status.differs": ("certificate {id}: the list {file} says {list}, the record {record}", "certificado {id}: la lista {file} dice {list}, el registro {record}"),
    "status.none": ("no status list was exported", "no se exportó ninguna lista de estado"),
    "status.ok": ("{lists} status lists agree with the record", "{lists} listas de estado concuerdan con el registro"),
    "name.differs": ("person {id}: the name is not the one that was enrolled", "persona {id}: el nombre no es el que se inscribió"),
    "name.ok": ("{count} names as they were enrolled", "{count} nombres como se inscribieron"),
    "exam.unlogged": ("exam {id}: the log has no start of it, or another one", "examen {id}: el registro no tiene su inicio, o tiene otro"),
    "exam.lost": ("exam {id} was started, and is not in the export", "el examen {id} se empezó y no está en la exportación"),
    "exam.open": ("exam {id} was started and never closed", "el examen {id} se empezó y nunca se cerró"),
    "exam.end": ("exam {id}: its end in the table is not the one in the log", "examen {id}: su final en la tabla no es el del registro"),
    "exam.answers": ("exam {id}: slot {slot} revision {revision} differs between table and log", "examen {id}: la pregunta {slot}, revisión {revision}, difiere entre tabla y registro"),
    "exam.after_end": ("exam {id}: entry {seq} answers after the end", "examen {id}: la entrada {seq} responde después del final"),
    "exam.late": ("exam {id}: entry {seq} answers after the deadline", "examen {id}: la entrada {seq} responde después del plazo"),
    "exam.key_changed": ("exam {id}: its key sheet is not the one whose digest the log holds since the close", "examen {id}: su hoja de respuestas no es aquella cuyo resumen guarda el registro desde el cierre"),
    "exam.not_bound": ("exam {id}: not bound: its close logged no digest of the key sheet, so what is right is the program's word", "examen {id}: no ligado: su cierre no registró el resumen de la hoja de respuestas; lo correcto es la palabra del programa"),
    "exam.bound": ("{bound} key sheets as the log holds them since the close, {not_bound} not bound", "{bound} hojas de respuestas como las guarda el registro desde el cierre, {not_bound} no ligadas"),
    "exam.no_key": ("exam {id}: it has no key sheet, so it cannot be scored again", "examen {id}: sin hoja de respuestas no se puede calificar otra vez"),
    "exam.reading": ("exam {id}: slot {slot}: {answer} was read as {said}, I read {mine}", "examen {id}: pregunta {slot}: {answer} se leyó como {said}, yo leo {mine}"),
    "exam.score": ("exam {id}: scored again it differs in {what}", "examen {id}: calificado otra vez difiere en {what}"),
    "exam.void": ("exam {id}: a question was changed since; its keys are gone", "examen {id}: una pregunta cambió después; sus claves ya no están"),
    "exam.ok": ("{exams} exams, {answers} answers as the log has them; {scored} scored again, the same result", "{exams} exámenes, {answers} respuestas como en el registro; {scored} calificados otra vez con el mismo resultado"),
    "exam.read": ("{own} numbers read by this program itself, {given} taken as the program read them", "{own} números leídos por este mismo programa, {given} tomados como los leyó el programa"),
    "rescore.score": ("exam {id}: what was scored again ({rescore}) does not follow from the newer key and the answers, in {what}", "examen {id}: lo que se calificó otra vez ({rescore}) no se sigue de la clave nueva y las respuestas, en {what}"),
    "rescore.self": ("exam {id}: {who} scored it again, and nobody decides their own", "examen {id}: {who} lo calificó otra vez, y nadie decide sobre el suyo"),
    "rescore.lowers": ("exam {id}: passed, though by the newer key it would not be; ask what a manager decided about what rests on it", "examen {id}: aprobado, aunque con la clave nueva no lo sería; pregunta qué decidió un gerente sobre lo que se apoya en él"),
    "rescore.ok": ("{count} results scored again by a newer key, each as its marks give", "{count} resultados calificados otra vez con una clave nueva, cada uno según sus marcas"),
    "row.unlogged": ("{table} {id}: the log has no such entry", "{table} {id}: el registro no tiene esa entrada"),
    "row.lost": ("{table} {id}: logged as entry {seq}, and not in the export", "{table} {id}: registrado en la entrada {seq} y no está en la exportación"),
    "row.differs": ("{table} {id}: it differs from entry {seq} in {what}", "{table} {id}: difiere de la entrada {seq} en {what}"),
    "row.forgotten": ("{table} {id}: its texts were taken out when the person was forgotten", "{table} {id}: sus textos se quitaron cuando se olvidó a la persona"),
    "row.ok": ("{count} rows of {table} as the log has them", "{count} filas de {table} como en el registro"),
    "role.self": ("certificate {id}: the holder is also the {role}", "certificado {id}: el titular también es {role}"),
    "role.overlap": ("certificate {id}: whoever decided was also the {role}, and no second approver is on record", "certificado {id}: quien decidió también fue {role}, y no consta una segunda aprobación"),
    "role.second": ("certificate {id}: whoever decided was also the {role}; approved a second time by {second}", "certificado {id}: quien decidió también fue {role}; segunda aprobación de {second}"),
    "role.unknown": ("certificate {id}: the decision that it rests on is not in the log", "certificado {id}: la decisión en que se apoya no está en el registro"),
    "role.ok": ("{count} certificates: nobody was all of them", "{count} certificados: nadie fue todo a la vez"),
    "check.broken": ("{check}: it could not be made: {why}", "{check}: no se pudo hacer: {why}"),
    "verdict.good": ("Everything holds.", "Todo concuerda."),
    "verdict.bad": ("Faults: {faults}. Do not rely on this evidence until each is explained.", "Fallas: {faults}. No te apoyes en esta evidencia hasta que cada una se explique."),
}  # fmt: skip


class UnreadableError(Exception):
    """A folder that holds no evidence: why."""


class Report:
    """What was found: faults, things to look at, and what holds."""

    def __init__(self) -> None:
        self.faults: list[tuple[str, Row]] = []
        self.looks: list[tuple[str, Row]] = []
        self.holds: list[tuple[str, Row]] = []

    def fault(self, key: str, /, **facts: Any) -> None:
        """Something that does not hold."""
        self.faults.append((key, facts))

    def look(self, key: str, /, **facts: Any) -> None:
        """Something that somebody should look at and that may be as it should be."""
        self.looks.append((key, facts))

    def hold(self, key: str, /, **facts: Any) -> None:
        """Something that was checked and holds as far as no fault is named."""
        self.holds.append((key, facts))


ROLES = {
    "trainer": "instructor",
    "observer": "observador",
    "trainer and observer": "instructor y observador",
    "decider": "quien decidió",
    "second approver": "segunda aprobación",
}


def say(key: str, facts: Row, language: str) -> str:
    """A finding in words."""
    english, spanish = SAYS[key]
    if language != "es":
        return english.format(**facts)
    return spanish.format(**{**facts, "role": ROLES.get(facts.get("role", ""), "")})


# --- JSON, hashes, signatures -------------------------------------------------------------------------------------


def canonical(value: Any) -> bytes:
    """Canonical JSON (RFC 8785) of objects, lists, texts, numbers, true, false and null."""
    if isinstance(value, dict):
        names = sorted(value, key=lambda name: name.encode("utf-16-be", "surrogatepass"))
        return b"{" + b",".join(canonical(name) + b":" + canonical(value[name]) for name in names) + b"}"
    if isinstance(value, list):
        return b"[" + b",".join(map(canonical, value)) + b"]"
    if value is None or isinstance(value, bool | str):
        return json.dumps(value, ensure_ascii=False).encode()
    if isinstance(value, int) and abs(value) < 2**53:
        return str(value).encode()
    if isinstance(value, int | float) and abs(value) <= sys.float_info.max:
        return number_text(float(value)).encode()  # a whole number without a point may be larger than 53 bits
    raise ValueError(f"{value!r} has no canonical form here")


def number_text(value: float) -> str:
    """A number as ECMAScript writes it (RFC 8785, 3.2.2.3); Python's repr gives the same digits."""
    sign, figures, power = Decimal(repr(value)).normalize().as_tuple()
    digits, minus = "".join(map(str, figures)), "-" if sign and value else ""
    point = len(digits) + int(power)  # where the decimal point stands, counted from before the first digit
    if len(digits) <= point <= MOST_WHOLE:
        return minus + digits.ljust(point, "0")
    if 0 < point <= MOST_WHOLE:
        return f"{minus}{digits[:point]}.{digits[point:]}"
    if LEAST_PLAIN < point <= 0:
        return f"{minus}0.{digits.rjust(len(digits) - point, '0')}"
    return f"{minus}{'.'.join(filter(None, (digits[0], digits[1:])))}e{point - 1:+d}"


def read_json(text: str) -> Any:
    """JSON in which no name stands twice."""
    return json.loads(text, object_pairs_hook=_once)


def _once(pairs: list[tuple[str, Any]]) -> Row:
    read = dict(pairs)
    if len(read) != len(pairs):
        raise ValueError("a name stands twice")
    return read


def sha256(data: bytes) -> str:
    """SHA-256 in hex."""
    return hashlib.sha256(data).hexdigest()


def from_base58(text: Any) -> bytes:
    """The bytes of multibase base 58."""
    if not isinstance(text, str) or not text.startswith("z") or len(text) > 200:
        raise ValueError("not multibase base 58")
    number = 0
    for sign in text[1:]:
        number = number * 58 + BASE58.index(sign)
    zeros = len(text[1:]) - len(text[1:].lstrip("1"))
    return bytes(zeros) + number.to_bytes((number.bit_length() + 7) // 8, "big")


def is_signed(data: bytes, signature: Any, key: Any) -> bool:
    """Whether an Ed25519 signature belongs to the data and to a key written as z6Mk…"""
    try:
        raw = from_base58(key)
        if not raw.startswith(KEY_PREFIX):
            return False
        Ed25519PublicKey.from_public_bytes(raw[len(KEY_PREFIX) :]).verify(from_base58(signature), data)
    except (ValueError, InvalidSignature):
        return False
    return True


def proof_key(credential: Row) -> str | None:
    """The key that signed a credential with eddsa-jcs-2022; None where its proof does not hold."""
    try:
        proof = dict(credential["proof"])
        signature = proof.pop("proofValue")
        document = {name: value for name, value in credential.items() if name != "proof"}
        key = str(proof["verificationMethod"]).removeprefix("did:key:").partition("#")[0]
        issuer = credential["issuer"]
        named = issuer["id"] if isinstance(issuer, dict) else issuer
        kind = (proof["type"], proof["cryptosuite"], proof["proofPurpose"])
        data = hashlib.sha256(canonical(proof)).digest() + hashlib.sha256(canonical(document)).digest()
    except (KeyError, TypeError, ValueError):
        return None
    good = kind == ("DataIntegrityProof", "eddsa-jcs-2022", "assertionMethod") and named == f"did:key:{key}"
    return key if good and is_signed(data, signature, key) else None


def node(left: bytes, right: bytes) -> bytes:
    """RFC 6962, section 2.1."""
    return hashlib.sha256(b"\x01" + left + right).digest()


def roots_at(leaves: Iterable[bytes], sizes: set[int]) -> dict[int, str]:
    """The root of the tree of the first leaves, for each size."""
    found: dict[int, str] = {}
    peaks: list[bytes] = []
    for size, leaf in enumerate(leaves, start=1):
        peaks.append(leaf)
        for _ in range((size & -size).bit_length() - 1):
            right, left = peaks.pop(), peaks.pop()
            peaks.append(node(left, right))
        if size in sizes:
            root = peaks[-1]
            for left in reversed(peaks[:-1]):
                root = node(left, root)
            found[size] = root.hex()
    return found


def moment(text: Any) -> datetime:
    """A moment with its zone."""
    at = datetime.fromisoformat(str(text))
    return at if at.tzinfo else at.replace(tzinfo=UTC)


# --- What stands in the folder ------------------------------------------------------------------------------------


class Evidence:
    """The folder, read."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        try:
            self.manifest: Row = self._read("manifest.json")
            self.log: list[Row] = [
                read_json(line) for line in (folder / "log.jsonl").read_text("utf-8").split("\n") if line
            ]
            self.heads: list[Row] = self._read("heads.json")
            self.keys: list[Row] = self._read("keys.json")["keys"]
            self.key_sheets: dict[str, Row] = self._read("key-sheets.json")
            self.entries: list[Row] = [self._entry(one) for one in self.log]
            good = self.manifest["kind"] == KIND
        except (OSError, ValueError, KeyError, TypeError, RecursionError) as error:
            raise UnreadableError(f"{folder} holds no evidence that can be read: {error}") from None
        if not good:
            raise UnreadableError(f"{folder} was written by another version: {self.manifest['kind']}")
        self.by_kind: dict[str, list[Row]] = defaultdict(list)
        for entry in self.entries:
            if entry:
                self.by_kind[entry["kind"]].append(entry)
        self._tables: dict[str, list[Row]] = {}

    def _read(self, name: str) -> Any:
        return read_json((self.folder / name).read_text("utf-8"))

    @staticmethod
    def _entry(line: Row) -> Row:
        """The record of a line; empty where it stands as a hash alone, or cannot be read."""
        try:
            entry = read_json(line["record"]) if "record" in line else {}
            return entry if isinstance(entry.get("facts"), dict) and "kind" in entry else {}
        except (ValueError, AttributeError, RecursionError):
            return {}

    def table(self, name: str) -> list[Row]:
        """The rows of a table; none where it was not exported."""
        if name not in self._tables:
            try:
                rows = self._read(f"tables/{name}.json")
            except FileNotFoundError:
                rows = []
            except (ValueError, OSError) as error:
                raise UnreadableError(f"tables/{name}.json: {error}") from None
            self._tables[name] = rows
        return self._tables[name]

    def by_id(self, name: str) -> dict[int, Row]:
        """The rows of a table by their number."""
        return {row["id"]: row for row in self.table(name)}

    def logged(self, *kinds: str) -> list[Row]:
        """The entries of these kinds, in order."""
        return sorted(
            (one for kind in kinds for one in self.by_kind.get(kind, ())), key=lambda one: one["seq"]
        )

    def forgotten(self) -> set[str]:
        """The public ids of people who were forgotten."""
        return {entry["about"] for entry in self.logged("person.forgotten")}

    def key_at(self, key: Any, at: Any) -> bool:
        """Whether the site signed with this key at a moment."""
        for one in self.keys:
            if one["public_key"] == key:
                when = moment(at)
                ends = [moment(one[name]) for name in ("until", "compromised_since") if one.get(name)]
                # A list of keys is kept in whole seconds.
                return moment(one["from"]) <= when and all(when < end + timedelta(seconds=1) for end in ends)
        return False


# --- Checks -------------------------------------------------------------------------------------------------------


def check_manifest(e: Evidence, report: Report) -> None:
    """Every file is the one that was exported. Whoever changes files can change this list too; the rest finds that."""
    listed: dict[str, str] = e.manifest["files"]
    for name, said in listed.items():
        path = e.folder / name
        if not path.is_file():
            report.fault("manifest.missing", file=name)
        elif sha256(path.read_bytes()) != said:
            report.fault("manifest.changed", file=name)
    present = {str(path.relative_to(e.folder).as_posix()) for path in e.folder.rglob("*") if path.is_file()}
    for name in sorted(present - set(listed) - {"manifest.json"}):
        report.look("manifest.stray", file=name)
    report.hold("manifest.ok", files=len(listed))


def check_chain(e: Evidence, report: Report) -> None:
    """Every hash follows from the one before; every record is canonical and carries its own number."""
    previous, before, sealed = FIRST, None, 0
    for expected, (line, entry) in enumerate(zip(e.log, e.entries, strict=True), start=1):
        seq, said = line.get("seq"), str(line.get("hash"))
        if seq != expected:
            report.fault("chain.hole", seq=seq, expected=expected)
        if "record" in line:
            record = str(line["record"]).encode()
            if sha256(previous + record) != said:
                report.fault("chain.hash", seq=seq)
            if not entry or canonical(entry) != record or entry.get("seq") != seq:
                report.fault("chain.record", seq=seq)
        else:
            sealed += 1
            if not _digest(line.get("leaf")) or not _digest(line.get("hash", "0" * 64)):
                report.fault("chain.sealed_text", seq=seq)
        previous = _digest(said)  # of no hash, or none that was given, nothing can follow
        if entry:
            at = moment(entry["at"])
            if before is not None and at < before - OUT_OF_ORDER:
                report.look("time.back", seq=seq, at=entry["at"], before=before.isoformat())
            before = at
    said_log = e.manifest["log"]
    if said_log != {"entries": len(e.log), "head": previous.hex()}:
        report.fault("chain.count", entries=len(e.log), said=said_log["entries"])
    if sealed:
        report.look("chain.sealed", entries=sealed)
    report.hold("chain.ok", entries=len(e.log), head=previous.hex())


def check_heads(e: Evidence, report: Report) -> None:
    """Every head is signed, by a key of then, over the beginning of this very log."""
    leaves = [_leaf(line) for line in e.log]
    roots = roots_at(leaves, {head["size"] for head in e.heads})
    before = 0
    for expected, head in enumerate(e.heads, start=1):
        number, size = head["number"], head["size"]
        facts = {name: head[name] for name in ("number", "size", "root", "head", "at", "key")}
        if number != expected:
            report.fault("head.hole", number=number, expected=expected)
        if not is_signed(canonical({**facts, "kind": HEAD_KIND}), head["signature"], head["key"]):
            report.fault("head.signature", number=number)
        elif not e.key_at(head["key"], head["at"]):
            report.fault("head.key", number=number, key=head["key"])
        if not before < size <= len(leaves):
            report.fault("head.size", number=number, size=size, entries=len(leaves), before=before)
        elif (roots[size], e.log[size - 1].get("hash")) != (head["root"], head["head"]):
            report.fault("head.tree", number=number, size=size)
        before = size
    if not e.heads:
        report.look("head.none")
    elif before < len(leaves):
        report.look("head.open", entries=len(leaves) - before)
    report.hold("head.ok", heads=len(e.heads))


def _leaf(line: Row) -> bytes:
    if "record" in line:
        return hashlib.sha256(b"\x00" + str(line["record"]).encode()).digest()
    return _digest(line.get("leaf"))


def _digest(text: Any) -> bytes:
    """The bytes of a SHA-256 in lower-case hex, the only way it is written; none of anything else."""
    return bytes.fromhex(text) if isinstance(text, str) and HEX.fullmatch(text) else b""


def check_keys(e: Evidence, report: Report, trusted: list[str]) -> None:
    """The keys that are listed are those that the log knows; those that the reader trusts are among them."""
    known = {str(fact) for one in e.logged("key.first") for fact in (one["facts"].get("key"),)}
    for one in e.logged("key.replaced", "key.lost"):
        known |= {str(one["facts"].get("old")), str(one["facts"].get("new"))}
    listed = {one["public_key"] for one in e.keys}
    for key in sorted(listed - known):
        report.fault("key.unlogged", key=key)
    for key in sorted(known - listed):
        report.fault("key.unlisted", key=key)
    for key in trusted:
        if key not in listed:
            report.fault("key.other", key=key)
    report.hold("key.ok", keys=", ".join(sorted(listed)) or "-")


def check_certificates(e: Evidence, report: Report) -> None:
    """Every certificate is signed, by a key of then, and is the very text whose hash the log holds."""
    issued = {one["facts"]["certificate"]: one for one in e.logged("certificate.issued")}
    again = defaultdict(set)
    for one in e.logged("certificate.signed_again"):
        again[one["facts"]["certificate"]].add(one["facts"]["hash"])
    rows = {row["public_id"]: row for row in e.table("certificate")}
    copies = defaultdict(list)
    for copy in e.table("signed_again"):
        copies[copy["certificate_id"]].append(copy["credential"])
    hashes, gone = {line.get("hash") for line in e.log}, e.forgotten()
    for id_, row in rows.items():
        entry = issued.get(id_)
        if entry is not None and entry["about"] in gone and not row["credential"]:
            report.look("certificate.forgotten", id=id_)
            continue
        first = _check_credential(
            e, report, id_, row["credential"], {entry["facts"]["hash"]} if entry else set()
        )
        for text in copies[row["id"]]:
            _check_credential(e, report, id_, text, again[id_])
        if first is not None:
            _check_facts(e, report, row, first, issued.get(id_))
            if not any(part.get("narrative") in hashes for part in first.get("evidence", ())):
                report.fault("certificate.head", id=id_)
        path = e.folder / "credentials" / f"{id_}.json"
        if not path.is_file() or path.read_text("utf-8") != row["credential"]:
            report.fault("certificate.file", id=id_)
    for id_ in sorted(set(issued) - set(rows)):
        report.fault("certificate.lost", id=id_)
    report.hold("certificate.ok", count=len(rows))


def _check_credential(e: Evidence, report: Report, id_: str, text: str, hashes: set[str]) -> Row | None:
    try:
        credential: Row = read_json(text)
        canonical(credential)
    except (ValueError, RecursionError):
        report.fault("certificate.text", id=id_)
        return None
    key = proof_key(credential)
    if key is None:
        report.fault("certificate.signature", id=id_)
    elif not e.key_at(key, credential["proof"]["created"]):
        report.fault("certificate.key", id=id_)
    if canonical(credential) != text.encode() or sha256(text.encode()) not in hashes:
        report.fault("certificate.hash", id=id_)
    return credential


def _check_facts(e: Evidence, report: Report, row: Row, credential: Row, entry: Row | None) -> None:
    """The table says what the signed text and the log say."""
    said = {
        "id": (credential.get("id"), f"urn:uuid:{row['public_id']}"),
        "validFrom": (credential.get("validFrom"), _seconds(row["effective_at"])),
        "validUntil": (credential.get("validUntil"), _seconds(row["expires_at"])),
    }
    if entry is not None:
        facts = entry["facts"]
        said |= {
            "effective_at": (entry["at"], row["effective_at"]),
            "expires_at": (facts["expires"], row["expires_at"]),
            "scheme": (facts["scheme"], row["scheme"]),
            "scheme_version": (facts["version"], row["scheme_version"]),
            "cabinet": (facts["cabinet"], e.by_id("cabinet")[row["cabinet_id"]]["key"]),
            "decision": (facts["decision"], e.by_id("decision")[row["decision_id"]]["public_id"]),
            "person": (entry["about"], e.by_id("person")[row["person_id"]]["public_id"]),
        }
    for what, (signed, table) in said.items():
        if signed != table:
            report.fault("certificate.facts", id=row["public_id"], what=what)


def _seconds(text: str) -> str:
    return moment(text).astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")


def check_standing(e: Evidence, report: Report) -> None:
    """What was done to certificates after they were issued is in the log as in the table; the lists say the same."""
    withdrawn, suspended = _ended(e)
    people = e.by_id("person")
    for row in e.table("certificate"):
        by = people.get(row["withdrawn_by_id"] or 0, {}).get("public_id")
        table, log = (row["withdrawn_at"], by), withdrawn.get(row["public_id"], (None, None))
        if table != log:
            report.fault("withdrawn.differs", id=row["public_id"], table=_told(*table), log=_told(*log))
    ids = {row["id"]: row["public_id"] for row in e.table("certificate")}
    places = {ids[row["certificate_id"]]: row["place"] for row in e.table("status_place")}
    paths = sorted((e.folder / "status").glob("*.json"))
    for path in paths:
        bits = _status_bits(e, path)
        if bits is None:
            report.fault("status.bad", file=path.name)
            continue
        counted = set(withdrawn) if path.name == "revocation.json" else suspended
        for id_, place in places.items():
            told = bool(place < 8 * len(bits) and bits[place // 8] & 0x80 >> place % 8)
            # A certificate that was suspended and then withdrawn counts no more; either bit may stand.
            if told != (id_ in counted) and not (path.name != "revocation.json" and id_ in withdrawn):
                report.fault("status.differs", id=id_, file=path.name, list=told, record=id_ in counted)
    if not paths and e.table("certificate"):
        report.look("status.none")
    report.hold("status.ok", lists=len(paths))


def _told(at: str | None, by: str | None) -> str:
    return f"{at or '-'} {by or '-'}"


def _ended(e: Evidence) -> tuple[dict[str, tuple[str, str]], set[str]]:
    """Which certificates the log says are withdrawn, with the moment and by whom, and which suspended."""
    withdrawn: dict[str, tuple[str, str]] = {}
    open_: dict[str, str] = {}
    for one in e.logged(*(f"certificate.{kind}" for kind in CHANGES)):
        facts = one["facts"]
        if one["kind"] == "certificate.withdrawn":
            withdrawn[facts["certificate"]] = (one["at"], one["by"])
        elif one["kind"] == "certificate.suspended":
            open_[facts["change"]] = facts["certificate"]
        elif one["kind"] == "certificate.lifted":
            open_.pop(facts["lifts"], None)
    return withdrawn, set(open_.values())


def _status_bits(e: Evidence, path: Path) -> bytes | None:
    """The bits of a signed status list (W3C Bitstring Status List); None where it does not hold."""
    try:
        credential = read_json(path.read_text("utf-8"))
        coded = credential["credentialSubject"]["encodedList"].removeprefix("u")
        packed = base64.b64decode(coded + "=" * (-len(coded) % 4), altchars=b"-_", validate=True)
        opened = zlib.decompressobj(wbits=16 + zlib.MAX_WBITS)
        bits = opened.decompress(packed, MOST_BITS)
        key = proof_key(credential)
        good = opened.eof and key is not None and e.key_at(key, credential["proof"]["created"])
    except (ValueError, KeyError, TypeError, AttributeError, binascii.Error, zlib.error, gzip.BadGzipFile):
        return None
    return bits if good else None


# --- Exams --------------------------------------------------------------------------------------------------------

# Plain numbers that this program reads by itself; whatever else was typed it takes as the key sheet says it was read.
PLAIN = {"en": re.compile(r"(-?\d+(?:\.\d+)?) ?(\D*)"), "es": re.compile(r"(-?\d+(?:,\d+)?) ?(\D*)")}
FACTORS = {
    "in": 0.0254, "ft": 0.3048, "pies": 0.3048, "pulg": 0.0254, "mm": 0.001, "cm": 0.01, "m": 1.0, "s": 1.0,
    "ms": 0.001, "min": 60.0, "V": 1.0, "A": 1.0, "%": 0.01,
}  # fmt: skip


def check_exams(e: Evidence, report: Report) -> None:
    """Every exam stands in the log as in the table, answer by answer, and gives the same result when scored again."""
    answers: dict[int, list[Row]] = defaultdict(list)
    for row in e.table("exam_answer"):
        answers[row["exam_id"]].append(row)
    people = e.by_id("person")
    logged = _exam_entries(e)
    rows = e.table("exam")
    counts: Counter[str] = Counter()
    for row in rows:
        mine = logged.get(row["public_id"], {})
        _check_start(report, row, people[row["person_id"]]["public_id"], mine)
        counts["answers"] += _check_answers(report, row, answers[row["id"]], mine)
        _check_end(report, row, mine.get("exam.closed", []))
        if row["submitted_at"] is None:
            report.look("exam.open", id=row["public_id"])
        else:
            _check_bound(e, report, row, mine.get("exam.closed", []), counts)
            _check_score(e, report, row, answers[row["id"]], counts)
    present = {row["public_id"] for row in rows}
    for one in e.logged("exam.started"):
        if one["facts"]["exam"] not in present:
            report.fault("exam.lost", id=one["facts"]["exam"])
    report.hold("exam.ok", exams=len(rows), answers=counts["answers"], scored=counts["scored"])
    report.hold("exam.bound", bound=counts["bound"], not_bound=counts["not bound"])
    report.hold("exam.read", own=counts["own"], given=counts["given"])


EXAM_KINDS = (
    "exam.started", "exam.answered", "exam.acted", "exam.closed", "exam.resumed", "exam.time_given_back",
)  # fmt: skip


def _exam_entries(e: Evidence) -> dict[str, dict[str, list[Row]]]:
    found: dict[str, dict[str, list[Row]]] = defaultdict(lambda: defaultdict(list))
    for one in e.logged(*EXAM_KINDS):
        found[one["facts"]["exam"]][one["kind"]].append(one)
    return found


def _check_start(report: Report, row: Row, person: str, logged: Mapping[str, list[Row]]) -> None:
    """The start is in the log as in the table; the deadline may have moved since, each time with an entry."""
    starts = logged.get("exam.started", [])
    moves = sorted(
        (*starts, *logged.get("exam.resumed", ()), *logged.get("exam.time_given_back", ())),
        key=lambda one: int(one["seq"]),
    )
    wanted = {
        "scheme": row["scheme"],
        "version": row["scheme_version"],
        "sheet": row["sheet_version"],
        "form_sha256": sha256(row["form"].encode()),
    }
    same = len(starts) == 1 and {name: starts[0]["facts"].get(name) for name in wanted} == wanted
    if (
        not same
        or moves[-1]["facts"].get("deadline") != row["deadline"]
        or starts[0]["about"] != person
        or starts[0]["at"] != row["started_at"]
    ):
        report.fault("exam.unlogged", id=row["public_id"])


def _check_answers(report: Report, row: Row, kept: list[Row], logged: Mapping[str, list[Row]]) -> int:
    """Table and log hold the same revisions; none came after the end or the deadline. How many there are."""
    said = _answers_said(logged)
    table = {
        (one["slot"], one["revision"]): (one["answer"], one["language"], one["received_at"]) for one in kept
    }
    for place in sorted(set(said) | set(table)):
        if said.get(place) != table.get(place):
            report.fault("exam.answers", id=row["public_id"], slot=place[0], revision=place[1])
    end = min((one["seq"] for one in logged.get("exam.closed", ())), default=None)
    for one in (*logged.get("exam.answered", ()), *logged.get("exam.acted", ())):
        if end is not None and one["seq"] > end:
            report.fault("exam.after_end", id=row["public_id"], seq=one["seq"])
        if moment(one["at"]) >= moment(row["deadline"]):
            report.fault("exam.late", id=row["public_id"], seq=one["seq"])
    return len(table)


def _answers_said(logged: Mapping[str, list[Row]]) -> dict[tuple[int, int], tuple[str, str, str]]:
    """Every revision that the log holds; of a bench it holds single acts, and each revision is the list so far."""
    said = {
        (one["facts"]["slot"], one["facts"]["revision"]): (
            one["facts"]["answer"],
            one["facts"]["typed_in"],
            one["at"],
        )
        for one in logged.get("exam.answered", ())
    }
    acts: dict[int, list[str]] = defaultdict(list)
    for one in logged.get("exam.acted", ()):
        facts = one["facts"]
        acts[facts["slot"]].append(facts["act"])
        said[facts["slot"], facts["revision"]] = (
            f"[{','.join(acts[facts['slot']])}]",
            facts["done_in"],
            one["at"],
        )
    return said


def _check_end(report: Report, row: Row, ends: list[Row]) -> None:
    if row["submitted_at"] is None:
        if ends:
            report.fault("exam.end", id=row["public_id"])
        return
    wanted = {
        "ended": row["submitted_at"],
        "closed_by": row["closed_by"],
        "right": row["right"],
        "passed": row["passed"],
        "result_sha256": sha256((row["result"] or "").encode()),
    }
    if len(ends) != 1 or {name: ends[0]["facts"].get(name) for name in wanted} != wanted:
        report.fault("exam.end", id=row["public_id"])


def _check_bound(e: Evidence, report: Report, row: Row, ends: list[Row], counts: Counter[str]) -> None:
    """The key sheet is the one whose salted digest stands in the entry of the close."""
    id_, released = row["public_id"], e.key_sheets.get(row["public_id"])
    said = {one["facts"].get("key_sheet_sha256") for one in ends}
    if released is None:
        return  # it cannot be scored either, and that is told
    bound = {"exam": id_, "key_sheet": released["sheet"], "salt": released.get("salt")}
    if said <= {None}:
        counts["not bound"] += 1
        report.look("exam.not_bound", id=id_)
    elif said == {sha256(canonical(bound))}:
        counts["bound"] += 1
    else:
        report.fault("exam.key_changed", id=id_)


def _check_score(e: Evidence, report: Report, row: Row, kept: list[Row], counts: Counter[str]) -> None:
    """Mark every slot from the key sheet, count by area, apply cut and critical areas, compare with the result."""
    released = e.key_sheets.get(row["public_id"])
    if released is None:
        report.fault("exam.no_key", id=row["public_id"])
        return
    form = read_json(row["form"])
    marks = _marks(report, row, released["sheet"], kept, counts)
    result = read_json(row["result"])
    if result["changed"]:
        report.look("exam.void", id=row["public_id"])
    mine = _result(form, marks)
    different = sorted(name for name, value in mine.items() if result.get(name) != value)
    if (row["right"], row["passed"]) != (mine["right"], mine["passed"]):
        different.append("table")
    if different:
        report.fault("exam.score", id=row["public_id"], what=", ".join(different))
    counts["scored"] += 1


def _marks(report: Report, row: Row, keys: Row, kept: list[Row], counts: Counter[str]) -> dict[int, str]:
    """The mark of every slot of an exam that has one, by the key sheet."""
    newest, marks = _newest(kept), dict[int, str]()
    for slot in read_json(row["form"])["slots"]:
        number = slot["number"]
        mark = _mark(report, (row["public_id"], number), keys[str(number)], newest.get(number), counts)
        if mark is not None:
            marks[number] = mark
    return marks


def _newest(kept: list[Row]) -> dict[int, Row]:
    """The answer that counts in each slot: its highest revision."""
    return {one["slot"]: one for one in sorted(kept, key=lambda one: int(one["revision"]))}


def _mark(
    report: Report, place: tuple[str, int], key: Row, given: Row | None, counts: Counter[str]
) -> str | None:
    """How a slot is marked; None where nothing was answered."""
    text = given["answer"] if given else ""
    if key["kind"] == "changed":
        return "changed"
    if not text or given is None:
        return None
    if key["kind"] == "number":
        mine = own_reading(text, given["language"], key)
        counts["given" if mine is None else "own"] += 1
        _check_reading(report, place, text, mine, key["read"])
        return _mark_number(key)
    return _mark_bench(key) if key["kind"] == "bench" else _mark_choice(key, text)


def _check_reading(
    report: Report, place: tuple[str, int], text: str, mine: float | None, read: Row | None
) -> None:
    said = None if read is None else read["value"]
    if mine is not None and (said is None or abs(said - mine) > 1e-9 * max(1.0, abs(mine))):
        report.fault("exam.reading", id=place[0], slot=place[1], answer=text, said=said, mine=mine)


def _mark_number(key: Row) -> str:
    read = key["read"]
    if read is None:
        return "unreadable"
    fits = read["dimension"] == key["dimension"] and abs(read["value"] - key["right"]) <= key["tolerance"]
    return "right" if fits else "wrong"


def _mark_bench(key: Row) -> str | None:
    """A bench's acts stand in the log; what they came to is taken from the key sheet."""
    if not key["readable"]:
        return "unreadable"
    return None if not key["acts"] else "right" if key["finished"] and key["passed"] else "wrong"


def own_reading(text: str, language: str, key: Row) -> float | None:
    """The SI value of a plain number with a common unit or none; None for what this program does not read."""
    found = PLAIN["es" if language == "es" else "en"].fullmatch(text.strip())
    if found is None:
        return None
    number, unit = float(found[1].replace(",", ".")), found[2].strip()
    if not unit:
        return number * float(key["factor"])
    return number * FACTORS[unit] if unit in FACTORS else None


def _mark_choice(key: Row, text: str) -> str:
    """The mark of an answer that was chosen, ordered or matched; unreadable where it is no whole answer."""
    if key["kind"] == "choice":
        return "right" if [text] == key["right"] else "wrong" if text in key["options"] else "unreadable"
    try:
        answer = json.loads(text)
    except (ValueError, RecursionError):
        return "unreadable"
    marks = {"several": _mark_several, "order": _mark_order}
    return marks.get(key["kind"], _mark_pairs)(key, answer)


def _mark_several(key: Row, answer: Any) -> str:
    if not answer or not _are_known(answer, key["options"]):
        return "unreadable"
    return "right" if set(answer) == set(key["right"]) else "wrong"


def _mark_order(key: Row, answer: Any) -> str:
    if not _are_known(answer, key["items"]) or len(answer) != len(key["items"]):
        return "unreadable"
    good = all(answer.index(first) < answer.index(then) for first, then in key["before"])
    return "right" if good else "wrong"


def _mark_pairs(key: Row, answer: Any) -> str:
    whole = isinstance(answer, dict) and set(answer) == set(key["right"])
    if not whole or not all(isinstance(value, str) and value in key["may"] for value in answer.values()):
        return "unreadable"
    return "right" if answer == key["right"] else "wrong"


def _are_known(answer: Any, known: list[str]) -> bool:
    """Whether it is a list of different known ids."""
    if not isinstance(answer, list) or not all(isinstance(one, str) for one in answer):
        return False
    return len(set(answer)) == len(answer) and set(answer) <= set(known)


def _result(form: Row, marks: Mapping[int, str]) -> Row:
    """The result by the rules that the form keeps: cut, areas, critical areas. What was asked on trial counts nowhere."""
    rules, slots = form["rules"], [slot for slot in form["slots"] if not slot.get("pilot")]
    right = {slot["number"] for slot in slots if marks.get(slot["number"]) == "right"}
    critical = {area["id"] for area in rules["areas"] if area["critical"]}
    missed = [slot for slot in slots if slot["area"] in critical and slot["number"] not in right]
    changed = [slot["number"] for slot in slots if marks.get(slot["number"]) == "changed"]
    areas = []
    for area in rules["areas"]:
        mine = [slot["number"] for slot in slots if slot["area"] == area["id"]]
        reached = sum(number in marks for number in mine)
        areas.append(
            {
                "id": area["id"],
                "critical": area["critical"],
                "items": len(mine),
                "reached": reached,
                "right": len(right & set(mine)),
            }
        )
    return {
        "areas": areas,
        "changed": changed,
        "critical_missed": list(dict.fromkeys(slot["skill"] for slot in missed)),
        "cut": rules["cut"],
        "items": len(slots),
        "not_reached": [slot["number"] for slot in slots if slot["number"] not in marks],
        "passed": None if changed else len(right) >= rules["cut"] and not missed,
        "right": len(right),
        "unreadable": [slot["number"] for slot in slots if marks.get(slot["number"]) == "unreadable"],
    }


def check_rescores(e: Evidence, report: Report) -> None:
    """Every result that was scored again follows from the newer key, the answers as typed and the marks before it."""
    answers: dict[int, list[Row]] = defaultdict(list)
    for row in e.table("exam_answer"):
        answers[row["exam_id"]].append(row)
    again: dict[int, list[Row]] = defaultdict(list)
    for row in e.table("exam_rescore"):
        again[row["exam_id"]].append(row)
    people, exams = e.by_id("person"), e.by_id("exam")
    closed = {one["facts"]["exam"]: one["seq"] for one in e.logged("exam.closed")}
    logged = {one["facts"]["rescore"]: one["seq"] for one in e.logged("exam.rescored")}
    seen = {one["facts"]["rescore"]: one["at"] for one in e.logged("exam.rescore_seen")}
    for exam_id, rows in again.items():
        exam = exams[exam_id]
        _check_again(report, exam, answers[exam_id], rows, e.key_sheets.get(exam["public_id"]))
        for row in rows:
            id_ = row["public_id"]
            if row["by_id"] == exam["person_id"] or row["person_id"] != exam["person_id"]:
                report.fault("rescore.self", id=exam["public_id"], who=people[row["by_id"]]["public_id"])
            if logged.get(id_, 0) < closed.get(exam["public_id"], 0) or seen.pop(id_, None) != row["seen_at"]:
                report.fault("rescore.score", id=exam["public_id"], rescore=id_, what="order, seen_at")
    for id_ in sorted(seen):
        report.fault("rescore.score", id="-", rescore=id_, what="seen_at")
    report.hold("rescore.ok", count=len(e.table("exam_rescore")))


def _check_again(report: Report, exam: Row, kept: list[Row], rows: list[Row], released: Row | None) -> None:
    """The re-scores of one exam, in order: each from the marks, the pass and the days that stood before it."""
    if released is None:
        return  # its own result cannot be scored either, and that is told
    marks: dict[int, str] = _marks(Report(), exam, released["sheet"], kept, Counter())
    stood, lowers = exam, False
    for row in sorted(rows, key=lambda one: int(one["id"])):
        different = _mark_again(report, exam, kept, row, marks)
        result, said = _result(read_json(exam["form"]), marks), read_json(row["result"])
        different += [name for name, value in result.items() if said.get(name) != value]
        passed = bool(stood["passed"] or result["passed"])  # a pass is never taken back by a key
        lowers = passed and not result["passed"]
        if (row["right"], row["passed"], row["lowers"]) != (result["right"], passed, lowers):
            different.append("table")
        kept_on = row["valid_until"] == stood["valid_until"]
        if not (kept_on if stood["passed"] else (row["valid_until"] is not None) == passed):
            different.append("valid_until")
        if different:
            what = ", ".join(sorted(different))
            report.fault("rescore.score", id=exam["public_id"], rescore=row["public_id"], what=what)
        stood = row
    if lowers:
        report.look("rescore.lowers", id=exam["public_id"])


def _mark_again(report: Report, exam: Row, kept: list[Row], row: Row, marks: dict[int, str]) -> list[str]:
    """Put the new marks into those in force; what does not follow from the newer key, or is about another question."""
    asked = {one["number"]: one for one in read_json(exam["form"])["slots"] if not one.get("pilot")}
    keys, newest, different = read_json(row["keys"]), _newest(kept), list[str]()
    changed = {int(number): pair for number, pair in read_json(row["marks"]).items()}
    if row["how"] not in ("newer", "right") or set(keys) != {
        str(one) for one in changed if row["how"] == "newer"
    }:
        different.append("keys")
    for slot, (before, after) in changed.items():
        mine: str | None = "right"
        if row["how"] == "newer":
            mine = _mark(report, (exam["public_id"], slot), keys[str(slot)], newest.get(slot), Counter())
        told = asked.get(slot, {})
        same = (told.get("question"), told.get("fingerprint")) == (row["question"], row["old_fingerprint"])
        if not same or (before, after) != (marks.get(slot), mine) or before == after:
            different.append(f"slot {slot}")
        marks.pop(slot, None)
        if mine is not None:
            marks[slot] = mine
    return different


# --- Practicals, decisions, roles ---------------------------------------------------------------------------------


def digest(*texts: str) -> str:
    """What the log keeps of free text."""
    return sha256(canonical({"texts": list(texts)}))


def check_practicals(e: Evidence, report: Report) -> None:
    """Every signed practical is in the log as in the table."""
    people = e.by_id("person")
    entries = {one["facts"]["practical"]: one for one in e.logged("practical.passed", "practical.failed")}
    for row in e.table("practical"):
        entry = entries.pop(row["public_id"], None)
        if entry is None:
            report.fault("row.unlogged", table="practical", id=row["public_id"])
            continue
        facts = entry["facts"]
        same = {
            "passed": (entry["kind"] == "practical.passed", row["passed"]),
            "scheme": ((facts["scheme"], facts["version"]), (row["scheme"], row["scheme_version"])),
            "person": (entry["about"], people[row["person_id"]]["public_id"]),
            "observer": (entry["by"], people[row["observer_id"]]["public_id"]),
            "signed_at": (entry["at"], row["signed_at"]),
            "steps, note": (facts["digest"], digest(row["steps"], row["note"])),
        }
        if "remarks" in facts:
            same["remarks"] = (facts["remarks"], digest(row["remarks"]))
            same["device_times"] = (facts["device_times"], digest(row["device_times"]))
        _compare(e, report, ("practical", row["public_id"]), entry, same)
    _lost(report, "practical", entries)
    report.hold("row.ok", table="practical", count=len(e.table("practical")))


CHANGES = ("suspended", "lifted", "reduced", "withdrawn")


def check_changes(e: Evidence, report: Report) -> None:
    """Every change of a certificate is in the log as in the table."""
    people, certificates = e.by_id("person"), e.by_id("certificate")
    entries = {
        one["facts"]["change"]: one
        for one in e.logged(*(f"certificate.{kind}" for kind in CHANGES))
        if "change" in one["facts"]
    }
    for row in e.table("certificate_change"):
        entry = entries.pop(row["public_id"], None)
        if entry is None:
            report.fault("row.unlogged", table="certificate_change", id=row["public_id"])
            continue
        facts = entry["facts"]
        same = {
            "kind": (entry["kind"], f"certificate.{row['kind']}"),
            "certificate": (facts["certificate"], certificates[row["certificate_id"]]["public_id"]),
            "cause": (facts["cause"], row["cause"]),
            "lifts": (facts["lifts"], row["lifts"]),
            "taken": (facts["taken"], read_json(row["taken"])),
            "person": (entry["about"], people[row["person_id"]]["public_id"]),
            "by": (entry["by"], people[row["by_id"]]["public_id"]),
            "at": (entry["at"], row["at"]),
            "reason": (facts["digest"], digest(row["reason"])),
        }
        _compare(e, report, ("certificate_change", row["public_id"]), entry, same)
    _lost(report, "certificate_change", entries)
    report.hold("row.ok", table="certificate_change", count=len(e.table("certificate_change")))


def check_decisions(e: Evidence, report: Report) -> None:
    """Every decision is in the log as in the table, and its second approval too."""
    people = e.by_id("person")
    kinds = ("decision.granted", "decision.refused", "decision.waits")
    entries = {one["facts"]["decision"]: one for one in e.logged(*kinds)}
    seconds = {one["facts"]["decision"]: one for one in e.logged("decision.approved")}
    for row in e.table("decision"):
        id_, entry = row["public_id"], entries.pop(row["public_id"], None)
        if entry is None:
            report.fault("row.unlogged", table="decision", id=id_)
            continue
        second = seconds.pop(id_, None)
        approver = people.get(row["second_approver_id"] or 0, {}).get("public_id")
        same = {
            "granted": (entry["kind"] != "decision.refused", row["granted"]),
            "person": (entry["about"], people[row["person_id"]]["public_id"]),
            "decided_by": (entry["by"], people[row["decided_by_id"]]["public_id"]),
            "decided_at": (entry["at"], row["decided_at"]),
            "reason": (entry["facts"]["digest"], digest(row["reason"], row["overlap_reason"] or "")),
            "second_approver": (second and second["by"], approver),
            "second_at": (second and second["at"], row["second_at"]),
        }
        _compare(e, report, ("decision", id_), entry, same)
    _lost(report, "decision", {**entries, **seconds})
    report.hold("row.ok", table="decision", count=len(e.table("decision")))


# What forgetting a person takes out of a row; the digest in the log stays.
TEXTS = {"steps, note", "reason", "texts", "remarks", "pack"}

OUTCOMES = ("upheld", "partly", "not_upheld")
# Other signed rows: the name of their number in the log, the kinds of entry, who, when, the texts under the digest.
SIGNED = {
    "practical_second": (
        "second", ("practical.second_agrees", "practical.second_differs"), "observer_id", "signed_at", ("steps", "note"),
    ),
    "practical_look": ("look", ("practical.counts", "practical.does_not_count"), "by_id", "at", ("reason",)),
    "observer_qualification": ("qualification", ("observer.qualified",), "by_id", "since", ("grounds",)),
    "appeal": ("appeal", ("appeal.filed",), "filed_by_id", "filed_at", ("grounds",)),
    "appeal_step": (
        "step", ("appeal.taken", *(f"appeal.{outcome}" for outcome in OUTCOMES)), "by_id", "at", ("reason",),
    ),
    "exam_rescore": ("rescore", ("exam.rescored",), "by_id", "at", ("reason",)),
    "impartiality_entry": (
        "entry", ("threat.written", "threat.reviewed", "threat.closed"), "by_id", "at", ("threat", "treatment"),
    ),
    "procedure_inspection": ("inspection", ("procedure.inspected",), "by_id", "at", ("deviations",)),
}  # fmt: skip


def check_signed(e: Evidence, report: Report) -> None:
    """Second observations, what was said of them, who may observe, appeals and their steps, inspections, threats."""
    people = e.by_id("person")
    for table, (name, kinds, by, at, texts) in SIGNED.items():
        entries = {one["facts"][name]: one for one in e.logged(*kinds)}
        for row in e.table(table):
            entry = entries.pop(row["public_id"], None)
            if entry is None:
                report.fault("row.unlogged", table=table, id=row["public_id"])
                continue
            same = {
                "by": (entry["by"], people[row[by]]["public_id"]),
                "at": (entry["at"], row[at]),
                "texts": (entry["facts"]["digest"], digest(*(row[text] for text in texts))),
            }
            if "person_id" in row:
                same["person"] = (entry["about"], people[row["person_id"]]["public_id"])
            same |= _more(e, table, row, entry)
            _compare(e, report, (table, row["public_id"]), entry, same)
        _lost(report, table, entries)
        report.hold("row.ok", table=table, count=len(e.table(table)))


def _more(e: Evidence, table: str, row: Row, entry: Row) -> Row:
    """What else the log says of a signed row of some tables."""
    facts, kind = entry["facts"], entry["kind"]
    if table == "appeal":
        return {
            "against": ((facts["against_kind"], facts["against"]), (row["against_kind"], row["against"])),
            "pack": (facts["pack"], sha256(row["pack"].encode())),
            "pack_hash": (facts["pack"], row["pack_hash"]),
        }
    if table == "appeal_step":
        appeal = e.by_id("appeal").get(row["appeal_id"], {})
        outcome = None if kind == "appeal.taken" else kind.removeprefix("appeal.")
        return {
            "appeal": ((facts["appeal"], facts["pack"]), (appeal.get("public_id"), appeal.get("pack_hash"))),
            "kind": ("taken" if outcome is None else "decided", row["kind"]),
            "outcome": (outcome, row["outcome"]),
        }
    if table == "exam_rescore":
        keys = {"exam": row["public_id"], "key_sheet": read_json(row["keys"]), "salt": row["salt"]}
        exam = e.by_id("exam").get(row["exam_id"], {})
        bound = {
            "act": row["act"], "exam": exam.get("public_id"), "question": row["question"], "how": row["how"],
            "old": row["old_fingerprint"], "new": row["new_fingerprint"], "marks": read_json(row["marks"]),
            "right": row["right"], "passed": row["passed"], "lowers": row["lowers"], "valid_until": row["valid_until"],
            "result_sha256": sha256(row["result"].encode()), "keys_sha256": sha256(canonical(keys)),
        }  # fmt: skip
        return {name: (facts.get(name), value) for name, value in bound.items()}
    if table == "impartiality_entry":
        first = row["threat_id"] == row["public_id"]
        said = "closed" if row["closed"] else "written" if first else "reviewed"
        return {
            "closed": (kind, f"threat.{said}"),
            "threat_id": (facts["threat"], row["threat_id"]),
            "owner": (facts["owner"], e.by_id("person")[row["owner_id"]]["public_id"]),
            "review_on": (facts["review"], row["review_on"]),
            "site": (entry["about"], f"site:{row['site_id']}"),
        }
    return {}


def _compare(e: Evidence, report: Report, place: tuple[str, str], entry: Row, same: Row) -> None:
    table, id_ = place
    different = sorted(what for what, (log, row) in same.items() if log != row)
    if set(different) & TEXTS and entry["about"] in e.forgotten():
        report.look("row.forgotten", table=table, id=id_)
        different = [what for what in different if what not in TEXTS]
    if different:
        report.fault("row.differs", table=table, id=id_, seq=entry["seq"], what=", ".join(different))


def _lost(report: Report, table: str, entries: Mapping[str, Row]) -> None:
    for id_, entry in sorted(entries.items()):
        report.fault("row.lost", table=table, id=id_, seq=entry["seq"])


def check_names(e: Evidence, report: Report) -> None:
    """Whoever stands in the table is whom the log enrolled, where the log has a digest and nobody forgot them."""
    enrolled = {one["about"]: one["facts"].get("name_sha256") for one in e.logged("person.enrolled")}
    gone, count = e.forgotten(), 0
    for row in e.table("person"):
        said, salt = enrolled.get(row["public_id"]), row.get("name_salt")
        if said is None or row["public_id"] in gone:
            continue
        if salt is None or sha256(canonical({"name": row["name"], "salt": salt})) != said:
            report.fault("name.differs", id=row["public_id"])
        count += 1
    report.hold("name.ok", count=count)


def check_roles(e: Evidence, report: Report) -> None:
    """Who trained, observed and decided: never the holder, and never one person alone."""
    people = e.by_id("person")
    trained = {
        row["public_id"]: people.get(row["trained_by_id"] or 0, {}).get("public_id")
        for row in e.table("person")
    }
    decided = {one["facts"]["decision"]: one for one in e.logged("decision.granted", "decision.waits")}
    seconds = {one["facts"]["decision"]: one["by"] for one in e.logged("decision.approved")}
    observed = {row["id"]: people[row["observer_id"]]["public_id"] for row in e.table("practical")}
    on = {row["public_id"]: row["practical_id"] for row in e.table("decision")}
    for one in e.logged("certificate.issued"):
        id_, decision, holder = one["facts"]["certificate"], one["facts"]["decision"], one["about"]
        if decision not in decided:
            report.fault("role.unknown", id=id_)
            continue
        decider, second = decided[decision]["by"], seconds.get(decision)
        roles = {"trainer": trained.get(holder), "observer": observed.get(on.get(decision, 0) or 0)}
        for role, who in {**roles, "decider": decider, "second approver": second}.items():
            if who == holder:
                report.fault("role.self", id=id_, role=role)
        both = " and ".join(role for role, who in roles.items() if who == decider)
        if both and (second is None or second in (decider, *roles.values())):
            report.fault("role.overlap", id=id_, role=both)
        elif both:
            report.look("role.second", id=id_, role=both, second=second)
    report.hold("role.ok", count=len(e.logged("certificate.issued")))


# --- The whole ----------------------------------------------------------------------------------------------------


def checks(trusted: list[str]) -> Iterator[tuple[str, Any]]:
    """Every check by its name, in order."""
    yield "manifest", check_manifest
    yield "chain", check_chain
    yield "keys", lambda e, report: check_keys(e, report, trusted)
    yield "heads", check_heads
    yield "certificates", check_certificates
    yield "standing", check_standing
    yield "exams", check_exams
    yield "rescores", check_rescores
    yield "practicals", check_practicals
    yield "decisions", check_decisions
    yield "signed", check_signed
    yield "changes", check_changes
    yield "names", check_names
    yield "roles", check_roles


def verify(folder: Path, trusted: list[str] | None = None) -> Report:
    """Everything that can be checked in the folder. Raises UnreadableError."""
    e, report = Evidence(folder), Report()
    for name, check in checks(trusted or []):
        faults, holds = len(report.faults), len(report.holds)
        try:
            check(e, report)
        except (
            KeyError,
            TypeError,
            ValueError,
            AttributeError,
            IndexError,
            RecursionError,
            OSError,
        ) as error:
            report.fault("check.broken", check=name, why=f"{type(error).__name__} {error}")
        if len(report.faults) > faults:
            del report.holds[holds:]  # what has a fault is not told to hold
    return report


def main(words: list[str] | None = None) -> int:
    """Check a folder and say what was found."""
    parser = argparse.ArgumentParser(prog="verifier.py", description="Checks a folder of evidence alone.")
    parser.add_argument("folder", type=Path)
    parser.add_argument(
        "--key", action="append", default=[], help="a key that you have from elsewhere (z6Mk…)"
    )
    parser.add_argument("--language", choices=["en", "es"], default="en")
    parser.add_argument("--json", action="store_true", help="one JSON object instead of sentences")
    asked = parser.parse_args(words)
    try:
        report = verify(asked.folder, asked.key)
    except UnreadableError as error:
        print(error, file=sys.stderr)
        return 2
    if asked.json:
        print(_as_json(report, asked.language))
    else:
        _print(report, asked.language)
    return 1 if report.faults else 0


def _as_json(report: Report, language: str) -> str:
    said = {
        name: [{"finding": key, "facts": facts, "said": say(key, facts, language)} for key, facts in found]
        for name, found in (("faults", report.faults), ("looks", report.looks), ("holds", report.holds))
    }
    return json.dumps({"good": not report.faults, **said}, ensure_ascii=False, indent=1)


def _print(report: Report, language: str) -> None:
    words = ("FALLA", "MIRA", "bien") if language == "es" else ("FAULT", "LOOK", "good")
    for word, found in zip(words, (report.faults, report.looks, report.holds), strict=True):
        for key, facts in found:
            print(f"{word:5}  {say(key, facts, language)}")
    key = "verdict.bad" if report.faults else "verdict.good"
    print(say(key, {"faults": len(report.faults)}, language))


if __name__ == "__main__":
    sys.exit(main())
