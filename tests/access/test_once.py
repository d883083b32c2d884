"""Rights are fetched once while a page is read, and anew wherever something may be written."""

from django.http import HttpResponse, StreamingHttpResponse
from django.test import RequestFactory, TestCase
from django.utils import timezone

from registry import access
from registry.access.once import once_a_page
from registry.models.choices import Role
from tests.factories import MembershipFactory, SeatFactory


class TestOnce(TestCase):
    @classmethod
    def setUpTestData(cls):
        member = MembershipFactory()
        cls.person, cls.organisation = member.person, member.organisation
        cls.seat = SeatFactory(organisation=cls.organisation, role=Role.MANAGER)
        cls.of_others = SeatFactory()

    def answers(self, method, *asked):
        """What is found when each is asked in turn while one request is answered."""
        found = []

        def view(request):
            found.extend(ask() for ask in asked)
            return HttpResponse()

        once_a_page(view)(RequestFactory().generic(method, "/"))
        return found

    def may_edit(self):
        return access.may(self.person, self.seat.pavement, "edit")

    def end_seat(self):
        self.seat.to_at = timezone.now()
        self.seat.save(update_fields=["to_at"])

    def test_a_page_asks_once_at_each_pavement(self):
        def others():
            return access.may(self.person, self.of_others.pavement, "edit")

        with self.assertNumQueries(2):
            found = self.answers("GET", self.may_edit, others, self.may_edit, others)
        assert found == [True, False, True, False]

    def test_a_form_that_is_sent_asks_anew_after_what_it_changed(self):
        assert self.answers("POST", self.may_edit, self.end_seat, self.may_edit)[::2] == [
            True,
            False,
        ]

    def test_a_file_that_goes_out_in_pieces_asks_no_more_than_its_page(self):
        found = []

        def view(request):
            found.append(self.may_edit())
            return StreamingHttpResponse(str(self.may_edit()) for _ in range(2))

        with self.assertNumQueries(1):
            answer = once_a_page(view)(RequestFactory().get("/"))
            assert list(answer) == [b"True", b"True"]
        self.end_seat()
        assert self.answers("GET", self.may_edit) == [False]

    def test_the_next_page_asks_anew(self):
        assert self.answers("GET", self.may_edit) == [True]
        self.end_seat()
        assert self.answers("GET", self.may_edit) == [False]

    def test_outside_of_a_page_nothing_is_kept_even_after_one_that_broke(self):
        def break_off():
            raise ZeroDivisionError

        with self.assertRaises(ZeroDivisionError):
            self.answers("GET", self.may_edit, break_off)
        self.end_seat()
        assert not self.may_edit()
