"""Commands that keep the books: a backup, the whole store as text files, and either of them put back."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from collections.abc import Callable

    from gyle.books.export import Tally
    from gyle.books.store import Store

__all__ = ["add_commands"]

Json = Annotated[bool, typer.Option("--json", help="Print one JSON document instead of a sentence.")]


def add_commands(app: typer.Typer) -> None:
    """Add the commands to a program."""
    for command in (backup, export, restore):
        app.command()(command)


def backup(
    file: Annotated[
        str | None,
        typer.Argument(
            metavar="[FILE]", help="The file to write; else one named after the moment.", show_default=False
        ),
    ] = None,
    json: Json = False,
) -> int:
    """Copy the whole store to one new file, also while the pages are served."""
    from gyle.books.backup import backup as written

    target = Path(file if file is not None else f"gyle-backup-{_stamp()}.db")
    held = _written(written, target)
    _say(f"{_counted(held)} are kept in {target}", {"file": str(target), **_counts(held)}, json=json)
    return 0


def export(
    folder: Annotated[
        str | None,
        typer.Argument(
            metavar="[FOLDER]", help="The folder to make; else one named after the moment.", show_default=False
        ),
    ] = None,
    json: Json = False,
) -> int:
    """Write the whole store as text files into a new folder."""
    from gyle.books.export import export as written

    target = Path(folder if folder is not None else f"gyle-export-{_stamp()}")
    held = _written(written, target)
    _say(f"{_counted(held)} are written into {target}", {"folder": str(target), **_counts(held)}, json=json)
    return 0


def restore(
    source: Annotated[str, typer.Argument(metavar="FROM", help="A backup's file, or an export's folder.")],
    json: Json = False,
) -> int:
    """Put a backup or an export in the store's place; what was there is kept beside it."""
    from gyle.books.export import tally
    from gyle.books.restoring import restore as put_back
    from gyle.books.store import open_store

    kept = put_back(source)
    with open_store() as store:
        held = tally(store)
    before = (
        "" if kept is None else f"; what was there before is kept in {kept}; if pages are being served, serve them anew"
    )
    document = {"from": source, "kept": None if kept is None else str(kept), **_counts(held)}
    _say(f"{_counted(held)} are back{before}", document, json=json)
    return 0


def _written(write: Callable[[Store, Path], object], target: Path) -> Tally:
    """Write the store somewhere; what it holds."""
    from gyle.books.export import tally
    from gyle.books.store import open_store

    with open_store() as store:
        write(store, target)
        return tally(store)


def _stamp() -> str:
    from datetime import datetime

    return f"{datetime.now():%Y-%m-%d-%H%M%S}"  # by the clock on the wall: a person looks for it


def _counts(held: Tally) -> dict[str, int]:
    return {
        "beers": held.beers,
        "versions": held.versions,
        "drafts": held.drafts,
        "brewhouses": held.brewhouses,
        "waters": held.waters,
        "gyles": held.gyles,
    }


def _counted(held: Tally) -> str:
    """Return how much there is, in words."""
    from gyle.share.sentences import joined

    return joined(f"{count} {name[:-1] if count == 1 else name}" for name, count in _counts(held).items())


def _say(sentence: str, document: Mapping[str, object], *, json: bool) -> None:
    if json:
        from gyle.cli.documents import print_document

        print_document(document, sys.stdout)
        return
    from gyle.share.sentences import plain

    sys.stdout.write(plain(sentence) + "\n")
