"""The mark of a law: ranges, masks in lanes, and the refusal of a law called by hand outside its range."""

from __future__ import annotations

import inspect
from math import inf, nan

import numpy as np
import pytest

from headrace.errors import HeadraceError, MachineFileError, NotSettled, OutOfRange, TableError
from headrace.physics.conductors import wire_resistance
from headrace.physics.law import Scalar, check, law, law_of, outside
from headrace.physics.loads import air_density


def test_a_law_knows_the_function_it_wraps() -> None:
    assert law_of(wire_resistance).function is inspect.unwrap(wire_resistance)
    assert law_of(wire_resistance).name == "wire_resistance"


def test_outside_marks_the_lanes_out_of_range_and_those_that_are_no_number() -> None:
    mask = outside(wire_resistance, length=2.0, temperature=np.array([293.0, 600.0, nan, 233.0, 232.9]))
    assert mask.tolist() == [False, True, True, False, True]


def test_outside_joins_its_parameters_by_broadcasting() -> None:
    mask = outside(wire_resistance, area=np.array([[1e-6], [0.0]]), temperature=np.array([300.0, 900.0]))
    assert mask.tolist() == [[False, True], [True, True]]


def test_a_parameter_without_range_must_still_be_a_number() -> None:
    assert outside(wire_resistance, rho_20=nan)
    assert not outside(wire_resistance, rho_20=1.7e-8)


def test_a_law_called_by_hand_out_of_range_is_refused_by_name() -> None:
    check(air_density, temperature=293.15, pressure=101325.0)
    with pytest.raises(OutOfRange) as caught:
        check(air_density, temperature=np.array([293.15, 20.0, 30.0]))
    error = caught.value
    assert (error.law, error.parameter, error.value) == ("air_density", "temperature", 20.0)
    assert (error.low, error.high) == law_of(air_density).valid["temperature"]


def test_an_unknown_parameter_is_refused() -> None:
    with pytest.raises(TypeError, match="has no parameter speed"):
        outside(air_density, speed=1.0)


def test_a_plain_function_is_no_law() -> None:
    with pytest.raises(TypeError, match="is no law"):
        outside(len, obj=1.0)


@pytest.mark.parametrize("valid", [{"voltage": (0.0, 1.0)}, {"current": (1.0, 0.0)}, {"current": (nan, 1.0)}])
def test_a_range_that_makes_no_sense_is_refused_at_import(valid: dict[str, tuple[float, float]]) -> None:
    def some_new_law(current: Scalar) -> Scalar:
        return current

    with pytest.raises(TypeError):
        law(valid=valid)(some_new_law)


def test_a_name_can_be_taken_once() -> None:
    def air_density(temperature: Scalar) -> Scalar:
        return temperature

    with pytest.raises(TypeError, match="already a law"):
        law(valid={"temperature": (0.0, inf)})(air_density)


def test_errors_carry_their_fields() -> None:
    file = MachineFileError("mower.toml", ["a", "b"])
    assert (file.file, file.problems, str(file)) == ("mower.toml", ("a", "b"), "mower.toml cannot be used (2 problems)")
    table = TableError("cells", 3, "no source")
    assert (table.table, table.row, table.what) == ("cells", 3, "no source")
    loop = NotSettled("mass of the pack", "mass")
    assert (loop.loop, loop.number) == ("mass of the pack", "mass")
    assert all(isinstance(error, HeadraceError) for error in (file, table, loop))
