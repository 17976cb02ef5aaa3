"""The trace: the channels of a run over time, as data."""

from __future__ import annotations

from typing import Any

from headrace.design.bands import channel, drawn, number
from headrace.drive.links import parts
from headrace.drive.tools import tool_of
from headrace.machine.records import Machine
from headrace.machine.values import leaf
from headrace.runs.run import Run


def trace_record(machine: Machine, run: Run) -> dict[str, Any]:
    """Return the channels of a run over time: typical, and the ends of the band of the draws that still run."""
    trace = run.trace
    if trace is None:
        return {"time_s": [], "limits": []}
    names = [state.name for state in machine.job.states]
    channels = {
        "charge": trace.charge,
        "terminal_voltage_V": trace.terminal_voltage,
        "cell_voltage_V": trace.cell_voltage,
        "battery_current_A": trace.battery_current,
        tool_of(machine.chains[0].work).pace.field(): trace.pace,
        "cell_temperature_K": trace.cell_temperature,
        "winding_temperature_K": trace.winding,
    }
    steps = trace.running.reshape(len(trace.time), -1)[:, 0]  # those of the typical machine
    columns = {name: channel(values[steps], trace.running[steps]) for name, values in channels.items()}
    return {
        "time_s": [float(t) for t in trace.time[steps]],
        "state": [names[k] for k in trace.state[steps]],
        "running": [float(share) for share in drawn(trace.running)[steps].mean(axis=1)],
        "limits": limits(machine),
        **columns,
    }


def limits(machine: Machine) -> list[dict[str, Any]]:
    """Return what channels of a run are held against, by channel: of several parts the one that is met first."""

    def of(address: str) -> float:
        return machine.pedigree[address].typical

    cut_outs, windings = [], []
    for chain in machine.chains:
        row = parts(chain)
        cut_outs.append(f"chains.{chain.name}.{(row.converter or row.controller).name}.cut_out")
        windings.append(f"chains.{chain.name}.{row.motor.name}.winding_limit")
    pace = tool_of(machine.chains[0].work).pace
    held = {
        "terminal_voltage_V": max(cut_outs, key=of),
        "charge": "limits.reserve",
        "winding_temperature_K": min(windings, key=of),
        pace.field(): f"limits.{pace.key}_min",
    }
    return [
        {"channel": name, "address": address, "value": number(leaf(machine.pedigree[address], of(address)))}
        for name, address in held.items()
        if address in machine.pedigree
    ]
