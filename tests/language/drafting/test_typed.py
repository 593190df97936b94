import pytest

from trainer.language.drafting.typed import typed_calculation


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("3 ft ÷ speed", "(3 * foot) / speed"),
        ("gap / 80 ft/min", "gap / (80 * foot / minute)"),
        ("pulses × 2", "pulses * 2"),
        ("side^2", "side**2"),
        ("a − 0.2 s", "a - (0.2 * second)"),
        ("2 pies + 6 pulgadas", "(2 * foot) + (6 * inch)"),
        ("length - 6in", "length - (6 * inch)"),
        ("1 foot / speed", "(1 * foot) / speed"),
        ("round(pulses / 12)", "round(pulses / 12)"),
        ("2 if gap > 3 else 1", "2 if gap > 3 else 1"),
        ("1e-3 * length", "1e-3 * length"),
        ("3 * foot / speed", "3 * foot / speed"),
        ("pulses_2 * 4", "pulses_2 * 4"),
    ],
)
def test_signs_and_units_as_people_type_them(typed, meant):
    assert typed_calculation(typed) == meant
    assert typed_calculation(meant) == meant
