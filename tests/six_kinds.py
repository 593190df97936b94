"""A small bank with a question of every kind, and schemes over it, for the tests of exams and of their pages."""

from functools import cache

from tests.exams.sittings import make_scheme
from trainer.exams.scheme import Area, Text
from trainer.language.grading import read_answer
from trainer.language.loading import Bank, load_question
from trainer.language.skills import Skill, Topic

SITE = {"pulses_per_foot": 12 / 0.3048}

NUMBER = """\
id: eyes.{name}
version: 1
skill: eyes.{skill}
level: 1
kind: number
draw:
  pulses: {{from: 140, to: 260, step: 1}}
  rate: {{pick: [10, 11, 12, 13]}}
ask:
  en: "The eye stays blocked for {{{{ pulses }}}} pulses at {{{{ rate }}}} pulses a foot. **How long is the vehicle?**"
  es: "El ojo queda tapado {{{{ pulses }}}} pulsos, a {{{{ rate }}}} pulsos por pie. **¿Cuánto mide el vehículo?**"
answer: {{value: pulses / rate * foot, unit: ft, within: 0.5 in}}
steps:
  - {{en: Divide the pulses by the pulses a foot., es: Divida los pulsos entre los pulsos por pie.}}
slips:
  - id: multiplied
    value: pulses * rate / 144
    because: {{en: You multiplied., es: Usted multiplicó.}}
"""

CHOICE = """\
id: eyes.{name}
version: 1
skill: eyes.{skill}
level: 1
kind: choice
ask: {{en: "**What sends the light?** ({name})", es: "**¿Qué envía la luz?** ({name})"}}
options:
  - {{id: emitter, right: true, text: {{en: The emitter, es: El emisor}}, because: {{en: It sends., es: Envía.}}}}
  - {{id: receiver, right: false, text: {{en: The receiver, es: El receptor}}, because: {{en: It sees., es: Ve.}}}}
  - {{id: cable, right: false, text: {{en: The cable, es: El cable}}, because: {{en: It carries., es: Lleva.}}}}
"""

SEVERAL = """\
id: eyes.parts
version: 1
skill: eyes.parts
level: 1
kind: several
ask: {en: "**Which are parts of an eye?**", es: "**¿Cuáles son partes de una fotocelda?**"}
options:
  - {id: lens, right: true, text: {en: The lens, es: El lente}, because: {en: It gathers light., es: Junta la luz.}}
  - {id: seal, right: true, text: {en: The seal, es: El sello}, because: {en: Keeps water out., es: Para el agua.}}
  - {id: hose, right: false, text: {en: The hose, es: La manguera}, because: {en: It is no part., es: No es parte.}}
"""

ORDER = """\
id: lockout.order
version: 1
skill: lockout.order
level: 1
kind: order
ask: {en: "**Put the steps in order.**", es: "**Ponga los pasos en orden.**"}
caution: {word: danger, en: Never skip a step., es: Nunca se salte un paso.}
items:
  - {id: stop, text: {en: Stop the machine, es: Parar la máquina}}
  - {id: isolate, text: {en: Open the disconnect, es: Abrir el seccionador}}
  - {id: lock, text: {en: Put on your lock, es: Poner su candado}}
before:
  - {first: stop, then: isolate, because: {en: Stop first., es: Primero pare.}}
  - {first: isolate, then: lock, because: {en: Isolate first., es: Primero aísle.}}
"""

MATCH = """\
id: eyes.match
version: 1
skill: eyes.match
level: 1
kind: match
ask: {en: "**What does each do?**", es: "**¿Qué hace cada uno?**"}
left:
  - {id: emitter, text: {en: Emitter, es: Emisor}, goes: sends, because: {en: It sends., es: Envía.}}
  - {id: receiver, text: {en: Receiver, es: Receptor}, goes: sees, because: {en: It sees., es: Ve.}}
right:
  - {id: sends, text: {en: Sends light, es: Envía luz}}
  - {id: sees, text: {en: Sees light, es: Ve luz}}
  - {id: heats, text: {en: Heats water, es: Calienta agua}}
"""

TABLE = """\
id: lockout.table
version: 1
skill: lockout.table
level: 1
kind: truth_table
ask: {en: "**Dark operate: is the output on?**", es: "**Operación con oscuridad: ¿está activada la salida?**"}
states: {on: {en: "ON", es: ACTIVADA}, off: {en: "OFF", es: DESACTIVADA}}
output: {en: output, es: salida}
rows:
  - {id: blocked, text: {en: Beam blocked, es: Haz tapado}, state: on, because: {en: Dark is on., es: Oscuro.}}
  - {id: clear, text: {en: Beam clear, es: Haz libre}, state: off, because: {en: Light is off., es: Luz.}}
"""

RIGHT = {
    "eyes.choice": "emitter",
    "eyes.parts": '["lens","seal"]',
    "lockout.order": '["stop","isolate","lock"]',
    "eyes.match": '{"emitter":"sends","receiver":"sees"}',
    "lockout.table": '{"blocked":"on","clear":"off"}',
}
WRONG = {
    "eyes.choice": "cable",
    "eyes.parts": '["hose","lens"]',
    "lockout.order": '["lock","stop","isolate"]',
    "eyes.match": '{"emitter":"heats","receiver":"sees"}',
    "lockout.table": '{"blocked":"off","clear":"off"}',
}
SKILLS = ("eyes.length", "eyes.choice", "eyes.parts", "eyes.match", "lockout.order", "lockout.table")


@cache
def six_kinds() -> Bank:
    """A question a skill: number, choice, several, match, order and truth table."""
    texts = (
        NUMBER.format(name="length", skill="length"), CHOICE.format(name="choice", skill="choice"), SEVERAL, MATCH,
        ORDER, TABLE,
    )  # fmt: skip
    return make_bank(texts)


def make_bank(texts) -> Bank:
    """A bank of question texts; a skill that begins with lockout is a hazard."""
    questions = [load_question(text, f"question-{number}.yaml") for number, text in enumerate(texts, 1)]
    skills = dict.fromkeys(question.skill for question in questions)
    topics: dict[str, list[Skill]] = {}
    for skill in skills:
        title = {"en": f"Skill {skill}", "es": f"Habilidad {skill}"}
        topics.setdefault(skill.split(".")[0], []).append(Skill(skill, title, skill.startswith("lockout")))
    made = tuple(Topic(one, {"en": one, "es": one}, tuple(several)) for one, several in topics.items())
    return Bank({question.id: question for question in questions}, made, {})


def six_scheme(**facts):
    """Six slots, one a kind; lockout is critical, four right answers pass."""
    areas = (
        Area("eyes", Text("Eyes", "Fotoceldas"), SKILLS[:4], 4),
        Area("lockout", Text("Lockout", "Bloqueo"), SKILLS[4:], 2, critical=True),
    )
    usual = {"id": "six", "areas": areas, "cut": 4, "title": Text("Six kinds", "Seis clases")}
    return make_scheme(**{**usual, **facts})


def form_fields(question, kept):
    """What a browser sends for an answer."""
    answer = read_answer(six_kinds().question(question), kept)
    kind = six_kinds().question(question).kind
    if kind in ("number", "choice"):
        return [("answer", answer)]
    if kind == "several":
        return [("answer", one) for one in answer]
    if kind == "order":
        return [(f"place.{one}", str(place)) for place, one in enumerate(answer, 1)]
    return [(f"{'goes' if kind == 'match' else 'state'}.{one}", value) for one, value in answer.items()]
