"""A study as one page: picture, findings and brief, without anything from the web."""

from __future__ import annotations

import base64
from pathlib import Path

from solver.export.picture import describe, picture_svg
from solver.study.as_plan import arrangement_of, plan_of
from solver.study.sentences import paragraphs
from solver.study.study import Study
from solver.study.toml_lines import shown

TEMPLATES = Path(__file__).parent / "templates"


def page_html(study: Study, brief: str) -> str:
    """The page; ``brief`` is the brief's text, "" where none can be written."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    name = shown(study.path.name)
    plan, arrangement = plan_of(study, name), arrangement_of(study)
    picture = base64.b64encode(picture_svg(plan, arrangement).encode()).decode("ascii")
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES), autoescape=True, undefined=StrictUndefined, keep_trailing_newline=True
    )
    return environment.get_template("study.html").render(
        name=name,
        alt=describe(plan, arrangement),
        picture=picture,
        paragraphs=paragraphs(study),
        brief=brief,
    )
