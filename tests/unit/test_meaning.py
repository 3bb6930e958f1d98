"""Equations as they are written beside answers: what they may say, and their value for a row's numbers."""

import dataclasses

import numpy as np
import pytest

from airfettle.air.constants import CP_DRY_AIR, CP_VAPOUR, R_DRY_AIR
from airfettle.air.moist import dew_point, saturation_humidity_ratio, vapour_pressure
from airfettle.studies.meaning import FUNCTIONS, Meaning, answer, evaluated, meanings, names_in, value


@dataclasses.dataclass(frozen=True)
class Result:
    speed: float = answer("speed", "rotational_speed", "N", equation="turns / time")
    turns: float = value("turns counted", "number")
    plain: float = 1.0


def test_meanings_are_of_the_declared_fields_in_order():
    found = meanings(Result)
    assert list(found) == ["speed", "turns"]
    assert found["speed"].is_answer
    assert not found["turns"].is_answer
    assert found == meanings(Result())


def test_a_meaning_names_what_its_equation_uses():
    assert meanings(Result)["speed"].uses == ("turns", "time")
    assert meanings(Result)["turns"].uses == ()


def test_it_rests_on_physics_unless_it_says_otherwise():
    assert Meaning("x", "number").sources == ("physics",)
    assert Meaning("x", "number", sources=("nec",)).sources == ("nec",)


@pytest.mark.parametrize(
    ("equation", "names"),
    [
        ("", ()),
        ("a", ("a",)),
        ("2 * pi * speed", ("speed",)),
        ("a + b * a", ("a", "b")),
        ("dew_point(ratio, pressure)", ("ratio", "pressure")),
        ("R_DRY_AIR * log10(x) / CP_VAPOUR", ("x",)),
        ("3", ()),
    ],
)
def test_names_leave_out_functions_and_constants_and_stand_once(equation, names):
    assert set(names_in(equation)) == set(names)
    assert len(names_in(equation)) == len(names)


@pytest.mark.parametrize(
    ("equation", "expected"),
    [
        ("a + b", 8.0),
        ("a - b", 4.0),
        ("a * b", 12.0),
        ("a / b", 3.0),
        ("a ** b", 36.0),
        ("-a", -6.0),
        ("-a ** b", -36.0),
        ("(a - 1) / (b + 3)", 1.0),
        ("a - b - 1", 3.0),
        ("a / b / 3", 1.0),
        ("b ** 3 ** 2", 512.0),
        ("sqrt(a * 6)", 6.0),
        ("exp(log10(1)) * 2", 2.0),
        ("minimum(a, b) + maximum(a, b)", 8.0),
        ("2.5e1", 25.0),
        ("pi", np.pi),
        ("R_DRY_AIR + CP_DRY_AIR + CP_VAPOUR", R_DRY_AIR + CP_DRY_AIR + CP_VAPOUR),
    ],
)
def test_values(equation, expected):
    assert evaluated(equation, {"a": 6.0, "b": 2.0}) == pytest.approx(expected, rel=1e-15)


@pytest.mark.parametrize("equation", ["a + b * a ** 2 - 1 / b", "sqrt(a) * maximum(b, 1)", "-(a - b) / -b"])
def test_an_equation_means_what_it_means_in_arithmetic(equation):
    numbers = {"a": 1.7, "b": 0.6}
    plain = {name: function for name, function in FUNCTIONS.items() if isinstance(function, np.ufunc)}
    assert evaluated(equation, numbers) == pytest.approx(eval(equation, plain | numbers), rel=1e-14)


def test_arrays_broadcast():
    found = evaluated("a * b", {"a": np.ones((3, 1, 2)), "b": np.arange(4.0)[None, :, None]})
    assert found.shape == (3, 4, 2)
    assert found.dtype == np.float64


def test_moist_air_functions_take_ratio_or_temperature_then_pressure():
    numbers = {"ratio": 0.01, "t": 300.0, "p": 9e5}
    assert evaluated("dew_point(ratio, p)", numbers) == dew_point(0.01, pressure=9e5)
    assert evaluated("saturation_humidity_ratio(t, p)", numbers) == saturation_humidity_ratio(300.0, pressure=9e5)
    assert evaluated("vapour_pressure(ratio, p)", numbers) == vapour_pressure(0.01, pressure=9e5)


@pytest.mark.parametrize(
    "equation",
    ["a if b else a", "a.real", "a[0]", "lambda: a", "[a, b]", "a and b", "a // b", "a % b", "not a", "'a'.upper()",
     "(lambda: 1)()", "sqrt(x=a)"],
)  # fmt: skip
def test_nothing_else_may_stand_in_an_equation(equation):
    with pytest.raises((TypeError, KeyError)):
        evaluated(equation, {"a": 6.0, "b": 2.0})


@pytest.mark.parametrize("equation", ["missing + 1", "open(a)", "__import__(a)"])
def test_only_the_rows_fields_and_the_listed_functions_are_known(equation):
    with pytest.raises(KeyError):
        evaluated(equation, {"a": 6.0})


def test_it_is_python_that_cannot_be_read_otherwise():
    with pytest.raises(SyntaxError):
        evaluated("a +", {"a": 1.0})
