"""The bank: all faults of all files, skills and terms that exist, files in their place."""

import pytest

from tests.language.make import make_text
from trainer.documents import DocumentError
from trainer.language.loading import content_folder, load_bank

SKILLS = """\
topics:
  - id: measuring
    title: {en: Measuring, es: Medir}
    skills:
      - {id: measuring.length_from_pulses, title: {en: Length, es: Largo}, hazard: false}
      - {id: measuring.profile, title: {en: Profile, es: Perfil}, hazard: true}
"""
GLOSSARY = (
    "terms:\n  - {id: pulse, term: {en: pulse, es: pulso}, meaning: {en: One count., es: Una cuenta.}}\n"
)


@pytest.fixture
def folder(tmp_path):
    """A questions folder with one question."""
    (tmp_path / "measuring").mkdir()
    (tmp_path / "skills.yaml").write_text(SKILLS, encoding="utf-8")
    (tmp_path / "glossary.yaml").write_text(GLOSSARY, encoding="utf-8")
    (tmp_path / "measuring" / "made.yaml").write_text(make_text(), encoding="utf-8")
    return tmp_path


def write(folder, name, text):
    (folder / "measuring" / f"{name}.yaml").write_text(text, encoding="utf-8")


def faults_of(folder):
    with pytest.raises(DocumentError) as refused:
        load_bank(folder)
    return refused.value.faults


def test_finds_by_id_and_by_skill(folder):
    write(folder, "easy", make_text("choice", id="id: measuring.easy"))
    write(folder, "hard", make_text("choice", id="id: measuring.hard", level="level: 3"))
    bank = load_bank(folder)
    assert bank.find("measuring.made") is bank.question("measuring.made")
    assert bank.find("measuring.gone") is None
    levels = [question.id for question in bank.of_skill("measuring.length_from_pulses")]
    assert levels == ["measuring.easy", "measuring.made", "measuring.hard"]
    assert bank.of_skill("measuring.profile") == ()
    assert bank.skill("measuring.profile").hazard
    assert bank.glossary["pulse"].meaning["es"] == "Una cuenta."


def test_tells_the_faults_of_all_files_at_once(folder):
    write(folder, "one", make_text(level="level: 7", id="id: measuring.one"))
    write(folder, "two", make_text(version="version: x", id="id: measuring.two"))
    files = {fault.place.file.rpartition("/")[2] for fault in faults_of(folder)}
    assert files == {"one.yaml", "two.yaml"}


def test_a_file_stands_where_its_id_says(folder):
    write(folder, "elsewhere", make_text(id="id: measuring.other"))
    assert [fault.wrong for fault in faults_of(folder)] == ["The file's place does not fit its id."]


def test_skills_and_terms_must_exist(folder):
    text = make_text(skill="skill: measuring.nothing").replace("**How long is it?**", "[x](term:nothing)")
    write(folder, "made", text)
    assert [fault.wrong for fault in faults_of(folder)] == [
        "There is no such skill.",
        "The glossary has no such term.",
    ]


def test_missing_and_unreadable_files_are_faults(folder):
    (folder / "glossary.yaml").unlink()
    (folder / "measuring" / "bad.yaml").write_bytes(b"\xff\xfe\x00")
    assert {fault.wrong for fault in faults_of(folder)} == {
        "There is no such file.",
        "The file cannot be read as UTF-8 text.",
    }


@pytest.mark.parametrize(
    ("old", "new", "wrong"),
    [
        ("measuring.profile", "mounting.profile", "its topic"),
        ("measuring.profile", "measuring.length_from_pulses", "stands twice"),
        ("hazard: true", "hazard: perhaps", "Yes or no"),
        (", es: Largo", "", "`es` is missing"),
    ],
)
def test_refuses_skills(folder, old, new, wrong):
    (folder / "skills.yaml").write_text(SKILLS.replace(old, new), encoding="utf-8")
    assert any(wrong in fault.wrong for fault in faults_of(folder))


def test_an_installed_copy_has_its_own_content(tmp_path, monkeypatch):
    monkeypatch.setattr("trainer.language.loading.files", lambda package: tmp_path / package)
    assert content_folder() == tmp_path
    (tmp_path / "trainer" / "content").mkdir(parents=True)
    assert content_folder() == tmp_path / "trainer" / "content"


def test_the_content_folder_holds_both():
    assert (content_folder() / "questions" / "skills.yaml").is_file()
    assert (content_folder() / "lessons").is_dir()
