"""Files reach the folder all together or not at all."""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
from collections.abc import Mapping
from pathlib import Path

from outseam.draft.inputs.errors import OutseamError

#: What a person should do about the errors a disk gives most often.
_ADVICE = {
    errno.EACCES: "you may not write there; choose another folder",
    errno.EPERM: "you may not write there; choose another folder",
    errno.EROFS: "it cannot be written to; choose another folder",
    errno.ENOSPC: "the disk is full; make room or choose another folder",
    errno.EDQUOT: "your share of the disk is used up; make room or choose another folder",
    errno.ENOTDIR: "a part of its path is a file, not a folder; choose another folder",
    errno.EEXIST: "it is a file, not a folder; choose another folder",
    errno.EISDIR: "a folder of that name is in the way; choose another name",
    errno.ENAMETOOLONG: "the name is too long; choose a shorter one",
}


class OutputError(OutseamError):
    """The files could not be written; what was there before is as it was."""


def save_all(out_dir: str | os.PathLike[str], files: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write files into a folder (made if missing) and return their paths, in the order given.

    All are written beside their places first, down to the disk, and moved there only when every
    one is complete; if moving fails half-way, the files moved so far are put back. After any
    error, an interruption included, the folder holds what it held before. Names are plain file
    names. Raises OutputError in a sentence for the user, ValueError for a name that is a path.
    """
    folder = Path(out_dir)
    for name in files:
        if not name or name in (".", "..") or Path(name).name != name or "\0" in name:
            raise ValueError(f"not a plain file name: {name!r}")
    made = _missing_parents(folder)
    complete = False
    try:
        folder.mkdir(parents=True, exist_ok=True)
        saved = _save(folder, files)
        complete = True
    except OSError as error:
        advice = _ADVICE.get(error.errno or 0, error.strerror or "the disk reports an error")
        raise OutputError(
            f"The files were not written to {folder}: {advice}. Nothing was changed."
        ) from error
    finally:
        if not complete:
            for parent in made:
                with contextlib.suppress(OSError):
                    parent.rmdir()
    return saved


def _missing_parents(folder: Path) -> list[Path]:
    """Return the folders that are to be made, the innermost first."""
    return [f for f in (folder, *folder.parents) if not os.path.lexists(f)]


def _save(folder: Path, files: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write all, then move all; on any error undo both."""
    tag = secrets.token_hex(4)
    places = [folder / name for name in files]
    fresh = [folder / f".{tag}-{i}.new" for i in range(len(places))]
    kept = [folder / f".{tag}-{i}.old" for i in range(len(places))]
    moved: list[int] = []
    try:
        for path, place, data in zip(fresh, places, files.values(), strict=True):
            _write(path, data)
            _same_mode(path, place)
        for i, place in enumerate(places):
            _keep(place, kept[i])
            moved.append(i)
            os.replace(fresh[i], place)
    except BaseException:
        for i in reversed(moved):
            _put_back(places[i], fresh[i], kept[i])
        raise
    finally:
        for path in (*fresh, *kept):
            with contextlib.suppress(OSError):
                path.unlink()
    _flush_folder(folder)
    return tuple(places)


def _write(path: Path, data: bytes) -> None:
    """Write a new file and wait until the disk has it."""
    with open(path, "xb", buffering=0) as file:
        rest = memoryview(data)
        while rest:
            rest = rest[file.write(rest) :]
        os.fsync(file.fileno())


def _same_mode(path: Path, place: Path) -> None:
    """Let who may read the earlier file read the new one, and nobody else."""
    with contextlib.suppress(OSError):
        path.chmod(place.stat().st_mode & 0o777)


def _keep(place: Path, kept: Path) -> None:
    """Hold on to the earlier file of that name, if there is one, under a second name."""
    if place.is_dir():
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(place))
    if not os.path.lexists(place):
        return
    try:
        os.link(place, kept, follow_symlinks=False)
    except (OSError, NotImplementedError):  # file systems without hard links
        kept.write_bytes(place.read_bytes())


def _put_back(place: Path, fresh: Path, kept: Path) -> None:
    """Undo the move of one file."""
    with contextlib.suppress(OSError):
        if os.path.lexists(kept):
            os.replace(kept, place)
        elif not os.path.lexists(fresh):
            place.unlink()


def _flush_folder(folder: Path) -> None:
    """Make the new names themselves last; not every system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
