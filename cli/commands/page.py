"""The command that opens a folder of specs as a page in the browser."""

from __future__ import annotations

from pathlib import Path

import click

from outseam.cli.commands.exit_codes import DONE


def page_command(folder: Path, port: int | None, *, open_browser: bool) -> int:
    """Serve the page until interrupted. Returns the exit code."""
    from outseam.cli.page.serve import serve

    def tell(address: str) -> None:
        click.echo(f"The page is at {address} (stop it with Ctrl-C)")

    serve(folder, port=port, open_browser=open_browser, tell=tell)
    return DONE
