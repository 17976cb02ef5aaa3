"""What is read as written but asked about: numbers that could be right and probably are not."""

from __future__ import annotations

from collections.abc import Iterator

from headrace.machine.efficiencies import fit
from headrace.machine.form import File
from headrace.machine.form_source import CellsTable, CellTable
from headrace.machine.form_works import WheelsTable
from headrace.machine.records import Machine
from headrace.machine.shelf import Shelf
from headrace.machine.wording import Said
from headrace.physics import balance as weights
from headrace.physics import loads
from headrace.tables import Row

# Conventions of ours, wide enough for real cells and real lawns.
SAME = 0.12  # a capacity this near to a whole group's is taken for it
TOO_MUCH = 1.6  # times the capacity of the shelf's cell of the same size
LABEL = 0.15  # a label's energy may be off capacity times nominal voltage by this much
WEIGHED = 0.1  # the mass at driven wheels may be off that of the balance by this much
MISSED = 0.03  # of the input power, by which a row of efficiencies may lie off the losses of its link
PLAN = 0.25  # the time wanted may be off the time the area takes by this much


def doubts(file: File, machine: Machine, shelf: Shelf) -> Iterator[Said]:
    """Yield what should be asked about a file that can be used."""
    if isinstance(file.source, CellsTable):
        cell = file.source.cell
        row = shelf.part("cells", cell.shelf).typical
        if row["form"] != "block":  # which is made in every size
            yield from _counted_twice(cell, row, file.source.parallel)
        yield from _label(cell, machine)
    yield from _efficiencies(file)
    yield from _time(file, machine)
    yield from _weighed_twice(file, machine)


def _efficiencies(file: File) -> Iterator[Said]:
    """Ask about the row of a table of efficiencies that the link's own law misses most."""
    for place, chain in enumerate(file.chains):
        for k, link in enumerate(chain.links):
            rows = getattr(link, "efficiencies", None)
            if rows is None:
                continue
            made = fit(link).efficiencies
            worst = max(range(len(rows)), key=lambda row: abs(made[row] - rows[row][-1].typical))
            if abs(made[worst] - rows[worst][-1].typical) > MISSED:
                said = f"but losses that go with the other rows would make it {made[worst]:.0%}: was it read rightly?"
                hint = "take the rows at one temperature, and all meters at one time"
                yield ("chains", place, "links", k, "efficiencies", worst), rows[worst][-1].text, said, hint


def _counted_twice(cell: CellTable, row: Row, parallel: int) -> Iterator[Said]:
    """Ask when the capacity is that of a group, or more than a cell of this size holds."""
    if cell.capacity is None:
        return
    times = cell.capacity.typical / float(row["capacity"])
    path = ("source", "cell", "capacity")
    one = f'"{cell.capacity.typical / 3600.0 / parallel:.3g} Ah"'
    if parallel > 1 and abs(times / parallel - 1.0) < SAME:
        said = f"is about {parallel} cells' worth, and parallel = {parallel} counts them again: is it that of one cell?"
        yield path, cell.capacity.text, said, f"if it is the group's, write {one}"
    elif times > TOO_MUCH:
        said = f"is {times:.1f} times that of the shelf's {cell.shelf}: is it that of one cell?"
        hint = f"if {parallel} in parallel are in it, write {one}" if parallel > 1 else ""
        yield path, cell.capacity.text, said, hint


def _label(cell: CellTable, machine: Machine) -> Iterator[Said]:
    """Ask when the label's energy is not capacity times nominal voltage."""
    if cell.energy is None:
        return
    made = machine.source.cell
    expected = float(made.capacity * made.nominal_voltage)
    if abs(cell.energy.typical / expected - 1.0) > LABEL:
        said = f"does not go with capacity times nominal voltage, {expected / 3600.0:.3g} Wh: which is right?"
        yield ("source", "cell", "energy"), cell.energy.text, said, ""


def _time(file: File, machine: Machine) -> Iterator[Said]:
    """Ask when the wanted time and the area do not go together."""
    wanted, job = file.limits.time, machine.job
    if wanted is None or file.job.area is None:
        return
    takes = float(job.area / loads.field_capacity(job.width, job.travel_speed, job.field_efficiency))
    if abs(wanted.typical / takes - 1.0) > PLAN:
        said = f"but the area takes {takes / 60.0:.0f} min at this width, pace and field efficiency: which is meant?"
        yield ("limits", "time"), wanted.text, said, ""


def _weighed_twice(file: File, machine: Machine) -> Iterator[Said]:
    """Ask when driven wheels carry another mass than the balance comes to without the pack."""
    plan = machine.balance
    if plan is None:
        return
    out, put_in = ([float(part.mass) for part in parts] for parts in (plan.out, plan.put_in))
    converted = float(weights.changed_mass(plan.mass, out, put_in))
    for place, chain in enumerate(file.chains):
        if isinstance(chain.work, WheelsTable) and abs(chain.work.mass.typical / converted - 1.0) > WEIGHED:
            said = f"but the balance comes to {converted:.3g} kg without the pack: which is right?"
            yield ("chains", place, "work", "mass"), chain.work.mass.text, said, ""
