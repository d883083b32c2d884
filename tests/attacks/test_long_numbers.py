"""Numbers of more figures than Python reads at once (4 300, as its documentation says)."""

import pytest
from django.urls import reverse

from registry.exchange import defect_rows, run_rows, sweep_rows
from registry.faults import DomainError
from tests.factories import MembershipFactory

FIGURES = "9" * 5000


@pytest.mark.django_db
def test_callbacks_narrowed_to_no_pavement_are_still_a_list(client):
    client.force_login(MembershipFactory().person)
    assert client.get(reverse("callback_list"), {"pavement": FIGURES}).status_code == 200


@pytest.mark.parametrize("read", [defect_rows._count, run_rows._run, sweep_rows._passes])
def test_cell_of_many_figures_is_refused_in_words(read):
    assert read("2") == 2
    with pytest.raises(DomainError, match="is no"):
        read(FIGURES)
