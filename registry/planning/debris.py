"""Debris taken off a surface (N23): volume and weight on the area, wet or dry noted.

Not given where the volume is guessed. Common practice, no source.
"""

from dataclasses import dataclass

from registry.planning.words import NotDecided, require

FT2_M2 = 0.3048**2
YD3_M3 = 0.9144**3
LB_KG = 0.45359237


@dataclass(frozen=True)
class Debris:
    """What was taken away; `wet` "wet", "dry" or "" not written. m3, kg, None not known."""

    area_m2: float | None
    volume_m3: float | None
    mass_kg: float | None = None
    wet: str = ""
    is_guessed: bool = False


@dataclass(frozen=True)
class DebrisOnArea:
    """litres_a_m2, kg_a_m2: None where not measured. `noted` "wet", "dry" or "wet or dry nk"."""

    litres_a_m2: float | None
    kg_a_m2: float | None
    noted: str

    @property
    def yd3_a_1000_ft2(self) -> float | None:
        if self.litres_a_m2 is None:
            return None
        return self.litres_a_m2 / 1000 / YD3_M3 * 1000 * FT2_M2

    @property
    def lb_a_1000_ft2(self) -> float | None:
        return None if self.kg_a_m2 is None else self.kg_a_m2 / LB_KG * 1000 * FT2_M2


def debris_on_area(debris: Debris) -> DebrisOnArea | NotDecided:
    """Return N23. A weight stands even where the volume is guessed."""
    if debris.area_m2 is None:
        return NotDecided("The area done is not known.", ("area done",))
    require(debris.area_m2, "The area done", above=0)
    for value, what in ((debris.volume_m3, "The volume"), (debris.mass_kg, "The weight")):
        if value is not None:
            require(value, what)
    volume = None if debris.is_guessed else debris.volume_m3
    if volume is None and debris.mass_kg is None:
        why = "The volume is guessed." if debris.is_guessed else "The debris was not measured."
        return NotDecided(why, ("volume or weight",))
    return DebrisOnArea(
        None if volume is None else 1000 * volume / debris.area_m2,
        None if debris.mass_kg is None else debris.mass_kg / debris.area_m2,
        debris.wet or "not known whether wet or dry",
    )
