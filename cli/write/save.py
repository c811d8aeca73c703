"""Files reach the folder all together or not at all."""

from __future__ import annotations

import contextlib
import errno
import os
import re
import secrets
import stat
import time
from collections import deque
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final

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
    errno.ELOOP: "it is a link that leads back to itself; choose another name",
}

#: Files on their way to their places, and earlier ones kept meanwhile.
_UNFINISHED = re.compile(r"\.outseam-[0-9a-f]{8}-\d+\.(new|old)")
#: Longer than any run takes from its first file to its last.
_LEFT_BEHIND_S = 600.0


class OutputError(OutseamError):
    """The files could not be written; what was there before is as it was.

    `advice` says why, and what to do, where the disk is the reason.
    """

    def __init__(self, says: str, advice: str = "") -> None:
        self.advice = advice
        super().__init__(says)


#: What this process has written last, for the farewell when its words no longer reach anybody: as
#: many as any command makes, and no more, because a page saves all day.
WRITTEN: Final[deque[Path]] = deque(maxlen=1000)


def save_all(out_dir: str | os.PathLike[str], files: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write files into a folder (made if missing) and return their paths, as `save_files` does.

    Names are plain file names; ValueError for a name that is a path.
    """
    for name in files:
        if not name or name in (".", "..") or Path(name).name != name or "\0" in name:
            raise ValueError(f"not a plain file name: {name!r}")
    return save_files({Path(out_dir) / name: data for name, data in files.items()})


def save_files(files: Mapping[Path, bytes]) -> tuple[Path, ...]:
    """Write files, their folders made if missing, and return their paths in the order given.

    All are written beside their places first, down to the disk, and moved there only when every
    one is complete; if moving fails half-way, the files moved so far are put back. After any
    error, an interruption included, all folders hold what they held before; only a process ended by
    force within the moves, microseconds each, leaves whole files of two runs. A place that is a
    link stays one: what it leads to is written. Raises OutputError in a sentence for the user.
    """
    folders = tuple(dict.fromkeys(path.parent for path in files))
    made: list[Path] = []
    complete = False
    at = folders[0] if folders else Path()
    try:
        places = [_place(path) for path in files]
        for at in folders:
            made = _missing_parents(at) + made
            at.mkdir(parents=True, exist_ok=True)
        for at in folders:
            _sweep(at)
        _save(places, list(files.values()))
        complete = True
    except OSError as error:
        advice = _ADVICE.get(error.errno or 0, error.strerror or "the disk reports an error")
        where = at
        if len(folders) > 1 and error.filename:  # the one of them that could not be written to
            named = Path(error.filename)
            where = named.parent if _UNFINISHED.fullmatch(named.name) else named
        raise OutputError(
            f"The files were not written to {where}: {advice}. Nothing was changed.", advice
        ) from error
    finally:
        if not complete:
            for parent in made:
                with contextlib.suppress(OSError):
                    parent.rmdir()
    WRITTEN.extend(files)
    return tuple(files)


def _place(path: Path) -> Path:
    """Return what a path leads to. Raises OSError or OutputError where no file can be written."""
    place = Path(os.path.realpath(path)) if path.is_symlink() else path
    with contextlib.suppress(FileNotFoundError, NotADirectoryError):
        refuse_special(place)
    return place


def refuse_special(place: Path) -> None:
    """Raise OutputError for a device, a pipe or the like: a file in its place would break it.

    Raises OSError where nothing can be known of the path.
    """
    mode = os.stat(place).st_mode
    if not (stat.S_ISREG(mode) or stat.S_ISDIR(mode)):
        raise OutputError(
            f"{place}: this is no file but a device or a pipe; give the name of a file."
        )


def _sweep(folder: Path) -> None:
    """Take away what a run that was killed has left unfinished, once no run can still be at it."""
    oldest = time.time() - _LEFT_BEHIND_S
    with contextlib.suppress(OSError):
        for entry in os.scandir(folder):
            if _UNFINISHED.fullmatch(entry.name):
                with contextlib.suppress(OSError):
                    if entry.stat(follow_symlinks=False).st_mtime < oldest:
                        os.unlink(entry.path)


def _missing_parents(folder: Path) -> list[Path]:
    """Return the folders that are to be made, the innermost first."""
    return [f for f in (folder, *folder.parents) if not os.path.lexists(f)]


def _save(places: Sequence[Path], contents: Sequence[bytes]) -> None:
    """Write all, then move all; on any error undo both."""
    tag = secrets.token_hex(4)
    fresh = [p.with_name(f".outseam-{tag}-{i}.new") for i, p in enumerate(places)]
    kept = [p.with_name(f".outseam-{tag}-{i}.old") for i, p in enumerate(places)]
    moved: list[int] = []
    try:
        for place, path, data in zip(places, fresh, contents, strict=True):
            _write(path, data)
            _same_mode(path, place)
        for place, path in zip(places, kept, strict=True):
            _keep(place, path)
        # Nothing else between the moves: what is ended by force here leaves files of two runs.
        for i, (path, place) in enumerate(zip(fresh, places, strict=True)):
            moved.append(i)
            os.replace(path, place)
    except BaseException:
        for i in reversed(moved):
            _put_back(places[i], fresh[i], kept[i])
        raise
    finally:
        for path in (*fresh, *kept):
            with contextlib.suppress(OSError):
                path.unlink()
    for folder in {place.parent for place in places}:
        flush_folder(folder)


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
        path.chmod(stat.S_IMODE(place.stat().st_mode))


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


def flush_folder(folder: Path) -> None:
    """Make the new names themselves last; not every system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
