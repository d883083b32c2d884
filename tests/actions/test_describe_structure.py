"""A structure is stored with its layers; a correction tells old and new layers in words."""

import pytest
from django.core.exceptions import ValidationError
from django.test import TestCase

from registry.actions.correct_entry import CannotBeCorrected
from registry.actions.describe_structure import correct_structure, describe_structure, layer_words
from registry.models import JournalLine, Layer, Structure
from registry.models.entry import Change
from tests.factories import PavementFactory

NOBODY = {"by": None, "organisation": None}


def layers(*depths):
    return [Layer(kind="base", depth_mm=depth) for depth in depths]


class TestDescribeStructure(TestCase):
    @classmethod
    def setUpTestData(cls):
        row = Structure(pavement=PavementFactory())
        cls.row = describe_structure(row, layers=layers(150.0, 300.0), **NOBODY)

    def correct(self, *depths, changes=None, why="dug open"):
        return correct_structure(
            self.row, layers=layers(*depths), changes=changes or {}, why=why, **NOBODY
        )

    def depths(self):
        return [layer.depth_mm for layer in self.row.layers.order_by("pk")]

    def test_layers_are_kept_in_their_order(self):
        assert self.depths() == [150.0, 300.0]

    def test_correction_of_layers_alone_tells_old_and_new(self):
        self.correct(150.0, 250.0)
        line = JournalLine.objects.about(self.row).corrections().get()
        old, new = line.changes["layers"]
        assert ("300 mm" in old, "250 mm" in new, "300 mm" in new) == (True, True, False)
        assert self.depths() == [150.0, 250.0]

    def test_field_is_corrected_and_layers_that_did_not_change_are_left(self):
        before = list(self.row.layers.values_list("pk", flat=True))
        self.correct(150.0, 300.0, changes={"soil_group": Change("B", "B")})
        assert list(self.row.layers.values_list("pk", flat=True)) == before
        self.row.refresh_from_db()
        assert self.row.soil_group == "B"

    def test_correction_says_why_and_what(self):
        with pytest.raises(CannotBeCorrected, match="Say why"):
            self.correct(100.0, why=" ")
        with pytest.raises(CannotBeCorrected, match="Nothing was changed"):
            self.correct(150.0, 300.0)
        assert self.depths() == [150.0, 300.0]

    def test_one_wrong_layer_keeps_the_structure_out(self):
        wrong = [Layer(kind="lava", depth_mm=1.0)]
        with pytest.raises(ValidationError):
            describe_structure(Structure(pavement=self.row.pavement), layers=wrong, **NOBODY)
        assert Structure.objects.get() == self.row


def test_layer_in_words_says_what_is_not_known_and_what_was_measured():
    known = Layer(kind="base", depth_mm=152.4, stone_size="No. 57", void_ratio=0.38)
    known.void_ratio_is_measured = True
    assert layer_words(known) == "base, 152.4 mm, No. 57, voids 0.38 measured"
    assert layer_words(Layer(kind="choker")) == "choker, depth not known, voids 0.4 assumed"
