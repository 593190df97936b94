from trainer.language.drafting.languages import borrowed, without_words
from trainer.language.drafting.sketch import OptionLine, Sketch, SlipLine

BOTH = {"en": "How long?", "es": "¿Cuánto?"}
ENGLISH = {"en": "Divide.", "es": ""}
NONE = {"en": "", "es": ""}


def test_names_what_has_no_words_in_a_language_and_lends_it_the_other_s():
    sketch = Sketch(
        ask=BOTH, steps=(BOTH, ENGLISH), slips=(SlipLine("wrong", "1", ENGLISH),),
        options=(OptionLine("a", True, ENGLISH, ENGLISH),),
    )  # fmt: skip
    assert list(without_words(sketch, "es")) == ["t1", "s0", "o0"]
    assert list(without_words(sketch, "en")) == []
    lent = borrowed(sketch)
    assert list(without_words(lent, "es")) == []
    assert (lent.ask, lent.steps[1]["es"], lent.source) == (BOTH, "Divide.", NONE)
