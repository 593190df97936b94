"""Evidence for an auditor: the folder, and the program in it that checks everything alone."""

import json
import random
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
import rfc8785
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tests.cli.audited import AuditedWash, made_wash
from tests.six_kinds import CHOICE, make_bank
from trainer import verifier
from trainer.acts import exams
from trainer.certificates.multibase import encode_base58
from trainer.cli.evidence import write_evidence
from trainer.records.tables import Base
from trainer.records.tree import leaf_hash, root_of


@pytest.fixture(scope="module")
def wash(tmp_path_factory):
    made = made_wash(f"sqlite:///{tmp_path_factory.mktemp('audited') / 'wash.sqlite3'}")
    yield made
    made.cast.database.dispose()


@pytest.fixture(scope="module")
def folder(wash, tmp_path_factory):
    return wash.export(tmp_path_factory.mktemp("evidence") / "out")


def faults(folder):
    return [key for key, _ in verifier.verify(folder).faults]


def test_untouched_evidence_holds(folder):
    report = verifier.verify(folder)
    for language in ("en", "es"):
        for key, facts in (*report.faults, *report.looks, *report.holds):
            assert "{" not in verifier.say(key, facts, language)
    assert report.faults == []
    assert {key for key, _ in report.looks} == {"chain.sealed", "exam.open", "role.second"}
    holds = dict(report.holds)
    assert holds["head.ok"]["heads"] >= 3
    assert holds["certificate.ok"] == {"count": 2} and holds["status.ok"] == {"lists": 2}
    assert holds["exam.ok"]["exams"] == 4 and holds["exam.ok"]["scored"] == 3
    assert holds["exam.bound"] == {"bound": 3, "not_bound": 0}
    assert holds["exam.read"] == {"own": 2, "given": 1}


def copied(folder, to):
    shutil.copytree(folder, to)
    return to


def remade(folder):
    """The list of files as whoever changes the folder would write it again."""
    path = folder / "manifest.json"
    said = json.loads(path.read_text("utf-8"))
    said["files"] = {name: verifier.sha256((folder / name).read_bytes()) for name in said["files"]}
    path.write_text(json.dumps(said), "utf-8")
    return folder


def test_one_changed_byte_anywhere_is_found(folder, tmp_path):
    """Every file, at places drawn by chance; seed fixed, so that a failure comes again."""
    draw = random.Random(20260302)
    other = copied(folder, tmp_path / "out")
    for path in sorted(path for path in other.rglob("*") if path.is_file()):
        whole = path.read_bytes()
        for _ in range(1 if whole else 0):
            place = draw.randrange(len(whole))
            changed = bytearray(whole)
            changed[place] ^= 1 << draw.randrange(7)
            path.write_bytes(changed)
            try:
                found = verifier.verify(other).faults
            except verifier.UnreadableError:
                found = ["unreadable"]
            assert found, f"{path.relative_to(other)} byte {place}"
        path.write_bytes(whole)


# What whoever owns the records could change and then write the list of files anew.
BOUND = {
    "log": ("log.jsonl",),
    "heads": ("heads.json",),
    "credentials": ("credentials/*.json", "tables/certificate.json"),
    "answers": ("tables/exam_answer.json",),
    "key sheets": ("key-sheets.json",),
    "status lists": ("status/*.json",),
}
# A row's own number is no evidence; the reason of a withdrawal stands in certificate_change too, and is held there.
NO_EVIDENCE = {"id", "withdrawn_reason"}


def says(path):
    """What a file says; None where it is no longer JSON, or holds another name."""
    try:
        text = path.read_text("utf-8")
        read = (
            [verifier.read_json(line) for line in text.split("\n") if line]
            if path.suffix == ".jsonl"
            else verifier.read_json(text)
        )
    except ValueError:
        return None
    if path.parent.name == "tables":
        columns = set(Base.metadata.tables[path.stem].c.keys()) - NO_EVIDENCE
        return [{name: row[name] for name in row.keys() & columns} for row in read]
    return read


@pytest.fixture(scope="module")
def other(folder, tmp_path_factory):
    return copied(folder, tmp_path_factory.mktemp("changed") / "out")


@pytest.mark.parametrize("kind", BOUND)
@settings(max_examples=80)
@given(st.data())
def test_any_changed_byte_of_a_kind_is_found_without_the_list(other, kind, data):
    """Wherever it is and whatever it becomes, as long as the file then says another thing; spaces say nothing."""
    path = data.draw(st.sampled_from(sorted(path for pattern in BOUND[kind] for path in other.glob(pattern))))
    whole, meant = path.read_bytes(), says(path)
    place = data.draw(st.integers(0, len(whole) - 1))
    changed = bytes([whole[place] ^ data.draw(st.integers(1, 255))])
    path.write_bytes(whole[:place] + changed + whole[place + 1 :])
    try:
        found = verifier.verify(remade(other)).faults
    except verifier.UnreadableError:
        found = ["unreadable"]
    same = says(path) == meant
    path.write_bytes(whole)
    assert found or same, f"{path.name} {place}: {whole[max(0, place - 40) : place + 20]} to {changed}"


def test_a_sealed_entry_is_held_to_the_letter(folder, tmp_path):
    """Of another site's entry there is a hash alone; written otherwise, even to the same bytes, it is found."""
    lines = [json.loads(line) for line in (folder / "log.jsonl").read_text("utf-8").splitlines()]
    sealed = [number for number, line in enumerate(lines) if "leaf" in line]
    assert sealed
    for number in sealed:
        line = lines[number]
        for name in line.keys() & {"leaf", "hash"}:
            other = copied(folder, tmp_path / f"{number}-{name}")
            told = [*lines[:number], {**line, name: line[name].upper()}, *lines[number + 1 :]]
            text = "".join(json.dumps(one, ensure_ascii=False) + "\n" for one in told)
            (other / "log.jsonl").write_text(text, "utf-8")
            assert "chain.sealed_text" in faults(remade(other))


def rows(folder, table):
    return json.loads((folder / "tables" / f"{table}.json").read_text("utf-8"))


def keep(folder, name, value):
    (folder / name).write_text(json.dumps(value, ensure_ascii=False), "utf-8")


def named(change, *words):
    """The trick under a name that a failing test shows."""
    change.__name__ = " ".join(map(str, words))
    return change


def change_row(table, number, **facts):
    def change(folder):
        read = rows(folder, table)
        read[number].update(facts)
        keep(folder, f"tables/{table}.json", read)

    return named(change, "change", table, number, *facts)


def drop_row(table, number=0):
    def change(folder):
        read = rows(folder, table)
        del read[number]
        keep(folder, f"tables/{table}.json", read)

    return named(change, "drop", table, number)


def add_row(table, **facts):
    """One more, like the first."""

    def change(folder):
        read = rows(folder, table)
        keep(folder, f"tables/{table}.json", [*read, {**read[0], "id": 99, "public_id": "made-up", **facts}])

    return named(change, "add", table)


def sheets_of(folder):
    return json.loads((folder / "key-sheets.json").read_text("utf-8"))


def change_keys(kind, change):
    """Change the key of every question of a kind."""

    def turn(folder):
        sheets = sheets_of(folder)
        for kept in sheets.values():
            for key in kept["sheet"].values():
                if key["kind"] == kind:
                    change(key)
        keep(folder, "key-sheets.json", sheets)

    return named(turn, change.__name__)


def turn_about(key):
    """Whoever wants another result turns the key of a choice about."""
    key["right"] = [next(one for one in key["options"] if one not in key["right"])]


def widen_reading(key):
    if key["read"]:
        key["read"]["value"] = key["right"]


def move_right_value(key):
    """By less than the tolerance: every mark stays what it was."""
    key["right"] += key["tolerance"] / 1000


def ask_otherwise(key):
    key["asked"]["en"] += " Really?"


def change_salts(folder):
    changed = {id_: {**one, "salt": "0" * 64} for id_, one in sheets_of(folder).items()}
    keep(folder, "key-sheets.json", changed)


def drop_salts(folder):
    keep(folder, "key-sheets.json", {id_: {"sheet": one["sheet"]} for id_, one in sheets_of(folder).items()})


def swap_key_sheets(folder):
    """Two exams whose sheets were both logged change places."""
    sheets = sheets_of(folder)
    keep(folder, "key-sheets.json", dict(zip(sheets, reversed(sheets.values()), strict=True)))


def cut_log(folder):
    lines = (folder / "log.jsonl").read_text("utf-8").splitlines(keepends=True)
    (folder / "log.jsonl").write_text("".join(lines[:-2]), "utf-8")


def drop_head(folder):
    heads = json.loads((folder / "heads.json").read_text("utf-8"))
    keep(folder, "heads.json", [heads[0], heads[2]])


def other_key(folder):
    keys = json.loads((folder / "keys.json").read_text("utf-8"))
    keys["keys"][0]["from"] = "2099-01-01T00:00:00Z"
    keep(folder, "keys.json", keys)


TRICKS = [
    (change_row("exam", 0, passed=False), {"exam.end", "exam.score"}),
    (change_row("exam", 1, right=6, passed=True), {"exam.end", "exam.score"}),
    (change_row("exam", 0, form="{}"), {"exam.unlogged", "check.broken"}),
    (change_row("exam", 0, deadline="2027-01-01T00:00:00.000000Z"), {"exam.unlogged"}),
    (drop_row("exam"), {"exam.lost"}),
    (drop_row("exam_answer", 3), {"exam.answers"}),
    (change_keys("choice", turn_about), {"exam.score", "exam.key_changed"}),
    (change_keys("number", widen_reading), {"exam.reading", "exam.key_changed"}),
    (change_keys("number", move_right_value), {"exam.key_changed"}),
    (change_keys("choice", ask_otherwise), {"exam.key_changed"}),
    (change_salts, {"exam.key_changed"}),
    (drop_salts, {"exam.key_changed"}),
    (swap_key_sheets, {"exam.key_changed"}),
    (change_row("practical", 0, note="Watched nothing."), {"row.differs"}),
    (change_row("practical", 0, passed=False), {"row.differs"}),
    (drop_row("practical"), {"row.lost"}),
    (change_row("decision", 0, reason="Other."), {"row.differs"}),
    (change_row("decision", 1, second_approver_id=None), {"row.differs"}),
    (drop_row("decision"), {"row.lost"}),
    (change_row("certificate", 0, expires_at="2036-01-01T00:00:00.000000Z"), {"certificate.facts"}),
    (change_row("certificate", 1, withdrawn_at=None), {"withdrawn.differs"}),
    (change_row("certificate", 1, withdrawn_by_id=1), {"withdrawn.differs"}),
    (drop_row("certificate"), {"certificate.lost"}),
    (change_row("certificate_change", 0, reason="None."), {"row.differs"}),
    (drop_row("certificate_change"), {"row.lost"}),
    (change_row("appeal", 0, grounds="None."), {"row.differs"}),
    (change_row("appeal", 0, against_kind="decision"), {"row.differs"}),
    (change_row("appeal", 0, pack="{}"), {"row.differs"}),
    (change_row("appeal_step", 0, kind="decided"), {"row.differs"}),
    (change_row("appeal_step", 1, at="2026-03-01T00:00:00.000000Z"), {"row.differs"}),
    (change_row("appeal_step", 1, by_id=1), {"row.differs"}),
    (change_row("appeal_step", 2, outcome="upheld"), {"row.differs"}),
    (change_row("appeal_step", 2, reason="None."), {"row.differs"}),
    (change_row("appeal_step", 2, appeal_id=99), {"row.differs"}),
    (drop_row("appeal_step", 1), {"row.lost"}),
    (add_row("appeal_step", outcome="upheld", kind="decided"), {"row.unlogged"}),
    (change_row("impartiality_entry", 0, threat="None."), {"row.differs"}),
    (change_row("impartiality_entry", 1, treatment="All is well."), {"row.differs"}),
    (change_row("impartiality_entry", 1, owner_id=1), {"row.differs"}),
    (change_row("impartiality_entry", 1, review_on="2027-03-02"), {"row.differs"}),
    (change_row("impartiality_entry", 1, closed=True), {"row.differs"}),
    (change_row("impartiality_entry", 2, closed=False), {"row.differs"}),
    (change_row("impartiality_entry", 2, by_id=1), {"row.differs"}),
    (change_row("impartiality_entry", 2, threat_id="another"), {"row.differs"}),
    (drop_row("impartiality_entry", 2), {"row.lost"}),
    (add_row("impartiality_entry", threat="Made up."), {"row.unlogged"}),
    (change_row("status_place", 1, place=7), {"status.differs"}),
    (cut_log, {"chain.count", "head.size"}),
    (drop_head, {"head.hole"}),
    (other_key, {"head.key", "certificate.key", "status.bad"}),
]  # fmt: skip


@pytest.mark.parametrize(("trick", "named"), TRICKS)
def test_whoever_changes_the_records_is_found_by_name(folder, tmp_path, trick, named):
    other = copied(folder, tmp_path / "out")
    trick(other)
    assert named <= set(faults(remade(other)))


def test_roles_that_overlap_are_faults(folder, tmp_path):
    other = copied(folder, tmp_path / "out")
    people = {row["name"]: row["id"] for row in rows(other, "person")}
    number = next(n for n, row in enumerate(rows(other, "person")) if row["name"] == "Ana Ruiz")
    change_row("person", number, trained_by_id=people["Mia Okafor"])(other)
    assert "role.overlap" in faults(remade(other))
    change_row("person", number, trained_by_id=people["Ana Ruiz"])(other)
    assert "role.self" in faults(remade(other))


def test_a_folder_that_is_no_evidence_is_refused(folder, tmp_path, capsys):
    (tmp_path / "empty").mkdir()
    assert verifier.main([str(tmp_path / "empty")]) == 2
    other = copied(folder, tmp_path / "out")
    keep(other, "manifest.json", {"kind": "another"})
    assert verifier.main([str(other)]) == 2
    assert "another version" in capsys.readouterr().err


def test_the_file_runs_alone(folder, tmp_path):
    """With isolated Python, away from the program: nothing of it can be imported by chance."""
    other = copied(folder, tmp_path / "elsewhere")
    words = [sys.executable, "-I", "verifier.py", "."]
    good = subprocess.run(words, cwd=other, capture_output=True, text=True, check=False)
    assert good.returncode == 0 and good.stdout.endswith("Everything holds.\n"), good.stderr
    key = json.loads((other / "keys.json").read_text("utf-8"))["keys"][0]["public_key"]
    assert key in good.stdout
    words += ["--json", "--language", "es", "--key", "z6MkOther"]
    bad = subprocess.run(words, cwd=other, capture_output=True, text=True, check=False)
    said = json.loads(bad.stdout)
    assert (
        bad.returncode == 1
        and [one["finding"] for one in said["faults"]] == ["key.other"]
        and not said["good"]
    )
    assert "no es de este sitio" in said["faults"][0]["said"]
    source = Path(verifier.__file__).read_text("utf-8")
    assert (other / "verifier.py").read_text("utf-8") == source and "trainer" not in source.split('"""')[2]


def test_nothing_that_must_stay_inside_goes_out(wash, folder):
    text = "".join(path.read_text("utf-8") for path in folder.rglob("*") if path.is_file())
    assert "argon2" not in text and "Otto" not in text
    assert wash.house.config.secret.hex() not in text
    open_exams = [row["public_id"] for row in rows(folder, "exam") if row["submitted_at"] is None]
    sheets = json.loads((folder / "key-sheets.json").read_text("utf-8"))
    assert len(open_exams) == 1 and open_exams[0] not in sheets and len(sheets) == 3


def test_an_exam_that_was_closed_before_key_sheets_were_kept_is_told_to_be_not_bound(tmp_path, monkeypatch):
    wash = AuditedWash(f"sqlite:///{tmp_path / 'wash.sqlite3'}")
    try:
        with monkeypatch.context() as before:
            before.setattr(exams, "keep_key_sheet", lambda *_: None)
            old = wash.sit(wash.cast.ana, {"eyes.choice": ("emitter",)})
        # A number that canonical JSON writes with more than 53 bits and no point.
        new = wash.sit(wash.cast.tom, {"eyes.choice": ("emitter",), "eyes.length": ("500000000000000000",)})
        report = verifier.verify(wash.export(tmp_path / "out"))
    finally:
        wash.cast.database.dispose()
    assert report.faults == [] and ("exam.not_bound", {"id": old}) in report.looks
    assert ("exam.bound", {"bound": 1, "not_bound": 1}) in report.holds
    sheets = sheets_of(tmp_path / "out")
    assert set(sheets[old]) == {"sheet"} and set(sheets[new]) == {"salt", "sheet"}
    assert len({*sheets[old]["sheet"]}) == 6


def test_a_question_that_was_mended_after_the_close_leaves_the_key_sheet_as_it_was(wash, folder, tmp_path):
    changed = make_bank([CHOICE.format(name="choice", skill="choice").replace("It sends.", "It shines.")])
    mended = replace(
        wash.house, bank=replace(wash.house.bank, by_id={**wash.house.bank.by_id, **changed.by_id})
    )
    write_evidence(mended, tmp_path / "out", wash.cast.site, wash.tick())
    report = verifier.verify(tmp_path / "out")
    assert report.faults == [] and sheets_of(tmp_path / "out") == sheets_of(folder)


def test_numbers_that_it_reads_by_itself():
    key = {"factor": 0.3048}
    read = verifier.own_reading
    assert read("16.5", "en", key) == pytest.approx(16.5 * 0.3048)
    assert read(" 196 in", "en", key) == pytest.approx(4.9784)
    assert read("4,98 m", "es", key) == 4.98 and read("4.98", "es", key) is None
    assert read("1,200", "en", key) is None and read("16 ft 4 in", "en", key) is None


TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
WHOLE = st.integers(-(2**53) + 1, 2**53 - 1)
VALUES = st.recursive(
    st.none() | st.booleans() | WHOLE | TEXTS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXTS, inner, max_size=4),
    max_leaves=12,
)


@given(VALUES)
def test_its_canonical_json_is_that_of_the_reference_library(value):
    assert verifier.canonical(value) == rfc8785.dumps(value)


def test_canonical_json_of_the_published_order_of_names():
    # RFC 8785, section 3.2.3: names in order of their UTF-16 code units.
    names = ["\u20ac", "\r", "\ufb33", "1", "\U0001f600", "\x80", "\xf6"]
    ordered = ["\r", "1", "\x80", "\xf6", "\u20ac", "\U0001f600", "\ufb33"]
    said = verifier.canonical(dict.fromkeys(names, "x")).decode()
    assert list(json.loads(said)) == ordered


@given(st.floats(allow_nan=False, allow_infinity=False))
@example(-0.0)
@example(1e21)
@example(999999999999999900000.0)
@example(1e-6)
@example(1e-7)
@example(5e-324)
def test_its_numbers_are_those_of_the_reference_library(number):
    assert verifier.canonical(number) == rfc8785.dumps(number)


@pytest.mark.parametrize("number", [float("nan"), float("inf")])
def test_what_no_json_can_say_has_no_canonical_form(number):
    with pytest.raises(ValueError, match="no canonical form"):
        verifier.canonical(number)


@given(st.binary(max_size=70))
def test_it_reads_base_58_as_it_was_written(raw):
    assert verifier.from_base58(encode_base58(raw)) == raw


@given(st.integers(1, 60))
def test_its_tree_is_that_of_the_log(size):
    leaves = [leaf_hash(str(number).encode()) for number in range(size)]
    assert verifier.roots_at(leaves, set(range(1, size + 1))) == {
        one: root_of(leaves[:one]).hex() for one in range(1, size + 1)
    }
