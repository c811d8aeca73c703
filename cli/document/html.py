"""HTML pages: one set of templates and filters for all of them."""

from __future__ import annotations

from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from outseam.cli.scene.scene import Scene
from outseam.cli.scene.text import nonbreaking
from outseam.cli.write.svg import write_inline_svg


def render_page(template: str, **values: Any) -> str:
    """Return a template of the program filled with values, as one self-contained page.

    Templates know the filters `svg` (a scene as an element of the page), `nonbreaking` (numbers
    kept whole) and `kind` (the name of a value's class). A value that is missing raises; so does a
    kind that a template does not know.
    """
    return _environment().get_template(template).render(values)


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("outseam.cli"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["kind"] = lambda value: type(value).__name__
    environment.filters["nonbreaking"] = nonbreaking
    environment.filters["svg"] = _inline
    return environment


def _inline(scene: Scene) -> Markup:
    return Markup(write_inline_svg(scene))
