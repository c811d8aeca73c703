"""The command line: thin commands over the kernel. Nothing heavy is imported until it is used.

A command here is its options and their help; what is asked goes, by the options' names, to the
function in `commands` that does it.
"""

from __future__ import annotations

import errno
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from outseam.cli.commands.exit_codes import BAD_INPUT, BROKEN_PIPE, DONE, FAILED, INTERRUPTED
from outseam.cli.terminal import (
    UnsaidError,
    give_up_output,
    guarded_output,
    memory_short,
    one_thread,
)
from outseam.cli.version import VERSION

if TYPE_CHECKING:
    from outseam.draft.inputs.errors import OutseamError

SPEC = click.Path(path_type=Path)


Command = TypeVar("Command", bound=Callable[..., None])


def folder_option(name: str, what: str = "the files") -> Callable[[Command], Command]:
    """Return the option for the folder that a command writes to."""
    return click.option(
        "--out",
        type=SPEC,
        default=Path(name),
        show_default=True,
        help=f"Folder for {what}; made if it is not there.",
    )


def units_option(
    what: str, units: Sequence[str] = ("cm", "in", "mm")
) -> Callable[[Command], Command]:
    """Return the option for the unit that numbers are in."""
    return click.option(
        "--units", type=click.Choice(units), default="cm", show_default=True, help=what
    )


def seconds_option(most: int, usual: float, what: str) -> Callable[[Command], Command]:
    """Return the option for how long a lay is searched for."""
    kind = click.FloatRange(0, most)
    return click.option("--seconds", type=kind, default=usual, show_default=True, help=what)


strict_option = click.option("--strict", is_flag=True, help="Exit with 1 when there are warnings.")
figures_option = click.option(
    "--figures", is_flag=True, help="Show, too, how far the draft leaves the handbook."
)
jobs_option = click.option(
    "--jobs", type=click.IntRange(1, 64), help="Processes to use (default: all cores)."
)


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96})
@click.version_option(VERSION)
def cli() -> None:
    """Draft pull-on pants from a tape: measure, draft, check, print at true scale.

    By hand and eye in the browser: outseam page
    """


@cli.command()
@click.argument("spec", type=SPEC, required=False)
@folder_option("pattern")
@strict_option
@figures_option
def draft(**asked: Any) -> None:
    """Draft the pattern of SPEC (without it: a demo) and write it, full scale, as SVG and PDF."""
    from outseam.cli.commands.draft import draft_command

    raise SystemExit(draft_command(**asked))


@cli.command()
@click.argument("spec", type=SPEC, required=False)
@folder_option("trial")
def trial(**asked: Any) -> None:
    """Write a knee-length trial of SPEC's draft, and a sheet of what to look for."""
    from outseam.cli.commands.trial import trial_command

    raise SystemExit(trial_command(**asked))


@cli.command()
@click.argument("spec", type=SPEC, required=False)
@click.option("--see", metavar="SIGN", help="What the trial shows: enter the alteration for it.")
@click.option("--amount", metavar="LENGTH", help="Another amount than the one to start with.")
@click.option("--date", metavar="DAY", help="Day of the trial, year first (default: today).")
@click.option(
    "--side",
    type=click.Choice(["left", "right"]),
    help="The wearer's side, where one leg only shows it.",
)
@click.option("--undo", is_flag=True, help="Take the last alteration off again.")
@folder_option("fit", "the page or the drawing")
def fit(**asked: Any) -> None:
    """List what a trial can show and what to alter; with --see, alter SPEC and show the change."""
    from outseam.cli.commands.fit import fit_command

    raise SystemExit(fit_command(**asked))


@cli.command()
@click.argument("spec", type=SPEC, required=False)
@folder_option("worksheet")
def worksheet(**asked: Any) -> None:
    """Write the sheet for the table, HTML and PDF: what to cut, figures, checks, sewing order."""
    from outseam.cli.commands.worksheet import worksheet_command

    raise SystemExit(worksheet_command(**asked))


@cli.command()
@click.argument("spec", type=SPEC, required=False)
@click.option("--json", "as_json", is_flag=True, help="Print all figures as JSON.")
@strict_option
@figures_option
def check(**asked: Any) -> None:
    """Draft SPEC (without it: a demo) and show measurements and checks; write nothing."""
    from outseam.cli.commands.draft import check_command

    raise SystemExit(check_command(**asked))


@cli.command()
@click.argument("specs", type=SPEC, nargs=-1)
@folder_option("lay")
@click.option("--again", is_flag=True, help="Search for a new lay instead of the one kept.")
@seconds_option(3600, 5.0, "How long to search for a lay.")
def lay(**asked: Any) -> None:
    """Lay the pieces of SPECS (without any: a demo) on the fabric: length, plan, drawing."""
    from outseam.cli.commands.lay import lay_command

    raise SystemExit(lay_command(**asked))


@cli.command()
@click.argument("spec", type=SPEC, required=False)
@click.option(
    "--width",
    "widths",
    multiple=True,
    metavar="WIDTH",
    help="A width the fabric is sold in, such as 140 or 54in; may be given again. Without it: "
    "three usual widths.",
)
@seconds_option(
    600,
    0.0,
    "How long to search for a shorter lay on each width; without it a quick one is found.",
)
def buy(**asked: Any) -> None:
    """List what to buy for SPEC: fabric by width, lining, elastic, thread, tape."""
    from outseam.cli.commands.buy import buy_command

    raise SystemExit(buy_command(**asked))


@cli.command()
@click.argument("specs", type=SPEC, nargs=-1)
@click.option(
    "--vary",
    multiple=True,
    metavar="KEY=A,B,...",
    help="A key of [style] and values to try, such as rise=high,mid,-9cm; two make a grid.",
)
@click.option("--before", type=SPEC, help="The spec before a change, with --after.")
@click.option("--after", type=SPEC, help="The spec after it.")
@click.option("--pages", is_flag=True, help="Count the A4 pages of each as well (takes longer).")
@folder_option("compare")
def compare(**asked: Any) -> None:
    """Show variants of SPECS side by side and laid on each other, with their figures."""
    from outseam.cli.commands.compare import compare_command

    raise SystemExit(compare_command(**asked))


@cli.command()
@click.argument("spec", type=SPEC, default=Path("pants.toml"))
@units_option("Unit of the numbers in the file.")
@click.option("--replace", is_flag=True, help="Write over a file that is already there.")
@click.option("--all", "every", is_flag=True, help="Write every key there is, with its help.")
def init(**asked: Any) -> None:
    """Write a spec to fill in, in the order of the measuring sheet (default: pants.toml)."""
    from outseam.cli.commands.start import init_command

    raise SystemExit(init_command(**asked))


@cli.command()
@click.option(
    "--out",
    type=SPEC,
    default=Path("measure.html"),
    show_default=True,
    help="The sheet to write, one HTML file.",
)
@units_option("Unit of the table to fill in.", ("cm", "in"))
def measure(**asked: Any) -> None:
    """Write a sheet, with drawings, on how to take each measurement."""
    from outseam.cli.commands.start import measure_command

    raise SystemExit(measure_command(**asked))


@cli.command()
@click.argument("bodies", type=SPEC)
@click.option("--style", type=SPEC, help="Spec whose fabric and style serve for all.")
@click.option("--patterns", type=SPEC, metavar="DIR", help="Folder for a folder of patterns each.")
@click.option("--json", "out", type=SPEC, help="File for the figures, one line a body.")
@units_option("Unit of bare numbers in BODIES.")
@jobs_option
@click.option("--anew", is_flag=True, help="Do not go on where an interrupted run stopped.")
def batch(**asked: Any) -> None:
    """Draft every row of BODIES, a CSV with columns named as in the spec's [body].

    Columns id, name, style and fabric (files, seen from the CSV) and units may stand beside them,
    and keys of the style such as style.leg. With --patterns every row gets a folder, all together
    a class sheet and a packet to print for each paper. The same command after an interruption goes
    on where that stopped.
    """
    from outseam.cli.commands.batch import batch_command

    raise SystemExit(batch_command(**asked))


@cli.command()
@click.argument("style", type=SPEC, required=False)
@click.option(
    "--table",
    default="en-13402-women",
    show_default=True,
    metavar="TABLE",
    help="Sizes: en-13402-women, astm-d5585-misses, a CSV with a row a size, or a grade in TOML.",
)
@folder_option("sizes")
@click.option("--patterns", is_flag=True, help="Write a folder of patterns for every size, too.")
@click.option(
    "--nest",
    type=click.Choice(["crotch", "side"]),
    help="Write all sizes laid over each other, too, their legs aligned there.",
)
@click.option("--only", default="", metavar="A,B,...", help="Only these sizes in the nest.")
@click.option("--height", metavar="LENGTH", help="Height where the table has none, such as 168cm.")
@units_option("Unit of bare numbers in a CSV.")
@click.option(
    "--as-meant",
    is_flag=True,
    help="Count only whom a size fits as the style means it, not whom it is stretched over.",
)
@jobs_option
def sizes(**asked: Any) -> None:
    """Draft STYLE, a spec, over a table of sizes; say how many people every size serves."""
    from outseam.cli.commands.sizes import sizes_command

    raise SystemExit(sizes_command(**asked))


@cli.command()
@click.argument("folder", type=SPEC, default=Path())
@click.option("--open/--no-open", "open_browser", default=True, help="Open the browser on it.")
@click.option(
    "--port", type=click.IntRange(1, 65535), help="Port to serve on (default: a free one)."
)
def page(**asked: Any) -> None:
    """Open FOLDER (default: this one) as a page in the browser: all of the job by hand and eye.

    It is served on this machine alone, at an address that only you are told. The folder is made if
    it is not there.
    """
    from outseam.cli.commands.page import page_command

    raise SystemExit(page_command(**asked))


@cli.command("list")
@click.argument("folder", type=SPEC, default=Path())
def list_specs(**asked: Any) -> None:
    """List the specs of FOLDER (default: this one): whose, and what they make."""
    from outseam.cli.commands.listing import list_command

    raise SystemExit(list_command(**asked))


def _complain(sentence: str) -> None:
    with suppress(OSError):  # nobody is left to tell
        click.echo(f"outseam: {sentence}", err=True)


def _refused(e: OutseamError) -> int:
    """Say why nothing was made; return the exit code."""
    from outseam.draft.answer import ChecksFailedError

    if not isinstance(e, ChecksFailedError):
        _complain(str(e))
        return BAD_INPUT
    from outseam.cli.wording.findings import finding_lines

    with suppress(OSError):
        for text in finding_lines(e.findings, e.units):
            click.echo(text, err=True)
    _complain(str(e))
    return FAILED


def _unsaid(reason: OSError) -> int:
    """Say what was done although its report could not be printed; return the exit code."""
    from outseam.cli.write.save import WRITTEN

    give_up_output()
    done = (
        f"wrote {', '.join(map(str, dict.fromkeys(WRITTEN)))}" if WRITTEN else "no file was written"
    )
    if reason.errno == errno.EPIPE:
        if WRITTEN:  # a reader that has seen enough is otherwise nothing to talk about
            _complain(f"{done}; the rest of the report was not read.")
        return BROKEN_PIPE
    _complain(f"the report could not be printed ({reason.strerror or reason}); {done}.")
    return BAD_INPUT


def _run(arguments: list[str] | None) -> int:
    """Run a command; return its exit code, once all it says is printed."""
    one_thread()
    if short := memory_short():
        _complain(short)
        return BAD_INPUT
    try:
        with guarded_output():
            try:
                return cli.main(args=arguments, prog_name="outseam", standalone_mode=False) or DONE
            except SystemExit as e:
                return e.code if isinstance(e.code, int) else DONE
    except UnsaidError as e:
        return _unsaid(e.reason)
    except click.UsageError as e:
        _complain(f"{e.format_message()} See: {e.ctx.command_path if e.ctx else 'outseam'} --help")
        return BAD_INPUT
    except click.exceptions.Exit as e:
        return e.exit_code
    except (click.Abort, KeyboardInterrupt):
        _complain("stopped; files that were there before are as they were.")
        return INTERRUPTED
    except MemoryError:
        _complain("there is not enough memory; close other programs and run the command again.")
        return BAD_INPUT
    except Exception as e:
        from outseam.draft.inputs.errors import OutseamError

        if not isinstance(e, OutseamError):
            raise
        return _refused(e)


def run(arguments: list[str] | None = None) -> None:
    """Run the command line and leave with its exit code; errors are one sentence each."""
    sys.exit(_run(arguments))


if __name__ == "__main__":
    run()
