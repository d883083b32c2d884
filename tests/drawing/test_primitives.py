"""A drawing has a size and a title for those who do not see it; a link leads to these pages."""

import pytest

from registry.drawing.primitives import Drawing, DrawingError, Group, Line, Text, every_item

LINE = Line((0, 0), (1, 1))


@pytest.mark.parametrize("given", [(0, 1, "plan"), (1, -1, "plan"), (1, 1, "  ")])
def test_drawing_without_a_size_or_a_title_is_refused(given):
    width, height, title = given
    with pytest.raises(DrawingError):
        Drawing(width, height, (), title)


@pytest.mark.parametrize("href", ["javascript:alert(1)", "//elsewhere.example", "http://a.example"])
def test_address_that_runs_a_script_or_leads_away_is_refused(href):
    with pytest.raises(DrawingError, match="not an address"):
        Group((LINE,), href=href, title="x")


def test_link_needs_a_title():
    with pytest.raises(DrawingError, match="needs a title"):
        Group((LINE,), href="/pavements/1/")


def test_items_inside_groups_are_found():
    inner = Group((Text((0, 0), "A1"),), href="/a/", title="A1")
    drawing = Drawing(10, 10, (LINE, Group((inner,))), "plan")
    assert drawing.texts == ("A1",) and drawing.has_links
    assert len(list(every_item(drawing.items))) == 4
    assert not Drawing(10, 10, (LINE,), "plan").has_links
