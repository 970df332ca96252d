"""Drawings that are no charts of numbers: what touched what, and what was done in which order."""

from __future__ import annotations

from functools import cached_property

from markupsafe import Markup

from asfound.figures.diagram import Drawing, diagram, still_diagram
from asfound.figures.palette import SITE
from asfound.pages.order_chart import order_charts
from asfound.pages.part import Part
from asfound.pages.scene_map import scene_map


class DrawingsPart(Part):
    """The drawings of a case."""

    @cached_property
    def scene_figure(self) -> Markup:
        """What and who touched what; its table is the list of connections that follows it on the page."""
        found = self.texts.once(scene_map, lambda: scene_map(self.texts))
        if found is None:
            return Markup("")
        return self.sketch(found, table=False)

    @cached_property
    def order_figure(self) -> Markup:
        """What was done when, to which thing, and which gate allowed it; the table that follows says all of it."""
        orders = self.texts.once(order_charts, lambda: tuple(order_charts(self.texts, self.test_of, self.test_title)))
        return Markup("").join(self.sketch(one, table=False) for one in orders)

    def sketch(self, drawing: Drawing, *, table: bool = True) -> Markup:
        """A drawing as a figure: twice drawn on the site, once in a page that stands alone."""
        made = still_diagram(drawing, self.href, SITE, table=table) if self.single else None
        return Markup(made or diagram(drawing, self.href, table=table))
