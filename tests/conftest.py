"""What every test shares: repeatable random cases, and how a test asks for a program of the system."""

import os
import shutil
from pathlib import Path

import pytest
from hypothesis import settings

from tests.measured.logs import measured_data

# The suite is a seeded sample: the same cases on every machine, however slow it is.
settings.register_profile("suite", derandomize=True, deadline=None)
settings.load_profile("suite")


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Skip a test whose program is missing, or fail it where HEADRACE_REQUIRE names the program."""
    required = os.environ.get("HEADRACE_REQUIRE", "").split(",")
    for mark in item.iter_markers("needs"):
        program = mark.args[0]
        if shutil.which(program) is None:
            missing = f"{program} is not installed"
            if program in required:
                pytest.fail(f"{missing}, and HEADRACE_REQUIRE names it")
            pytest.skip(missing)


@pytest.fixture(scope="session")
def data() -> Path:
    """Return the folder of open measured data; without one the test is skipped."""
    return measured_data()
