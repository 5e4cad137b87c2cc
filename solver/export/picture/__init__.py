"""The picture of an arrangement: pitch over time, every part a strand of one cord, drawn as an SVG."""

from solver.export.picture.drawing import picture_svg
from solver.export.picture.layout import Layout, Row, layout_of
from solver.export.picture.legend import describe

__all__ = ["Layout", "Row", "describe", "layout_of", "picture_svg"]
