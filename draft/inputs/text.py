"""Small helpers for the sentences of this program: cleaning, clipping and guessing words."""

from __future__ import annotations

import datetime
import re
import unicodedata
from collections.abc import Iterable

#: Characters that turn the direction of text round. In a label they could make a number read
#: backwards, and nobody types them on purpose.
_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")

#: Code points that no XML file may hold, so a drawing that carries them would not open; and an
#: invisible separator that nobody types.
_FORBIDDEN = frozenset("\ufffe\uffff\u2063")


def clean_text(text: str) -> str:
    """`text` on one line, without control characters; runs of blanks become one blank.

    Markup is left as it is: the writers escape it.
    """
    kept: list[str] = []
    for char in text:
        category = unicodedata.category(char)
        if category in ("Zl", "Zp") or char in "\t\n\r\v\f":
            kept.append(" ")
        elif category in ("Cc", "Cs") or char in _TURNING or char in _FORBIDDEN:
            continue
        else:
            kept.append(char)
    return re.sub(r"\s+", " ", "".join(kept)).strip()


def clip(text: str, most: int = 48) -> str:
    """`text` cleaned and cut to at most `most` characters, so that it fits into a sentence."""
    # Cut before cleaning as well: a value of a megabyte need not be cleaned in full to be quoted.
    text = clean_text(text[: 4 * most])
    return text if len(text) <= most else text[: most - 1] + "…"


def describe(value: object) -> str:
    """What a value of the file is, as a person would say it: `the text "abc"`, `a list`."""
    if isinstance(value, bool):
        return "true (a yes/no answer)" if value else "false (a yes/no answer)"
    if isinstance(value, str):
        return f'the text "{clip(value)}"' if value.strip() else "an empty text"
    if isinstance(value, float | int):
        try:
            return clip(repr(value))
        except ValueError:  # more digits than Python is willing to print
            return "a number of thousands of digits"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list | tuple):
        return "a list"
    if isinstance(value, datetime.date | datetime.time):
        return f"a date or time ({value})"
    return f"a {type(value).__name__}"


def closest(word: str, words: Iterable[str], cutoff: float = 0.6) -> str | None:
    """The one of `words` that `word` was most likely meant to be, or None if none is near."""
    folded = {candidate.casefold(): candidate for candidate in words}
    # Imported here: few words are ever misspelt.
    import difflib

    found = difflib.get_close_matches(clip(word).casefold(), folded, n=1, cutoff=cutoff)
    return folded[found[0]] if found else None


def closest_spelling(word: str, words: Iterable[str]) -> str | None:
    """The one of `words` of which `word` is a slip of the keyboard, or None.

    Phrases share so many letters that what is merely near means something else.
    """
    return closest(word, words, cutoff=0.85)


def listing(words: Iterable[str], last: str = "or") -> str:
    """`a, b or c`, with `last` before the last of them; "" for none."""
    items = list(words)
    return "".join(items) if len(items) <= 1 else f"{', '.join(items[:-1])} {last} {items[-1]}"


def capital(text: str) -> str:
    """Return the text with a capital first letter, the rest as it is."""
    return text[:1].upper() + text[1:]
