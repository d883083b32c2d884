import pytest

from registry.drawing import (
    Drawing,
    DrawingError,
    Group,
    Line,
    Mark,
    Role,
    Symbol,
    Text,
    key_drawing,
    rate_chart,
    to_svg,
)
from tests.drawing.pictures import (
    CLEANINGS,
    FEET,
    LEVELS,
    SERIES,
    SVG,
    TODAY,
    lot_picture,
    svg_texts,
    tree,
)

ALLOWED = {
    "svg", "title", "desc", "g", "a", "line", "polyline", "polygon", "path", "circle", "text",
}  # fmt: skip


def chart():
    return rate_chart(SERIES, CLEANINGS, LEVELS, size_mm=(182, 100), system=FEET, today=TODAY)


@pytest.mark.parametrize("picture", [lot_picture, chart, lambda: key_drawing(80)])
def test_pictures_hold_nothing_a_content_policy_forbids(picture):
    root = tree(picture())
    for element in root.iter():
        assert element.tag.removeprefix(SVG) in ALLOWED
        for name in element.attrib:
            assert name != "style"
            assert not name.startswith("on")


@pytest.mark.parametrize("picture", [lot_picture, chart])
def test_every_shape_has_a_class_for_the_pages_colours(picture):
    shapes = [
        element
        for element in tree(picture()).iter()
        if element.tag.removeprefix(SVG) in ALLOWED - {"svg", "title", "desc", "g", "a"}
    ]
    assert shapes
    assert all(element.get("class") for element in shapes)


def test_picture_is_its_true_size_and_named():
    root = tree(Drawing(80, 40, (), "Plan 2", "44 panels."))
    assert (root.get("width"), root.get("height")) == ("80mm", "40mm")
    assert root.get("viewBox") == "0 0 80 40"
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "p-title p-desc"
    assert root.find(f"{SVG}title").text == "Plan 2"


def test_picture_with_links_is_a_group_and_each_link_says_what_it_is():
    root = tree(chart())
    assert root.get("role") == "group"
    links = list(root.iter(f"{SVG}a"))
    assert [link.get("href") for link in links] == ["/sweeps/3/", "/tests/8/"]
    assert links[1].get("aria-label") == "U, 2023-05-16: < 3.9 in/h"


def test_what_people_wrote_is_escaped():
    hostile = '<script>alert("1")</script> & \x07'
    link = Group((Text((1, 1), hostile),), "/x/?a=1&b=2", hostile)
    drawing = Drawing(10, 10, (link,), hostile, hostile)
    assert "<script" not in to_svg(drawing, id_prefix="p")
    assert svg_texts(drawing) == [hostile[:-1]]


@pytest.mark.parametrize("address", ["javascript:alert(1)", "//elsewhere.example/", "data:x"])
def test_link_that_leaves_these_pages_is_refused(address):
    with pytest.raises(DrawingError, match="address"):
        Group((), address, "a title")


def test_link_without_a_name_is_refused():
    with pytest.raises(DrawingError, match="title"):
        Group((), "/x/")


def test_drawing_without_a_title_is_refused():
    with pytest.raises(DrawingError, match="title"):
        Drawing(10, 10, (), " ")


def test_ids_cannot_be_broken_out_of():
    with pytest.raises(DrawingError, match="id"):
        to_svg(Drawing(10, 10, (), "x"), id_prefix='a" onload="x')


def test_roles_become_classes_and_fallback_colours():
    items = (Line((0, 0), (5, 5), Role.WATER), Mark((3, 3), Symbol.DISC, role=Role.SIGNAL))
    line, disc = tree(Drawing(10, 10, items, "x"))[1:]
    assert line.get("class") == "edge-water w-thin"
    assert line.get("stroke-width") == "0.25"
    assert disc.get("class") == "fill-signal edge-signal w-thin"
    assert tree(Drawing(9, 9, (Line((0, 0), (1, 1)),), "x"))[1].get("stroke") == "currentColor"
