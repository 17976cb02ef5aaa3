"""The verbs. Nothing heavy is imported here, so that ``--help`` answers at once; a verb loads what it needs."""

from __future__ import annotations

from pathlib import Path

import click

FILE = click.argument("file", type=click.Path(path_type=Path))
JSON = click.option("--json", "as_json", is_flag=True, help="Print the record instead of the table.")


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="headrace", prog_name="headrace")
def main() -> None:
    """Work out a small machine's electric drive, from the power its work needs to a pack you can trust.

    Start with:  headrace new mower my-mower.toml
    """


@main.command()
@click.argument("starter", type=click.Choice(["mower"]))
@click.argument("file", type=click.Path(path_type=Path))
def new(starter: str, file: Path) -> None:
    """Write a commented machine file to fill in.

    Example:  headrace new mower my-mower.toml
    """
    from headrace.frontends.cli import verbs

    verbs.new(starter, file)


@main.command()
@FILE
@JSON
def losses(file: Path, as_json: bool) -> None:
    """Show where each watt goes, from the tool back to the cells.

    Example:  headrace losses my-mower.toml
    """
    from headrace.frontends.cli import verbs

    verbs.losses(file, as_json)


@main.command()
@FILE
@JSON
def packs(file: Path, as_json: bool) -> None:
    """Show which packs work, in series and parallel, and why the others don't. Exit 1 when none does.

    Example:  headrace packs my-mower.toml
    """
    from headrace.frontends.cli import verbs

    verbs.packs(file, as_json)


@main.command()
@FILE
@JSON
def day(file: Path, as_json: bool) -> None:
    """Work through the job until it is done or something ends it.

    Example:  headrace day my-mower.toml
    """
    from headrace.frontends.cli import verbs

    verbs.day(file, as_json)


@main.command()
@FILE
@JSON
def check(file: Path, as_json: bool) -> None:
    """Say what a careful colleague would say. Exit 1 when something must stop the plan.

    Example:  headrace check my-mower.toml
    """
    from headrace.frontends.cli import verbs

    verbs.check(file, as_json)


@main.command()
@FILE
@click.option("--out", required=True, type=click.Path(path_type=Path, file_okay=False), help="Folder to write into.")
@JSON
def design(file: Path, out: Path, as_json: bool) -> None:
    """Do the whole job and write results.json and report.html. Exit 1 when something must stop the plan.

    Example:  headrace design my-mower.toml --out my-mower
    """
    from headrace.frontends.cli import verbs

    verbs.design(file, out, as_json)
