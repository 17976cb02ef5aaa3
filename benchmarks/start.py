"""The start of ``headrace --help`` against a bare interpreter."""

from __future__ import annotations

import subprocess
import sys

from benchmarks.side_by_side import least_times

HELP = "from headrace.frontends.cli.main import main; main(['--help'])"
WHAT_IS_LOADED = HELP.replace("; main(['--help'])", "; import sys; print('numpy' in sys.modules)")


def run(code: str) -> str:
    """Run a line in a fresh interpreter."""
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout


def main(rounds: int = 15) -> None:
    """Time both."""
    least = least_times({"bare": lambda: run("pass"), "help": lambda: run(HELP)}, rounds)
    print(f"headrace --help: {least['help'] / least['bare']:.1f} times a bare interpreter")
    print(f"  numpy loaded: {run(WHAT_IS_LOADED).strip()}")
