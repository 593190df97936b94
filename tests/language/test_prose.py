"""Prose: clean HTML, numbers as the learner reads them, nothing that could run."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.documents import Faults, Place
from trainer.language.names import Name, Scope, pair_of_units
from trainer.language.prose import ProseReader
from trainer.language.source import Source
from trainer.quantities.dimensions import LENGTH, PLAIN
from trainer.quantities.units import unit

SCOPE = Scope(
    {
        "gap": Name("gap", LENGTH, pair_of_units(unit("in"))),
        "span": Name("span", LENGTH, None),
        "share": Name("share", PLAIN, pair_of_units(unit("1"))),
    }
)
VALUES = {"gap": 10 * 0.0254, "span": 12 * 0.3048, "share": 0.125}


def read(text, inline=False):
    faults = Faults()
    prose = ProseReader(Source(text, "f"), SCOPE, faults).read(text, Place("f", 1, 1), inline)
    return prose, list(faults)


def html(text, language="en", system="us"):
    prose, faults = read(text)
    assert not faults
    return prose.html(VALUES, language, system).replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("text", "language", "system", "wanted"),
    [
        ("**{{ gap }}** wide", "en", "us", "<p><strong>10 in</strong> wide</p>"),
        ("{{ gap }}", "es", "us", "<p>10 pulg</p>"),
        ("{{ gap }}", "en", "metric", "<p>25.4 cm</p>"),
        ("{{ gap }}", "es", "metric", "<p>25,4 cm</p>"),
        ("{{ span }}", "en", "us", "<p>12 ft</p>"),
        ("{{ span }}", "en", "metric", "<p>3.658 m</p>"),
        ("{{ span : in }}", "en", "us", "<p>144 in</p>"),
        ("{{ span : in }}", "en", "metric", "<p>365.8 cm</p>"),
        ("{{ span : in! }}", "en", "metric", "<p>144 in</p>"),
        ("{{ span : ft in }}", "en", "us", "<p>12 ft 0 in</p>"),
        ("{{ span : in .2 }}", "en", "us", "<p>144.00 in</p>"),
        ("{{ span : .1 }}", "en", "us", "<p>12.0 ft</p>"),
        ("{{ share : % }}", "en", "us", "<p>12.5%</p>"),
        ("{{ share : % .0 }}", "es", "us", "<p>12 %</p>"),
        ("{{ share }}", "es", "us", "<p>0,125</p>"),
        ("{{ shown(gap) }}", "en", "us", "<p>10</p>"),
        ("{{ shown(gap) }}", "en", "metric", "<p>25.4</p>"),
        ("{{ gap + 2 * inch }}", "en", "us", "<p>12 in</p>"),
        ("{{ span / gap : x .1 }}", "en", "us", "<p>14.4×</p>"),
    ],
)
def test_writes_numbers_as_they_are_read(text, language, system, wanted):
    assert html(text, language, system) == wanted


def test_links_terms_to_the_glossary():
    prose, faults = read("The [excess gain](term:excess_gain) is {{ share }}.")
    assert not faults
    assert prose.terms == {"excess_gain"}
    assert '<a href="/glossary#excess_gain" class="term"' in prose.html(VALUES, "en", "us")


def test_numbers_written_as_digits_are_known():
    prose, _ = read("Rule 1910.147 asks 3 locks, 1,200 pulses, 4.5 V, {{ gap }} and two eyes; eye2 does not.")
    assert prose.numerals == (1910.147, 3.0, 1200.0, 4.5)


HOSTILE = [
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "<a href='javascript:alert(1)'>x</a>",
    "<svg/onload=alert(1)>",
    "<style>*{}</style>",
    "&lt;script&gt;",
    "`<script>`",
    "```\n<script>\n```",
    '<https://x.example/"onmouseover=alert(1)>',
    "{{ gap }}<b onclick=x>",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_no_markup_of_the_text_itself_survives(text):
    prose, _ = read(text)
    found = prose.html(VALUES, "en", "us").lower()
    assert not any(
        mark in found for mark in ("<script", "<img", "<svg", "<style", "<b ", 'href="java', '" on')
    )


@pytest.mark.parametrize(
    "text",
    ["![a](b.png)", "[a](javascript:alert(1)) [b](data:x)", "[a](/admin)", "[a](//x.example)", "{{ open(1) }}",
     "{{ ''.format }}", "{{ gap.real }}", "{{", "}}", "{% if 1 %}", "{{ gap : furlong }}", "{{ gap : s }}",
     "{{ gap : .9 }}", "{{ gap > span }}", "{{ }}", "\ue000"],
)  # fmt: skip
def test_refuses(text):
    prose, faults = read(text)
    assert faults and all(fault.wrong and fault.mend for fault in faults)
    assert "javascript:" not in prose.html(VALUES, "en", "us").partition("href")[2]


links = st.text(alphabet='[]()<>!`*_:/"&ahtmsjv.ref= \n', max_size=60)


@given(st.one_of(st.text(max_size=200), links))
def test_any_text_is_refused_or_clean(text):
    prose, faults = read(text)
    found = prose.html(VALUES, "en", "us").lower()
    assert "<script" not in found
    addresses = re.findall(r'href="([^"]*)"', found)
    assert faults or all(address.startswith(("/glossary#", "https://")) for address in addresses)


def test_a_number_without_value_is_a_dash():
    prose, _ = read("{{ 1 / (share - 0.125) }}")
    assert prose.html(VALUES, "en", "us") == "<p>—</p>"
