"""What the keys beside a number on a phone need to know of its field (`static/js/keypad.js`)."""

from registry.models.choices import Empty


def keys_for(
    *, keypad: str = "decimal", takes_empties: bool = True, insert: str = ""
) -> dict[str, str]:
    """Return the attributes of a field's widget.

    keypad: the keypad the script brings up at first, "decimal" or "numeric". Without the script
    the whole keyboard comes, since a keypad has neither the letters of "nk" or "lb" nor a colon.
    takes_empties: the field may be answered with one of the three kinds of empty.
    insert: a sign that keypads lack and the field often needs, such as the colon of a time.
    """
    attrs = {"inputmode": "text", "data-keypad": keypad}
    if takes_empties:
        attrs["data-empties"] = "; ".join(f"{code}: {word}" for code, word in Empty.choices)
    if insert:
        attrs["data-insert"] = insert
    return attrs
