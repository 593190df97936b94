"""What of a question is still without words in a language, and how it can be looked at before they are written."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from trainer.language.drafting.sketch import Sketch
from trainer.language.drafting.values import Text


def without_words(sketch: Sketch, language: str) -> Iterator[str]:
    """Where words stand in another language and not in this one: `ask`, `t0` a step, `s1` a slip, `o2` an option."""
    places = [("ask", sketch.ask), *((f"t{at}", one) for at, one in enumerate(sketch.steps))]
    places += [(f"s{at}", one.because) for at, one in enumerate(sketch.slips)]
    for at, option in enumerate(sketch.options):
        places += [(f"o{at}", option.text), (f"o{at}", option.because)]
    places += [("caution", sketch.cautioned), ("source", sketch.source)]
    if sketch.photo and not sketch.shows[language]:
        yield "photo"  # its words are asked for even where no language has any yet
    yield from dict.fromkeys(place for place, text in places if any(text.values()) and not text[language])


def borrowed(sketch: Sketch) -> Sketch:
    """The sketch with the words of the other language where one has none: to look at, never to be saved."""

    def lend(text: Text) -> Text:
        some = next((words for words in text.values() if words), "")
        return {language: words or some for language, words in text.items()}

    return _each_text(sketch, lend)


def _each_text(sketch: Sketch, change: Callable[[Text], Text]) -> Sketch:
    return replace(
        sketch,
        ask=change(sketch.ask),
        steps=tuple(map(change, sketch.steps)),
        slips=tuple(replace(one, because=change(one.because)) for one in sketch.slips),
        options=tuple(
            replace(one, text=change(one.text), because=change(one.because)) for one in sketch.options
        ),
        cautioned=change(sketch.cautioned),
        shows=change(sketch.shows),
        source=change(sketch.source),
    )
