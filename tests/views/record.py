"""What the tests of the record's pages share: a manager signed in at a pavement, and forms."""

from tests import factories


def manager_of(pavement=None, role="manager"):
    """Return (pavement, person): the person works for an organisation with a seat there."""
    organisation = factories.MembershipFactory(
        organisation=factories.OrganisationFactory(usual_role=role)
    ).organisation
    seat = factories.SeatFactory(
        organisation=organisation, role=role, **({"pavement": pavement} if pavement else {})
    )
    return seat.pavement, organisation.people.get()


def written(form):
    """Return what a browser would send back from a form that nobody touched."""
    sent = {}
    for field in (*form, *(f for layer in getattr(form, "layer_forms", ()) for f in layer)):
        value = field.value()
        if value is True:
            sent[field.html_name] = "on"
        elif value not in (None, False, []):
            sent[field.html_name] = str(value)
    return sent


def wrongs(answer):
    """Return the errors of the form on an answered page."""
    return answer.context["form"].errors if answer.context else {}
