"""The verbs. Nothing heavy is imported here, so that ``--help`` answers at once; a verb loads what it needs."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import click

from headrace.frontends.cli.asking import Verbs

FILE = click.argument("file", type=click.Path(path_type=Path))
JSON = click.option("--json", "as_json", is_flag=True, help="Print the record instead of the table.")
SURE = click.option(
    "--draws",
    type=click.IntRange(0, 10_000),
    default=256,
    show_default=True,
    help="Machines drawn from the bands of the numbers, to say how sure the answer is; 0 for the typical one alone.",
)
PACK_DRAWS = 16  # machines drawn for each pack of the map: there are hundreds of packs
SEED = click.option("--seed", type=click.IntRange(0), default=1, show_default=True, help="Seed of the draws.")


class Sure(NamedTuple):
    """How many draws are to say how sure an answer is, and their seed."""

    draws: int
    seed: int


@click.group(cls=Verbs, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="headrace", prog_name="headrace")
def main() -> None:
    """Work out a small machine's electric drive, from the power its work needs to a pack you can trust.

    Start with:  headrace new mower my-mower.toml
    """


@main.command()
@click.argument(
    "starter",
    type=click.Choice(
        ["mower", "tiller", "auger", "saw", "chipper", "fan", "winch", "cart", "pump", "shaft", "measured", "corded"]
    ),
)
@click.argument("file", type=click.Path(path_type=Path))
def new(starter: str, file: Path) -> None:
    """Write a commented machine file to fill in.

    Example:  headrace new mower my-mower.toml
    """
    from headrace.frontends.cli import verbs

    verbs.new(starter, file)


@main.command()
@FILE
@SURE
@SEED
@JSON
def losses(file: Path, draws: int, seed: int, as_json: bool) -> None:
    """Show where each watt goes, from the tool back to the cells.

    Example:  headrace losses my-mower.toml
    """
    from headrace.frontends.cli import verbs

    verbs.losses(file, Sure(draws, seed), as_json)


@main.command()
@FILE
@click.option(
    "--draws",
    type=click.IntRange(0, 1_000),
    default=PACK_DRAWS,
    show_default=True,
    help="Machines drawn for each pack, to say how often it works; 0 for the typical one alone.",
)
@SEED
@JSON
def packs(file: Path, draws: int, seed: int, as_json: bool) -> None:
    """Show which packs work, in series and parallel, and why the others don't. Exit 1 when none does.

    Example:  headrace packs my-mower.toml
    """
    from headrace.frontends.cli import verbs

    verbs.packs(file, Sure(draws, seed), as_json)


@main.command()
@FILE
@SURE
@SEED
@JSON
def day(file: Path, draws: int, seed: int, as_json: bool) -> None:
    """Work through the job until it is done or something ends it.

    Example:  headrace day my-mower.toml
    """
    from headrace.frontends.cli import verbs

    verbs.day(file, Sure(draws, seed), as_json)


@main.command()
@FILE
@SURE
@SEED
@JSON
def check(file: Path, draws: int, seed: int, as_json: bool) -> None:
    """Say what a careful colleague would say. Exit 1 when something must stop the plan.

    Example:  headrace check my-mower.toml
    """
    from headrace.frontends.cli import verbs

    verbs.check(file, Sure(draws, seed), as_json)


@main.command()
@FILE
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    help="Folder to write into; one named after FILE, here, when left out.",
)
@SURE
@SEED
@JSON
def design(file: Path, out: Path | None, draws: int, seed: int, as_json: bool) -> None:
    """Do the whole job and write results.json, report.html and the papers. Exit 1 when something must stop the plan.

    Example:  headrace design my-mower.toml
    """
    from headrace.frontends.cli import verbs

    verbs.design(file, out or Path(file.stem), Sure(draws, seed), as_json)


@main.command()
@FILE
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    help="Folder to write into; one named after FILE, here, when left out.",
)
def sheets(file: Path, out: Path | None) -> None:
    """Write the papers alone, for A4 and Letter. Exit 1 when something must stop the plan.

    Three files for each size: for the bench, for a class, and the teacher's answers.

    Example:  headrace sheets my-mower.toml
    """
    from headrace.frontends.cli import verbs

    verbs.sheets(file, out or Path(file.stem))


@main.command()
@click.argument("file", type=click.Path(path_type=Path), nargs=-1, required=True)
@SURE
@SEED
@JSON
def compare(file: tuple[Path, ...], draws: int, seed: int, as_json: bool) -> None:
    """Put machines side by side on the same job, or a file and its own variants. Exit 1 when each has a stop.

    Example:  headrace compare my-mower.toml other-mower.toml
    """
    from headrace.frontends.cli import compare as comparing

    comparing.compare(file, Sure(draws, seed), as_json)


@main.command()
@FILE
@SURE
@SEED
@JSON
def choose(file: Path, draws: int, seed: int, as_json: bool) -> None:
    """Choose motor, winding, ratio and cells from the shelf, under the file's limits. Exit 1 when nothing works.

    Example:  headrace choose my-mower.toml
    """
    from headrace.frontends.cli import choose as choosing

    choosing.choose(file, draws, seed, as_json)


@main.command()
@click.argument("kind", metavar="[CLASS]", required=False)
@click.argument("name", required=False)
@click.option(
    "--parts",
    type=click.Path(path_type=Path),
    help="A file of your own cells and motors, to stand beside the shelf's.",
)
@JSON
def shelf(kind: str | None, name: str | None, parts: Path | None, as_json: bool) -> None:
    """Show the shelf: its classes of generic parts, the parts of a CLASS, or every number of the part NAME.

    Example:  headrace shelf cells energy-21700
    """
    from headrace.frontends.cli import shelf as shelved

    shelved.shelf(kind, name, parts, as_json)


def _addresses(context: click.Context, _: click.Parameter, start: str) -> list[str]:
    """Complete an address in the shell; what cannot be read has none."""
    from headrace.frontends.cli import explain as explaining

    return [address for address in explaining.addresses(Path(context.params["target"])) if address.startswith(start)]


@main.command()
@click.argument("target")
@click.argument("address", required=False, shell_complete=_addresses)
@click.option("--list", "listed", is_flag=True, help="List every address of the file.")
@SURE
@SEED
@JSON
def explain(target: str, address: str | None, listed: bool, draws: int, seed: int, as_json: bool) -> None:
    """Show the working behind a number of a machine file, or the page of a finding.

    Example:  headrace explain my-mower.toml day.lasts_to_reserve
              headrace explain my-mower.toml packs.9s6p.mass
              headrace explain blade-coasts
    """
    from headrace.frontends.cli import explain as explaining

    explaining.explain(target, address, listed, Sure(draws, seed), as_json)
