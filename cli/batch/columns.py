"""The columns of a table of people: what each heads, and which table of a spec it belongs to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from outseam.draft.body.table import Body
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.tables import table_of
from outseam.draft.inputs.text import clip, closest, listing
from outseam.draft.style import Style

#: Columns that are no key of a spec: who, the files of style and fabric, the unit of a row.
HEAD: Final = ("id", "style", "fabric", "units")
#: Tables whose keys a column may hold, written `style.leg`; those of the body stand alone as well.
TABLES: Final[dict[str, type[Any]]] = {"body": Body, "style": Style, "fabric": Fabric}

_KEYS: Final = {t: tuple(f.key for f in table_of(cls)) for t, cls in TABLES.items()}
#: Other words for a key of the body, such as "inseam", which alone would have two meanings.
_BODY_WORDS: Final = {word: f.key for f in table_of(Body) for word in f.kind.also}


def plain_name(text: str) -> str:
    """Return a heading as a key is written: `Inside leg` is `inside_leg`."""
    return "_".join(text.strip().casefold().replace("-", " ").split())


def column_of(heading: str) -> str:
    """Return what a heading means: a word of HEAD, a key of the body, or `style.leg`.

    Keys of the style may stand without "style." where the body has no such word. Raises InputError
    for a heading that means nothing, with the likely one, or two things.
    """
    name = plain_name(heading)
    table, dot, key = name.partition(".")
    if dot and table in TABLES:
        if key not in _KEYS[table]:
            raise _unknown(heading, key, {k: f"{table}.{k}" for k in _KEYS[table]})
        return key if table == "body" else name
    if name in HEAD or name in _KEYS["body"]:
        return name
    if name in _KEYS["style"]:
        if name in _BODY_WORDS:
            raise InputError(
                f"column {clip(heading)}",
                "it can mean two things",
                f'"{_BODY_WORDS[name]}" for the body, "style.{name}" for the finished pants',
            )
        return f"style.{name}"
    if name in _KEYS["fabric"]:
        raise InputError(
            f"column {clip(heading)}", "it belongs to the fabric", hint=f'call it "fabric.{name}"'
        )
    if name in _BODY_WORDS:
        hint = f'here it is called "{_BODY_WORDS[name]}"'
        raise InputError(f"column {clip(heading)}", "there is no such column", hint=hint)
    words = {**{w: w for w in HEAD}, **{k: k for k in (*_KEYS["style"], *_KEYS["body"])}}
    raise _unknown(heading, name, words | _BODY_WORDS)


def _unknown(heading: str, name: str, words: Mapping[str, str]) -> InputError:
    near = closest(name, words)
    hint = f'did you mean "{words[near]}"?' if near else ""
    known = listing(dict.fromkeys((*HEAD, *_KEYS["body"])), "and")
    return InputError(
        f"column {clip(heading) or '(without a name)'}",
        "there is no such column",
        "" if near else f"{known}, and keys of the style such as style.leg",
        hint,
    )


def columns_of(headings: Sequence[str]) -> tuple[str, ...]:
    """Return what every heading means. Raises InputError, also for two that mean the same."""
    found = [column_of(heading) for heading in headings]
    for i, name in enumerate(found):
        if name in found[:i]:
            first = headings[found.index(name)]
            both = f'"{clip(first)}" and "{clip(headings[i])}"'
            raise InputError(f"column {clip(headings[i])}", f"{both} mean the same", "each once")
    return tuple(found)
