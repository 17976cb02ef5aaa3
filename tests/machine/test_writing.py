"""Writing back: what was not touched stays to the letter, what was is read back, and a file is whole or not there."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from headrace.errors import MachineFileError
from headrace.machine import STARTERS, edit, read_text, save, starter

TEXT = (Path(__file__).parent / "plan.toml").read_text(encoding="utf-8")
STARTER = starter("mower")


def changed_lines(before: str, after: str) -> int:
    kept = set(before.split("\n"))
    return sum(line not in kept for line in after.split("\n"))


def controller(data: Any) -> Any:
    return next(link for link in data["chains"][0]["links"] if link["kind"] == "controller")


def test_one_number_changes_one_line_and_its_comment_stays() -> None:
    after = edit(STARTER, {"chains.blade.motor.resistance": "75 mΩ"})
    assert changed_lines(STARTER, after) == 1
    assert 'resistance = "75 mΩ"        # between the terminals, at 25 °C' in after


def test_nothing_to_write_changes_nothing() -> None:
    assert edit(STARTER, {}) == STARTER


@pytest.mark.parametrize(
    ("address", "value", "found"),
    [
        ("source.series", 12, lambda d: d["source"]["series"]),
        ("source.cell", "lfp-26650", lambda d: d["source"]["cell"]),
        ("source.cell.capacity", "4.8 Ah", lambda d: d["source"]["cell"]["capacity"]),
        ("source.gap", "1 mm", lambda d: d["source"]["gap"]),
        ("chains.blade.work.mass", "1 kg", lambda d: d["chains"][0]["work"]["mass"]),
        ("chains.blade.controller.cut_out", "26 V", lambda d: controller(d)["cut_out"]),
        ("job.speed", "1 m/s", lambda d: d["job"]["speed"]),
        ("job.tall grass.wet_factor", 1.3, lambda d: d["job"]["states"][1]["wet_factor"]),
        ("limits.box", ["1 m", "2 m", "3 m"], lambda d: d["limits"]["box"]),
        ("safety.charging.coldest", "-5 °C", lambda d: d["safety"]["charging"]["coldest"]),
        ("safety.dead_man", False, lambda d: d["safety"]["dead_man"]),
        ("chains.blade.work.windage", {"low": 0.005, "high": 0.02}, lambda d: d["chains"][0]["work"]["windage"]),
    ],
)
@pytest.mark.parametrize("text", [TEXT, STARTER], ids=["plan", "starter"])
def test_a_value_goes_to_its_address_and_nowhere_else(
    text: str, address: str, value: Any, found: Callable[[Any], Any]
) -> None:
    after = edit(text, {address: value})
    assert found(tomllib.loads(after)) == value
    assert changed_lines(text, after) <= 2
    read_text(after)
    comments = [line.split("#", 1)[1] for line in text.split("\n") if "#" in line]
    assert [line.split("#", 1)[1] for line in after.split("\n") if "#" in line][-5:] == comments[-5:]


def test_tables_that_are_missing_are_added() -> None:
    bare = TEXT[: TEXT.index("[limits]")]
    after = edit(bare, {"limits.time": "40 min", "safety.charging.cold_lock": True, "source.cell.mass": "70 g"})
    read = read_text(after).machine
    assert read.limits.time_wanted == 2400.0
    assert read.safety.charging_lock
    assert read.source.cell.mass == 0.07


def test_a_link_without_a_name_is_found_by_its_kind() -> None:
    text = TEXT.replace('name = "motor"\n', "").replace('name = "cable"\n', "")
    after = edit(text, {"chains.blade.motor.resistance": "80 mΩ", "chains.blade.cable.length": "2 m"})
    assert changed_lines(text, after) == 2


@pytest.mark.parametrize("address", ["chains.wheel.work.mass", "chains.blade.gearbox.ratio", "job.rough.sward"])
def test_an_address_that_names_nothing_is_told(address: str) -> None:
    with pytest.raises(KeyError, match=address.replace(".", r"\.")):
        edit(TEXT, {address: "1"})


def test_a_text_that_is_no_toml_is_refused() -> None:
    with pytest.raises(MachineFileError, match="no sound TOML"):
        edit("[machine\n", {"source.series": 1})


# --- saving -----------------------------------------------------------------------------------------


def test_saving_replaces_the_whole_file(tmp_path: Path) -> None:
    file = tmp_path / "mower.toml"
    save(file, "first\r\n")
    save(file, "zweite Fassung ²\n")
    assert file.read_bytes() == "zweite Fassung ²\n".encode()
    assert [path.name for path in tmp_path.iterdir()] == ["mower.toml"]


def test_when_saving_fails_the_old_file_is_whole_and_nothing_is_left_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "mower.toml"
    save(file, "old\n")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space"):
        save(file, "new\n")
    assert file.read_text(encoding="utf-8") == "old\n"
    assert [path.name for path in tmp_path.iterdir()] == ["mower.toml"]


def test_the_text_is_on_the_disk_before_it_takes_the_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    done: list[str] = []
    sync, replace = os.fsync, Path.replace

    def noted_sync(handle: int) -> None:
        done.append("sync")
        sync(handle)

    def noted_replace(self: Path, target: Path) -> Path:
        done.append("replace")
        assert self.parent == target.parent  # another folder may be another disk
        return replace(self, target)

    monkeypatch.setattr(os, "fsync", noted_sync)
    monkeypatch.setattr(Path, "replace", noted_replace)
    save(tmp_path / "mower.toml", "text\n")
    assert done == ["sync", "replace"]


def test_a_folder_that_is_not_there_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="No such file"):
        save(tmp_path / "nowhere" / "mower.toml", "text\n")


# --- starters -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", STARTERS)
def test_a_starter_can_be_used_as_it_is_and_explains_itself(kind: str) -> None:
    text = starter(kind)
    reading = read_text(text)
    assert reading.doubts == ()
    assert sum("#" in line for line in text.split("\n")) > 40
    assert max(map(len, text.split("\n"))) <= 120


@pytest.mark.parametrize("kind", STARTERS)
def test_what_a_starter_shows_behind_a_comment_sign_can_be_used_too(kind: str) -> None:
    """Each commented key is taken in on its own, in its own table; a commented table is taken in whole."""
    lines = starter(kind).split("\n")
    keys = {n for n, line in enumerate(lines) if line.startswith("# ") and " = " in line and not line.startswith("#  ")}
    tables: list[set[int]] = []
    for place in (n for n, line in enumerate(lines) if line.startswith("# [")):
        if not any(place in table for table in tables):
            rows = range(place, lines.index("", place))
            tables.append({n for n in rows if n in keys or lines[n].startswith("# [")})
    alone = keys.difference(*tables)
    assert len(keys) > 10
    for taken in (*({place} for place in alone), *tables):
        read_text("\n".join(line[2:] if n in taken else line for n, line in enumerate(lines)))
