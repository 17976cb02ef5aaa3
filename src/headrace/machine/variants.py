"""The variants of a machine file: the same text with other values at some addresses, read like any file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from headrace.errors import MachineFileError
from headrace.machine.places import Path, line_of, places
from headrace.machine.problems import Problem, refuse, shown
from headrace.machine.reading import Reading, read_text
from headrace.machine.records import Machine
from headrace.machine.wording import did_you_mean
from headrace.machine.writing import edit


def read_variants(reading: Reading) -> dict[str, Reading]:
    """Return each variant of a file, by its name, as if the file said so itself; of its doubts only those of its own.

    Parameters
    ----------
    reading
        What the file says.

    Raises
    ------
    MachineFileError
        Some variant cannot be used; the problems of all of them are carried, each at its line of this file.
    """
    file, lines = reading.machine.file, places(reading.text)
    found: dict[str, Reading] = {}
    problems: list[Problem] = []
    for place, (name, values) in enumerate(reading.variants.items()):
        here = _Here(file, lines, place, name, values)
        try:
            read = read_text(edit(reading.text, values), file, reading.folder)
        except KeyError as unknown:
            problems.append(here.unknown(str(unknown.args[0]), reading.machine))
        except MachineFileError as trouble:
            problems += here.told(trouble.problems)
        else:
            asked = {replace(doubt, line=0) for doubt in reading.doubts}
            own = [doubt for doubt in read.doubts if replace(doubt, line=0) not in asked]
            found[name] = replace(read, doubts=tuple(here.told(own)))
    if problems:
        refuse(file, problems)
    return found


class _Here:
    """One variant and where it stands in the file."""

    def __init__(self, file: str, lines: dict[Path, int], place: int, name: str, values: Mapping[str, Any]) -> None:
        self.file, self.lines, self.name, self.values = file, lines, name, values
        self.at: Path = ("variants", place)

    def told(self, problems: Iterable[Problem]) -> Iterator[Problem]:
        """Yield problems of the changed text with the variant's name, at the line that sets what is wrong."""
        for problem in problems:
            near = [a for a in self.values if problem.key.startswith(a) or a.startswith(f"{problem.key}.")]
            line = self._line(near[0]) if near else line_of(self.lines, self.at)
            yield replace(problem, line=line, key=self._key(problem.key))

    def unknown(self, address: str, machine: Machine) -> Problem:
        """Return the problem of an address that leads nowhere."""
        chains = {chain.name: [link.name for link in chain.links] for chain in machine.chains}
        known = [*chains, "work", *(name for names in chains.values() for name in names)]
        known += [state.name for state in machine.job.states]
        if machine.balance is not None:
            known += ["out", "put_in", *(part.name for part in (*machine.balance.out, *machine.balance.put_in))]
        strange = [part for part in address.split(".")[1:-1] if part not in known]
        hint = did_you_mean(strange[0], known) if strange else ""
        limit = "leads nowhere: the file has no chain, link, state or table of that name"
        value = shown(self.values[address])
        return Problem(
            self.file, self._line(address), self._key(address), value, limit, hint or f"known are {', '.join(known)}"
        )

    def _line(self, address: str) -> int:
        return line_of(self.lines, (*self.at, "set", address))

    def _key(self, key: str) -> str:
        return f'variant "{self.name}": {key}'
