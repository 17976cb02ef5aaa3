"""The trace: the channels of a run over time, as data."""

from __future__ import annotations

from typing import Any

from headrace.design.bands import channel, drawn
from headrace.drive.tools import tool_of
from headrace.machine.records import Machine
from headrace.runs.run import Run


def trace_record(machine: Machine, run: Run) -> dict[str, Any]:
    """Return the channels of a run over time: typical, and the ends of the band of the draws that still run."""
    trace = run.trace
    if trace is None:
        return {"time_s": []}
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
        **columns,
    }
