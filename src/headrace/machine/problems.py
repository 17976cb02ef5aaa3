"""Problems of a machine file: where, what, why, and the way out; all of them at once."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, NoReturn

from headrace.errors import MachineFileError
from headrace.machine.loose import link_name, table
from headrace.machine.places import Path

SHOWN = 60  # characters of a value shown in a message


@dataclass(frozen=True)
class Problem:
    """One thing that keeps a file from being used, or that is asked about."""

    file: str
    line: int  # 0 for the file as a whole
    key: str
    value: str  # as TOML writes it; "" where there is none
    limit: str
    hint: str = ""

    def __str__(self) -> str:
        """Return place and value, what must be, and the way out, a line each."""
        place = f"{self.file}:{self.line}" if self.line else self.file
        said = [f"  {place}  {self.key}" + (f" = {self.value}" if self.value else ""), f"    {self.limit}"]
        if self.hint:
            said.append(f"    way out: {self.hint}")
        return "\n".join(said)


def refuse(file: str, problems: Iterable[Problem]) -> NoReturn:
    """Raise what makes a file unusable, in the order of its lines; behind them what another file it names has wrong."""
    found = sorted(set(problems), key=lambda problem: (problem.file != file, problem.line, problem.key, problem.limit))
    error = MachineFileError(file, found)
    error.args = (sentence(file, found),)  # printed, the error says all it holds
    raise error


def sentence(file: str, problems: Sequence[Problem]) -> str:
    """Return the whole message of an unusable file."""
    count = f"{len(problems)} problem{'' if len(problems) == 1 else 's'}"
    return "\n".join([f"error: {file} cannot be used ({count})", *(str(problem) for problem in problems)])


def key_of(path: Path, data: Any = None) -> str:
    """Return a path as the address a person would write: ``chains.blade.controller.speed``, ``limits.box[1]``.

    Parameters
    ----------
    path
        In the file.
    data
        The file as read; what has no name of its own in it goes by its place: ``job.states[1].power``.
    """
    key = ""
    for place, part in enumerate(path):
        entries = data if isinstance(data, list) else []
        data = _inside(data, part)
        asked = path[place + 1 :] == ("name",)  # the name itself is in question
        name = _own_name(data, entries, key) if isinstance(part, int) and not asked else ""
        if name:
            key = re.sub(r"\.(links|states)$", "", key) + f".{name}"
        else:
            key += f"[{part}]" if isinstance(part, int) else f".{part}" if key else str(part)
    return key or "the file"


def _inside(data: Any, part: int | str) -> Any:
    if isinstance(data, dict):
        return data.get(str(part))
    return data[part] if isinstance(data, list) and isinstance(part, int) and part < len(data) else None


def _own_name(entry: Any, entries: list[Any], key: str) -> str:
    """Return what an entry of a list is called; "" where it has no sound name, or shares it with another."""
    if not re.fullmatch(r"chains|chains\.[^.]+\.links|job\.states|variants|cells|motors|balance\.(out|put_in)", key):
        return ""
    names = [link_name(table(other)) for other in entries]
    name = link_name(table(entry))
    return name if name and names.count(name) == 1 and not re.search(r"[.\[\]\n]", name) else ""


def shown(value: Any) -> str:
    """Return a value as TOML writes it, cut to a line."""
    if isinstance(value, str):
        text = '"' + value.replace("\n", "\\n") + '"'
    elif isinstance(value, bool):
        text = str(value).lower()
    elif isinstance(value, dict):
        text = "{ " + ", ".join(f"{key} = {shown(part)}" for key, part in list(value.items())[:4]) + " }"
    elif isinstance(value, list):
        text = "[" + ", ".join(shown(part) for part in value[:4]) + "]"
    else:
        text = str(value)
    return text if len(text) <= SHOWN else text[: SHOWN - 1] + "…"
