"""Makes questions for tests: a family with sensible parts, and the site values they use."""
# ruff: noqa: E501 - a question's YAML keeps a language pair on a line

from functools import cache

from trainer.language.loading import load_question
from trainer.language.questions import Question

SECRET = bytes(range(32))
SITE = {"pulses_per_foot": 12 / 0.3048, "chain_speed": 100 * 0.3048 / 60}  # 12 pulses/ft, 100 ft/min
FILE = "measuring/made.yaml"

HEAD = """\
id: measuring.made
version: 1
skill: measuring.length_from_pulses
level: 1
"""

NUMBER = """\
kind: number
site: [pulses_per_foot]
draw:
  pulses: {from: 140, to: 260, step: 1}
let:
  length: pulses / pulses_per_foot
ask:
  en: "Blocked for {{ pulses }} pulses at {{ pulses_per_foot }}. **How long is it?**"
  es: "Bloqueada {{ pulses }} pulsos a {{ pulses_per_foot }}. **¿Cuánto mide?**"
answer: {value: length, unit: ft, within: 1 in}
steps:
  - {en: "Divide {{ pulses }} by {{ shown(pulses_per_foot) }}.", es: "Divida {{ pulses }} entre {{ shown(pulses_per_foot) }}."}
slips:
  - id: per_inch
    value: length / 12
    because: {en: "You took {{ shown(pulses_per_foot) }} for one inch.", es: "Tomó {{ shown(pulses_per_foot) }} por una pulgada."}
  - id: multiplied
    value: pulses * shown(pulses_per_foot)
    because: {en: "You multiplied {{ pulses }}.", es: "Multiplicó {{ pulses }}."}
"""

CHOICE = """\
kind: choice
draw:
  gap: {pick: [2 in, 4 in, 20 in]}
ask: {en: "The hole is {{ gap }}. **What is it?**", es: "El hueco mide {{ gap }}. **¿Qué es?**"}
options:
  - {id: hitch, right: gap < 1 * foot, text: {en: A hitch, es: Un enganche}, because: {en: "{{ gap }} is short.", es: "{{ gap }} es corto."}}
  - {id: cars, right: gap >= 1 * foot, text: {en: Two cars, es: Dos carros}, because: {en: "{{ gap }} is long.", es: "{{ gap }} es largo."}}
"""

SEVERAL = """\
kind: several
ask: {en: "**Which send or see light?**", es: "**¿Cuáles envían o ven luz?**"}
options:
  - {id: emitter, right: true, text: {en: Emitter, es: Emisor}, because: {en: It sends., es: Envía.}}
  - {id: receiver, right: true, text: {en: Receiver, es: Receptor}, because: {en: It sees., es: Ve.}}
  - {id: gland, right: false, text: {en: Gland, es: Prensa}, because: {en: It only seals., es: Solo sella.}}
"""

ORDER = """\
kind: order
ask: {en: "**Put in order.**", es: "**Ponga en orden.**"}
items:
  - {id: look, text: {en: Look, es: Mirar}}
  - {id: clean, text: {en: Clean, es: Limpiar}}
  - {id: part, text: {en: Change, es: Cambiar}}
  - {id: note, text: {en: Note, es: Anotar}}
before:
  - {first: look, then: clean, because: {en: Looking is free., es: Mirar no cuesta.}}
  - {first: clean, then: part, because: {en: A cloth costs less., es: Un trapo cuesta menos.}}
"""

MATCH = """\
kind: match
ask: {en: "**Match.**", es: "**Una.**"}
left:
  - {id: always, text: {en: Always blocked, es: Siempre tapada}, goes: dirt, because: {en: Dirt blocks., es: La mugre tapa.}}
  - {id: never, text: {en: Never blocked, es: Nunca tapada}, goes: short, because: {en: A short holds it., es: Un corto la retiene.}}
right:
  - {id: dirt, text: {en: A dirty lens, es: Lente sucio}}
  - {id: short, text: {en: A short, es: Un corto}}
  - {id: sun, text: {en: Low sun, es: Sol bajo}}
"""

TABLE = """\
kind: truth_table
draw:
  near: {pick: [1, 0]}
ask: {en: "**Dark operate, number {{ near }}.**", es: "**Con oscuridad, número {{ near }}.**"}
states: {on: {en: "ON", es: ACTIVADA}, off: {en: "OFF", es: DESACTIVADA}}
output: {en: Output, es: Salida}
rows:
  - {id: clear, text: {en: Beam clear, es: Haz libre}, state: "off", because: {en: Light keeps it off., es: La luz la apaga.}}
  - {id: broken, text: {en: Beam broken, es: Haz cortado}, state: near >= 0, because: {en: Dark turns it on., es: Lo oscuro la activa.}}
"""

KINDS = {
    "number": NUMBER,
    "choice": CHOICE,
    "several": SEVERAL,
    "order": ORDER,
    "match": MATCH,
    "truth_table": TABLE,
}


def make_text(kind: str = "number", **changes: str) -> str:
    """A question file of this kind; each change replaces the line that begins with its key."""
    lines = (HEAD + KINDS[kind]).splitlines()
    for key, line in changes.items():
        at = [n for n, one in enumerate(lines) if one.lstrip().startswith(f"{key}:")]
        assert at, key
        lines[at[0]] = lines[at[0]][: len(lines[at[0]]) - len(lines[at[0]].lstrip())] + line
    return "\n".join(lines) + "\n"


@cache
def make_question(kind: str = "number", **changes: str) -> Question:
    """The question of such a file."""
    return load_question(make_text(kind, **changes), FILE)
