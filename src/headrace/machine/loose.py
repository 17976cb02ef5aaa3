"""Reading what is there in a file that may be wrong: what is not as it should be reads as nothing."""

from __future__ import annotations

from typing import Any, get_args

from headrace.machine.form import quantity_of
from headrace.machine.form_links import LINK_KINDS
from headrace.machine.form_table import Table
from headrace.machine.quantities import NotAQuantity, Quantity


def table(value: Any) -> dict[str, Any]:
    """Return a table, an empty one for anything else."""
    return value if isinstance(value, dict) else {}


def tables(value: Any) -> list[dict[str, Any]]:
    """Return the tables of a list, none for anything else."""
    return [table(part) for part in value] if isinstance(value, list) else []


def text(value: Any) -> str:
    """Return text, "" for anything else."""
    return value if isinstance(value, str) else ""


def number(form: type[Table], entries: dict[str, Any], key: str) -> float | None:
    """Return the typical value of a key, or None where there is none that can be read."""
    quantity = quantity_of(form, key)
    if quantity is None or key not in entries:
        return None
    try:
        return quantity.read(entries[key]).typical
    except NotAQuantity:
        return None


def quantity_in(form: Any, value: Any) -> float | None:
    """Return the typical value of what stands in a list, by its annotated form, or None where it cannot be read."""
    quantity = next(m for m in get_args(form) if isinstance(m, Quantity))
    try:
        return quantity.read(value).typical
    except NotAQuantity:
        return None


def link_name(link: dict[str, Any]) -> str:
    """Return what a link is called: by its own name, or that of its kind."""
    form = LINK_KINDS.get(text(link.get("kind")))
    return text(link.get("name", form.model_fields["name"].default if form else ""))
